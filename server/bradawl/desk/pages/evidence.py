"""What is written down at the desk of what was seen: receipts of maintenance, wires."""

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Response

from bradawl.desk.model import photo_views, wires
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.errors import stale
from bradawl.desk.model.labels import caution_texts, distance_units
from bradawl.desk.model.plan.maintenance import EVIDENCE, maintenance_rows
from bradawl.desk.model.plan.recorded import maintenance_of
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.evidence import receipt_typed
from bradawl.desk.web.inputs.wires import wires_typed
from bradawl.desk.web.inputs.work_log import keep_photos, photos_typed
from bradawl.desk.web.visit_page import VisitForm, VisitPage, render_visit
from bradawl.inspection import cell_values
from bradawl.inspection.wires import CHOICES
from bradawl.language import message

pages = APIRouter(prefix="/visits/{visit}")

#: What anybody who works on wires must know.
CAUTIONS = ("live-wires", "airbag", "high-voltage")


@pages.get("/baseline")
def show_maintenance(page: VisitPage) -> Response:
    photos = photo_views.photos_of(page.snapshot)
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


@pages.post("/baseline")
def save_choices(posted: VisitForm) -> Response:
    """Take due work into the plan, or leave it out."""
    puts: Puts = []
    for row in maintenance_of(posted.snapshot):
        if row["due"]:
            is_wanted = forms.is_ticked(posted.form, f"take:{row['id']}")
            path = f"plan/baseline/{row['id']}"
            puts += change_to(posted.snapshot, path, None if is_wanted else False)
    return posted.record(puts, "baseline")


@pages.post("/baseline/receipt")
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


@pages.get("/wires")
def show_wires(page: VisitPage) -> Response:
    items = wires.item_wires(page.snapshot)
    money: Mapping[str, Any] = page.snapshot.assessment.get("money") or {}
    return render_visit(
        page,
        "visits/wires.html",
        tab="wires",
        items=items,
        tips={line["item"]: line for line in money.get("lines", ()) if line.get("tips_at")},
        words=wires.words_of(page.snapshot),
        choices=CHOICES,
        one=wires.ONE,
        bunch=wires.BUNCH,
        units_of=wires.units_of,
        unit_said=wires.unit_said,
        sources=wires.figure_sources(page.snapshot),
        caution_texts=caution_texts(
            page.snapshot.texts,
            [name for name in CAUTIONS if items and name in page.snapshot.texts["cautions"]],
        ).values(),
    )


@pages.post("/wires")
def save_wires(posted: VisitForm) -> Response:
    item = forms.text(posted.form, "item", 80)
    if item not in [item_wire.id for item_wire in wires.item_wires(posted.snapshot)]:
        raise stale(message("desk-wires-gone"))
    puts = wires_typed(posted.snapshot, posted.form, item, posted.problems)
    return show_wires(posted) if posted.problems else posted.record(puts, "wires")
