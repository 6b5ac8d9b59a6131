"""The exports' page, the files, and an edited parts sheet read back."""

from fastapi import APIRouter, Response

from bradawl.common.display_text import as_json
from bradawl.desk.model.changes import Puts
from bradawl.desk.model.exports import tables
from bradawl.desk.model.plan.edits import plan_stamp
from bradawl.desk.model.plan.sheet_files import file_changes, plan_csv
from bradawl.desk.model.records.export import record_of
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.plan import refuse_stale
from bradawl.desk.web.visit_page import PageRequest, VisitForm, VisitPage, render_visit
from bradawl.language import text

pages = APIRouter(prefix="/visits/{visit}")
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
CSV = "text/csv; charset=utf-8"  # a header: not shown


@pages.get("/exports")
def show_exports(page: VisitPage) -> Response:
    return _exports_page(page)


@pages.get("/plan.xlsx")
def export_workbook(page: VisitPage) -> Response:
    from bradawl.desk.model.exports.workbook import plan_workbook  # its library is slow to load

    return _attachment(page, plan_workbook(page.snapshot), XLSX, "plan", "xlsx")


@pages.get("/plan.csv")
def export_csv(page: VisitPage) -> Response:
    return _attachment(page, plan_csv(page.snapshot).encode(), CSV, "plan", "csv")


@pages.get("/parts.csv")
def export_parts_csv(page: VisitPage) -> Response:
    return _attachment(page, tables.parts_csv(page.snapshot).encode(), CSV, "parts", "csv")


@pages.get("/parts.json")
def export_parts(page: VisitPage) -> Response:
    data = as_json(tables.parts_json(page.snapshot), indent=1)
    return _attachment(page, data, "application/json", "parts", "json")


@pages.get("/ledger.csv")
def export_ledger_csv(page: VisitPage) -> Response:
    return _attachment(page, tables.ledger_csv(page.snapshot).encode(), CSV, "ledger", "csv")


@pages.get("/ledger.json")
def export_ledger(page: VisitPage) -> Response:
    data = as_json(tables.ledger_json(page.snapshot), indent=1)
    return _attachment(page, data, "application/json", "ledger", "json")


@pages.get("/record.json")
def export_record(page: VisitPage) -> Response:
    data = as_json(record_of(page.snapshot), indent=1)
    return _attachment(page, data, "application/json", "record", "json")


@pages.post("/exports")
def read_back(posted: VisitForm) -> Response:
    """A parts sheet that was edited elsewhere: only what differs becomes events."""
    puts: Puts = []
    with posted.problems.of("sheet"):
        name, data = forms.uploaded(posted.form, "sheet")
        puts = file_changes(posted.snapshot, name, data, posted.problems)
    refuse_stale(posted)
    if posted.problems:
        return _exports_page(posted)
    posted.desk.log.append(posted.device, posted.visit, puts)
    changed = PageRequest(posted.request, posted.desk, posted.desk.snapshot(posted.visit))
    return _exports_page(changed, text("desk-files-imported", count=len(puts)))


def _exports_page(page: PageRequest, message: str = "") -> Response:
    seen = plan_stamp(page.snapshot)
    return render_visit(page, "plan/exports.html", tab="exports", seen=seen, message=message)


def _attachment(page: PageRequest, data: bytes, kind: str, name: str, ending: str) -> Response:
    file = f"{name}-{page.visit[:8]}.{ending}"
    headers = {
        "Content-Disposition": f'attachment; filename="{file}"',  # a header: not shown
        "Cache-Control": "no-store",
    }
    return Response(data, media_type=kind, headers=headers)
