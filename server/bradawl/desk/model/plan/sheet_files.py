"""The plan's parts sheet as CSV, and an edited one (XLSX or CSV) read back as changes.

Only what a person may edit is read: remedies, wishes and budget periods; never a formula.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from bradawl.common.display_text import for_page
from bradawl.desk.model import recorded
from bradawl.desk.model.changes import Puts, change_to, next_free_word
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.edits import remedy_edit, wish_edit
from bradawl.desk.model.plan.sheet_rows import (
    COLUMNS,
    COMPUTED,
    NEEDS,
    PERIOD_COLUMNS,
    columns_said,
    heading,
    plan_rows,
    word,
    words_said,
)
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
from bradawl.language import catalogue, current, listed, message, reading_as, text

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

MAX_ROWS = 5_000
#: What a spreadsheet would run as a formula when it begins a cell.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def plan_csv(snapshot: Snapshot) -> str:
    """The parts sheet as CSV (RFC 4180, UTF-8). A text that a spreadsheet would run is quoted."""
    plan = plan_of(snapshot)
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(map(heading, COLUMNS))
    for row in plan_rows(snapshot, plan):
        writer.writerow([harmless(cell) if isinstance(cell, str) else cell for cell in row])
    return out.getvalue()


def harmless(cell: str) -> str:
    cell = for_page(cell)
    return f"'{cell}" if cell.startswith(FORMULA_STARTS) else cell


def as_typed(cell: str) -> str:
    """Undo `harmless`."""
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(FORMULA_STARTS) else cell


def file_changes(snapshot: Snapshot, name: str, data: bytes, problems: Problems) -> Puts:
    """What an edited parts sheet (XLSX or CSV) changes. Raises FieldError for another file."""
    plan = plan_of(snapshot)
    said = _said_elsewhere(snapshot)
    puts: Puts = []
    used: set[str] = set()
    writer = current()
    if data[:4] == b"PK\x03\x04":
        book = _open(name, data)
        rows = _parts_read(name, book)
        puts += _periods_read(snapshot, book, problems)
    else:
        rows = _csv_rows(name, data)
        if _has_semicolons(data):  # written where a comma is the decimal mark
            writer = replace(writer, region="eu")
    for number, row in rows:
        with problems.of(f"row {number}"):
            titles = said.get(str(row.get("id") or "").strip(), {})
            title = str(row.get("title") or "")
            row["title"] = titles.get(as_typed(title).strip(), title)
            where = text("desk-sheet-row", n=number)
            with reading_as(writer):
                puts += _row_changes(snapshot, plan, row, where, used)
    return puts


def _said_elsewhere(snapshot: Snapshot) -> dict[str, dict[str, str]]:
    """By id: what work is called in the language of whoever exported it, and to this reader."""
    found: dict[str, dict[str, str]] = {}
    own = current()
    for locale in (*catalogue.locales(), catalogue.PSEUDO):
        with reading_as(replace(own, locale=locale)):
            for name, title in _titles(plan_of(snapshot)):
                found.setdefault(name, {})[title[:TITLE_LIMIT]] = ""
    return {name: dict.fromkeys(found[name], title) for name, title in _titles(plan_of(snapshot))}


def _titles(plan: Plan) -> list[tuple[str, str]]:
    remedies = [(remedy.id, remedy.title) for remedy in plan.remedies.values()]
    return remedies + [(job.id, job.title) for job in plan.jobs]


def _row_changes(
    snapshot: Snapshot, plan: Plan, row: Mapping[str, Any], where: str, used: set[str]
) -> Puts:
    """The puts of one row. Raises FieldError."""
    name = str(row.get("id") or "").strip()
    if name.startswith("baseline/"):
        return []  # maintenance follows from the receipts
    if name in used:
        raise FieldError(message("desk-sheet-twice", row=where, id=name))
    used.add(name)
    typed = _remedy_read(row, where)
    if name in plan.remedies:
        return remedy_edit(plan.remedies[name], typed)
    if name.startswith("wants/") and f"plan/{name}" in snapshot.cells:
        stands = cell_values.mapping(recorded.value(snapshot, f"plan/{name}"))
        return wish_edit(name, stands, typed, snapshot.texts["rules"])
    item = name.partition("/")[0]
    if any(finding.item == item for finding in plan.findings):
        word = next_free_word(snapshot, f"plan/remedies/{item}/own-")
        return [(f"plan/remedies/{item}/{word}", {**typed, "also": []})]
    raise FieldError(message("desk-sheet-unknown", row=where, id=name))


def _remedy_read(row: Mapping[str, Any], where: str) -> dict[str, Any]:
    title = as_typed(str(row.get("title") or "")).strip()
    if not title:
        raise FieldError(message("desk-plan-name-missing", what=where))
    said = words_said()
    kind = said.get(str(row.get("kind") or "").strip().casefold())
    typed_need = str(row.get("need") or "need").strip()
    need = said.get(typed_need.casefold())
    if need not in NEEDS:
        words = {name: word(name) for name in NEEDS}
        raise FieldError(message("desk-sheet-need-wrong", row=where, typed=typed_need, **words))

    def cell(name: str) -> str:
        value = row.get(name)
        if isinstance(value, float):  # a workbook's own number, which no style changes
            value = int(value) if value.is_integer() else f"{value:.2f}"
        return "" if value is None else str(value).strip()

    def place(name: str) -> str:
        return text("desk-sheet-cell", row=where, column=text("desk-col-" + name))

    def three(name: str, read: Callable[[str, str], Any]) -> list[Any]:
        typed = [cell(f"{name}-{point}") or "0" for point in THREE_POINTS]
        return three_points(typed, place(name), read, None)

    return {
        "title": title[:TITLE_LIMIT],
        "kind": kind if kind in KINDS else "part",
        "parts": three("parts", amount),
        "hours": three("hours", hours),
        "need": need == "need",
        "loss": amount(cell("loss") or "0", place("loss")),
    }


def _usual_names(n: int) -> set[str]:
    """What a budget period is called that nobody named, in every language."""
    return {
        catalogue.find("desk-order-period-n", locale, {"n": n})
        for locale in (*catalogue.locales(), catalogue.PSEUDO)
    }


def _open(name: str, data: bytes) -> Workbook:
    from openpyxl import load_workbook

    try:
        # formulas are not needed: only what a person typed is read
        return load_workbook(io.BytesIO(data), read_only=False, data_only=False)
    except Exception as error:
        raise FieldError(message("desk-sheet-no-workbook", name=name, why=str(error))) from error


def _parts_read(name: str, book: Workbook) -> Iterator[tuple[int, dict[str, Any]]]:
    table = _table(book, "id")
    if table is None:
        raise FieldError(message("desk-sheet-no-parts", name=name))
    names, rows = table
    _need_columns(name, names)
    yield from rows


def _table(
    book: Workbook, first: str
) -> tuple[list[str], Iterator[tuple[int, dict[str, Any]]]] | None:
    """The keys and the numbered rows of the sheet whose columns begin with the key `first`.

    They stand under a hidden row of keys; a sheet without it is known by its headings.
    """
    for sheet in book.worksheets:
        for number, cells in enumerate(sheet.iter_rows(values_only=True, max_row=MAX_ROWS), 1):
            names = _keys(cells)
            if names[:1] == [first]:
                return names, _rows_below(sheet, number, names)
    return None


def _keys(cells: Iterable[Any]) -> list[str]:
    """The keys of a row of headings; a cell that is none keeps its text."""
    said = columns_said()
    texts = [str(cell or "").strip() for cell in cells]
    return [said.get(cell.casefold(), cell) for cell in texts]


def _rows_below(
    sheet: Worksheet, heads: int, names: list[str]
) -> Iterator[tuple[int, dict[str, Any]]]:
    rows = sheet.iter_rows(values_only=True, min_row=heads + 1, max_row=MAX_ROWS)
    for number, cells in enumerate(rows, start=heads + 1):
        # the headings stand below their keys
        if _keys(cells[:1]) == names[:1]:
            continue
        if any(cell not in (None, "") for cell in cells[: len(COLUMNS)]):
            yield number, dict(zip(names, cells, strict=False))


def _periods_read(snapshot: Snapshot, book: Workbook, problems: Problems) -> Puts:
    """The budget periods of the workbook, when it has any."""
    table = _table(book, PERIOD_COLUMNS[0])
    if table is None:
        return []
    periods: list[dict[str, Any]] = []
    for number, row in table[1]:
        if row.get("period") in (None, ""):
            continue
        with problems.of(f"period {number}"):
            budget = "" if row.get("budget") is None else str(row["budget"])
            where = text("desk-sheet-period-row", n=number)
            name = str(row["period"])[:40]
            if name in _usual_names(len(periods) + 1):
                name = ""
            periods.append({"name": name, "budget": amount(budget or "0", where)})
    return change_to(snapshot, "plan/periods", periods or None)


def _csv_rows(name: str, data: bytes) -> Iterator[tuple[int, dict[str, Any]]]:
    try:
        content = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FieldError(message("desk-sheet-no-text", name=name)) from error
    mark = ";" if _has_semicolons(data) else ","
    reader = csv.DictReader(io.StringIO(content), delimiter=mark)
    try:
        reader.fieldnames = _keys(reader.fieldnames or ())
        _need_columns(name, reader.fieldnames)
        for number, row in enumerate(reader, start=2):
            if number > MAX_ROWS:
                raise FieldError(message("desk-sheet-too-long", name=name, most=MAX_ROWS))
            if any(row.values()):
                yield number, {str(key): cell for key, cell in row.items()}
    except csv.Error as error:
        raise FieldError(
            message("desk-sheet-no-csv", name=name, line=reader.line_num, why=str(error))
        ) from error


def _has_semicolons(data: bytes) -> bool:
    """Whether it is CSV as spreadsheets save it where the comma is the decimal mark."""
    return data.partition(b"\n")[0].count(b";") > 3


def _need_columns(name: str, names: Collection[str]) -> None:
    lacking = [key for key in COLUMNS if key not in names and key not in COMPUTED]
    if lacking:
        columns = listed([heading(key) for key in lacking])
        raise FieldError(
            message("desk-sheet-columns", name=name, count=len(lacking), columns=columns)
        )
