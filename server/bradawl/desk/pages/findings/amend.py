"""What is added to an inspection at the desk, and what is corrected; after a seal, amendments."""

from typing import Annotated

from fastapi import APIRouter, Query, Response

from bradawl.desk.model import findings, recorded
from bradawl.desk.model.labels import distance_units, label
from bradawl.desk.web import forms
from bradawl.desk.web.inputs import amend
from bradawl.desk.web.inputs.work_log import keep_photos, photos_typed
from bradawl.desk.web.visit_page import VisitForm, VisitPage, render_visit
from bradawl.inspection import cell_values

pages = APIRouter(prefix="/visits/{visit}/amend")


@pages.get("")
def show_amend(page: VisitPage, item: Annotated[str, Query(max_length=80)] = "") -> Response:
    snapshot = page.snapshot
    texts = snapshot.texts
    odometer = cell_values.mapping(recorded.value(snapshot, "car/odometer"))
    return render_visit(
        page,
        "visits/amend.html",
        tab="findings",
        checks=findings.checks(snapshot),
        areas=texts.get("areas", ()),
        grades=amend.grades(),
        chosen=page.form.get("item", item),
        facts=[
            {"path": path, "label": label(path, texts), "stands": amend.stands(snapshot, path)}
            for path in amend.FACTS
        ],
        distances=distance_units(),
        distance=cell_values.words(odometer.get("unit")),
        signed=bool(snapshot.seals),
    )


@pages.post("/finding")
def add_finding(posted: VisitForm) -> Response:
    uploads = photos_typed(posted.form, posted.problems)
    item, puts = amend.finding_typed(posted.snapshot, posted.form, bool(uploads), posted.problems)
    puts += keep_photos(posted, uploads, f"items/{item}")
    if posted.problems:
        return show_amend(posted)
    posted.desk.log.append(posted.device, posted.visit, puts)
    return forms.back(f"/desk/visits/{posted.visit}#item-" + item.replace(".", "-"))


@pages.post("/facts")
def correct_facts(posted: VisitForm) -> Response:
    puts = amend.facts_typed(posted.snapshot, posted.form, posted.problems)
    if posted.problems:
        return show_amend(posted)
    posted.desk.log.append(posted.device, posted.visit, puts)
    return forms.back(f"/desk/visits/{posted.visit}")
