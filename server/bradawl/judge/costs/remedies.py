"""What may be done about each finding, and which of it is done: the work the record asks for.

The checklist offers remedies. At the desk they may be edited, added to, or picked by hand; due
maintenance may be left out; a finding closes by what was found after a job. All of that is in the
record, so the price at the curb, the report and the plan never disagree. (The paths are listed in
server/bradawl/desk/README.md.)

What must be done is decided first and for itself, so that a wish never hides a need; what only
somebody wants comes on top. Lost originality counts as money, as far as the brief lets it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..record import visit_facts
from ..values.saying import recorded as recorded_words
from ..values.saying import term, title
from .cover import cheapest
from .estimates import NotHours, hundredths, price

if TYPE_CHECKING:
    from ..values.types import (
        Cells,
        EditableKey,
        Grade,
        ItemJudgment,
        Json,
        MaintenanceRow,
        NeededWork,
        Offer,
        Rates,
        RecordedWork,
        Remedy,
        RemedyOrigin,
        RemedyRule,
        Rule,
        Rules,
        SaidArgument,
    )

MOST_MONEY = 100000000
MOST_HUNDREDTHS = 1000000  # of an hour: more than a year of work
_EDITABLE: tuple[EditableKey, ...] = ("parts", "hours", "title", "kind", "need", "loss", "also")


def recorded(cells: Cells) -> RecordedWork:
    """What the desk wrote about the work below plan/ and work/."""
    work: RecordedWork = {
        "remedies": {},
        "picks": {},
        "left_out": {},
        "done": {},
        "closed": {},
        "own": {},
    }
    for path in sorted(cells):
        parts = path.split("/")
        value = cells[path]["value"]
        if parts[0] == "work":
            if parts[-1] == "done" and isinstance(value, dict):
                work["done"]["/".join(parts[1:-1])] = True
            elif len(parts) > 4 and parts[-1] == "grade" and parts[-3] == "after":
                if isinstance(value, dict) and value.get("grade") == "none":
                    work["closed"][parts[-2]] = True
        elif parts[0] == "plan" and len(parts) > 2:
            _read_plan(work, parts, value)
    return work


def _read_plan(work: RecordedWork, parts: list[str], value: Json) -> None:
    if parts[1] == "remedies" and len(parts) == 4 and isinstance(value, dict):
        work["remedies"].setdefault(parts[2], {})[parts[3]] = value
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


def _amounts(value: Json) -> list[int]:
    """Low, likely and high as whole money; [] for anything that is not three rising amounts."""
    if not isinstance(value, list) or len(value) != 3:
        return []
    amounts: list[int] = []
    for entry in value:
        figure = visit_facts.whole(entry)
        if figure is None or figure > MOST_MONEY or figure < (amounts[-1] if amounts else 0):
            return []
        amounts.append(figure)
    return amounts


def _hours(value: Json) -> list[str]:
    """Low, likely and high as the texts they are; [] for anything that is not rising hours."""
    if not isinstance(value, list) or len(value) != 3:
        return []
    hours: list[str] = []
    last = 0
    for entry in value:
        if not isinstance(entry, str):
            return []
        try:
            figure = hundredths(entry)
        except NotHours:
            return []
        if figure < last or figure > MOST_HUNDREDTHS:
            return []
        last = figure
        hours.append(entry)
    return hours


def checked(name: str, item: str, value: dict[str, Json], origin: RemedyOrigin) -> Remedy | None:
    """A remedy as a checklist or a record has it, in one shape; None where its figures are none."""
    parts = _amounts(value.get("parts", [0, 0, 0]))
    hours = _hours(value.get("hours", ["0", "0", "0"]))
    loss = visit_facts.whole(value.get("loss", 0))
    if not parts or not hours or loss is None or loss < 0 or loss > MOST_MONEY:
        return None
    typed, kind, also = value.get("title"), value.get("kind"), value.get("also")
    return {
        "id": item + "/" + name,
        "item": item,
        "title": typed if isinstance(typed, str) else "",
        "kind": kind if isinstance(kind, str) else "part",
        "parts": parts,
        "hours": hours,
        "need": value.get("need", True) in (True, "true"),
        "loss": loss,
        "also": [other for other in also if isinstance(other, str)]
        if isinstance(also, list)
        else [],
        "origin": origin,
    }


def _of_checklist(remedy: RemedyRule) -> dict[str, Json]:
    """What may be edited of a checklist's remedy, as a record would have it, its title by id."""
    values: dict[str, Any] = {}  # a checklist is JSON too; lists of texts are no lists of JSON
    for key in _EDITABLE:
        if key in remedy and key != "title":
            values[key] = remedy[key]
    return values


def _of_item(
    item: str, grade: Grade | None, rule: Rule | None, edits: dict[str, dict[str, Json]]
) -> list[Remedy]:
    """The checklist's remedies for this grade as edited, then those that the desk added."""
    listed = (rule.get("remedies") if rule is not None else None) or []
    fit = [remedy for remedy in listed if grade in remedy["for"]]
    if not fit and grade == "dangerous":
        fit = listed  # raised beyond what the checklist foresaw: everything may help
    remedies: list[Remedy | None] = []
    offered = {}
    for remedy in fit:
        name = remedy["id"]
        offered[name] = True
        values = _of_checklist(remedy)
        edited = None
        if name in edits:
            merged = values.copy()
            merged.update({key: edits[name][key] for key in _EDITABLE if key in edits[name]})
            edited = checked(name, item, merged, "edited")
        remedies.append(edited or checked(name, item, values, "checklist"))
    for name in sorted(edits):
        if name not in offered:
            remedies.append(checked(name, item, edits[name], "own"))
    return [remedy for remedy in remedies if remedy is not None]


def _offer(remedy: Remedy, covers: list[str], need: bool, rates: Rates) -> Offer:
    counted = (remedy["loss"] * rates["percent"] + 50) // 100
    return {
        "id": remedy["id"],
        "item": remedy["item"],
        "title": remedy["title"] or title("remedy", remedy["item"], remedy["id"].split("/")[1]),
        "kind": remedy["kind"],
        "parts": remedy["parts"],
        "hours": remedy["hours"],
        "need": need,
        "loss": remedy["loss"],
        "also": remedy["also"],
        "origin": remedy["origin"],
        "covers": covers,
        "counted": counted,
        "cost": price(remedy["parts"], remedy["hours"], rates["rate"], counted),
    }


def offers(
    findings: list[str],
    items: dict[str, ItemJudgment],
    rules: Rules,
    recorded_work: RecordedWork,
    rates: Rates,
) -> list[Offer]:
    """Every remedy that the record has for the findings, each covering its own finding first.

    What is dangerous is a need, whatever was typed.
    """
    made = []
    standing = {}
    for item in findings:
        standing[item] = True
    for item in findings:
        grade = items[item]["grade"]
        edits = recorded_work["remedies"].get(item) or {}
        for remedy in _of_item(item, grade, rules["items"].get(item), edits):
            covers = [item]
            for other in remedy["also"]:
                if other in standing and other not in covers:
                    covers.append(other)
            need = remedy["need"] or grade == "dangerous"
            made.append(_offer(remedy, covers, need, rates))
    return made


def maintenance(rows: list[MaintenanceRow], findings: list[str], rate: int) -> list[Offer]:
    """Offers for the maintenance in `rows`, with the rows' `done_by`.

    Each covers its own name, which is wanted, the finding that it is due, and the findings that
    this work puts right `also`.
    """
    due: list[Offer] = []
    for row in rows:
        name = "baseline/" + row["id"]
        covers = [name]
        for other in [row["item"]] + row["also"]:
            if other in findings and other not in covers:
                covers.append(other)
        due.append(
            {
                "id": name,
                "item": row["item"],
                "title": row["title"],
                "kind": "maintenance",
                "parts": row["parts"],
                "hours": row["hours"],
                "need": True,
                "loss": 0,
                "counted": 0,
                "origin": "checklist",
                "covers": covers,
                "done_by": row["done_by"],
                "cost": price(row["parts"], row["hours"], rate, 0),
            }
        )
    return due


def wanted_title(job: dict[str, Json]) -> SaidArgument:
    """What a job is called that no finding asks for: as typed, by its cause, else a wish."""
    typed = job.get("title")
    return typed if isinstance(typed, str) and typed else recorded_words(job) or term("wish")


def _own(recorded_work: RecordedWork, rates: Rates) -> list[Offer]:
    """Offers for needed jobs that the desk wrote without a finding: nothing else does them."""
    made = []
    for name in sorted(recorded_work["own"]):
        job = checked(name, "wants", recorded_work["own"][name], "own")
        if job is not None and job["id"] not in recorded_work["done"]:
            offer = _offer(job, [job["id"]], job["need"], rates)
            offer["item"] = ""
            offer["title"] = wanted_title(recorded_work["own"][name])
            offer["done_by"] = []
            made.append(offer)
    return made


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


def _pay_once(due: list[Offer], offered: list[Offer], standing: list[str]) -> None:
    """Let a remedy that does due work as well cover it too: one job is never paid twice."""
    for row in due:
        own = [row["item"]] if row["item"] in standing else []
        for offer in offered:
            if offer["id"] in row.get("done_by", []):
                for name in [row["id"]] + own:
                    if name not in offer["covers"]:
                        offer["covers"].append(name)


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
) -> NeededWork:
    """The cheapest work for what stands: needs first and for themselves, then what is wanted.

    `rows` is the judge's baseline. `offers` are for every finding, closed ones too; `due` is the
    maintenance and needed jobs without a finding; `standing` is neither closed nor served. An
    offer of due maintenance also covers a name of its own, "baseline/<id>".
    """
    recorded_work = recorded(cells)
    still, over = _still_due(rows, recorded_work)
    standing = [
        item for item in findings if item not in recorded_work["closed"] and item not in over
    ]
    offered = offers(findings, items, rules, recorded_work, rates)
    due = maintenance(still, standing, rates["rate"]) + _own(recorded_work, rates)
    _pay_once(due, offered, standing)
    musts = _musts(standing, offered, due)
    picks = recorded_work["picks"]
    picked = [picks[item] for item in standing if item in picks]
    chosen: dict[str, bool] = {}
    for offer in offered:
        if offer["id"] in picked:
            # what must be mended is a need by whichever remedy somebody picked for it
            covered = [name for name in offer["covers"] if name in musts]
            chosen[offer["id"]] = offer["need"] or bool(covered)
    left = _left(musts, offered + due, chosen)
    needs = cheapest(left, [offer for offer in offered if offer["need"]] + due)
    for name in needs["chosen"]:
        chosen[name] = True
    left = _left(standing, offered + due, chosen)
    wants = cheapest(left, [offer for offer in offered if not offer["need"]])
    for name in wants["chosen"]:
        chosen[name] = False
    return {
        "offers": offered,
        "due": due,
        "chosen": chosen,
        "standing": standing,
        "uncovered": wants["uncovered"],
        "proven": needs["proven"] and wants["proven"],
    }


def _left(wanted: list[str], offered: list[Offer], chosen: dict[str, bool]) -> list[str]:
    """What of `wanted` no chosen offer covers."""
    covered = {}
    for offer in offered:
        if offer["id"] in chosen:
            for name in offer["covers"]:
                covered[name] = True
    return [name for name in wanted if name not in covered]
