"""Before one leaves a car: the bargain with its prices, or passed, and what was seen before."""

from fastapi import APIRouter, Response

from bradawl.desk.model import leaving
from bradawl.desk.model.changes import Puts
from bradawl.desk.model.errors import stale
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.leaving import (
    STATES,
    bargain_typed,
    deposit_typed,
    named_typed,
    paper_typed,
    passed_typed,
)
from bradawl.desk.web.inputs.work_log import keep_photos, photos_typed
from bradawl.desk.web.visit_page import FormRequest, VisitForm, VisitPage, render_visit
from bradawl.inspection import cell_values
from bradawl.inspection.offer.leaving import closing_of, leaving_of
from bradawl.judge.ledger import life
from bradawl.language import message

pages = APIRouter(prefix="/visits/{visit}/leaving")
_PAGE = "leaving"


@pages.get("")
def show_leaving(page: VisitPage) -> Response:
    snapshot = page.snapshot
    reasons = leaving.reasons(snapshot)
    before = leaving.before(page.desk.summaries, page.desk.snapshot, snapshot)
    photos = [sha256 for one in reasons for sha256 in one.photos[:1]]
    for start in ("papers/", "deal/deposit/"):
        photos += leaving.photos_below(snapshot, start)
    price = (snapshot.assessment.get("money") or {}).get("price") or {}
    return render_visit(
        page,
        "cars/leaving.html",
        tab=_PAGE,
        leaving=leaving_of(snapshot),
        top=price.get("walk_away"),
        reasons=reasons,
        before=before,
        closing=closing_of(snapshot, page.desk.today()),
        rules={row["id"]: row for row in snapshot.texts.get("closing") or ()},
        sources=snapshot.texts.get("sources") or {},
        states=STATES,
        today=page.desk.today(),
        currency=cell_values.currency(snapshot.cells),
        missing=set(page.desk.photos_missing(photos)),
    )


def _answer(posted: FormRequest, puts: Puts) -> Response:
    if posted.problems:
        return show_leaving(posted)
    answer = posted.record(puts, _PAGE)
    # a car that was passed stands elsewhere in the lists
    posted.desk.summaries.refresh(posted.visit)
    return answer


@pages.post("/bargain")
def settle_bargain(posted: VisitForm) -> Response:
    return _answer(posted, bargain_typed(posted))


@pages.post("/price")
def note_price(posted: VisitForm) -> Response:
    """A price that was asked or offered; those before it stay."""
    return _answer(posted, named_typed(posted))


@pages.post("/deposit")
def note_deposit(posted: VisitForm) -> Response:
    """A deposit with its terms, and a photo of what was written."""
    uploads = photos_typed(posted.form, posted.problems)
    puts = deposit_typed(posted)
    puts += keep_photos(posted, uploads, "deal/deposit")
    return _answer(posted, puts)


@pages.post("/paper")
def settle_paper(posted: VisitForm) -> Response:
    """How one closing paper stands, with a note and photographs of it."""
    known = closing_of(posted.snapshot, posted.desk.today())["papers"]
    paper = forms.text(posted.form, "paper", 60)
    if paper not in [one["id"] for one in known]:
        raise stale(message("leaving-gone"))
    uploads = photos_typed(posted.form, posted.problems)
    puts = paper_typed(posted, paper)
    puts += keep_photos(posted, uploads, f"papers/{paper}")
    return _answer(posted, puts)


@pages.post("/pass")
def pass_car(posted: VisitForm) -> Response:
    return _answer(posted, passed_typed(posted))


@pages.post("/back")
def take_back(posted: VisitForm) -> Response:
    """A price or a passing is taken back; with the last passing the car is looked at again."""
    path = forms.text(posted.form, "path", 60)
    stands = leaving_of(posted.snapshot)
    passed = [f"passed/{one['id']}" for one in stands["passed"]]
    named = [one["put"] for one in stands["prices"] if one["put"].startswith("deal/")]
    if path not in (*passed, *named):
        raise stale(message("leaving-gone"))
    puts: Puts = [(path, None)]
    if passed == [path]:
        step = {"state": "looking", "date": posted.desk.today(), "price_cents": None}
        puts.append((life.PATH, step))
    return _answer(posted, puts)
