"""Pages for phones: the list, adding one by its code, naming, revoking."""

# No postponed annotations here: FastAPI reads them, and these name local values.
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response
from fastapi.responses import RedirectResponse

from bradawl.access import limits
from bradawl.access.access import Access
from bradawl.access.pages import render
from bradawl.access.people import Person
from bradawl.access.requests import address_of
from bradawl.access.sessions import SignedIn
from bradawl.errors import ApiError

Text = Annotated[str, Form()]
WINDOW_CLOSED = (
    "Five wrong codes: every phone that was waiting has been turned away. "
    "Let the phone ask again and type its new code."
)


def add(routes: APIRouter, access: Access) -> None:
    """The pages; each needs an owner, each change one who confirmed a moment ago."""
    Known = Annotated[SignedIn, Depends(access.signed_in)]  # noqa: N806 - a type
    Confirmed = Annotated[Person, Depends(access.confirmed_owner)]  # noqa: N806 - a type

    @routes.get("/desk/devices")
    def devices(request: Request, who: Known) -> Response:
        if who.person.role != "owner":
            # The desk's main menu leads here; for others there are their own sign-ins.
            return RedirectResponse("/desk/sessions", 303)
        return render(
            request,
            "devices.html",
            devices=access.devices.all(),
            approved=access.pairing.approved(),
            me=who.person,
        )

    @routes.get("/desk/devices/add")
    def add_page(request: Request, owner: Confirmed) -> Response:
        return render(request, "device_add.html", me=owner)

    @routes.post("/desk/devices/add")
    def find(request: Request, owner: Confirmed, code: Text = "") -> Response:
        address = address_of(request)
        access.limits.check(limits.CODE_MISS, address)
        found = access.pairing.find(code)
        if found is not None:
            return render(
                request,
                "device_approve.html",
                phone=found,
                me=owner,
                people=[
                    one
                    for one in access.people.everybody()
                    if not one.disabled and one.role != "reader"
                ],
            )
        access.limits.count(limits.CODE_MISS, address)
        access.audit.record(owner.name, "pairing code not known", "", address)
        problem = "No phone that is waiting shows this code. Look at the phone and type it again."
        if access.limits.used(limits.CODE_MISS) >= limits.CODE_MISS.all:
            access.pairing.close_all()
            access.audit.record(owner.name, "pairing closed after wrong codes", "", address)
            problem = WINDOW_CLOSED
        return render(request, "device_add.html", 422, problem, me=owner)

    @routes.post("/desk/devices/answer")
    def answer(
        request: Request,
        owner: Confirmed,
        ticket: Text = "",
        person: Text = "",
        decision: Text = "",
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
        if phone is None or not access.pairing.answer(ticket, approve_for=approve_for):
            late = "The phone no longer waits: its five minutes are over. Let it ask again."
            return render(request, "device_add.html", 409, late, me=owner)
        act = "phone approved" if approve_for else "phone refused"
        access.audit.record(owner.name, act, phone.name, address_of(request))
        return RedirectResponse("/desk/devices", 303)

    @routes.post("/desk/devices/{device}/name")
    def rename(request: Request, owner: Confirmed, device: str, name: Text = "") -> Response:
        access.devices.rename(device, name)
        access.audit.record(owner.name, "phone named", name, address_of(request))
        return RedirectResponse("/desk/devices", 303)

    @routes.post("/desk/devices/{device}/revoke")
    def revoke(request: Request, owner: Confirmed, device: str) -> Response:
        name = access.devices.revoke(device)
        access.audit.record(owner.name, "phone revoked", name, address_of(request))
        return RedirectResponse("/desk/devices", 303)
