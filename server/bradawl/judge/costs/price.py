"""What it will cost, what must be held back, and the price to walk away at.

The work is what remedies.py chooses of the needed remedies, as edited at the desk, and of the
maintenance that is due. Its total is a distribution. What nobody looked at is a reserve of chance
times cost.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..decisions import next_checks
from ..record import visit_facts
from ..values import amounts, exact, words
from . import plan, quantiles, remedies

if TYPE_CHECKING:
    from ..values.types.loose import Cells, Json, Rules

PERCENTS = [50, 80, 90]


def _setting(name: str, default: int, rules: Rules, facts: Json) -> tuple[int, bool]:
    """(the figure, whether it is assumed): the brief's own, else the checklist's."""
    told = visit_facts.whole(facts["brief"].get(name))
    if told is not None and told >= 0:
        return told, False
    assumed = visit_facts.whole((rules.get("money") or {}).get(name))
    return (assumed if assumed is not None else default), True


def _together(rules: Rules) -> tuple[float, str]:
    """The share of the spread that all lines have in common, as a figure and as it is written."""
    text = str((rules.get("money") or {}).get("costs_move_together", "0"))
    share = exact.figure(text) or exact.ZERO
    if exact.less(share, exact.ZERO) or exact.less(exact.ONE, share):
        return 0.0, "0"
    return exact.as_float(share), text


def _lines(work: Json) -> tuple[list[Json], list[str]]:
    """The needed work, dearest line first, and the findings that no needed work puts right."""
    keyed = []
    covered = {}
    for offer in work["offers"] + work["due"]:
        if work["chosen"].get(offer["id"]):
            expected = plan.whole(plan.sixths(offer["cost"]))
            covers = [one for one in offer["covers"] if one in work["standing"]]
            for one in covers:
                covered[one] = True
            line = {
                "id": offer["id"],
                "item": offer["item"],
                "covers": covers,
                "title": offer["title"] or words.capital(words.plain(offer["id"].split("/")[1])),
                "kind": offer["kind"],
                "cost": offer["cost"],
                "expected": expected,
            }
            keyed.append((-expected, offer["id"], line))
    unpriced = [one for one in sorted(work["standing"]) if one not in covered]
    return [key[2] for key in sorted(keyed)], unpriced


def reserve(order: list[str], items: dict[str, Json], rules: Rules) -> Json:
    """{"amount", "items": [{"item", "chance", "cost", "amount", "source"}]}, largest first."""
    total = exact.ZERO
    keyed = []
    for i, item in enumerate(order):
        unseen = rules["items"][item].get("unseen")
        if items[item]["state"] == "done" or not unseen:
            continue
        amount = next_checks.expected_cost(rules["items"][item])
        total = exact.add(total, amount)
        row = {
            "item": item,
            "chance": str(unseen["chance"]),
            "cost": unseen["cost"],
            "amount": exact.half_up(amount, 0),
            "source": unseen.get("source", "assumption"),
        }
        keyed.append((-exact.half_up(amount, 2), i, item, row))
    rows = [key[3] for key in sorted(keyed)]
    return {"amount": exact.half_up(total, 0), "items": rows}


def _price(totals: Json, held: int, lines: list[Json], items: dict[str, Json], given: Json) -> Json:
    """Walk-away price, opening figure and the findings that argue for them."""
    value, margin, asking, currency = (
        given["value"],
        given["margin"],
        given["asking"],
        given["currency"],
    )
    arguments = []
    for line in lines:
        judged = items.get(line["item"])
        why = ""
        if judged is not None and judged["reasons"] and line["kind"] != "maintenance":
            why = judged["reasons"][0]["text"]
        cost = amounts.money_text(line["expected"], currency)
        text = "%s, about %s. %s" % (line["title"], cost, why)
        arguments.append(
            {"item": line["item"], "text": text.rstrip(" "), "amount": line["expected"]}
        )
    if value is None:
        text = "Say what a car that meets the brief is worth, and the price follows."
        return {
            "value": None,
            "margin": margin,
            "asking": asking,
            "walk_away": None,
            "opening": None,
            "text": text,
            "arguments": arguments,
        }
    walk_away = value - totals["p80"] - held - margin
    opening = value - totals["p90"] - held - margin
    if asking is not None and asking < opening:
        opening = asking
    if walk_away <= 0:
        text = "Worth it at no price: work, reserve and margin come to %s more than its value." % (
            amounts.money_text(-walk_away, currency)
        )
        walk_away = opening = 0
    else:
        opening = max(opening, 0)
        text = "Walk away above %s; open at %s." % (
            amounts.money_text(walk_away, currency),
            amounts.money_text(opening, currency),
        )
        if asking is not None:
            text = text + " Asked: %s." % amounts.money_text(asking, currency)
    return {
        "value": value,
        "margin": margin,
        "asking": asking,
        "walk_away": walk_away,
        "opening": opening,
        "text": text,
        "arguments": arguments,
    }


def money(
    order: list[str],
    findings: list[str],
    items: dict[str, Json],
    baseline: list[Json],
    rules: Rules,
    facts: Json,
    cells: Cells,
) -> Json:
    """Cost, reserve and price of the car, all in whole units of the visit's currency.

    {"currency", "rate", "assumed": [names], "lines", "unpriced": [items], "totals": {"low",
    "likely", "high", "expected", "p50", "p80", "p90"}, "together": share of the spread in common,
    "reserve", "price", "text"}.
    """
    rate, rate_assumed = _setting("hourly_rate", amounts.DEFAULT_HOURLY_RATE, rules, facts)
    margin, margin_assumed = _setting("margin", amounts.DEFAULT_MARGIN, rules, facts)
    currency = facts["about"].get("currency")
    currency = currency if isinstance(currency, str) else ""
    given = {"rate": rate, "percent": remedies.percent(cells)}
    lines, unpriced = _lines(remedies.work(findings, items, baseline, rules, cells, given))
    sums = [0, 0, 0]
    sixths = 0
    for line in lines:
        for n in range(3):
            sums[n] += line["cost"][n]
        sixths += plan.sixths(line["cost"])
    together, together_text = _together(rules)
    found = quantiles.quantiles([tuple(line["cost"]) for line in lines], PERCENTS, together)
    totals: dict[str, Any] = {
        "low": sums[0],
        "likely": sums[1],
        "high": sums[2],
        "expected": plan.whole(sixths),
        "p50": found[0],
        "p80": found[1],
        "p90": found[2],
    }
    held = reserve(order, items, rules)
    asked = {
        "value": visit_facts.whole(facts["brief"].get("value_good")),
        "margin": margin,
        "asking": visit_facts.whole(facts["about"].get("asking_price")),
        "currency": currency,
    }
    assumed = []
    if rate_assumed:
        assumed.append("hourly_rate")
    if margin_assumed:
        assumed.append("margin")
    text = "Work about %s, with four chances in five not over %s; %s held for what nobody saw." % (
        amounts.money_text(totals["p50"], currency),
        amounts.money_text(totals["p80"], currency),
        amounts.money_text(held["amount"], currency),
    )
    return {
        "currency": currency,
        "rate": rate,
        "assumed": assumed,
        "lines": lines,
        "unpriced": unpriced,
        "totals": totals,
        "together": together_text,
        "reserve": held,
        "price": _price(totals, held["amount"], lines, items, asked),
        "text": text,
    }
