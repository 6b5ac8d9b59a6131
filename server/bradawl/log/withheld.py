"""What is kept for its hash and handed out to nobody: left out of what devices pull.

An event whose value is withheld travels with what is left of the value and a ninth field,
`withheld`: the hash of the event as it was recorded. The receiver chains on with that hash, so
the rest of the chain can still be checked.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import msgspec

from bradawl.log import events as ev


class Withheld(Protocol):
    """Whoever decides what is withheld."""

    def by_visit(self) -> Mapping[str, Mapping[str, frozenset[str]]]:
        """Per visit and path the parts of its values that are withheld."""

    def hide(self, value: Any, parts: frozenset[str]) -> Any:
        """The value without those parts."""

    def hides_photo(self, sha256: str) -> bool:
        """Whether a photo is withheld."""


@dataclass(frozen=True)
class Run:
    """Consecutive events of one device as they are stored."""

    device: str
    from_seq: int
    prev: str
    body: bytes


def leave_out(runs: Sequence[Run], withheld: Withheld) -> list[bytes]:
    """The bodies of `runs`, what is withheld left out; untouched bytes where nothing is."""
    hidden = withheld.by_visit()
    visits = [visit.encode() for visit in hidden]
    return [
        _without(run, hidden, withheld) if any(visit in run.body for visit in visits) else run.body
        for run in runs
    ]


def _without(
    run: Run, hidden: Mapping[str, Mapping[str, frozenset[str]]], withheld: Withheld
) -> bytes:
    sent: list[Any] = []
    written = ev.unpack(run.body)
    full = ev.chain(run.device, run.from_seq, run.prev, written)
    for one, event in zip(written, full, strict=True):
        parts = hidden.get(one.visit, {}).get(one.put)
        if parts is None:
            sent.append(one)
            continue
        shown = msgspec.structs.asdict(one)
        shown["value"] = withheld.hide(one.value, parts)
        shown["withheld"] = ev.hash_of(event)
        sent.append(shown)
    return msgspec.json.encode(sent)
