"""Nothing acknowledged is lost, doubled or seen differently in 200 worlds; and worlds notice."""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.log import Log
from tests.world import phone as phone_module
from tests.world.many import live
from tests.world.phone import Phone
from tests.world.world import InvariantError

CHUNK = 25


@pytest.mark.parametrize("first", range(0, 200, CHUNK))
def test_whatever_happens_nothing_acknowledged_is_lost(first: int) -> None:
    tally = live(range(first, first + CHUNK))
    assert (tally.seeds, tally.lost, tally.doubled, tally.diverged) == (CHUNK, 0, 0, 0)
    assert tally.events > CHUNK * 20


def test_the_same_seed_lives_the_same_life() -> None:
    assert live([5]) == live([5])


def broken_set_back(self: Phone, _held: Any) -> bool:
    return False


def broken_receive(self: Phone, batch: dict[str, Any]) -> None:
    for seq, sent in enumerate(batch["events"], batch["from_seq"]):
        event = {"device": batch["device"], "seq": seq, "prev": "", **sent}
        self._keep(batch["device"], [event], phone_module.hash_of(event))


async def hasty_photos(self: Phone) -> None:
    self.disk.held.update(self.disk.photos)


def forgetful_push(self: Log, body: bytes, **_more: Any) -> Any:
    """A server that answers before it stores."""
    import json

    from bradawl.log import PushResult

    batch = json.loads(body)
    return PushResult(batch["from_seq"] + len(batch["events"]) - 1, batch["head"], 0)


def forgetful_photo(self: Any, arrival: Any, device: str) -> bool:
    return True


@pytest.mark.parametrize(
    ("owner", "name", "fault"),
    [
        (Phone, "_set_back", broken_set_back),
        (Phone, "receive", broken_receive),
        (Phone, "_send_photos", hasty_photos),
        (Log, "push_json", forgetful_push),
    ],
)
def test_a_world_notices_a_client_or_server_that_breaks_a_rule(
    monkeypatch: pytest.MonkeyPatch, owner: type, name: str, fault: Any
) -> None:
    monkeypatch.setattr(owner, name, fault)
    with pytest.raises(InvariantError, match=r"seed \d+"):
        live(range(12))


def test_a_world_notices_a_server_that_forgets_photos(monkeypatch: pytest.MonkeyPatch) -> None:
    from bradawl.log.photos import Photos

    monkeypatch.setattr(Photos, "keep", forgetful_photo)
    with pytest.raises(InvariantError, match="photo"):
        live(range(12))


def test_a_world_notices_a_list_of_visits_that_counts_twice(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from bradawl.log import visits

    honest = visits.count

    def twice(connection: Any, add: Any) -> None:
        honest(connection, add)
        honest(connection, add)

    monkeypatch.setattr(visits, "count", twice)
    with pytest.raises(InvariantError, match="doctor"):
        live(range(3))
