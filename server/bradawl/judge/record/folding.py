"""The record: events folded into cells, and the texts that a seal hashes.

Nothing else may know how two values of one path are settled, or what a digest covers.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .entry_kinds import entry_kind

if TYPE_CHECKING:
    from ..values.types import Cell, Cells, EraseOrder, Event, Json, Orders, OtherValue

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

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


def _text(text: str) -> str:
    plain = True
    for letter in text:
        if letter < " " or letter == '"' or letter == "\\":
            plain = False
        elif "\ud7ff" < letter < "\ue000":
            raise CanonicalError("surrogate")
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
            raise CanonicalError("integer")
        parts.append(str(value))
    elif isinstance(value, float):
        raise CanonicalError("float")
    elif isinstance(value, (list, tuple, dict)):
        if depth >= NESTING_LIMIT:
            raise CanonicalError("nesting")
        if isinstance(value, dict):
            for key in value:
                if not isinstance(key, str) or not _ascii(key):
                    raise CanonicalError("key")
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
        raise CanonicalError("type")


def canonical(value: Any) -> str:
    """The one text of a JSON value: RFC 8785 without fractions and with ASCII keys.

    Raises CanonicalError, whose code says what is wrong.
    """
    parts: list[str] = []
    _write(value, parts, 0)
    return "".join(parts)


def event_id(event: Event) -> str:
    """What `over` names an event by: its stamp, and a commitment that nobody can guess before."""
    return event["at"] + "~" + event["commit"]


def _rank(event: Event) -> str:
    """By what an event is ranked: its stamp, or the one that the shop corrected it to."""
    return event.get("rank") or event["at"]


def _by_path(events: list[Event]) -> dict[str, list[Event]]:
    by_path: dict[str, list[Event]] = {}
    for event in events:
        path = event["put"]
        if path in by_path:
            by_path[path].append(event)
        else:
            by_path[path] = [event]
    return by_path


def _standing(events: list[Event], corrected: bool = True) -> list[Event]:
    """One path's live events, the highest-ranked first; where none is live, the highest of all.

    Naming replaces, whatever the stamps say; and by the commitment alone, which an entry keeps
    when it is written anew on another chain. Unless `corrected`, stamps rank as they were written.
    """
    dead = {}
    unique = {}
    for event in events:
        unique[event_id(event)] = event
        for other in event["over"]:
            commit = other[other.find("~") + 1 :]
            if commit != event["commit"]:
                dead[commit] = True
    ranked = sorted([(_rank(unique[name]) if corrected else name, name) for name in unique])
    ranked.reverse()
    live = [unique[name] for rank, name in ranked if unique[name]["commit"] not in dead]
    return live or [unique[ranked[0][1]]]


def _settle(events: list[Event]) -> Cell:
    """One path's cell from its events, whatever their order and however often each is repeated.

    What was erased says nothing any more: it gives way to what stands beside it.
    """
    standing = _standing(events) if len(events) > 1 else events
    standing = [event for event in standing if not event.get("erased")] or standing[:1]
    winner = standing[0]
    others: list[OtherValue] = []
    if len(standing) > 1:
        text = canonical(winner["value"])
        for event in standing[1:]:
            if canonical(event["value"]) != text:
                others.append({"value": event["value"], "at": _rank(event)})
    if winner.get("erased"):
        return {"value": None, "at": _rank(winner), "others": [], "erased": True}
    return {"value": winner["value"], "at": _rank(winner), "others": others}


def fold(events: list[Event]) -> Cells:
    """Cells by path from one scope's events: the last writer wins, unseen values stay beside it.

    An event is dead when another one at its path names its commitment in `over`; fenced events
    are passed over. Taken-back paths stay, with the value None; so do erased ones, whose cell says
    `erased`. Order of arrival and repeats change nothing.
    """
    by_path = _by_path([event for event in events if not event.get("fenced")])
    cells = {}
    for path in sorted(by_path):
        cells[path] = _settle(by_path[path])
    return cells


def live_ids(events: list[Event]) -> dict[str, list[str]]:
    """Per path the sorted ids of what stands there: what its next writer names in `over`.

    Both what stands with the fenced events and what stands without them: whatever becomes of a
    fence, nothing that was replaced comes back.
    """
    names: dict[str, dict[str, bool]] = {}
    unfenced = [event for event in events if not event.get("fenced")]
    for view in (events, unfenced) if len(unfenced) < len(events) else (events,):
        by_path = _by_path(view)
        for path in by_path:
            there = names.setdefault(path, {})
            for event in _standing(by_path[path]):
                there[event_id(event)] = True
    return {path: sorted(names[path]) for path in names}


def leaf_texts(events: list[Event]) -> list[list[str]]:
    """What the leaves of a seal over these events are made of: one [kind, text] per live event.

    A leaf is the hash of its kind and of the hash of its text. Orders of the shop change no leaf:
    they may come after the seal.
    """
    by_path = _by_path(events)
    texts = []
    for path in sorted(by_path):
        for event in _standing(by_path[path], False):
            texts.append([entry_kind(path), canonical([path, event["at"], event["commit"]])])
    return texts


def unsigned_text(seal: dict[str, Json]) -> str:
    """The canonical text of a seal's value without its signature."""
    return canonical({key: seal[key] for key in seal if key != "signature"})


# the shop's orders ---------------------------------------------------------------------------

_NEVER_ERASED = ("grade", "choice", "readings")
_ORDERS_AND_PROOF = ("clock", "device", "devices", "erase", "fence", "seal")
_ERASABLE_ABOUT = ("seller", "place", "inspector", "name")
_ERASABLE_WORDS = (
    "address", "caption", "email", "name", "note", "phone", "photos", "plate", "text",
    "who", "why", "words",
)  # fmt: skip
# what people wrote about work and orders
_ERASABLE_AREAS = (
    "ads", "ledger", "media", "notes", "parts", "people", "plan", "trouble", "work",
)  # fmt: skip


def may_be_erased(path: str) -> bool:
    """Whether a value at this path may be erased: personal data, never a grade or a reading."""
    parts = path.split("/")
    if len(parts) < 2 or parts[0] in _ORDERS_AND_PROOF:
        return False
    for part in parts[1:]:
        if part in _NEVER_ERASED:
            return False
    if parts[0] == "about":
        return parts[1] in _ERASABLE_ABOUT
    if parts[0] in _ERASABLE_AREAS:
        return True
    # a word of what people write: last in the path, or before the name of a photo or a number
    return parts[-1] in _ERASABLE_WORDS or (len(parts) > 2 and parts[-2] in _ERASABLE_WORDS)


def _integer(value: Json) -> int | None:
    if value is True or value is False or not isinstance(value, int):
        return None
    return value


def _seq(text: str) -> int | None:
    for letter in text:
        if not "0" <= letter <= "9":
            return None
    return int(text) if 0 < len(text) < 16 else None


def orders(events: list[Event], shop: list[str]) -> Orders:
    """What the shop ordered, from the events of scope `shop`; `shop` names its own devices.

    `clock` is {device: [[from_seq, to_seq, received_ms], …]}, `fence` {device: [[from_seq, to_seq
    or None, why], …]}, `erase` what is to be erased; each list in the order of its numbers.
    """
    trusted = {}
    for device in shop:
        trusted[device] = True
    cells = fold([event for event in events if event["device"] in trusted])
    clock: dict[str, list[list[int]]] = {}
    fence: dict[str, list[list[Any]]] = {}
    erase: list[tuple[str, int, str, str, str]] = []
    for path in cells:
        parts = path.split("/")
        value = cells[path]["value"]
        seq = _seq(parts[2]) if len(parts) == 3 else None
        if seq is None or not isinstance(value, dict):
            continue
        device = parts[1]
        to_seq = _integer(value.get("to_seq"))
        if parts[0] == "clock":
            received_ms = _integer(value.get("received_ms"))
            if to_seq is not None and received_ms is not None and received_ms >= 0:
                clock.setdefault(device, []).append([seq, to_seq, received_ms])
        elif parts[0] == "fence":
            fence.setdefault(device, []).append([seq, to_seq, str(value.get("why") or "")])
        elif parts[0] == "erase":
            put, commit = value.get("put"), value.get("commit")
            if isinstance(put, str) and isinstance(commit, str) and may_be_erased(put):
                erase.append((device, seq, put, commit, cells[path]["at"]))
    for device in clock:
        clock[device].sort()
    for device in fence:
        fence[device] = _by_first(fence[device])
    return {"clock": clock, "fence": fence, "erase": [_erase_order(*row) for row in sorted(erase)]}


def _erase_order(device: str, seq: int, put: str, commit: str, at: str) -> EraseOrder:
    return {"device": device, "seq": seq, "put": put, "commit": commit, "at": at}


def _by_first(rows: list[list[Any]]) -> list[list[Any]]:
    """The rows by their first number alone: None has no order."""
    keyed = sorted([(row[0], number) for number, row in enumerate(rows)])
    return [rows[number] for _, number in keyed]


def obeyed(events: list[Event], ordered: Orders) -> list[Event]:
    """The events with what the shop ordered of them: `rank` and `fenced`; others as they are."""
    clock, fence = ordered["clock"], ordered["fence"]
    if not clock and not fence:
        return events
    return [_marked(event, clock, fence) for event in events]


def _marked(
    event: Event,
    clock: dict[str, list[list[int]]],
    fence: dict[str, list[list[Any]]],
) -> Event:
    device, seq = event["device"], event["seq"]
    rank = fenced = None
    for first, last, received_ms in clock.get(device, ()):
        if first <= seq <= last:
            counter = min(seq - first, 99999)
            rank = "%015d-%05d-%s" % (received_ms, counter, device)
    for first, to_seq, why in fence.get(device, ()):
        if first <= seq and (to_seq is None or seq <= to_seq):
            fenced = why or "fenced"
    if rank is None and fenced is None:
        return event
    marked = event.copy()
    marked.pop("rank", None)
    marked.pop("fenced", None)
    if rank is not None:
        marked["rank"] = rank
    if fenced is not None:
        marked["fenced"] = fenced
    return marked


def photos_of(cells: Cells) -> list[str]:
    """The photos' hashes, each once, sorted: those on item photo paths that were not taken back.

    An erased one counts: a seal that covers it was signed over its hash.
    """
    hashes = {}
    for path in cells:
        parts = path.split("/")
        if len(parts) == 4 and parts[0] == "items" and parts[2] == "photos":
            if cells[path]["value"] is not None or cells[path].get("erased"):
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
