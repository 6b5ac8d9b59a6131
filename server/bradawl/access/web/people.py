"""Pages for people: who is here, what they may do, one-time links for their passphrases."""

# No postponed annotations here: FastAPI reads them, and these name local values.
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response
from fastapi.responses import RedirectResponse

from bradawl.access.core.client import address_of
from bradawl.access.core.models import ROLES, Person
from bradawl.access.web.auth import Access
from bradawl.access.web.rendering import render
from bradawl.common.errors import ApiError

Text = Annotated[str, Form()]
AUDIT_LINES = 100


def add(routes: APIRouter, access: Access) -> None:
    """The pages; each needs an owner, each change one who confirmed a moment ago."""
    Owner = Annotated[Person, Depends(access.owner)]  # noqa: N806 - a type
    Confirmed = Annotated[Person, Depends(access.confirmed_owner)]  # noqa: N806 - a type

    def page(
        request: Request,
        me: Person,
        status: int = 200,
        problem: str = "",
        invitation: tuple[str, str] | None = None,
    ) -> Response:
        return render(
            request,
            "people/list.html",
            status,
            problem,
            people=access.people.everybody(),
            roles=ROLES,
            me=me,
            invitation=invitation,
            here="/desk/people",
        )

    def invited(request: Request, me: Person, person: Person) -> Response:
        token = access.people.invite(person.id)
        access.audit.record(
            me.name,
            "one-time link made",
            person.name,
            address_of(request),
            subject=person.name,
            subject_id=person.id,
        )
        link = f"{access.origin_of(request)}/desk/first#{token}"
        return page(request, me, invitation=(person.name, link))

    @routes.get("/desk/people")
    def people(request: Request, owner: Owner) -> Response:
        return page(request, owner)

    @routes.post("/desk/people")
    def add_person(
        request: Request, owner: Confirmed, name: Text = "", role: Text = ""
    ) -> Response:
        try:
            person = access.people.add(name, role)
        except ApiError as wrong:
            return page(request, owner, wrong.status, wrong.message)
        access.audit.record(
            owner.name,
            f"added as {role}",
            person.name,
            address_of(request),
            subject=person.name,
            subject_id=person.id,
        )
        return invited(request, owner, person)

    @routes.post("/desk/people/{person}/invite")
    def invite(request: Request, owner: Confirmed, person: str) -> Response:
        return invited(request, owner, access.people.person(person))

    @routes.post("/desk/people/{person}/role")
    def change_role(request: Request, owner: Confirmed, person: str, role: Text = "") -> Response:
        who = access.people.person(person)
        try:
            access.people.change_role(person, role)
        except ApiError as wrong:
            return page(request, owner, wrong.status, wrong.message)
        access.audit.record(
            owner.name,
            f"made {role}",
            who.name,
            address_of(request),
            subject=who.name,
            subject_id=person,
        )
        return RedirectResponse("/desk/people", 303)

    @routes.post("/desk/people/{person}/shut-out")
    def shut_out(request: Request, owner: Confirmed, person: str) -> Response:
        who = access.people.person(person)
        try:
            access.people.shut_out(person)
        except ApiError as wrong:
            return page(request, owner, wrong.status, wrong.message)
        access.audit.record(
            owner.name,
            "shut out",
            who.name,
            address_of(request),
            subject=who.name,
            subject_id=person,
        )
        return RedirectResponse("/desk/people", 303)

    @routes.get("/desk/audit")
    def audit(request: Request, owner: Owner, before: int | None = None) -> Response:
        lines = access.audit.lines(before=before, count=AUDIT_LINES + 1)
        older = lines[AUDIT_LINES - 1].id if len(lines) > AUDIT_LINES else None
        return render(
            request, "people/audit.html", lines=lines[:AUDIT_LINES], older=older, me=owner
        )
