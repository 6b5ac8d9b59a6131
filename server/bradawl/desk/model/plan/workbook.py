"""The plan as a workbook: parts sheet, order of work and budget periods, with live formulas."""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from bradawl.common.display_text import for_cell
from bradawl.desk.model import findings
from bradawl.desk.model.labels import USES
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.sheet_rows import COLUMNS, plan_rows
from bradawl.desk.model.plan.types import CLASS_WORDS, Plan
from bradawl.desk.model.visits.brief import percent_of
from bradawl.inspection.snapshot import Snapshot


def plan_workbook(snapshot: Snapshot) -> bytes:
    """Parts sheet, order of work and budget periods, with live formulas for every figure."""
    plan = plan_of(snapshot)
    book = Workbook()
    parts = book.active
    assert isinstance(parts, Worksheet)
    parts.title = "Parts"
    last = _parts_sheet(parts, snapshot, plan)
    _order_sheet(book.create_sheet("Order"), snapshot, plan, last)
    _period_sheet(book.create_sheet("Periods"), plan)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _put(sheet: Worksheet, row: int, column: int, value: Any) -> None:
    cell = sheet.cell(row, column, for_cell(value) if isinstance(value, str) else value)
    if isinstance(value, str):
        cell.data_type = "s"  # a text that begins like a formula stays a text


def _formula(sheet: Worksheet, row: int, column: int, formula: str) -> None:
    sheet.cell(row, column, formula).data_type = "f"


def _headings(sheet: Worksheet, row: int, names: Iterable[str], widths: Mapping[str, int]) -> None:
    for column, name in enumerate(names, start=1):
        cell = sheet.cell(row, column, name)
        cell.font = Font(bold=True)
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        sheet.column_dimensions[get_column_letter(column)].width = widths.get(name, 11)


HEAD = 9  # the row of the parts sheet's headings


def _parts_sheet(sheet: Worksheet, snapshot: Snapshot, plan: Plan) -> int:
    """The parts sheet; the last row's number. Columns N to R are formulas."""
    _put(sheet, 1, 1, findings.heading(snapshot)["car"])
    sheet["A1"].font = Font(bold=True, size=14)
    for row, (name, value) in enumerate(
        (("An hour of work", plan.rate), ("Currency", plan.currency or "not said")), start=2
    ):
        _put(sheet, row, 1, name)
        _put(sheet, row, 2, value)
    names = (*COLUMNS, "Cost low", "Cost likely", "Cost high", "Expected", "To pay")
    _headings(sheet, HEAD, names, {"Id": 30, "Puts right": 34, "Remedy": 30})
    last = HEAD + 1
    for row, cells in enumerate(plan_rows(snapshot, plan), start=HEAD + 1):
        for column, value in enumerate(cells, start=1):
            _put(sheet, row, column, value)
        for offset, (part, hours) in enumerate((("G", "J"), ("H", "K"), ("I", "L"))):
            _formula(
                sheet,
                row,
                14 + offset,
                f"=ROUND({part}{row}+{hours}{row}*$B$2,0)+ROUND($M{row}*$B$4,0)",
            )
        _formula(sheet, row, 17, f"=ROUND((N{row}+4*O{row}+P{row})/6,0)")
        _formula(sheet, row, 18, f"=Q{row}-ROUND($M{row}*$B$4,0)")
        last = row
    _put(sheet, 4, 1, "Originality counts")
    sheet.cell(4, 2, percent_of(snapshot) / 100).number_format = "0%"
    for row, (name, word) in enumerate((("Needs", "need"), ("Wants", "want")), start=5):
        _put(sheet, row, 1, f"{name} in the plan")
        for column, letter in ((2, "N"), (3, "O"), (4, "P"), (5, "Q")):
            _formula(
                sheet,
                row,
                column,
                f"=SUMIFS({letter}{HEAD + 1}:{letter}{last},E{HEAD + 1}:E{last},"
                f'"{word}",F{HEAD + 1}:F{last},"yes")',
            )
    _put(sheet, 7, 1, "Together")
    for column in range(2, 6):
        letter = get_column_letter(column)
        _formula(sheet, 7, column, f"={letter}5+{letter}6")
    for column, name in ((2, "low"), (3, "likely"), (4, "high"), (5, "expected")):
        _put(sheet, 8, column, name)
    sheet.freeze_panes = f"D{HEAD + 1}"
    return last


def _order_sheet(sheet: Worksheet, snapshot: Snapshot, plan: Plan, last: int) -> None:
    names = ("No.", "Id", "Job", "Counts as", "Waits for", "Period", "To pay", "Then")
    _headings(sheet, 1, names, {"Id": 30, "Job": 34, "Waits for": 34, "Then": 34})
    titles = {job.id: job.title for job in plan.jobs}
    for row, (job, step) in enumerate(zip(plan.jobs, plan.steps, strict=True), start=2):
        period = plan.spread["period"].get(job.id)
        then = {"off": "not on the road", "workshop": "to a workshop only"}.get(step["road"])
        values = (
            row - 1,
            job.id,
            job.title,
            CLASS_WORDS[job.job_class],
            ", ".join(titles[name] for name in job.after if name in titles),
            "" if period is None else plan.periods[period]["name"],
        )
        for column, text in enumerate(values, start=1):
            _put(sheet, row, column, text)
        _formula(
            sheet,
            row,
            7,
            f"=IFERROR(INDEX(Parts!R{HEAD + 1}:R{last},"
            f"MATCH(B{row},Parts!A{HEAD + 1}:A{last},0)),0)",
        )
        _put(sheet, row, 8, then or ", ".join(USES.get(use, use) for use in step["uses"]) or "road")
    sheet.freeze_panes = "D2"


def _period_sheet(sheet: Worksheet, plan: Plan) -> None:
    _headings(sheet, 1, ("Period", "Budget", "Spent", "Left"), {"Period": 20})
    jobs = len(plan.jobs) + 1
    for row, period in enumerate(plan.periods, start=2):
        _put(sheet, row, 1, period["name"])
        _put(sheet, row, 2, period["budget"])
        _formula(sheet, row, 3, f"=SUMIFS(Order!G2:G{jobs},Order!F2:F{jobs},A{row})")
        before = "" if row == 2 else f"+D{row - 1}"
        _formula(sheet, row, 4, f"=B{row}-C{row}{before}")
