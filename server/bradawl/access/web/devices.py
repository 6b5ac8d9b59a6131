"""Pages for phones: the list, adding one by its code, naming, revoking.

Each needs an owner, each change one who confirmed a moment ago.
"""

# No postponed annotations here: FastAPI reads them.
from fastapi import APIRouter, Response

from bradawl.access.core import rate_limits
from bradawl.access.devices.pairing import Waiting
from bradawl.access.devices.registry import ListedDevice
from bradawl.access.web.context import AnyUser, ConfirmedOwner, Insider, Text, User, see
from bradawl.access.web.rendering import day_and_time
from bradawl.common.errors import ApiError
from bradawl.language import listed, message, text

pages = APIRouter(prefix="/desk/devices")
#: The ways by which a phone gets the app and the desk its record.
WAYS = ("wifi", "name", "alone")
#: What may have become of a request that can no longer be answered.
LATE = ("approved", "done", "refused")


@pages.get("")
def devices(user: AnyUser) -> Response:
    if user.person.role != "owner":
        # The desk's main menu leads here; for others there are their own sign-ins.
        return see("/desk/sessions")
    access = user.access
    return user.page(
        "devices/list.html", devices=access.devices.all(), approved=access.pairing.approved()
    )


@pages.post("/{device}/name")
def rename(owner: ConfirmedOwner, device: str, name: Text = "") -> Response:
    owner.access.devices.rename(device, name)
    owner.access.note_name(device)
    owner.record("phone named", name, phone=name, phone_id=device)
    return see("/desk/devices")


@pages.post("/{device}/revoke")
def revoke(owner: ConfirmedOwner, device: str) -> Response:
    name = owner.access.devices.revoke(device)
    owner.record("phone revoked", name, phone=name, phone_id=device)
    return see("/desk/devices")


# Finding a phone by its code, looking at what it claims to be, and the answer


def _page(
    owner: User, phone: Waiting, problem: ApiError | None = None, chosen: str = ""
) -> Response:
    access = owner.access
    known = access.devices.find(phone.device)
    return owner.page(
        "devices/approve.html",
        problem,
        phone=phone,
        known=known,
        seen_ago=ago(access.clock() - known.seen_ms) if known else "",
        recorded=access.recorded(phone.device),
        alike=_alike(access.devices.alike(phone.name, phone.device)),
        people=[p for p in access.people.everybody() if not p.disabled and p.role != "reader"],
        chosen=chosen or (known.person_id if known else owner.person.id),
    )


def _code_page(owner: User, problem: ApiError | None = None) -> Response:
    return owner.page("devices/add.html", problem)


@pages.get("/ways")
def three_ways(user: Insider) -> Response:
    """The guide of the ways by which a phone gets the app, each with its price."""
    return user.page("devices/ways.html", ways=WAYS)


@pages.get("/add")
def add_page(owner: ConfirmedOwner) -> Response:
    return _code_page(owner)


@pages.post("/add")
def find(owner: ConfirmedOwner, code: Text = "") -> Response:
    limits, pairing = owner.access.limits, owner.access.pairing
    # By the person: only who may approve gets here, and their mistakes are theirs alone.
    source = owner.person.id
    limits.check(rate_limits.CODE_MISS, source)
    phone = pairing.find(code)
    if phone is not None:
        return _page(owner, phone)
    limits.count(rate_limits.CODE_MISS, source)
    owner.record("pairing code not known")
    if limits.used(rate_limits.CODE_MISS, source) < rate_limits.CODE_MISS.each:
        return _code_page(owner, ApiError("code", message("access-code-unknown"), 422))
    pairing.close_all()
    owner.record("pairing closed after wrong codes")
    return _code_page(owner, ApiError("code", message("access-code-closed"), 422))


@pages.post("/answer")
def answer(
    owner: ConfirmedOwner,
    ticket: Text = "",
    person: Text = "",
    decision: Text = "",
    understood: Text = "",
    moves: Text = "",
) -> Response:
    pairing = owner.access.pairing
    approve_for = _approved_person(owner, decision, person)
    phone = pairing.waiting(ticket)
    known = owner.access.devices.find(phone.device) if phone else None
    if phone is not None and approve_for is not None:
        # Asked of the form as sent: what it was drawn for may have become known meanwhile.
        untold = None
        if (known or owner.access.recorded(phone.device)) and not understood:
            untold = message("access-tick-known")
        elif known and known.person_id != approve_for and not moves:
            untold = message("access-tick-moves", person=known.person)
        if untold is not None:
            return _page(owner, phone, ApiError("tick", untold, 422), approve_for)
    if phone is None or not pairing.answer(ticket, approve_for=approve_for):
        state = pairing.state_of(ticket)
        late = "access-late-" + state if state in LATE else "access-late"
        return _code_page(owner, ApiError("late", message(late), 409))
    _record_answer(owner, phone, known, approved=approve_for is not None)
    return see("/desk/devices")


def _approved_person(owner: User, decision: str, person_id: str) -> str | None:
    """For whom a phone is approved, None when it is refused. Raises ApiError."""
    if decision == "refuse":
        return None
    if decision != "approve":
        raise ApiError("decision", message("access-decision"), 422)
    person = owner.access.people.person(person_id)
    if person.role == "reader":
        raise ApiError("reader", message("access-reader-phone"), 422)
    return person.id


def _record_answer(
    owner: User, phone: Waiting, known: ListedDevice | None, *, approved: bool
) -> None:
    act = "phone refused"  # stored: not shown
    if approved:
        act = "phone approved"  # stored: not shown
        if known:
            act += " in the place of a known one"  # stored: not shown
    about = phone.name if known is None else f"{known.name} ({phone.name})"
    owner.record(act, about, phone=phone.name, phone_id=phone.device)


def _alike(others: list[ListedDevice]) -> str:
    """Phones of a name that could be taken for another, a few by name."""
    names = [
        text("access-approve-alike-revoked", name=other.name, person=other.person)
        if other.revoked_ms is not None
        else text(
            "access-approve-alike-seen",
            name=other.name, person=other.person, when=day_and_time(other.seen_ms),
        )
        for other in others[:3]
    ]  # fmt: skip
    more = len(others) - len(names)
    return listed([*names, *([text("access-approve-alike-more", count=more)] if more else [])])


def ago(ms: int) -> str:
    """A time that has passed, in words: `3 minutes ago`."""
    minutes = ms // 60_000
    for unit, long in (("day", 24 * 60), ("hour", 60), ("minute", 1)):
        count = minutes // long
        if count >= 1:
            return text("access-ago-" + unit, count=count)
    return text("access-ago-now")
