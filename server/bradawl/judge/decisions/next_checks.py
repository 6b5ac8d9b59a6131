"""Where to look: what share of what matters was inspected, and what to check in the time left.

The plan for the minutes left is exact: knapsack.py chooses among open items, their prerequisites
and the beginnings of stages.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact
from ..values.saying import listed, of_unit, said, title
from . import brief
from .knapsack import Forest, best

if TYPE_CHECKING:
    from ..values.types import (
        Coverage,
        Exact,
        ItemJudgment,
        ItemNote,
        NextCheck,
        NextChecks,
        Rule,
        Rules,
        Said,
        SaidArgument,
        StageSetup,
        VisitFacts,
    )

DANGER_WORTH = 150  # money per point of danger, when the checklist says nothing
MINUTES = "15"  # what an assessment plans for, unless somebody asks otherwise
RUNNING = ("start", "warm", "road", "hot")  # stages in which the engine has run
DRIVEN = "road"  # the stage that nobody begins with a dangerous finding
DONE = ("done", "dangerous")  # looked at; what was found dangerous stops what builds on it
BEGIN = "setup/"  # in front of a stage: what it takes to begin it (jacking, warming up)


def importance(rule: Rule, uses: list[str]) -> int:
    """How much an item matters: its weight for the wanted uses and its danger."""
    return brief.weight(rule, uses) + int(rule.get("danger") or 0)


def coverage(
    order: list[str], items: dict[str, ItemJudgment], rules: Rules, facts: VisitFacts
) -> Coverage:
    """What share of what matters was looked at, by importance, rounded down."""
    done: dict[str, int] = {}
    total: dict[str, int] = {}
    count = 0
    missed: list[ItemNote] = []
    for item in order:
        rule, judged = rules["items"][item], items[item]
        weight = importance(rule, facts["uses"])
        area = rule["area"]
        total[area] = total.get(area, 0) + weight
        done.setdefault(area, 0)
        if judged["state"] == "done":
            done[area] += weight
            count += 1
        elif judged["state"] == "uninspected":
            missed.append({"item": item, "said": judged["reasons"][0]["said"]})
        else:
            missed.append({"item": item, "said": said("not-reached")})
    by_area: dict[str, int | None] = {}
    seen = everything = 0
    for area in sorted(total):
        by_area[area] = 100 * done[area] // total[area] if total[area] else None
        seen += done[area]
        everything += total[area]
    share = 100 * seen // everything if everything else 0
    args: dict[str, SaidArgument] = {"done": count, "total": len(order)}
    args["share"] = of_unit((share, 1), "%")
    return {
        "share_percent": share,
        "by_area": by_area,
        "done": count,
        "total": len(order),
        "not_reached": missed,
        "said": said("coverage", args),
    }


def expected_cost(rule: Rule) -> Exact:
    """What an unseen item is expected to cost: chance times mean of low, likely, high (PERT)."""
    unseen = rule.get("unseen")
    if not unseen:
        return exact.ZERO
    chance = exact.figure(str(unseen["chance"])) or exact.ZERO
    low, likely, high = unseen["cost"]
    return exact.multiply(chance, (low + 4 * likely + high, 6))


def worth(rule: Rule, rules: Rules, uses: list[str]) -> int:
    """What looking at an item is worth, in hundredths of money.

    The expected cost, by its weight for the wanted uses against the default weight, and its danger;
    for what the drive home depends on its part of the trailer that it takes when nobody looks.
    """
    settings = rules.get("attention") or {}
    danger = int(rule.get("danger") or 0) * int(settings.get("danger_worth", DANGER_WORTH))
    weighed = exact.multiply(expected_cost(rule), (brief.weight(rule, uses), brief.DEFAULT_WEIGHT))
    drive = int(settings.get("drive_worth", 0)) if rule.get("drive") == "essential" else 0
    return exact.half_up(exact.add(weighed, (danger + drive, 1)), 2)


def _too_warm(order: list[str], states: dict[str, str], rules: Rules) -> list[str]:
    """The open items that want a cold engine, once something with the engine on was answered."""
    for item in order:
        if states[item] in DONE and rules["items"][item].get("stage") in RUNNING:
            return [
                other
                for other in order
                if states[other] == "open" and rules["items"][other].get("cold")
            ]
    return []


def _stopped(order: list[str], states: dict[str, str], rules: Rules) -> dict[str, str]:
    """The open items that a dangerous finding forbids, and that finding.

    Whatever needs a dangerous item or names it in `stopped_by`, directly or by way of another, is
    not done: no start beside leaking fuel, no lifting on a sill that gave way. The road is for no
    car with any of them.
    """
    grave = [item for item in order if states[item] == "dangerous"]
    stopped: dict[str, str] = {}
    if not grave:
        return stopped
    for item in order:
        if states[item] == "open" and rules["items"][item].get("stage") == DRIVEN:
            stopped[item] = grave[0]
    changed = True
    while changed:
        changed = False
        for item in order:
            if states[item] != "open":
                continue
            rule = rules["items"][item]
            for other in (rule.get("needs") or []) + (rule.get("stopped_by") or []):
                cause = other if other in grave else stopped.get(other)
                # what it rests on says more than any danger elsewhere
                if cause is not None and (item not in stopped or other in grave):
                    changed = changed or stopped.get(item) != cause
                    stopped[item] = cause
                    break
    return stopped


def _possible(
    order: list[str], states: dict[str, str], rules: Rules, without: list[str]
) -> list[str]:
    """The open items without those that need something nobody can look at."""
    possible: dict[str, bool] = {}
    for item in order:
        if states[item] == "open" and item not in without:
            possible[item] = True
    changed = True
    while changed:
        changed = False
        for item in sorted(possible):
            for other in rules["items"][item].get("needs") or []:
                if other in states and states[other] not in DONE and other not in possible:
                    del possible[item]
                    changed = True
                    break
    return sorted(possible)


def _minutes(possible: list[str], rules: Rules) -> dict[str, Exact]:
    """What each item and the beginning of each of their stages takes."""
    setup = (rules.get("attention") or {}).get("setup") or {}
    minutes: dict[str, Exact] = {}
    for item in possible:
        rule = rules["items"][item]
        stage = rule.get("stage")
        if stage in setup:
            minutes[BEGIN + stage] = exact.figure(str(setup[stage])) or exact.ZERO
        minutes[item] = exact.figure(str(rule.get("minutes", "1"))) or exact.ONE
    return minutes


def _unit(minutes: dict[str, Exact]) -> int:
    """How many of the common unit of time make a minute (all durations are whole in it)."""
    unit = 1
    for name in sorted(minutes):
        d = minutes[name][1]
        a, b = unit, d
        while b:
            a, b = b, a % b
        unit = unit * d // a
    return unit


def _forest(minutes: dict[str, Exact], unit: int, rules: Rules, uses: list[str]) -> Forest:
    """The items with their prerequisites and the beginning of their stage."""
    forest = Forest()
    for name in sorted(minutes):
        time = exact.half_up(exact.multiply(minutes[name], (unit, 1)), 0)
        if name.startswith(BEGIN):
            forest.add(name, time, 0, [])
            forest.hubs.append(name)
            continue
        rule = rules["items"][name]
        first = [other for other in rule.get("needs") or [] if other in minutes]
        if BEGIN + str(rule.get("stage")) in minutes:
            first.append(BEGIN + str(rule["stage"]))
        forest.add(name, time, worth(rule, rules, uses), first)
    forest.reduce()
    return forest


def what_next(
    order: list[str], states: dict[str, str], rules: Rules, uses: list[str], minutes: str
) -> NextChecks:
    """What to look at in the minutes left, in walk order.

    `order` is every item that applies, in walk order; `states` its state (open, done,
    uninspected), or `dangerous` when it is done and its grade is that. `minutes` as it was typed.
    """
    budget = exact.parse(minutes) or exact.ZERO
    if budget[0] < 0:
        budget = exact.ZERO
    warm = _too_warm(order, states, rules)
    stopped = _stopped(order, states, rules)
    takes = _minutes(_possible(order, states, rules, warm + sorted(stopped)), rules)
    forest, chosen, is_proven = _chosen(takes, budget, rules, uses)
    checks, setup = [], _setup(chosen, takes, rules)
    for item in order:
        if item in chosen:
            checks.append(_check(item, takes[item], forest.worth[item]))
    total = exact.ZERO
    for row in checks:
        total = exact.add(total, takes[row["item"]])
    for stage in setup:
        total = exact.add(total, takes[BEGIN + stage["stage"]])
    still_open = len([item for item in order if states[item] == "open"])
    sentence = _plan(len(checks), still_open, budget, total)
    sentence["then"] = _warm(len(warm)) + _left_out_for(order, stopped)
    return {
        "minutes": exact.decimal(budget, 2),
        "items": checks,
        "setup": setup,
        "total_minutes": exact.decimal(total, 2),
        "open": still_open,
        "left_out": _left_out(order, warm, stopped),
        "proven": is_proven,
        "said": sentence,
    }


def _chosen(
    takes: dict[str, Exact], budget: Exact, rules: Rules, uses: list[str]
) -> tuple[Forest, dict[str, bool], bool]:
    """The forest of what is possible, the best of it in the time, whether that is proven."""
    unit = _unit(takes)
    forest = _forest(takes, unit, rules, uses)
    longest = 0
    for name in sorted(forest.time):
        longest += forest.time[name]
    _, names, is_proven = best(forest, min(budget[0] * unit // budget[1], longest))
    chosen: dict[str, bool] = {}
    for name in names:
        chosen[name] = True
    return forest, chosen, is_proven


def _setup(chosen: dict[str, bool], takes: dict[str, Exact], rules: Rules) -> list[StageSetup]:
    """The beginnings of those stages of which an item was chosen."""
    stages: dict[str, bool] = {}
    for name in chosen:
        if not name.startswith(BEGIN):
            stages[BEGIN + str(rules["items"][name].get("stage"))] = True
    return [
        {"stage": name[len(BEGIN) :], "minutes": exact.decimal(takes[name], 2)}
        for name in sorted(chosen)
        if name in stages
    ]


def _check(item: str, takes: Exact, hundredths: int) -> NextCheck:
    args: dict[str, SaidArgument] = {"item": title("item", item), "time": of_unit(takes, "min")}
    return {
        "item": item,
        "minutes": exact.decimal(takes, 2),
        "worth": exact.half_up((hundredths, 100), 0),
        "said": said("next-check", args),
    }


def _left_out(order: list[str], warm: list[str], stopped: dict[str, str]) -> list[ItemNote]:
    left_out: list[ItemNote] = []
    for item in warm:
        left_out.append({"item": item, "said": said("left-out-warm")})
    for item in order:
        if item in stopped and item not in warm:
            why = said("left-out-unsafe", {"item": title("item", stopped[item])})
            left_out.append({"item": item, "said": why})
    return left_out


def _plan(chosen: int, still_open: int, budget: Exact, total: Exact) -> Said:
    if not still_open:
        return said("plan-done")
    args: dict[str, SaidArgument] = {"time": of_unit(budget, "min")}
    if not chosen:
        return said("plan-none", args)
    args["count"], args["open"], args["total"] = chosen, still_open, of_unit(total, "min")
    return said("plan", args)


def _warm(count: int) -> list[Said]:
    return [said("plan-warm", {"count": count})] if count else []


def _left_out_for(order: list[str], stopped: dict[str, str]) -> list[Said]:
    causes = sorted(stopped.values())
    items: list[SaidArgument] = [title("item", item) for item in order if item in causes]
    return [said("plan-unsafe", {"items": listed(items), "count": len(stopped)})] if items else []
