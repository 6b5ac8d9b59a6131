"""What is kept for its hash and handed out to nobody: left out of what devices pull.

An event whose value is withheld travels with what is left of the value and a ninth field,
`withheld`: the hash of the event as it was recorded. The receiver chains on with that hash, so
the rest of the chain can still be checked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import msgspec

from bradawl.log import events as ev


class Hidden(Protocol):
    """What is withheld at one moment."""

    @property
    def visits(self) -> frozenset[str]:
        """The visits of which something is withheld."""

    def value(self, visit: str, put: str, at: str, value: Any) -> Any:
        """The value that an event shows; the very same object when nothing is withheld."""


class Withheld(Protocol):
    """Whoever decides what is withheld."""

    def now(self) -> Hidden:
        """What is withheld now."""

    def hides_photo(self, sha256: str) -> bool:
        """Whether a photo is withheld."""


@dataclass(frozen=True)
class Run:
    """Consecutive events of one device as they are stored."""

    device: str
    from_seq: int
    prev: str
    body: bytes


def leave_out(runs: Sequence[Run], hidden: Hidden) -> list[bytes]:
    """The bodies of `runs`, what is withheld left out; untouched bytes where nothing is."""
    visits = [visit.encode() for visit in hidden.visits]
    return [
        _without(run, hidden) if any(visit in run.body for visit in visits) else run.body
        for run in runs
    ]


def _without(run: Run, hidden: Hidden) -> bytes:
    sent: list[Any] = []
    written = ev.unpack(run.body)
    full = ev.chain(run.device, run.from_seq, run.prev, written)
    for one, event in zip(written, full, strict=True):
        value = hidden.value(one.visit, one.put, one.at, one.value)
        if value is one.value:
            sent.append(one)
            continue
        shown = msgspec.structs.asdict(one)
        shown["value"] = value
        shown["withheld"] = ev.hash_of(event)
        sent.append(shown)
    return msgspec.json.encode(sent)
