"""What was left for later stands in a buyer's copy where somebody said so, and nowhere else."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bradawl.report.issue import write_report
from bradawl.report.model.attached_record import attached_record
from bradawl.report.model.editions.edition import Choice, Edition, edition_view
from bradawl.report.model.work.told import LeftAlone, left_alone
from tests.report.tools import words
from tests.report.visits import TODAY, puts, snapshot

HOSES = "plan/left/brakes.hoses/replace"


def left(why: str, *, is_told: bool = True, **more: Any) -> dict[str, Any]:
    return {"why": why, "back": "", "told": is_told, "title": "Brake hoses", "items": [], **more}


def visit(*recorded: tuple[str, Any]) -> Any:
    return snapshot([*puts([]), *recorded], [])


@pytest.mark.parametrize("edition", ["condition", "repaired", "partner"])
def test_a_buyer_reads_what_was_left_alone_and_why(edition: Edition, tmp_path: Path) -> None:
    told = visit(
        (HOSES, left("no leak by now", back="a wet spot shows")),
        ("plan/left/rust.sill-left/weld", left("nobody asked yet", is_told=False)),
        ("plan/temporary/brakes.hoses/replace", {"what": "Taped up"}),
    )
    file = tmp_path / "report.pdf"
    write_report(told, file, edition, None, today=TODAY)
    page = " ".join(words(file).split())
    assert "Left alone, and why" in page
    for said in ("Brake hoses:", "no leak by now", "Comes back if: a wet spot"):
        assert said in page
    assert "nobody asked yet" not in page
    assert "Taped up" not in page
    shown = [entry[0] for entry in edition_view(told, edition).shown]
    assert HOSES in shown
    assert ("plan/left/rust.sill-left/weld" in shown) == (edition == "partner")


def test_nothing_is_said_of_what_is_not_told_or_was_done_since(tmp_path: Path) -> None:
    assert left_alone(edition_view(visit((HOSES, left("x", is_told=False))), "condition")) == []
    done = ("work/brakes.hoses/replace/done/0a", {"title": "Hoses", "date": "2026-11-01"})
    assert left_alone(edition_view(visit((HOSES, left("x")), done), "repaired")) == []
    file = tmp_path / "report.pdf"
    write_report(visit(), file, "condition", None, today=TODAY)
    assert "Left alone" not in words(file)


def test_a_price_in_the_reason_is_read_first_and_blacked_out_unless_let_through() -> None:
    told = visit((HOSES, left("would cost $840")))
    view = edition_view(told, "condition")
    (row,) = left_alone(view)
    assert row.why == "███"
    assert "840" not in str(attached_record(view))
    from bradawl.report.model.editions.edition import review

    reviewed = frozenset(one.id for one in review(told, "condition", Choice()) if one.clues)
    let = edition_view(told, "condition", Choice(reviewed=reviewed))
    assert left_alone(let) == [LeftAlone("Brake hoses", "would cost $840", "")]
