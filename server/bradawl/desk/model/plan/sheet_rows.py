"""The plan's parts sheet as rows, for the workbook and for CSV, and how its words are known again.

A column, a kind, need or want: each has a key, and a word in every locale. A file says the words
of whoever exported it, and is read in whatever locale they are.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

from bradawl.desk.model.labels import item_title, use_word
from bradawl.desk.model.plan.types import KINDS, Job, Plan, Remedy
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs.estimates import hundredths
from bradawl.language import catalogue, text

#: The keys of the columns that a person fills in (`desk-sheet-…`), and of those that may lack.
COLUMNS = (
    *("id", "covers", "title", "kind", "need", "chosen"),
    *("parts-low", "parts-likely", "parts-high", "hours-low", "hours-likely", "hours-high", "loss"),
)
COMPUTED = ("covers", "chosen")
PERIOD_COLUMNS = ("period", "budget")
#: What stands in the column `need` and in the column `chosen`.
NEEDS = ("need", "want")
CHOSEN = ("yes", "no")


def heading(key: str) -> str:
    """A column's key, said."""
    return text("desk-sheet-" + key)


def word(key: str) -> str:
    """What stands in a cell for a key: a kind, need or want, yes or no."""
    return text(_HEAD_OF[key] + key)


_HEAD_OF = {
    **dict.fromkeys(KINDS, "desk-kind-"),
    **dict.fromkeys(NEEDS, "desk-need-"),
    **dict.fromkeys(CHOSEN, "desk-value-"),
}


@cache
def columns_said() -> dict[str, str]:
    """The key of each heading, in every locale and as the key itself."""
    return _said(dict.fromkeys((*COLUMNS, *PERIOD_COLUMNS), "desk-sheet-"))


@cache
def words_said() -> dict[str, str]:
    """The key of each word of a cell, in every locale and as the key itself."""
    return _said(_HEAD_OF)


def _said(head_of: dict[str, str]) -> dict[str, str]:
    return {
        **{
            catalogue.find(head + key, locale, {}).casefold(): key
            for locale in (*catalogue.locales(), catalogue.PSEUDO)
            for key, head in head_of.items()
        },
        **{key: key for key in head_of},
    }


def plan_rows(snapshot: Snapshot, plan: Plan) -> Iterator[list[Any]]:
    """The parts sheet's rows under COLUMNS: every remedy of every open finding, then wishes."""
    for finding in plan.findings:
        if finding.closed:
            continue
        for remedy in finding.remedies:
            yield _row(remedy, _titles(snapshot, remedy.covers), remedy.id in plan.chosen)
    for job in plan.jobs:
        if job.id in plan.remedies:
            continue
        serves = ", ".join(filter(None, [*map(use_word, job.uses), _titles(snapshot, job.items)]))
        kind = "service" if job.service else "own" if job.need else "wish"
        yield _row(job, serves or text("desk-sheet-of-" + kind), True)


def _titles(snapshot: Snapshot, items: list[str]) -> str:
    return ", ".join(item_title(snapshot.texts, item) for item in items)


def _row(line: Remedy | Job, serves: str, chosen: bool) -> list[Any]:
    return [
        line.id,
        serves,
        line.title,
        word(line.kind),
        word("need" if line.need else "want"),
        word("yes" if chosen else "no"),
        *line.parts,
        *(hundredths(hours) / 100 for hours in line.hours),
        line.loss,
    ]
