"""The texts of a checklist by id, and the same in another language: its bundle, the desk's tables.

A bundle is written in American English and holds, by locale and id, what was translated of it. An
overlay file names each text by its id and by the digest of the text that it translates: what was
changed since (a shop edited it) or has no translation is shown in English, and marked.
"""

from __future__ import annotations

import copy
import functools
import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from .catalogue import PSEUDO
from .pseudo import marked
from .reader import current
from .tongues import written_in

WRITTEN_IN = "en-US"
#: Stands after a text that a reader gets in English for want of a translation.
MARK = " [en]"
_ITEM_TEXTS = ("title", "look", "how", "where")
_PARTS = ("readings", "choices", "remedies")

#: Of a text's id and its English: how it is said.
Says = Callable[[str, str], str]
#: A text's id, the mapping or list that holds it, and its key there.
Held = tuple[str, Any, Any]


def digest(text: str) -> str:
    """What an overlay names a text by: the first 12 hex digits of its SHA-256."""
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def texts(bundle: Mapping[str, Any]) -> dict[str, str]:
    """Every text of a bundle by its id, such as `items/brakes.hoses/look`."""
    return {name: holder[key] for name, holder, key in _held(bundle)}


@dataclass(frozen=True)
class Localized:
    """A bundle as one reader reads it; `fallback` are the ids of texts that stayed English."""

    bundle: Mapping[str, Any]
    fallback: frozenset[str]


def texts_for(
    bundle: Mapping[str, Any], locale: str, today: Mapping[str, Any] | None = None
) -> Localized:
    """The bundle in a locale.

    Kinds of text that the locale translates at all (cautions, items) mark what has no translation;
    the other kinds are plainly English. `today` is the checklist of today, whose translations of
    the desk's tables count as well: they are no part of what a visit began with. What is given back
    is shared: read it, never change it.
    """
    if locale == WRITTEN_IN:
        return Localized(bundle, frozenset())
    today = bundle if today is None else today
    return _localized(_Asked(id(bundle), id(today), locale, bundle, today))


def changes(
    bundle: Mapping[str, Any], locale: str, today: Mapping[str, Any] | None = None
) -> dict[str, Any]:
    """What reads otherwise in a locale, for who has the bundle: its texts, nested as they stand.

    A place in a list goes by its index: `{"areas": {"0": {"title": "Frenos"}}}`.
    """
    read = texts_for(bundle, locale, today).bundle
    found: dict[str, Any] = _changed(bundle, read) or {}
    if symptoms := (read.get("rules") or {}).get("symptoms"):
        found.setdefault("rules", {})["symptoms"] = symptoms
    return found


def is_recorded(name: str) -> bool:
    """Whether records name that text of the desk's tables by its id: of a symptom, of its cause."""
    kind, _, rest = name.partition("/")
    parts = rest.split("/")
    return kind == "symptoms" and (parts[1:] == ["title"] or parts[1:-1] == ["causes"])


def recorded_in(texts: Mapping[str, Any], kind: str, ids: list[str]) -> str:
    """What was recorded of the desk's tables as the reader reads it: its ids, then its English.

    `texts` are a checklist's rules in the reader's language.
    """
    english, at = ids[-1], "/".join([ids[0], *(["causes"] if kind == "cause" else []), *ids[1:-1]])
    name = f"symptoms/{at}" + ("" if kind == "cause" else "/title")
    locale = current().locale
    if locale in (WRITTEN_IN, PSEUDO):
        return marked(english) if locale == PSEUDO else english
    said = (texts.get("symptoms") or {}).get(name, {}).get(english)
    return said or written_in(WRITTEN_IN, english + MARK)


def _changed(plain: Any, localized: Any) -> Any:
    if plain is localized:
        return None
    if isinstance(plain, Mapping):
        pairs = [(key, value, localized[key]) for key, value in plain.items()]
    elif isinstance(plain, list):
        pairs = [(str(n), value, localized[n]) for n, value in enumerate(plain)]
    else:
        return localized if localized != plain else None
    found = {key: _changed(value, other) for key, value, other in pairs}
    return {key: other for key, other in found.items() if other is not None} or None


@dataclass(frozen=True)
class _Asked:
    """A bundle in a locale, kept as long as it is the same object."""

    identity: int
    identity_of_today: int
    locale: str
    bundle: Mapping[str, Any] = field(compare=False)
    today: Mapping[str, Any] = field(compare=False)


@functools.lru_cache(maxsize=4)
def _localized(asked: _Asked) -> Localized:
    bundle, locale = asked.bundle, asked.locale
    overlay = (bundle.get("locales") or {}).get(locale) or {}
    begun = {name.partition("/")[0] for name in overlay}
    localized = copy.deepcopy(dict(bundle))
    fallback = set()
    for name, holder, key in _held(localized):
        if locale == PSEUDO:
            holder[key] = marked(holder[key])
            continue
        if overlay.get(name):
            holder[key] = written_in(locale, overlay[name])
            continue
        fallback.add(name)
        mark = MARK if name.partition("/")[0] in begun else ""
        holder[key] = written_in(WRITTEN_IN, holder[key] + mark)
    _name_whys(bundle, localized)
    if symptoms := _recorded(asked):
        localized["rules"] = {**(localized.get("rules") or {}), "symptoms": symptoms}
    return Localized(localized, frozenset(fallback))


def _recorded(asked: _Asked) -> dict[str, dict[str, str]]:
    """What the desk's tables call what was recorded, by id and by its English text."""
    said: dict[str, dict[str, str]] = {}
    for bundle in (asked.bundle, asked.today):
        for name, texts in ((bundle.get("recorded") or {}).get(asked.locale) or {}).items():
            known = {english: written_in(asked.locale, text) for english, text in texts.items()}
            said[name] = {**said.get(name, {}), **known}
    return said


def _name_whys(bundle: Mapping[str, Any], localized: Mapping[str, Any]) -> None:
    """In the rules, what each reason is called that a tap recorded by its English text."""
    rules = (localized.get("rules") or {}).get("items") or {}
    for item, said in zip(bundle.get("items") or (), localized.get("items") or (), strict=True):
        if item.get("whys") and item["id"] in rules:
            rules[item["id"]]["whys"] = dict(zip(item["whys"], said["whys"], strict=True))


def _held(bundle: Mapping[str, Any]) -> Iterator[Held]:
    """Every text, where it is held; what the rules repeat of an item comes under the same id."""
    for kind in ("areas", "stages"):
        yield from _titles(kind, bundle.get(kind) or ())
    for item in bundle.get("items") or ():
        yield from _item(item["id"], item)
        whys = item.get("whys") or []
        for n in range(len(whys)):
            yield f"items/{item['id']}/whys/{n}", whys, n
    for name, caution in (bundle.get("cautions") or {}).items():
        for key in ("title", "text"):
            yield f"cautions/{name}/{key}", caution, key
    for group in bundle.get("profile") or ():
        yield f"profile/{group['id']}", group, "title"
        for fact in group["facts"]:
            yield f"profile/{group['id']}/{fact['id']}", fact, "title"
            for choice in fact.get("choices") or ():
                yield f"profile/{group['id']}/{fact['id']}/{choice['id']}", choice, "title"
    yield from _driving(bundle.get("driving") or {})
    for step in bundle.get("week") or ():
        for key in ("title", "text"):
            yield f"week/{step['id']}/{key}", step, key
    rules = bundle.get("rules") or {}
    yield from _titles("areas", rules.get("areas") or ())
    for name, rule in (rules.get("items") or {}).items():
        yield from _item(name, rule)
    yield from _titles("upkeep", rules.get("baseline") or ())
    yield from _titles("histories", rules.get("histories") or ())
    yield from _titles("claims", rules.get("claims") or ())
    for row in rules.get("lookups") or ():
        for key in ("title", "ask", "where"):
            yield f"lookups/{row['id']}/{key}", row, key
    for row in bundle.get("load") or ():
        for key in ("title", "why"):
            yield f"load/{row['id']}/{key}", row, key
    for row in bundle.get("closing") or ():
        for key in ("title", "look"):
            yield f"closing/{row['id']}/{key}", row, key
    for row in bundle.get("calls") or ():
        for key in ("title", "ask"):
            yield f"calls/{row['id']}/{key}", row, key
        for answer in row["answers"]:
            yield f"calls/{row['id']}/{answer['id']}", answer, "title"
    yield from _titles("wants", rules.get("wants") or ())
    for row in rules.get("wants") or ():
        if "ask" in row:
            yield f"wants/{row['id']}/ask", row, "ask"
    for row in rules.get("combinations") or ():
        yield f"combinations/{row['id']}", row, "reason"
    for row in rules.get("contradictions") or ():
        yield f"contradictions/{row['id']}", row, "question"
    for row in rules.get("conflicts") or ():
        yield f"conflicts/{'-'.join(row['uses'])}", row, "reason"
    for symptom in bundle.get("symptoms") or ():
        yield from _symptom(f"symptoms/{symptom['id']}", symptom)


def _symptom(at: str, symptom: Any) -> Iterator[Held]:
    """The texts of a complaint, under the ids that its file's overlays use."""
    for key in ("title", "says"):
        yield f"{at}/{key}", symptom, key
    for cause in symptom["causes"]:
        yield f"{at}/causes/{cause['id']}", cause, "title"
    for test in symptom["tests"]:
        own = f"{at}/tests/{test['id']}"
        for key in ("title", "how"):
            yield f"{own}/{key}", test, key
        for outcome in test["outcomes"]:
            yield f"{own}/outcomes/{outcome['id']}", outcome, "title"
        for reading in test.get("measures") or ():
            yield f"{own}/measures/{reading['id']}", reading, "title"
        for n, step in enumerate(test.get("steps") or ()):
            yield f"{own}/steps/{n}", step, "do"


def _driving(driving: Any) -> Iterator[Held]:
    """The texts of the drive home."""
    for sign in driving.get("signs") or ():
        own = f"driving/{sign['id']}"
        for key in ("title", "how", "text"):
            yield f"{own}/{key}", sign, key
        for choice in sign["choices"]:
            yield f"{own}/choices/{choice['id']}", choice, "title"
    for row in driving.get("watch") or ():
        yield f"driving/watch/{row['id']}", row, "title"
    for row in driving.get("kit") or ():
        for key in ("title", "reason"):
            if key in row:
                yield f"driving/kit/{row['id']}/{key}", row, key


def _titles(kind: str, rows: Any) -> Iterator[Held]:
    for row in rows:
        if "title" in row:
            yield f"{kind}/{row['id']}", row, "title"


def _item(name: str, item: Any) -> Iterator[Held]:
    for key in _ITEM_TEXTS:
        if key in item:
            yield f"items/{name}/{key}", item, key
    for part in _PARTS:
        for row in item.get(part) or ():
            if "title" in row:
                yield f"items/{name}/{part}/{row['id']}", row, "title"


def table_texts(symptoms: Any, order: Any) -> dict[str, str]:
    """Every text of the desk's tables by its id: symptoms, and what work comes first."""
    found: dict[str, str] = {}
    for symptom in symptoms:
        at = f"symptoms/{symptom['id']}"
        found |= {f"{at}/{key}": symptom[key] for key in ("title", "says")}
        for word, cause in symptom["causes"].items():
            found[f"{at}/causes/{word}"] = cause["title"]
        for test in symptom["tests"]:
            own = f"{at}/tests/{test['id']}"
            found |= {f"{own}/{key}": test[key] for key in ("title", "how")}
            found |= {f"{own}/outcomes/{word}": text for word, text in test["outcomes"].items()}
            measures = test.get("measures", ())
            found |= {f"{own}/measures/{row['id']}": row["title"] for row in measures}
    return found | {f"order/{rule['id']}": rule["why"] for rule in order}


def saying(overlay: Mapping[str, Mapping[str, str]], locale: str) -> Says:
    """How texts are said in a locale whose translations are {id: {"of": digest, "text"}}.

    As in a bundle: of a kind that is translated at all, what is not is marked.
    """
    begun = {name.partition("/")[0] for name in overlay}

    def say(name: str, english: str) -> str:
        if locale == PSEUDO:
            return marked(english)
        row = overlay.get(name)
        if row is not None and row["of"] == digest(english):
            return written_in(locale, row["text"])
        return written_in(WRITTEN_IN, english + (MARK if name.partition("/")[0] in begun else ""))

    return say
