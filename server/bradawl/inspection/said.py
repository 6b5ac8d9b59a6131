"""Places and readings of an inspection, said to a reader alike at the desk and on paper."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple, cast

from bradawl.inspection import cell_values
from bradawl.judge.costs.remedies import wanted_title
from bradawl.judge.record.visit_facts import distance_km
from bradawl.judge.values import exact, units
from bradawl.judge.values import typed as typed_texts
from bradawl.judge.values.saying import recorded
from bradawl.language import argument, catalogue, decimal, formats, moment, say, text, unit_for
from bradawl.language import date as date_text
from bradawl.language import place as place_text

if TYPE_CHECKING:
    from bradawl.judge.values.types import Bundle, Exact, Json, Said
    from bradawl.language.say import Texts

__all__ = [
    "Amount",
    "Measured",
    "caption",
    "clock_text",
    "distance_text",
    "job_title",
    "measured",
    "named",
    "own_figure",
    "place_text",
    "recorded_text",
    "typed_text",
    "vin_checked",
]

_MOST_DIGITS = 7  # after the point of a figure that was typed


def named(message_id: str, fallback: str) -> str:
    """The text of an id that was put together from a code; `fallback` for a code unknown here."""
    return text(message_id) if catalogue.has(message_id) else fallback


def typed_text(typed: str, unit: str) -> str:
    """What was typed and cannot be read as a figure, with its unit; a date in the reader's form."""
    if not units.is_known(unit or "1"):
        return f"{typed} {unit}"
    days = typed_texts.days(typed) if unit in ("", "1") else []
    shown = date_text(days[0], long=True) if len(days) == 1 else typed
    return formats.with_unit(shown, unit or "1", is_one=typed == "1")


class Amount(NamedTuple):
    """A figure that is already written, and its unit; several figures of one unit are joined."""

    figure: str
    unit: str

    def __str__(self) -> str:
        return formats.with_unit(self.figure, self.unit, is_one=self.figure == "1")


class Measured(NamedTuple):
    """A figure as the reader measures, and as it was read where that is another unit."""

    shown: Amount
    read: Amount | None

    def __str__(self) -> str:
        if self.read is None:
            return str(self.shown)
        return text("measured-read-as", shown=str(self.shown), typed=str(self.read))


def measured(number: Exact, unit: str, typed: str, offered: Sequence[str] = ()) -> Measured:
    """A figure in base units: `0.11 in (read as 2.8 mm)`.

    `typed` and `unit` are what was read. In the reader's own unit nothing is rounded.
    """
    own = Amount(own_figure(typed, units.from_base(number, unit)), unit)
    wanted = unit_for(unit, offered)
    if wanted == unit:
        return Measured(own, None)
    figure = decimal(exact.decimal(units.from_base(number, wanted), units.places(wanted)))
    return Measured(Amount(figure, wanted), own)


def own_figure(typed: str, number: Exact) -> str:
    """A figure in the unit in which it was typed, a fraction as it was typed."""
    return typed if "/" in typed else decimal(exact.decimal(number, _MOST_DIGITS))


def recorded_text(value: object, texts: Mapping[str, Any]) -> str:
    """What somebody recorded in words: as typed, or what they tapped, as the reader says it.

    `texts` are the checklist's rules in the reader's language.
    """
    return str(argument(recorded(cast("Json", value)), texts)) or cell_values.words(value)


def caption(photo: object, texts: Mapping[str, Any]) -> str:
    """What is recorded below a photo."""
    return recorded_text(cell_values.mapping(photo).get("caption"), texts)


def job_title(job: str, done: object, texts: Mapping[str, Any]) -> str:
    """What a finished job is called: as somebody typed, else by its cause or in the checklist.

    `done` is what was recorded when it was finished.
    """
    value = dict(cell_values.mapping(done))
    first, _, name = job.partition("/")
    if first == "wants" or value.get("title"):
        return str(argument(wanted_title(value), texts))
    path = ["baseline", name] if first == "baseline" else ["remedy", first, name]
    return str(argument({"checklist": path}, texts))


def distance_text(value: object) -> str:
    """A recorded distance (odometer, way home); "" for none, as typed where nobody can read it."""
    reading = cell_values.reading(value)
    if reading is None:
        return cell_values.words(value)
    number = distance_km(cast("Json", value))
    if number is None:
        return typed_text(reading.typed, reading.unit)
    return str(measured(number, reading.unit, reading.typed))


def clock_text(recorded: cell_values.Moment, *, long: bool = False) -> str:
    """A day and a clock time in the zone that was recorded with them; as they stand where they are
    none. `long` writes the month out, for paper.
    """
    try:
        at = dt.datetime.fromisoformat(f"{recorded.date}T{recorded.time}{recorded.zone}")
    except ValueError:
        at = None
    if at is not None and recorded.time:
        return moment(at, long=long)
    parts = (date_text(recorded.date, long=long), recorded.time, recorded.zone)
    return " ".join(part for part in parts if part)


def vin_checked(
    bundle: Bundle, judged: Callable[[str], Mapping[str, Any]], texts: Texts
) -> list[str] | None:
    """What the number says of itself, then that another one stands beside it, as sentences.

    `judged` gives the judgment of an item. None: this checklist has no such check; an empty list:
    nobody recorded a number.
    """
    for item in bundle["items"]:
        if item.get("compute", {}).get("kind") != "vin":
            continue
        facts = judged(item["id"]).get("facts", {})
        told = [_value_and_more(facts["vin"]["said"], texts)] if "vin" in facts else []
        if facts.get("vin_same", {}).get("value") == "no":
            told.append(say(facts["vin_same"]["said"], texts))
        return told
    return None


def _value_and_more(sentence: Said, texts: Texts) -> str:
    """A fact without its name."""
    value = str(argument(sentence.get("args", {})["value"], texts))
    return ". ".join([value, *(say(more, texts) for more in sentence.get("then", ()))])
