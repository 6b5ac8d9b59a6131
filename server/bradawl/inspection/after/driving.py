"""The drive home as the desk shows it: its stops, and what this car wants watched and taken along.

The phone says the same (web/src/app/visit/after/driving.ts); the paths: desk/README.md.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from bradawl.inspection import cell_values, said
from bradawl.inspection.standing import mended_items
from bradawl.judge.trouble import driving
from bradawl.language import listed, place, text

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cells

START, HOME = "0", "home"
_BESIDE = ("parked", "odometer")
_MOST_DIGITS = 4
#: Checks that a line names before it says how many more there are.
_NAMED = 3


@dataclass(frozen=True)
class Answer:
    """What was answered of a sign: `state` is fine, bad, none or mended; `item` its finding."""

    text: str
    state: str
    item: str


@dataclass(frozen=True)
class Stop:
    """One stop: when and at which mileage ("" where nobody said), and what was answered."""

    id: str
    title: str
    when: str
    odometer: str
    answers: tuple[Answer, ...]

    @property
    def fine(self) -> int:
        """How many signs were fine."""
        return len([one for one in self.answers if one.state == "fine"])

    @property
    def beside(self) -> list[Answer]:
        """The answers that were not fine."""
        return [one for one in self.answers if one.state != "fine"]


@dataclass(frozen=True)
class Line:
    """What to watch or to take along, and because of what."""

    title: str
    why: tuple[str, ...]


def stops_of(cells: Cells, table: Mapping[str, Any], assessment: Mapping[str, Any]) -> list[Stop]:
    """The stops of a record in their order, the arrival last; `table` is the bundle's `driving`."""
    mended = mended_items(assessment)
    by_stop: dict[str, dict[str, Any]] = {}
    for path, cell in cells.items():
        parts = path.split("/")
        if parts[0] != "drive" or len(parts) < 3 or cell["value"] is None:
            continue
        if parts[1] == HOME or _number(parts[1]) is not None:
            by_stop.setdefault(parts[1], {})["/".join(parts[2:])] = cell
    ordered = sorted(by_stop, key=lambda stop: (stop == HOME, _number(stop) or 0))
    return [
        Stop(
            stop,
            _title(stop, cells, table),
            said.clock_text(cell_values.moment(_value(by_stop[stop], "parked"))),
            said.distance_text(_value(by_stop[stop], "odometer")),
            tuple(_answers(stop, by_stop[stop], table, mended)),
        )
        for stop in ordered
    ]


def _number(stop: str) -> int | None:
    is_one = stop.isascii() and stop.isdigit() and len(stop) <= _MOST_DIGITS
    return int(stop) if is_one and stop == str(int(stop)) else None


def _value(cells: Mapping[str, Any], name: str) -> Any:
    return cells[name]["value"] if name in cells else None


def _title(stop: str, cells: Cells, table: Mapping[str, Any]) -> str:
    if stop == HOME:
        return text("driving-home")
    if stop == START:
        return text("driving-start")
    odometer = cell_values.mapping(cell_values.value(cells, "car/odometer"))
    usual = "mi" if cell_values.value(cells, "about/region") == "us" else "km"
    legs = {leg["unit"]: leg for leg in table.get("legs") or ()}
    leg = legs.get(cell_values.text(odometer.get("unit"))) or legs.get(usual)
    if leg is None:
        return text("driving-stop", number=stop)
    number, first = int(stop), leg["first"]
    beyond = Decimal(leg["every"]) * (number - len(first))
    after = first[number - 1] if number <= len(first) else str(beyond)
    return text("driving-after", distance=said.distance_text({"typed": after, "unit": leg["unit"]}))


def _answers(
    stop: str, cells: Mapping[str, Any], table: Mapping[str, Any], mended: frozenset[str]
) -> Iterator[Answer]:
    """What was answered, in the table's order; a sign that it has no more stands last."""
    signs = {sign["id"]: sign for sign in table.get("signs") or ()}
    order = list(signs)
    for path in sorted(cells, key=lambda one: (_place_in(order, one.split("/")[0]), one)):
        name, _, at = path.partition("/")
        state = _state(cells[path])
        if name in _BESIDE or not state:
            continue
        sign = signs.get(name) or {}
        item = f"{sign.get('area', '')}.own-drive-{stop}-{name}" + (f"-{at}" if at else "")
        title = sign.get("title") or name
        if at:
            title = text("driving-at", sign=title, place=place(at))
        replies = {reply["id"]: reply["title"] for reply in sign.get("choices") or ()}
        is_mended = state == "bad" and item in mended
        words = "driving-log-mended" if is_mended else "driving-log"
        yield Answer(
            text(words, sign=title, answer=replies.get(state, state)),
            "mended" if is_mended else state,
            item if state == "bad" else "",
        )


def _place_in(order: list[str], name: str) -> int:
    return order.index(name) if name in order else len(order)


def _state(cell: Mapping[str, Any]) -> str:
    """fine, bad or none; of what two people said unseen of one another bad; "" for no answer."""
    values = [cell["value"], *(other["value"] for other in cell.get("others") or ())]
    replies = [cell_values.text(cell_values.mapping(value).get("answer")) for value in values]
    if "bad" in replies:
        return "bad"
    return replies[0] if replies[0] in ("fine", "none") else ""


def plan_of(
    table: Mapping[str, Any], assessment: Mapping[str, Any], titles: Mapping[str, str]
) -> dict[str, list[Line]]:
    """{"watch", "kit"}: the lines that this car wants; {} without a table of the drive home."""
    if not table or not assessment.get("items"):
        return {}
    now = (assessment.get("now") or {}).get("grades") or {}
    plan: Any = driving.plan(table, assessment["items"], now)  # type: ignore[arg-type]
    lines: dict[str, list[Line]] = {}
    for kind in ("watch", "kit"):
        rows = {row["id"]: row for row in table[kind]}
        lines[kind] = [
            Line(rows[one["id"]]["title"], tuple(_why(one, rows[one["id"]], titles)))
            for one in plan[kind]
        ]
    return lines


def _why(
    line: Mapping[str, Any], row: Mapping[str, Any], titles: Mapping[str, str]
) -> Iterator[str]:
    for kind in ("found", "unseen"):
        names = [titles.get(item, item) for item in line[kind]]
        if len(names) > _NAMED:
            names = [*names[:_NAMED], text("driving-others", count=len(names) - _NAMED)]
        if names:
            yield text(f"driving-{kind}", items=listed(names))
    if row.get("reason"):
        yield row["reason"]
