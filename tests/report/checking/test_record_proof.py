"""What a report may leave out, and that nobody can leave out more: the seal covers the kinds."""

from __future__ import annotations

import json
from typing import Any

import pytest

from bradawl.inspection.seals import hashed
from bradawl.judge import WITHHELD_KINDS, canonical
from bradawl.report.checking.record_proof import check_record
from bradawl.report.model.attached_record import attached_record
from bradawl.report.model.editions.edition import edition_view
from bradawl.report.signing.trust_store import TrustStore
from tests.log.sync import reference
from tests.report.visits import jpeg, puts, snapshot

LOOK = ("car/look_first", [{"item": "brakes.hoses", "chance": "often", "note": "Ask for less."}])


def _record() -> dict[str, Any]:
    record: dict[str, Any] = json.loads(
        attached_record(edition_view(snapshot(photos=[jpeg(1)]), "condition"))
    )
    return record


def _without(record: dict[str, Any], put: str, kind: str) -> dict[str, Any]:
    """The record with one shown entry withheld instead, as an entry of `kind`."""
    (row,) = [row for row in record["shown"] if row[0] == put]
    event = next(one for one in snapshot(photos=[jpeg(1)]).events if one["put"] == put)
    hidden = hashed(canonical([put, row[1], event["commit"]]))
    shown = [one for one in record["shown"] if one is not row]
    return {**record, "shown": shown, "withheld": [*record["withheld"], [kind, hidden]]}


def test_a_record_is_whole_and_says_how_many_of_which_kind_it_leaves_out() -> None:
    whole, lines = check_record(_record(), TrustStore())
    assert whole, lines
    said = " ".join(map(str, lines))
    assert "2 sums of money" in said
    assert "one name or place" in said


@pytest.mark.parametrize("kind", WITHHELD_KINDS)
@pytest.mark.parametrize("put", ["items/rust.sill-left/grade", "car/odometer", "about/started"])
def test_what_was_found_cannot_pass_for_what_may_be_left_out(put: str, kind: str) -> None:
    whole, lines = check_record(_without(_record(), put, kind), TrustStore())
    assert not whole
    assert "not what the inspector signed" in " ".join(map(str, lines))


@pytest.mark.parametrize("kind", ["grade", "reading", "choice", "fact", "seal", "other", ""])
def test_what_was_found_cannot_be_left_out_under_its_own_name(kind: str) -> None:
    whole, lines = check_record(
        _without(_record(), "items/rust.sill-left/grade", kind), TrustStore()
    )
    assert not whole
    assert "leaves out what no report may leave out" in " ".join(map(str, lines))


def test_a_note_may_be_left_out_and_the_rest_still_proves_itself() -> None:
    record = _record()
    note = next(row[0] for row in record["shown"] if row[0].endswith("/note"))
    whole, lines = check_record(_without(record, note, "note"), TrustStore())
    assert whole, lines
    assert "one note" in " ".join(map(str, lines))


def test_an_entry_shown_twice_or_not_at_all_is_told() -> None:
    record = _record()
    for shown in (record["shown"] + record["shown"][:1], record["shown"][1:]):
        assert not check_record({**record, "shown": shown}, TrustStore())[0]


@pytest.mark.parametrize("is_former", [False, True])
def test_what_the_shop_knows_of_the_model_stays_with_the_shop(
    is_former: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also of a seal from when it went for a fact of the car, and such a seal still proves it."""
    if is_former:
        rows = [row for row in reference._KINDS if "look_first" not in row[0]]
        monkeypatch.setattr(reference, "_KINDS", tuple(rows))
    made = snapshot([*puts(), LOOK])
    text = attached_record(edition_view(made, "condition"))
    whole, lines = check_record(json.loads(text), TrustStore())
    assert whole, lines
    assert "Ask for less" not in str(text)
    # as reports were made then: with the note among the facts
    event = next(one for one in made.events if one["put"] == LOOK[0])
    record = json.loads(text)
    hidden = hashed(canonical([LOOK[0], event["at"], event["commit"]]))
    record["withheld"] = [row for row in record["withheld"] if row[1] != hidden]
    record["set_aside"] = [row for row in record["set_aside"] if row[0] != LOOK[0]]
    record["shown"].append([LOOK[0], event["at"], event["salt"], event["text"]])
    assert check_record(record, TrustStore())[0]
    # and nothing else passes under the kind of that time
    record["shown"] = record["shown"][1:]
    assert not check_record(record, TrustStore())[0]
