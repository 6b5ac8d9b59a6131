"""Batches as a phone makes them: events chained by the hash of their canonical JSON."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from typing import Any

from bradawl.judgement import canonical


def envelope(
    device: str, from_seq: int, prev: str, events: Sequence[Mapping[str, Any]]
) -> dict[str, Any]:
    """A push of `events` ({"at","visit","put","value","over"} each), head included."""
    head = prev
    for seq, event in enumerate(events, from_seq):
        whole = {"device": device, "seq": seq, "prev": head, **event}
        head = hashlib.sha256(canonical(whole).encode()).hexdigest()
    return {
        "protocol": 1,
        "device": device,
        "from_seq": from_seq,
        "prev": prev,
        "events": [dict(event) for event in events],
        "head": head,
    }
