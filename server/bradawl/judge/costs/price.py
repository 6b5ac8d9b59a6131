"""What it will cost, what must be held back, and the price to walk away at.

The work is what remedies.py chooses of the needed remedies, as edited at the desk, and of the
maintenance that is due. Its total is a distribution. The top price is what the car is worth less
the charge of charge.py and the margin: a function of what is known of the car and of nothing else.
What it holds beyond the expected cost of the work is the reserve.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..decisions import effects
from ..decisions.check_plan import expected_cost
from ..decisions.drive_home import named_items
from ..record import regions, visit_facts
from ..values import amounts, exact
from ..values.saying import of_unit, said
from . import charge, further, quantiles, remedies
from .estimates import sixths, whole
from .known import Known

if TYPE_CHECKING:
    from ..values.types import (
        Argument,
        Cells,
        Exact,
        Grade,
        ItemJudgment,
        MaintenanceRow,
        Money,
        NeededWork,
        Price,
        Rates,
        Reserve,
        ReserveItem,
        Rules,
        SaidArgument,
        SaidMoney,
        Totals,
        VisitFacts,
        WorkLine,
    )

WORST: Grade = "dangerous"
PERCENTS = [50, 80, 90]
ENOUGH_PERCENT = 50  # of what matters: with less seen, no price is quoted
ROOM_PERCENT = 95  # of the top price: who opens at it has nowhere to go; assumption
LOWEST_OFFER_PERCENT = 60  # of what is asked: an offer below it ends the talk; assumption


def hourly_rate(rules: Rules, facts: VisitFacts) -> tuple[int, bool]:
    """(money for an hour of work, whether it is assumed): the brief's, else the checklist's."""
    assumed = (rules.get("money") or {}).get("hourly_rate")
    return _setting(facts, "hourly_rate", assumed, amounts.DEFAULT_HOURLY_RATE)


def margin(rules: Rules, facts: VisitFacts) -> tuple[int, bool]:
    """(what is held back in any deal, whether it is assumed)."""
    assumed = (rules.get("money") or {}).get("margin")
    return _setting(facts, "margin", assumed, amounts.DEFAULT_MARGIN)


def _setting(facts: VisitFacts, name: str, assumed: int | None, default: int) -> tuple[int, bool]:
    typed = visit_facts.whole(facts["brief"].get(name))
    if typed is not None and typed >= 0:
        return typed, False
    figure = visit_facts.whole(assumed)
    return (default if figure is None else figure), True


def _together(rules: Rules) -> tuple[float, str]:
    """The share of the spread that all lines have in common, as a figure and as it is written."""
    text = str((rules.get("money") or {}).get("costs_move_together", "0"))
    share = exact.figure(text) or exact.ZERO
    if exact.less(share, exact.ZERO) or exact.less(exact.ONE, share):
        return 0.0, "0"
    return exact.as_float(share), text


def _lines(work: NeededWork) -> tuple[list[WorkLine], list[str]]:
    """The needed work, dearest line first, and the findings that no needed work puts right."""
    keyed = []
    lines: dict[str, WorkLine] = {}
    covered = {}
    for offer in work["offers"] + work["due"]:
        if not work["chosen"].get(offer["id"]):
            continue
        if offer.get("no_figure"):
            continue
        expected = whole(sixths(offer["cost"]))
        covers = [item for item in offer["covers"] if item in work["standing"]]
        for item in covers:
            covered[item] = True
        lines[offer["id"]] = {
            "id": offer["id"],
            "item": offer["item"],
            "covers": covers,
            "title": offer["title"],
            "kind": offer["kind"],
            "cost": offer["cost"],
            "expected": expected,
        }
        if offer.get("tips_at"):
            lines[offer["id"]]["pieces"] = offer["pieces"]
            lines[offer["id"]]["tips_at"] = offer["tips_at"]
        keyed.append((-expected, offer["id"]))
    unpriced = [item for item in sorted(work["standing"]) if item not in covered]
    return [lines[key[1]] for key in sorted(keyed)], unpriced


def reserve(held: charge.Charge, repairs: int, rules: Rules) -> Reserve:
    """What is held back beyond the expected cost of the work, the largest first."""
    keyed = []
    for n, (amount, _, _) in enumerate(held.rows):
        keyed.append((-exact.half_up(amount, 2), n))
    rows: list[ReserveItem] = []
    for _, n in sorted(keyed):
        amount, item, freed = held.rows[n]
        unseen = rules["items"][item].get("unseen")
        if unseen and exact.less(expected_cost(rules["items"][item]), amount):
            unseen = None  # more than the checklist holds for it
        shown = exact.half_up(amount, 0)
        rows.append(
            {
                "item": item,
                "chance": str(unseen["chance"]) if unseen else "1",
                "cost": unseen["cost"] if unseen else [shown, shown, shown],
                "amount": shown,
                "frees": exact.half_up(freed, 0),
                "source": unseen.get("source", "assumption") if unseen else "assumption",
            }
        )
    return {"amount": exact.half_up(held.amount, 0) - repairs, "items": rows}


def _called_milder(order: list[str], items: dict[str, ItemJudgment]) -> list[str]:
    """The measured dangers that a person graded milder."""
    return [
        item
        for item in order
        if items[item]["measured"] == WORST and effects.is_overruled(items[item])
    ]


def _keep_charged(
    held: charge.Charge,
    named: list[str],
    findings: list[str],
    items: dict[str, ItemJudgment],
    baseline: list[MaintenanceRow],
    known: Known,
    rules: Rules,
    cells: Cells,
    rates: Rates,
) -> NeededWork | None:
    """Charge for the dangers in `named` what their repair costs: a word has mended nothing.

    The work shown is what was asked for; what they cost beyond it is held back. Returns the work
    as measured.
    """
    work = None
    measured, found = items.copy(), findings.copy()
    for item in named:
        measured[item] = items[item].copy()
        measured[item]["grade"] = WORST
        if item not in found:
            found.append(item)
        work = remedies.work(found, measured, baseline, rules, cells, rates)
        if item in work["standing"]:
            known.name(item)
            fault = charge.holds(known.order, known.fine, rules, work["stated"])
            held.raise_to(charge.charge(fault, work["musts"], work, rules).amount, item)
    return work


def _arguments(
    lines: list[WorkLine], items: dict[str, ItemJudgment], currency: str
) -> list[Argument]:
    """The findings that argue for a lower price, the dearest first."""
    arguments: list[Argument] = []
    for line in lines:
        judgment = items.get(line["item"])
        args: dict[str, SaidArgument] = {"title": line["title"]}
        args["cost"] = _money(line["expected"], currency)
        name = "argument"
        if judgment is not None and judgment["reasons"] and line["kind"] != "maintenance":
            name = "argument-why"
            args["why"] = {"said": judgment["reasons"][0]["said"]}
        arguments.append(
            {"item": line["item"], "said": said(name, args), "amount": line["expected"]}
        )
    return arguments


def _worth(value: int | None, factor: Exact) -> int | None:
    return None if value is None else exact.half_up(exact.multiply((value, 1), factor), 0)


def _bound(
    known: Known, works: list[NeededWork], price: Price, factor: Exact, rules: Rules
) -> int | None:
    """The top price if all that is not known for a fault turns out fine; never below 0.

    `works`: as asked for, and as measured where somebody called a danger milder; the dearer counts.
    """
    worth = _worth(price["value"], factor)
    if worth is None:
        return None
    fine = known.at_best()
    unsure = ["baseline/" + row for row in known.unproven]
    held = charge.holds(known.order, fine, rules, works[0]["stated"])
    dearest = exact.ZERO
    for work in works:
        musts = [
            name
            for name in work["musts"]
            if further.item_of(name) not in fine and name not in unsure
        ]
        amount = charge.charge(held, musts, work, rules).amount
        dearest = amount if exact.less(dearest, amount) else dearest
    return max(worth - exact.half_up(dearest, 0) - price["margin"], 0)


def _is_open(price: Price, top: int) -> bool:
    """Whether only what nobody saw speaks against the car: it may yet be worth what is asked."""
    bound, asking, worth = price["bound"], price["asking"], price["worth"]
    if top > 0 or bound is None or worth is None:
        return False
    return bound >= asking > 0 if asking is not None else 2 * bound >= worth


def _set_price(
    price: Price, held_back: int, totals: Totals, percent: int, currency: str, cheaper: bool
) -> None:
    """Fill in the top price, the opening and what is said of them; `percent` was seen."""
    worth, asking = price["worth"], price["asking"]
    if worth is None:
        return
    top = worth - totals["expected"] - held_back - price["margin"]
    if percent < ENOUGH_PERCENT or _is_open(price, top):
        price["said"] = said("price-too-little", {"share": of_unit((percent, 1), "%")})
        return
    price["walk_away"] = max(top, 0)
    cautious = min(top - max(totals["p90"] - totals["expected"], 0), top * ROOM_PERCENT // 100)
    lower = (price["value"] or worth) - worth + held_back if cheaper else 0
    opening = _opening(price, cautious, lower)
    price["opening"] = opening
    if top <= 0:
        price["said"] = said("price-none", {"over": _money(-top, currency)})
        return
    args: dict[str, SaidArgument] = {"top": _money(top, currency)}
    if asking == 0:
        price["said"] = said("price-free", args)
        return
    if opening == 0:
        price["said"] = said("price-little", args)
    else:
        args["opening"] = _money(opening, currency)
        price["said"] = said("price", args)
    if asking is not None:
        price["said"]["then"] = [said("price-asked", {"asking": _money(asking, currency)})]


def _opening(price: Price, cautious: int, lower: int) -> int:
    """What to offer first: never what is asked where something argues for less.

    `lower`: by how much besides the repairs.
    """
    opening, asking = cautious, price["asking"]
    if asking is not None:
        less = lower
        for argument in price["arguments"]:
            less += argument["amount"]
        opening = min(opening, max(asking - less, asking * LOWEST_OFFER_PERCENT // 100))
    return max(opening, 0)


def _say_bound(price: Price, currency: str) -> None:
    """Enough seen: it cannot become worth what is asked, whatever the rest is like."""
    bound, asking = price["bound"], price["asking"]
    if price["walk_away"] == 0 and bound == 0:
        return  # it has been said that no price is right
    if bound is not None and asking is not None and bound < asking:
        sentence = said("price-enough-seen", {"bound": _money(bound, currency)})
        price["said"]["then"] = price["said"].get("then", []) + [sentence]


def _say_no_figure(price: Price, unpriced: list[str], rules: Rules) -> None:
    """What in somebody's own words has no figure: no price is for it as well."""
    named = [item for item in unpriced if rules["items"][item].get("own")]
    if named and price["walk_away"] is not None:
        sentence = said("price-no-figure", {"items": named_items(named)})
        price["said"]["then"] = price["said"].get("then", []) + [sentence]


def _money(amount: int, currency: str) -> SaidMoney:
    return {"money": amount, "currency": currency}


def _totals(lines: list[WorkLine], together: float) -> Totals:
    sums = [0, 0, 0]
    for line in lines:
        for n in range(3):
            sums[n] += line["cost"][n]
    triples = [(line["cost"][0], line["cost"][1], line["cost"][2]) for line in lines]
    p50, p80, p90 = quantiles.quantiles(triples, PERCENTS, together)
    return {
        "low": sums[0],
        "likely": sums[1],
        "high": sums[2],
        "expected": whole(sixths(sums)),
        "p50": p50,
        "p80": p80,
        "p90": p90,
    }


def money(
    order: list[str],
    findings: list[str],
    items: dict[str, ItemJudgment],
    baseline: list[MaintenanceRow],
    rules: Rules,
    facts: VisitFacts,
    cells: Cells,
    worth_factor: Exact = exact.ONE,
    best_factor: Exact | None = None,
    disputed: list[str] | None = None,
    stopped: bool = False,
    cheaper: bool = False,
) -> Money:
    """Cost, reserve and price of the car, all in whole units of the visit's currency.

    `worth_factor` is what is left of the value by what is known and suspected of the car's history,
    `best_factor` what would be left if all that nobody looked at were fine. `disputed` are items
    whose answers contradict others. While something stops the deal there is no price. `cheaper`:
    what lowers the worth, or a fault that somebody called milder, is a reason to offer less, as is
    a grave fault that no work puts right.
    """
    rate, is_rate_assumed = hourly_rate(rules, facts)
    margin_amount, is_margin_assumed = margin(rules, facts)
    recorded_currency = facts["about"].get("currency")
    currency = recorded_currency if isinstance(recorded_currency, str) else ""
    currency = currency or regions.CURRENCIES[facts["region"]]
    rates: Rates = {"rate": rate, "percent": remedies.percent(cells)}
    work = remedies.work(findings, items, baseline, rules, cells, rates)
    lines, unpriced = _lines(work)
    together, together_text = _together(rules)
    totals = _totals(lines, together)
    known = Known(order, items, rules, cells)
    for item in disputed or []:
        known.dispute(item)
    for item in work["settled"]:
        known.settle(item)
    known.take_unproven(baseline)
    holds = charge.holds(order, known.fine, rules, work["stated"])
    held = charge.charge(holds, work["musts"], work, rules)
    named = _called_milder(order, items)
    kept = _keep_charged(held, named, findings, items, baseline, known, rules, cells, rates)
    held_back = reserve(held, totals["expected"], rules)
    value = visit_facts.whole(facts["brief"].get("value_good"))
    price: Price = {
        "value": value,
        "worth": _worth(value, worth_factor),
        "bound": None,
        "margin": margin_amount,
        "asking": visit_facts.whole(facts["about"].get("asking_price")),
        "walk_away": None,
        "opening": None,
        "said": said("price-unknown"),
        "arguments": _arguments(lines, items, currency),
    }
    best_factor = best_factor or worth_factor
    price["bound"] = _bound(known, [work] + ([kept] if kept else []), price, best_factor, rules)
    if stopped:
        price["said"] = said("price-stopped")
    else:
        amount, seen = held_back["amount"], known.share_percent()
        cheaper = cheaper or bool(
            [i for i in unpriced if items[i]["grade"] in ("major", "dangerous")]
        )
        _set_price(price, amount, totals, seen, currency, cheaper)
    _say_no_figure(price, unpriced, rules)
    _say_bound(price, currency)
    args: dict[str, SaidArgument] = {"set_aside": _money(held_back["amount"], currency)}
    args["work"] = _money(totals["expected"], currency)
    args["p80"] = _money(totals["p80"], currency)
    assumed = ["hourly_rate"] if is_rate_assumed else []
    return {
        "currency": currency,
        "rate": rate,
        "assumed": assumed + (["margin"] if is_margin_assumed else []),
        "lines": lines,
        "unpriced": unpriced,
        "totals": totals,
        "together": together_text,
        "reserve": held_back,
        "price": price,
        "said": said("money", args),
    }
