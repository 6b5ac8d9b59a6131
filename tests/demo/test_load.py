"""Loading goes through the phones' API into a real server, once."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from fastapi import FastAPI

from bradawl.common import settings
from bradawl.common.settings import Settings
from bradawl.demo.load import Loaded, LoadError, approving, load
from bradawl.demo.phone import visit_of
from bradawl.demo.scenario import Scenario
from bradawl.serving.app import create_app
from tests.demo.conftest import PICTURES
from tests.fresh import furnished


def bring(app: FastAPI, scenarios: list[Scenario], *, asks: bool = False) -> Loaded:
    """As the command does: from within, or with `--server` as phones that ask."""

    async def through() -> Loaded:
        transport = httpx.ASGITransport(app=app, client=("127.0.0.1", 1))
        pair = None if asks else approving(app.state.core.access)
        async with httpx.AsyncClient(transport=transport, base_url="https://localhost") as client:
            return await load(client, scenarios, PICTURES, pair)

    return asyncio.run(through())


@pytest.fixture
def place(tmp_path: Path) -> Settings:
    return settings.at(furnished(tmp_path))


@pytest.fixture
def server(place: Settings) -> Iterator[FastAPI]:
    app = create_app(place)
    yield app
    app.state.core.close()


def events_in(server: FastAPI, scenarios: list[Scenario]) -> list[dict[str, Any]]:
    core = server.state.core
    return [event for one in scenarios for event in core.log.events_of(visit_of(one))]


def test_every_visit_arrives_whole_with_its_photos_and_a_seal_that_holds(
    server: FastAPI, scenarios: list[Scenario]
) -> None:
    loaded = bring(server, scenarios)
    assert loaded.fresh
    assert loaded.events == len(events_in(server, scenarios))
    assert loaded.photos == len(list(PICTURES.iterdir()))
    for one in scenarios:
        snapshot = server.state.core.snapshot(visit_of(one))
        assert [seal.holds for seal in snapshot.seals] == ([True] if one.seal else [])
        for path, cell in snapshot.cells.items():
            if "/photos/" in path:
                assert snapshot.photo(path.split("/")[3]), path
                assert cell["value"]["bytes"] > 0


def test_loading_twice_changes_nothing_and_sends_nothing(
    server: FastAPI, scenarios: list[Scenario]
) -> None:
    first = bring(server, scenarios)
    before = events_in(server, scenarios)
    second = bring(server, scenarios)
    assert (second.fresh, second.older, second.events, second.photos) == (False, False, 0, 0)
    assert second.visits == first.visits
    assert events_in(server, scenarios) == before


def test_an_earlier_edition_is_left_alone_and_named(
    server: FastAPI, scenarios: list[Scenario]
) -> None:
    earlier = [one.model_copy(update={"findings": one.findings[:3]}) for one in scenarios]
    bring(server, earlier)
    before = events_in(server, scenarios)
    assert bring(server, scenarios).older
    assert events_in(server, scenarios) == before


def set_passphrase(app: FastAPI) -> None:
    people = app.state.core.access.people
    code = people.invite(people.first_owner().id)
    assert people.accept(code, "Ada", "nine rusty hinges sing", "nine rusty hinges sing")


def test_phones_that_ask_are_taken_at_once_where_nobody_has_a_passphrase(
    server: FastAPI, scenarios: list[Scenario]
) -> None:
    assert bring(server, scenarios, asks=True).fresh


def test_a_passphrase_does_not_stop_who_holds_the_data_folder(
    server: FastAPI, scenarios: list[Scenario]
) -> None:
    set_passphrase(server)
    assert bring(server, scenarios).fresh
    assert not bring(server, scenarios).fresh
    assert {one.person for one in server.state.core.access.devices.all()} == {"Ada"}


@pytest.mark.parametrize("why", ["network", "passphrase", "known"])
def test_a_server_that_does_not_pair_at_once_is_named_with_what_to_do(
    place: Settings, scenarios: list[Scenario], why: str
) -> None:
    app = create_app(place.with_mode("proxy", "127.0.0.1", 8477) if why == "network" else place)
    try:
        if why == "passphrase":
            set_passphrase(app)
        if why == "known":
            bring(app, scenarios)
        with pytest.raises(LoadError, match="On the computer that has the data"):
            bring(app, scenarios, asks=True)
    finally:
        app.state.core.close()
