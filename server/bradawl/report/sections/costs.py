"""The partner edition's money: work, reserve, price with its working, and the plan.

Reached only with an `EditionView.money`, which a condition edition does not have. Import only
after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from markupsafe import Markup
from reportlab.platypus import Flowable

from bradawl import language
from bradawl.inspection import paying_less
from bradawl.inspection.cell_values import mapping
from bradawl.judge.costs import quantiles
from bradawl.judge.values import exact
from bradawl.language import text
from bradawl.language.tongues import joined
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.drawing import charts
from bradawl.report.layout.flowables import Anchor, KeptTogether, bold, figures_table, link, table
from bradawl.report.layout.grids import Grid, Padding
from bradawl.report.layout.style import COLUMN_WIDTH, GREY, GUTTER
from bradawl.report.model.texts import grade_word
from bradawl.report.model.work.plan import MendOrReplace, PlannedJob, WorkPlan

__all__ = ["curve_points", "in_brief", "money"]

#: Writes an amount in the visit's currency.
MoneyText = Callable[[float], str]

_KINDS = ("mend", "part", "assembly", "paper", "maintenance")
_MOST_RESERVE_ROWS = 20


def in_brief(page: PageContext) -> list[Flowable]:
    """One table of the price, from worth to offer, with what argues for paying less."""
    money = page.view.money
    if money is None or not money.get("totals"):
        return []
    money_text = _money_text(page, money)
    price = mapping(money.get("price"))
    rows = [
        [_strong_where(name in _ENDS, page, label), _right(page, money_text(amount))]
        for name, label, amount in _price_rows(page, money, price)
    ]
    working = link("money", page.say("report-money-working"))
    told = [page.view.said(price), page.view.said(money)] if price else [page.view.said(money)]
    told = [*_as_bought(page, money_text), *told]
    right: list[Flowable] = [page.paragraph(f"{page.markup(' '.join(told))} {working}.", "row")]
    right += _argument_sums(page, money)
    out: list[Flowable] = [Anchor("price"), page.sentence("report-price", "h2")]
    if not rows:
        return [KeptTogether([*out, *right])]
    left: list[Flowable] = [figures_table(rows, [_LABEL, COLUMN_WIDTH + GUTTER - _LABEL])]
    widths = [COLUMN_WIDTH + 2 * GUTTER, page.width - COLUMN_WIDTH - 2 * GUTTER]
    beside = Grid([[left, right]], widths, (Padding(right=GUTTER), Padding(top=2)))
    return [KeptTogether([*out, beside])]


_LABEL = 128.0
#: The lines of the price that one wants to see first.
_ENDS = ("top", "none", "open")


def _strong_where(strong: bool, page: PageContext, label: str) -> str:
    said = page.markup(label)
    return str(bold(said)) if strong else said


def _money_text(page: PageContext, money: Mapping[str, Any]) -> MoneyText:
    currency = page.text(money.get("currency") or "")  # charts print it as it comes
    return lambda amount: language.money(amount, currency)


def _estimate_text(page: PageContext, money: Mapping[str, Any]) -> MoneyText:
    """Writes an estimate, rounded for the eye; the price worked out line by line stays exact."""
    currency = page.text(money.get("currency") or "")
    return lambda amount: language.about(round(amount * 100), currency)


def _argument_sums(page: PageContext, money: Mapping[str, Any]) -> list[Flowable]:
    """What speaks for paying less, as sums of its groups; the reasons stand in `money`."""
    sums = [_group_title(page, money, group) for group in _groups(page, money)]
    if not sums:
        return []
    title = bold(page.say("report-price-reasons"))
    return [page.paragraph(f"{title}: {page.markup(' · '.join(sums))}", "row")]


def _arguments(page: PageContext, money: Mapping[str, Any]) -> list[Flowable]:
    """What speaks for paying less: a paragraph for each group, its sum first."""
    groups = _groups(page, money)
    if not groups:
        return []
    out: list[Flowable] = [page.sentence("report-price-reasons", "h2")]
    for group in groups:
        told = [
            text("report-price-reason-at", said=_sentence(reason.said), where=reason.where)
            if reason.where
            else _sentence(reason.said)
            for reason in group.reasons
        ]
        title = bold(page.markup(_group_title(page, money, group)))
        out.append(page.paragraph(f"{title}: {page.markup(' '.join(told))}", "row"))
    return out


def _groups(page: PageContext, money: Mapping[str, Any]) -> list[paying_less.PriceGroup]:
    """The groups of reasons that have any."""
    view = page.view

    def where(item: str) -> str:
        reasons = view.judgment_of(item).get("reasons", [])
        return paying_less.where_of(item, reasons, view.cells, view.bundle["items"])

    every = paying_less.groups(money, view.texts, where, view.said)
    return [group for group in every if group.reasons]


def _group_title(page: PageContext, money: Mapping[str, Any], group: paying_less.PriceGroup) -> str:
    return text(
        "report-price-reasons-group",
        group=group.title,
        amount=_estimate_text(page, money)(group.amount),
        count=len(group.reasons),
    )


def _sentence(said: str) -> str:
    return said if said.endswith((".", "!", "?")) else said + "."


def money(page: PageContext, plan: WorkPlan | None) -> list[Flowable]:
    """Cost, reserve and plan with all that they are made of."""
    money = page.view.money
    if money is None or not money.get("totals"):
        return []
    money_text, estimate_text = _money_text(page, money), _estimate_text(page, money)
    out = [
        *page.heading("money", text("report-money")),
        *_assumed(page, money, money_text),
        *_arguments(page, money),
        *_curve(page, money, money_text),
        *_lines(page, money, estimate_text),
        *_reserve(page, money, money_text),
    ]
    if plan is not None:
        out += _jobs(page, plan.jobs, estimate_text)
        out += _assemblies(page, plan.assemblies, money_text)
    return out


def _assumed(page: PageContext, money: Mapping[str, Any], money_text: MoneyText) -> list[Flowable]:
    """What the sums assume because nobody said it."""
    assumed = money.get("assumed") or []
    rate = money_text(int(money.get("rate") or 0))
    if "hourly_rate" not in assumed:
        return [page.sentence("report-assumed-margin", "small")] if "margin" in assumed else []
    said = "report-assumed-both" if "margin" in assumed else "report-assumed-rate"
    return [page.sentence(said, "small", rate=rate)]


def _as_bought(page: PageContext, money_text: MoneyText) -> list[str]:
    """That the price is the one of the purchase, or of the time before the work."""
    bought = page.view.bought
    if bought is None:
        return []
    if not bought.day:
        return [text("report-price-before-work")]
    return [text("report-price-as-bought", date=language.date(bought.day, long=True))]


def _price_rows(
    page: PageContext, money: Mapping[str, Any], price: Mapping[str, Any]
) -> list[tuple[str, str, int]]:
    """The price worked out line by line, each with its name and label; the lines add up.

    Nothing while nobody said what the car is worth.
    """
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
    bought = page.view.bought
    if bought is not None and bought.price_cents is not None:
        amounts.append(("paid", (bought.price_cents + 50) // 100))
    return [(name, text("report-price-" + name), amount) for name, amount in amounts]


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
        width=page.column,
        money_text=money_text,
    )
    explained = page.sentence("report-cost-curve-how", "small")
    return [KeptTogether([page.sentence("report-cost-curve", "h2"), *chart, explained])]


def _lines(page: PageContext, money: Mapping[str, Any], estimate_text: MoneyText) -> list[Flowable]:
    """The table of work."""
    lines = list(money.get("lines") or [])
    if not lines:
        title = page.plain(text("report-repairs"), "h2")
        return [KeptTogether([title, page.sentence("report-repairs-none")])]
    rows = [
        [
            _titled(page, line),
            _right(page, estimate_text(line["cost"][1])),
            _right(page, _range(line["cost"], estimate_text)),
        ]
        for line in lines
    ]
    totals = mapping(money["totals"])
    whole = [totals[name] for name in ("low", "likely", "high")]
    sums = [_right(page, estimate_text(whole[1])), _right(page, _range(whole, estimate_text))]
    rows.append([str(bold(page.say("report-repairs-all"))), *sums])
    head = page.head("repair", ">likely", ">range")
    shown = table(head, rows, [page.column - 94, 36, 58])
    out: list[Flowable] = [page.plain(text("report-repairs"), "h2"), shown]
    unpriced = [page.title_of(item) for item in money.get("unpriced") or []]
    if unpriced:
        out.append(
            page.sentence("report-repairs-unpriced", "strong", titles=joined(", ", unpriced))
        )
    return out


def _titled(page: PageContext, line: Mapping[str, Any]) -> str:
    """A repair, what kind it is and what it is for, unless its title says so."""
    title = page.view.title(line)
    kind = text("report-kind-" + line["kind"]) if line.get("kind") in _KINDS else ""
    covered = [page.title_of(item) for item in _covered_items(line)]
    more = [kind, *(one for one in covered if one.casefold() not in title.casefold())]
    grey = Markup('{} <font color="{}">{}</font>')  # markup: not shown
    said = page.markup(", ".join(one for one in more if one))
    return str(grey.format(Markup(page.markup(title)), GREY, Markup(said)))


def _range(cost: Sequence[int], money_text: MoneyText) -> str:
    """From the lowest to the highest."""
    return text("report-range", low=money_text(cost[0]), high=money_text(cost[2]))


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
    head = [grade_word("uninspected"), *page.head(">chance", ">amount")]
    shown = table(head, rows, [page.column - 82, 38, 44])
    return [page.plain(text("report-unseen-money"), "h2"), shown]


def _chance(share: str) -> str:
    """`0.25` as `25%`."""
    number = exact.parse(share)
    return "" if number is None else language.measure(exact.multiply(number, (100, 1)), "%")


def _jobs(
    page: PageContext, jobs: Sequence[PlannedJob], estimate_text: MoneyText
) -> list[Flowable]:
    """The jobs of the plan in their order."""
    if not jobs:
        return []
    grey = Markup('{} {} <font color="{}">{}</font>')  # markup: not shown
    rows = [
        [
            str(
                grey.format(
                    bold(str(number)),
                    Markup(page.markup(job.title)),
                    GREY,
                    page.say(
                        "report-job-why",
                        why=job.why,
                        when=job.period or text("report-need" if job.need else "report-want"),
                    ),
                )
            ),
            _right(page, estimate_text(job.cost[1])),
        ]
        for number, job in enumerate(jobs, 1)
    ]
    shown = table(page.head("job", ">likely"), rows, [page.column - 44, 44])
    order = page.sentence("report-jobs-order", "small")
    return [page.plain(text("report-jobs"), "h2"), order, shown]


def _assemblies(
    page: PageContext, assemblies: Sequence[MendOrReplace], money_text: MoneyText
) -> list[Flowable]:
    """Mending piece by piece against whole assemblies: in one table, then those with a chart."""
    if not assemblies:
        return []
    out: list[Flowable] = [page.plain(text("report-fix-or-replace"), "h2")]
    for assembly in assemblies:
        title = bold(page.markup(assembly.title))
        said = page.sentence("report-sound-line", "row", title=title, text=assembly.text)
        chart = _assembly(page, assembly, money_text) if len(assembly.by_count) > 1 else []
        out.append(KeptTogether([said, *chart]))
    return out


def _assembly(page: PageContext, assembly: MendOrReplace, money_text: MoneyText) -> list[Flowable]:
    """What further failures do, as a chart."""
    by_count = [(float(n), float(low), float(high)) for n, low, high in assembly.by_count]
    chart = charts.tip_over(
        by_count, float(assembly.assembly), width=page.column, money_text=money_text
    )
    return chart
