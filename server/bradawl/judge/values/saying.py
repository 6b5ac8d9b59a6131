"""Puts together what somebody else will say: message ids and exact arguments, never a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import exact, units

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .types import (
        Exact,
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
