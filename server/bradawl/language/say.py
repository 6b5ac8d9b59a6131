"""Says what the judge left unsaid: message ids with exact arguments (judge/values/types/said.py).

The phone says the same with web/src/app/text/say.ts; tests/language/say.json holds both to one
table.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, cast

from bradawl.judge.values import exact, units

from . import catalogue, formats
from .checklist_texts import recorded_in
from .texts import text
from .tongues import joined

if TYPE_CHECKING:
    from bradawl.judge.values.types import Said, SaidArgument, SaidNumber, SaidTitle

    # A checklist's rules: whose titles and reasons a sentence names.
    Texts = Mapping[str, Any]

#: Where the texts of a checklist's tables stand, by kind of row: the table, and the text's key.
_TABLES = {
    "area": ("areas", "title"),
    "baseline": ("baseline", "title"),
    "combination": ("combinations", "reason"),
    "conflict": ("conflicts", "reason"),
    "contradiction": ("contradictions", "question"),
    "history": ("histories", "title"),
    "claim": ("claims", "title"),
    "lookup": ("lookups", "title"),
    "want": ("wants", "title"),
}
_MEMBERS = {"reading": "readings", "choice": "choices", "remedy": "remedies"}
#: Recorded by id with their English beside it: a symptom and its cause.
_OF_THE_DESK = ("symptom", "cause")
_SPOT = re.compile(r"(.+)-([0-9]+)")


def say(said: Said, texts: Texts) -> str:
    """The sentences, to the current reader.

    `texts` are the checklist's rules (a bundle's `rules`), in the reader's language where it has
    them. What another version of the judge said, and these words do not know, is said as far as it
    can be (`catalogue.find`).
    """
    arguments = {name: argument(value, texts) for name, value in said.get("args", {}).items()}
    if catalogue.has(said["id"]):
        first = text(said["id"], **arguments)
    else:
        catalogue.logger.warning("%s: no such message", said["id"])
        names = [str(value) for value in arguments.values()]
        known = ", ".join(name for name in names if name != catalogue.GAP)
        first = text("shared-no-words-of", what=known) if known else text("shared-no-words")
    return joined(" ", [first, *(say(sentence, texts) for sentence in said.get("then", ()))])


def argument(value: SaidArgument, texts: Texts) -> str | int:
    """One argument of a sentence as the current reader sees it; a count stays a number.

    A gap for what cannot be read: another version of the judge may name a unit or a kind that is
    not known here.
    """
    try:
        return _argument(value, texts)
    except (ArithmeticError, LookupError, TypeError, ValueError) as problem:
        catalogue.logger.warning("an argument %s: %r", value, problem)
        return catalogue.GAP


def _argument(value: SaidArgument, texts: Texts) -> str | int:
    if isinstance(value, str | int):
        return value
    if "number" in value:
        return number(value)
    if "money" in value:
        return formats.money(value["money"], value["currency"])
    if "date" in value:
        return formats.date(value["date"])
    if "term" in value:
        if not catalogue.has(value["term"]):
            raise LookupError(value["term"])
        return text(value["term"])
    if "place" in value:
        return place(value["place"])
    if "list" in value:
        parts = [str(argument(part, texts)) for part in value["list"]]
        return formats.listed(parts, last=value["last"])
    if "said" in value:
        return say(value["said"], texts)
    if "fact" in value:
        message_id = "judge-fact-" + value["fact"].replace("_", "-")
        name = text(message_id) if catalogue.has(message_id) else plain(value["fact"])
    else:
        name = title(value["checklist"], texts)
    return text("judge-at", name=name, place=place(value["at"])) if "at" in value else name


def spoken(value: Any, texts: Texts) -> Any:
    """An answer of the judge for an export: beside what each part leaves unsaid, its `text`.

    What has a title has its id too, so the title is the text alone.
    """
    if isinstance(value, Mapping):
        if "checklist" in value:
            return argument(cast("SaidTitle", value), texts)
        shown = {
            key: inner if key == "said" else spoken(inner, texts) for key, inner in value.items()
        }
        if "said" in value:
            shown["text"] = say(value["said"], texts)
        return shown
    return [spoken(inner, texts) for inner in value] if isinstance(value, list) else value


def place(name: str) -> str:
    """A place on the car within a sentence: `front left`, `hood, spot 2`, `cylinder 3`.

    One that only a shop's own checklist has is read as it is written there.
    """
    if name.isascii() and name.isdigit():
        return text("place-cylinder", number=name)
    if catalogue.has("place-" + name):
        return text("place-" + name)
    spot = _SPOT.fullmatch(name)
    if spot:
        return text("place-spot", place=place(spot[1]), number=spot[2])
    return plain(name)


def plain(name: str) -> str:
    """An id that nobody gave a name, as it reads: front_left, front-left are front left."""
    return name.replace("-", " ").replace("_", " ")


def title(path: list[str], texts: Texts) -> str:
    """A text of the checklist by its kind and ids; the last id where the checklist lacks it."""
    kind, ids = path[0], path[1:]
    if kind in _TABLES:
        table, key = _TABLES[kind]
        for row in texts.get(table) or ():
            if (row["uses"] if kind == "conflict" else [row["id"]]) == ids:
                return str(row[key])
        return ids[-1]
    if kind in _OF_THE_DESK:
        return recorded_in(texts, kind, ids)
    rule = texts.get("items", {}).get(ids[0]) or {}
    if kind == "item":
        # its own words stand beside what no checklist has
        return str(rule.get("title") or ids[-1])
    if kind not in _MEMBERS:  # named by its English text, which a translated checklist may say
        return str((rule.get("whys") or {}).get(ids[-1], ids[-1]) if kind == "why" else ids[-1])
    for row in rule.get(_MEMBERS[kind]) or ():
        if row["id"] == ids[1] and row.get("title"):
            return str(row["title"])
    return plain(ids[1])


def number(value: SaidNumber) -> str:
    """A measure in the reader's unit, rounded once; in the unit that was typed, as it was typed."""
    over, _, under = value["number"].partition("/")
    unit, offered = value["unit"], value.get("offered") or ()
    wanted = unit if value.get("fixed") else formats.unit_for(unit, offered)
    shown = units.from_base((int(over), int(under or 1)), wanted)
    figure = value.get("typed", "") if wanted == unit else ""
    if not figure:
        step = value.get("step", 0) if wanted != unit else 0
        if step:
            shown = (step * exact.half_up((shown[0], shown[1] * step), 0), 1)
        figure = exact.decimal(shown, units.places(wanted))
    written = figure if "/" in figure else formats.decimal(figure)
    return formats.with_unit(written, wanted, is_one=figure == "1")


#: How well we know a source; what nobody published has no name of its own.
_SOURCES = {"read": "", "read-secondary": "source-read-secondary", "memory": "source-memory"}


def source(name: str, sources: Mapping[str, Any], *, noted: bool = True) -> str:
    """A law, standard or handbook as a reason cites it: `49 CFR 570.5, section (g)`.

    `sources` is the bundle's table by id. "" for common practice, for our own assumption and for
    what has no source: a person's own word, an answer that somebody picked. `noted` says beside it
    when nobody read the text itself.
    """
    found = sources.get(name) or {}
    status = found.get("status", "")
    if status not in _SOURCES:
        return ""
    cited, section = str(found.get("title") or name), str(found.get("section") or "")
    if section and section not in cited:
        cited = text("source-section", source=cited, section=section)
    return text(_SOURCES[status], source=cited) if noted and _SOURCES[status] else cited
