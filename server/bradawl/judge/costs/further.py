"""Pieces of an assembly that have not failed, as one more thing that the cheapest work must meet.

To keep an assembly is to pay for its pieces as they fail. That is a must by a name of its own: the
assembly meets it, and so does waiting, for what the pieces are expected to come to. A piece that is
an item of the checklist is a must of its own, whichever assemblies name it: whatever renews the
item meets it, and what is held for the item is held for the same failure (charge.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import visit_facts
from ..values.amounts import rising
from ..values.exact import half_up
from .estimates import sixths

if TYPE_CHECKING:
    from ..values.types import Json, Offer, Piece

MOST_PIECES = 200  # of one assembly
START = "further/"
KIND = "further"
HUNDREDTHS = 600  # sixths by per cent


def name(assembly: str) -> str:
    """The must of an assembly or an item, and the id of waiting for its pieces to fail."""
    return START + assembly


def item_of(must: str) -> str:
    """The item whose assembly a must is of; any other must is its own."""
    return must.split("/")[1] if must.startswith(START) else must


def read(value: Json) -> list[Piece]:
    """[{"title", "cost": [low, likely, high], "count", "chance_percent", "item"?}, …].

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
            read_piece: Piece = {
                "title": title if isinstance(title, str) else "",
                "cost": cost,
                "count": count,
                "chance_percent": min(max(chance, 0), 100),
            }
            item = piece.get("item")
            if isinstance(item, str) and item:
                read_piece["item"] = item
            kept.append(read_piece)
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


def weight(piece: Piece) -> int:
    """What a piece is expected to come to, in 600ths."""
    return sixths(piece["cost"]) * piece["count"] * piece["chance_percent"]


class Keeping:
    """What it is to keep the assemblies whose further failures somebody stated.

    `waits` by must; `stated` by item the dearest statement about it, also where it has failed by
    now: that is the least it costs. `named` are the items that each assembly's pieces are.
    """

    def __init__(self) -> None:
        self.waits: dict[str, Offer] = {}
        self.stated: dict[str, Piece] = {}
        self.named: dict[str, list[str]] = {}

    def add(
        self, assembly: str, pieces: list[Piece], apply: list[str], standing: list[str]
    ) -> None:
        """`apply` are the items that may fail yet or have failed, `standing` those that have."""
        own = []
        for piece in pieces:
            item = piece.get("item", "")
            if not item:
                own.append(piece)
            elif item in apply:
                named = self.named.setdefault(assembly, [])
                if item not in named:
                    named.append(item)
                if item not in self.stated or weight(self.stated[item]) < weight(piece):
                    self.stated[item] = piece
        if own:
            self.waits[name(assembly)] = waiting(assembly, own)
        for item in self.named.get(assembly, []):
            if item not in standing:
                self.waits[name(item)] = waiting(item, [self.stated[item]])

    def of_needs(self, offered: list[Offer]) -> tuple[list[str], list[str]]:
        """The musts by which needed work is chosen, and those of assemblies only wanted."""
        wanted: dict[str, bool] = {}
        needs: dict[str, bool] = {}
        for offer in offered:
            for must in self.musts(offer["id"]):
                (needs if offer["need"] else wanted)[must] = True
        wishes = [must for must in sorted(wanted) if must not in needs]
        return [must for must in sorted(self.waits) if must not in wishes], wishes

    def musts(self, assembly: str) -> list[str]:
        """The musts that an assembly's own pieces are."""
        names = [name(assembly)] + [name(item) for item in self.named.get(assembly, [])]
        return [must for must in names if must in self.waits]

    def take_on(
        self, offered: list[Offer], due: list[Offer], left: list[str], chosen: dict[str, bool]
    ) -> None:
        """Let each offer meet what it renews, unless all else that it does is chosen by hand.

        Nobody replaces what somebody chose to mend for the sake of what has not failed yet.
        """
        for offer in offered + due:
            touches = (offer.get("touches") or []) + self.named.get(offer["id"], [])
            met = self.musts(offer["id"]) + [name(item) for item in touches]
            useful = [covered for covered in offer["covers"] if covered in left]
            if useful or offer["id"] in chosen:
                offer["touches"] = touches
                for must in met:
                    if must in self.waits and must not in offer["covers"]:
                        offer["covers"].append(must)
