"""Every entry of the published lists is covered by an item, or excused with a reason."""

from __future__ import annotations

import copy

from bradawl.checklists.coverage import coverage
from bradawl.checklists.files import Checklist


def test_no_entry_is_lost(checklist: Checklist) -> None:
    assert {line.published: line.lost for line in coverage(checklist)} == {
        "cfr570": (),
        "eu": (),
        "ucr": (),
    }


def test_the_used_car_rule_is_covered_without_excuse(checklist: Checklist) -> None:
    line = next(line for line in coverage(checklist) if line.published == "ucr")
    # 16 CFR 455.2, back of the form, from memory: 54 defects under 15 systems.
    assert (len(line.covered), line.excused) == (54, {})
    assert len({entry.split("-")[0] for entry in line.covered}) == 15


def test_the_light_vehicle_part_is_covered_but_for_full_power_brakes(checklist: Checklist) -> None:
    line = next(line for line in coverage(checklist) if line.published == "cfr570")
    # 49 CFR 570.6(c) needs the maker's own procedure; all else is by eye, hand and rule.
    assert list(line.excused) == ["6.c"]
    paragraphs = {tuple(entry.split(".")[:1]) for entry in line.covered}
    assert paragraphs == {("5",), ("6",), ("7",), ("8",), ("9",), ("10",)}


def test_the_directive_is_covered_but_for_what_needs_a_test_station(checklist: Checklist) -> None:
    line = next(line for line in coverage(checklist) if line.published == "eu")
    # 2014/45/EU Annex I 3: what cars do not have, and what needs a roller tester, a damper bench,
    # a gas analyser, an opacimeter or a measuring receiver. What a tester has printed is judged.
    needs_a_bench = {"1.3.1", "1.3.2", "5.3.2.1", "8.2.1.2", "8.2.2.2", "8.3"}
    not_on_cars = {
        *("1.1.4", "1.1.5", "1.1.7", "1.1.8", "1.1.9", "1.1.18", "1.1.19", "1.1.20", "1.1.22"),
        *("1.1.23", "1.5", "2.5", "6.2.8", "7.6", "7.9", "7.10"),
    }
    assert set(line.excused) == needs_a_bench | not_on_cars
    assert all(len(reason) > 30 for reason in line.excused.values())


def test_an_excused_entry_is_not_covered_too(checklist: Checklist) -> None:
    for published in checklist.published:
        line = next(c for c in coverage(checklist) if c.published == published.published)
        both = [e.id for e in published.entries if e.excused and e.id in line.covered]
        assert both == []


def test_an_entry_that_no_item_names_is_lost(checklist: Checklist) -> None:
    changed = copy.deepcopy(checklist)
    for area in changed.areas:
        area.items[:] = [i.model_copy(update={"covers": []}) for i in area.items]
    lost = {line.published: len(line.lost) for line in coverage(changed)}
    assert lost == {"cfr570": 32, "eu": 118, "ucr": 54}
