"""What it will cost, what must be held back, and the price to walk away at.

The work is the cheapest set of needed remedies for all findings and of the maintenance that is
due, each job once. Its total is a distribution. What nobody looked at is a reserve of chance times
cost.
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


def _together(rules: Rules) -> tuple[float, str]:
    """The share of the spread that all lines have in common, as a figure and as it is written."""
    text = str((rules.get("money") or {}).get("costs_move_together", "0"))
    share = exact.figure(text) or exact.ZERO
    if exact.less(share, exact.ZERO) or exact.less(exact.ONE, share):
        return 0.0, "0"
    return exact.as_float(share), text


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


def _service(rows: list[Json], findings: list[str], offers: list[Json], rate: int) -> list[Json]:
    """Offers for the maintenance that is due; each also covers its own name, which is wanted.

    A remedy that a row names in `done_by` does that work as well: it covers the row's name and the
    finding that it is due, so that one job is never paid twice.
    """
    due = []
    for row in rows:
        if not row["due"]:
            continue
        name = "baseline/" + row["id"]
        own = [row["item"]] if row["item"] in findings else []
        covers = [name] + own
        for other in row["also"]:
            if other in findings and other not in covers:
                covers.append(other)
        due.append(
            {
                "id": name,
                "covers": covers,
                "cost": plan.price(row["parts"], row["hours"], rate, 0),
                "item": row["item"],
                "remedy": {"title": row["title"], "kind": "maintenance"},
            }
        )
        for offer in offers:
            if offer["id"] in row["done_by"]:
                for one in [name] + own:
                    if one not in offer["covers"]:
                        offer["covers"].append(one)
    return due


def _lines(
    findings: list[str], items: dict[str, Json], rows: list[Json], rules: Rules, rate: int
) -> tuple[list[Json], list[str]]:
    """The cheapest work for all findings and all due maintenance, dearest line first, and the
    findings that nothing puts right.
    """
    offers = _offers(findings, items, rules, rate)
    service = _service(rows, findings, offers, rate)
    due = [offer["id"] for offer in service]
    chosen = plan.cheapest(findings + due, offers + service)
    wanted = {}
    for name in chosen["chosen"]:
        wanted[name] = True
    keyed = []
    for offer in offers + service:
        if offer["id"] in wanted:
            remedy = offer["remedy"]
            expected = plan.whole(plan.sixths(offer["cost"]))
            line = {
                "id": offer["id"],
                "item": offer["item"],
                "covers": [one for one in offer["covers"] if one not in due],
                "title": remedy.get("title") or words.capital(words.plain(remedy["id"])),
                "kind": remedy["kind"],
                "cost": offer["cost"],
                "expected": expected,
            }
            keyed.append((-expected, offer["id"], line))
    return [key[2] for key in sorted(keyed)], chosen["uncovered"]


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
    "likely", "high", "expected", "p50", "p80", "p90"}, "together": share of the spread in common,
    "reserve", "price", "text"}.
    """
    rate, rate_assumed = _setting("hourly_rate", 60, rules, facts)
    margin, margin_assumed = _setting("margin", 300, rules, facts)
    currency = facts["about"].get("currency")
    currency = currency if isinstance(currency, str) else ""
    lines, unpriced = _lines(findings, items, baseline, rules, rate)
    sums = [0, 0, 0]
    sixths = 0
    for line in lines:
        for n in range(3):
            sums[n] += line["cost"][n]
        sixths += plan.sixths(line["cost"])
    together, together_text = _together(rules)
    found = chances.quantiles([tuple(line["cost"]) for line in lines], PERCENTS, together)
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
        "together": together_text,
        "reserve": held,
        "price": _price(totals, held["amount"], lines, items, given),
        "text": text,
    }
