"""Pages for getting in: sign in, set a passphrase by a one-time code, confirm, sign out."""

# No postponed annotations here: FastAPI reads them, and these name local values.
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response
from fastapi.responses import RedirectResponse

from bradawl.access import limits
from bradawl.access.access import Access
from bradawl.access.audit import NOBODY
from bradawl.access.pages import render, safe_next
from bradawl.access.requests import address_of, browser_of
from bradawl.access.sessions import SignedIn
from bradawl.errors import ApiError

Text = Annotated[str, Form()]


def add(routes: APIRouter, access: Access) -> None:
    """The pages that need no sign-in, and signing out."""

    @routes.get("/desk/sign-in")
    def sign_in_page(request: Request, next: str = "/desk/") -> Response:  # noqa: A002
        return render(request, "sign_in.html", next=safe_next(next), name="")

    @routes.post("/desk/sign-in")
    def sign_in(
        request: Request,
        name: Text = "",
        passphrase: Text = "",
        next: Text = "/desk/",  # noqa: A002
    ) -> Response:
        address = address_of(request)
        access.limits.check(limits.SIGN_IN_MISS, address)
        person = access.people.check(name, passphrase)
        if person is None:
            access.limits.count(limits.SIGN_IN_MISS, address)
            access.audit.record(NOBODY, "sign-in failed", name[:60], address)
            return render(
                request,
                "sign_in.html",
                status=401,
                problem="Name and passphrase do not belong together.",
                next=safe_next(next),
                name=name,
            )
        access.audit.record(person.name, "signed in", "", address)
        answer = RedirectResponse(safe_next(next), 303)
        access.set_desk_cookie(answer, access.sessions.begin(person, browser_of(request), address))
        return answer

    @routes.post("/desk/sign-out")
    def sign_out(request: Request) -> Response:
        token = access.desk_token(request)
        found = access.sessions.signed_in(token) if token else None
        if found is not None:
            access.sessions.end(token)
            access.audit.record(found.person.name, "signed out", "", address_of(request))
        answer = RedirectResponse("/desk/sign-in", 303)
        access.clear_desk_cookie(answer)
        return answer

    @routes.get("/desk/first")
    def first_page(request: Request) -> Response:
        return render(request, "first.html", token="", name="")

    @routes.post("/desk/first")
    def first(
        request: Request,
        token: Text = "",
        name: Text = "",
        passphrase: Text = "",
        again: Text = "",
    ) -> Response:
        address = address_of(request)
        access.limits.check(limits.INVITATION_MISS, address)
        token = token.strip()
        try:
            person = access.people.accept(token, name, passphrase, again)
        except ApiError as wrong:
            return render(
                request, "first.html", wrong.status, wrong.message, token=token, name=name
            )
        if person is None:
            access.limits.count(limits.INVITATION_MISS, address)
            access.audit.record(NOBODY, "one-time code failed", "", address)
            message = (
                "This one-time code is not known, was used, or is older than a day. "
                "“bradawl invite” on the server prints a new one."
            )
            return render(request, "first.html", 403, message, token="", name=name)
        access.audit.record(person.name, "passphrase set", "", address)
        answer = RedirectResponse("/desk/", 303)
        access.set_desk_cookie(answer, access.sessions.begin(person, browser_of(request), address))
        return answer

    @routes.get("/desk/confirm")
    def confirm_page(
        request: Request,
        who: Annotated[SignedIn, Depends(access.signed_in)],
        next: str = "/desk/",  # noqa: A002
    ) -> Response:
        return render(request, "confirm.html", next=safe_next(next), name=who.person.name)

    @routes.post("/desk/confirm")
    def confirm(
        request: Request,
        who: Annotated[SignedIn, Depends(access.signed_in)],
        passphrase: Text = "",
        next: Text = "/desk/",  # noqa: A002
    ) -> Response:
        address = address_of(request)
        access.limits.check(limits.SIGN_IN_MISS, address)
        if not access.sessions.confirm(access.desk_token(request), passphrase):
            access.limits.count(limits.SIGN_IN_MISS, address)
            access.audit.record(who.person.name, "passphrase not confirmed", "", address)
            return render(
                request,
                "confirm.html",
                401,
                "That is not your passphrase.",
                next=safe_next(next),
                name=who.person.name,
            )
        access.audit.record(who.person.name, "passphrase confirmed", "", address)
        return RedirectResponse(safe_next(next), 303)
