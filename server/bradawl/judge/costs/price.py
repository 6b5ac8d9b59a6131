"""What it will cost, what must be held back, and the price to walk away at.

The work is what remedies.py chooses of the needed remedies, as edited at the desk, and of the
maintenance that is due. Its total is a distribution. What nobody looked at is a reserve of chance
times cost.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..decisions import next_checks
from ..record import regions, visit_facts
from ..values import amounts, exact
from ..values.saying import said
from . import quantiles, remedies
from .estimates import sixths, whole

if TYPE_CHECKING:
    from ..values.types import (
        Argument,
        Cells,
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
        keyed.append((-expected, offer["id"]))
    unpriced = [item for item in sorted(work["standing"]) if item not in covered]
    return [lines[key[1]] for key in sorted(keyed)], unpriced


def reserve(order: list[str], items: dict[str, ItemJudgment], rules: Rules) -> Reserve:
    """Chance times cost of every item that nobody looked at, the largest first."""
    total = exact.ZERO
    keyed = []
    rows: list[ReserveItem] = []
    for i, item in enumerate(order):
        unseen = rules["items"][item].get("unseen")
        if items[item]["state"] == "done" or not unseen:
            continue
        amount = next_checks.expected_cost(rules["items"][item])
        total = exact.add(total, amount)
        keyed.append((-exact.half_up(amount, 2), i, len(rows)))
        rows.append(
            {
                "item": item,
                "chance": str(unseen["chance"]),
                "cost": unseen["cost"],
                "amount": exact.half_up(amount, 0),
                "source": unseen.get("source", "assumption"),
            }
        )
    return {"amount": exact.half_up(total, 0), "items": [rows[key[2]] for key in sorted(keyed)]}


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


def _set_price(price: Price, totals: Totals, held_back: int, currency: str) -> None:
    """Fill in the walk-away price and the opening; without a value there are none."""
    value, asking = price["value"], price["asking"]
    if value is None:
        return
    walk_away = value - totals["p80"] - held_back - price["margin"]
    opening = value - totals["p90"] - held_back - price["margin"]
    if asking is not None and asking < opening:
        opening = asking
    if walk_away <= 0:
        price["walk_away"] = price["opening"] = 0
        price["said"] = said("price-none", {"over": _money(-walk_away, currency)})
        return
    opening = max(opening, 0)
    price["walk_away"], price["opening"] = walk_away, opening
    args: dict[str, SaidArgument] = {"top": _money(walk_away, currency)}
    args["opening"] = _money(opening, currency)
    price["said"] = said("price", args)
    if asking is not None:
        price["said"]["then"] = [said("price-asked", {"asking": _money(asking, currency)})]


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
) -> Money:
    """Cost, reserve and price of the car, all in whole units of the visit's currency."""
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
    unseen_reserve = reserve(order, items, rules)
    price: Price = {
        "value": visit_facts.whole(facts["brief"].get("value_good")),
        "margin": margin_amount,
        "asking": visit_facts.whole(facts["about"].get("asking_price")),
        "walk_away": None,
        "opening": None,
        "said": said("price-unknown"),
        "arguments": _arguments(lines, items, currency),
    }
    _set_price(price, totals, unseen_reserve["amount"], currency)
    args: dict[str, SaidArgument] = {"set_aside": _money(unseen_reserve["amount"], currency)}
    args["p50"], args["p80"] = _money(totals["p50"], currency), _money(totals["p80"], currency)
    assumed = ["hourly_rate"] if is_rate_assumed else []
    return {
        "currency": currency,
        "rate": rate,
        "assumed": assumed + (["margin"] if is_margin_assumed else []),
        "lines": lines,
        "unpriced": unpriced,
        "totals": totals,
        "together": together_text,
        "reserve": unseen_reserve,
        "price": price,
        "said": said("money", args),
    }
