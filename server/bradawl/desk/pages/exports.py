"""The plan as a workbook and as CSV, the record as JSON: written, and read back again."""

import csv
import io
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Response
from starlette.datastructures import FormData, UploadFile

from bradawl.common.display_text import for_page
from bradawl.desk.model import findings, remedies
from bradawl.desk.model.plan_rows import COLUMNS, plan_rows
from bradawl.desk.model.remedies import KINDS, Plan
from bradawl.desk.pages.plan import (
    Puts,
    changed,
    edited,
    next_word,
    plan_stamp,
    refuse_stale,
    wish_edited,
)
from bradawl.desk.web import forms
from bradawl.desk.web.forms import FieldError
from bradawl.desk.web.visit_page import Asked, Sent, asked_of, render_visit, sent_to
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot

if TYPE_CHECKING:
    from openpyxl import Workbook

    from bradawl.desk.web.context import Desk

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
FILE_LIMIT_BYTES = 20 * 2**20
MAX_ROWS = 5_000
#: What a spreadsheet would run as a formula when it begins a cell.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def add(pages: APIRouter, desk: "Desk") -> None:
    """The exports' page, the files, and what reads them back."""
    page_asked = Annotated[Asked, Depends(asked_of(desk))]
    form_sent = Annotated[Sent, Depends(sent_to(desk))]

    def page(asked: Asked, told: str = "") -> Response:
        return render_visit(
            asked, "plan/exports.html", tab="exports", seen=plan_stamp(asked.snapshot), told=told
        )

    @pages.get("/visits/{visit}/exports")
    def exports(asked: page_asked) -> Response:
        return page(asked)

    @pages.get("/visits/{visit}/plan.xlsx")
    def workbook(visit: str) -> Response:
        snapshot = desk.snapshot(visit)
        from bradawl.desk.model.workbook import plan_workbook  # its library is slow to load

        return attachment(plan_workbook(snapshot), XLSX, f"plan-{visit[:8]}.xlsx")

    @pages.get("/visits/{visit}/plan.csv")
    def comma_separated(visit: str) -> Response:
        snapshot = desk.snapshot(visit)
        return attachment(
            plan_csv(snapshot).encode(), "text/csv; charset=utf-8", f"plan-{visit[:8]}.csv"
        )

    @pages.post("/visits/{visit}/exports")
    def read_back(sent: form_sent) -> Response:
        """A parts sheet that was edited elsewhere: only what differs becomes events."""
        puts: Puts = []
        with sent.problems.of("sheet"):
            puts = sheet_changes(sent.snapshot, uploaded(sent.form, "sheet"), sent.problems)
        refuse_stale(sent)
        if sent.problems:
            return page(sent)
        desk.log.append(sent.device, sent.visit, puts)
        told = f"{len(puts)} {'entry' if len(puts) == 1 else 'entries'} changed."
        return page(Asked(sent.request, desk.snapshot(sent.visit)), told)


def attachment(data: bytes, kind: str, name: str) -> Response:
    return Response(
        data,
        media_type=kind,
        headers={
            "Content-Disposition": f'attachment; filename="{name}"',
            "Cache-Control": "no-store",
        },
    )


def uploaded(form: FormData, field: str, limit_bytes: int = FILE_LIMIT_BYTES) -> tuple[str, bytes]:
    """An uploaded file's name and bytes. Raises FieldError."""
    upload = form.get(field)
    if not isinstance(upload, UploadFile) or not upload.filename:
        raise FieldError("No file arrived. Choose one, then press the button.")
    data = upload.file.read(limit_bytes + 1)
    if len(data) > limit_bytes:
        raise FieldError(f"“{upload.filename}” is larger than {limit_bytes >> 20} MB.")
    return upload.filename, data


# ---- writing ------------------------------------------------------------------------------


def plan_csv(snapshot: Snapshot) -> str:
    """The parts sheet as CSV (RFC 4180, UTF-8). A text that a spreadsheet would run is quoted."""
    plan = remedies.plan_of(snapshot)
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


# ---- reading back -----------------------------------------------------------------------


def sheet_changes(snapshot: Snapshot, upload: tuple[str, bytes], problems: forms.Problems) -> Puts:
    """What an edited parts sheet (XLSX or CSV) changes. Raises FieldError for another file."""
    name, data = upload
    plan = remedies.plan_of(snapshot)
    puts: Puts = []
    used: set[str] = set()
    if data[:4] == b"PK\x03\x04":
        rows = _workbook_rows(name, data)
        puts += _periods_read(snapshot, name, data, problems)
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
        return edited(plan.remedies[name], typed)
    if name.startswith("wants/") and f"plan/{name}" in snapshot.cells:
        kept = cell_values.mapping(findings.value(snapshot, f"plan/{name}"))
        return wish_edited(name, kept, typed)
    item = name.partition("/")[0]
    if any(one.item == item for one in plan.findings):
        word = next_word(snapshot, f"plan/remedies/{item}/own-")
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
        held = row.get(name)
        if isinstance(held, float) and held.is_integer():
            held = int(held)
        return "" if held is None else str(held).strip()

    parts = [forms.amount(cell(f"Parts {p}") or "0", f"{where}, parts {p}") for p in _PARTS]
    hours = [forms.hours(cell(f"Hours {p}") or "0", f"{where}, hours {p}") for p in _PARTS]
    for what, three in (("parts", parts), ("hours", hours)):
        if [float(one) for one in three] != sorted(float(one) for one in three):
            raise FieldError(
                f"{where}: the {what} do not rise; write low, likely, high in that order."
            )
    return {
        "title": title[:120],
        "kind": kind if kind in KINDS else "part",
        "parts": parts,
        "hours": hours,
        "need": need == "need",
        "loss": forms.amount(cell("Originality lost") or "0", f"{where}, originality"),
    }


_PARTS = ("low", "likely", "high")


def _open(name: str, data: bytes) -> "Workbook":
    from openpyxl import load_workbook

    try:
        # formulas are not needed: only what a person typed is read
        return load_workbook(io.BytesIO(data), read_only=False, data_only=False)
    except Exception as error:
        raise FieldError(f"“{name}” cannot be read as a workbook: {error}") from error


def _workbook_rows(name: str, data: bytes) -> Iterator[tuple[int, dict[str, Any]]]:
    book = _open(name, data)
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


def _periods_read(snapshot: Snapshot, name: str, data: bytes, problems: forms.Problems) -> Puts:
    """The budget periods of the workbook, when it has any."""
    book = _open(name, data)
    if "Periods" not in book.sheetnames:
        return []
    periods = []
    for number, cells in enumerate(book["Periods"].iter_rows(min_row=2, values_only=True), start=2):
        if not cells or cells[0] in (None, ""):
            continue
        with problems.of(f"period {number}"):
            budget = "" if len(cells) < 2 or cells[1] is None else str(cells[1])
            where = f"Periods, row {number}"
            periods.append(
                {"name": str(cells[0])[:40], "budget": forms.amount(budget or "0", where)}
            )
    return changed(snapshot, "plan/periods", periods or None)


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
        one for one in COLUMNS if one not in names and one not in ("Puts right", "In the plan")
    ]
    if lacking:
        raise FieldError(
            f"“{name}” lacks the {'column' if len(lacking) == 1 else 'columns'} "
            f"{', '.join(lacking)}; export the plan and edit that file."
        )
