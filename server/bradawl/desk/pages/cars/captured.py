"""What was captured on the spot is put with a check; recordings are played."""

from fastapi import APIRouter, Request, Response

from bradawl.common.errors import ApiError
from bradawl.common.ranges import never_a_page, part_or_whole
from bradawl.desk.model import photo_views
from bradawl.desk.model.typed_values import FieldError
from bradawl.desk.model.visits import to_sort
from bradawl.desk.pages.cars.board import show_photos
from bradawl.desk.web import forms
from bradawl.desk.web.context import DeskHere
from bradawl.desk.web.visit_page import VisitForm
from bradawl.language import message

pages = APIRouter()

SUGGESTED = "suggested"


@pages.post("/visits/{visit}/photos/sort")
def sort_captured(posted: VisitForm) -> Response:
    """Put what was ticked with the check that was picked, or one with the check it was taken at."""
    snapshot, form = posted.snapshot, posted.form
    one = forms.text(form, SUGGESTED, 200)
    near = {row["path"]: row["near"] for row in to_sort.unsorted(snapshot)}
    wanted = [one] if one else [path for path in form.getlist("entry") if isinstance(path, str)]
    item = near.get(one, "") if one else forms.text(form, "item", 100)
    with posted.problems.of("item"):
        if not wanted:
            raise FieldError(message("desk-sort-none"))
        if not to_sort.can_take(snapshot, item):
            raise FieldError(message("desk-sort-no-check"))
    if posted.problems:
        return show_photos(posted)
    puts = to_sort.sorted_puts(snapshot, wanted, item)
    if puts:
        posted.desk.log.append(posted.device, posted.visit, puts)
    return forms.back(f"/desk/visits/{posted.visit}/photos")


@pages.get("/recordings/{sha256}")
def play_recording(desk: DeskHere, request: Request, sha256: str) -> Response:
    """A recording as it came, also in parts; nothing but a recording."""
    found = desk.log.photos.recording(sha256) if photo_views.SHA256.fullmatch(sha256) else None
    if found is None:
        raise ApiError("no_recording", message("desk-recording-not-here"), 404)
    kind, data = found
    return part_or_whole(request, data, kind, never_a_page(sha256[:12]))
