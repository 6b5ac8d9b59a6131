"""Must-haves and reasons to leave as desk and report show them, and the entries that change them.

What is known of each is the judge's (`judge/decisions/wants.py`); what is recorded is also the
phone's (`visit/before/purpose/wants.ts`), held to the same table.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bradawl.inspection import cell_values
from bradawl.language import argument, say

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cells

Puts = list[tuple[str, Any]]
#: By side and standing, the message of what it is called.
STANDINGS = {
    "must": {"fine": "purpose-met", "against": "purpose-not-met", "open": "purpose-not-known"},
    "leave": {
        "fine": "purpose-not-so",
        "against": "purpose-came-true",
        "open": "purpose-not-known",
    },
}


@dataclass(frozen=True)
class Want:
    """A want and how it stands; `ask` is the checklist's question, "" for none."""

    id: str
    side: str
    title: str
    standing: str
    said: str
    asks: bool
    ask: str
    so: bool | None
    items: tuple[str, ...]
    open: tuple[str, ...]

    @property
    def state(self) -> str:
        """The message of how it stands."""
        return STANDINGS[self.side][self.standing]


def wants_of(cells: Cells, assessment: Mapping[str, Any], rules: Mapping[str, Any]) -> list[Want]:
    """Every want that counts: must-haves in their order, then reasons to leave."""
    asks = {row["id"]: row.get("ask", "") for row in rules.get("wants") or ()}
    found = []
    for row in assessment.get("wants") or ():
        so = cell_values.value(cells, f"wants/{row['id']}/so")
        found.append(
            Want(
                id=row["id"],
                side=row["side"],
                title=str(argument(row["title"], rules)),
                standing=row["standing"],
                said=say(row["said"], rules) if "said" in row else "",
                asks=row["asks"],
                ask=asks.get(row["id"], ""),
                so=so if isinstance(so, bool) else None,
                items=tuple(row["items"]),
                open=tuple(row["open"]),
            )
        )
    return found


def musts_in(cells: Cells) -> list[str]:
    """The ids of all must-haves in their order, those behind the fifth too."""
    placed = []
    for path, cell in cells.items():
        parts = path.split("/")
        place = cell_values.whole(cell["value"])
        if parts[0] == "wants" and parts[2:] == ["must"] and place is not None:
            placed.append((place, parts[1]))
    return [name for _, name in sorted(placed)]


def add_musts(cells: Cells, names: Sequence[str]) -> Puts:
    """The entries that put these behind the must-haves that are there."""
    places = [cell_values.whole(cells[f"wants/{name}/must"]["value"]) for name in musts_in(cells)]
    last = max((place for place in places if place is not None), default=0)
    return [(f"wants/{name}/must", last + n) for n, name in enumerate(names, 1)]


def move_up(cells: Cells, name: str) -> Puts:
    """The must-have one place up."""
    order = musts_in(cells)
    at = order.index(name) if name in order else 0
    if at < 1:
        return []
    order[at - 1 : at + 1] = [name, order[at - 1]]
    return [
        (f"wants/{one}/must", n)
        for n, one in enumerate(order, 1)
        if cells[f"wants/{one}/must"]["value"] != n
    ]


def dropped(cells: Cells, name: str) -> Puts:
    """A want taken back with all that stands below it."""
    start = f"wants/{name}/"
    return [
        (path, None)
        for path, cell in cells.items()
        if path.startswith(start) and cell["value"] is not None
    ]


def copied(given: Cells, taking: Cells) -> Puts:
    """What makes one record's wants those of another, which keeps what is known of its own car."""

    def held(cells: Cells) -> dict[str, Any]:
        return {
            path: cell["value"]
            for path, cell in cells.items()
            if path.startswith("wants/") and not path.endswith("/so") and cell["value"] is not None
        }

    source, stands = held(given), held(taking)
    puts: Puts = [(path, None) for path in stands if path not in source]
    return puts + [(path, value) for path, value in source.items() if stands.get(path) != value]
