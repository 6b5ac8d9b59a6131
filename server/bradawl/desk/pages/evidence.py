"""The maintenance page: what is due, what the plan takes in, and the receipts that prove it."""

from fastapi import APIRouter, Response

from bradawl.desk.model import findings
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.errors import stale
from bradawl.desk.model.labels import distance_units
from bradawl.desk.model.plan.maintenance import EVIDENCE, maintenance_rows
from bradawl.desk.model.plan.recorded import maintenance_of
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.evidence import receipt_typed
from bradawl.desk.web.inputs.work_log import keep_photos, photos_typed
from bradawl.desk.web.visit_page import VisitForm, VisitPage, render_visit
from bradawl.inspection import cell_values
from bradawl.language import message

pages = APIRouter(prefix="/visits/{visit}/baseline")


@pages.get("")
def show_maintenance(page: VisitPage) -> Response:
    photos = findings.photos_of(page.snapshot)
    return render_visit(
        page,
        "plan/maintenance.html",
        tab="baseline",
        rows=maintenance_rows(page.snapshot),
        currency=cell_values.currency(page.snapshot.cells),
        known=EVIDENCE,
        distances=distance_units(),
        missing=set(page.desk.photos_missing(photos)),
    )


@pages.post("")
def save_choices(posted: VisitForm) -> Response:
    """Take due work into the plan, or leave it out."""
    puts: Puts = []
    for row in maintenance_of(posted.snapshot):
        if row["due"]:
            is_wanted = forms.is_ticked(posted.form, f"take:{row['id']}")
            path = f"plan/baseline/{row['id']}"
            puts += change_to(posted.snapshot, path, None if is_wanted else False)
    return posted.record(puts, "baseline")


@pages.post("/receipt")
def save_receipt(posted: VisitForm) -> Response:
    """A receipt: its photo, date and odometer make the item documented."""
    rows = {str(row["id"]): row for row in maintenance_of(posted.snapshot)}
    row = rows.get(forms.text(posted.form, "row", 80))
    if row is None:
        raise stale(message("desk-receipt-gone"))
    uploads = photos_typed(posted.form, posted.problems)
    puts = receipt_typed(posted.form, str(row["item"]), bool(uploads), posted.problems)
    puts += keep_photos(posted, uploads, f"items/{row['item']}")
    return show_maintenance(posted) if posted.problems else posted.record(puts, "baseline")
