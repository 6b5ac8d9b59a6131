"""The plan's parts sheet as CSV, and an edited one (XLSX or CSV) read back as changes.

Only what a person may edit is read: remedies, wishes and budget periods; never a formula.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bradawl.common.display_text import for_page
from bradawl.desk.model import findings
from bradawl.desk.model.changes import Puts, change_to, next_free_word
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.edits import remedy_edit, wish_edit
from bradawl.desk.model.plan.sheet_rows import COLUMNS, plan_rows
from bradawl.desk.model.plan.types import KINDS, TITLE_LIMIT, Plan
from bradawl.desk.model.typed_values import (
    THREE_POINTS,
    FieldError,
    Problems,
    amount,
    hours,
    three_points,
)
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot

if TYPE_CHECKING:
    from openpyxl import Workbook

MAX_ROWS = 5_000
#: What a spreadsheet would run as a formula when it begins a cell.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def plan_csv(snapshot: Snapshot) -> str:
    """The parts sheet as CSV (RFC 4180, UTF-8). A text that a spreadsheet would run is quoted."""
    plan = plan_of(snapshot)
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for row in plan_rows(snapshot, plan):
        writer.writerow([_harmless(cell) if isinstance(cell, str) else cell for cell in row])
    return out.getvalue()


def _harmless(text: str) -> str:
    text = for_page(text)
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def _as_typed(text: str) -> str:
    """Undo `_harmless`."""
    return text[1:] if text.startswith("'") and text[1:].startswith(FORMULA_STARTS) else text


def file_changes(snapshot: Snapshot, name: str, data: bytes, problems: Problems) -> Puts:
    """What an edited parts sheet (XLSX or CSV) changes. Raises FieldError for another file."""
    plan = plan_of(snapshot)
    puts: Puts = []
    used: set[str] = set()
    if data[:4] == b"PK\x03\x04":
        book = _open(name, data)
        rows = _workbook_rows(name, book)
        puts += _periods_read(snapshot, book, problems)
    else:
        rows = _csv_rows(name, data)
    for number, row in rows:
        with problems.of(f"row {number}"):
            puts += _row_changes(snapshot, plan, row, f"Row {number}", used)
    return puts


def _row_changes(
    snapshot: Snapshot, plan: Plan, row: Mapping[str, Any], where: str, used: set[str]
) -> Puts:
    """The puts of one row. Raises FieldError."""
    name = str(row.get("Id") or "").strip()
    if name.startswith("baseline/"):
        return []  # maintenance follows from the receipts
    if name in used:
        raise FieldError(f"{where}: “{name}” stands in the sheet twice; keep one of them.")
    used.add(name)
    typed = _remedy_read(row, where)
    if name in plan.remedies:
        return remedy_edit(plan.remedies[name], typed)
    if name.startswith("wants/") and f"plan/{name}" in snapshot.cells:
        stands = cell_values.mapping(findings.value(snapshot, f"plan/{name}"))
        return wish_edit(name, stands, typed)
    item = name.partition("/")[0]
    if any(finding.item == item for finding in plan.findings):
        word = next_free_word(snapshot, f"plan/remedies/{item}/own-")
        return [(f"plan/remedies/{item}/{word}", {**typed, "also": []})]
    raise FieldError(
        f"{where}: “{name}” is neither a remedy of this car nor one of its findings. "
        "For a new remedy write the finding's id, such as brakes.front-pads."
    )


def _remedy_read(row: Mapping[str, Any], where: str) -> dict[str, Any]:
    title = _as_typed(str(row.get("Remedy") or "")).strip()
    if not title:
        raise FieldError(f"{where}: the remedy needs a name.")
    kind = str(row.get("Kind") or "part").strip()
    need = str(row.get("Need or want") or "need").strip().lower()
    if need not in ("need", "want"):
        raise FieldError(f"{where}: “{need}” should be “need” or “want”.")

    def cell(name: str) -> str:
        value = row.get(name)
        if isinstance(value, float) and value.is_integer():
            value = int(value)
        return "" if value is None else str(value).strip()

    def three(name: str, read: Callable[[str, str], Any]) -> list[Any]:
        typed = [cell(f"{name} {point}") or "0" for point in THREE_POINTS]
        return three_points(typed, f"{where}, {name.lower()}", read, None)

    return {
        "title": title[:TITLE_LIMIT],
        "kind": kind if kind in KINDS else "part",
        "parts": three("Parts", amount),
        "hours": three("Hours", hours),
        "need": need == "need",
        "loss": amount(cell("Originality lost") or "0", f"{where}, originality"),
    }


def _open(name: str, data: bytes) -> Workbook:
    from openpyxl import load_workbook

    try:
        # formulas are not needed: only what a person typed is read
        return load_workbook(io.BytesIO(data), read_only=False, data_only=False)
    except Exception as error:
        raise FieldError(f"“{name}” cannot be read as a workbook: {error}") from error


def _workbook_rows(name: str, book: Workbook) -> Iterator[tuple[int, dict[str, Any]]]:
    if "Parts" not in book.sheetnames:
        raise FieldError(f"“{name}” has no sheet “Parts”; export the plan and edit that file.")
    sheet = book["Parts"]
    names: list[str] = []
    for number, cells in enumerate(sheet.iter_rows(values_only=True, max_row=MAX_ROWS), start=1):
        if not names:
            if cells and cells[0] == "Id":
                names = [str(cell or "") for cell in cells]
                _need_columns(name, names)
            continue
        if any(cell not in (None, "") for cell in cells[: len(COLUMNS)]):
            yield number, dict(zip(names, cells, strict=False))
    if not names:
        raise FieldError(f"“{name}”: the sheet “Parts” has no row of headings that begins with Id.")


def _periods_read(snapshot: Snapshot, book: Workbook, problems: Problems) -> Puts:
    """The budget periods of the workbook, when it has any."""
    if "Periods" not in book.sheetnames:
        return []
    periods = []
    for number, cells in enumerate(book["Periods"].iter_rows(min_row=2, values_only=True), start=2):
        if not cells or cells[0] in (None, ""):
            continue
        with problems.of(f"period {number}"):
            budget = "" if len(cells) < 2 or cells[1] is None else str(cells[1])
            where = f"Periods, row {number}"
            periods.append({"name": str(cells[0])[:40], "budget": amount(budget or "0", where)})
    return change_to(snapshot, "plan/periods", periods or None)


def _csv_rows(name: str, data: bytes) -> Iterator[tuple[int, dict[str, Any]]]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FieldError(
            f"“{name}” is neither a workbook nor UTF-8 text; save it as CSV in UTF-8."
        ) from error
    first = text.partition("\n")[0]
    # spreadsheets of many countries save CSV with semicolons
    reader = csv.DictReader(io.StringIO(text), delimiter=";" if first.count(";") > 3 else ",")
    try:
        _need_columns(name, list(reader.fieldnames or ()))
        for number, row in enumerate(reader, start=2):
            if number > MAX_ROWS:
                raise FieldError(f"“{name}” has more than {MAX_ROWS} rows.")
            if any(row.values()):
                yield number, {str(key): cell for key, cell in row.items()}
    except csv.Error as error:
        raise FieldError(f"“{name}”, line {reader.line_num}: this is no CSV: {error}.") from error


def _need_columns(name: str, names: list[str]) -> None:
    lacking = [
        column
        for column in COLUMNS
        if column not in names and column not in ("Puts right", "In the plan")
    ]
    if lacking:
        raise FieldError(
            f"“{name}” lacks the {'column' if len(lacking) == 1 else 'columns'} "
            f"{', '.join(lacking)}; export the plan and edit that file."
        )
