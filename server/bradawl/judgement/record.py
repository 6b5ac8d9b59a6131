"""The record: events folded into cells, and the texts that a seal hashes.

Nothing else may know how two values of one path are settled, or what a digest covers.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .shapes import Cell, Cells, Event

INTEGER_LIMIT = 9007199254740992  # 2**53: beyond it JavaScript and JSON no longer agree
NESTING_LIMIT = 32  # a record nests its cells' values (at most 16) a little deeper

_ESCAPES = {
    '"': '\\"',
    "\\": "\\\\",
    "\x08": "\\b",
    "\t": "\\t",
    "\n": "\\n",
    "\x0c": "\\f",
    "\r": "\\r",
}


class CanonicalError(ValueError):
    """A value without canonical text; code: float, integer, key, surrogate, nesting or type."""

    def __init__(self, code: str, sentence: str) -> None:
        super().__init__(sentence)
        self.code = code
        self.sentence = sentence


def _text(text: str) -> str:
    plain = True
    for letter in text:
        if letter < " " or letter == '"' or letter == "\\":
            plain = False
        elif "\ud7ff" < letter < "\ue000":
            raise CanonicalError("surrogate", "A text holds half a character (a lone surrogate).")
    if plain:
        return '"' + text + '"'
    parts = []
    for letter in text:
        if letter in _ESCAPES:
            parts.append(_ESCAPES[letter])
        elif letter < " ":
            parts.append("\\u00%02x" % ord(letter))
        else:
            parts.append(letter)
    return '"' + "".join(parts) + '"'


def _ascii(key: str) -> bool:
    for letter in key:
        if letter > "\x7f":
            return False
    return True


def _write(value: Any, parts: list[str], depth: int) -> None:
    # bool first: True is an int in one engine and not in the other
    if value is None:
        parts.append("null")
    elif value is True:
        parts.append("true")
    elif value is False:
        parts.append("false")
    elif isinstance(value, str):
        parts.append(_text(value))
    elif isinstance(value, int):
        if not -INTEGER_LIMIT < value < INTEGER_LIMIT:
            raise CanonicalError(
                "integer", "An integer is too large: its magnitude must be below 2**53."
            )
        parts.append(str(value))
    elif isinstance(value, float):
        raise CanonicalError(
            "float", "A number with a fraction is not allowed: store the text that was typed."
        )
    elif isinstance(value, (list, tuple, dict)):
        if depth >= NESTING_LIMIT:
            raise CanonicalError("nesting", "A value is nested too deeply.")
        if isinstance(value, dict):
            for key in value:
                if not isinstance(key, str) or not _ascii(key):
                    raise CanonicalError("key", "An object has a key that is not ASCII text.")
            comma = "{"
            for key in sorted(value):
                parts.append(comma)
                parts.append(_text(key))
                parts.append(":")
                _write(value[key], parts, depth + 1)
                comma = ","
            parts.append("}" if comma == "," else "{}")
        else:
            comma = "["
            for entry in value:
                parts.append(comma)
                _write(entry, parts, depth + 1)
                comma = ","
            parts.append("]" if comma == "," else "[]")
    else:
        raise CanonicalError(
            "type", "A value is neither object, array, text, integer, boolean nor null."
        )


def canonical(value: Any) -> str:
    """The one text of a JSON value: RFC 8785 without fractions and with ASCII keys.

    Raises CanonicalError, whose sentence says what is wrong.
    """
    parts: list[str] = []
    _write(value, parts, 0)
    return "".join(parts)


def _settle(events: list[Event]) -> Cell:
    """One path's cell from its events, whatever their order and however often each is repeated."""
    if len(events) == 1:
        return {"value": events[0]["value"], "at": events[0]["at"], "others": []}
    dead = {}
    for event in events:
        for stamp in event["over"]:
            if stamp < event["at"]:
                dead[stamp] = True
    seen = {}
    for event in events:
        if event["at"] not in dead:
            # the text in the key settles even two values that claim one stamp
            seen[(event["at"], canonical(event["value"]))] = event["value"]
    live = sorted(seen)
    live.reverse()
    at, text = live[0]
    others = []
    for key in live[1:]:
        if key[1] != text:
            others.append({"value": seen[key], "at": key[0]})
    return {"value": seen[live[0]], "at": at, "others": others}


def fold(events: list[Event]) -> Cells:
    """Cells by path from one visit's events: the last writer wins, unseen values stay beside it.

    An event is dead when a later one at its path names its stamp in `over`. Taken-back paths
    stay, with the value None. Order of arrival and repeats change nothing.
    """
    by_path: dict[str, list[Event]] = {}
    for event in events:
        path = event["put"]
        if path in by_path:
            by_path[path].append(event)
        else:
            by_path[path] = [event]
    cells = {}
    for path in sorted(by_path):
        cells[path] = _settle(by_path[path])
    return cells


def record_text(visit: str, cells: Cells) -> str:
    """The text whose SHA-256 is a seal's `record`."""
    return canonical({"visit": visit, "cells": cells})


def photos_of(cells: Cells) -> list[str]:
    """The photos' hashes, each once, sorted: those on item photo paths that were not taken back."""
    hashes = {}
    for path in cells:
        parts = path.split("/")
        if len(parts) == 4 and parts[0] == "items" and parts[2] == "photos":
            if cells[path]["value"] is not None:
                hashes[parts[3]] = True
    return sorted(hashes)


def photos_text(cells: Cells) -> str:
    """The text whose SHA-256 is a seal's `photos.hash`."""
    return canonical(photos_of(cells))


def _is_covered(event: Event, through: Any) -> bool:
    seq = through.get(event["device"], 0) if isinstance(through, dict) else 0
    if seq is True or seq is False or not isinstance(seq, int):
        return False
    return bool(event["seq"] <= seq)


def covered(events: list[Event], through: Any) -> list[Event]:
    """Those of a visit's events that a seal with this `through` covers, in the given order.

    `through` says per device up to which seq; of a device it does not name, nothing is covered.
    """
    return [event for event in events if _is_covered(event, through)]


def amendments(events: list[Event], through: Any) -> list[Event]:
    """Those that came after the seal or were unknown to it; seals themselves amend nothing."""
    return [
        event
        for event in events
        if not _is_covered(event, through) and not event["put"].startswith("seal/")
    ]
