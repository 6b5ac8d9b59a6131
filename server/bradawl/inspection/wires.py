"""The wires recorded on an item, said to a reader alike at the desk and on paper.

What each bears, loses and risks is the judge's (`judge/measurements/wires.py`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bradawl.inspection import cell_values
from bradawl.inspection.said import named, recorded_text, typed_text
from bradawl.language import argument, source, text

if TYPE_CHECKING:
    from bradawl.judge.values.types import ItemJudgment

__all__ = [
    "CHOICES",
    "FIELDS",
    "SOURCE_OF",
    "Figure",
    "Wire",
    "gauge_text",
    "sources_of",
    "wires_of",
    "word",
]

#: Everything that may be said of a wire or a bunch, in the order in which it is read.
FIELDS = (
    *("where", "count", "circuit", "gauge", "thickest", "state", "fuse", "rating", "length"),
    *("load", "near", "note"),
)
#: Fields of which one of several words is recorded.
CHOICES = {
    "state": ("insulated", "nibbled", "bare", "cut"),
    "fuse": ("none", "fuse", "link"),
    "near": ("metal", "fuel", "heat", "moving", "nothing"),
}
#: What the columns of the table are called where their sources are listed.
COLUMNS = {
    "bears": "bears",
    "alone": "alone",
    "resistance": "drop",
    "drop": "drop-allowed",
    "hot": "drop-hot",
    "fuses": "fuse",
    "area": "gauge",
    "battery": "short",
    "heat": "heat",
}
#: What the judge works out of a wire, and the column of the table that it comes from.
SOURCE_OF = {
    "bears": "bears",
    "alone": "alone",
    "fuse": "fuses",
    "fuse_most": "fuses",
    "drop": "resistance",
    "drop_hot": "hot",
    "short": "battery",
    "heat": "heat",
}
_MOST = 400  # wires of one item: a page must stay a page


@dataclass(frozen=True)
class Figure:
    """Something that was worked out: what it is called, what it came to, the table's column."""

    label: str
    said: str
    column: str


@dataclass(frozen=True)
class Wire:
    """One wire or a bunch; `said` is what was recorded, in words by field."""

    id: str
    is_bunch: bool
    name: str
    risk: str
    said: dict[str, str]
    figures: tuple[Figure, ...]

    @property
    def seen(self) -> str:
        """What was recorded beside its name, in one line."""
        named_already = ("circuit", "gauge", "thickest", "where", "count")
        parts = [
            text("judge-fact", name=text(f"judge-wire-field-{field}"), value=self.said[field])
            if field in ("fuse", "rating", "length", "load", "near")
            else self.said[field]
            for field in FIELDS
            if self.said.get(field) and field not in named_already
        ]
        return "; ".join(parts)


def sources_of(texts: Mapping[str, Any], sources: Mapping[str, Any]) -> list[str]:
    """Where each figure comes from, and how well that is known: `Carries alone: 33 CFR …`."""
    table: Mapping[str, Any] = texts.get("wires") or {}
    columns: Mapping[str, str] = table.get("sources") or {}
    lines = []
    for column, name in columns.items():
        cited = source(name, sources) or str((sources.get(name) or {}).get("title", name))
        label = text("judge-fact-wire-" + COLUMNS.get(column, "gauge"))
        lines.append(text("judge-fact", name=label, value=cited))
    return lines


def word(field: str, value: Any) -> str:
    """A word of the wire tables; anything else as it was typed."""
    typed = cell_values.text(value)
    return named(f"judge-wire-{field}-{typed}", typed) if typed else cell_values.words(value)


def wires_of(
    cells: Mapping[str, Any],
    judged: ItemJudgment | None,
    texts: Mapping[str, Any],
    withheld: str = "",
) -> list[Wire]:
    """The wires of an item whose cells are `cells`, by their paths below it, the first first.

    `withheld` stands for a note that is left out.
    """
    found: dict[str, dict[str, Any]] = {}
    for inside, cell in sorted(cells.items()):
        parts = inside.split("/")
        if parts[0] != "wires" or len(parts) != 3:
            continue
        if cell.get("withheld"):
            found.setdefault(parts[1], {})[parts[2]] = withheld
        elif cell.get("value") is not None:
            found.setdefault(parts[1], {})[parts[2]] = cell["value"]
    facts: Mapping[str, Any] = judged.get("facts") or {} if judged else {}
    return [_wire(name, fields, facts, texts) for name, fields in list(found.items())[:_MOST]]


def _wire(
    name: str,
    fields: Mapping[str, Any],
    facts: Mapping[str, Any],
    texts: Mapping[str, Any],
) -> Wire:
    is_bunch = fields.get("kind") == "bunch"
    said = {field: _said(field, fields[field], texts) for field in FIELDS if field in fields}
    figures = []
    for key, column in SOURCE_OF.items():
        value = _of(facts, key, name, texts)
        if value:
            label = text("judge-fact-wire-" + key.replace("_", "-"))
            figures.append(Figure(label, value, column))
    called = [said.get("circuit", "") or text("judge-wire-one")]
    if is_bunch:
        digits = "".join(c for c in said.get("count", "") if c.isascii() and c.isdigit())
        called = [text("judge-wire-bunch", count=int(digits[:6] or "1")), said.get("where", "")]
    thin, thick = said.get("gauge", ""), said.get("thickest", "")
    is_mixed = thin and thick and thin != thick
    called.append(text("judge-wire-sizes", thin=thin, thick=thick) if is_mixed else thin or thick)
    return Wire(
        name,
        is_bunch,
        ", ".join(part for part in called if part),
        _of(facts, "risk", name, texts),
        said,
        tuple(figures),
    )


def _of(facts: Mapping[str, Any], key: str, name: str, texts: Mapping[str, Any]) -> str:
    """What a fact of a wire came to; "" where there is none."""
    fact = facts.get(f"wire_{key}.{name}")
    return str(argument(fact["said"]["args"]["value"], texts)) if fact else ""


def gauge_text(size: str, unit: str) -> str:
    """A size as it is written on a reel: 14 AWG, 2.5 mm\u00b2."""
    return text("judge-wire-mm2" if unit == "mm2" else "judge-wire-awg", size=size)


def _said(field: str, value: Any, texts: Mapping[str, Any]) -> str:
    if field == "note":
        return recorded_text(value, texts)
    read = cell_values.reading(value)
    if read is None:
        return word(field, value)
    if field in ("gauge", "thickest"):
        return gauge_text(read.typed, read.unit)
    return typed_text(read.typed, read.unit)
