"""The catalogue: Project Fluent files, one folder per locale, each message found by its id.

A locale that lacks a message, or whose message is broken, falls back to en-US. The pseudo-locale
en-XA is en-US with every letter marked: what is shown without marks does not come from here.
"""

from __future__ import annotations

import logging
import re
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fluent.runtime import FluentBundle

FOLDER = Path(__file__).parent / "locales"
DEFAULT = "en-US"
PSEUDO = "en-XA"


#: Stands where an argument is missing.
GAP = "…"

logger = logging.getLogger(__name__)


@cache
def locales() -> tuple[str, ...]:
    """Every locale that has a folder, the default first; without the pseudo-locale."""
    found = sorted(folder.name for folder in FOLDER.iterdir() if folder.is_dir())
    return (DEFAULT, *(name for name in found if name != DEFAULT))


def _source(locale: str) -> str:
    files = sorted((FOLDER / locale).glob("*.ftl"))
    return "\n".join(file.read_text(encoding="utf-8") for file in files)


@cache
def _bundle(locale: str) -> FluentBundle:
    # loaded by the first text: a server that only syncs does without it
    from fluent.runtime import FluentBundle, FluentResource

    from .entries import Entries

    # CLDR knows no en-XA: numbers and plurals are those of its base
    bundle = FluentBundle([DEFAULT if locale == PSEUDO else locale], use_isolating=False)
    if locale == PSEUDO:
        from .pseudo import marked_source

        bundle.add_resource(FluentResource(marked_source(_source(DEFAULT))))
    else:
        source = _source(locale)
        bundle._messages = Entries(source)  # type: ignore[assignment]
        bundle._terms = Entries(source, "-")  # type: ignore[assignment]
    return bundle


@cache
def ids(locale: str = DEFAULT) -> frozenset[str]:
    """The ids of every message of a locale."""
    return frozenset(_bundle(locale)._messages)  # the library names them nowhere else


def has(message_id: str, locale: str = DEFAULT) -> bool:
    return _bundle(locale).has_message(message_id)


def find(message_id: str, locale: str, arguments: dict[str, Any]) -> str:
    """The message in that locale, else in en-US.

    Words and whoever asks for them may be of different ages: an argument that is not there leaves a
    gap, and an id that nobody knows says so. Both are logged; neither costs the page.
    """
    given = tuple(arguments.items())
    # texts that know their language are equal to others, and 1 to True
    if all(type(value) in (str, int) for _, value in given):
        whole = _whole(message_id, locale, given)
        if whole is not None:
            return whole
    for name in dict.fromkeys((locale, DEFAULT)):
        bundle = _bundle(name)
        pattern = bundle.get_message(message_id).value if bundle.has_message(message_id) else None
        if pattern is None:
            continue
        shown, problems = bundle.format_pattern(pattern, arguments)
        if not problems:
            return once(str(shown), arguments)
        if name == DEFAULT:
            missing = [_UNKNOWN.search(str(problem)) for problem in problems]
            gaps = {found[1]: GAP for found in missing if found}
            logger.warning("%s: %s", message_id, problems[0])
            return str(bundle.format_pattern(pattern, {**gaps, **arguments})[0])
    logger.warning("%s: no such message", message_id)
    return find("shared-no-words", locale, {})


# a report says the same few hundred texts three thousand times
@lru_cache(1024)
def _whole(message_id: str, locale: str, given: tuple[tuple[str, str | int], ...]) -> str | None:
    """The message in that locale; None where it lacks it, or anything is amiss."""
    bundle = _bundle(locale)
    pattern = bundle.get_message(message_id).value if bundle.has_message(message_id) else None
    if pattern is None:
        return None
    arguments = dict(given)
    shown, problems = bundle.format_pattern(pattern, arguments)
    return None if problems else once(str(shown), arguments)


def once(shown: str, arguments: dict[str, Any]) -> str:
    """The sentence without a name that stands before a text which begins with it.

    `Carburetor: Carburetor floods.` is `Carburetor floods.`
    """
    for name in arguments.values():
        if name and isinstance(name, str) and f"{name}: " in shown:
            head = re.escape(name)
            shown = re.sub(rf"{head}: (?={head}(?!\w))", "", shown, flags=re.IGNORECASE)
    return shown


#: How fluent.runtime names an argument that is not there.
_UNKNOWN = re.compile(r"Unknown external: ([\w-]+)")
