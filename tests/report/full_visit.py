"""A whole visit of the demo as a snapshot, and the same with all that people wrote in Greek.

In the second no Latin letter is left but those of ids and codes: what a page shows in Latin letters
did not come from the record, nor from the checklist.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bradawl.common import resources
from bradawl.demo.phone import play, visit_of
from bradawl.demo.scenario import read
from bradawl.inspection.snapshot import Snapshot, gather
from tests.checkout import checklist_bundle

TODAY = "2026-11-25"
PICTURES = resources.path_of("demo") / "pictures"

_LATIN = "abcdefghijklmnopqrstuvwxyz"
_GREEK = "".join(chr(0x3B1 + at % 17) for at in range(26))  # alpha to rho
_TO_GREEK = str.maketrans(_LATIN + _LATIN.upper(), _GREEK + _GREEK.upper())
#: Texts of a checklist that a person reads, by their keys.
_READ = {"title", "look", "how", "where", "reason", "text", "section", "caution", "why"}
#: Cells that people type words into, by the last part of their paths.
_TYPED = {"inspector", "place", "seller", "make", "model", "colour", "note", "text", "why"}
_TYPED |= {"registration", "vin"}


class _Demo:
    """The demo's phones as the log would show them."""

    def __init__(self) -> None:
        self.checklist = checklist_bundle()
        self.scenarios = read(resources.path_of("demo"))
        self.phones = play(self.scenarios, self.checklist, "test", PICTURES)

    def events_of(self, visit: str) -> list[Any]:
        scope = f"inspection/{visit}"
        return [event for phone in self.phones for event in phone.events if event["scope"] == scope]

    def orders(self) -> Any:
        return {"erase": [], "fence": []}

    def held(self) -> Mapping[str, int]:
        return {phone.device: len(phone.events) for phone in self.phones}

    def marked(self) -> Mapping[str, str]:
        return {}

    def bundle(self, _bundle_hash: str) -> Any:
        return self.checklist

    def photo(self, _sha256: str) -> bytes | None:
        return None


def greek(value: Any, *, wanted: bool = False) -> Any:
    """The value with every text that people read in Greek letters; `wanted`: all texts in it."""
    if isinstance(value, str):
        return value.translate(_TO_GREEK) if wanted else value
    if isinstance(value, Mapping):
        return {key: greek(inner, wanted=wanted or key in _READ) for key, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [greek(inner, wanted=wanted) for inner in value]
    return value


def _cell(path: str, value: Any) -> Any:
    if path.rpartition("/")[2] in _TYPED:
        return greek(value, wanted=True)
    if isinstance(value, Mapping):
        read = {"caption", "why", "name", "title", "parts", "by", "note", "place"}
        return {key: greek(inner, wanted=key in read) for key, inner in value.items()}
    return value


@functools.cache
def demo() -> _Demo:
    return _Demo()


@functools.cache
def full_visit(*, in_greek: bool = False) -> Snapshot:
    """The demo's visit that was amended after it was signed: forty findings and more."""
    source = demo()
    (scenario,) = [one for one in source.scenarios if one.amendments]
    if not in_greek:
        return gather(source, visit_of(scenario), today=TODAY, current_bundle=dict)
    found = _Demo.__new__(_Demo)
    found.checklist, found.phones = greek(source.checklist), source.phones
    events = [
        {**event, "value": _cell(event["put"], event["value"])}
        for event in source.events_of(visit_of(scenario))
    ]
    found.events_of = lambda _visit: events  # type: ignore[method-assign]
    visit = gather(found, visit_of(scenario), today=TODAY, current_bundle=dict)
    # what was rewritten no longer fits its signature, which is not what this is about
    held = [replace(seal, holds=True, problem="") for seal in visit.seals]
    return replace(visit, seals=held)
