"""Which column of the parts list each heading of a list means, and what the shop remembers of it.

A heading that is a column's own name, or another name of it, is taken; one that only looks like it
is offered. What somebody chose is kept with the shop for the next list with the same headings.
"""

from __future__ import annotations

import difflib
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from bradawl.desk.model.lists.files import Table, Value
from bradawl.desk.model.log import DeskLog
from bradawl.desk.model.parts.columns import COLUMNS, FIELDS
from bradawl.judge import fold
from bradawl.language import catalogue, text

__all__ = ["INTO_NOTE", "LEFT_OUT", "Heading", "headings_of", "memory_path", "remembered"]

SHOP, PATH = "shop", "lists/"
#: What else a heading may be: its cells go into the note with it, or nowhere.
INTO_NOTE, LEFT_OUT = "into-note", "left-out"
LIKE = 0.8  # difflib's ratio from which a heading is offered
HEADS_WITHIN = 25  # rows from the top
TYPED = tuple(column for column in COLUMNS if not column.is_fixed)


@dataclass(frozen=True)
class Heading:
    """One column of a list: what it is called there, and what it is taken for."""

    number: int  # from 0
    title: str
    column: str
    how: str  # remembered | exact | near | chosen | none


def folded(heading: str) -> str:
    """A heading without what people write differently: case, points, the sign for a number."""
    letters = heading.casefold().replace("#", " number ")
    return " ".join("".join(c if c.isalnum() else " " for c in letters).split())


@cache
def _names() -> dict[str, str]:
    """Column by every name of it, in every locale; its own title goes before another's synonym."""
    found = {folded(column.key): column.key for column in TYPED}
    locales = (*catalogue.locales(), catalogue.PSEUDO)
    for kind in ("col", "also"):
        for locale in locales:
            for column in TYPED:
                name = f"desk-parts-{kind}-{column.key.replace('_', '-')}"
                for said in catalogue.find(name, locale, {}).split("|"):
                    if folded(said):
                        found.setdefault(folded(said), column.key)
    # what our own files say beside, and what is worked out anew
    beside = [f"desk-sheet-each-{point}" for point in ("low", "likely", "high")]
    beside += [f"desk-parts-col-{column.key}" for column in COLUMNS if column.is_fixed]
    for locale in locales:
        for name in beside:
            found.setdefault(folded(catalogue.find(name, locale, {})), LEFT_OUT)
    return found


def head_row(table: Table) -> int:
    """The number of the row that holds the headings; 0 where none looks like it."""
    names = _names()
    first = list(table.rows)[:HEADS_WITHIN]
    known = {
        n: len({names[folded(cell.text)] for cell in table.rows[n] if folded(cell.text) in names})
        for n in first
    }
    best = max(first, key=lambda n: known[n])
    if known[best]:
        return best
    wide = max(len(row) for row in table.rows.values())
    if wide == 1:
        return 0
    # rows of a title are short
    return next(n for n in first if 2 * len(table.rows[n]) >= wide or n == first[-1])


def headings_of(
    log: DeskLog, table: Table, head: int, chosen: Mapping[int, str] | None = None
) -> list[Heading]:
    """Each column of a table with what it is taken for: as chosen, remembered, named or alike."""
    width = max(len(row) for row in table.rows.values())
    cells = table.rows.get(head, []) + [Value("")] * width
    titles = [
        cell.text or text("desk-parts-list-column-n", n=n)
        for n, cell in enumerate(cells[:width], 1)
    ]
    if chosen is not None:
        allowed = {*(column.key for column in TYPED), INTO_NOTE, LEFT_OUT}
        picked = [chosen.get(n, LEFT_OUT) for n in range(width)]
        return [
            Heading(n, title, pick if pick in allowed else LEFT_OUT, "chosen")
            for n, (title, pick) in enumerate(zip(titles, picked, strict=True))
        ]
    return _recognized(titles, remembered(log, titles), has_heads=bool(head))


def _recognized(
    titles: Sequence[str], known: Mapping[str, str], *, has_heads: bool
) -> list[Heading]:
    names = _names()
    found: dict[int, tuple[str, str]] = {}
    used: set[str] = set()

    def take(n: int, column: str, how: str) -> None:
        if n not in found and (column not in used or column in (INTO_NOTE, LEFT_OUT)):
            found[n] = (column, how)
            used.add(column)

    for n, title in enumerate(titles):
        if folded(title) in known:
            take(n, known[folded(title)], "remembered")
    for n, title in enumerate(titles):
        if folded(title) in names:
            take(n, names[folded(title)], "exact")
    for n, title in enumerate(titles):
        for like in difflib.get_close_matches(folded(title), names, 3, LIKE):
            take(n, names[like], "near")
    if not has_heads and len(titles) == 1:
        take(0, "what", "near")
    return [
        Heading(n, title, *found.get(n, (INTO_NOTE if has_heads else LEFT_OUT, "none")))
        for n, title in enumerate(titles)
    ]


def memory_path(titles: Sequence[str]) -> str:
    """Where the shop keeps what was chosen for lists with these headings, in whatever order."""
    names = "\n".join(sorted({folded(title) for title in titles}))
    return PATH + hashlib.sha256(names.encode()).hexdigest()[:16]


def remembered(log: DeskLog, titles: Sequence[str]) -> dict[str, str]:
    """What was chosen for these headings before: {folded heading: column}."""
    cell = fold(log.events_in(SHOP)).get(memory_path(titles))
    value = cell["value"] if cell else None
    columns = value.get("columns") if isinstance(value, dict) else None
    if not isinstance(columns, dict):
        return {}
    allowed = {*(key for key in FIELDS if not FIELDS[key].is_fixed), INTO_NOTE, LEFT_OUT}
    return {
        name: column
        for name, column in columns.items()
        if isinstance(column, str) and column in allowed
    }


def to_remember(headings: Sequence[Heading]) -> dict[str, dict[str, str]]:
    """What the shop keeps of a mapping; of headings that are called alike, the first."""
    columns: dict[str, str] = {}
    for heading in headings:
        columns.setdefault(folded(heading.title), heading.column)
    return {"columns": columns}
