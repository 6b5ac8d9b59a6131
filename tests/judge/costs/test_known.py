"""What counts as looked at, for the price: what somebody saw, and not what facts of the car say."""

from __future__ import annotations

from typing import Any

from bradawl.judge.costs.known import Known

RULES: dict[str, Any] = {
    "items": {
        "papers.vin": {"compute": {"kind": "vin"}},
        "papers.odometer": {"compute": {"kind": "odometer"}},
        "tires.tread": {"compute": {"kind": "lowest"}},
        "rust.sills": {},
        "rust.arches": {"implied_by": ["rust.sills"]},
    }
}


def judged(grade: str = "none", by: str = "measured", **more: Any) -> dict[str, Any]:
    return {
        "state": "done",
        "grade": grade,
        "by": by,
        "overruled": False,
        "conflict": False,
        "problems": [],
        **more,
    }


def known(items: dict[str, Any], *typed: str) -> Known:
    cells: Any = {path: {"value": "x", "at": "1", "others": []} for path in typed}
    rules: Any = RULES
    return Known(list(items), items, rules, cells)


def test_a_vin_that_was_typed_as_a_fact_is_no_check_until_somebody_looked_at_the_plate() -> None:
    items = {"papers.vin": judged(), "papers.odometer": judged()}
    facts_alone = known(items, "car/vin", "car/odometer")
    assert (facts_alone.seen, facts_alone.fine) == ({}, {})
    looked = known(items, "car/vin", "items/papers.vin/choice")
    assert (looked.seen, looked.fine) == ({"papers.vin": True}, {"papers.vin": True})


def test_what_was_measured_or_is_settled_by_another_answer_was_seen() -> None:
    items = {"tires.tread": judged(), "rust.arches": judged(by="implied")}
    assert list(known(items).seen) == ["tires.tread", "rust.arches"]


def test_a_fault_is_seen_and_never_fine_and_what_it_implies_is_doubtful() -> None:
    items = {"rust.sills": judged("major", "person"), "rust.arches": judged(by="implied")}
    found = known(items)
    assert list(found.seen) == ["rust.sills", "rust.arches"]
    assert found.fine == {}
    assert found.faulty == {"rust.sills": True}


def test_what_is_asked_about_is_neither_fine_nor_seen() -> None:
    doubt = judged(problems=[{"code": "doubt"}])
    assert known({"tires.tread": doubt}).seen == {}
    assert known({"tires.tread": judged("major", problems=[{"code": "doubt"}])}).seen
