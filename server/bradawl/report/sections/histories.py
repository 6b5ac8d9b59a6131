"""What may have happened to the car and nobody tells: in words, with the signs for and against.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from reportlab.platypus import Flowable

from bradawl.design import mark
from bradawl.language import text
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.graded import StateRow

if TYPE_CHECKING:
    from bradawl.judge.values.types import HistoryJudgment, HistorySign

__all__ = ["histories"]

#: Standings that a reader wants the signs of; of the others one line says enough.
_TOLD = ("suspected", "likely", "strong")


def histories(page: PageContext) -> list[Flowable]:
    """The chapter; only in a partner's edition, since a suspicion is ours and no finding."""
    rows = page.view.assessment.get("histories") or []
    if page.view.money is None or not rows:
        return []
    return [
        *page.heading("histories", text("histories-title")),
        *(line for row in rows for line in _history(page, row)),
    ]


def _history(page: PageContext, row: HistoryJudgment) -> Iterator[Flowable]:
    if row["standing"] not in _TOLD:
        yield page.plain(page.view.said(row), "row")
        return
    yield page.plain(page.view.said(row), "standing")
    yield from _signs(page, "histories-for", row["speak_for"])
    yield from _signs(page, "histories-against", row["speak_against"])
    if row["next"] is not None:
        yield StateRow(mark("look_here"), page.markup(page.title_of(row["next"])))


def _signs(page: PageContext, title: str, signs: list[HistorySign]) -> Iterator[Flowable]:
    if signs:
        yield page.sentence(title, "label")
    for sign in signs:
        told = page.say(
            "histories-sign", item=page.title_of(sign["item"]), said=page.view.said(sign)
        )
        yield page.paragraph("• " + told, "row")
