"""Pages for getting in: sign in, set a passphrase by a one-time code, confirm, sign out."""

# No postponed annotations here: FastAPI reads them, and these name local values.
from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Form, Request, Response
from fastapi.responses import RedirectResponse
from starlette.concurrency import run_in_threadpool

from bradawl.access.core import rate_limits
from bradawl.access.core.audit import NOBODY
from bradawl.access.core.client import address_of, stranger_of
from bradawl.access.core.models import Person
from bradawl.access.people.sessions import SignedIn
from bradawl.access.web.auth import Access
from bradawl.access.web.rendering import render, safe_next
from bradawl.common.errors import ApiError
from bradawl.operations import identify

Text = Annotated[str, Form()]


def add(routes: APIRouter, access: Access) -> None:
    """The pages that need no sign-in, and signing out."""
    _add_sign_in(routes, access)
    _add_first(routes, access)
    _add_confirm(routes, access)

    @routes.post("/desk/sign-out")
    def sign_out(request: Request) -> Response:
        token = access.desk_token(request)
        found = access.sessions.signed_in(token) if token else None
        if found is not None:
            access.sessions.end(token)
            identify(found.person.id, found.person.name)
            access.audit.record(found.person.name, "signed out", "", address_of(request))
        answer = RedirectResponse("/desk/sign-in", 303)
        access.clear_desk_cookie(answer)
        return answer


def _add_sign_in(routes: APIRouter, access: Access) -> None:
    @routes.get("/desk/sign-in")
    def sign_in_page(request: Request, next: str = "/desk/") -> Response:  # noqa: A002
        return render(request, "people/sign_in.html", next=safe_next(next), name="")

    @routes.post("/desk/sign-in")
    async def sign_in(
        request: Request,
        name: Text = "",
        passphrase: Text = "",
        next: Text = "/desk/",  # noqa: A002
    ) -> Response:
        def page(status: int, problem: str, **headers: str) -> Response:
            place = safe_next(next)
            return render(
                request,
                "people/sign_in.html",
                status,
                problem,
                headers=headers,
                next=place,
                name=name,
            )

        def look() -> Person | None:
            return access.people.check(name, passphrase)

        def answer(person: Person | None) -> Response:
            address = address_of(request)
            if person is None:
                known = access.people.id_of(name)
                # What else was typed may be a passphrase in the wrong field.
                tried = name.strip() if known else "an unknown name"
                access.audit.record_unasked(
                    NOBODY, "sign-in failed", name[:60], address, subject=tried, subject_id=known
                )
                return page(401, "Name and passphrase do not belong together.")
            identify(person.id, person.name)
            access.audit.record(person.name, "signed in", "", address)
            led = RedirectResponse(safe_next(next), 303)
            access.let_in(request, led, person)
            return led

        caller = await run_in_threadpool(access.caller, request, name)
        try:
            person = await access.checking.check(caller, look)
        except ApiError as refused:
            return page(refused.status, refused.message, **refused.headers)
        return await run_in_threadpool(answer, person)


def _add_first(routes: APIRouter, access: Access) -> None:
    @routes.get("/desk/first")
    def first_page(request: Request) -> Response:
        return render(request, "people/first_owner.html", token="", name="")

    @routes.post("/desk/first")
    async def first(
        request: Request,
        token: Text = "",
        name: Text = "",
        passphrase: Text = "",
        again: Text = "",
    ) -> Response:
        token = token.strip()

        def unknown() -> Response:
            # Counted when it is wrong and not before: a code that holds is never turned away.
            access.limits.count(rate_limits.INVITATION_MISS, stranger_of(request))
            access.audit.record_unasked(NOBODY, "one-time code failed", "", address_of(request))
            message = (
                "This one-time code is not known, was used, or is older than a day. "
                "“bradawl invite” on the server prints a new one."
            )
            return render(request, "people/first_owner.html", 403, message, token="", name=name)

        def keep() -> Response:
            try:
                person = access.people.accept(token, name, passphrase, again)
            except ApiError as wrong:
                return render(
                    request,
                    "people/first_owner.html",
                    wrong.status,
                    wrong.message,
                    token=token,
                    name=name,
                )
            if person is None:
                return unknown()
            identify(person.id, person.name)
            access.audit.record(person.name, "passphrase set", "", address_of(request))
            led = RedirectResponse("/desk/", 303)
            access.let_in(request, led, person)
            return led

        if await run_in_threadpool(access.people.invited, token) is None:
            return await run_in_threadpool(unknown)
        return await access.checking.choose(token, keep)


def _add_confirm(routes: APIRouter, access: Access) -> None:
    Known = Annotated[SignedIn, Depends(access.signed_in)]  # noqa: N806 - a type

    @routes.get("/desk/confirm")
    def confirm_page(
        request: Request,
        who: Known,
        next: str = "/desk/",  # noqa: A002
    ) -> Response:
        return render(request, "people/confirm.html", next=safe_next(next), name=who.person.name)

    @routes.post("/desk/confirm")
    async def confirm(
        request: Request,
        who: Known,
        passphrase: Text = "",
        next: Text = "/desk/",  # noqa: A002
    ) -> Response:
        def page(status: int, problem: str, **headers: str) -> Response:
            return render(
                request,
                "people/confirm.html",
                status,
                problem,
                headers=headers,
                next=safe_next(next),
                name=who.person.name,
            )

        def look() -> Literal[True] | None:
            return access.sessions.confirm(access.desk_token(request), passphrase) or None

        def answer(right: Literal[True] | None) -> Response:
            address = address_of(request)
            if right is None:
                access.audit.record(who.person.name, "passphrase not confirmed", "", address)
                return page(401, "That is not your passphrase.")
            access.audit.record(who.person.name, "passphrase confirmed", "", address)
            led = RedirectResponse(safe_next(next), 303)
            access.remember_browser(request, led, who.person)
            return led

        try:
            right = await access.checking.check(access.caller_of(request, who), look)
        except ApiError as refused:
            return page(refused.status, refused.message, **refused.headers)
        return await run_in_threadpool(answer, right)
