"""Assemblies against mending piece by piece: what each costs, and when the answer tips over."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bradawl.desk.model import findings
from bradawl.desk.model.plan.types import Plan, Remedy
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs import plan as arithmetic

if TYPE_CHECKING:
    from bradawl.judge.values.types import Coverable, Piece


def assembly_rows(snapshot: Snapshot, plan: Plan) -> list[dict[str, Any]]:
    """Per assembly: what mending piece by piece costs, and when the assembly becomes cheaper."""
    standing = {finding.item for finding in plan.findings if not finding.closed}
    titles = {finding.item: finding.title for finding in plan.findings}
    pieces: list[Coverable] = [
        {"id": piece.id, "covers": piece.covers, "cost": piece.cost}
        for piece in plan.remedies.values()
        if piece.kind != "assembly"
    ]
    rows = []
    for remedy in sorted(plan.remedies.values(), key=lambda remedy: remedy.id):
        failed = [item for item in remedy.covers if item in standing]
        if remedy.kind != "assembly" or not failed:
            continue
        mending = arithmetic.cheapest(failed, pieces)
        further = _further_of(snapshot, remedy.id)
        stated = findings.value(snapshot, f"plan/further/{remedy.id}") is not None
        row: dict[str, Any] = {
            "remedy": remedy,
            "anchor": remedy.id.replace("/", "-"),
            "failed": [titles[item] for item in failed],
            "mending": [plan.remedies[name] for name in mending["chosen"]],
            "by_wire": [
                plan.remedies[name]
                for name in mending["chosen"]
                if plan.remedies[name].tips_at and plan.remedies[name].item == remedy.item
            ],
            "mending_cost": mending["expected"],
            "no_other_way": [titles[item] for item in mending["uncovered"]],
            "further": further,
            "suggested": [] if stated else _suggested(snapshot, remedy, standing, plan.rate),
            "chosen": remedy.id in plan.chosen,
            "tip": None,
        }
        if not mending["uncovered"]:
            row["tip"] = arithmetic.tip_over(remedy.cost, mending["cost"], further)
            row["without_loss"] = arithmetic.tip_over(
                [cost - remedy.counted for cost in remedy.cost], mending["cost"], further
            )
        rows.append(row)
    # what can be weighed comes before what cannot
    return sorted(rows, key=lambda row: (row["tip"] is None, not row["further"], row["anchor"]))


def _suggested(
    snapshot: Snapshot, remedy: Remedy, standing: set[str], rate: int
) -> list[dict[str, Any]]:
    """Pieces that the checklist lets the assembly put right too and that have not failed.

    The cost is that of the piece's cheapest remedy; the chance is the checklist's for an item that
    nobody inspected, and none for one that was found sound: somebody has to state it.
    """
    rules = snapshot.rules["items"]
    word = remedy.id.partition("/")[2]
    also = [
        str(other)
        for way in (rules[remedy.item].get("remedies", ()) if remedy.item in rules else ())
        if way["id"] == word
        for other in way.get("also") or ()
    ]
    rows = []
    for other in also:
        judgment = snapshot.assessment["items"].get(other)
        piece = rules.get(other)
        if piece is None or other in standing or not judgment or not judgment["applies"]:
            continue
        costs = [
            arithmetic.price(way["parts"], way["hours"], rate, 0)
            for way in piece.get("remedies", ())
            if way["id"] != word and way["kind"] != "assembly" and not way.get("found")
        ]
        if costs:
            unseen = piece.get("unseen") if judgment["state"] != "done" else None
            rows.append(
                {
                    "title": str(piece["title"]),
                    "cost": min(costs, key=arithmetic.sixths),
                    "count": 1,
                    "chance_percent": round(float(unseen["chance"]) * 100) if unseen else "",
                }
            )
    return rows


def _further_of(snapshot: Snapshot, remedy: str) -> list[Piece]:
    """Pieces of an assembly that have not failed, as typed at the desk."""
    return cell_values.pieces(findings.value(snapshot, f"plan/further/{remedy}"))
