"""How good the estimates were: what jobs came to, what is left out, whether estimates follow."""

from fastapi import APIRouter, Request, Response

from bradawl.desk.model.changes import change_to
from bradawl.desk.model.errors import stale
from bradawl.desk.model.money.estimates import MISSES, OF_A_KIND, groups_of, rows_of
from bradawl.desk.model.money.learning import SETTING
from bradawl.desk.model.money.lessons import UNCOUNTED, lessons_of
from bradawl.desk.model.profiles.shop_models import SHOP
from bradawl.desk.web import forms
from bradawl.desk.web.context import DeskHere, Writer
from bradawl.desk.web.rendering import render
from bradawl.language import message

pages = APIRouter(prefix="/estimates")


@pages.get("")
def show_estimates(request: Request, desk: DeskHere, kind: str = "") -> Response:
    found, waiting = desk.summaries.lessons()
    bundle = desk.bundle()
    kinds, areas = groups_of(found, bundle)
    rows = rows_of(found, bundle)
    counted = [row for row in rows if not row.lesson.is_left_out]
    of_kind = [row for row in counted if row.lesson.job == kind]
    return render(
        request,
        "money/estimates.html",
        waiting=waiting,
        is_on=desk.summaries.experience().is_on,
        kinds=kinds,
        areas=areas,
        kind=kind,
        of_kind=of_kind[:OF_A_KIND],
        misses=counted[:MISSES],
        left_out=[row for row in rows if row.lesson.is_left_out],
    )


@pages.post("/shift")
def switch(desk: DeskHere, writer: Writer, shift: forms.Text = "") -> Response:
    """Whether the shop's estimates follow what its jobs came to."""
    if shift not in ("on", "off"):
        raise stale(message("desk-estimates-neither"))
    desk.log.append_in(writer, [(SHOP, SETTING, shift == "on")])
    desk.summaries.settle()
    return forms.back("/desk/estimates")


@pages.post("/count")
def count(
    desk: DeskHere, writer: Writer, visit: forms.Text, job: forms.Text, counts: forms.Text = ""
) -> Response:
    """Leave a job out of what is learned, or take it back in; its record says so."""
    snapshot = desk.snapshot(visit)
    if job not in {lesson.job for lesson in lessons_of(snapshot)}:
        raise stale(message("desk-estimates-gone"))
    puts = change_to(snapshot, UNCOUNTED + job, None if counts == "yes" else True)
    if puts:
        desk.log.append(writer, visit, puts)
        desk.summaries.refresh(visit)
    return forms.back("/desk/estimates#left-out")
