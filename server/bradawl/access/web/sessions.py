"""The page about sign-ins: which browsers are signed in, ending one, ending all others."""

# No postponed annotations here: FastAPI reads them, and these name local values.
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response
from fastapi.responses import RedirectResponse

from bradawl.access.core.client import address_of
from bradawl.access.people.sessions import SignedIn
from bradawl.access.web.auth import BROWSER_COOKIE, Access
from bradawl.access.web.rendering import render


def add(routes: APIRouter, access: Access) -> None:
    """Everybody sees and ends their own sign-ins; an owner everybody's."""
    Known = Annotated[SignedIn, Depends(access.signed_in)]  # noqa: N806 - a type
    Confirmed = Annotated[SignedIn, Depends(access.confirmed)]  # noqa: N806 - a type

    def whose(who: SignedIn) -> str | None:
        return None if who.person.role == "owner" else who.person.id

    @routes.get("/desk/sessions")
    def sessions(request: Request, who: Known) -> Response:
        return render(
            request,
            "people/sessions.html",
            me=who.person,
            own=who.session,
            sessions=access.sessions.living(whose(who)),
        )

    @routes.post("/desk/sessions/end")
    def end(request: Request, who: Confirmed, session: Annotated[str, Form()] = "") -> Response:
        ended = access.sessions.end_listed(session, whose(who))
        if ended is not None:
            about = f"{ended.person}, {ended.browser or 'an unknown browser'}"
            access.audit.record(who.person.name, "sign-in ended", about, address_of(request))
        return RedirectResponse("/desk/sessions", 303)

    @routes.post("/desk/sessions/end-others")
    def end_others(request: Request, who: Confirmed) -> Response:
        count = access.sessions.end_others(who.person.id, access.desk_token(request))
        access.browsers.forget(who.person.id, but=request.cookies.get(BROWSER_COOKIE, ""))
        access.audit.record(
            who.person.name, "other sign-ins ended", str(count), address_of(request)
        )
        return RedirectResponse("/desk/sessions", 303)
