"""The plan as a workbook: parts sheet, order of work and budget periods, with live formulas."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from bradawl.common.display_text import for_cell
from bradawl.desk.model import findings
from bradawl.desk.model.labels import fitness_text
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
from bradawl.language import currency_sign, current, text


def plan_workbook(snapshot: Snapshot) -> bytes:
    """Parts sheet, order of work and budget periods, with live formulas for every figure."""
    plan = plan_of(snapshot)
    book = Workbook()
    parts = book.active
    assert isinstance(parts, Worksheet)
    parts.title = text("desk-sheet-parts")
    order = book.create_sheet(text("desk-sheet-order"))
    last = _parts_sheet(parts, snapshot, plan)
    _order_sheet(order, parts, plan, last)
    _period_sheet(book.create_sheet(text("desk-sheet-periods")), order, plan)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _put(sheet: Worksheet, row: int, column: int, value: Any) -> None:
    cell = sheet.cell(row, column, for_cell(value) if isinstance(value, str) else value)
    if isinstance(value, str):
        cell.data_type = "s"  # a text that begins like a formula stays a text


def _formula(sheet: Worksheet, row: int, column: int, formula: str, shown: str = "") -> None:
    cell = sheet.cell(row, column, formula)
    cell.data_type = "f"
    if shown:
        cell.number_format = shown


def _headings(sheet: Worksheet, row: int, keys: Sequence[str], widths: Mapping[str, int]) -> None:
    """The headings, and in a hidden row above them their keys, by which an import knows them."""
    for column, key in enumerate(keys, start=1):
        sheet.cell(row - 1, column, key)
        cell = sheet.cell(row, column, heading(key))
        cell.font = Font(bold=True)
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        sheet.column_dimensions[get_column_letter(column)].width = widths.get(key, 11)
    sheet.row_dimensions[row - 1].hidden = True


def _money_format(plan: Plan) -> str:
    """How the workbook shows amounts: `"$"#,##0`."""
    sign = currency_sign(plan.currency or current().currency).replace('"', "")
    return f'"{sign}"#,##0'


def _ref(sheet: Worksheet) -> str:
    """A sheet's name within a formula."""
    return "'" + sheet.title.replace("'", "''") + "'"


HEAD = 10  # the row of the parts sheet's headings


def _parts_sheet(sheet: Worksheet, snapshot: Snapshot, plan: Plan) -> int:
    """The parts sheet; the last row's number. Columns N to R are formulas."""
    _put(sheet, 1, 1, findings.heading(snapshot)["car"])
    sheet["A1"].font = Font(bold=True, size=14)
    shown = _money_format(plan)
    _put(sheet, 2, 1, text("desk-path-brief-hourly-rate"))
    sheet.cell(2, 2, plan.rate).number_format = shown
    _put(sheet, 3, 1, text("desk-path-about-currency"))
    _put(sheet, 3, 2, plan.currency or current().currency)
    _put(sheet, 4, 1, text("desk-path-brief-originality"))
    sheet.cell(4, 2, percent_of(snapshot) / 100).number_format = "0%"
    costs = ("cost-low", "cost-likely", "cost-high", "expected", "paid")
    _headings(sheet, HEAD, (*COLUMNS, *costs), {"id": 30, "covers": 34, "title": 30})
    last = HEAD + 1
    for row, cells in enumerate(plan_rows(snapshot, plan), start=HEAD + 1):
        for column, value in enumerate(cells, start=1):
            _put(sheet, row, column, value)
            if isinstance(value, int):
                sheet.cell(row, column).number_format = shown
        for column, part, hours in ((14, "G", "J"), (15, "H", "K"), (16, "I", "L")):
            formula = f"=ROUND({part}{row}+{hours}{row}*$B$2,0)+ROUND($M{row}*$B$4,0)"
            _formula(sheet, row, column, formula, shown)
        _formula(sheet, row, 17, f"=ROUND((N{row}+4*O{row}+P{row})/6,0)", shown)
        paid = f"=ROUND((G{row}+4*H{row}+I{row})/6,0)"  # hours of one's own send no bill
        if plan.labor_paid:
            paid = f"=Q{row}-ROUND($M{row}*$B$4,0)"
        _formula(sheet, row, 18, paid, shown)
        last = row
    _totals(sheet, last, shown)
    sheet.freeze_panes = f"D{HEAD + 1}"
    return last


def _totals(sheet: Worksheet, last: int, shown: str) -> None:
    """Rows 5 to 8: needs, wants and all, low to expected."""
    for row, need in enumerate(NEEDS, start=5):
        _put(sheet, row, 1, text("desk-sheet-total-" + need))
        for column, letter in ((2, "N"), (3, "O"), (4, "P"), (5, "Q")):
            _formula(
                sheet,
                row,
                column,
                f"=SUMIFS({letter}{HEAD + 1}:{letter}{last},E{HEAD + 1}:E{last},"
                f'"{word(need)}",F{HEAD + 1}:F{last},"{word("yes")}")',
                shown,
            )
    _put(sheet, 7, 1, text("desk-sheet-total-all"))
    for column, key in ((2, "cost-low"), (3, "cost-likely"), (4, "cost-high"), (5, "expected")):
        letter = get_column_letter(column)
        _formula(sheet, 7, column, f"={letter}5+{letter}6", shown)
        _put(sheet, 8, column, heading(key))


def _order_sheet(sheet: Worksheet, parts: Worksheet, plan: Plan, last: int) -> None:
    keys = ("number", "job-id", "job", "class", "after", "when", "paid", "then")
    _headings(sheet, 2, keys, {"job-id": 30, "job": 34, "after": 34, "then": 34})
    titles = {job.id: job.title for job in plan.jobs}
    name = _ref(parts)
    for row, (job, step) in enumerate(zip(plan.jobs, plan.steps, strict=True), start=3):
        period = plan.spread["period"].get(job.id)
        values = (
            row - 2,
            job.id,
            job.title,
            text("desk-class-" + job.job_class),
            ", ".join(titles[name] for name in job.after if name in titles),
            "" if period is None else plan.periods[period]["name"],
        )
        for column, value in enumerate(values, start=1):
            _put(sheet, row, column, value)
        _formula(
            sheet,
            row,
            7,
            f"=IFERROR(INDEX({name}!R{HEAD + 1}:R{last},"
            f"MATCH(B{row},{name}!A{HEAD + 1}:A{last},0)),0)",
            _money_format(plan),
        )
        _put(sheet, row, 8, fitness_text(step))
    sheet.freeze_panes = "D3"


def _period_sheet(sheet: Worksheet, order: Worksheet, plan: Plan) -> None:
    _headings(sheet, 2, (*PERIOD_COLUMNS, "planned", "left"), {"period": 20})
    jobs, name, shown = len(plan.jobs) + 2, _ref(order), _money_format(plan)
    for row, period in enumerate(plan.periods, start=3):
        _put(sheet, row, 1, period["name"])
        sheet.cell(row, 2, period["budget"]).number_format = shown
        _formula(sheet, row, 3, f"=SUMIFS({name}!G3:G{jobs},{name}!F3:F{jobs},A{row})", shown)
        before = "" if row == 3 else f"+D{row - 1}"
        _formula(sheet, row, 4, f"=B{row}-C{row}{before}", shown)
