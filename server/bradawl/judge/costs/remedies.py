"""What may be done about each finding, and which of it is done: the work the record asks for.

The checklist offers remedies. At the desk they may be edited, added to, or picked by hand; due
maintenance may be left out; a finding closes by what was found after a job. All of that is in the
record, so the price at the curb, the report and the plan never disagree. (The paths are listed in
server/bradawl/desk/README.md.)

What must be done is decided first and for itself, so that a wish never hides a need; what only
somebody wants comes on top. Lost originality counts as money, as far as the brief lets it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import visit_facts
from ..record.mended import mended
from ..record.readings import candidates
from ..values.amounts import MOST_MONEY
from . import further, quotes
from .cover import cheapest
from .offers import checked, elsewhere, maintenance, offers, own, wanted_title

if TYPE_CHECKING:
    from ..values.types import (
        Cells,
        ItemJudgment,
        Json,
        MaintenanceRow,
        NeededWork,
        Offer,
        Rates,
        RecordedWork,
        Rules,
    )

__all__ = [
    "MOST_MONEY",
    "checked",
    "maintenance",
    "offers",
    "percent",
    "recorded",
    "wanted_title",
    "work",
]


def recorded(cells: Cells) -> RecordedWork:
    """What the desk wrote about the work below plan/ and work/, and the answers on the items."""
    work: RecordedWork = {
        "remedies": {},
        "picks": {},
        "left_out": {},
        "done": {},
        "closed": {item: True for item in mended(cells)},
        "own": {},
        "answers": {},
        "further": {},
        "quotes": quotes.quoted(cells),
    }
    for path in sorted(cells):
        parts = path.split("/")
        value = cells[path]["value"]
        if parts[0] == "work":
            if "done" in parts[-2:] and isinstance(value, dict):
                if value.get("finished") is not False:  # a day's work on it is not the job
                    work["done"]["/".join(parts[1 : parts.index("done")])] = True
        elif parts[0] == "plan" and len(parts) > 2:
            _read_plan(work, parts, value)
        elif parts[0] == "items" and parts[-1] == "choice":
            answers = [answer for answer in candidates(cells[path]) if isinstance(answer, str)]
            work["answers"][parts[1]] = answers
    return work


def _read_plan(work: RecordedWork, parts: list[str], value: Json) -> None:
    if parts[1] == "remedies" and len(parts) == 4 and isinstance(value, dict):
        work["remedies"].setdefault(parts[2], {})[parts[3]] = value
    elif parts[1] == "further" and len(parts) == 4:
        work["further"][parts[2] + "/" + parts[3]] = further.read(value)
    elif len(parts) != 3:
        return
    elif parts[1] == "pick" and isinstance(value, str):
        work["picks"][parts[2]] = value
    elif parts[1] == "baseline" and value is False:
        work["left_out"][parts[2]] = True
    elif parts[1] == "wants" and isinstance(value, dict) and value.get("need") is True:
        work["own"][parts[2]] = value


def percent(cells: Cells) -> int:
    """How much of a stated loss of originality counts, in per cent; all of it if nobody said."""
    cell = cells.get("brief/originality")
    share = visit_facts.whole(cell["value"]) if cell is not None else None
    return share if share is not None and 0 <= share <= 300 else 100


def _still_due(
    rows: list[MaintenanceRow], recorded_work: RecordedWork
) -> tuple[list[MaintenanceRow], dict[str, bool]]:
    """The rows that are due, and the items of those that somebody left out or has done since."""
    due = []
    over = {}
    for row in rows:
        if not row["due"]:
            continue
        jobs = ["baseline/" + row["id"]] + row["done_by"]
        done = [job for job in jobs if job in recorded_work["done"]]
        if row["id"] in recorded_work["left_out"] or done:
            over[row["item"]] = True
        else:
            due.append(row)
    return due, over


def _pay_once(
    rows: list[MaintenanceRow], due: list[Offer], offered: list[Offer], standing: list[str]
) -> None:
    """Let a remedy that does due work as well cover it too: one job is never paid twice."""
    wanted = [offer["id"] for offer in due]
    for row in rows:
        name = "baseline/" + row["id"]
        own = [row["item"]] if row["item"] in standing else []
        for offer in offered:
            if offer["id"] in row["done_by"]:
                offer["touches"] = (offer.get("touches") or []) + [row["item"]]
                for covered in ([name] + own) if name in wanted else []:
                    if covered not in offer["covers"]:
                        offer["covers"].append(covered)


def _serve_picks(
    rows: list[MaintenanceRow], due: list[Offer], recorded_work: RecordedWork, standing: list[str]
) -> dict[str, bool]:
    """The findings whose picked remedy is part of due work: that covers them, and is paid once."""
    served = {}
    by_id = {offer["id"]: offer for offer in due}
    for row in rows:
        offer = by_id.get("baseline/" + row["id"])
        for name in row["does"] if offer is not None else []:
            item = name.split("/")[0]
            if offer is None or item not in standing or recorded_work["picks"].get(item) != name:
                continue
            served[item] = True
            if item not in offer["covers"]:
                offer["covers"].append(item)
    return served


def _musts(standing: list[str], offered: list[Offer], due: list[Offer]) -> list[str]:
    """What must be covered: findings with a needed remedy or with none at all, and what is due."""
    has, has_need = {}, {}
    for offer in offered:
        has[offer["item"]] = True
        if offer["need"]:
            has_need[offer["item"]] = True
    musts = [item for item in standing if item in has_need or item not in has]
    return musts + [row["id"] for row in due]


def work(
    findings: list[str],
    items: dict[str, ItemJudgment],
    rows: list[MaintenanceRow],
    rules: Rules,
    cells: Cells,
    rates: Rates,
    without: str = "",
) -> NeededWork:
    """The cheapest work for what stands: needs first and for themselves, then what is wanted.

    `rows` is the judge's baseline. `offers` are for every finding, closed ones too, and what was
    chosen of other items; `due` is the maintenance and needed jobs without a finding; `standing` is
    neither closed nor served. An offer of due maintenance also covers a name of its own,
    "baseline/<id>". `musts` must be put right by offers of the `family`, those `picked` by hand
    among them. `without`: an offer that is not to be had, to see what its absence comes to.
    """
    recorded_work = recorded(cells)
    still, over = _still_due(rows, recorded_work)
    standing = [
        item for item in findings if item not in recorded_work["closed"] and item not in over
    ]
    offered = offers(findings, items, rules, recorded_work, rates)
    offered = [offer for offer in offered if offer["id"] != without]
    due = maintenance(still, standing, rates["rate"])
    others = elsewhere(standing, still, offered, items, rules, recorded_work, rates)
    others = [offer for offer in others if offer["id"] != without]
    for offer in maintenance([row for row in rows if not row["due"]], standing, rates["rate"]):
        offer["covers"] = offer["covers"][1:]  # nobody wants it for itself
        others.append(offer)
    _pay_once(rows, due, offered + others, standing)
    served = _serve_picks(still, due, recorded_work, standing)
    due = due + own(recorded_work, rates)
    quotes.apply(due + others, recorded_work["quotes"], rates["rate"])
    musts = _musts(standing, offered, due)
    by_hand = [item for item in standing if item not in served]
    keeping = _keeping(recorded_work, standing, over, items)
    needed, wanted = keeping.of_needs(offered)
    picked, chosen = _picked(recorded_work, by_hand, offered, musts)
    useful = _left(musts + standing, offered + due, chosen)
    keeping.take_on(offered + others, due, useful, chosen)
    # what is held for an item is held for its failure: that is no must of the price
    held = [further.name(item) for item in keeping.stated]
    waits = [keeping.waits[name] for name in needed]
    family = [offer for offer in offered if offer["need"]] + due + others
    needs = cheapest(_left(musts + needed, offered + due, chosen), family + waits)
    musts = musts + [name for name in needed if name not in held]
    family = family + [offer for offer in waits if offer["id"] not in held]
    for name in needs["chosen"]:
        chosen[name] = True
    offered = offered + [offer for offer in others if offer["id"] in chosen]
    left = _left(standing + wanted, offered + due, chosen)
    wishes = [offer for offer in offered if not offer["need"]]
    wants = cheapest(left, wishes + [keeping.waits[name] for name in wanted])
    for name in wants["chosen"]:
        chosen[name] = False
    waited = {name[len(further.START) :]: chosen.pop(name, None) for name in sorted(keeping.waits)}
    return {
        "offers": offered,
        "due": due,
        "chosen": chosen,
        "standing": standing,
        "uncovered": wants["uncovered"],
        "proven": needs["proven"] and wants["proven"],
        "musts": musts,
        "family": family + [offer for offer in picked if not offer["need"]],
        "further": {
            name: keeping.waits[further.name(name)]["cost"]
            for name in waited
            if waited[name] is not None
        },
        "stated": keeping.stated,
        "picked": [offer["id"] for offer in picked],
        "settled": sorted(list(over) + list(recorded_work["closed"])),
    }


def _keeping(
    recorded_work: RecordedWork,
    standing: list[str],
    over: dict[str, bool],
    items: dict[str, ItemJudgment],
) -> further.Keeping:
    """What it is to keep each assembly whose further failures somebody stated."""
    apply = [
        item
        for item in items
        if items[item]["applies"] and item not in over and item not in recorded_work["closed"]
    ]
    keeping = further.Keeping()
    for assembly in sorted(recorded_work["further"]):
        if assembly.split("/")[0] in standing:
            keeping.add(assembly, recorded_work["further"][assembly], apply, standing)
    return keeping


def _picked(
    recorded_work: RecordedWork, standing: list[str], offered: list[Offer], musts: list[str]
) -> tuple[list[Offer], dict[str, bool]]:
    """(the picked offers that are needs, whether each picked one is a need)."""
    picks = recorded_work["picks"]
    names = [picks[item] for item in standing if item in picks]
    picked: list[Offer] = []
    chosen: dict[str, bool] = {}
    for offer in offered:
        if offer["id"] in names:
            # what must be mended is a need by whichever remedy somebody picked for it
            covered = [name for name in offer["covers"] if name in musts]
            chosen[offer["id"]] = offer["need"] or bool(covered)
            if chosen[offer["id"]]:
                picked.append(offer)
    return picked, chosen


def _left(wanted: list[str], offered: list[Offer], chosen: dict[str, bool]) -> list[str]:
    """What of `wanted` no chosen offer covers."""
    covered = {}
    for offer in offered:
        if offer["id"] in chosen:
            for name in offer["covers"]:
                covered[name] = True
    return [name for name in wanted if name not in covered]
