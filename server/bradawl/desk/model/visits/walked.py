"""Who did which stage, where more than one phone walked a car."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bradawl.desk.model.recorded import author_of
from bradawl.inspection import cell_values

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Snapshot

#: `taken/<stage>`: true where its writer has the stage (web/README.md, D363).
TAKEN = "taken/"
_ANSWERS = ("choice", "grade", "readings", "text")


@dataclass(frozen=True)
class Share:
    """How many checks of a stage one person answered."""

    who: str
    count: int


@dataclass(frozen=True)
class StageWalked:
    """A stage: who took it ("" nobody), how many of its checks have an answer, and whose."""

    title: str
    taken_by: str
    done: int
    total: int
    shares: tuple[Share, ...]

    @property
    def is_left(self) -> bool:
        """Somebody took it and did not finish it."""
        return bool(self.taken_by) and self.done < self.total


def walked(
    snapshot: Snapshot,
    name_of: Callable[[str], str],
    desk_chains: Callable[[], Collection[str]],
) -> list[StageWalked]:
    """Each stage that has an answer or is taken; empty unless two phones answered or took one.

    `desk_chains` gives the devices under which people write at the desk.
    """
    answered = _answered_by(snapshot)
    holders = {
        path.removeprefix(TAKEN): author_of(cell["at"])
        for path, cell in snapshot.cells.items()
        if path.startswith(TAKEN) and cell["value"] is True
    }
    devices = {*answered.values(), *holders.values()}
    if len(devices) < 2 or len(devices.difference(desk_chains())) < 2:
        return []
    judged = {item: found for item, found in snapshot.assessment["items"].items() if found["asked"]}
    rows = []
    for stage in snapshot.texts.get("stages", ()):
        items = [
            item["id"]
            for item in snapshot.texts["items"]
            if item["id"] in judged and item["stage"] == stage["id"]
        ]
        done = sum(judged[item]["state"] != "open" for item in items)
        counts = Counter(name_of(answered[item]) for item in items if item in answered)
        holder = holders.get(stage["id"])
        if not counts and holder is None:
            continue
        shares = sorted(counts.items(), key=lambda share: (-share[1], share[0]))
        rows.append(
            StageWalked(
                title=str(stage["title"]),
                taken_by="" if holder is None else name_of(holder),
                done=done,
                total=len(items),
                shares=tuple(Share(who, count) for who, count in shares),
            )
        )
    return rows


def _answered_by(snapshot: Snapshot) -> dict[str, str]:
    """Of each item that somebody answered, the device whose answer counts last."""
    last: dict[str, str] = {}
    for path, cell in snapshot.cells.items():
        parts = path.split("/")
        if parts[0] != "items" or len(parts) < 3 or parts[2] not in _ANSWERS:
            continue
        if cell["value"] is not None:
            last[parts[1]] = max(last.get(parts[1], ""), cell_values.text(cell["at"]))
    return {item: author_of(at) for item, at in last.items()}
