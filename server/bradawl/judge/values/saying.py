"""Puts together what somebody else will say: message ids and exact arguments, never a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import exact, units

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .types import (
        Exact,
        Json,
        Measure,
        Said,
        SaidArgument,
        SaidFact,
        SaidList,
        SaidNumber,
        SaidTerm,
        SaidTitle,
    )


#: Facts that are a distance to a limit; below zero, it was passed.
MARGINS = ("above_minimum", "above_wet", "below_dry", "below_maximum", "play_over")

#: What a tap records in place of words: messages that are said to whoever reads.
CHIPS = (
    "chip-not-access", "chip-not-safe", "chip-not-seller", "chip-not-dark", "chip-not-tool",
    "chip-not-time", "chip-over-again", "chip-over-gauge", "chip-over-new", "chip-over-known",
    "chip-both-again", "chip-both-place", "chip-both-since",
    "chip-photo-overview", "chip-photo-close", "chip-photo-below", "chip-photo-left",
    "chip-photo-right", "chip-photo-drawn",
)  # fmt: skip


def said(name: str, args: dict[str, SaidArgument] | None = None) -> Said:
    """The message `judge-<name>`."""
    sentence: Said = {"id": "judge-" + name}
    if args:
        sentence["args"] = args
    return sentence


def term(name: str) -> SaidTerm:
    """The message `judge-<name>` inside another."""
    return {"term": "judge-" + name}


def grade(name: str | None) -> SaidTerm:
    return {"term": "grade-" + str(name)}


def title(kind: str, *ids: str) -> SaidTitle:
    """A text of the checklist: of an item, its reading, choice or remedy, of a row of a table."""
    return {"checklist": [kind] + list(ids)}


def figure(number: Exact, unit: str) -> SaidNumber:
    """A figure in base units, to be shown in the reader's unit."""
    text = str(number[0]) if number[1] == 1 else "%d/%d" % number
    return {"number": text, "unit": unit}


def of_unit(number: Exact, unit: str) -> SaidNumber:
    """A figure in that unit."""
    return figure(units.to_base(number, unit), unit)


def edge(text: str, unit: str, beside: Measure | None) -> SaidNumber:
    """A checklist's figure as it is written there; shown in the unit of the measure beside it."""
    shown = of_unit(exact.figure(text) or exact.ZERO, unit)
    shown["typed"] = text
    if beside is not None:
        _offer(shown, beside)
    return shown


def _offer(shown: SaidNumber, measure: Measure) -> None:
    """The units in which the reading of a measure is asked for."""
    if measure.get("offered"):
        shown["offered"] = measure["offered"]
        shown["like"] = measure["like"]


def listed(parts: Sequence[SaidArgument], last: str = "and") -> SaidList:
    return {"list": list(parts), "last": "or" if last == "or" else "and"}


def is_short(measure: Measure) -> bool:
    """Whether a margin has been used up: it is said as how much is lacking, never as below zero."""
    number = measure["number"]
    return measure["of"] in MARGINS and number is not None and number[0] < 0


def measured(measure: Measure) -> SaidArgument:
    """The figure or word of a measure; a reading's as it was typed."""
    number = measure["number"]
    if number is None:
        return measure.get("shown") or str(measure["word"])
    shown = figure(exact.absolute(number) if is_short(measure) else number, measure["unit"])
    _offer(shown, measure)
    if "typed" in measure:
        shown["typed"] = measure["typed"]
    return shown


def headed(measure: Measure) -> SaidArgument:
    """What a measure is called, with its place."""
    if "called" in measure:
        return measure["called"]
    short: SaidFact = {"fact": measure["of"] + "_short"}
    name = short if is_short(measure) else measure["title"].copy()
    if measure["place"]:
        name["at"] = measure["place"]
    return name


def alone(sentence: Said) -> Said:
    """The sentence without those that follow it."""
    first: Said = {"id": sentence["id"]}
    if "args" in sentence:
        first["args"] = sentence["args"]
    return first


def recorded(value: Json) -> SaidArgument:
    """What stands in a record by its ids where nobody typed a word; "" for anything else.

    A chip: {"term": "chip-not-dark"}, or {"checklist": ["why", item, its English text]}. A cause
    found at the desk, as `_cause` has it.
    """
    if not isinstance(value, dict):
        return ""
    name, ids = value.get("term"), _texts(value.get("checklist"))
    if isinstance(name, str) and name in CHIPS:
        return {"term": name}
    if len(ids) == 3 and ids[0] == "why":
        return {"checklist": ids}
    return _cause(value)


def _cause(value: dict[str, Json]) -> SaidArgument:
    """{"cause": [symptom, cause], "titles": [theirs, in English]}, and of a reason also after how
    many `tests`; records of an older desk say how sure it was, in `tenths` of a percent.
    """
    ids, titles = _texts(value.get("cause")), _texts(value.get("titles"))
    if len(ids) != 2 or len(titles) != 2:
        return ""
    args: dict[str, SaidArgument] = {
        "symptom": title("symptom", ids[0], titles[0]),
        "cause": title("cause", ids[0], ids[1], titles[1]),
    }
    tenths, tests = count(value.get("tenths")), count(value.get("tests"))
    if tests < 0:
        return {"said": said("cause-job", args)}
    args["count"] = tests
    if tenths < 0:
        return {"said": said("cause-tested", args)}
    args["chance"] = {"number": str(tenths // 10), "unit": "%"}
    return {"said": said("cause-found", args)}


def count(value: Json) -> int:
    """A whole number; -1 for anything else."""
    return -1 if value is True or value is False or not isinstance(value, int) else value


def _texts(value: Json) -> list[str]:
    """The texts in a list; [] where anything else stands there."""
    if not isinstance(value, list):
        return []
    texts = [entry for entry in value if isinstance(entry, str)]
    return texts if len(texts) == len(value) else []
