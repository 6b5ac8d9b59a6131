"""Pages for people: who is here, what they may do, one-time links for their passphrases.

Each needs an owner, each change one who confirmed a moment ago.
"""

# No postponed annotations here: FastAPI reads them.
from fastapi import APIRouter, Response

from bradawl.access.core.audit import LISTED_EACH_HOUR, MORE
from bradawl.access.core.models import ROLES, Person
from bradawl.access.web.context import ConfirmedOwner, Owner, Text, User, see
from bradawl.common.errors import ApiError

pages = APIRouter()
AUDIT_LINES = 100


def _page(
    user: User, problem: ApiError | None = None, invitation: tuple[str, str] | None = None
) -> Response:
    return user.page(
        "people/list.html",
        problem,
        people=user.access.people.everybody(),
        roles=ROLES,
        invitation=invitation,
        here="/desk/people",
    )


def _invited(user: User, person: Person) -> Response:
    token = user.access.people.invite(person.id)
    user.record_about("one-time link made", person)
    link = f"{user.access.origin_of(user.request)}/desk/first#{token}"
    return _page(user, invitation=(person.name, link))


@pages.get("/desk/people")
def people(owner: Owner) -> Response:
    return _page(owner)


@pages.post("/desk/people")
def add_person(owner: ConfirmedOwner, name: Text = "", role: Text = "") -> Response:
    try:
        person = owner.access.people.add(name, role)
    except ApiError as problem:
        return _page(owner, problem)
    owner.record_about(f"added as {role}", person)
    return _invited(owner, person)


@pages.post("/desk/people/{person}/invite")
def invite(owner: ConfirmedOwner, person: str) -> Response:
    return _invited(owner, owner.access.people.person(person))


@pages.post("/desk/people/{person}/role")
def change_role(owner: ConfirmedOwner, person: str, role: Text = "") -> Response:
    subject = owner.access.people.person(person)
    try:
        owner.access.people.change_role(person, role)
    except ApiError as problem:
        return _page(owner, problem)
    owner.record_about(f"made {role}", subject)
    return see("/desk/people")


@pages.post("/desk/people/{person}/shut-out")
def shut_out(owner: ConfirmedOwner, person: str) -> Response:
    subject = owner.access.people.person(person)
    try:
        owner.access.people.shut_out(person)
    except ApiError as problem:
        return _page(owner, problem)
    owner.record_about("shut out", subject)
    return see("/desk/people")


@pages.get("/desk/audit")
def audit(owner: Owner, before: int | None = None) -> Response:
    lines = owner.access.audit.lines(before=before, count=AUDIT_LINES + 1)
    older = lines[AUDIT_LINES - 1].id if len(lines) > AUDIT_LINES else None
    return owner.page(
        "people/audit.html",
        lines=lines[:AUDIT_LINES],
        older=older,
        more=MORE,
        most=LISTED_EACH_HOUR,
    )
