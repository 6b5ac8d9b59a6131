"""What is claimed of a car and what became of it, as desk and report show it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from bradawl.inspection import cell_values
from bradawl.inspection.offer.paths import below, photos
from bradawl.language import argument, say

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cells

TELLERS = ("ad", "seller", "owner", "shop", "other")
STANDINGS = ("claimed", "seen", "proven", "false")


@dataclass(frozen=True)
class Claim:
    """A claim and what became of it; `who` is "" where a report leaves out who said it."""

    id: str
    kind: str
    title: str
    words: str
    who: str
    name: str
    date: str
    standing: str
    said: str
    suggests: str
    items: tuple[str, ...]
    photos: tuple[str, ...] = field(default=())


def claims_of(cells: Cells, assessment: Mapping[str, Any], rules: Mapping[str, Any]) -> list[Claim]:
    """Every claim that the judge knows, in the order of its day; `rules` name what it names."""
    found_below = below(cells, "claims")
    found = []
    for row in assessment.get("claims") or ():
        paths = found_below.get(row["id"], {})
        who = cell_values.mapping(paths["who"]["value"]) if "who" in paths else {}
        told = {key: cell["value"] for key, cell in paths.items() if key in ("words", "date")}
        found.append(
            Claim(
                id=row["id"],
                kind=row["kind"],
                title=str(argument(row["title"], rules)),
                words=cell_values.words(told.get("words")),
                who=_teller(who) if who else "",
                name=cell_values.words(who.get("name")),
                date=cell_values.words(told.get("date")),
                standing=row["standing"],
                said=say(row["said"], rules),
                suggests=row.get("suggests", ""),
                items=tuple(row.get("items") or ()),
                photos=tuple(photos(paths)),
            )
        )
    return sorted(found, key=lambda claim: (claim.date, claim.id))


def _teller(who: Mapping[str, Any]) -> str:
    role = who.get("role")
    return role if isinstance(role, str) and role in TELLERS else "other"
