"""The partner edition's money: work, reserve, price with its working, and the plan.

Reached only with an `EditionView.money`, which a condition edition does not have. Import only
after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from reportlab.platypus import Flowable, Spacer

from bradawl import language
from bradawl.inspection.cell_values import mapping
from bradawl.judge.costs import quantiles
from bradawl.judge.values import exact
from bradawl.language import text
from bradawl.report.layout import charts
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import Framed, KeptTogether, bold, link, table
from bradawl.report.layout.style import ACCENT
from bradawl.report.model.work_plan import MendOrReplace, PlannedJob, WorkPlan

__all__ = ["curve_points", "in_brief", "money"]

#: Writes an amount in the visit's currency.
MoneyText = Callable[[float], str]

_KINDS = ("mend", "part", "assembly", "maintenance")
_MOST_ARGUMENTS = 8
_MOST_RESERVE_ROWS = 20


def in_brief(page: PageContext) -> list[Flowable]:
    """The price in one framed sentence, for the first page."""
    money = page.view.money
    if money is None or not money.get("totals"):
        return []
    price = mapping(money.get("price"))
    inside = [page.plain(page.view.said(price), "strong")] if price else []
    working = link("money", page.say("report-money-working"))
    inside.append(page.paragraph(f"{page.markup(page.view.said(money))} {working}."))
    return [Framed(inside, color=ACCENT), Spacer(0, 4)]


def money(page: PageContext, plan: WorkPlan | None) -> list[Flowable]:
    """Cost, reserve, price and plan with all that they are made of."""
    money = page.view.money
    if money is None or not money.get("totals"):
        return []
    currency = page.text(money.get("currency") or "")  # charts print it as it comes

    def money_text(amount: float) -> str:
        return language.money(amount, currency)

    out = [
        *page.heading("money", text("report-money")),
        *_price(page, money, money_text),
        *_curve(page, money, money_text),
        *_lines(page, money, money_text),
        *_reserve(page, money, money_text),
    ]
    if plan is not None:
        out += _jobs(page, plan.jobs, money_text)
        out += _assemblies(page, plan.assemblies, money_text)
    return out


def _price(page: PageContext, money: Mapping[str, Any], money_text: MoneyText) -> list[Flowable]:
    price = mapping(money.get("price"))
    out: list[Flowable] = [page.plain(page.view.said(money))]
    rows = [
        [page.markup(label), _right(page, money_text(amount))]
        for label, amount in _price_rows(money, price)
    ]
    if rows:
        out.append(table([], rows, page.columns(0.45, 0.2)))
    out.append(page.plain(page.view.said(price), "strong"))
    out += _assumed(page, money, money_text)
    arguments = [page.view.said(entry) for entry in price.get("arguments") or []]
    if arguments:
        out.append(page.sentence("report-price-reasons", "h2"))
        out += [page.paragraph(f"• {page.markup(said)}") for said in arguments[:_MOST_ARGUMENTS]]
        rest = len(arguments) - _MOST_ARGUMENTS
        if rest > 0:
            out.append(page.sentence("report-price-reasons-more", "small", count=rest))
    return out


def _assumed(page: PageContext, money: Mapping[str, Any], money_text: MoneyText) -> list[Flowable]:
    """What the sums assume because nobody said it."""
    assumed = money.get("assumed") or []
    rate = money_text(int(money.get("rate") or 0))
    if "hourly_rate" not in assumed:
        return [page.sentence("report-assumed-margin", "small")] if "margin" in assumed else []
    said = "report-assumed-both" if "margin" in assumed else "report-assumed-rate"
    return [page.sentence(said, "small", rate=rate)]


def _price_rows(money: Mapping[str, Any], price: Mapping[str, Any]) -> list[tuple[str, int]]:
    """The price worked out line by line; nothing while nobody said what the car is worth."""
    if price.get("value") is None:
        return []
    amounts = [("value", price["value"])]
    worth = price.get("worth")
    if worth is not None and worth != price["value"]:
        amounts.append(("history", worth - price["value"]))
    amounts += [
        ("work", -int(mapping(money["totals"])["expected"])),
        ("unseen", -_reserve_amount(money)),
        ("cushion", -int(price.get("margin") or 0)),
    ]
    if price.get("walk_away") is not None:
        top = sum(amount for _, amount in amounts)
        amounts.append(("top" if top > 0 else "none", top))
        if price.get("opening") is not None and top > 0:
            amounts.append(("open", price["opening"]))
    if price.get("asking") is not None:
        amounts.append(("asking", price["asking"]))
    return [(text("report-price-" + name), amount) for name, amount in amounts]


def _reserve_amount(money: Mapping[str, Any]) -> int:
    return int(mapping(money.get("reserve")).get("amount") or 0)


def _right(page: PageContext, said: str) -> Flowable:
    return page.plain(said, "cell-right")


def curve_points(money: Mapping[str, Any]) -> list[tuple[float, float]]:
    """The total as a distribution: (amount, chance that it costs no more); none without spread.

    The same sum as the judge's own, with the share of the spread that all lines have in common.
    """
    costs = [(low, likely, high) for low, likely, high in (line["cost"] for line in money["lines"])]
    if not any(low < high for low, _, high in costs):
        return []
    percents = [1, *range(5, 100, 5), 99]
    totals = quantiles.quantiles(costs, percents, float(money.get("together") or 0))
    return [(float(total), percent / 100) for total, percent in zip(totals, percents, strict=True)]


def _curve(page: PageContext, money: Mapping[str, Any], money_text: MoneyText) -> list[Flowable]:
    points = curve_points(money)
    if not points:
        return []
    totals = mapping(money["totals"])
    chart = charts.curve(
        points,
        [(float(totals[f"p{percent}"]), f"P{percent}") for percent in (50, 80, 90)],
        width=page.width,
        x_title=text("report-chart-cost"),
        y_title=text("report-chart-cost-chance"),
        money_text=money_text,
    )
    explained = page.sentence("report-cost-curve-how", "small")
    return [KeptTogether([page.sentence("report-cost-curve", "h2"), chart, explained])]


def _lines(page: PageContext, money: Mapping[str, Any], money_text: MoneyText) -> list[Flowable]:
    """The table of work."""
    lines = list(money.get("lines") or [])
    out: list[Flowable] = page.subheading(text("report-repairs"))
    if not lines:
        return [*out, page.sentence("report-repairs-none")]
    rows = [
        [
            page.markup(page.view.title(line)),
            page.markup(", ".join(page.title_of(item) for item in _covered_items(line))),
            page.say("report-kind-" + line["kind"]) if line.get("kind") in _KINDS else "",
            *(_right(page, money_text(amount)) for amount in line["cost"]),
        ]
        for line in lines
    ]
    totals = mapping(money["totals"])
    sums = [_right(page, money_text(totals[name])) for name in ("low", "likely", "high")]
    rows.append([bold(page.say("report-repairs-all")), "", "", *sums])
    head = page.head("repair", "for", "kind", ">low", ">likely", ">high")
    out.append(table(head, rows, page.columns(0.28, 0.28, 0.11, 0.11, 0.11, 0.11)))
    unpriced = [page.title_of(item) for item in money.get("unpriced") or []]
    if unpriced:
        out.append(page.sentence("report-repairs-unpriced", "strong", titles=", ".join(unpriced)))
    return out


def _covered_items(line: Mapping[str, Any]) -> Sequence[str]:
    return line.get("covers") or ([line["item"]] if line.get("item") else [])


def _reserve(page: PageContext, money: Mapping[str, Any], money_text: MoneyText) -> list[Flowable]:
    """The table of what is held back for items that nobody looked at."""
    items = list(mapping(money.get("reserve")).get("items") or [])
    if not items:
        return []
    rows = [
        [
            page.markup(page.title_of(item["item"])),
            _right(page, _chance(item.get("chance") or "")),
            _right(page, money_text(int(item.get("amount") or 0))),
        ]
        for item in items[:_MOST_RESERVE_ROWS]
    ]
    rest = [int(item.get("amount") or 0) for item in items[_MOST_RESERVE_ROWS:]]
    if rest:
        smaller = page.say("report-unseen-money-rest", count=len(rest))
        rows.append([smaller, "", _right(page, money_text(sum(rest)))])
    total = _right(page, money_text(_reserve_amount(money)))
    rows.append([bold(page.say("report-unseen-money-all")), "", total])
    return [
        *page.subheading(text("report-unseen-money")),
        table(
            page.head("unseen", ">chance", ">amount"),
            rows,
            page.columns(0.56, 0.22, 0.22),
        ),
    ]


def _chance(share: str) -> str:
    """`0.25` as `25%`."""
    number = exact.parse(share)
    return "" if number is None else language.measure(exact.multiply(number, (100, 1)), "%")


def _jobs(page: PageContext, jobs: Sequence[PlannedJob], money_text: MoneyText) -> list[Flowable]:
    """The jobs of the plan in their order."""
    if not jobs:
        return []
    rows = [
        [
            str(number),
            page.markup(job.title),
            page.markup(job.why),
            page.markup(job.period or text("report-need" if job.need else "report-want")),
            _right(page, money_text(job.cost[1])),
        ]
        for number, job in enumerate(jobs, 1)
    ]
    return [
        *page.subheading(text("report-jobs")),
        page.sentence("report-jobs-order", "small"),
        table(
            ["", *page.head("job", "why", "when", ">likely")],
            rows,
            page.columns(0.05, 0.42, 0.21, 0.18, 0.14),
        ),
    ]


def _assemblies(
    page: PageContext, assemblies: Sequence[MendOrReplace], money_text: MoneyText
) -> list[Flowable]:
    """Mending piece by piece against whole assemblies: in one table, then those with a chart."""
    if not assemblies:
        return []
    rows = [[page.markup(one.title), page.markup(one.text)] for one in assemblies]
    return [
        *page.subheading(text("report-fix-or-replace")),
        table(page.head("assembly", "cheaper"), rows, page.columns(0.34, 0.66)),
        *(_assembly(page, one, money_text) for one in assemblies if len(one.by_count) > 1),
    ]


def _assembly(page: PageContext, assembly: MendOrReplace, money_text: MoneyText) -> Flowable:
    """What further failures do, as a chart."""
    by_count = [(float(n), float(low), float(high)) for n, low, high in assembly.by_count]
    chart = charts.tip_over(
        by_count, float(assembly.assembly), width=page.width, money_text=money_text
    )
    return KeptTogether([page.plain(assembly.title, "h2"), chart])
