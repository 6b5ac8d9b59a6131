"""What may be done about a finding: remedies of checklist and desk, and due maintenance, priced.

The family of offers for what must be done is the same whatever was looked at: a remedy of another
item, or maintenance that is not due, puts a fault right whether or not that item has one too. So no
finding ever brings a cheaper way, and no clean check takes one away.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..grading import limits
from ..record import own_findings, visit_facts
from ..values.amounts import MOST_MONEY, rising
from ..values.saying import recorded as recorded_words
from ..values.saying import term, title
from . import pieces, quotes
from .estimates import NotHours, hundredths, price

if TYPE_CHECKING:
    from ..values.types import (
        EditableKey,
        Grade,
        ItemJudgment,
        Json,
        MaintenanceRow,
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

MOST_HUNDREDTHS = 1000000  # of an hour: more than a year of work
_WORST: Grade = "dangerous"
_EDITABLE: tuple[EditableKey, ...] = ("parts", "hours", "title", "kind", "need", "loss", "also")


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
    parts = rising(value.get("parts", [0, 0, 0]))
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


def _of_checklist(remedy: RemedyRule, judgment: ItemJudgment) -> dict[str, Json]:
    """What may be edited of a checklist's remedy, as a record would have it, for all its pieces.

    Its title stays an id.
    """
    values: dict[str, Any] = {}  # a checklist is JSON too; lists of texts are no lists of JSON
    for key in _EDITABLE:
        if key in remedy and key != "title":
            values[key] = remedy[key]
    if remedy.get("each"):
        facts = judgment["facts"]
        values["parts"], values["hours"] = pieces.job(remedy, facts, pieces.count(remedy, facts))
    return values


def _listed(rule: Rule | None) -> list[RemedyRule]:
    return (rule.get("remedies") if rule is not None else None) or []


def _fitting(rule: Rule | None, grade: Grade | None, answers: list[str]) -> list[RemedyRule]:
    """The checklist's remedies for this grade, without those for other answers than these.

    Two people who answered differently: what is for one answer alone is too little for both.
    """
    listed = [remedy for remedy in _listed(rule) if not remedy.get("found")]
    of_grade = [remedy for remedy in listed if grade in remedy["for"]]
    fit = []
    for remedy in of_grade:
        alone = remedy.get("choices") or []
        others = [answer for answer in answers if answer not in alone]
        if not alone or (answers and not others):
            fit.append(remedy)
    return fit or of_grade or (listed if grade == _WORST else [])


def _of_item(
    item: str,
    judgment: ItemJudgment,
    rule: Rule | None,
    edits: dict[str, dict[str, Json]],
    answers: list[str],
    picked: str,
) -> list[Remedy]:
    """The checklist's remedies for this finding as edited, then those that the desk added.

    What somebody picked is offered whatever the grade: a diagnosis knows more than the finding.
    """
    fit = _fitting(rule, judgment["grade"], answers)
    for remedy in _listed(rule):
        if item + "/" + remedy["id"] == picked and remedy not in fit:
            fit = fit + [remedy]
    remedies: list[Remedy | None] = []
    offered = {}
    for remedy in fit:
        name = remedy["id"]
        offered[name] = True
        values = _of_checklist(remedy, judgment)
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


def _reach(remedy: Remedy, rule: Rule | None) -> Grade:
    """The worst grade that a remedy puts right; one of the desk is taken at its word."""
    reach: Grade | None = None
    for listed in _listed(rule):
        if listed["id"] == remedy["id"].split("/")[1]:
            for grade in listed["for"]:
                if limits.is_worse(grade, reach):
                    reach = grade
    return reach or _WORST


def _also(
    remedy: Remedy, reach: Grade, standing: dict[str, bool], items: dict[str, ItemJudgment]
) -> list[str]:
    """The findings of other items that a remedy puts right: none that is worse than its own may be.

    Topping up for a trace under the cap is no repair of an engine that has no oil.
    """
    covered = []
    for other in remedy["also"]:
        if other in standing and other not in covered and other != remedy["item"]:
            if not limits.is_worse(items[other]["grade"], reach):
                covered.append(other)
    return covered


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
        "touches": [remedy["item"]] + remedy["also"],
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
    made: list[Offer] = []
    standing = dict.fromkeys(findings, True)
    for item in findings:
        grade, rule = items[item]["grade"], rules["items"].get(item)
        edits = recorded_work["remedies"].get(item) or {}
        answers = recorded_work["answers"].get(item) or []
        picked = recorded_work["picks"].get(item) or ""
        for remedy in _of_item(item, items[item], rule, edits, answers, picked):
            need = remedy["need"] or grade == "dangerous"
            covers = [item]
            if need == remedy["need"]:  # a wish that a danger makes a need is one for that alone
                covers += _also(remedy, _reach(remedy, rule), standing, items)
            made.append(_offer(remedy, covers, need, rates))
        own_offers = [offer for offer in made if offer["item"] == item]
        quotes.apply(own_offers, recorded_work["quotes"], rates["rate"])
        if rule is not None and rule.get("own"):
            _call(own_offers, rule)
        listed = (rule.get("remedies") if rule is not None else None) or []
        pieces.tips_at(own_offers, listed, items[item]["facts"], rates)
    return made


def _call(offers: list[Offer], rule: Rule) -> None:
    """Name the job of a finding in somebody's own words, and say where nobody gave a figure."""
    for offer in offers:
        if offer["title"] == title("remedy", *offer["id"].split("/")):
            offer["title"] = own_findings.job(rule)
        if rule.get("no_figure") and offer["cost"] == [0, 0, 0]:
            offer["no_figure"] = True


def elsewhere(
    standing: list[str],
    rows: list[MaintenanceRow],
    offered: list[Offer],
    items: dict[str, ItemJudgment],
    rules: Rules,
    recorded_work: RecordedWork,
    rates: Rates,
) -> list[Offer]:
    """Needed remedies of items without that fault, for what else they put right.

    Each is offered for the first finding that it covers, or for the maintenance that it does.
    """
    made = []
    known = [offer["id"] for offer in offered]
    open_faults = dict.fromkeys(standing, True)
    row_of: dict[str, list[MaintenanceRow]] = {}
    for row in rows:
        for name in row["done_by"]:
            row_of.setdefault(name, []).append(row)
    for item in sorted(rules["items"]):
        rule = rules["items"][item]
        if item not in items or not items[item]["applies"]:
            continue
        for listed in rule.get("remedies") or []:
            name = item + "/" + listed["id"]
            if name in known or name in recorded_work["done"] or listed.get("found"):
                continue
            also = [other for other in listed.get("also") or [] if other in open_faults]
            if not also and name not in row_of:
                continue
            remedy = checked(listed["id"], item, _of_checklist(listed, items[item]), "checklist")
            if remedy is None or not remedy["need"]:
                continue
            covers = _also(remedy, _reach(remedy, rule), open_faults, items)
            served = row_of.get(name) or []
            if covers or served:
                offer = _offer(remedy, covers, True, rates)
                offer["item"] = covers[0] if covers else served[0]["item"]
                made.append(offer)
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
                "touches": [row["item"]] + row["also"],
                "done_by": row["done_by"],
                "cost": price(row["parts"], row["hours"], rate, 0),
            }
        )
    return due


def wanted_title(job: dict[str, Json]) -> SaidArgument:
    """What a job is called that no finding asks for: as typed, by its cause, else a wish."""
    typed = job.get("title")
    return typed if isinstance(typed, str) and typed else recorded_words(job) or term("wish")


def own(recorded_work: RecordedWork, rates: Rates) -> list[Offer]:
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
