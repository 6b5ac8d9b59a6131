"""The page of one car's own figures: what settles its checks and limits, and where it was read."""

from fastapi import APIRouter, Response

from bradawl.desk.model.profiles import shop_models as models
from bradawl.desk.model.profiles.figures import changes, groups, known_of
from bradawl.desk.web.inputs.profile import profile_typed
from bradawl.desk.web.visit_page import PageRequest, VisitForm, VisitPage, render_visit
from bradawl.inspection import cell_values
from bradawl.judge.record.profile import WHERE

pages = APIRouter(prefix="/visits/{visit}/profile")


@pages.get("")
def show_profile(page: VisitPage) -> Response:
    return _shown(page)


@pages.post("")
def save_profile(posted: VisitForm) -> Response:
    asked = groups(posted.snapshot.texts, known_of(posted.snapshot))
    typed = profile_typed(posted.form, asked, posted.problems)
    if posted.problems:
        return _shown(posted)
    return posted.record(changes(posted.snapshot, typed), "profile")


def _shown(page: PageRequest) -> Response:
    known = known_of(page.snapshot)
    fits = models.fitting(page.desk.log, page.snapshot)
    return render_visit(
        page,
        "profiles/visit.html",
        tab="profile",
        groups=groups(page.snapshot.texts, known),
        where=WHERE,
        knows=models.title(fits[1]) if fits else "",
        began=cell_values.text(cell_values.mapping(known.get(models.KNOWN)).get("name")),
    )
