"""Context passed to each computation: readings and parameters in, named facts out.

A computation is a function of one `Context`; registry.py lists them by name. Figures are exact
numbers in base units; nothing here rounds except `display_value`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import readings
from ..values import exact, units
from ..values.saying import headed, listed, measured, said, title

if TYPE_CHECKING:
    from ..values.types import (
        Compute,
        Exact,
        Fact,
        Measure,
        Problem,
        Said,
        SaidArgument,
        VisitFacts,
    )

    # a unit, or the one that a reading was typed in, those it is asked for in, and its name
    Units = str | tuple[str, list[str], str]

# digits after the point that a figure of that unit deserves
_PLACES = {"mm": 2, "in": 3, "in/32": 1, "V": 2, "bar": 2, "psi": 1, "inHg": 1, "yr": 1, "mil": 1}


class Context:
    """Readings, parameters, the choice and the visit's facts of one item.

    `facts` collects measures (readings.measure), `problems` what could not be worked out.
    """

    def __init__(
        self,
        item: str,
        measures: list[Measure],
        parameters: Compute,
        choice: str,
        visit: VisitFacts,
    ) -> None:
        self.item = item
        self.choice = choice
        self.visit = visit
        self.facts: list[Measure] = []
        self.problems: list[Problem] = []
        self._parameters = parameters
        self._measures = measures

    def taken(self) -> list[Measure]:
        """Every reading that counts here."""
        return self._measures

    def figures_at(self, name: str) -> dict[str, Exact]:
        """The figures of the readings of that name, by place."""
        figures = {}
        for measure in self._measures:
            if measure["of"] == name and measure["number"] is not None:
                figures[measure["place"]] = measure["number"]
        return figures

    def words_of(self, name: str) -> list[tuple[Measure, str]]:
        """The readings of that name that are words: codes, dates, `none`, `open`."""
        return [
            (measure, measure["word"])
            for measure in self._measures
            if measure["of"] == name and measure["word"] is not None
        ]

    def figure_of(self, name: str) -> Exact | None:
        """The figure of a reading without places, in base units; None when it was not taken."""
        for measure in self._measures:
            if measure["of"] == name and measure["number"] is not None:
                return measure["number"]
        return None

    def reading_of(self, name: str) -> Measure:
        """The reading whose figure `figure_of` gives. Raises KeyError where there is none."""
        for measure in self._measures:
            if measure["of"] == name and measure["number"] is not None:
                return measure
        raise KeyError(name)

    def unit(self, name: str, default: Units) -> Units:
        """The unit in which that reading was typed, and those offered: results are shown so."""
        if self.figure_of(name) is None:
            return default
        reading = self.reading_of(name)
        return reading["unit"], reading["offered"], name

    def parameter(self, name: str, default: str) -> str:
        return str(self._parameters.get(name, default))

    def figure(self, name: str, default: str, unit: str) -> Exact:
        """A parameter as a figure in base units; the default when it cannot be read."""
        number = exact.parse(self.parameter(name, default))
        if number is None:
            number = exact.parse(default) or exact.ZERO
        return units.to_base(number, unit)

    def strings(self, name: str) -> list[str]:
        """A parameter that is a list of texts."""
        value = self._parameters.get(name)
        return [str(entry) for entry in value] if isinstance(value, list) else []

    def table(self, name: str) -> list[list[str]]:
        """A parameter that is a list of lists of texts."""
        value = self._parameters.get(name)
        if not isinstance(value, list):
            return []
        return [[str(entry) for entry in row] for row in value if isinstance(row, list)]

    def fact(
        self, name: str, number: Exact, unit: Units, place: str = "", more: Said | None = None
    ) -> None:
        """Leave a figure (in base units) under a name; `more` is said after it."""
        measure = self._new(name, place, more)
        measure["number"] = number
        if isinstance(unit, str):
            measure["unit"] = unit
        else:
            measure["unit"], measure["offered"], measure["like"] = unit

    def say(self, name: str, word: str, place: str = "", more: Said | None = None) -> Measure:
        """Leave a word under a name; `more` explains it."""
        measure = self._new(name, place, more)
        measure["word"] = word
        measure["shown"] = {"term": readings.word_id(name, word)}
        return measure

    def explain(self, name: str, word: str, place: str = "") -> None:
        """Leave a word that the message `judge-more-<name>-<word>` explains."""
        self.say(name, word, place, said("more-" + name.replace("_", "-") + "-" + word))

    def add_problem(self, code: str, name: str, of: Measure, typed: str = "") -> None:
        args: dict[str, SaidArgument] = {"name": headed(of)}
        if typed:
            args["typed"] = typed
        self.problems.append(readings.problem(code, name, args, of.get("path", "")))

    def add_unmeasured(self, reading: str) -> None:
        """Say that a reading is wanted which only some cars have, and this one seems to."""
        args: dict[str, SaidArgument] = {"readings": listed([title("reading", self.item, reading)])}
        path = "items/" + self.item + "/readings"
        self.problems.append(readings.problem("incomplete", "incomplete-readings", args, path))

    def _new(self, name: str, place: str, more: Said | None) -> Measure:
        measure = readings.measure(name, place, {"fact": name})
        if more is not None:
            measure["more"] = [more]
        self.facts.append(measure)
        return measure


def display_value(measure: Measure) -> str:
    """The figure as decimal text in its unit, or the word."""
    if measure["number"] is None:
        return str(measure["word"])
    number = units.from_base(measure["number"], measure["unit"])
    # what was typed keeps all its digits; a result is rounded for people
    places = 6 if "typed" in measure else _PLACES.get(measure["unit"], 0 if _large(number) else 1)
    return exact.decimal(number, places)


def _large(number: Exact) -> bool:
    return not exact.less(exact.absolute(number), (1000, 1))


def public(measure: Measure) -> Fact:
    """A measure as an assessment lists it."""
    args: dict[str, SaidArgument] = {"name": headed(measure), "value": measured(measure)}
    sentence = said("fact-noted" if measure.get("more") else "fact", args)
    if measure.get("more"):
        sentence["then"] = measure["more"]
    return {"said": sentence, "value": display_value(measure), "unit": measure["unit"]}


def split_place(place: str) -> tuple[str, str]:
    """("front", "left") of front-left; ("", place) when it is no wheel."""
    for side in ("left", "right"):
        if place == side:
            return "", side
        if place.endswith("-" + side):
            return place[: len(place) - len(side) - 1], side
    return "", place


def left_right_differences(figures: dict[str, Exact]) -> list[tuple[str, Exact]]:
    """(axle, difference) of every axle that was read on both sides, sorted by axle."""
    differences = []
    for left in sorted(figures):
        axle, side = split_place(left)
        right = axle + "-right" if axle else "right"
        if side == "left" and right in figures:
            difference = exact.absolute(exact.subtract(figures[left], figures[right]))
            differences.append((axle, difference))
    return differences
