"""The board of all cars by state, a car's next state, and its photos before and after."""

from typing import Any

from fastapi import APIRouter, Request, Response

from bradawl import language
from bradawl.desk.model import findings, photo_views, recorded
from bradawl.desk.model.labels import item_title
from bradawl.desk.model.plan.work_log import done_jobs
from bradawl.desk.model.typed_values import FieldError, day, paid_cents
from bradawl.desk.model.visits import board, to_sort
from bradawl.desk.model.visits.board_groups import grouped
from bradawl.desk.web import forms
from bradawl.desk.web.context import DeskHere
from bradawl.desk.web.rendering import render
from bradawl.desk.web.visit_page import VisitForm, VisitPage, render_visit
from bradawl.inspection import cell_values
from bradawl.judge.ledger import life
from bradawl.language import message, text

pages = APIRouter()


@pages.get("/board")
def show_board(request: Request, desk: DeskHere) -> Response:
    by_state, unread = desk.summaries.by_state()
    groups = grouped(by_state)
    cars = desk.summaries.read([visit for group in groups for visit in group.shown])
    photos = [car.board.photo for car in cars.values()]
    return render(
        request,
        "cars/board.html",
        groups=groups,
        cars=cars,
        unread=unread,
        states=board.STATES,
        today=desk.today(),
        missing=set(desk.photos_missing([photo for photo in photos if photo])),
    )


@pages.get("/visits/{visit}/state")
def show_state(page: VisitPage) -> Response:
    snapshot = page.snapshot
    return render_visit(
        page,
        "cars/state.html",
        tab="state",
        state_now=life.now(snapshot.cells)["state"],
        states=life.STATES,
        steps=life.steps(snapshot.events)[::-1],
        currency=cell_values.currency(snapshot.cells),
        today=page.desk.today(),
        zone=recorded.zone_of(snapshot),
        author=recorded.author_of,
        name_of=page.desk.name_of,
    )


@pages.post("/visits/{visit}/state")
def move(posted: VisitForm) -> Response:
    """The car's state from a day on; where it was bought or sold, for how much."""
    state = forms.text(posted.form, "state", 20)
    value: dict[str, Any] = {"state": state}
    with posted.problems.of("state"):
        if state not in board.STATES:
            raise FieldError(message("desk-board-state-missing"))
    with posted.problems.of("date"):
        today = posted.desk.today()
        value["date"] = day(forms.date_text(posted.form, "date") or today, text("desk-life-since"))
        if value["date"] > today:
            raise FieldError(message("desk-work-future", date=language.date(value["date"])))
    with posted.problems.of("price"):
        price = forms.text(posted.form, "price", 20)
        if price:
            value["price_cents"] = paid_cents(price, text("desk-life-price"))
        elif state in board.PRICED:
            raise FieldError(message("desk-life-price-missing"))
    if posted.problems:
        return show_state(posted)
    posted.desk.log.append(posted.device, posted.visit, [(board.STATE, value)])
    return forms.back(f"/desk/board#car-{posted.visit}")


@pages.get("/visits/{visit}/photos")
def show_photos(page: VisitPage) -> Response:
    """What waits to be sorted; each job's photos beside those of what it mended; all others."""
    snapshot = page.snapshot
    shown: set[str] = set()
    pairs = []
    for job in done_jobs(snapshot):
        before = [
            picture
            for row in job["items"]
            for picture in photo_views.photos_beside(snapshot, f"items/{row['item']}/grade", str)
        ]
        if before or job["photos"]:
            pairs.append({"title": job["title"], "before": before, "after": job["photos"]})
            shown |= {picture["sha256"] for picture in (*before, *job["photos"])}
    sounds = to_sort.recordings_by_item(snapshot)
    others = []
    for area, items in findings.items_by_area(snapshot):
        photos = [
            picture
            for item in items
            for picture in photo_views.photos_beside(snapshot, f"items/{item}/grade", str)
            if picture["sha256"] not in shown
        ]
        recordings = [
            {**sound, "title": item_title(snapshot.texts, item)}
            for item in items
            for sound in sounds.get(item, ())
        ]
        if photos or recordings:
            others.append({"title": area, "photos": photos, "recordings": recordings})
    return render_visit(
        page,
        "cars/photos.html",
        tab="photos",
        pairs=pairs,
        others=others,
        unsorted=to_sort.unsorted(snapshot),
        checks=findings.checks(snapshot),
        missing=set(page.desk.photos_missing(photo_views.photos_of(snapshot))),
    )
