"""The partner edition's money: work, reserve, price with its working, and the plan.

Reached only with a `Shared.money`, which a condition edition does not have. Import only after
`typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from reportlab.platypus import Spacer

from bradawl.judge.costs import quantiles
from bradawl.judge.values import amounts
from bradawl.report.layout import charts
from bradawl.report.layout.context import Desk
from bradawl.report.layout.flowables import Framed, table, together
from bradawl.report.layout.style import ACCENT
from bradawl.report.model.work_plan import Workplan

_KINDS = {"mend": "mend", "part": "part", "assembly": "assembly", "maintenance": "maintenance"}
_ASSUMED = {"hourly_rate": "the hourly rate", "margin": "the margin"}


def in_brief(desk: Desk) -> list[Any]:
    """The price in one framed sentence, for the first page."""
    money = desk.shared.money
    if money is None or not money.get("totals"):
        return []
    price = _mapping(money.get("price"))
    inside = [desk.p(desk.ink.markup(price.get("text") or ""), "strong")] if price else []
    inside.append(
        desk.p(
            f"{desk.ink.markup(money.get('text') or '')} "
            f'<a href="#money" color="{ACCENT}">The working</a>.'
        )
    )
    return [Framed(inside, colour=ACCENT), Spacer(0, 4)]


def money(desk: Desk, plan: Workplan | None) -> list[Any]:
    """Cost, reserve, price and plan with all that they are made of."""
    money = desk.shared.money
    if money is None or not money.get("totals"):
        return []
    said = _sayer(desk.ink.text(money.get("currency") or ""))  # charts print it as it comes
    out = desk.heading("money", "What it costs and what to pay")
    out += _price(desk, money, said)
    out += _curve(desk, money, said)
    out += _lines(desk, money, said)
    out += _reserve(desk, money, said)
    if plan is not None:
        out += _plan(desk, plan, said)
    return out


def _sayer(currency: str) -> Callable[[float], str]:
    return lambda amount: amounts.money_text(round(amount), currency)


def _mapping(value: object) -> Mapping[str, Any]:
    return value if isinstance(value, Mapping) else {}


def _price(desk: Desk, money: Mapping[str, Any], said: Callable[[float], str]) -> list[Any]:
    totals, price = _mapping(money["totals"]), _mapping(money.get("price"))
    held = int(_mapping(money.get("reserve")).get("amount") or 0)
    out: list[Any] = [desk.p(desk.ink.markup(money.get("text") or ""))]
    rows = []
    if price.get("value") is not None:
        rows = [
            ("A car that meets the brief is worth", price["value"]),
            ("less the work, at P80", -int(totals["p80"])),
            ("less the reserve for what nobody saw", -held),
            ("less the margin", -int(price.get("margin") or 0)),
        ]
        worked = sum(amount for _, amount in rows)
        rows.append(("Walk away above" if worked > 0 else "Worth it at no price", worked))
        if price.get("opening") is not None and worked > 0:
            rows.append(("Open at", price["opening"]))
        if price.get("asking") is not None:
            rows.append(("Asked", price["asking"]))
    if rows:
        ready = [[desk.ink.markup(label), _right(desk, said(amount))] for label, amount in rows]
        out.append(table([], ready, desk.columns(0.45, 0.2)))
    out.append(desk.p(desk.ink.markup(price.get("text") or ""), "strong"))
    assumed = [_ASSUMED[one] for one in money.get("assumed") or [] if one in _ASSUMED]
    if assumed:
        out.append(
            desk.p(
                f"Assumed, because the brief does not say: {' and '.join(assumed)} "
                f"(an hour at {desk.ink.markup(said(int(money.get('rate') or 0)))}).",
                "small",
            )
        )
    arguments = [one for one in price.get("arguments") or [] if one.get("text")]
    if arguments:
        out.append(desk.p("What argues for the price", "h2"))
        out += [desk.p(f"• {desk.ink.markup(one['text'])}") for one in arguments[:8]]
        if len(arguments) > 8:
            out.append(desk.p(f"{len(arguments) - 8} more are in the table of work.", "small"))
    return out


def _right(desk: Desk, text: str) -> Any:
    return desk.p(desk.ink.markup(text), "cell-right")


def curve_points(money: Mapping[str, Any]) -> list[tuple[float, float]]:
    """The total as a distribution: (amount, chance that it costs no more); none without spread.

    The same sum as the judge's own, with the share of the spread that all lines have in common.
    """
    costs = [(low, likely, high) for low, likely, high in (line["cost"] for line in money["lines"])]
    if not any(low < high for low, _, high in costs):
        return []
    percents = [1, *range(5, 100, 5), 99]
    amounts = quantiles.quantiles(costs, percents, float(money.get("together") or 0))
    return [
        (float(amount), percent / 100) for amount, percent in zip(amounts, percents, strict=True)
    ]


def _curve(desk: Desk, money: Mapping[str, Any], said: Callable[[float], str]) -> list[Any]:
    points = curve_points(money)
    if not points:
        return []
    totals = _mapping(money["totals"])
    marks = [(float(totals[f"p{percent}"]), f"P{percent}") for percent in (50, 80, 90)]
    chart = charts.curve(
        points,
        marks,
        width=desk.width,
        across="cost of the work",
        up="chance that it costs no more",
        money=said,
    )
    explained = desk.p(
        "P80 means: in four cases of five the work costs no more. Each line of work has a low, a "
        "likely and a high figure; the curve is their sum as a distribution, not a sum of guesses. "
        "A share of the spread is common to all lines: where prices are high, all are.",
        "small",
    )
    return [together([desk.p("How sure the cost is", "h2"), chart, explained])]


def _lines(desk: Desk, money: Mapping[str, Any], said: Callable[[float], str]) -> list[Any]:
    lines = list(money.get("lines") or [])
    out: list[Any] = desk.subheading("The work")
    if not lines:
        return [*out, desk.p("No work was found to be needed.")]
    rows = [
        [
            desk.ink.markup(line.get("title") or ""),
            desk.ink.markup(", ".join(desk.title_of(item) for item in _covers(line))),
            _KINDS.get(str(line.get("kind")), ""),
            *(_right(desk, said(amount)) for amount in line["cost"]),
        ]
        for line in lines
    ]
    totals = _mapping(money["totals"])
    rows.append(
        ["<b>All of it</b>", "", ""]
        + [_right(desk, said(totals[name])) for name in ("low", "likely", "high")]
    )
    head = ["Work", "For", "Kind", ">Low", ">Likely", ">High"]
    out.append(table(head, rows, desk.columns(0.28, 0.28, 0.11, 0.11, 0.11, 0.11)))
    unpriced = [desk.title_of(item) for item in money.get("unpriced") or []]
    if unpriced:
        out.append(desk.p(f"Not priced: {desk.ink.markup(', '.join(unpriced))}.", "strong"))
    return out


def _covers(line: Mapping[str, Any]) -> Sequence[str]:
    covers = line.get("covers") or []
    return covers or ([line["item"]] if line.get("item") else [])


def _reserve(desk: Desk, money: Mapping[str, Any], said: Callable[[float], str]) -> list[Any]:
    reserve = _mapping(money.get("reserve"))
    items = list(reserve.get("items") or [])
    if not items:
        return []
    shown = items[:20]
    rows = [
        [
            desk.ink.markup(desk.title_of(one["item"])),
            _right(desk, desk.ink.text(one.get("chance") or "")),
            _right(desk, said(int(one.get("amount") or 0))),
            desk.ink.markup(one.get("source") or ""),
        ]
        for one in shown
    ]
    rest = items[len(shown) :]
    if rest:
        left = sum(int(one.get("amount") or 0) for one in rest)
        rows.append([f"{len(rest)} smaller ones", "", _right(desk, said(left)), ""])
    rows.append(["<b>Reserve</b>", "", _right(desk, said(int(reserve.get("amount") or 0))), ""])
    head = ["Nobody looked at", ">Chance of a fault", ">Held back", "The chance is"]
    return [
        *desk.subheading("The reserve for what was not seen"),
        table(head, rows, desk.columns(0.44, 0.18, 0.18, 0.20)),
    ]


def _plan(desk: Desk, plan: Workplan, said: Callable[[float], str]) -> list[Any]:
    out: list[Any] = []
    if plan.jobs:
        rows = [
            [
                str(at),
                desk.ink.markup(job.title),
                desk.ink.markup(job.why),
                desk.ink.markup(job.period or ("need" if job.need else "want")),
                _right(desk, said(job.cost[1])),
            ]
            for at, job in enumerate(plan.jobs, 1)
        ]
        out += desk.subheading("The order of work")
        out.append(
            desk.p(
                "Danger first, then reliability, then what stops decay, then comfort and looks; "
                "and nothing before what it needs.",
                "small",
            )
        )
        head = ["", "Work", "Why here", "When", ">Likely"]
        out.append(table(head, rows, desk.columns(0.05, 0.42, 0.21, 0.18, 0.14)))
    for tip in plan.tips:
        block: list[Any] = [
            desk.p(f"Mend or replace: {desk.ink.markup(tip.title)}", "h2"),
            desk.p(desk.ink.markup(tip.said)),
        ]
        if len(tip.by_count) > 1:
            counted = [(float(n), float(low), float(high)) for n, low, high in tip.by_count]
            block.append(
                charts.tip_over(counted, float(tip.assembly), width=desk.width, money=said)
            )
        out.append(together(block))
    return out
