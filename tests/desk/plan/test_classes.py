"""What class of work a finding is. Common practice, no source."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any, cast

import pytest

from bradawl.desk.model.plan.classes import class_of
from tests.checkout import checklist_bundle

ROOT = Path(__file__).parents[3]


@cache
def rules() -> Any:
    return checklist_bundle()["rules"]["items"]


# item, grade, choice, class
CLASSES = [
    # a shell that was under water or was hit is no matter of looks, however little shows
    ("accident.water", "major", "flood", "reliability"),
    ("accident.water", "minor", "damp", "reliability"),
    ("accident.inner-wings", "major", "", "reliability"),
    ("accident.inner-wings", "minor", "", "reliability"),
    ("accident.diagonals", "major", "", "reliability"),
    ("accident.diagonals", "minor", "", "reliability"),
    ("accident.rails-straight", "dangerous", "", "danger"),
    ("accident.rails-straight", "major", "", "danger"),
    # paint and gaps are
    ("accident.overspray", "minor", "", "looks"),
    ("accident.gaps", "minor", "", "looks"),
    ("body.trim", "minor", "", "looks"),
    # a belt is safety, also where nobody sits behind today
    ("interior.belts-rear", "major", "frayed", "danger"),
    ("interior.belts-rear", "dangerous", "fails", "danger"),
    ("interior.belts-rear", "minor", "none", "comfort"),
    # surface rust is decay, whatever the drive depends on; a weak rocker panel is more
    ("rust.sills", "minor", "surface", "decay"),
    ("rust.rails", "minor", "surface", "decay"),
    ("rust.arches", "major", "soft", "decay"),
    ("rust.sills", "major", "soft", "danger"),
    # what keeps the car where it is
    ("brakes.parking", "major", "seized", "reliability"),
    ("engine.noise", "major", "knock", "reliability"),
    ("interior.heater", "minor", "steps", "comfort"),
    ("interior.heater", "major", "leaks", "reliability"),
    ("cooling.cap", "minor", "hard", "reliability"),
]


@pytest.mark.parametrize(("item", "grade", "choice", "expected"), CLASSES)
def test_work_is_classed_by_what_the_fault_does(
    item: str, grade: str, choice: str, expected: str
) -> None:
    assert class_of(rules()[item], cast("Any", grade), choice) == expected


def test_an_old_checklist_without_effects_still_has_classes() -> None:
    def plain(item: str) -> Any:
        return {key: value for key, value in rules()[item].items() if key != "effects"}

    assert class_of(plain("accident.water"), "major", "flood") == "reliability"
    assert class_of(plain("engine.noise"), "major", "knock") == "reliability"
    assert class_of(plain("interior.heater"), "major", "leaks") == "comfort"
