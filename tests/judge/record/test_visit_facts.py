"""Facts of the car before any item is looked at. No source: what is recorded means."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bradawl.judge.record import visit_facts

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cells


def test_who_does_not_know_a_fact_is_as_if_nobody_had_said() -> None:
    cells: Cells = {
        "car/rear_brakes": {"value": "unknown", "at": "", "others": []},
        "car/front_brakes": {"value": "disc", "at": "", "others": []},
        "about/seller": {"value": "unknown", "at": "", "others": []},
    }
    facts = visit_facts.visit_facts(cells, "2026-12-01")
    assert facts["car"] == {"front_brakes": "disc"}
    assert facts["about"] == {"seller": "unknown"}  # a name is no fact to pick
    assert visit_facts.applies({"rear_brakes": ["drum"]}, facts)
    assert not visit_facts.applies({"front_brakes": ["drum"]}, facts)
