"""How a car stands now, after work with proof, beside how it was found.

What was found stays: it was signed. Whoever shows a verdict shows the one of now, and with
`found_line` the other in one line below it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from bradawl.inspection import cell_values
from bradawl.language import date, text

if TYPE_CHECKING:
    from bradawl.judge.values.types import DriveHome, Grade

__all__ = [
    "answer_found",
    "answer_now",
    "drive_now",
    "found_line",
    "grade_now",
    "inspected_on",
    "mended_items",
]


def drive_now(assessment: Mapping[str, Any]) -> DriveHome | Mapping[str, Any]:
    """The drive home as it stands; as it was found where work closed nothing."""
    now: Mapping[str, Any] = assessment.get("now") or assessment
    return now.get("drive_home") or {}


def answer_now(assessment: Mapping[str, Any]) -> str:
    """May it be driven, as it stands; "" where the judge has no answer."""
    return str(drive_now(assessment).get("answer", ""))


def answer_found(assessment: Mapping[str, Any]) -> str:
    """What was answered at the inspection, where work has closed something since; else ""."""
    return str(assessment["drive_home"]["answer"]) if assessment.get("now") else ""


def grade_now(assessment: Mapping[str, Any], item: str) -> Grade | None:
    """An item's grade as it stands; what work closed is "none"."""
    grades = (assessment.get("now") or {}).get("grades", {})
    found = (assessment.get("items", {}).get(item) or {}).get("grade")
    grade: Grade | None = grades.get(item, found)
    return grade


def mended_items(assessment: Mapping[str, Any]) -> frozenset[str]:
    """The items whose finding work has closed with proof."""
    now: Mapping[str, Any] = assessment.get("now") or {}
    return frozenset(now.get("mended", ()))


def inspected_on(cells: Mapping[str, Any]) -> str:
    """The day of the inspection (YYYY-MM-DD); "" where nobody said."""
    return cell_values.moment(cell_values.value(cells, "about/started")).date


def found_line(answer: str, day: str) -> str:
    """`At the inspection on Jun 3, 2026: Trailer it.`; "" where there is nothing to tell apart."""
    if not answer:
        return ""
    verdict = text("judge-drive-" + answer.replace("_", "-"))
    if not day:
        return text("judge-found", verdict=verdict)
    return text("judge-found-on", date=date(day), verdict=verdict)
