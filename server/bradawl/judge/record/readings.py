"""An item's cells to checked readings: what was typed, what it is in base units, what is wrong.

Nothing is thrown away: a reading that cannot be used is a problem that says why.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..values import dates, exact, units, words
from ..values.ascii_text import lower, trimmed

if TYPE_CHECKING:
    from ..values.types.loose import Cell, Cells, Exact, Json, Measure, Rule

# what people type when the instrument shows no figure, by quantity
_NO_FIGURE = {
    "film": {"none": "none", "no reading": "none", "-": "none", "--": "none", "ol": "none"},
    "resistance": {"open": "open", "ol": "open", "o.l.": "open", "inf": "open", "∞": "open"},
}
_WORDS = ("code", "date")


def problem(code: str, text: str, path: str) -> Json:
    return {"code": code, "text": text, "path": path}


def measure(of: str, place: str, title: str) -> Measure:
    """An empty measure: one figure or word under a name, at a place ("" when it has none)."""
    return {"of": of, "place": place, "title": title, "number": None, "word": None, "unit": ""}


def key(found: Measure) -> str:
    """The name under which an assessment lists it: pad.front-left."""
    return found["of"] + "." + found["place"] if found["place"] else str(found["of"])


def name(found: Measure) -> str:
    """Its own name in an assessment: `pad.front-left.other` for a value written unseen beside."""
    unseen = found.get("unseen", 0)
    if not unseen:
        return key(found)
    return key(found) + (".other" if unseen == 1 else ".other-%d" % unseen)


def candidates(cell: Cell) -> list[Any]:
    """The winner and what was written unseen beside it, without what was taken back."""
    values = []
    if cell["value"] is not None:
        values.append(cell["value"])
    for other in cell["others"]:
        if other["value"] is not None:
            values.append(other["value"])
    return values


def typed(found: Measure) -> str:
    """A reading as it was typed, with its unit."""
    if found["number"] is None:
        return str(found["word"])
    return units.said(str(found["typed"]), found["unit"])


def _title(reading: Json, place: str) -> str:
    title = reading.get("title") or words.capital(words.plain(reading["id"]))
    return title + ", " + words.plain(place) if place else title


def _span(reading: Json) -> tuple[Exact, Exact] | None:
    """The plausible lowest and highest figure in base units; None when the reading names none."""
    span = reading.get("plausible")
    if not span or not reading["units"]:
        return None
    first = reading["units"][0]
    low, high = exact.figure(str(span[0])), exact.figure(str(span[1]))
    if low is None or high is None:
        return None
    return units.to_base(low, first), units.to_base(high, first)


def _implausible(reading: Json, base: Exact, edges: tuple[Exact, Exact] | None) -> str:
    """An empty text, or what would be plausible where nobody can believe the figure."""
    if edges is None:
        return ""
    if exact.less(base, edges[0]) or exact.less(edges[1], base):
        span, first = reading["plausible"], reading["units"][0]
        return "between %s and %s" % (
            units.said(str(span[0]), first),
            units.said(str(span[1]), first),
        )
    return ""


def _check(
    reading: Json, edges: tuple[Exact, Exact] | None, place: str, value: Any, path: str
) -> tuple[Measure | None, Json | None]:
    title = _title(reading, place)
    if not isinstance(value, dict) or not isinstance(value.get("typed"), str):
        return None, problem(
            "shape", "%s: the reading is not in the form it is kept in." % title, path
        )
    entry = trimmed(value["typed"])
    found = measure(reading["id"], place, title)
    found["typed"] = entry
    found["path"] = path
    if not entry:
        return None, problem("empty", "%s: nothing was typed." % title, path)
    if reading["quantity"] in _WORDS:
        if reading["quantity"] == "date":
            found["day"] = dates.parse(entry)
            if found["day"] is None:
                text = "%s: “%s” is no date; write it as 2019-06-30 or 2019-06." % (title, entry)
                return None, problem("unreadable", text, path)
        found["word"] = entry
        return found, None
    unit = value.get("unit")
    if not isinstance(unit, str) or not units.measures(unit, reading["quantity"]):
        shown = ", ".join(reading["units"])
        text = "%s: the unit “%s” does not measure this; use one of: %s." % (title, unit, shown)
        return None, problem("unit", text, path)
    found["unit"] = unit
    silent = _NO_FIGURE.get(reading["quantity"])
    if silent and not "0" <= entry[0] <= "9":
        no_figure = silent.get(lower(entry))
        if no_figure is not None:
            found["word"] = no_figure
            return found, None
    number = exact.parse(entry, reading["quantity"] in ("distance", "count"))
    if number is None:
        text = "%s: “%s” is no number; write it like 2.5 or 5/32." % (title, entry)
        return None, problem("unreadable", text, path)
    base = units.to_base(number, unit)
    span = _implausible(reading, base, edges)
    if span:
        text = "%s: %s is hard to believe; it should be %s. Look again, and at the unit." % (
            title,
            units.said(entry, unit),
            span,
        )
        return None, problem("implausible", text, path)
    found["number"] = base
    return found, None


def read(item: str, rule: Rule, cells: Cells) -> tuple[list[Measure], list[Json]]:
    """The usable readings of one item, sorted by name and place, and the problems of the rest.

    A value written unseen beside another is read too (`unseen` 1, 2, ...): a limit looks at both.
    """
    found: list[Measure] = []
    problems: list[Json] = []
    known = {}
    for reading in rule.get("readings") or []:
        known[reading["id"]] = (reading, _span(reading))
    start = "items/" + item + "/readings/"
    for path in sorted(cells):
        if not path.startswith(start):
            continue
        parts = path[len(start) :].split("/")
        values = candidates(cells[path])
        if not values:
            continue
        if len(parts) != 2 or parts[0] not in known:
            text = "There is a reading “%s” that this item does not have." % "/".join(parts)
            problems.append(problem("unknown_reading", text, path))
            continue
        reading, edges = known[parts[0]]
        places = reading.get("at") or []
        if parts[1] not in (places or ["one"]):
            text = "%s: there is no place “%s” here." % (_title(reading, ""), words.plain(parts[1]))
            problems.append(problem("unknown_place", text, path))
            continue
        beside = "a value that cannot be used"
        for i, value in enumerate(values):
            one, wrong = _check(reading, edges, parts[1] if places else "", value, path)
            if one is not None:
                if i:
                    one["unseen"] = i
                    one["more"] = "written unseen beside " + beside
                else:
                    beside = typed(one)
                found.append(one)
            if wrong is not None:
                problems.append(wrong)
    return found, problems
