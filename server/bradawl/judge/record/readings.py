"""An item's cells to checked readings: what was typed, what it is in base units, what is wrong.

Nothing is thrown away: a reading that cannot be used is a problem that says why.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from ..values import dates, exact, units
from ..values.ascii_text import lower, trimmed
from ..values.saying import figure, headed, listed, measured, of_unit, said, term, title
from . import doubts

if TYPE_CHECKING:
    from ..values.types import (
        Cell,
        Cells,
        Exact,
        Json,
        Meaning,
        Measure,
        Problem,
        Reading,
        Rule,
        SaidArgument,
        SaidFact,
        SaidTitle,
    )
    from .doubts import Span

    Spans = tuple[Span | None, Span | None]  # what is plausible, what is usual

# what people type when the instrument shows no figure, by quantity
_NO_FIGURE = {
    "film": {
        "none": "none",
        "no reading": "none",  # typed: not shown
        "-": "none",
        "ol": "none",
        # a panel that is no steel, or that this car does not have
        "plastic": "plastic",
        "fiberglass": "plastic",
        "composite": "plastic",
        "aluminum": "aluminum",
        "aluminium": "aluminum",
        "alu": "aluminum",
        "n/a": "absent",
        "absent": "absent",
    },
    "resistance": {"open": "open", "ol": "open", "o.l.": "open", "inf": "open", "∞": "open"},
}
_WORDS = ("code", "date")


def problem(code: str, name: str, args: dict[str, SaidArgument], path: str) -> Problem:
    """The message `judge-problem-<name>` with its code, about a path of the record."""
    return {"code": code, "said": said("problem-" + name, args), "path": path}


def measure(of: str, place: str, title: SaidFact | SaidTitle) -> Measure:
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


def word_id(of: str, word: str) -> str:
    """The message of a word: of a reading `yes`, of a fact its own (`judge-word-seat-rings`)."""
    name = word if word in ("yes", "no") else of + "-" + word
    return "judge-word-" + name.replace("_", "-")


def candidates(cell: Cell) -> list[Json]:
    """The winner and what was written unseen beside it, without what was taken back."""
    values: list[Json] = []
    if cell["value"] is not None:
        values.append(cell["value"])
    for other in cell["others"]:
        if other["value"] is not None:
            values.append(other["value"])
    return values


def _implausible(checked: Measure, base: Exact, unit: str, edges: Span | None) -> Problem | None:
    """What would be plausible, in the unit that was typed, where nobody can believe the figure.

    Volts with a minus are the leads the other way around, as on a positive-ground car.
    """
    if edges is None or not (exact.less(base, edges[0]) or exact.less(edges[1], base)):
        return None
    args: dict[str, SaidArgument] = {"name": headed(checked)}
    for name, number in (("typed", base), ("low", edges[0]), ("high", edges[1])):
        shown = figure(number, unit)
        shown["fixed"] = True
        if name == "typed":
            shown["typed"] = checked["typed"]
        args[name] = shown
    turned = (-base[0], base[1])
    is_turned = (
        base[0] < 0 and not exact.less(turned, edges[0]) and not exact.less(edges[1], turned)
    )
    if is_turned and units.quantity(unit) == "voltage":
        swapped = figure(turned, unit)
        swapped["fixed"] = True
        args = {"name": args["name"], "typed": args["typed"], "swapped": swapped}
        return problem("implausible", "leads", args, checked["path"])
    return problem("implausible", "implausible", args, checked["path"])


def _no_figure(quantity: str, entry: str) -> str | None:
    """What an instrument that shows no figure says; None where the entry is no such word."""
    said_by_gauges = _NO_FIGURE.get(quantity)
    if not said_by_gauges or "0" <= entry[0] <= "9":
        return None
    return said_by_gauges.get(lower(entry))


def _doubt(checked: Measure, found: list[Meaning]) -> Problem:
    """What was typed may mean all these: whoever typed it has to say which."""
    shown: list[SaidArgument] = []
    for one in found:
        if one["unit"]:
            figure_meant = of_unit(exact.parse(one["read"]) or exact.ZERO, one["unit"])
            figure_meant["typed"] = one["read"]
            figure_meant["fixed"] = True
            shown.append(figure_meant)
        else:
            shown.append({"date": one["read"]})
    args: dict[str, SaidArgument] = {"name": headed(checked), "meanings": listed(shown, "or")}
    doubt = problem("doubt", "doubt", args, checked["path"])
    doubt["meanings"] = found
    return doubt


def _word(reading: Reading, checked: Measure, value: dict[str, Json]) -> Problem | None:
    """Take what was typed as a code or a date; the problem where it is no date."""
    entry = checked["typed"]
    if reading["quantity"] == "date":
        found = doubts.days(entry, value.get("read"))
        if not found:
            return _unreadable("date", checked)
        if len(found) > 1:
            return _doubt(checked, found)
        entry = checked["typed"] = found[0]["read"]
        checked["day"] = dates.parse(entry) or 0
        checked["shown"] = {"date": entry}
    checked["word"] = entry
    if entry in ("yes", "no"):
        checked["shown"] = term("word-" + entry)
    return None


def _unreadable(what: str, checked: Measure) -> Problem:
    args: dict[str, SaidArgument] = {"name": headed(checked), "typed": checked["typed"]}
    return problem("unreadable", "unreadable-" + what, args, checked["path"])


def _figure(
    reading: Reading, spans: Spans, checked: Measure, value: dict[str, Json]
) -> Problem | None:
    """Take what was typed as a figure in its unit; the problem where nobody can use it."""
    entry, unit = checked["typed"], value.get("unit")
    if not isinstance(unit, str) or not units.measures(unit, reading["quantity"]):
        args: dict[str, SaidArgument] = {"name": headed(checked), "unit": str(unit)}
        args["units"] = listed(reading["units"], "or")
        return problem("unit", "unit", args, checked["path"])
    checked["unit"] = unit
    checked["offered"], checked["like"] = reading["units"], reading["id"]
    word = _no_figure(reading["quantity"], entry)
    if word is not None:
        checked["word"] = word
        checked["shown"] = term("word-" + word)
        return None
    found = doubts.figures(reading, spans[1], entry, unit, value)
    if not found:
        return _unreadable("number", checked)
    if len(found) > 1:
        return _doubt(checked, found)
    checked["typed"] = found[0]["read"]
    base = units.to_base(exact.parse(checked["typed"]) or exact.ZERO, unit)
    wrong = _implausible(checked, base, unit, spans[0])
    if wrong is None:
        checked["number"] = base
    return wrong


def _check(reading: Reading, spans: Spans, checked: Measure, value: Json) -> Problem | None:
    """Take a recorded value into its measure; the problem why it is none."""
    entry = value.get("typed") if isinstance(value, dict) else None
    if not isinstance(value, dict) or not isinstance(entry, str):
        return problem("shape", "shape", {"name": headed(checked)}, checked["path"])
    entry = trimmed(entry)
    if not entry:
        return problem("empty", "empty", {"name": headed(checked)}, checked["path"])
    checked["typed"] = entry
    if reading["quantity"] in _WORDS:
        return _word(reading, checked, value)
    return _figure(reading, spans, checked, value)


#: Of each path the last reading that could be used, with all that it was made of. A card is judged
#: anew after every figure that is typed on it, and 35 of its 36 figures are those of before.
_last: dict[str, tuple[Reading, str, Measure]] = {}
_MOST_KEPT = 500


def _checked(
    reading: Reading, spans: Spans, path: str, place: str, name: SaidTitle, value: Json
) -> tuple[Measure, Problem | None]:
    """A recorded value as a measure of its own, and the problem why it is none."""
    made_of = json.dumps(value)
    last = _last.get(path)
    if last is not None and last[0] is reading and last[1] == made_of:
        return last[2].copy(), None
    checked = measure(reading["id"], place, name)
    checked["path"] = path
    wrong = _check(reading, spans, checked, value)
    if wrong is None:
        if len(_last) >= _MOST_KEPT:
            _last.clear()
        _last[path] = (reading, made_of, checked.copy())
    return checked, wrong


def check(reading: Reading, checked: Measure, value: Json) -> Problem | None:
    """Take a recorded value into its measure by itself; the problem why it is none."""
    return _check(reading, _spans(reading), checked, value)


def _spans(reading: Reading) -> Spans:
    plausible = doubts.span(reading, reading.get("plausible"))
    return plausible, doubts.span(reading, reading.get("usual")) or plausible


def read(item: str, rule: Rule, cells: Cells) -> tuple[list[Measure], list[Problem]]:
    """The usable readings of one item, sorted by name and place, and the problems of the rest.

    A value written unseen beside another is read too (`unseen` 1, 2, ...): a limit looks at both.
    """
    measures: list[Measure] = []
    problems: list[Problem] = []
    rules = {}
    for reading in rule.get("readings") or []:
        rules[reading["id"]] = (reading, _spans(reading))
    start = "items/" + item + "/readings/"
    for path in sorted(cells):
        if not path.startswith(start):
            continue
        parts = path[len(start) :].split("/")
        values = candidates(cells[path])
        if not values:
            continue
        if len(parts) != 2 or parts[0] not in rules:
            args: dict[str, SaidArgument] = {"reading": "/".join(parts)}
            problems.append(problem("unknown_reading", "unknown-reading", args, path))
            continue
        reading, spans = rules[parts[0]]
        name = title("reading", item, reading["id"])
        places = reading.get("at") or []
        if parts[1] not in (places or ["one"]):
            args = {"name": name, "place": {"place": parts[1]}}
            problems.append(problem("unknown_place", "unknown-place", args, path))
            continue
        beside: SaidArgument = term("word-unusable")
        for i, value in enumerate(values):
            place = parts[1] if places else ""
            checked, wrong = _checked(reading, spans, path, place, name, value)
            if wrong is not None:
                problems.append(wrong)
                continue
            if i:
                checked["unseen"] = i
                checked["more"] = [said("more-beside", {"value": beside})]
            elif len(values) > 1:
                beside = measured(checked)
            measures.append(checked)
    return measures, problems
