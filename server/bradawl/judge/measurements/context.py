"""The bench a computation works at: readings and parameters in, named facts out.

Every compute kind is a function of one Workings; it asks for readings by name and leaves facts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import readings
from ..values import exact, units, words

if TYPE_CHECKING:
    from ..values.types.loose import Exact, Json, Measure

# digits after the point that a figure of that unit deserves
_PLACES = {"mm": 2, "in": 3, "in/32": 1, "V": 2, "bar": 2, "psi": 1, "inHg": 1, "yr": 1, "mil": 1}


class Workings:
    """Readings, parameters, the choice and the visit's facts of one item.

    `facts` collects measures (readings.measure), `problems` what could not be worked out.
    """

    def __init__(self, measures: list[Measure], parameters: Json, choice: str, visit: Json) -> None:
        self.choice = choice
        self.visit = visit
        self.facts: list[Measure] = []
        self.problems: list[Json] = []
        self._parameters = parameters
        self._measures = measures

    def places(self, name: str) -> list[Measure]:
        """The readings of that name that have a figure, sorted by place."""
        return [m for m in self._measures if m["of"] == name and m["number"] is not None]

    def words(self, name: str) -> list[Measure]:
        """The readings of that name that are words: codes, dates, `none`, `open`."""
        return [m for m in self._measures if m["of"] == name and m["word"] is not None]

    def one(self, name: str) -> Exact | None:
        """The figure of a reading without places, in base units; None when it was not taken."""
        found = self.places(name)
        return found[0]["number"] if found else None

    def unit(self, name: str, default: str) -> str:
        """The unit in which that reading was typed: results are shown in the same."""
        found = self.places(name)
        return str(found[0]["unit"]) if found else default

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

    def fact(self, name: str, number: Exact, unit: str, place: str = "", more: str = "") -> None:
        """Leave a figure (in base units) under a name; `more` is said after it."""
        found = self._new(name, place)
        found["number"] = number
        found["unit"] = unit
        found["more"] = more

    def say(self, name: str, word: str, place: str = "", more: str = "") -> None:
        """Leave a word under a name; `more` explains it."""
        found = self._new(name, place)
        found["word"] = word
        found["more"] = more

    def trouble(self, code: str, text: str, of: Measure) -> None:
        self.problems.append(readings.problem(code, text, of["path"]))

    def _new(self, name: str, place: str) -> Measure:
        title = words.FACTS.get(name) or words.capital(words.plain(name))
        if place:
            title = title + ", " + words.plain(place)
        found = readings.measure(name, place, title)
        self.facts.append(found)
        return found


def shown(found: Measure, figure: str = "") -> str:
    """The figure or word of a measure as a person reads it; `figure` is its value if known."""
    if "typed" in found:
        return readings.typed(found)
    if found["number"] is None:
        return words.plain(str(found["word"]))
    return units.said(figure or value(found), found["unit"])


def value(found: Measure) -> str:
    """The figure as decimal text in its unit, or the word."""
    if found["number"] is None:
        return str(found["word"])
    number = units.from_base(found["number"], found["unit"])
    # what was typed keeps all its digits; a result is rounded for people
    places = 6 if "typed" in found else _PLACES.get(found["unit"], 0 if _large(number) else 1)
    return exact.decimal(number, places)


def _large(number: Exact) -> bool:
    return not exact.less(exact.absolute(number), (1000, 1))


def public(found: Measure) -> Json:
    """A measure as an assessment lists it: {"text", "value", "unit"}."""
    figure = value(found)
    text = found["title"] + ": " + shown(found, figure)
    if found.get("more"):
        text = text + " (" + found["more"] + ")"
    return {"text": text, "value": figure, "unit": found["unit"]}


def axle(place: str) -> tuple[str, str]:
    """("front", "left") of front-left; ("", place) when it is no wheel."""
    for end in ("left", "right"):
        if place == end:
            return "", end
        if place.endswith("-" + end):
            return place[: len(place) - len(end) - 1], end
    return "", place


def gaps(numbers: dict[str, Exact]) -> list[tuple[str, Exact]]:
    """Per axle the difference of left and right, for places that end in -left and -right."""
    found = []
    for place in sorted(numbers):
        stem, side = axle(place)
        other = stem + "-right" if stem else "right"
        if side == "left" and other in numbers:
            found.append((stem, exact.absolute(exact.subtract(numbers[place], numbers[other]))))
    return found
