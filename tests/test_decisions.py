"""Decisions stand in the folders' README files, each with a number of its own and its date."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

ROOT = Path(__file__).parents[1]
PLACES = ("*.md", "checklists", "demo", "server", "tests", "web/README.md")
#: As list item, paragraph or first cell of a table: `D12, 2026-11-25`.
RECORD = re.compile(r"^(?:- |\| )?(?:\*\*)?(?:D(?P<number>\d+), )?(?P<date>20\d\d-\d\d-\d\d)\b")


def _records() -> list[tuple[str, str | None, str]]:
    """Place, number and date of everything that begins with a date."""
    files = [
        file
        for place in PLACES
        for file in (ROOT.glob(place) if "." in place else (ROOT / place).rglob("*.md"))
        if not {"bundled", "node_modules"} & set(file.parts)
    ]
    return [
        (f"{file.relative_to(ROOT)}:{number}", match["number"], match["date"])
        for file in sorted(files)
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1)
        if (match := RECORD.match(line))
    ]


RECORDS = _records()


def test_every_decision_has_a_number_that_no_other_has() -> None:
    places: dict[str, list[str]] = {}
    free = 1 + max(int(number) for _, number, _ in RECORDS if number)
    unnumbered = [place for place, number, _ in RECORDS if not number]
    assert unnumbered == [], f"The next free number is D{free}."
    for place, number, _ in RECORDS:
        places.setdefault(str(number), []).append(place)
    assert {f"D{n}": where for n, where in places.items() if len(where) > 1} == {}, (
        f"The next free number is D{free}."
    )


def test_every_decision_has_a_date_of_the_calendar() -> None:
    assert len(RECORDS) > 100
    assert all(date.fromisoformat(day) for _, _, day in RECORDS)


def test_every_section_of_decisions_holds_some() -> None:
    with_records = {place.rpartition(":")[0] for place, _, _ in RECORDS}
    with_section = {
        str(file.relative_to(ROOT))
        for folder in ("checklists", "demo", "server", "tests", "web")
        for file in (ROOT / folder).rglob("README.md")
        if "node_modules" not in file.parts
        and re.search(r"^## Decisions", file.read_text(encoding="utf-8"), re.MULTILINE)
    }
    assert with_section - with_records == set()
