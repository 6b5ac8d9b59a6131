"""Assemblies against mending piece by piece: what each costs, and when the answer tips over.

The answer is the plan's own: it is chosen with the assembly and without it, all else alike.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bradawl.desk.model import recorded
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.plan.build import work_of
from bradawl.desk.model.plan.types import Plan, Remedy
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs import plan as arithmetic

if TYPE_CHECKING:
    from bradawl.judge.values.types import NeededWork, Piece


def assembly_rows(snapshot: Snapshot, plan: Plan) -> list[dict[str, Any]]:
    """Per assembly: what mending piece by piece costs, and when the assembly becomes cheaper."""
    standing = {finding.item for finding in plan.findings if not finding.closed}
    assemblies = [
        remedy
        for remedy in sorted(plan.remedies.values(), key=lambda remedy: remedy.id)
        if remedy.kind == "assembly" and standing.intersection(remedy.covers)
    ]
    rows = [_row(snapshot, plan, remedy, standing) for remedy in assemblies]
    # what can be weighed comes before what cannot
    return sorted(rows, key=lambda row: (row["tip"] is None, not row["further"], row["anchor"]))


def _row(snapshot: Snapshot, plan: Plan, remedy: Remedy, standing: set[str]) -> dict[str, Any]:
    """One assembly: the plan's choice by cost alone, what a person chose, and where it tips."""
    titles = {finding.item: finding.title for finding in plan.findings}
    failed = [item for item in remedy.covers if item in standing]
    picks = [f"plan/pick/{item}" for item in failed]
    picked = [
        path for path in picks if cell_values.text(recorded.value(snapshot, path)) in plan.remedies
    ]
    asked: dict[str, Any] = dict.fromkeys(picks)
    by_cost = work_of(snapshot, plan.rate, told=asked)
    kept = work_of(snapshot, plan.rate, told=asked, without=remedy.id)
    taken = work_of(snapshot, plan.rate, told={**asked, f"plan/pick/{remedy.item}": remedy.id})
    mending = [
        plan.remedies[name]
        for name in sorted(kept["chosen"])
        if name in plan.remedies and set(plan.remedies[name].covers).intersection(failed)
    ]
    no_other_way = [titles[item] for item in failed if item in _uncovered(kept)]
    further = _further_of(snapshot, remedy.id)
    row: dict[str, Any] = {
        "remedy": remedy,
        "anchor": remedy.id.replace("/", "-"),
        "failed": [titles[item] for item in failed],
        "mending": mending,
        "by_wire": [piece for piece in mending if piece.tips_at and piece.item == remedy.item],
        "no_other_way": no_other_way,
        "further": further,
        "suggested": []
        if recorded.value(snapshot, f"plan/further/{remedy.id}") is not None
        else _suggested(snapshot, remedy, standing, plan.rate),
        "chosen": remedy.id in plan.chosen,
        "replace": remedy.id in by_cost["chosen"],
        "picked": bool(picked),
        "tip": None,
    }
    if not no_other_way:
        waits = _less(_waits(kept), _waits(taken))
        spared = _less(_less(_cost(kept), _cost(taken)), waits)
        mended = [cost + less for cost, less in zip(remedy.cost, spared, strict=True)]
        gap = arithmetic.sixths(spared) + arithmetic.sixths(waits)
        waited = _waited(kept, taken, further)
        row["tip"] = arithmetic.tip_over(remedy.cost, mended, waited)
        row |= {
            "mending_cost": arithmetic.whole(arithmetic.sixths(mended)),
            "further_cost": arithmetic.whole(arithmetic.sixths(waits)),
            "mending_in_all": arithmetic.whole(
                arithmetic.sixths(mended) + arithmetic.sixths(waits)
            ),
            # what the assembly may cost before mending is the cheaper way
            "tips_at_cost": max(arithmetic.whole(arithmetic.sixths(remedy.cost) + gap), 0),
        }
        without_loss = [cost - remedy.counted for cost in remedy.cost]
        row["without_loss"] = arithmetic.tip_over(without_loss, mended, waited)
    return row


def _uncovered(work: NeededWork) -> list[str]:
    """What nothing puts right: by the choice, or because only a wish would do it."""
    return [item for item in work["standing"] if item in work["uncovered"]]


def _cost(work: NeededWork) -> list[int]:
    """Low, likely and high of all that is chosen, and of waiting for what is not replaced."""
    sums = [0, 0, 0]
    chosen = {offer["id"]: offer["cost"] for offer in work["offers"] + work["due"]}
    costs = [cost for name, cost in chosen.items() if name in work["chosen"]]
    for cost in [*costs, _waits(work)]:
        sums = [total + part for total, part in zip(sums, cost, strict=True)]
    return sums


def _waits(work: NeededWork) -> list[int]:
    """Low, likely and high of waiting for what is not replaced."""
    return [sum(cost[n] for cost in work["further"].values()) for n in range(3)]


def _less(costs: list[int], others: list[int]) -> list[int]:
    return [cost - other for cost, other in zip(costs, others, strict=True)]


def _waited(kept: NeededWork, taken: NeededWork, pieces: list[Piece]) -> list[Piece]:
    """Those of an assembly's pieces that only its replacement spares, each as it is counted.

    What has failed by now is no further failure, and what another job renews anyway will not.
    """
    found: list[Piece] = []
    for piece in pieces:
        item = piece.get("item", "")
        if not item:
            found.append(piece)
        elif (
            item in kept["further"]
            and item not in taken["further"]
            and kept["stated"][item] not in found
        ):
            found.append(kept["stated"][item])
    return found


def adopted(snapshot: Snapshot, plan: Plan, assembly: Remedy, way: str) -> Puts:
    """The puts that make a way a person's own choice: "replace", "mend", or "" for none."""
    items = [
        finding.item
        for finding in plan.findings
        if not finding.closed and finding.item in assembly.covers
    ]
    picks: dict[str, str | None] = dict.fromkeys(items)
    if way == "replace":
        picks[assembly.item] = assembly.id
    elif way == "mend":
        told = {f"plan/pick/{item}": None for item in items}
        kept = work_of(snapshot, plan.rate, told=told, without=assembly.id)
        for name in sorted(kept["chosen"]):
            remedy = plan.remedies.get(name)
            if remedy is not None and remedy.item in picks:
                picks[remedy.item] = name
    puts: Puts = []
    for item, pick in picks.items():
        puts += change_to(snapshot, f"plan/pick/{item}", pick)
    return puts


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
                    "item": other,
                    "title": str(piece["title"]),
                    "cost": min(costs, key=arithmetic.sixths),
                    "count": 1,
                    "chance_percent": round(float(unseen["chance"]) * 100) if unseen else "",
                }
            )
    return rows


def _further_of(snapshot: Snapshot, remedy: str) -> list[Piece]:
    """Pieces of an assembly that have not failed, as typed at the desk."""
    return cell_values.pieces(recorded.value(snapshot, f"plan/further/{remedy}"))
