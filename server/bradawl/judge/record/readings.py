"""An item's cells to checked readings: what was typed, what it is in base units, what is wrong.

Nothing is thrown away: a reading that cannot be used is a problem that says why.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import dates, exact, units, words
from ..values.ascii_text import lower, trimmed
from ..values.typed import number as typed_number

if TYPE_CHECKING:
    from ..values.types import Cell, Cells, Exact, Json, Measure, Problem, Reading, Rule

# what people type when the instrument shows no figure, by quantity
_NO_FIGURE = {
    "film": {"none": "none", "no reading": "none", "-": "none", "--": "none", "ol": "none"},
    "resistance": {"open": "open", "ol": "open", "o.l.": "open", "inf": "open", "∞": "open"},
}
_WORDS = ("code", "date")


def problem(code: str, text: str, path: str) -> Problem:
    return {"code": code, "text": text, "path": path}


def measure(of: str, place: str, title: str) -> Measure:
    """An empty measure: one figure or word under a name, at a place ("" when it has none)."""
    return {"of": of, "place": place, "title": title, "number": None, "word": None, "unit": ""}


def key(measure: Measure) -> str:
    """The name under which an assessment lists it: pad.front-left."""
    return measure["of"] + "." + measure["place"] if measure["place"] else measure["of"]


def name(measure: Measure) -> str:
    """Its own name in an assessment: `pad.front-left.other` for a value written unseen beside."""
    unseen = measure.get("unseen", 0)
    if not unseen:
        return key(measure)
    return key(measure) + (".other" if unseen == 1 else ".other-%d" % unseen)


def candidates(cell: Cell) -> list[Json]:
    """The winner and what was written unseen beside it, without what was taken back."""
    values: list[Json] = []
    if cell["value"] is not None:
        values.append(cell["value"])
    for other in cell["others"]:
        if other["value"] is not None:
            values.append(other["value"])
    return values


def typed(reading: Measure) -> str:
    """A reading as it was typed, with its unit."""
    if reading["number"] is None:
        return str(reading["word"])
    return units.format_amount(reading["typed"], reading["unit"])


def _title(reading: Reading, place: str) -> str:
    title = reading.get("title") or words.capital(words.plain(reading["id"]))
    return title + ", " + words.plain(place) if place else title


def _span(reading: Reading) -> tuple[Exact, Exact] | None:
    """The plausible lowest and highest figure in base units; None when the reading names none."""
    span = reading.get("plausible")
    if not span or not reading["units"]:
        return None
    first = reading["units"][0]
    low, high = exact.figure(str(span[0])), exact.figure(str(span[1]))
    if low is None or high is None:
        return None
    return units.to_base(low, first), units.to_base(high, first)


def _implausible(reading: Reading, base: Exact, edges: tuple[Exact, Exact] | None) -> str:
    """An empty text, or what would be plausible where nobody can believe the figure."""
    if edges is None:
        return ""
    if exact.less(base, edges[0]) or exact.less(edges[1], base):
        span, first = reading["plausible"], reading["units"][0]
        return "between %s and %s" % (
            units.format_amount(str(span[0]), first),
            units.format_amount(str(span[1]), first),
        )
    return ""


def _no_figure(quantity: str, entry: str) -> str | None:
    """What an instrument that shows no figure says; None where the entry is no such word."""
    said_by_gauges = _NO_FIGURE.get(quantity)
    if not said_by_gauges or "0" <= entry[0] <= "9":
        return None
    return said_by_gauges.get(lower(entry))


def _word(reading: Reading, title: str, measure: Measure) -> Problem | None:
    """Take what was typed as a code or a date; the problem where it is no date."""
    entry = measure["typed"]
    if reading["quantity"] == "date":
        day = dates.parse(entry)
        if day is None:
            text = "%s: “%s” is no date; write it as 2019-06-30 or 2019-06." % (title, entry)
            return problem("unreadable", text, measure["path"])
        measure["day"] = day
    measure["word"] = entry
    return None


def _figure(
    reading: Reading, edges: tuple[Exact, Exact] | None, title: str, measure: Measure, unit: Json
) -> Problem | None:
    """Take what was typed as a figure in that unit; the problem where nobody can use it."""
    entry, path = measure["typed"], measure["path"]
    if not isinstance(unit, str) or not units.measures(unit, reading["quantity"]):
        units_shown = ", ".join(reading["units"])
        text = "%s: the unit “%s” does not measure this; use one of: %s."
        return problem("unit", text % (title, unit, units_shown), path)
    measure["unit"] = unit
    word = _no_figure(reading["quantity"], entry)
    if word is not None:
        measure["word"] = word
        return None
    number = exact.parse(typed_number(entry, reading["quantity"] in ("distance", "count")))
    if number is None:
        text = "%s: “%s” is no number; write it like 2.5 or 5/32." % (title, entry)
        return problem("unreadable", text, path)
    base = units.to_base(number, unit)
    span = _implausible(reading, base, edges)
    if span:
        text = "%s: %s is hard to believe; it should be %s. Look again, and at the unit."
        return problem("implausible", text % (title, units.format_amount(entry, unit), span), path)
    measure["number"] = base
    return None


def _check(
    reading: Reading, edges: tuple[Exact, Exact] | None, place: str, value: Json, path: str
) -> tuple[Measure | None, Problem | None]:
    """A recorded value as a measure, or the problem why it is none."""
    title = _title(reading, place)
    entry = value.get("typed") if isinstance(value, dict) else None
    if not isinstance(value, dict) or not isinstance(entry, str):
        text = "%s: the reading is not in the form it is kept in." % title
        return None, problem("shape", text, path)
    entry = trimmed(entry)
    if not entry:
        return None, problem("empty", "%s: nothing was typed." % title, path)
    checked = measure(reading["id"], place, title)
    checked["typed"], checked["path"] = entry, path
    if reading["quantity"] in _WORDS:
        wrong = _word(reading, title, checked)
    else:
        wrong = _figure(reading, edges, title, checked, value.get("unit"))
    return (checked, None) if wrong is None else (None, wrong)


def read(item: str, rule: Rule, cells: Cells) -> tuple[list[Measure], list[Problem]]:
    """The usable readings of one item, sorted by name and place, and the problems of the rest.

    A value written unseen beside another is read too (`unseen` 1, 2, ...): a limit looks at both.
    """
    measures: list[Measure] = []
    problems: list[Problem] = []
    rules = {}
    for reading in rule.get("readings") or []:
        rules[reading["id"]] = (reading, _span(reading))
    start = "items/" + item + "/readings/"
    for path in sorted(cells):
        if not path.startswith(start):
            continue
        parts = path[len(start) :].split("/")
        values = candidates(cells[path])
        if not values:
            continue
        if len(parts) != 2 or parts[0] not in rules:
            text = "There is a reading “%s” that this item does not have." % "/".join(parts)
            problems.append(problem("unknown_reading", text, path))
            continue
        reading, edges = rules[parts[0]]
        places = reading.get("at") or []
        if parts[1] not in (places or ["one"]):
            text = "%s: there is no place “%s” here." % (_title(reading, ""), words.plain(parts[1]))
            problems.append(problem("unknown_place", text, path))
            continue
        beside = "a value that cannot be used"
        for i, value in enumerate(values):
            checked, wrong = _check(reading, edges, parts[1] if places else "", value, path)
            if checked is not None:
                if i:
                    checked["unseen"] = i
                    checked["more"] = "written unseen beside " + beside
                else:
                    beside = typed(checked)
                measures.append(checked)
            if wrong is not None:
                problems.append(wrong)
    return measures, problems
