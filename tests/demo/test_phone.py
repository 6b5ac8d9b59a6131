"""The played phones write a log that anybody can check."""

from __future__ import annotations

import base64
import hashlib
from typing import Any

import rfc8785

from bradawl.common.device_keys import device_of, verifies
from bradawl.demo.phone import Phone, play
from bradawl.demo.scenario import Scenario
from bradawl.inspection.seals import is_signed
from tests.demo.conftest import PICTURES
from tests.log.writer import b64u, hash_of


def test_events_are_chained_by_the_hash_of_their_canonical_json(played: list[Phone]) -> None:
    """Canonical JSON by the rfc8785 package, an implementation that is not ours."""
    for phone in played:
        before = ""
        for number, event in enumerate(phone.events, start=1):
            assert (event["seq"], event["prev"]) == (number, before)
            before = hash_of(event)
            text = rfc8785.dumps(event["value"])
            assert event["text"] == text.decode()
            salt = base64.urlsafe_b64decode(event["salt"] + "==")
            assert event["commit"] == b64u(hashlib.sha256(salt + text).digest())
        assert phone.head == before


def test_a_phone_is_named_by_its_key_and_signs_its_head_and_its_seals(played: list[Phone]) -> None:
    for phone in played:
        assert device_of(phone.signer.public) == phone.device
        batch = phone.batch()
        said = f"bradawl-head-2\n{phone.device}\n{len(phone.events)}\n{phone.head}"
        assert verifies(batch["key"], said, batch["signature"])
    seals = [one for phone in played for one in phone.events if one["put"] == "seal/1"]
    assert len(seals) == 2
    for seal in seals:
        assert is_signed(seal["scope"], seal["device"], seal["value"])


def test_stamps_rise_and_name_the_device(played: list[Phone]) -> None:
    for phone in played:
        stamps = [event["at"] for event in phone.events]
        assert stamps == sorted(set(stamps))
        assert all(stamp.endswith(phone.device) for stamp in stamps)


def test_playing_twice_writes_the_same(
    played: list[Phone], scenarios: list[Scenario], checklist: dict[str, Any]
) -> None:
    again = play(scenarios, checklist, "test", PICTURES)
    assert [phone.events for phone in again] == [phone.events for phone in played]
