"""Pages for phones: the list, adding one by its code, naming, revoking."""

# No postponed annotations here: FastAPI reads them, and these name local values.
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response
from fastapi.responses import RedirectResponse

from bradawl.access.core import rate_limits
from bradawl.access.core.client import address_of
from bradawl.access.core.models import Person
from bradawl.access.devices.pairing import Waiting
from bradawl.access.people.sessions import SignedIn
from bradawl.access.web.auth import Access
from bradawl.access.web.rendering import render
from bradawl.common.errors import ApiError

Text = Annotated[str, Form()]
TICK_KNOWN = "This phone is known here. Tick what it says about that first; nothing was changed."
TICK_MOVES = "Choose them, or tick that it changes hands; nothing was changed."
TOO_LATE = "The phone no longer waits: its five minutes are over. Let it ask again."
#: Why a request can no longer be answered, by what became of it.
LATE = {
    "approved": "This phone was approved a moment ago; nothing more is to be done.",
    "done": "This phone was approved a moment ago and has its pairing; nothing more is to be done.",
    "refused": "This phone was refused a moment ago. To let it in, let it ask again.",
}
WINDOW_CLOSED = (
    "Five wrong codes: every phone that was waiting has been turned away. "
    "Let the phone ask again and type its new code."
)


def add(routes: APIRouter, access: Access) -> None:
    """The pages; each needs an owner, each change one who confirmed a moment ago."""
    _add_approval(routes, access)
    Known = Annotated[SignedIn, Depends(access.signed_in)]  # noqa: N806 - a type
    Confirmed = Annotated[Person, Depends(access.confirmed_owner)]  # noqa: N806 - a type

    @routes.get("/desk/devices")
    def devices(request: Request, who: Known) -> Response:
        if who.person.role != "owner":
            # The desk's main menu leads here; for others there are their own sign-ins.
            return RedirectResponse("/desk/sessions", 303)
        return render(
            request,
            "devices/list.html",
            devices=access.devices.all(),
            approved=access.pairing.approved(),
            me=who.person,
        )

    @routes.post("/desk/devices/{device}/name")
    def rename(request: Request, owner: Confirmed, device: str, name: Text = "") -> Response:
        access.devices.rename(device, name)
        access.note_name(device)
        access.audit.record(
            owner.name, "phone named", name, address_of(request), phone=name, phone_id=device
        )
        return RedirectResponse("/desk/devices", 303)

    @routes.post("/desk/devices/{device}/revoke")
    def revoke(request: Request, owner: Confirmed, device: str) -> Response:
        name = access.devices.revoke(device)
        access.audit.record(
            owner.name, "phone revoked", name, address_of(request), phone=name, phone_id=device
        )
        return RedirectResponse("/desk/devices", 303)


def _add_approval(routes: APIRouter, access: Access) -> None:
    """Finding a phone by its code, looking at what it claims to be, and the answer."""
    Confirmed = Annotated[Person, Depends(access.confirmed_owner)]  # noqa: N806 - a type

    def page(
        request: Request,
        me: Person,
        phone: Waiting,
        status: int = 200,
        problem: str = "",
        chosen: str = "",
    ) -> Response:
        known = access.devices.known(phone.device)
        people = [
            one for one in access.people.everybody() if not one.disabled and one.role != "reader"
        ]
        return render(
            request,
            "devices/approve.html",
            status,
            problem,
            phone=phone,
            known=known,
            seen_ago=ago(access.clock() - known.seen_ms) if known else "",
            recorded=access.recorded(phone.device),
            alike=access.devices.alike(phone.name, phone.device),
            me=me,
            people=people,
            chosen=chosen or (known.person_id if known else me.id),
        )

    @routes.get("/desk/devices/add")
    def add_page(request: Request, owner: Confirmed) -> Response:
        return render(request, "devices/add.html", me=owner)

    @routes.post("/desk/devices/add")
    def find(request: Request, owner: Confirmed, code: Text = "") -> Response:
        address = address_of(request)
        # By the person: only who may approve gets here, and their mistakes are theirs alone.
        access.limits.check(rate_limits.CODE_MISS, owner.id)
        found = access.pairing.find(code)
        if found is not None:
            return page(request, owner, found)
        access.limits.count(rate_limits.CODE_MISS, owner.id)
        access.audit.record(owner.name, "pairing code not known", "", address)
        problem = "No phone that is waiting shows this code. Look at the phone and type it again."
        if access.limits.used(rate_limits.CODE_MISS, owner.id) >= rate_limits.CODE_MISS.each:
            access.pairing.close_all()
            access.audit.record(owner.name, "pairing closed after wrong codes", "", address)
            problem = WINDOW_CLOSED
        return render(request, "devices/add.html", 422, problem, me=owner)

    @routes.post("/desk/devices/answer")
    def answer(
        request: Request,
        owner: Confirmed,
        ticket: Text = "",
        person: Text = "",
        decision: Text = "",
        understood: Text = "",
        moves: Text = "",
    ) -> Response:
        phone = access.pairing.waiting(ticket)
        approve_for: str | None = None
        if decision == "approve":
            who = access.people.person(person)
            if who.role == "reader":
                raise ApiError("reader", "A reader has no phone; choose somebody else.", 422)
            approve_for = who.id
        elif decision != "refuse":
            raise ApiError("decision", "Approve or refuse: the form said neither.", 422)
        known = access.devices.known(phone.device) if phone else None
        if phone is not None and approve_for is not None:
            # Asked of the form as sent: what it was drawn for may have become known meanwhile.
            problem = ""
            if (known or access.recorded(phone.device)) and not understood:
                problem = TICK_KNOWN
            elif known and known.person_id != approve_for and not moves:
                problem = f"This phone belongs to {known.person}. {TICK_MOVES}"
            if problem:
                return page(request, owner, phone, 422, problem, approve_for)
        if phone is None or not access.pairing.answer(ticket, approve_for=approve_for):
            late = LATE.get(access.pairing.state_of(ticket) or "", TOO_LATE)
            return render(request, "devices/add.html", 409, late, me=owner)
        act = "phone refused"
        if approve_for:
            act = "phone approved in the place of a known one" if known else "phone approved"
        about = phone.name if known is None else f"{known.name}, which calls itself {phone.name}"
        access.audit.record(
            owner.name, act, about, address_of(request), phone=phone.name, phone_id=phone.device
        )
        return RedirectResponse("/desk/devices", 303)


def ago(ms: int) -> str:
    """A time that has passed, in words: `3 minutes ago`."""
    minutes = ms // 60_000
    for unit, long in (("day", 24 * 60), ("hour", 60), ("minute", 1)):
        count = minutes // long
        if count >= 1:
            return f"{count} {unit}{'' if count == 1 else 's'} ago"
    return "a moment ago"
