"""The played phones write a log that anybody can check."""

from __future__ import annotations

import hashlib
from typing import Any

import rfc8785

from bradawl.demo.phone import Phone, play
from bradawl.demo.scenario import Scenario
from tests.demo.conftest import FlatPictures


def test_events_are_chained_by_the_hash_of_their_canonical_json(played: list[Phone]) -> None:
    """Canonical JSON by the rfc8785 package, an implementation that is not ours."""
    for phone in played:
        before = ""
        for number, event in enumerate(phone.events, start=1):
            assert (event["seq"], event["prev"]) == (number, before)
            before = hashlib.sha256(rfc8785.dumps(event)).hexdigest()
        assert phone.head == before


def test_stamps_rise_and_name_the_device(played: list[Phone]) -> None:
    for phone in played:
        stamps = [event["at"] for event in phone.events]
        assert stamps == sorted(set(stamps))
        assert all(stamp.endswith(phone.device) for stamp in stamps)


def test_playing_twice_writes_the_same(
    played: list[Phone], scenarios: list[Scenario], checklist: dict[str, Any]
) -> None:
    again = play(scenarios, checklist, "test", FlatPictures())
    assert [phone.events for phone in again] == [phone.events for phone in played]
