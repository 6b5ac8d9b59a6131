"""Wires at the desk: what was seen and worked out, changed field by field, and on paper."""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.report.model.build import build_contents
from bradawl.report.model.editions.edition import edition_view
from tests.checkout import checklist_bundle
from tests.desk.browse import forms_of
from tests.desk.conftest import VISIT, Workshop

PAGE = f"/desk/visits/{VISIT}"
HARNESS, FEEDS = "rodents.engine-wiring", "electrical.main-feeds"
PUMP = f"items/{FEEDS}/wires/p1"
BUNCH = f"items/{HARNESS}/wires/b1"


@pytest.fixture
def wired(workshop: Workshop) -> Workshop:
    """A feed without a fuse and a chewed bunch, as a phone recorded them."""
    checklist = checklist_bundle()
    workshop.log.put_bundle(checklist)
    workshop.begin()
    workshop.real = True
    workshop.write(
        [
            ("about/bundle", checklist["hash"]),
            ("about/region", "us"),
            (f"{PUMP}/circuit", "fuel-pump"),
            (f"{PUMP}/gauge", {"typed": "14", "unit": "AWG"}),
            (f"{PUMP}/state", "bare"),
            (f"{PUMP}/fuse", "none"),
            (f"{PUMP}/load", {"typed": "8", "unit": "A"}),
            (f"{PUMP}/length", {"typed": "12", "unit": "ft"}),
            (f"{PUMP}/note", "Ask the seller"),
            (f"{BUNCH}/kind", "bunch"),
            (f"{BUNCH}/count", {"typed": "12", "unit": "1"}),
            (f"{BUNCH}/where", "firewall"),
            (f"{BUNCH}/state", "cut"),
        ]
    )
    return workshop


def form_of(workshop: Workshop, item: str) -> dict[str, str]:
    page = workshop.client.get(f"{PAGE}/wires").text
    forms = [dict(fields) for action, fields in forms_of(page) if action == f"{PAGE}/wires"]
    return next(form for form in forms if form["item"] == item)


def value(workshop: Workshop, path: str) -> Any:
    cell = workshop.snapshot(VISIT).cells.get(path)
    return cell["value"] if cell else None


def save(workshop: Workshop, form: dict[str, str]) -> int:
    return int(workshop.client.post(f"{PAGE}/wires", data=form, follow_redirects=False).status_code)


def test_what_was_seen_and_worked_out_stands_in_a_table_with_its_sources(wired: Workshop) -> None:
    for page in (wired.client.get(PAGE).text, wired.client.get(f"{PAGE}/wires").text):
        assert "Fuel pump, 14 AWG" in page
        assert "bare and live, it can start a fire" in page
        assert "Carries alone: <b>20 A</b>" in page  # 33 CFR 183.425
        assert "Voltage drop: <b>0.29 V</b>" in page  # 0.00306 x 12 x 8, AC 43.13-1B
        assert "12 wires, firewall" in page
    page = wired.client.get(f"{PAGE}/wires").text
    assert "FAA AC 43.13-1B" in page
    assert "33 CFR 183.425" in page
    assert "wires on the harness is cheaper" in page
    assert "wires on the harness is cheaper" in wired.client.get(f"{PAGE}/tip-over").text


def test_a_changed_field_is_the_only_one_that_is_written(wired: Workshop) -> None:
    form = form_of(wired, FEEDS)
    # meanwhile somebody else writes another field of the same wire
    wired.write([(f"{PUMP}/state", "cut")])
    assert save(wired, form | {"p1:gauge": "10", "p1:fuse": "fuse", "p1:rating": "15"}) == 303
    assert value(wired, f"{PUMP}/gauge") == {"typed": "10", "unit": "AWG"}
    assert value(wired, f"{PUMP}/fuse") == "fuse"
    assert value(wired, f"{PUMP}/rating") == {"typed": "15", "unit": "A"}
    assert value(wired, f"{PUMP}/state") == "cut"
    assert value(wired, f"{PUMP}/circuit") == "fuel-pump"


def test_wires_and_bunches_are_added_and_taken_back(wired: Workshop) -> None:
    form = form_of(wired, HARNESS)
    new = {"new-one:circuit": "Injector", "new-one:state": "bare", "new-bunch:count": "3"}
    assert save(wired, form | new) == 303
    wires = wired.snapshot(VISIT).assessment["items"][HARNESS]["facts"]
    # the second bunch has no state: nobody said that it is damaged
    assert wires["wires_all"]["value"] == "13"
    form = form_of(wired, HARNESS)
    assert save(wired, form | {"b1:take-back": "1"}) == 303
    facts = wired.snapshot(VISIT).assessment["items"][HARNESS]["facts"]
    assert facts["wires_all"]["value"] == "1"
    assert value(wired, f"{BUNCH}/where") is None


def test_what_nobody_can_read_is_said_and_keeps_what_was_typed(wired: Workshop) -> None:
    form = form_of(wired, FEEDS) | {"p1:gauge": "fat", "p1:load": "7"}
    answer = wired.client.post(f"{PAGE}/wires", data=form)
    assert answer.status_code == 422
    assert "is no AWG size" in answer.text
    assert 'value="fat"' in answer.text
    assert value(wired, f"{PUMP}/load") == {"typed": "8", "unit": "A"}


@pytest.mark.parametrize("edition", ["condition", "partner"])
def test_a_report_has_them_with_their_sources(wired: Workshop, edition: Any) -> None:
    wired.write([(f"{PUMP}/note", "He came down to $900 for it")])
    contents = build_contents(edition_view(wired.snapshot(VISIT), edition))
    findings = {one.id: one for area in contents.areas for one in area.findings}
    (pump,) = [row for row in findings[FEEDS].readings if row.title == "Fuel pump, 14 AWG"]
    places = dict(pump.places)
    assert places["Carries in a harness"] == "10 A"
    assert places["Shorted, it burns"] == "within a second"
    assert any("FAA AC 43.13-1B" in source for source, _ in contents.sources)
    assert not [fact for fact in findings[FEEDS].facts if "Carries" in fact]
    # a note that gives away money is left out of a buyer's copy, and it says so
    assert ("$900" in places["Seen"]) == (edition == "partner")
    assert ("[Left out of this copy.]" in places["Seen"]) == (edition == "condition")


def test_a_circuit_that_was_typed_names_its_wire_on_paper(wired: Workshop) -> None:
    """A name that is no id of the table is a plain text wherever it is said."""
    wired.write([(f"{PUMP}/circuit", "Rally clock")])
    for edition in ("condition", "repaired", "partner"):
        contents = build_contents(edition_view(wired.snapshot(VISIT), edition))
        titles = [
            row.title for area in contents.areas for one in area.findings for row in one.readings
        ]
        assert "Rally clock, 14 AWG" in titles
