"""What other phones have seen of a phone and this server does not hold: lost, or still to come.

After a restore from an old backup the phones send again what they still hold. What a phone that
is gone had sent is known only by its traces: another phone, when it asks for news, says how far
it has each device's entries. Where that is further than the server, something is missing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from sqlalchemy import Engine
from sqlmodel import func, select

from bradawl.access.core.tables import SeenRow
from bradawl.access.core.transactions import noting, reading

#: How many devices are remembered: what a phone says is a claim, and no claim may fill the disk.
DEVICES = 500


@dataclass(frozen=True)
class Gap:
    """Entries `held` + 1 to `seen` of a device are not on this server."""

    device: str
    held: int
    seen: int

    @property
    def missing(self) -> int:
        return self.seen - self.held


class Missing:
    """How far any phone has seen every other, in the database."""

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock

    def note(self, have: Mapping[str, int], held: Mapping[str, int]) -> None:
        """Remember where somebody who `have` is further than this server, which has `held`."""
        ahead = {device: seq for device, seq in have.items() if seq > held.get(device, 0)}
        if not ahead:
            return
        with noting(self._engine) as session:
            for device, seq in sorted(ahead.items()):
                row = session.get(SeenRow, device)
                if row is None:
                    if session.exec(select(func.count()).select_from(SeenRow)).one() >= DEVICES:
                        return
                    row = SeenRow(device=device, seq=0, at_ms=0)
                row.seq, row.at_ms = max(row.seq, seq), self._clock()
                session.add(row)

    def gaps(self, held: Mapping[str, int]) -> list[Gap]:
        """What is missing of each device, against what the server holds now."""
        with reading(self._engine) as session:
            rows = session.exec(select(SeenRow)).all()
        gaps = [Gap(row.device, held.get(row.device, 0), row.seq) for row in rows]
        return sorted((gap for gap in gaps if gap.missing > 0), key=lambda gap: gap.device)
