"""Pieces of an assembly that have not failed, as one more thing that the cheapest work must meet.

To keep an assembly is to pay for its pieces as they fail. That is a must by a name of its own: the
assembly meets it, and so does waiting, for what the pieces are expected to come to.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import visit_facts
from ..values.amounts import rising
from ..values.exact import half_up

if TYPE_CHECKING:
    from ..values.types import Json, Offer, Piece

MOST_PIECES = 200  # of one assembly
START = "further/"
KIND = "further"


def name(assembly: str) -> str:
    """The must of an assembly, and the id of waiting for its pieces to fail."""
    return START + assembly


def item_of(must: str) -> str:
    """The item whose assembly a must is of; any other must is its own."""
    return must.split("/")[1] if must.startswith(START) else must


def read(value: Json) -> list[Piece]:
    """[{"title", "cost": [low, likely, high], "count", "chance_percent"}, …].

    One whose costs are not three rising amounts is left out.
    """
    kept: list[Piece] = []
    left = MOST_PIECES
    for piece in value if isinstance(value, list) else []:
        if not isinstance(piece, dict):
            continue
        cost = rising(piece.get("cost"))
        count = visit_facts.whole(piece.get("count", 1)) or 0
        count = min(max(count, 0), left)
        left -= count
        if cost:
            title = piece.get("title")
            chance = visit_facts.whole(piece.get("chance_percent", 0)) or 0
            kept.append(
                {
                    "title": title if isinstance(title, str) else "",
                    "cost": cost,
                    "count": count,
                    "chance_percent": min(max(chance, 0), 100),
                }
            )
    return kept


def expected(pieces: list[Piece]) -> list[int]:
    """Low, likely and high of what the pieces are expected to come to, in whole units, half up."""
    sums = [0, 0, 0]
    for piece in pieces:
        for n in range(3):
            sums[n] += piece["cost"][n] * piece["count"] * piece["chance_percent"]
    return [half_up((amount, 100), 0) for amount in sums]


def waiting(assembly: str, pieces: list[Piece]) -> Offer:
    """What it is to leave an assembly in and mend its pieces as they fail."""
    cost = expected(pieces)
    return {
        "id": name(assembly),
        "item": assembly.split("/")[0],
        "title": "",
        "kind": KIND,
        "parts": cost,
        "hours": ["0", "0", "0"],
        "need": True,
        "loss": 0,
        "origin": "own",
        "covers": [name(assembly)],
        "counted": 0,
        "cost": cost,
    }


def needed(keeping: dict[str, Offer], offered: list[Offer]) -> tuple[list[str], list[str]]:
    """The musts by which needed work is chosen, and those of assemblies that are only wanted."""
    wanted = []
    for offer in offered:
        if name(offer["id"]) in keeping and not offer["need"]:
            wanted.append(name(offer["id"]))
    return [must for must in sorted(keeping) if must not in wanted], sorted(wanted)


def take_on(
    keeping: dict[str, Offer], offered: list[Offer], left: list[str], chosen: dict[str, bool]
) -> None:
    """Let each assembly meet its own must, unless all else that it does is done by hand's choice.

    Nobody replaces what somebody chose to mend for the sake of what has not failed yet.
    """
    for offer in offered:
        must = name(offer["id"])
        if must in keeping:
            useful = [covered for covered in offer["covers"] if covered in left]
            if useful or offer["id"] in chosen:
                offer["covers"].append(must)
