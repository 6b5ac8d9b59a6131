"""Pages for getting in: sign in, set a passphrase by a one-time code, confirm, sign out."""

# No postponed annotations here: FastAPI reads them.
from typing import Literal

from fastapi import APIRouter, Request, Response
from starlette.concurrency import run_in_threadpool

from bradawl.access.core import rate_limits, tokens
from bradawl.access.core.audit import NOBODY
from bradawl.access.core.client import address_of, stranger_of
from bradawl.access.core.models import Person
from bradawl.access.web.auth import Access
from bradawl.access.web.context import AnyUser, Here, Owner, Text, User, page_of, see
from bradawl.access.web.rendering import safe_next
from bradawl.common.errors import ApiError
from bradawl.language import message
from bradawl.operations import identify

pages = APIRouter(prefix="/desk")


@pages.post("/sign-out")
def sign_out(request: Request, parts: Here) -> Response:
    access = parts.access
    token = access.desk_token(request)
    who = access.sessions.signed_in(token) if token else None
    if who is not None:
        access.sessions.end(token)
        identify(who.person.id, who.person.name)
        access.audit.record(who.person.name, "signed out", "", address_of(request))
    response = see("/desk/sign-in")
    access.clear_desk_cookie(response)
    return response


# Sign in

SIGN_IN = "people/sign_in.html"
WRONG = ApiError("passphrase", message("access-wrong-passphrase"), 401)


@pages.get("/sign-in")
def sign_in_page(request: Request, parts: Here, next: str = "/desk/") -> Response:  # noqa: A002
    return _sign_in_page(request, parts.access, next=safe_next(next), name="")


def _sign_in_page(
    request: Request, access: Access, error: ApiError | None = None, **values: str
) -> Response:
    is_kept = access.kept_forms.waits(tokens.digest(access.browser_token(request)))
    return page_of(request, SIGN_IN, error, is_kept=is_kept, **values)


@pages.post("/sign-in")
async def sign_in(
    request: Request,
    parts: Here,
    name: Text = "",
    passphrase: Text = "",
    next: Text = "/desk/",  # noqa: A002
) -> Response:
    access, place = parts.access, safe_next(next)
    caller = await run_in_threadpool(access.caller, request, name)
    try:
        person = await access.checking.check(caller, lambda: access.people.check(name, passphrase))
    except ApiError as error:
        return _sign_in_page(request, access, error, next=place, name=name)
    if person is None:
        await run_in_threadpool(_note_failure, request, access, name)
        return _sign_in_page(request, access, WRONG, next=place, name=name)
    act = "signed in"  # stored: not shown
    return await run_in_threadpool(_let_in, request, access, person, act, place)


def _note_failure(request: Request, access: Access, name: str) -> None:
    person_id = access.people.id_of(name)
    # What else was typed may be a passphrase in the wrong field.
    tried = name.strip() if person_id else "an unknown name"  # log: not shown
    access.audit.record_unasked(
        NOBODY, "sign-in failed", name[:60], address_of(request),
        subject=tried, subject_id=person_id,
    )  # fmt: skip


def _let_in(request: Request, access: Access, person: Person, act: str, place: str) -> Response:
    identify(person.id, person.name)
    access.audit.record(person.name, act, "", address_of(request))
    response = see(place)
    access.let_in(request, response, person)
    return response


# A passphrase by a one-time code

FIRST = "people/first_owner.html"
UNKNOWN_CODE = ApiError(
    "one_time_code",
    message("access-unknown-invitation"),
    403,
)


@pages.get("/first")
def first_page(request: Request) -> Response:
    return page_of(request, FIRST, token="", name="")


@pages.post("/first")
async def first(
    request: Request,
    parts: Here,
    token: Text = "",
    name: Text = "",
    passphrase: Text = "",
    again: Text = "",
) -> Response:
    access, token = parts.access, token.strip()

    def keep() -> Response:
        try:
            person = access.people.accept(token, name, passphrase, again)
        except ApiError as error:
            return page_of(request, FIRST, error, token=token, name=name)
        if person is None:
            return _unknown_code(request, access, name)
        return _let_in(request, access, person, "passphrase set", "/desk/")  # stored: not shown

    if await run_in_threadpool(access.people.invited, token) is None:
        return await run_in_threadpool(_unknown_code, request, access, name)
    return await access.checking.choose(token, keep)


def _unknown_code(request: Request, access: Access, name: str) -> Response:
    # Counted when it is wrong and not before: a code that holds is never turned away.
    access.limits.count(rate_limits.INVITATION_MISS, stranger_of(request))
    access.audit.record_unasked(NOBODY, "one-time code failed", "", address_of(request))
    return page_of(request, FIRST, UNKNOWN_CODE, token="", name=name)


# The first passphrase, while the desk stands open

CHOOSE = "people/passphrase.html"


@pages.get("/passphrase")
def passphrase_page(owner: Owner) -> Response:
    if not owner.access.is_open_to(owner.request):
        return see("/desk/people")
    return owner.page(CHOOSE, name=owner.person.name, next="/desk/")


@pages.post("/passphrase")
async def choose_passphrase(
    owner: Owner,
    name: Text = "",
    passphrase: Text = "",
    again: Text = "",
    next: Text = "/desk/",  # noqa: A002
) -> Response:
    """Whoever is at an open desk is its owner already: no code is needed to close it."""
    access, request, place = owner.access, owner.request, safe_next(next)
    if not access.is_open_to(request):
        return see("/desk/people")

    def keep() -> Response:
        token = access.people.invite(owner.person.id)
        try:
            person = access.people.accept(token, name, passphrase, again)
        except ApiError as error:
            return owner.page(CHOOSE, error, name=name, next=place)
        assert person is not None
        return _let_in(request, access, person, "passphrase set", place)  # stored: not shown

    return await access.checking.choose("first", keep)


# The passphrase once more

CONFIRM = "people/confirm.html"
NOT_YOURS = ApiError("passphrase", message("access-not-yours"), 401)


@pages.get("/confirm")
def confirm_page(user: AnyUser, next: str = "/desk/") -> Response:  # noqa: A002
    return page_of(user.request, CONFIRM, next=safe_next(next), name=user.person.name)


@pages.post("/confirm")
async def confirm(
    user: AnyUser,
    passphrase: Text = "",
    next: Text = "/desk/",  # noqa: A002
) -> Response:
    access, place = user.access, safe_next(next)

    caller = access.caller_of(user.request, user.person, user.session)

    def look() -> Literal[True] | None:
        return access.sessions.confirm(access.desk_token(user.request), passphrase) or None

    try:
        right = await access.checking.check(caller, look)
    except ApiError as error:
        return page_of(user.request, CONFIRM, error, next=place, name=user.person.name)
    if right is None:
        await run_in_threadpool(user.record, "passphrase not confirmed")  # stored: not shown
        return page_of(user.request, CONFIRM, NOT_YOURS, next=place, name=user.person.name)
    return await run_in_threadpool(_confirmed, user, place)


def _confirmed(user: User, place: str) -> Response:
    user.record("passphrase confirmed")
    response = see(place)
    user.access.remember_browser(user.request, response, user.person)
    return response
