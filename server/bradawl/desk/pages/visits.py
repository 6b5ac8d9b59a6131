"""The list of visits, one visit with everything found in it, its photos, and a dropped PDF."""

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Depends, File, Query, Request, Response, UploadFile

from bradawl.common.display_text import quoted
from bradawl.common.errors import ApiError
from bradawl.desk.model import findings, photo_views, recorded, seals
from bradawl.desk.model.labels import item_title
from bradawl.desk.model.records.chains import any_orders
from bradawl.desk.model.visits import conflicts, doubts, finding_list, to_sort
from bradawl.desk.model.visits.people import called
from bradawl.desk.model.visits.summaries import ON_A_PAGE
from bradawl.desk.model.visits.walked import walked
from bradawl.desk.web.car_map import car_map
from bradawl.desk.web.context import DeskHere, Person, Writer
from bradawl.desk.web.rendering import render
from bradawl.desk.web.visit_page import VisitPage, render_visit
from bradawl.imaging.errors import PictureError
from bradawl.imaging.placeholder import placeholder
from bradawl.inspection.after.driving import plan_of, stops_of
from bradawl.inspection.as_bought import bought_of, verdict_at_purchase
from bradawl.inspection.signed_verdict import signed_verdict
from bradawl.inspection.standing import (
    answer_found,
    answer_now,
    drive_now,
    found_line,
    inspected_on,
)
from bradawl.language import message, spoken, text

pages = APIRouter()
PDF_LIMIT_MB = 200


@pages.get("/")
def list_visits(
    request: Request,
    desk: DeskHere,
    person: Person,
    page: Annotated[int, Query(ge=1, le=100_000)] = 1,
    words: Annotated[str, Query(max_length=80)] = "",
) -> Response:
    words = words.strip()
    first = (page - 1) * ON_A_PAGE
    if words:
        rows, count, waiting = desk.summaries.find(words, first)
    else:
        rows, count = desk.summaries.rows(first), desk.summaries.count()
        waiting = sum(row.summary is None and not desk.summaries.unreadable(row) for row in rows)
    is_owner = desk.is_owner(person)
    return render(
        request,
        "visits/list.html",
        rows=rows,
        words=words,
        page=page,
        pages=max(1, -(-count // ON_A_PAGE)),
        waiting=waiting,
        unread=[
            row.visit for row in rows if row.summary is None and not desk.summaries.unreadable(row)
        ],
        health=desk.health(),
        owns=is_owner,
        unreadable={row.visit for row in rows if desk.summaries.unreadable(row)},
        shelved=desk.summaries.count_shelved(),
        chains=len(desk.log.marked()) if is_owner else 0,
        ordered=is_owner and any_orders(desk.log.orders()),
    )


@pages.get("/reading")
def still_reading(
    desk: DeskHere,
    visit: Annotated[list[str] | None, Query(max_length=ON_A_PAGE)] = None,
    words: Annotated[str, Query(max_length=80)] = "",
) -> dict[str, list[str] | int]:
    """Which of these visits are still being read, for a page that fills itself in (`fill.js`).

    Of a search, how many are: nobody knows yet whether they match.
    """
    if words.strip():
        return {"unread": [], "left": desk.summaries.find(words.strip())[2]}
    unread = [
        row.visit
        for row in desk.summaries.of(visit or [])
        if row.summary is None and not desk.summaries.unreadable(row)
    ]
    return {"unread": unread, "left": len(unread)}


def _wanted(
    area: Annotated[str, Query(max_length=60)] = "",
    grade: Annotated[str, Query(max_length=20)] = "",
    standing: Annotated[str, Query(max_length=20)] = "",
    words: Annotated[str, Query(max_length=80)] = "",
) -> finding_list.Wanted:
    return finding_list.Wanted(area, grade, standing, words.strip())


@pages.get("/visits/{visit}")
def show_visit(
    page: VisitPage, person: Person, wanted: Annotated[finding_list.Wanted, Depends(_wanted)]
) -> Response:
    snapshot = page.snapshot
    name_of = called(snapshot.cells, page.desk.name_of)
    photos = photo_views.photos_of(snapshot)
    found, bought = findings.areas(snapshot), bought_of(snapshot)
    areas = finding_list.narrowed(snapshot, found, wanted)
    # what it is worth at the curb stays as it stood before anybody bought or mended it
    at_the_curb = bought.assessment if bought else snapshot.assessment
    titles = {item["id"]: item["title"] for item in snapshot.texts["items"]}
    driving: Mapping[str, Any] = snapshot.texts.get("driving") or {}
    may_drive = answer_now(snapshot.assessment) in ("drive", "limits")
    return render_visit(
        page,
        "visits/show.html",
        tab="findings",
        drive=spoken(drive_now(snapshot.assessment), snapshot.texts["rules"]),
        found=found_line(answer_found(snapshot.assessment), inspected_on(snapshot.cells)),
        found_drive=spoken(snapshot.assessment.get("drive_home", {}), snapshot.texts["rules"]),
        decision=spoken(at_the_curb.get("decision", {}), snapshot.texts["rules"]),
        money=at_the_curb.get("money", {}),
        unpriced_titles=[
            item_title(snapshot.texts, item)
            for item in at_the_curb.get("money", {}).get("unpriced", [])
        ],
        price_groups=finding_list.price_groups(snapshot, at_the_curb),
        histories=spoken(snapshot.assessment.get("histories", []), snapshot.texts["rules"]),
        titles=titles,
        drive_stops=stops_of(snapshot.cells, driving, snapshot.assessment),
        # a car to be hauled gets no plan of a drive
        drive_plan=plan_of(driving, snapshot.assessment, titles) if may_drive else {},
        signed=signed_verdict(snapshot.sealed_cells),
        verdict_now=verdict_at_purchase(snapshot.assessment, bought),
        tally=findings.tally(snapshot),
        coverage=snapshot.assessment.get("coverage", {}),
        areas=areas,
        wanted=wanted,
        standings=finding_list.STANDINGS,
        grades=finding_list.grades_found(areas),
        found_count=sum(len(area["all"]) for area in areas),
        shown_count=sum(len(area["findings"]) for area in areas),
        leads=finding_list.leads(snapshot),
        car=car_map(snapshot, found),
        unseen=findings.not_inspected(snapshot),
        conflicts=findings.conflicts(snapshot, name_of) + conflicts.reopened(snapshot, name_of),
        settled=conflicts.settled(snapshot, name_of),
        walked=walked(snapshot, name_of, page.desk.log.own_devices),
        doubts=doubts.doubts(snapshot),
        amendments=seals.amendments(snapshot, name_of),
        seals=seals.seals(snapshot, name_of),
        zone=recorded.zone_of(snapshot),
        unconfirmed=seals.unconfirmed(snapshot, name_of),
        owner=page.desk.is_owner(person),
        photos_total=len(photos),
        unsorted=len(to_sort.unsorted(snapshot)),
        sounds=to_sort.recordings_by_item(snapshot),
        missing=set(page.desk.photos_missing(photos)),
    )


@pages.get("/photos/{sha256}")
def show_photo(desk: DeskHere, sha256: str) -> Response:
    try:
        data = desk.log.photo(sha256) if photo_views.SHA256.fullmatch(sha256) else None
    except PictureError as error:
        headers = {"Cache-Control": "no-store"}
        return Response(
            placeholder(error.message), error.status, headers, media_type="image/svg+xml"
        )
    if data is None:
        raise ApiError("no_photo", message("desk-photo-not-here"), 404)
    # named by its content, so it never changes; private, because it is the owner's
    headers = {"Cache-Control": "private, max-age=31536000, immutable"}  # a header: not shown
    return Response(data, media_type="image/jpeg", headers=headers)


@pages.get("/verify")
def show_verify(request: Request) -> Response:
    return render(request, "records/verify.html", name="", verdict=None, problem="")


@pages.post("/verify")
def verify(
    request: Request, desk: DeskHere, _writer: Writer, pdf: Annotated[UploadFile, File()]
) -> Response:
    data = pdf.file.read((PDF_LIMIT_MB << 20) + 1)
    problem, verdict = "", None
    name = quoted(pdf.filename or text("desk-verify-the-file"), 60)[1:-1]
    if not data:
        problem = text("desk-verify-no-file")
    elif len(data) > PDF_LIMIT_MB << 20:
        problem = text("desk-error-file-large", name=name, most=PDF_LIMIT_MB)
    elif b"%PDF-" not in data[:1024]:
        problem = text("desk-verify-no-pdf", name=name)
    else:
        verdict = desk.verify(data)
    return render(
        request,
        "records/verify.html",
        status=422 if problem else 200,
        name=name,
        verdict=verdict,
        problem=problem,
    )
