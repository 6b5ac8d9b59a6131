"""What a phone is called goes into the log: other phones can say whose entries they show."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from bradawl.common import settings
from bradawl.judge import fold
from bradawl.serving.app import create_app
from bradawl.serving.core import Bradawl
from tests.fresh import furnished
from tests.writing import key_of, pairing_wish

KEY = key_of("first")
PATH = f"devices/{KEY.device}"


class Shop:
    def __init__(self, folder: Path) -> None:
        self.app = create_app(settings.at(furnished(folder)))
        self.core: Bradawl = self.app.state.core
        self.client = TestClient(
            self.app, base_url="https://localhost", client=("127.0.0.1", 1), follow_redirects=False
        )

    def pair(self, name: str) -> None:
        answer = self.client.post("/api/v1/pairing", json=pairing_wish(KEY, name))
        assert answer.json()["state"] == "approved", answer.text

    def events(self) -> list[dict[str, Any]]:
        return [one for one in self.core.log.events_in("shop") if one["put"] == PATH]


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    one = Shop(tmp_path)
    yield one
    one.core.close()


def test_the_name_of_a_paired_phone_is_recorded_by_the_shop(shop: Shop) -> None:
    shop.pair("Ada’s phone")
    (event,) = shop.events()
    assert event["value"] == {"name": "Ada’s phone"}
    assert event["device"] in shop.core.log.own_devices()
    shop.core.access.note_name(KEY.device)  # as when it is paired again: nothing new to say
    assert len(shop.events()) == 1


def test_a_new_name_replaces_the_one_before(shop: Shop) -> None:
    shop.pair("Ada’s phone")
    answer = shop.client.post(f"/desk/devices/{KEY.device}/name", data={"name": " The  old one "})
    assert answer.status_code == 303, answer.text
    cell = fold(shop.core.log.events_in("shop"))[PATH]
    assert (cell["value"], cell["others"]) == ({"name": "The old one"}, [])


def test_a_name_that_cannot_be_recorded_keeps_nobody_from_pairing(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: Any) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(shop.core.log, "append_in", full)
    shop.pair("Ada’s phone")
    assert shop.core.access.devices.is_paired(KEY.device)
