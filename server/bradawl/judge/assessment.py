"""The whole judgment of one record: the order of the steps, and nothing else."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .costs import maintenance, price
from .decisions import (
    afterwards,
    brief,
    claims,
    coverage,
    decision,
    drive_home,
    effects,
    histories,
    lookups,
    next_checks,
    price_reasons,
    wants,
)
from .grading import combinations, contradictions, limits
from .grading import items as grading
from .measurements import odometer, registry
from .record import bodies, own_findings, regions, shop_models, visit_facts
from .record import claims as claimed
from .record import wants as wanted
from .record.mended import mended
from .values import grades
from .values.saying import said, title

if TYPE_CHECKING:
    from .values.types import (
        AreaSummary,
        Assessment,
        Cells,
        Deal,
        ItemJudgment,
        Measure,
        OpenQuestion,
        Problem,
        Record,
        Rule,
        Rules,
        VisitFacts,
    )

STAGES = (
    "arrival",
    "round",
    "cold",
    "start",
    "inside",
    "underneath",
    "warm",
    "road",
    "hot",
    "outside",
    "papers",
)


def judge_item(
    item: str, cells: Cells, rules: Rules, facts: VisitFacts, shown: str = "all"
) -> ItemJudgment:
    """One item from its own cells and the visit's facts: what a tap needs.

    `shown`: which facts it has (`grading/items.py`). Combinations and `implied_by` need the other
    items and come with `assess`.
    """
    rule = rules["items"].get(item)
    if rule is None and own_findings.is_own(item):
        return _own(item, own_findings.rule_of(item, cells, rules), cells, facts)[0]
    if rule is None:
        judgment = grading.blank()
        judgment["applies"] = judgment["asked"] = False
        judgment["problems"] = [_unknown(item)]
        return judgment
    rule = regions.rule_in(rule, facts["region"])
    _know(rules, facts)
    judgment, _, _ = grading.judge(item, rule, cells, facts, shown)
    _ask(item, rule, cells, facts, judgment)
    return judgment


def _own(
    item: str, rule: Rule, cells: Cells, facts: VisitFacts
) -> tuple[ItemJudgment, list[Measure], list[str]]:
    """A finding in somebody's own words: it counts once somebody said how bad it is."""
    judgment, measures, choices = grading.judge(item, rule, cells, facts)
    judgment["applies"] = judgment["asked"] = judgment["state"] == "done"
    return judgment, measures, choices


def _ungraded(item: str) -> OpenQuestion:
    sentence = said("own-ungraded", {"item": title("item", item)})
    return {"id": "own", "items": [item], "said": sentence}


def _know(rules: Rules, facts: VisitFacts) -> None:
    """Beside what was recorded: what is said of an item and hangs on it, what this car has not."""
    if "claims" in facts:
        facts["claimed"] = claimed.by_item(facts, rules)
    wanted.know(facts, rules)
    facts["absent"] = bodies.absent(rules, facts)
    if "wires" in rules:
        facts["wires"] = rules["wires"]


def _ask(item: str, rule: Rule, cells: Cells, facts: VisitFacts, judgment: ItemJudgment) -> None:
    """Whether the item applies and is asked, and whether an answer contradicts the car.

    An answer already given keeps it, whatever the car is said to have: a finding never disappears
    because a detail of the car was changed.
    """
    is_answered = _is_answered(item, cells)
    applies = is_answered or visit_facts.applies(rule.get("applies") or {}, facts)
    judgment["applies"] = applies
    judgment["asked"] = is_answered or (applies and visit_facts.is_of_depth(rule, facts))
    look_first = shop_models.reasons(item, facts)
    if judgment["state"] == "open":
        look_first += claimed.reasons(item, facts) + wanted.reasons(item, facts)
    judgment["reasons"].extend(look_first)
    if look_first and applies:
        judgment["asked"] = True
    if is_answered and visit_facts.contradicts(rule, facts):
        sentence = said("problem-does-not-fit")
        judgment["problems"].append(
            {"code": "does_not_fit", "said": sentence, "path": "items/" + item}
        )


def _unknown(item: str) -> Problem:
    sentence = said("problem-unknown-item", {"item": item})
    return {"code": "unknown_item", "said": sentence, "path": "items/" + item}


def _is_answered(item: str, cells: Cells) -> bool:
    start = "items/" + item + "/"
    for path in cells:
        if path.startswith(start) and cells[path]["value"] is not None:
            return True
    return False


def _by_item(cells: Cells) -> dict[str, Cells]:
    grouped: dict[str, Cells] = {}
    for path in cells:
        if path.startswith("items/"):
            item = path.split("/")[1]
            grouped.setdefault(item, {})[path] = cells[path]
    return grouped


def walk(rules: Rules) -> list[str]:
    """Every item in the order of the walk: stage, then `order` or area, then id."""
    areas = [area["id"] for area in rules.get("areas") or []]
    keyed = []
    for item in rules["items"]:
        rule = rules["items"][item]
        stage = STAGES.index(rule["stage"]) if rule.get("stage") in STAGES else len(STAGES)
        area = areas.index(rule["area"]) if rule.get("area") in areas else len(areas)
        # fixed-width text sorts far faster on the phone than tuples do
        keyed.append("%02d%05d%03d%s" % (stage, int(rule.get("order", 0)), area, item))
    return [key[10:] for key in sorted(keyed)]


def _leave_out_missing(everything: list[str], judged: combinations.Judged, rules: Rules) -> None:
    """What sits on a part that the car lacks does not apply, unless it has an answer of its own."""
    for item in everything:
        if judged.items[item]["state"] != "open":
            continue
        for answer in rules["items"][item].get("missing_if") or []:
            other, choice = answer.split("/")
            if choice in judged.choices.get(other, []):
                judged.items[item]["applies"] = judged.items[item]["asked"] = False


def _imply(order: list[str], judged: combinations.Judged, rules: Rules) -> None:
    """What another answered item implies is done, unless it has an answer of its own."""
    implied = []
    for item in order:
        if judged.items[item]["state"] != "open":
            continue
        for other in rules["items"][item].get("implied_by") or []:
            if other in judged.items and judged.items[other]["state"] == "done":
                implied.append((item, other))
                break
    for item, other in implied:
        judgment = judged.items[item]
        sentence = said("reason-implied", {"item": title("item", other)})
        judgment["state"], judgment["grade"], judgment["by"] = "done", "none", "implied"
        judgment["reasons"] = [{"code": "implied", "said": sentence, "source": ""}]


def _areas(order: list[str], items: dict[str, ItemJudgment], rules: Rules) -> list[AreaSummary]:
    rows: list[AreaSummary] = []
    by_area: dict[str, AreaSummary] = {}
    for area in rules.get("areas") or []:
        row: AreaSummary = {
            "area": area["id"],
            "title": title("area", area["id"]),
            "worst": None,
            "open": 0,
            "done": 0,
            "uninspected": 0,
            "total": 0,
        }
        by_area[area["id"]] = row
        rows.append(row)
    for item in order:
        place = rules["items"][item]["area"]
        if place in by_area:
            row = by_area[place]
            if not rules["items"][item].get("own"):
                row[items[item]["state"]] += 1
                row["total"] += 1
            if limits.is_worse(items[item]["grade"], row["worst"]):
                row["worst"] = items[item]["grade"]
    return rows


def _findings(order: list[str], items: dict[str, ItemJudgment], rules: Rules) -> list[str]:
    keyed = []
    for i, item in enumerate(order):
        grade = items[item]["grade"]
        if grade in grades.FAULTS:
            danger = int(rules["items"][item].get("danger") or 0)
            keyed.append((-limits.rank(grade), -danger, i, item))
    return [key[3] for key in sorted(keyed)]


def _judged(
    everything: list[str], rules: Rules, grouped: dict[str, Cells], facts: VisitFacts
) -> combinations.Judged:
    """Every item by itself, from its own cells."""
    judged = combinations.Judged()
    for item in everything:
        rule, own = rules["items"][item], grouped.get(item, {})
        if rule.get("own"):
            judged.items[item], measures, choices = _own(item, rule, own, facts)
            judged.measures[item], judged.choices[item] = measures, choices
            continue
        if own or (rule.get("compute") or {}).get("kind") in registry.OF_THE_CAR:
            judgment, measures, choices = grading.judge(item, rule, own, facts)
            judged.measures[item], judged.choices[item] = measures, choices
        else:
            judgment = grading.blank()
        _ask(item, rule, own, facts, judgment)
        judged.items[item] = judgment
    return judged


def _unknown_items(grouped: dict[str, Cells], rules: Rules) -> list[Problem]:
    return [
        _unknown(item)
        for item in sorted(grouped)
        if item not in rules["items"] and not own_findings.is_own(item)
    ]


def _is_cheaper(order: list[str], items: dict[str, ItemJudgment], found: effects.Effects) -> bool:
    """Whether something lowers the worth, or somebody called a fault milder than it measures."""
    milder = [item for item in order if effects.is_overruled(items[item])]
    return bool(found.items("lowers_value") or milder)


def _call_by_words(assessment: Assessment, rules: Rules) -> None:
    """What was found in somebody's own words is called by them, wherever it is named."""
    answers = [assessment["drive_home"], assessment["next"], assessment["decision"]]
    rest: Any = [assessment["money"], assessment["questions"], assessment.get("now")]
    rest.append(assessment.get("wants"))
    own_findings.call_by_words([answers, rest], rules)


def _add(assessment: Any, rest: dict[str, Any]) -> None:
    """What is there in some visits only."""
    for key in sorted(rest):
        if rest[key]:
            assessment[key] = rest[key]


def assess(record: Record, rules: Rules, today: str) -> Assessment:
    """The assessment of a record {"visit", "cells"} by the rules of its checklist bundle.

    `today` is YYYY-MM-DD. Plain JSON values without fractions, so it can be hashed and compared.
    """
    cells = record["cells"]
    facts = visit_facts.visit_facts(cells, today)
    rules = shop_models.raised(regions.rules_in(rules, facts["region"]), facts)
    rules = own_findings.with_own(rules, cells)
    grouped = _by_item(cells)
    _know(rules, facts)
    facts["mileages"] = odometer.mileages(rules, grouped)
    everything = walk(rules)
    judged = _judged(everything, rules, grouped, facts)
    _leave_out_missing(everything, judged, rules)
    order = [item for item in everything if judged.items[item]["applies"]]
    questions = contradictions.open_questions(rules, judged, grouped)
    contradictions.reopen(judged, questions)
    added = [item for item in everything if rules["items"][item].get("own")]
    questions += [_ungraded(item) for item in added if not judged.items[item]["applies"]]
    _imply(order, judged, rules)
    # before grades are raised: a sign is what was seen, not what it means beside another
    hidden = histories.judge(judged, order, rules)
    suspected = histories.chances(judged, order, rules)
    at_best = histories.chances(judged, order, rules, True)
    after_work = mended(cells)
    closed = [item for item in order if item in after_work]
    left = afterwards.without(judged, closed) if closed else None
    raised = combinations.raise_grades(rules, judged)
    items = judged.items
    findings = _findings(order, items, rules)
    found = effects.find(order, judged, rules, effects.circumstances(facts, rules))
    for item in findings:
        items[item]["asked"] = True  # a combination may find what nobody was asked to look at
    asked = [item for item in order if items[item]["asked"]]
    evidence = maintenance.baseline(order, judged, rules, facts.get("claimed") or {})
    told, looks = claims.judge(facts, judged, order, rules), lookups.judge(facts, rules)
    driven = drive_home.drive_home(asked, judged, rules, facts, found)
    marks = next_checks.marks(order, judged, found, rules)
    states = {item: str(marks.get(item) or items[item]["state"]) for item in order}
    deal: Deal = {
        "worth_factor": histories.worth_factor(suspected, found.factors()),
        "best_factor": histories.worth_factor(at_best, found.factors()),
        "disputed": [item for question in questions for item in question["items"]],
        "stopped": bool(found.items("stops_deal")),
        "cheaper": _is_cheaper(order, items, found),
    }
    costs = price.money(order, findings, items, evidence, rules, facts, cells, deal)
    price_reasons.group(costs["price"], costs["lines"], items, rules, found.items("hurts"))
    aims = wants.judge(facts, judged, order, costs, rules)
    enough = next_checks.enough(found, costs["price"])
    asked_for = [item for item in order if item not in added]
    minutes, drive = next_checks.MINUTES, driven["answer"]
    checks = next_checks.what_next(order, states, rules, facts, minutes, drive, enough, aims)
    decided = decision.four_answers(
        order, judged, found, driven, costs, checks, questions, hidden, told, looks, aims, rules
    )
    assessment: Assessment = {
        "items": items,
        "areas": _areas(asked, items, rules),
        "findings": findings,
        "combinations": raised,
        "histories": hidden,
        "drive_home": driven,
        "coverage": coverage.coverage(asked_for, items, rules, facts),
        "next": checks,
        "marks": marks,
        "brief": brief.brief(asked_for, rules, facts),
        "baseline": evidence,
        "money": costs,
        "problems": _unknown_items(grouped, rules),
        "questions": questions,
        "decision": decided,
    }
    now = left and afterwards.now(order, asked, judged, left, closed, rules, facts)
    rank = wants.rank(aims, costs)
    _add(assessment, {"rank": rank, "claims": told, "lookups": looks, "wants": aims, "now": now})
    if added:
        _call_by_words(assessment, rules)
    return assessment
