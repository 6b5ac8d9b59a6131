"""What stands in a record's cell, read as what it should be: one reader for each kind of value.

The log keeps any JSON value at any path: of another version of the app, or of no app at all. Pages
and papers read values here and nowhere else. A reader takes anything and never fails: what is not
of its kind counts as not said, and where a person should see it nonetheless, it is said in words.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bradawl import language
from bradawl.common.display_text import for_line
from bradawl.judge.costs import further
from bradawl.judge.costs.remedies import MOST_MONEY
from bradawl.judge.record.regions import CURRENCIES, region_of
from bradawl.judge.record.visit_facts import USES
from bradawl.judge.values.grades import GRADES

if TYPE_CHECKING:
    from bradawl.judge.values.types import Piece

CURRENCY_LIMIT = 12
MOST_PERIODS = 36
MOST_PIECES = further.MOST_PIECES
MOST_POINTS = 20_000
FARTHEST = 10_000_000  # of a point of a drawn signature
_MOST_SHOWN = 20
_DEEPEST_SHOWN = 3

NOTHING: Mapping[str, Any] = {}


# ---- kinds of JSON values ------------------------------------------------------------------


def text(value: Any) -> str:
    """A text; "" for anything else."""
    return value if isinstance(value, str) else ""


def whole(value: Any, low: int | None = None, high: int | None = None) -> int | None:
    """An integer, within the bounds where they are given; None for anything else."""
    if type(value) is not int:
        return None
    if (low is not None and value < low) or (high is not None and value > high):
        return None
    return value


def mapping(value: Any) -> Mapping[str, Any]:
    """An object; an empty one for anything else."""
    return value if isinstance(value, Mapping) else NOTHING


def sequence(value: Any) -> list[Any]:
    """A list; [] for anything else."""
    return value if isinstance(value, list) else []


def mappings(value: Any) -> list[Mapping[str, Any]]:
    """The objects in a list."""
    return [entry for entry in sequence(value) if isinstance(entry, Mapping)]


def texts(value: Any) -> list[str]:
    """The texts in a list."""
    return [entry for entry in sequence(value) if isinstance(entry, str)]


def words(value: Any, depth: int = _DEEPEST_SHOWN) -> str:
    """Any value as a person reads it: a text as it is, a list with commas, an object by its keys.

    "" for null. Of long lists the beginning, of deep ones the outside.
    """
    if isinstance(value, str):
        return value
    if value is None:
        return ""
    if isinstance(value, bool):
        return language.text("recorded-yes" if value else "recorded-no")
    if isinstance(value, (Mapping, list)):
        return _inside(value, depth)
    return str(value)


def _inside(value: Mapping[str, Any] | list[Any], depth: int) -> str:
    if not depth:
        return "…"
    count = len(value)
    if isinstance(value, list):
        parts = [words(entry, depth - 1) for entry in value[:_MOST_SHOWN]]
        joined = ", ".join(entry for entry in parts if entry)
    else:
        keys = sorted(str(key) for key in value)[:_MOST_SHOWN]
        joined = "; ".join(
            f"{key.replace('-', ' ').replace('_', ' ')}: {words(value.get(key), depth - 1)}"
            for key in keys
        )
    if count <= _MOST_SHOWN:
        return joined
    return language.text("recorded-more", listed=joined, count=count - _MOST_SHOWN)


# ---- kinds of cells ------------------------------------------------------------------------


def value(cells: Mapping[str, Any], path: str) -> Any:
    """What stands at a path, or None."""
    return mapping(cells.get(path)).get("value")


def currency(cells: Mapping[str, Any]) -> str:
    """The visit's currency; its region's where nobody said, "" where nobody could mean it."""
    recorded = for_line(text(value(cells, "about/currency"))).strip()
    if not recorded:
        return CURRENCIES[region_of(dict(cells))]
    return recorded if len(recorded) <= CURRENCY_LIMIT else ""


def uses(cells: Mapping[str, Any]) -> list[str]:
    """What the car is wanted for, as the judge knows uses."""
    wanted = texts(value(cells, "brief/uses"))
    return [use for use in USES if use in wanted]


@dataclass(frozen=True)
class Reading:
    """What was typed, as it is understood where that was recorded too, and its unit."""

    typed: str
    unit: str


def reading(value: Any) -> Reading | None:
    """A reading; None for anything that was not typed with a unit."""
    recorded = mapping(value)
    return (
        Reading(
            text(recorded.get("read")) or words(recorded.get("typed")), text(recorded.get("unit"))
        )
        if "typed" in recorded
        else None
    )


@dataclass(frozen=True)
class Given:
    """A grade that a person gave, one of GRADES or "", and why."""

    grade: str
    why: str


def given(value: Any) -> Given:
    """A person's grade."""
    recorded = mapping(value)
    grade = text(recorded.get("grade"))
    return Given(grade if grade in GRADES else "", words(recorded.get("why")))


@dataclass(frozen=True)
class Moment:
    """A day, a clock time and its zone, as they were recorded."""

    date: str
    time: str
    zone: str

    def __str__(self) -> str:
        return " ".join(part for part in (self.date, self.time, self.zone) if part)


def moment(value: Any) -> Moment:
    """When something was; its parts are "" where nobody said."""
    recorded = mapping(value)
    return Moment(
        text(recorded.get("date")), text(recorded.get("time")), text(recorded.get("zone"))
    )


@dataclass(frozen=True)
class Photo:
    """What is recorded of a photo (its caption: `said.caption`); sizes in pixels, 0 for unknown.

    Photos stand by `order`, the lowest first, and of one order by when they were taken.
    """

    taken: str
    place: str
    width: int
    height: int
    order: int = 0


def photo(value: Any) -> Photo:
    """What a photo's cell says."""
    recorded = mapping(value)
    return Photo(
        taken=text(recorded.get("taken")),
        place=text(recorded.get("place")),
        width=whole(recorded.get("width"), 1, 100_000) or 0,
        height=whole(recorded.get("height"), 1, 100_000) or 0,
        order=whole(recorded.get("order"), -100_000, 100_000) or 0,
    )


@dataclass(frozen=True)
class Done:
    """A job that was finished. `cost_cents`: hundredths of the money; None where nobody said."""

    title: str
    items: list[str]
    date: str
    by: str
    odometer: Reading | None
    cost_cents: int | None
    parts: str
    note: str
    finished: bool = True  # a day's work on a job that goes on says False


def _paid_cents(value: Mapping[str, Any]) -> int | None:
    """`cost_cents`; a record of before it has `cost`, in whole units."""
    cents, units = whole(value.get("cost_cents")), whole(value.get("cost"))
    return units * 100 if cents is None and units is not None else cents


def done(value: Any) -> Done | None:
    """A finished job; None where nothing is said of one."""
    if not isinstance(value, Mapping):
        return None
    return Done(
        title=words(value.get("title")),
        items=texts(value.get("items")),
        date=text(value.get("date")),
        by=words(value.get("by")),
        odometer=reading(value.get("odometer")),
        cost_cents=_paid_cents(value),
        parts=words(value.get("parts")),
        note=words(value.get("note")),
        finished=value.get("finished") is not False,
    )


@dataclass(frozen=True)
class DoneEntry:
    """One entry of the work log: its path, its job, when it was written."""

    path: str
    job: str
    at: str
    done: Done


def done_entries(cells: Mapping[str, Any]) -> list[DoneEntry]:
    """Every entry of the work log, by path: `work/<job>/done/<id>`, or one a job of before."""
    found = []
    for path in sorted(cells):
        job, between, own = path.removeprefix("work/").partition("/done")
        if not (path.startswith("work/") and between) or own.count("/") != (own != ""):
            continue
        recorded = done(value(cells, path))
        if recorded is not None and "/after/" not in path:
            found.append(DoneEntry(path, job, text(mapping(cells[path]).get("at")), recorded))
    return found


def periods(value: Any) -> list[dict[str, Any]]:
    """Budget periods as [{"name", "budget"}, …]."""
    return [
        {"name": words(period.get("name")), "budget": period["budget"]}
        for period in mappings(value)[:MOST_PERIODS]
        if whole(period.get("budget"), 0, MOST_MONEY) is not None
    ]


def pieces(value: Any) -> list[Piece]:
    """Pieces of an assembly, as the judge reads them (`judge/costs/further.py`)."""
    return further.read(value)


# ---- a drawn signature -----------------------------------------------------------------------


def strokes(value: Any) -> list[list[float]]:
    """The lines of a drawn signature, [x, y, x, y, …]; anything that is no such line is left out.

    At most 20,000 points, none farther off than 10 million. (A record holds integers; what is
    drawn at the desk may lie between them.)
    """
    kept: list[list[float]] = []
    points = 0
    for stroke in sequence(value):
        if not isinstance(stroke, list) or len(stroke) < 2:
            continue
        if not all(
            type(coordinate) in (int, float) and abs(coordinate) <= FARTHEST
            for coordinate in stroke
        ):
            continue
        points += len(stroke) // 2
        if points > MOST_POINTS:
            break
        kept.append(stroke[: len(stroke) // 2 * 2])
    return kept


def box(value: Any, usual: tuple[int, int] = (320, 120)) -> tuple[int, int]:
    """Width and height of what a signature was drawn on."""
    sides = [whole(side, 1, FARTHEST) for side in sequence(value)]
    if len(sides) == 2 and sides[0] and sides[1]:
        return sides[0], sides[1]
    return usual
