"""The workbook: repairs, order of work and budget with live formulas; parts, ledger, work done."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from xlsxwriter.utility import xl_col_to_name

from bradawl.desk.model import findings
from bradawl.desk.model.exports.car_sheets import ledger_sheet, money_sheet, parts_sheet, work_sheet
from bradawl.desk.model.exports.sheets import Book, SheetWriter
from bradawl.desk.model.labels import fitness_text
from bradawl.desk.model.money.car import money_of
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.sheet_rows import (
    COLUMNS,
    NEEDS,
    PERIOD_COLUMNS,
    heading,
    plan_rows,
    word,
)
from bradawl.desk.model.plan.types import Plan
from bradawl.desk.model.visits.brief import percent_of
from bradawl.inspection.snapshot import Snapshot
from bradawl.language import current, text

HEAD = 10  # the row of the repairs sheet's headings
COSTS = ("cost-low", "cost-likely", "cost-high", "expected", "paid")


def plan_workbook(snapshot: Snapshot) -> bytes:
    """Everything about the money of a car, a sheet each."""
    plan = plan_of(snapshot)
    money = money_of(snapshot, plan)
    book = Book(plan.currency)
    repairs = book.sheet(text("desk-sheet-parts"))
    order = book.sheet(text("desk-sheet-order"))
    rows = _repairs_sheet(repairs, snapshot, plan)
    paid = _order_sheet(order, repairs, plan, rows)
    _period_sheet(book.sheet(text("desk-sheet-periods")), order, plan, paid)
    parts_sheet(book.sheet(text("desk-sheet-parts-list")), snapshot)
    ledger_sheet(book.sheet(text("desk-sheet-ledger")), money)
    work_sheet(book.sheet(text("desk-sheet-work")), snapshot)
    money_sheet(book.sheet(text("desk-sheet-actual")), money)
    return book.data()


def _rounded(value: Decimal) -> int:
    """As ROUND(x,0) does: half away from zero."""
    return int(value.quantize(Decimal(1), ROUND_HALF_UP))


def _headed(sheet: SheetWriter, row: int, keys: Sequence[str], widths: dict[str, int]) -> None:
    by_column = {n: widths[key] for n, key in enumerate(keys, start=1) if key in widths}
    sheet.headings(row, [heading(key) for key in keys], by_column)
    sheet.keys(row - 1, keys)


def _repairs_sheet(sheet: SheetWriter, snapshot: Snapshot, plan: Plan) -> list[list[Any]]:
    """The repairs; each row with its five costs, in the order of the sheet."""
    share = percent_of(snapshot)
    keys = (*COLUMNS, *COSTS)
    _headed(sheet, HEAD, keys, {"id": 30, "covers": 34, "title": 30})
    sheet.put(1, 1, findings.heading(snapshot)["car"], "title")
    sheet.put(2, 1, text("desk-path-brief-hourly-rate"))
    sheet.put(2, 2, plan.rate, "units")
    sheet.put(3, 1, text("desk-path-about-currency"))
    sheet.put(3, 2, plan.currency or current().currency)
    sheet.put(4, 1, text("desk-path-brief-originality"))
    sheet.put(4, 2, share / 100, "percent")
    rows = []
    for row, cells in enumerate(plan_rows(snapshot, plan), start=HEAD + 1):
        for column, value in enumerate(cells, start=1):
            shown = "units" if isinstance(value, int) else "hours"
            sheet.put(row, column, value, "" if isinstance(value, str) else shown)
        costs = _costs(cells, plan, share)
        for letter, part, hours, cost in zip("NOP", "GHI", "JKL", costs, strict=False):
            formula = f"=ROUND({part}{row}+{hours}{row}*$B$2,0)+ROUND($M{row}*$B$4,0)"
            sheet.formula(f"{letter}{row}", formula, cost, "units")
        expected = f"=ROUND((N{row}+4*O{row}+P{row})/6,0)"
        sheet.formula(f"Q{row}", expected, costs[3], "units")
        paid = f"=ROUND((G{row}+4*H{row}+I{row})/6,0)"  # hours of one's own send no bill
        if plan.labor_paid:
            paid = f"=Q{row}-ROUND($M{row}*$B$4,0)"
        sheet.formula(f"R{row}", paid, costs[4], "units")
        rows.append([*cells, *costs])
    _totals(sheet, rows)
    sheet.filters(HEAD, HEAD + len(rows), len(keys))
    sheet.sheet.freeze_panes(HEAD, 3)
    return rows


def _costs(cells: Sequence[Any], plan: Plan, share: int) -> list[int]:
    """Low, likely, high, expected and paid, as the formulas of the row have them."""
    parts = [Decimal(amount) for amount in cells[6:9]]
    counted = _rounded(Decimal(cells[12]) * share / 100)
    low, likely, high = (
        _rounded(amount + Decimal(str(hours)) * plan.rate) + counted
        for amount, hours in zip(parts, cells[9:12], strict=True)
    )
    expected = _rounded(Decimal(low + 4 * likely + high) / 6)
    paid = _rounded((parts[0] + 4 * parts[1] + parts[2]) / 6)
    return [low, likely, high, expected, expected - counted if plan.labor_paid else paid]


def _totals(sheet: SheetWriter, rows: Sequence[Sequence[Any]]) -> None:
    """Rows 5 to 8: needs, wants and all, low to expected."""
    last = HEAD + max(len(rows), 1)
    sums = [[0] * 4, [0] * 4]
    for row, need in enumerate(NEEDS, start=5):
        sheet.put(row, 1, text("desk-sheet-total-" + need))
        counted = [one for one in rows if one[4] == word(need) and one[5] == word("yes")]
        for n, letter in enumerate("NOPQ"):
            sums[row - 5][n] = sum(one[13 + n] for one in counted)
            formula = (
                f"=SUMIFS({letter}{HEAD + 1}:{letter}{last},E{HEAD + 1}:E{last},"
                f'"{word(need)}",F{HEAD + 1}:F{last},"{word("yes")}")'
            )
            sheet.formula(f"{xl_col_to_name(n + 1)}{row}", formula, sums[row - 5][n], "units")
    sheet.put(7, 1, text("desk-sheet-total-all"))
    for n, key in enumerate(COSTS[:4]):
        letter = xl_col_to_name(n + 1)
        sheet.formula(f"{letter}7", f"={letter}5+{letter}6", sums[0][n] + sums[1][n], "units")
        sheet.put(8, n + 2, heading(key))


def _order_sheet(
    sheet: SheetWriter, repairs: SheetWriter, plan: Plan, rows: Sequence[Sequence[Any]]
) -> list[tuple[str, int]]:
    """The jobs in their order; of each the period it falls into and what is paid."""
    keys = ("number", "job-id", "job", "class", "after", "when", "paid", "then")
    _headed(sheet, 2, keys, {"job-id": 30, "job": 34, "after": 34, "then": 34})
    titles = {job.id: job.title for job in plan.jobs}
    name, last = repairs.name, HEAD + max(len(rows), 1)
    paid_of: dict[str, int] = {}
    for cells in rows:
        paid_of.setdefault(cells[0], cells[-1])
    found = []
    for row, (job, step) in enumerate(zip(plan.jobs, plan.steps, strict=True), start=3):
        period = plan.spread["period"].get(job.id)
        when = "" if period is None else plan.periods[period]["name"]
        sheet.put(row, 1, row - 2)
        sheet.put(row, 2, job.id)
        sheet.put(row, 3, job.title)
        sheet.put(row, 4, text("desk-class-" + job.job_class))
        sheet.put(row, 5, ", ".join(titles[name] for name in job.after if name in titles))
        sheet.put(row, 6, when)
        formula = (
            f"=IFERROR(INDEX({name}!R{HEAD + 1}:R{last},"
            f"MATCH(B{row},{name}!A{HEAD + 1}:A{last},0)),0)"
        )
        sheet.formula(f"G{row}", formula, paid_of.get(job.id, 0), "units")
        sheet.put(row, 8, fitness_text(step))
        found.append((when, paid_of.get(job.id, 0)))
    sheet.filters(2, 2 + len(plan.jobs), len(keys))
    sheet.sheet.freeze_panes(2, 3)
    return found


def _period_sheet(
    sheet: SheetWriter, order: SheetWriter, plan: Plan, paid: Sequence[tuple[str, int]]
) -> None:
    _headed(sheet, 2, (*PERIOD_COLUMNS, "planned", "left"), {"period": 20})
    jobs, name, left = max(len(plan.jobs), 1) + 2, order.name, 0
    for row, period in enumerate(plan.periods, start=3):
        called = str(period["name"])
        planned = sum(amount for when, amount in paid if when and when == called)
        left += period["budget"] - planned
        sheet.put(row, 1, called)
        sheet.put(row, 2, period["budget"], "units")
        formula = f"=SUMIFS({name}!G3:G{jobs},{name}!F3:F{jobs},A{row})"
        sheet.formula(f"C{row}", formula, planned, "units")
        before = "" if row == 3 else f"+D{row - 1}"
        sheet.formula(f"D{row}", f"=B{row}-C{row}{before}", left, "units")
    sheet.sheet.freeze_panes(2, 1)
