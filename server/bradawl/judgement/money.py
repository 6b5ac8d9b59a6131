"""What it will cost, what must be held back, and the price to walk away at.

The work is the cheapest set of needed remedies for all findings, with the maintenance that is
due. Its total is a distribution. What nobody looked at is a reserve of chance times cost.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from . import attention, chances, exact, plan, visit, words

if TYPE_CHECKING:
    from .shapes import Json, Rules

PERCENTS = [50, 80, 90]


def _setting(name: str, default: int, rules: Rules, facts: Json) -> tuple[int, bool]:
    """(the figure, whether it is assumed): the brief's own, else the checklist's."""
    told = visit.whole(facts["brief"].get(name))
    if told is not None and told >= 0:
        return told, False
    assumed = visit.whole((rules.get("money") or {}).get(name))
    return (assumed if assumed is not None else default), True


def _usable(remedies: list[Json], grade: str) -> list[Json]:
    """The needed remedies for the grade; all needed ones where a combination raised it."""
    needed = [one for one in remedies if one.get("need", True) in (True, "true")]
    fit = [one for one in needed if grade in one["for"]]
    return fit or (needed if grade == "dangerous" else [])


def _offers(findings: list[str], items: dict[str, Json], rules: Rules, rate: int) -> list[Json]:
    """Every remedy that puts a finding right: {"id", "covers", "cost", "item", "remedy"}."""
    offers = []
    for item in findings:
        for remedy in _usable(rules["items"][item].get("remedies") or [], items[item]["grade"]):
            covers = [item]
            for other in remedy.get("also") or []:
                if other in findings and other not in covers:
                    covers.append(other)
            cost = plan.price(remedy["parts"], remedy["hours"], rate, 0)
            offers.append(
                {
                    "id": item + "/" + remedy["id"],
                    "covers": covers,
                    "cost": cost,
                    "item": item,
                    "remedy": remedy,
                }
            )
    return offers


def _lines(
    findings: list[str], items: dict[str, Json], rules: Rules, rate: int
) -> tuple[list[Json], list[str]]:
    """The chosen remedies, dearest first, and the findings without a needed remedy."""
    offers = _offers(findings, items, rules, rate)
    chosen = plan.cheapest(findings, offers)
    wanted = {}
    for name in chosen["chosen"]:
        wanted[name] = True
    lines = []
    for offer in offers:
        if offer["id"] in wanted:
            remedy = offer["remedy"]
            lines.append(
                {
                    "id": offer["id"],
                    "item": offer["item"],
                    "covers": offer["covers"],
                    "title": remedy.get("title") or words.capital(words.plain(remedy["id"])),
                    "kind": remedy["kind"],
                    "cost": offer["cost"],
                    "expected": plan.whole(plan.sixths(offer["cost"])),
                }
            )
    return lines, chosen["uncovered"]


def _maintenance(rows: list[Json], findings: list[str], rate: int) -> list[Json]:
    """What is due; it also puts right the finding that it is due."""
    lines = []
    for row in rows:
        cost = plan.price(row["parts"], row["hours"], rate, 0)
        if row["due"]:
            lines.append(
                {
                    "id": "baseline/" + row["id"],
                    "item": row["item"],
                    "covers": [row["item"]] if row["item"] in findings else [],
                    "title": row["title"],
                    "kind": "maintenance",
                    "cost": cost,
                    "expected": plan.whole(plan.sixths(cost)),
                }
            )
    return lines


def reserve(order: list[str], items: dict[str, Json], rules: Rules) -> Json:
    """{"amount", "items": [{"item", "chance", "cost", "amount", "source"}]}, largest first."""
    total = exact.ZERO
    keyed = []
    for i, item in enumerate(order):
        unseen = rules["items"][item].get("unseen")
        if items[item]["state"] == "done" or not unseen:
            continue
        amount = attention.expected_cost(rules["items"][item])
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
        cost = words.money(line["expected"], currency)
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
            words.money(-walk_away, currency)
        )
        walk_away = opening = 0
    else:
        opening = max(opening, 0)
        text = "Walk away above %s; open at %s." % (
            words.money(walk_away, currency),
            words.money(opening, currency),
        )
        if asking is not None:
            text = text + " Asked: %s." % words.money(asking, currency)
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
) -> Json:
    """Cost, reserve and price of the car, all in whole units of the visit's currency.

    {"currency", "rate", "assumed": [names], "lines", "unpriced": [items], "totals": {"low",
    "likely", "high", "expected", "p50", "p80", "p90"}, "reserve", "price", "text"}.
    """
    rate, rate_assumed = _setting("hourly_rate", 60, rules, facts)
    margin, margin_assumed = _setting("margin", 300, rules, facts)
    currency = facts["about"].get("currency")
    currency = currency if isinstance(currency, str) else ""
    work, unpriced = _lines(findings, items, rules, rate)
    service = _maintenance(baseline, findings, rate)
    priced = [item for line in service for item in line["covers"]]
    unpriced = [item for item in unpriced if item not in priced]
    keyed = [(-line["expected"], line["id"], line) for line in work + service]
    lines = [key[2] for key in sorted(keyed)]
    sums = [0, 0, 0]
    sixths = 0
    for line in lines:
        for n in range(3):
            sums[n] += line["cost"][n]
        sixths += plan.sixths(line["cost"])
    found = chances.quantiles([tuple(line["cost"]) for line in lines], PERCENTS)
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
    given = {
        "value": visit.whole(facts["brief"].get("value_good")),
        "margin": margin,
        "asking": visit.whole(facts["about"].get("asking_price")),
        "currency": currency,
    }
    assumed = []
    if rate_assumed:
        assumed.append("hourly_rate")
    if margin_assumed:
        assumed.append("margin")
    text = "Work about %s, with four chances in five not over %s; %s held for what nobody saw." % (
        words.money(totals["p50"], currency),
        words.money(totals["p80"], currency),
        words.money(held["amount"], currency),
    )
    return {
        "currency": currency,
        "rate": rate,
        "assumed": assumed,
        "lines": lines,
        "unpriced": unpriced,
        "totals": totals,
        "reserve": held,
        "price": _price(totals, held["amount"], lines, items, given),
        "text": text,
    }
