"""Nothing that anybody still holds is lost, doubled or seen differently; and worlds notice."""

from __future__ import annotations

import json
from typing import Any

import pytest

from bradawl.log.chains import orders, own_chains, scopes
from bradawl.log.event_log import Log
from bradawl.log.format import batches
from bradawl.log.photos.photos import Photos
from bradawl.log.sync.intake import PushResult
from tests.amount import amount
from tests.world import disk
from tests.world.disk import Disk
from tests.world.look import InvariantError
from tests.world.many import live
from tests.world.phone import Phone

CHUNK = 8


@pytest.mark.parametrize("first", range(0, amount(32, short=CHUNK), CHUNK))
def test_whatever_happens_nothing_is_lost(first: int) -> None:
    """The first of those that `make proof` lives, by the thousand."""
    tally = live(range(first, first + CHUNK))
    assert (tally.seeds, tally.lost, tally.doubled, tally.diverged) == (CHUNK, 0, 0, 0)
    assert tally.events > CHUNK * 100
    assert tally.hostile > 0
    assert tally.damaged < CHUNK / 2


def test_the_same_seed_lives_the_same_life() -> None:
    first = live([5])
    assert first == live([5])
    assert first.life != live([6]).life


# worlds notice a client or server that breaks a rule


def broken_set_back(self: Phone, _held: Any) -> bool:
    return False


def broken_receive(self: Disk, batch: dict[str, Any], now_ms: int) -> None:
    for seq, sent in enumerate(batch["events"], batch["from_seq"]):
        event = {"device": batch["device"], "seq": seq, "prev": "", "commit": "", **sent}
        self.keep(batch["device"], [event], now_ms)


async def hasty_photos(self: Phone) -> None:
    self.disk.held.update(self.disk.photos)


async def drop_at_once(self: Phone, device: str, boundaries: Any) -> None:
    self.disk.drop_after(device, self._shared(device, boundaries))


async def bring_nothing(self: Phone, device: str, held: int) -> None:
    return


honest_begin = Phone._begin_anew


def leave_entries_behind(self: Phone, seq: int, moved: list[Any], why: str) -> None:
    honest_begin(self, seq, moved[1:], why)


def believe_anything(_at: str, _now_ms: int) -> bool:
    return True


def forgetful_push(self: Log, body: bytes, **_more: Any) -> Any:
    """A server that answers before it stores."""
    batch = json.loads(body)
    return PushResult(batch["from_seq"] + len(batch["events"]) - 1, batch["head"], 0)


def forgetful_photo(self: Any, arrival: Any, device: str) -> bool:
    return True


def any_signature(_batch: Any) -> None:
    return


def everybody_is_the_shop(connection: Any) -> list[str]:
    from sqlalchemy import select

    from bradawl.log.format.tables import DEVICES

    return [row.device for row in connection.execute(select(DEVICES.c.device))]


honest_count = scopes.count


def count_twice(connection: Any, add: Any) -> None:
    honest_count(connection, add)
    honest_count(connection, add)


#: Faults that the first worlds do not meet, with one that does: it is lived first.
LATE: dict[Any, tuple[int, ...]] = {
    drop_at_once: (58,),
    any_signature: (5,),
    everybody_is_the_shop: (4,),
    believe_anything: (2,),
}


@pytest.mark.parametrize(
    ("owner", "name", "fault"),
    [
        (Phone, "_set_back", broken_set_back),
        (Disk, "receive", broken_receive),
        (Phone, "_send_photos", hasty_photos),
        (Phone, "_part_with", drop_at_once),
        (Phone, "_bring", bring_nothing),
        (Phone, "_begin_anew", leave_entries_behind),
        (disk, "is_believed", believe_anything),
        (Log, "push_json", forgetful_push),
        (Photos, "keep", forgetful_photo),
        (batches, "require_signature", any_signature),
        (orders, "own_devices", everybody_is_the_shop),
        (own_chains, "highest_believed", lambda _now_ms: "~"),
        (scopes, "count", count_twice),
    ],
    ids=lambda value: getattr(value, "__name__", str(value)),
)
def test_a_world_notices_a_client_or_server_that_breaks_a_rule(
    monkeypatch: pytest.MonkeyPatch, owner: Any, name: str, fault: Any
) -> None:
    monkeypatch.setattr(owner, name, fault)
    with pytest.raises(InvariantError, match=r"seed \d+"):
        live([*LATE.get(fault, ()), *range(60)])
