"""No heading is the last in its column, whatever is written where.

Seen from outside: headings by the structure of the file (H1 to H6, ISO 32000-1, 14.8.4.3.2), what
follows by where the pages' code begins to write it. That a heading
keeps with its text is a rule of typography (common practice, no source).
"""

from __future__ import annotations

import itertools
import random
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

import pikepdf
import pytest

from bradawl.report.issue import write_report
from bradawl.report.layout.style import COLUMN_WIDTH
from bradawl.report.printing import Printing
from tests.amount import amount
from tests.report.full_visit import full_visit
from tests.report.layout.test_layout import written
from tests.report.visits import TODAY, snapshot


class Shown(NamedTuple):
    """A piece of marked content: of which element, and where its text begins (points)."""

    role: str
    element: int
    x: float
    y: float


def roles_of(pdf: Any) -> dict[tuple[int, int], tuple[str, int]]:
    """Role and number of each marked content's element, by page object and mark."""
    found: dict[tuple[int, int], tuple[str, int]] = {}
    waiting = [pdf.Root.StructTreeRoot.K]
    while waiting:
        element = waiting.pop()
        parts = element.get("/K") if "/K" in element else pikepdf.Array()
        for part in parts if isinstance(parts, pikepdf.Array) else [parts]:
            if isinstance(part, int):
                found[element.Pg.objgen[0], part] = (str(element.S), element.objgen[0])
            elif part.get("/Type") == "/MCR":
                found[part.Pg.objgen[0], int(part.MCID)] = (str(element.S), element.objgen[0])
            elif "/S" in part:
                waiting.append(part)
    return found


def shown_on(page: Any, roles: dict[tuple[int, int], tuple[str, int]]) -> list[Shown]:
    """What a page shows as content, in reading order."""
    found: list[Shown] = []
    matrix, stack = pikepdf.Matrix(), []
    role: tuple[str, int] | None = None
    for operands, operator in pikepdf.parse_content_stream(page):
        name = str(operator)
        if name == "q":
            stack.append(matrix)
        elif name == "Q":
            matrix = stack.pop()
        elif name == "cm":
            matrix = pikepdf.Matrix(*map(float, operands)) @ matrix
        elif name == "BDC" and "/MCID" in operands[1]:
            role = roles[page.obj.objgen[0], int(operands[1].MCID)]
        elif name == "Tm" and role:
            x, y = matrix.transform((float(operands[4]), float(operands[5])))
            found.append(Shown(*role, x, y))
            role = None
        elif name == "Do" and role:
            x, y = matrix.transform((0.0, 0.0))
            found.append(Shown(*role, x, y))
            role = None
    return found


def alone(file: Path) -> list[str]:
    """The headings after which nothing stands in their column; each with its page."""
    with pikepdf.open(file) as pdf:
        roles = roles_of(pdf)
        shown = [
            (number, one)
            for number, page in enumerate(pdf.pages, 1)
            for one in shown_on(page, roles)
        ]
    lonely = []
    for (number, one), (on, after) in itertools.pairwise([*shown, (0, Shown("", 0, 0.0, 0.0))]):
        if one.role not in ("/H2", "/H3", "/H4") or after.element == one.element:
            continue  # a heading longer than its column goes on in the next
        if on != number or after.y > one.y + 1 or after.x - one.x > COLUMN_WIDTH:
            lonely.append(f"page {number}: {one}")
    return lonely


@pytest.mark.parametrize("seed", range(amount(12, short=5)))
def test_no_heading_of_a_random_visit_stands_alone(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    recorded, judgement = written(chance)
    visit = snapshot(recorded, judgement=judgement)
    for edition, paper in (("partner", "letter"), ("condition", "a4")):
        file = tmp_path / f"{edition}.pdf"
        printing = Printing.of(paper=paper)
        write_report(visit, file, edition, None, printing=printing, today=TODAY)
        assert alone(file) == []


@pytest.mark.parametrize("lines", range(0, 16, 2 if amount(1, short=0) else 5))
def test_none_does_wherever_it_comes_to_lie(tmp_path: Path, lines: int) -> None:
    """The same long visit, pushed down line by line."""
    visit = full_visit()
    (note, *_) = sorted(
        path for path in visit.cells if path.startswith("items/rust.") and path.endswith("/note")
    )
    cell = {**visit.cells[note], "value": "One more line.\n" * (lines + 1)}
    visit = replace(visit, cells={**visit.cells, note: cell})
    file = tmp_path / "report.pdf"
    write_report(visit, file, "partner", None, today=TODAY)
    assert alone(file) == []
