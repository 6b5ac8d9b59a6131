"""A checklist's words for a reason are written to stand within a sentence; alone they begin one."""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.report.model.build import build_contents
from bradawl.report.model.contents import Contents
from bradawl.report.model.editions.edition import edition_view
from bradawl.report.model.texts import standing_alone
from tests.report.reprint.judged import PEDAL, recorded, visit_with

#: A reason that the checklist offers for the pedal, as the phone records it.
CHIP = "sinks slowly"
OFFERED = {"checklist": ["why", PEDAL, CHIP]}


def contents(*more: tuple[str, Any]) -> Contents:
    return build_contents(edition_view(visit_with(recorded(*more)), "condition"))


@pytest.mark.parametrize(
    ("why", "shown"), [(OFFERED, "Sinks slowly"), ("rears like an old mule", None)]
)
def test_a_reason_alone_begins_like_a_sentence_and_a_persons_own_words_stay(
    why: Any, shown: str | None
) -> None:
    made = contents((f"items/{PEDAL}/why", why))
    (fault,) = [one for area in made.areas for one in area.findings if one.id == PEDAL]
    assert [one.text for one in fault.reasons][-1:] == [shown or why]


@pytest.mark.parametrize(("note", "shown"), [(OFFERED, "Sinks slowly"), ("sinks.", "sinks.")])
def test_a_note_by_one_tap_begins_like_a_sentence(note: Any, shown: str) -> None:
    made = contents((f"items/{PEDAL}/note", note))
    (fault,) = [one for area in made.areas for one in area.findings if one.id == PEDAL]
    assert fault.note == shown


def test_why_nobody_looked_stands_within_a_sentence_and_alone() -> None:
    made = contents((f"items/{PEDAL}/grade", {"grade": "uninspected"}),
                    (f"items/{PEDAL}/why", OFFERED))  # fmt: skip
    (pedal,) = [one for area in made.areas for one in area.unseen if one.item == PEDAL]
    assert (pedal.why, pedal.why_alone) == (CHIP, "Sinks slowly")
    others = {one.why_alone for area in made.areas for one in area.unseen if one.item != PEDAL}
    assert others
    assert all(one == standing_alone(one) for one in others)


def test_a_finding_names_the_cars_own_figure_and_where_it_was_read_and_no_advice() -> None:
    rotor, thin = "brakes.front-discs", {"typed": "0.84", "unit": "in"}
    made = contents(
        ("car/rotor_front", {"typed": "0.87", "unit": "in", "from": "part"}),
        ("car/look_first", [{"item": rotor, "chance": "often", "note": "Wears inside."}]),
        *((f"items/{rotor}/readings/thickness/front-{side}", thin) for side in ("left", "right")),
    )
    (fault,) = [one for area in made.areas for one in area.findings if one.id == rotor]
    said = " ".join(one.text for one in fault.reasons)
    assert "Minimum stamped on the rotor: 0.87 in, stamped on the part." in said
    assert "Wears inside" not in said
