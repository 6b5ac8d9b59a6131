"""Protocol 2 written a second time, from the specification in server/bradawl/log/README.md.

Nothing of the server's code: canonical JSON by the `rfc8785` package, hashes by `hashlib`, P-256
by `cryptography`. Slow and plain on purpose: it is what server, judge and app are held against.
"""

from __future__ import annotations

import base64
import hashlib
import re
from typing import Any

import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import (
    decode_dss_signature,
    encode_dss_signature,
)
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

JSON = dict[str, Any]
HASHED = ("at", "commit", "device", "over", "prev", "put", "scope", "seq")
SENT = ("at", "over", "put", "salt", "scope", "value")
SENT_ERASED = ("at", "commit", "over", "put", "scope")


def b64u(data: bytes) -> str:
    """Base64url without padding."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def sha256_hex(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def canonical(value: Any) -> str:
    """RFC 8785, without lone surrogates."""
    return rfc8785.dumps(value).decode()


def text_of(value: Any) -> str:
    """The recorded text of a value; lone surrogates as lower-case escapes.

    ECMA-262 (25.5.2.3, QuoteJSONString) writes them so, and RFC 8785 follows ECMA-262 in all else.
    """
    lone: list[int] = []

    def kept(entry: Any) -> Any:
        if isinstance(entry, str):
            letters = []
            for letter in entry:
                if 0xD800 <= ord(letter) <= 0xDFFF:
                    lone.append(ord(letter))
                    letter = f"\U0010ffff{len(lone) - 1}\U0010fffe"
                letters.append(letter)
            return "".join(letters)
        if isinstance(entry, dict):
            return {key: kept(inner) for key, inner in entry.items()}
        return [kept(inner) for inner in entry] if isinstance(entry, list) else entry

    text = canonical(kept(value))
    for number, code in enumerate(lone):
        text = text.replace(f"\U0010ffff{number}\U0010fffe", f"\\u{code:04x}")
    return text


def shown(value: Any) -> Any:
    """A value as it is shown outside the log: lone surrogates as U+FFFD."""
    if isinstance(value, str):
        return "".join("\ufffd" if 0xD800 <= ord(one) <= 0xDFFF else one for one in value)
    if isinstance(value, dict):
        return {key: shown(inner) for key, inner in value.items()}
    return [shown(inner) for inner in value] if isinstance(value, list) else value


def commit_of(salt: bytes, text: str) -> str:
    return b64u(hashlib.sha256(salt + text.encode()).digest())


def hash_of(event: JSON) -> str:
    """SHA-256 over the canonical JSON of an event's eight hashed fields."""
    return sha256_hex(canonical({name: event[name] for name in HASHED}))


def id_of(event: JSON) -> str:
    return f"{event['at']}~{event['commit']}"


def verifies(key: str, text: str, signature: str) -> bool:
    """Whether a signature over `text` is that of `key`, both in base64url."""
    point, raw = (base64.urlsafe_b64decode(one + "==") for one in (key, signature))
    der = encode_dss_signature(int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big"))
    try:
        public = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), point)
        public.verify(der, text.encode(), ec.ECDSA(hashes.SHA256()))
    except (ValueError, InvalidSignature):
        return False
    return True


class Key:
    """A P-256 key that follows from a number; it signs the same text the same way (RFC 6979)."""

    def __init__(self, number: int) -> None:
        self._private = ec.derive_private_key(number, ec.SECP256R1())
        point = self._private.public_key().public_bytes(
            Encoding.X962, PublicFormat.UncompressedPoint
        )
        self.public = b64u(point)
        self.device = hashlib.sha256(point).hexdigest()[:32]

    def sign(self, text: str) -> str:
        der = self._private.sign(
            text.encode(), ec.ECDSA(hashes.SHA256(), deterministic_signing=True)
        )
        r, s = decode_dss_signature(der)
        return b64u(r.to_bytes(32, "big") + s.to_bytes(32, "big"))


class Chain:
    """One device's chain, written event by event; values and salts as this module made them."""

    def __init__(self, key: Key, scope: str, ms: int) -> None:
        self.key = key
        self.scope = scope
        self.ms = ms
        self.events: list[JSON] = []

    def put(
        self,
        path: str,
        value: Any,
        over: list[JSON] | None = None,
        *,
        ms: int | None = None,
        scope: str | None = None,
    ) -> JSON:
        """Append an event that names the events `over`; a second later, or at `ms`."""
        self.ms = self.ms + 1000 if ms is None else ms
        seq = len(self.events) + 1
        salt = hashlib.sha256(f"salt {self.key.device} {seq}".encode()).digest()[:16]
        text = text_of(value)
        event = {
            "device": self.key.device,
            "seq": seq,
            "prev": hash_of(self.events[-1]) if self.events else "",
            "at": f"{self.ms:015d}-00000-{self.key.device}",
            "scope": scope or self.scope,
            "put": path,
            "value": text,
            "salt": b64u(salt),
            "commit": commit_of(salt, text),
            "over": sorted(id_of(one) for one in over or ()),
        }
        self.events.append(event)
        return event

    def batch(self, from_seq: int = 1, to_seq: int | None = None) -> JSON:
        """Consecutive events as they are pushed and pulled."""
        events = self.events[from_seq - 1 : to_seq]
        head = hash_of(events[-1])
        text = f"bradawl-head-2\n{self.key.device}\n{events[-1]['seq']}\n{head}"
        return {
            "protocol": 2,
            "device": self.key.device,
            "key": self.key.public,
            "from_seq": events[0]["seq"],
            "prev": events[0]["prev"],
            "events": [
                {name: event[name] for name in (SENT if event.get("salt") else SENT_ERASED)}
                for event in events
            ],
            "head": head,
            "signature": self.key.sign(text),
        }


def erased(event: JSON) -> JSON:
    """An event without its value and salt."""
    return {key: event[key] for key in event if key not in ("value", "salt")}


def plain(event: JSON, value: Any) -> JSON:
    """An event as the fold reads it: the value itself, as it is shown."""
    return {**event, "value": shown(value)}


# what stands, and what the shop ordered


def _by_path(events: list[JSON]) -> dict[str, dict[str, JSON]]:
    paths: dict[str, dict[str, JSON]] = {}
    for event in events:
        paths.setdefault(event["put"], {})[id_of(event)] = event
    return paths


def _standing(events: dict[str, JSON]) -> list[str]:
    """Ids of one path's live events, the highest-ranked first; where none is live, the highest."""
    named = {
        commit
        for event in events.values()
        for commit in (name.partition("~")[2] for name in event["over"])
        if commit != event["commit"]
    }
    ranked = sorted(events, key=lambda name: (events[name].get("rank", name[:54]), name))[::-1]
    return [name for name in ranked if events[name]["commit"] not in named] or ranked[:1]


def fold(events: list[JSON]) -> JSON:
    cells = {}
    for path, there in _by_path([one for one in events if not one.get("fenced")]).items():
        standing = [there[name] for name in _standing(there)]
        first, *rest = [one for one in standing if not one.get("erased")] or standing[:1]
        text = canonical(first["value"])
        cells[path] = {
            "value": first["value"],
            "at": first.get("rank", first["at"]),
            "others": [
                {"value": one["value"], "at": one.get("rank", one["at"])}
                for one in rest
                if canonical(one["value"]) != text
            ],
        }
        if first.get("erased"):
            cells[path]["erased"] = True
    return cells


def live_ids(events: list[JSON]) -> dict[str, list[str]]:
    """What the next writer names: all that stands, with the fenced events and without them."""
    named: dict[str, set[str]] = {}
    for view in (events, [one for one in events if not one.get("fenced")]):
        for path, there in _by_path(view).items():
            named.setdefault(path, set()).update(_standing(there))
    return {path: sorted(names) for path, names in named.items()}


def leaves(events: list[JSON]) -> list[str]:
    """Of every live event base64url(SHA-256) of its kind and of the hash of the rest, sorted."""
    found = []
    for path, there in _by_path([{**one, "rank": one["at"]} for one in events]).items():
        for name in _standing(there):
            inner = canonical([path, there[name]["at"], there[name]["commit"]])
            leaf = canonical([kind_of(path), b64u(hashlib.sha256(inner.encode()).digest())])
            found.append(b64u(hashlib.sha256(leaf.encode()).digest()))
    return sorted(found)


#: A job's name has two words, or one (the log's README, "Kinds").
_JOB = r"work/[^/]+(?:/(?!(?:done|after|photos)(?:/|$))[^/]+)?"

#: The first row that a path's beginning matches tells its kind (the log's README, "Kinds").
_KINDS = (
    (r"seal(/|$)", "seal"),
    (r"items/[^/]+/cost(/|$)", "money"),
    (r"items/[^/]+/grade(/|$)", "grade"),
    (r"items/[^/]+/choice(/|$)", "choice"),
    (r"items/[^/]+/readings(/|$)", "reading"),
    (r"items/[^/]+/wires/[^/]+/note$", "note"),
    (r"items/[^/]+/wires(/|$)", "reading"),
    (r"items/[^/]+/photos(/|$)", "photo"),
    (r"items/[^/]+/(why|text|note)(/|$)", "note"),
    (r"media(/|$)", "photo"),
    (r"about/(seller|inspector|place)(/|$)", "name"),
    (r"about/name(/|$)", "note"),
    (r"about/(asking_price|currency)(/|$)", "money"),
    (r"about/(app|bundle|dark|depth|distance_home|motorway|region|started|voice|wet)(/|$)", "fact"),
    (r"about/left_", "fact"),
    (r"car/(address|email|name|phone|plate)(/|$)", "name"),
    (r"car/look_first(/|$)", "plan"),
    (r"car(/|$)", "fact"),
    (r"people(/|$)", "name"),
    (r"(amend|notes|settled|trouble)(/|$)", "note"),
    (_JOB + r"/done$", "money"),
    (_JOB + r"/done/", "note"),
    (_JOB + r"/photos(/|$)", "photo"),
    (_JOB + r"/after/[^/]+/grade(/|$)", "grade"),
    (_JOB + r"/after/[^/]+/choice(/|$)", "choice"),
    (_JOB + r"/after/[^/]+/readings(/|$)", "reading"),
    (_JOB + r"/after/[^/]+/wires(/|$)", "reading"),
    (_JOB + r"/after/[^/]+/photos(/|$)", "photo"),
    (_JOB + r"/after/[^/]+/(why|text|note)(/|$)", "note"),
    (_JOB + r"/after(/|$)", "plan"),
    (r"work(/|$)", "note"),
    (r"drive(/|$)", "fact"),
    (r"(ads|deal|ledger|life|papers|passed)(/|$)", "money"),
    (r"claims/[^/]+/(date|kind|state)(/|$)", "fact"),
    (r"claims/[^/]+/photos(/|$)", "photo"),
    (r"claims/[^/]+/who(/|$)", "name"),
    (r"claims/[^/]+/words(/|$)", "note"),
    (r"lookups/[^/]+/(date|kind|result)(/|$)", "fact"),
    (r"lookups/[^/]+/photos(/|$)", "photo"),
    (r"lookups/[^/]+/note(/|$)", "note"),
    (r"calls/[^/]+/", "note"),
    (r"calls(/|$)", "name"),
    (r"parts/[^/]+/[^/]*_cents(/|$)", "money"),
    (r"parts/[^/]+/(vendor|where)(/|$)", "name"),
    (r"parts/[^/]+/(note|reply)(/|$)", "note"),
    (r"verdict(/|$)", "money"),
)


def kind_of(path: str) -> str:
    for pattern, kind in _KINDS:
        if re.match(pattern, path):
            return kind
    return "plan"


def obeyed(events: list[JSON], orders: JSON) -> list[JSON]:
    marked = []
    for event in events:
        more = {}
        for first, last, received_ms in orders["clock"].get(event["device"], []):
            if first <= event["seq"] <= last:
                counter = min(event["seq"] - first, 99_999)
                more["rank"] = f"{received_ms:015d}-{counter:05d}-{event['device']}"
        for first, last, why in orders["fence"].get(event["device"], []):
            if first <= event["seq"] and (last is None or event["seq"] <= last):
                more["fenced"] = why or "fenced"
        marked.append({**event, **more})
    return marked


def orders(events: list[JSON], shop: list[str]) -> JSON:
    """What the shop ordered in scope `shop`; `shop` names its own devices."""
    cells = fold([event for event in events if event["device"] in shop])
    clock: dict[str, list[Any]] = {}
    fence: dict[str, list[Any]] = {}
    erase = []
    for path, cell in cells.items():
        kind, _, rest = path.partition("/")
        device, _, number = rest.partition("/")
        value = cell["value"]
        if not isinstance(value, dict) or not number.isdecimal():
            continue
        if kind == "clock":
            clock.setdefault(device, []).append(
                [int(number), value["to_seq"], value["received_ms"]]
            )
        elif kind == "fence":
            fence.setdefault(device, []).append(
                [int(number), value.get("to_seq"), value.get("why", "")]
            )
        elif kind == "erase":
            erase.append([device, int(number), value["put"], value["commit"], cell["at"]])
    return {
        "clock": {device: sorted(rows) for device, rows in clock.items()},
        "fence": {device: sorted(rows, key=lambda row: row[0]) for device, rows in fence.items()},
        "erase": [
            dict(zip(("device", "seq", "put", "commit", "at"), row, strict=True))
            for row in sorted(erase)
        ],
    }
