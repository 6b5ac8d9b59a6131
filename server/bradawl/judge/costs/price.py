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
from ..record import regions, visit_facts
from ..values import amounts, exact
from ..values.saying import said
from . import charge, quantiles, remedies
from .estimates import shares, sixths, whole
from .known import Known
from .top_price import bound_of, money_said, say_bound, say_no_figure, set_price, worth_of

if TYPE_CHECKING:
    from ..values.types import (
        Argument,
        Cells,
        Deal,
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
        Totals,
        VisitFacts,
        WorkLine,
    )

WORST: Grade = "dangerous"
PERCENTS = [50, 80, 90]


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
            "expected": 0,
        }
        if offer.get("tips_at"):
            lines[offer["id"]]["pieces"] = offer["pieces"]
            lines[offer["id"]]["tips_at"] = offer["tips_at"]
        keyed.append((-sixths(offer["cost"]), offer["id"]))
    unpriced = [item for item in sorted(work["standing"]) if item not in covered]
    made = [lines[key[1]] for key in sorted(keyed)]
    expected = shares([sixths(line["cost"]) for line in made])
    for n, line in enumerate(made):
        line["expected"] = expected[n]
    return made, unpriced


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
        args["cost"] = money_said(line["expected"], currency)
        name = "argument"
        if judgment is not None and judgment["reasons"] and line["kind"] != "maintenance":
            name = "argument-why"
            args["why"] = {"said": judgment["reasons"][0]["said"]}
        arguments.append(
            {"item": line["item"], "said": said(name, args), "amount": line["expected"]}
        )
    return arguments


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


def _known(
    order: list[str],
    items: dict[str, ItemJudgment],
    rules: Rules,
    cells: Cells,
    settled: list[str],
    disputed: list[str],
    baseline: list[MaintenanceRow],
) -> Known:
    """What is known of the car: `settled` is mended or minded by nobody, `disputed` is asked."""
    known = Known(order, items, rules, cells)
    for item in disputed:
        known.dispute(item)
    for item in settled:
        known.settle(item)
    known.take_unproven(baseline)
    return known


def money(
    order: list[str],
    findings: list[str],
    items: dict[str, ItemJudgment],
    baseline: list[MaintenanceRow],
    rules: Rules,
    facts: VisitFacts,
    cells: Cells,
    deal: Deal,
) -> Money:
    """Cost, reserve and price of the car, all in whole units of the visit's currency."""
    rate, is_rate_assumed = hourly_rate(rules, facts)
    margin_amount, is_margin_assumed = margin(rules, facts)
    currency = regions.currency(facts)
    rates: Rates = {"rate": rate, "percent": remedies.percent(cells)}
    work = remedies.work(findings, items, baseline, rules, cells, rates)
    lines, unpriced = _lines(work)
    together, together_text = _together(rules)
    totals = _totals(lines, together)
    disputed = deal.get("disputed") or []
    known = _known(order, items, rules, cells, work["settled"], disputed, baseline)
    holds = charge.holds(order, known.fine, rules, work["stated"])
    held = charge.charge(holds, work["musts"], work, rules)
    named = _called_milder(order, items)
    kept = _keep_charged(held, named, findings, items, baseline, known, rules, cells, rates)
    held_back = reserve(held, totals["expected"], rules)
    value = visit_facts.whole(facts["brief"].get("value_good"))
    worth_factor = deal.get("worth_factor") or exact.ONE
    price: Price = {
        "value": value,
        "worth": worth_of(value, worth_factor),
        "bound": None,
        "margin": margin_amount,
        "asking": visit_facts.whole(facts["about"].get("asking_price")),
        "walk_away": None,
        "opening": None,
        "said": said("price-unknown"),
        "arguments": _arguments(lines, items, currency),
    }
    best_factor = deal.get("best_factor") or worth_factor
    price["bound"] = bound_of(known, [work] + ([kept] if kept else []), price, best_factor, rules)
    if deal.get("stopped"):
        price["said"] = said("price-stopped")
    else:
        # a grave fault that no work puts right is a reason to offer less, too
        grave = [item for item in unpriced if items[item]["grade"] in ("major", "dangerous")]
        is_cheaper = bool(deal.get("cheaper") or grave)
        seen_percent = known.share_percent()
        set_price(price, held_back["amount"], totals, seen_percent, currency, is_cheaper)
    say_no_figure(price, unpriced, rules)
    say_bound(price, currency)
    args: dict[str, SaidArgument] = {"set_aside": money_said(held_back["amount"], currency)}
    args["work"] = money_said(totals["expected"], currency)
    args["p80"] = money_said(totals["p80"], currency)
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
