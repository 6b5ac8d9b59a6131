"""Where to look: what share of what matters was inspected, and what to check next.

What could still hurt somebody on the way home comes first, while the time is enough to clear the
drive; then what could stop the deal; then what narrows the price most in a minute.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..grading import combinations
from ..record import claims, regions
from ..values import exact
from ..values.amounts import DEFAULT_HOURLY_RATE
from ..values.saying import alone, listed, of_unit, said, term, title
from . import effects, wants
from .check_plan import Plan, begin, expected_cost, spread, whole

if TYPE_CHECKING:
    from ..grading.combinations import Judged
    from ..values.types import (
        Circumstance,
        DriveAnswer,
        EffectKind,
        Exact,
        ItemNote,
        Mark,
        NextCheck,
        NextChecks,
        Price,
        Rule,
        Rules,
        Said,
        SaidArgument,
        VisitFacts,
        WantJudgment,
    )
    from .effects import Effects

MINUTES = "15"  # what an assessment plans for, unless somebody asks otherwise
RUNNING = ("start", "warm", "road", "hot")  # stages in which the engine has run
DRIVEN = "road"  # the stage that nobody begins with a dangerous finding
GRAVE = ("dangerous", "stuck")  # findings that stop what builds on them
DONE = ("done", "warm", "dangerous", "stuck")  # looked at
HARMS: tuple[EffectKind, ...] = ("hurts", "immobilizes")
HURTS = 3  # from this danger on, a check is about somebody's limbs
STOPS_DEAL: tuple[EffectKind, ...] = ("stops_deal", "ends_deal")


def _does(rule: Rule, kinds: tuple[EffectKind, ...]) -> bool:
    """Whether some answer of the item has such an effect."""
    for effect in rule.get("effects") or []:
        if effect["does"] in kinds:
            return True
    return False


def marks(order: list[str], judged: Judged, found: Effects, rules: Rules) -> dict[str, Mark]:
    """The findings so far that forbid other checks, and why."""
    marked: dict[str, Mark] = {}
    for condition in (rules.get("attention") or {}).get("warm") or []:
        for item in combinations.items_of(condition, judged, rules, None):
            marked[item] = "warm"
    for item in found.items("immobilizes"):
        marked[item] = "stuck"
    for item in order:
        if judged.items[item]["grade"] == "dangerous":
            marked[item] = "dangerous"
    return marked


def enough(found: Effects, price: Price) -> Said | None:
    """Why no look can change the answer any more, if so: nothing makes this car worth buying."""
    ended = found.items("ends_deal")
    if ended:
        return said("enough-deal", {"item": title("item", ended[0])})
    return said("enough-price") if price.get("bound") == 0 else None


def _too_warm(order: list[str], states: dict[str, str], rules: Rules) -> list[str]:
    """The open items that want a cold engine, once it has run or was found warm."""
    for item in order:
        has_run = states[item] in DONE and rules["items"][item].get("stage") in RUNNING
        if has_run or states[item] == "warm":
            return [
                other
                for other in order
                if states[other] == "open" and rules["items"][other].get("cold")
            ]
    return []


def _stopped(order: list[str], states: dict[str, str], rules: Rules) -> dict[str, str]:
    """The open items that a dangerous finding, or one that it cannot move with, forbids; and it.

    Whatever needs a dangerous item or names it in `stopped_by`, directly or by way of another, is
    not done: no start beside leaking fuel, no lifting on a sill that gave way. The road is for no
    car with any of them.
    """
    grave = [item for item in order if states[item] in GRAVE]
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


def _must(rule: Rule, ways: dict[Circumstance, str], answer: DriveAnswer) -> bool:
    """Whether what nobody looked at here could still hurt somebody on the way home."""
    if answer == "trailer":
        return False  # nobody drives it: what is left is a matter of money
    if effects.role(rule, ways)[0] == "essential":
        return True
    return _does(rule, HARMS) and rule.get("depth") != "thorough"


def what_next(
    order: list[str],
    states: dict[str, str],
    rules: Rules,
    facts: VisitFacts,
    minutes: str,
    answer: DriveAnswer,
    enough_said: Said | None,
    wanted: list[WantJudgment] | None = None,
) -> NextChecks:
    """What to look at in the minutes left, the best first.

    `order` is every item that applies, in walk order; `states` its mark (`marks`) or else its
    state. `minutes` as it was typed. `answer` is that of the drive home so far; `enough_said` says
    why no look can change the answers any more, if so. What tells of those `wanted` rises.
    """
    budget = exact.parse(minutes) or exact.ZERO
    if budget[0] < 0:
        budget = exact.ZERO
    warm = _too_warm(order, states, rules)
    stopped = _stopped(order, states, rules)
    possible = _possible(order, states, rules, warm + sorted(stopped))
    still_open = [item for item in order if states[item] == "open"]
    ways = effects.circumstances(facts, rules)
    said_of = claims.leading(facts, rules)
    hangs_on = wants.leading(wanted or [])
    for item in hangs_on:
        said_of[item] = max(said_of.get(item, 0), hangs_on[item])
    must = [item for item in possible if _must(rules["items"][item], ways, answer)]
    plan, unit = begin(possible, [item for item in order if states[item] in DONE], rules)
    left = budget[0] * unit // budget[1]
    clearing = plan.minutes(plan.with_needs(must))
    if enough_said is None:
        asked = [] if warm else _asked_first(possible, rules)
        left = plan.pick(asked, dict.fromkeys(asked, 0), left)
        first = plan.order.copy()
        clear = left if clearing <= left else 0
        rest = left - clear + _pick_must(plan, must, clear)
        rest = _pick_claimed(plan, said_of, [i for i in possible if i in said_of], first, rest)
        _pick(plan, possible, must, rest)
    checks = [
        _check(item, (plan.picked[item], unit), item in must, hangs_on, rules, facts)
        for item in _cold_first(plan.order, rules)
    ]
    total = 0
    for item in plan.order:
        total += plan.picked[item]
    sentence = alone(enough_said or _sentence(len(checks), len(still_open), budget, (total, unit)))
    then: list[Said] = []
    if must and clearing > left:
        then = [said("plan-no-drive", {"time": of_unit((clearing, unit), "min")})]
    elif enough_said is None:
        then = _not_worth_it(possible, must, plan, unit)
    sentence["then"] = then + _warm(len(warm)) + _waiting(order, stopped)
    next_checks: NextChecks = {
        "minutes": exact.decimal(budget, 2),
        "items": checks,
        "total_minutes": exact.decimal((total, unit), 2),
        "open": len(still_open),
        "left_out": _left_out(order, states, warm, stopped),
        "said": sentence,
    }
    if enough_said is not None:
        next_checks["enough"] = enough_said
    return next_checks


def _asked_first(possible: list[str], rules: Rules) -> list[str]:
    """What says whether the engine is cold, while something wants it so."""
    if not [item for item in possible if rules["items"][item].get("cold")]:
        return []
    first: list[str] = []
    for condition in (rules.get("attention") or {}).get("warm") or []:
        named = condition["item"]
        first += [named] if isinstance(named, str) else named
    return [item for item in first if item in possible]


def _pick_must(plan: Plan, must: list[str], clear: int) -> int:
    """What could hurt, by its danger, in the time for it; what is left of that.

    `clear` is none where it is too short for all of them. Those that may stop the deal as well then
    wait for their turn: most of them are under the car.
    """
    danger: dict[str, int] = {}
    for item in must:
        danger[item] = int(plan.rules["items"][item].get("danger") or 0)
    return plan.pick(must, danger, clear)


def _pick_claimed(
    plan: Plan, tells: dict[str, int], named: list[str], asked: list[str], left: int
) -> int:
    """What tells of claims stands first, and takes no time from what clears the drive.

    `tells` says how much each of `named` tells; `asked` stands before all.
    """
    value: dict[str, int] = {}
    for item in named:
        value[item] = tells[item] + int(plan.rules["items"][item].get("danger") or 0)
    left = plan.pick(named, value, left)
    leading = [item for item in named if item in plan.order]
    for item in reversed(plan.order):
        if item in leading:
            leading += plan.rules["items"][item].get("needs") or []
    # the first says whether the engine is cold
    order = plan.order
    plan.order = asked + [i for i in order if i in leading and i not in asked]
    plan.order += [i for i in order if i not in plan.order]
    return left


def _pick(plan: Plan, possible: list[str], must: list[str], left: int) -> None:
    """What may stop the deal, then the rest by what it narrows."""
    spreads: dict[str, Exact] = {}
    unit = 1
    for item in possible:
        spreads[item] = spread(plan.rules["items"][item])
        unit = exact.common(unit, spreads[item][1])
    value = whole(spreads, unit)
    deal = [
        item
        for item in possible
        if _does(plan.rules["items"][item], STOPS_DEAL) and item not in must
    ]
    left = plan.pick(deal, value, left)
    plan.pick(possible, value, left)


def _cold_first(picked: list[str], rules: Rules) -> list[str]:
    """As they were picked, but what wants a cold engine stands before the first that runs it."""
    for n, item in enumerate(picked):
        if rules["items"][item].get("stage") in RUNNING:
            cold = [other for other in picked[n:] if rules["items"][other].get("cold")]
            return picked[:n] + cold + [other for other in picked[n:] if other not in cold]
    return picked


def _check(
    item: str,
    takes: Exact,
    is_must: bool,
    hangs_on: dict[str, int],
    rules: Rules,
    facts: VisitFacts,
) -> NextCheck:
    args: dict[str, SaidArgument] = {"item": title("item", item), "time": of_unit(takes, "min")}
    why = _why(rules["items"][item], is_must, facts)
    if item in hangs_on and not is_must:
        why = said("next-want")
    if why is not None:
        args["why"] = {"said": why}
    tools = [term("tool-" + tool) for tool in rules["items"][item].get("tools") or []]
    if tools:
        args["tools"] = listed(tools)
    name = "next-check" if why is None else "next-check-why"
    return {
        "item": item,
        "minutes": exact.decimal(takes, 2),
        "said": said(name + "-tools" if tools else name, args),
    }


def _why(rule: Rule, is_must: bool, facts: VisitFacts) -> Said | None:
    """What the look is for, in a few words; None for what costs nothing and hurts nobody."""
    if is_must and (_does(rule, ("hurts",)) or int(rule.get("danger") or 0) >= HURTS):
        return said("next-hurts")
    if _does(rule, STOPS_DEAL):
        return said("next-deal")
    if is_must:
        return said("next-stuck" if _does(rule, ("immobilizes",)) else "next-drive")
    unseen = rule.get("unseen")
    if not unseen:
        return None
    low, likely, high = unseen["cost"]
    amount = (low + 4 * likely + high + 3) // 6
    step = 1
    while amount >= 100 * step:
        step *= 10
    amount = (2 * amount + step) // (2 * step) * step  # two digits are as much as anybody knows
    cost: SaidArgument = {"money": amount, "currency": regions.currency(facts)}
    return said("next-cost", {"cost": cost}) if amount else None


def _left_out(
    order: list[str], states: dict[str, str], warm: list[str], stopped: dict[str, str]
) -> list[ItemNote]:
    left_out: list[ItemNote] = []
    for item in warm:
        left_out.append({"item": item, "said": said("left-out-warm")})
    for item in order:
        if item in stopped and item not in warm:
            name = "left-out-stuck" if states[stopped[item]] == "stuck" else "left-out-unsafe"
            why = said(name, {"item": title("item", stopped[item])})
            left_out.append({"item": item, "said": why})
    return left_out


def _sentence(chosen: int, still_open: int, budget: Exact, total: Exact) -> Said:
    if not still_open:
        return said("plan-done")
    args: dict[str, SaidArgument] = {"time": of_unit(budget, "min")}
    if not chosen:
        return said("plan-none", args)
    args["count"], args["open"], args["total"] = chosen, still_open, of_unit(total, "min")
    return said("plan" if still_open > 1 else "plan-last", args)


def _not_worth_it(possible: list[str], must: list[str], plan: Plan, unit: int) -> list[Said]:
    """Whether all that is left is held back for less than its minutes cost in the shop."""
    cost, minutes = exact.ZERO, exact.ZERO
    for item in possible:
        rule = plan.rules["items"][item]
        if item in must or _does(rule, STOPS_DEAL):
            return []
        if rule.get("unseen"):
            cost = exact.add(cost, expected_cost(rule))
            minutes = exact.add(minutes, (plan.time[item], unit))
    rate = (plan.rules.get("money") or {}).get("hourly_rate") or DEFAULT_HOURLY_RATE
    if not exact.less(cost, exact.multiply(minutes, (rate, 60))):
        return []
    return [said("plan-enough")]


def _warm(count: int) -> list[Said]:
    return [said("plan-warm", {"count": count})] if count else []


def _waiting(order: list[str], stopped: dict[str, str]) -> list[Said]:
    causes = sorted(stopped.values())
    items: list[SaidArgument] = [title("item", item) for item in order if item in causes]
    return [said("plan-unsafe", {"items": listed(items), "count": len(stopped)})] if items else []
