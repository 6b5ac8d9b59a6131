"""The page about sign-ins: which browsers are signed in, ending one, ending all others.

Everybody sees and ends their own sign-ins; an owner everybody's.
"""

# No postponed annotations here: FastAPI reads them.
from fastapi import APIRouter, Response

from bradawl.access.web.auth import BROWSER_COOKIE
from bradawl.access.web.context import AnyUser, ConfirmedUser, Text, User, see

pages = APIRouter(prefix="/desk/sessions")


def _whose(user: User) -> str | None:
    return None if user.person.role == "owner" else user.person.id


@pages.get("")
def sessions(user: AnyUser) -> Response:
    living = user.access.sessions.living(_whose(user))
    return user.page("people/sessions.html", own=user.session, sessions=living)


@pages.post("/end")
def end(user: ConfirmedUser, session: Text = "") -> Response:
    ended = user.access.sessions.end_listed(session, _whose(user))
    if ended is not None:
        user.record("sign-in ended", f"{ended.person}, {ended.browser or '?'}")
    return see("/desk/sessions")


@pages.post("/end-others")
def end_others(user: ConfirmedUser) -> Response:
    access = user.access
    count = access.sessions.end_others(user.person.id, access.desk_token(user.request))
    access.browsers.forget(user.person.id, but=user.request.cookies.get(BROWSER_COOKIE, ""))
    user.record("other sign-ins ended", str(count))
    return see("/desk/sessions")
