"""The sheets of what a car really takes: parts list, ledger, work log, planned against actual."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from xlsxwriter.utility import xl_col_to_name

from bradawl.desk.model.exports.sheets import SheetWriter
from bradawl.desk.model.money.car import CarMoney
from bradawl.desk.model.parts.columns import COLUMNS, FIELDS, Column
from bradawl.desk.model.parts.lines import Line, Sheet
from bradawl.desk.model.parts.values import cell_of
from bradawl.desk.model.plan.work_log import done_jobs
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.ledger import entries as ledger
from bradawl.judge.ledger import parts_list
from bradawl.judge.ledger.part_price import quantity
from bradawl.judge.values import exact
from bradawl.language import text

if TYPE_CHECKING:
    from bradawl.judge.values.types import LedgerEntry

POINTS = ("low", "likely", "high")
HEAD = 3  # of the sheets with a total above
WIDE = {"text": 18, "job": 26, "choice": 12, "date": 12, "price": 12}


def parts_sheet(sheet: SheetWriter, snapshot: Snapshot) -> None:
    """Every line of the parts list; what it comes to is a formula of its price."""
    listed = Sheet(snapshot)
    titles = [column.title for column in COLUMNS]
    titles += [text("desk-sheet-each-" + point) for point in POINTS]
    widths = {n: WIDE.get(column.kind, 10) for n, column in enumerate(COLUMNS, start=1)}
    sheet.headings(HEAD, titles, {**widths, 1: 30})
    for row, line in enumerate(listed.lines, start=HEAD + 1):
        _line_row(sheet, row, listed, line)
    last = HEAD + len(listed.lines)
    total = _letter("total")
    standing = sum(line.cents or 0 for line in listed.lines if line.state != "returned")
    states, sums = (
        f"{_letter(key)}{HEAD + 1}:{_letter(key)}{max(last, HEAD + 1)}"
        for key in ("state", "total")
    )
    returned = cell_of(FIELDS["state"], {"state": "returned"}, listed.currency).shown
    sheet.put(1, 1, text("desk-sheet-parts-total"), "heading")
    formula = f'=SUM({sums})-SUMIFS({sums},{states},"{returned}")'
    sheet.formula(f"{total}1", formula, standing / 100, "money")
    sheet.table(HEAD, last, titles)
    sheet.printed(last, sum(column.shown for column in COLUMNS))  # the usual ones come first
    sheet.sheet.freeze_panes(HEAD, 1)


def _letter(key: str) -> str:
    return str(xl_col_to_name([column.key for column in COLUMNS].index(key)))


def _line_row(sheet: SheetWriter, row: int, listed: Sheet, line: Line) -> None:
    for n, column in enumerate(COLUMNS, start=1):
        if not column.is_fixed:
            sheet.put(row, n, *_line_cell(listed, line, column))
    known = {key: value for key, value in line.fields.items() if value is not None}
    each = parts_list.unit_cents(parts_list.read(line.id, known))
    letters = [xl_col_to_name(len(COLUMNS) + n) for n in range(3)]
    for n, cents in enumerate(each):
        sheet.put(row, len(COLUMNS) + 1 + n, cents / 100, "money")
    count = f"{_letter('quantity')}{row}"
    many = f'IF({count}="",1,{count})'
    low, likely, high = (f"ROUND({letter}{row}*{many},2)" for letter in letters)
    beside = f"{_letter('freight')}{row}+{_letter('core')}{row}"
    formula = f'=IF({letters[0]}{row}="","",ROUND(({low}+4*{likely}+{high})/6+{beside},2))'
    value = "" if line.cents is None else line.cents / 100
    sheet.formula(f"{_letter('total')}{row}", formula, value, "money")


def _line_cell(listed: Sheet, line: Line, column: Column) -> tuple[Any, str]:
    """A cell's value, and how it is shown."""
    fields = line.fields
    if column.kind == "date":
        return cell_values.text(fields.get(column.key)), "day"
    if column.kind == "money":
        cents = cell_values.whole(fields.get(f"{column.key}_cents"), 0)
        return ("" if cents is None else cents / 100), "money"
    if column.kind == "price" and line.is_firm:
        return (cell_values.whole(fields.get("quote_cents"), 0) or 0) / 100, "money"
    if column.kind in ("count", "hours"):
        figure = exact.parse(cell_values.text(fields.get(column.key)))
        if figure is not None and column.kind == "count":
            figure = quantity(cell_values.text(fields.get(column.key)))
        return ("" if figure is None else figure[0] / figure[1]), "hours"
    return listed.cell(line, column).shown, ""


def ledger_sheet(sheet: SheetWriter, money: CarMoney) -> None:
    """Every entry, those that were replaced too; only those that count are in the sum."""
    titles = [text("desk-sheet-" + key) for key in ("date", "entry-kind", "entry-what", "amount")]
    titles += [
        text("desk-sheet-" + key) for key in ("counts", "hours-worked", "quantity", "vendor")
    ]
    titles += [text("desk-sheet-" + key) for key in ("part-number", "jobs", "paid-by")]
    titles += [text("desk-sheet-" + key) for key in ("freight", "core", "entry-id", "replaces")]
    sheet.headings(HEAD, titles, {3: 30, 8: 18, 9: 16, 10: 34, 11: 14, 14: 15, 15: 15})
    rows = [
        (entry, entry is group["counts"]) for group in money.groups for entry in group["entries"]
    ]
    for row, (entry, counts) in enumerate(rows, start=HEAD + 1):
        _entry_row(sheet, row, money, entry, counts)
    last = HEAD + len(rows)
    spent = sum(ledger.paid(entry) for entry, counts in rows if counts)
    span = max(last, HEAD + 1)
    sheet.put(1, 1, text("desk-money-spent"), "heading")
    formula = f'=SUMIFS(D{HEAD + 1}:D{span},E{HEAD + 1}:E{span},"{text("desk-value-yes")}")'
    sheet.formula("D1", formula, spent / 100, "money")
    sheet.table(HEAD, last, titles)
    sheet.printed(last, 11)  # up to who paid
    sheet.sheet.freeze_panes(HEAD, 3)


def _entry_row(
    sheet: SheetWriter, row: int, money: CarMoney, entry: LedgerEntry, counts: bool
) -> None:
    hours = entry["hours_hundredths"]
    count = exact.parse(entry["quantity"])
    cells: Sequence[tuple[Any, str]] = (
        (entry["date"], "day"),
        (text("desk-money-kind-" + entry["kind"].replace("_", "-")), ""),
        (entry["what"], ""),
        (ledger.paid(entry) / 100, "money"),
        (text("desk-value-yes" if counts else "desk-value-no"), ""),
        (hours / 100 if hours else "", "hours"),
        (count[0] / count[1] if count else entry["quantity"], "hours" if count else ""),
        (entry["vendor"], ""),
        (entry["part_number"], ""),
        (", ".join(money.jobs_of(entry)), ""),
        (entry["paid_by"] or text("desk-money-me"), ""),
        (entry["freight_cents"] / 100 if entry["freight_cents"] else "", "money"),
        (entry["core_cents"] / 100 if entry["core_cents"] else "", "money"),
        (entry["id"], ""),
        (entry["replaces"], ""),
    )
    for column, (value, shown) in enumerate(cells, start=1):
        sheet.put(row, column, value, shown)


def work_sheet(sheet: SheetWriter, snapshot: Snapshot) -> None:
    """What was done, the newest first."""
    keys = ("date", "job", "finished", "by", "odometer", "parts-used", "note")
    titles = [text("desk-sheet-" + key) for key in keys]
    sheet.headings(1, titles, {2: 34, 4: 16, 5: 14, 6: 30, 7: 40})
    rows = done_jobs(snapshot)
    for row, one in enumerate(rows, start=2):
        finished = text("desk-value-yes" if one["finished"] else "desk-value-no")
        sheet.put(row, 1, one["date"], "day")
        cells = (one["title"], finished, one["by"], one["odometer"], one["parts"], one["note"])
        for column, value in enumerate(cells, start=2):
            sheet.put(row, column, value)
    sheet.table(1, 1 + len(rows), titles)
    sheet.sheet.freeze_panes(1, 2)


def money_sheet(sheet: SheetWriter, money: CarMoney) -> None:
    """A job a row: expected against spent and ordered, hours planned and done; sums above."""
    keys = ("expected", "spent", "committed", "still", "total")
    titles = [text("desk-sheet-job"), *(text("desk-money-" + key) for key in keys)]
    titles += [text("desk-sheet-hours-planned"), text("desk-sheet-hours-done")]
    sheet.headings(HEAD, titles, {1: 40})
    rows = money.job_rows
    for row, (title, one) in enumerate(rows, start=HEAD + 1):
        sheet.put(row, 1, title)
        amounts = [one["expected_cents"], one["spent_cents"]]
        amounts += [one["committed_cents"], one["still_cents"]]
        for column, cents in enumerate(amounts, start=2):
            sheet.put(row, column, cents / 100, "money")
        formula, total = f"=C{row}+D{row}+E{row}", sum(amounts[1:]) / 100
        sheet.formula(f"F{row}", formula, total, "money")
        sheet.put(row, 7, one["hours_planned"] / 100, "hours")
        sheet.put(row, 8, one["hours_done"] / 100, "hours")
    last = HEAD + max(len(rows), 1)
    sheet.put(1, 1, text("desk-sheet-all-jobs"), "heading")
    sums: list[tuple[str, int]] = [
        ("B", sum(one["expected_cents"] for _, one in rows)),
        ("C", sum(one["spent_cents"] for _, one in rows)),
        ("D", sum(one["committed_cents"] for _, one in rows)),
        ("E", sum(one["still_cents"] for _, one in rows)),
    ]
    sums.append(("F", sum(amount for letter, amount in sums if letter != "B")))
    sums.append(("G", sum(one["hours_planned"] for _, one in rows)))
    sums.append(("H", sum(one["hours_done"] for _, one in rows)))
    for letter, amount in sums:
        formula = f"=SUM({letter}{HEAD + 1}:{letter}{last})"
        sheet.formula(f"{letter}1", formula, amount / 100, "hours" if letter in "GH" else "money")
    sheet.table(HEAD, HEAD + len(rows), titles)
    sheet.sheet.freeze_panes(HEAD, 1)
