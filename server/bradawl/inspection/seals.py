"""What a seal is made of: the leaves of what it covers, and the text that its device signs."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from bradawl.common.device_keys import encoded, is_key_of, verifies
from bradawl.inspection import cell_values
from bradawl.judge import CanonicalError, canonical, entry_kind, leaf_texts, unsigned_text

if TYPE_CHECKING:
    from bradawl.judge.values.types import Event


def as_written(event: Event) -> Event:
    """The event without what the shop ordered of it since."""
    written = event.copy()
    written.pop("rank", None)
    written.pop("fenced", None)
    return written


#: What some paths were called by seals that were made before; they are held to be what they were.
FORMER = {"car/look_first": "fact"}


def former_kind(path: str) -> str:
    """The kind that a seal made before may have a path under."""
    return FORMER.get(path) or entry_kind(path)


def leaves(events: Sequence[Event], former: bool = False) -> list[str]:
    """The leaves of a seal over these events, sorted: one per live event.

    `former`: with the kinds that some paths had before, which older seals name.
    """
    texts = leaf_texts(list(events))
    return sorted(
        leaf_of(former_kind(json.loads(text)[0]) if former else kind, hashed(text))
        for kind, text in texts
    )


def open_at_lock(seal: Mapping[str, Any]) -> dict[str, int] | None:
    """How many checks had no answer or two, and how much was not sorted, as it was locked.

    None for a seal that does not say so, as those made before did not.
    """
    told = seal.get("open")
    if not isinstance(told, Mapping):
        return None
    names = ("unchecked", "disputed", "unsorted")
    return {name: cell_values.whole(told.get(name), 0) or 0 for name in names}


def covers(events: Sequence[Event], seal: Mapping[str, Any]) -> bool:
    """Whether a seal's leaves are those of these events, under kinds of today or of before."""
    return seal.get("leaves") in (digest_of(leaves(events)), digest_of(leaves(events, True)))


def leaf_of(kind: str, hidden: str) -> str:
    """The leaf of an entry of that kind, whose path, stamp and commitment `hidden` is the hash of.

    So whoever leaves an entry out says of which kind it is, and nothing else.
    """
    return hashed(canonical([kind, hidden]))


def hashed(text: str) -> str:
    """base64url(SHA-256) of a text."""
    return encoded(hashlib.sha256(text.encode()).digest())


def digest_of(sorted_leaves: Sequence[str]) -> str:
    """A seal's `leaves`: the SHA-256 (hex) of its sorted leaves. Raises CanonicalError."""
    return hashlib.sha256(canonical(list(sorted_leaves)).encode()).hexdigest()


def signed_text(scope: str, device: str, seal: Mapping[str, Any]) -> str:
    """What a device signs of a seal's value in a scope. Raises CanonicalError."""
    digest = hashlib.sha256(unsigned_text(dict(seal)).encode()).hexdigest()
    return f"bradawl-seal-2\n{device}\n{scope}\n{digest}"


def is_signed(scope: str, device: str, seal: Mapping[str, Any]) -> bool:
    """Whether a seal's value is signed, for a scope, by the device with this id."""
    key, signature = seal.get("key"), seal.get("signature")
    if not isinstance(key, str) or not isinstance(signature, str):
        return False
    try:
        text = signed_text(scope, device, seal)
    except CanonicalError:
        return False
    return is_key_of(key, device) and verifies(key, text, signature)
