"""The wires of a visit at the desk: which items take them, what stands, what was typed anew."""

from __future__ import annotations

import secrets
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from bradawl.desk.model import findings
from bradawl.desk.model.changes import Puts
from bradawl.desk.model.labels import item_title, offered_units
from bradawl.desk.model.typed_values import FieldError, Problems, reading
from bradawl.inspection.snapshot import Snapshot
from bradawl.inspection.wires import CHOICES, FIELDS, Wire, gauge_text, sources_of, wires_of, word
from bradawl.judge.measurements.wires import awg
from bradawl.judge.values.typed import numbers
from bradawl.language import message, text, unit_name

__all__ = [
    "BUNCH",
    "LIMITS",
    "ONE",
    "changes",
    "figure_sources",
    "item_wires",
    "unit_said",
    "units_of",
    "words_of",
]

NEW = "new"  # in place of the id of a wire that is being added
BUNCH = ("where", "count", "gauge", "thickest", "state", "near", "note")
ONE = ("circuit", "gauge", "state", "fuse", "rating", "length", "load", "near", "note")
UNITS = {
    "gauge": ("AWG", "mm2"),
    "thickest": ("AWG", "mm2"),
    "count": ("1",),
    "length": ("ft", "m"),
    "load": ("A",),
    "rating": ("A",),
}
SIZES = ("gauge", "thickest")
LIMITS = {"note": 400, "circuit": 60, "where": 60}
_DIGITS = "0123456789abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True)
class Row:
    """One wire: its fields as a form shows them, [(field, value, unit)]."""

    wire: Wire
    fields: list[tuple[str, str, str]]


@dataclass(frozen=True)
class ItemWires:
    """An item that takes wires, and those that stand on it."""

    id: str
    title: str
    rows: list[Row] = field(default_factory=list)


def item_wires(snapshot: Snapshot) -> list[ItemWires]:
    """Every item that applies and takes wires, those with any first."""
    own = findings.cells_by_item(snapshot)
    shown = []
    for item in snapshot.texts.get("items", ()):
        judged = snapshot.assessment["items"].get(item["id"])
        cells = own.get(item["id"], {})
        if "wires" not in item.get("answers", ()) or not judged or not judged.get("applies", True):
            continue
        rows = [
            Row(wire, _fields(cells, wire))
            for wire in wires_of(cells, judged, snapshot.texts["rules"])
        ]
        shown.append(ItemWires(item["id"], item_title(snapshot.texts, item["id"]), rows))
    return sorted(shown, key=lambda one: not one.rows)


def _fields(cells: Mapping[str, Any], wire: Wire) -> list[tuple[str, str, str]]:
    fields = []
    for name in BUNCH if wire.is_bunch else ONE:
        value = cells.get(f"wires/{wire.id}/{name}", {}).get("value")
        unit = str(value.get("unit", "")) if isinstance(value, Mapping) else ""
        shown = wire.said.get(name, "")
        if name in CHOICES:
            shown = value if isinstance(value, str) else ""
        elif isinstance(value, Mapping) and "typed" in value:
            shown = str(value["typed"])
        fields.append((name, shown, unit))
    return fields


def words_of(snapshot: Snapshot) -> dict[str, list[tuple[str, str]]]:
    """What may be picked, by field: (id, word)."""
    table: Mapping[str, Any] = snapshot.texts["rules"].get("wires") or {}
    offered: dict[str, tuple[str, ...]] = {
        **CHOICES,
        "circuit": tuple(circuit["id"] for circuit in table.get("circuits", ())),
        "where": tuple(table.get("spots", ())),
    }
    return {name: [(one, word(name, one)) for one in ids] for name, ids in offered.items()}


def units_of(name: str) -> list[str]:
    """The units of a field of a form, the reader's own first."""
    if name in SIZES:
        return list(UNITS[name])
    return offered_units(unit for unit in UNITS.get(name, ()) if unit != "1")


def unit_said(unit: str) -> str:
    """A unit as it stands beside a field."""
    return gauge_text("", unit).strip() if unit in UNITS["gauge"] else unit_name(unit)


def figure_sources(snapshot: Snapshot) -> list[str]:
    """The tables that the figures come from, and how well each is known."""
    return sources_of(snapshot.texts["rules"], snapshot.texts.get("sources") or {})


def changes(
    snapshot: Snapshot, item: str, typed: Mapping[str, Mapping[str, tuple[str, str, str]]],
    taken_back: list[str], problems: Problems,
) -> Puts:  # fmt: skip
    """The puts of what was changed on one item.

    `typed` by wire and field: (as it was shown, as it was typed, unit). A field that was left as it
    was shown puts nothing, so nobody overwrites what another one wrote meanwhile.
    """
    puts: Puts = []
    start = f"items/{item}/wires/"
    picked = {name: {said: one for one, said in of} for name, of in words_of(snapshot).items()}
    standing = {path for path, cell in snapshot.cells.items() if cell["value"] is not None}
    for wire, fields in typed.items():
        if wire in taken_back:
            puts += [
                (path, None) for path in sorted(standing) if path.startswith(f"{start}{wire}/")
            ]
            continue
        own: Puts = []
        for name, (seen, now, unit) in fields.items():
            if seen == f"{now} {unit}".strip():
                continue
            with problems.of(f"{item}:{wire}:{name}"):
                own.append((name, _value(name, now, unit, picked.get(name, {}))))
        if wire.startswith(NEW):
            own = [put for put in own if put[1] is not None]
            if own and wire == f"{NEW}-bunch":
                own.append(("kind", "bunch"))
            wire = new_id()
        puts += [(f"{start}{wire}/{name}", value) for name, value in own]
    return puts


def _value(name: str, now: str, unit: str, picked: Mapping[str, str]) -> Any:
    """What is recorded of a field; None for nothing. Raises FieldError."""
    if not now:
        return None
    if name in CHOICES:
        return now if now in CHOICES[name] else None
    if name in SIZES:
        if unit != "mm2" and awg(now) is None:
            raise FieldError(message("desk-wires-no-size", typed=now))
        return {"typed": now, "unit": "mm2" if unit == "mm2" else "AWG"}
    if name in UNITS:
        known = unit if unit in UNITS[name] else UNITS[name][0]
        what = text(f"judge-wire-field-{name}")
        value = reading(now, known, what)
        if not numbers(value["typed"]):  # no meter here says it in a word
            raise FieldError(message("desk-error-number", what=what, typed=now))
        return value
    return picked.get(now, now)


def new_id() -> str:
    """An id that nobody else makes: the time in milliseconds, and chance."""
    number, digits = int(time.time() * 1000), ""
    while number:
        number, digit = divmod(number, len(_DIGITS))
        digits = _DIGITS[digit] + digits
    return f"{digits}-{secrets.token_hex(4)}"


assert set(BUNCH) | set(ONE) == set(FIELDS)
