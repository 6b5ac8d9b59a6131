"""The money of one car: what was paid, what is ordered, what is still to come; its entries."""

from typing import TYPE_CHECKING, Annotated, Any, NamedTuple

from fastapi import APIRouter, Query, Response

from bradawl.common.errors import ApiError
from bradawl.desk.model import photo_views, recorded
from bradawl.desk.model.money import entries
from bradawl.desk.model.money.car import CarMoney, money_of
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.ledger import entry_typed, shares_typed
from bradawl.desk.web.inputs.work_log import keep_photos, photos_typed
from bradawl.desk.web.visit_page import FormRequest, PageRequest, VisitForm, VisitPage, render_visit
from bradawl.judge.ledger import fields
from bradawl.judge.ledger.entries import KINDS
from bradawl.language import message

if TYPE_CHECKING:
    from bradawl.judge.values.types import LedgerGroup

pages = APIRouter(prefix="/visits/{visit}/money")
Filter = Annotated[str, Query(max_length=200)]


@pages.get("")
def show_money(
    page: VisitPage, kind: Filter = "", job: Filter = "", vendor: Filter = "", who: Filter = ""
) -> Response:
    return _show(page, {"kind": kind, "job": job, "vendor": vendor, "who": who})


def _show(page: PageRequest, wanted: dict[str, str] | None = None) -> Response:
    wanted = wanted or dict.fromkeys(entries.FILTERS, "")
    money = money_of(page.snapshot)
    views = entries.entry_views(page.snapshot, money)
    shown = entries.narrowed(views, wanted)
    listed = [view.shown for view in views]
    return render_visit(
        page,
        "money/car.html",
        tab="money",
        money=money,
        entries=shown,
        shown_cents=sum(view.cents for view in shown),
        every=len(views),
        wanted=wanted,
        vendors=sorted({entry["vendor"] for entry in listed if entry["vendor"]}),
        partners=sorted({entry["paid_by"] for entry in listed if entry["paid_by"]}),
        others=_other_cars(page),
        name_of=page.desk.name_of,
        **_form_values(page, money),
    )


def _form_values(page: PageRequest, money: CarMoney) -> dict[str, Any]:
    photos = photo_views.photos_of(page.snapshot)
    return {
        "kinds": KINDS,
        "me": entries.ME,
        "new_id": entries.new_id(),
        "today": page.desk.today(),
        "zone": recorded.zone_of(page.snapshot),
        "missing": set(page.desk.photos_missing(photos)),
        "author": recorded.author_of,
        "job_choices": sorted(money.titles.items(), key=lambda pair: (pair[1], pair[0])),
        "line_choices": sorted(money.lines.items(), key=lambda pair: (pair[1], pair[0])),
    }


class OtherCar(NamedTuple):
    """A car that an order may be split over, with its jobs: id and title."""

    visit: str
    name: str
    jobs: tuple[tuple[str, str], ...]


def _other_cars(page: PageRequest) -> list[OtherCar]:
    names = [one for one in page.desk.summaries.names() if one[0] != page.visit]
    read = page.desk.summaries.read([visit for visit, _ in names])
    return [
        OtherCar(visit, name, read[visit].board.open_jobs if visit in read else ())
        for visit, name in names
    ]


@pages.post("")
def add_entry(posted: VisitForm) -> Response:
    money = money_of(posted.snapshot)
    value = entry_typed(posted, money.titles, money.lines)
    name = _new_name(posted)
    if entries.group_of(money, name) is not None:  # sent twice: it is there
        return forms.back(_address(posted, name))
    uploads = photos_typed(posted.form, posted.problems)
    ticked = [name.removeprefix("split:") for name in posted.form if name.startswith("split:")]
    known = {line.visit for line in posted.desk.log.visits_named(ticked)} - {posted.visit}
    jobs_of = {
        visit: money_of(posted.desk.snapshot(visit)).titles
        for visit in dict.fromkeys(ticked)
        if visit in known
    }
    shares = shares_typed(
        posted.form, posted.problems, posted.visit, jobs_of, value.get("amount_cents", 0)
    )
    receipts = keep_photos(posted, uploads, f"ledger/{name}")
    if receipts:
        value["receipt"] = receipts[0][0].rsplit("/", 1)[1]
    if posted.problems:
        return _show(posted)
    owned = [(posted.visit, value)]
    if shares:
        owned = entries.split(value, entries.new_id(), shares)
    puts = []
    for visit, own in owned:
        own_name = name if visit == posted.visit else entries.new_id()
        puts.append((f"inspection/{visit}", f"ledger/{own_name}", own))
    puts += [(f"inspection/{posted.visit}", path, told) for path, told in receipts]
    posted.desk.log.append_in(posted.device, puts)  # all shares at once, or none
    return forms.back(_address(posted, name))


def _new_name(posted: FormRequest) -> str:
    typed = forms.text(posted.form, "new", 20)
    return typed if fields.is_id(typed) else entries.new_id()


def _address(page: PageRequest, name: str) -> str:
    return f"/desk/visits/{page.visit}/money#entry-{name.replace('/', '-').replace('.', '-')}"


@pages.get("/entry")
def show_entry(page: VisitPage, entry: Annotated[str, Query(max_length=200)]) -> Response:
    return _show_entry(page, entry)


def _show_entry(page: PageRequest, name: str, *, changed: bool = False) -> Response:
    money = money_of(page.snapshot)
    group = entries.group_of(money, name)
    if group is None:
        raise ApiError("no_entry", message("desk-money-no-entry"), 404)
    return render_visit(
        page,
        "money/entry.html",
        tab="money",
        money=money,
        view=entries.view_of(page.snapshot, group),
        shares=_shares_elsewhere(page, group),
        changed=changed,
        name_of=page.desk.name_of,
        **_form_values(page, money),
    )


def _shares_elsewhere(page: PageRequest, group: "LedgerGroup") -> list[entries.ShareView]:
    """The other cars' shares of the order that an entry is a share of."""
    order = group["open"][0]["order"]
    cars = [car for car in order["cars"] if car != page.visit] if order is not None else []
    known = [line.visit for line in page.desk.log.visits_named(cars)]
    found = (
        [entries.share_of(page.desk.snapshot(car), order["id"]) for car in known] if order else []
    )
    return [share for share in found if share is not None]


@pages.post("/entry")
def correct_entry(posted: VisitForm) -> Response:
    money = money_of(posted.snapshot)
    name = forms.text(posted.form, "entry", 200)
    group = entries.group_of(money, name)
    if group is None:
        raise ApiError("no_entry", message("desk-money-no-entry"), 404)
    own = _new_name(posted)
    if entries.group_of(money, own) is not None:  # sent twice: it is there
        return forms.back(_address(posted, own))
    is_back = forms.is_ticked(posted.form, "withdraw")
    value: dict[str, Any] = {"withdrawn": True, "kind": group["open"][0]["kind"]}
    if is_back:
        value["date"] = posted.desk.today()
    else:
        value = entry_typed(posted, money.titles, money.lines)
    uploads = photos_typed(posted.form, posted.problems)
    seen = forms.text(posted.form, "seen", 2000).split()
    if seen != [entry["id"] for entry in group["open"]]:
        with posted.problems.of("seen"):
            raise ApiError("changed", message("desk-money-changed"), 409)
        return _show_entry(posted, name, changed=True)
    receipts = keep_photos(posted, uploads, f"ledger/{own}")
    if posted.problems:
        return _show_entry(posted, name)
    if receipts:
        value["receipt"] = receipts[0][0].rsplit("/", 1)[1]
    elif not is_back and group["open"][0]["receipt"]:
        value["receipt"] = group["open"][0]["receipt"]
    puts = [(f"ledger/{own}", entries.corrected(value, group)), *receipts]
    posted.desk.log.append(posted.device, posted.visit, puts)
    return forms.back(_address(posted, group["entries"][0]["id"]))
