"""Authentication and authorization: the phone or the person that a request belongs to.

`Access` has the dependencies that admit somebody or refuse, and the parts of access behind them.
"""

# No postponed annotations here: FastAPI reads those of the dependencies.
from collections.abc import Callable, Collection
from typing import Annotated, NamedTuple
from urllib.parse import quote, urlsplit

from fastapi import FastAPI, HTTPException, Request, Response, Security
from fastapi.security import APIKeyCookie
from sqlalchemy import ClauseElement, Engine, bindparam, select, update
from sqlmodel import col

from bradawl.access.core import tokens
from bradawl.access.core.audit import Audit
from bradawl.access.core.client import address_of, browser_of, is_loopback, stranger_of
from bradawl.access.core.models import Device, Person, Role
from bradawl.access.core.rate_limits import Limits
from bradawl.access.core.tables import DeviceRow, PersonRow
from bradawl.access.core.transactions import note
from bradawl.access.devices.pairing import Pairing
from bradawl.access.devices.registry import Devices
from bradawl.access.devices.sync_gaps import Missing
from bradawl.access.network.body_limits import LIMITS, BodyLimit
from bradawl.access.network.headers import Guard
from bradawl.access.people.directory import People
from bradawl.access.people.kept_forms import KeptForms
from bradawl.access.people.known_browsers import BROWSER_LIFE_MS, Browsers
from bradawl.access.people.passphrase_checks import Caller, Checking
from bradawl.access.people.report_links import Links
from bradawl.access.people.sessions import SESSION_LIFE_MS, Sessions, SignedIn
from bradawl.access.web.kept_forms import KeptFormsGate
from bradawl.common.clock import now_ms
from bradawl.common.errors import ApiError
from bradawl.common.settings import Mode
from bradawl.database import connection as database
from bradawl.language import message
from bradawl.operations import identify

DEVICE_COOKIE = "__Host-bradawl-device"
DESK_COOKIE = "__Host-bradawl-desk"
BROWSER_COOKIE = "__Host-bradawl-browser"
DAY_MS = 24 * 3600 * 1000
#: Browsers keep a cookie for at most about 400 days; every visit renews it.
DEVICE_LIFE_MS = 400 * DAY_MS
#: How often "last seen" is written; more would cost a write per request.
SEEN_EVERY_MS = 60_000


#: Only for the description of the API; the cookie itself is read in one place below.
COOKIE_SCHEME = APIKeyCookie(name=DEVICE_COOKIE, scheme_name="device", auto_error=False)

#: Asked with every request of a phone: columns, made once; objects would take twice the time.
_PAIRED: ClauseElement = (
    select(
        col(DeviceRow.id),
        col(DeviceRow.name),
        col(DeviceRow.seen_ms),
        col(DeviceRow.revoked_ms),
        col(DeviceRow.person_id),
        col(PersonRow.name).label("person"),
        col(PersonRow.role),
        col(PersonRow.disabled_ms),
    )
    .join(PersonRow, col(PersonRow.id) == col(DeviceRow.person_id))
    .where(col(DeviceRow.token_hash) == bindparam("token_hash"))
)


class _Paired(NamedTuple):
    id: str
    name: str
    seen_ms: int
    revoked_ms: int | None
    person_id: str
    person: str
    role: Role
    disabled_ms: int | None


class Access:
    """Dependencies, middleware and collaborators of access for one server.

    Args:
        engine: the database, migrated.
        mode: `local` (this machine only), `lan` (the workshop's network) or `proxy`.
        hosts: names and addresses that the server answers to, as `Guard` takes them.
        clock: milliseconds since 1970.
        recorded: whether the log holds anything of a device.
        named: told the id and name of a phone that was paired or renamed.
    """

    def __init__(
        self,
        engine: Engine,
        mode: Mode = "local",
        *,
        hosts: Collection[str] | None = None,
        clock: Callable[[], int] = now_ms,
        recorded: Callable[[str], bool] = lambda _device: False,
        named: Callable[[str, str], None] = lambda _device, _name: None,
    ) -> None:
        self.engine = engine
        self._named = named
        self._paired = database.Prepared(engine, _PAIRED)
        self.mode = mode
        self.clock = clock
        self._hosts = hosts
        self.recorded = recorded
        self.audit = Audit(engine, clock)
        self.limits = Limits(engine, clock)
        self.checking = Checking(self.limits)
        self.pairing = Pairing(engine, clock)
        self.devices = Devices(engine, clock)
        self.people = People(engine, clock)
        self.sessions = Sessions(engine, clock)
        self.browsers = Browsers(engine, clock)
        self.kept_forms = KeptForms(clock)
        self.links = Links(engine, clock)
        self.missing = Missing(engine, clock)

    def install(self, app: FastAPI) -> None:
        """Put the guards around `app`; call it last, so that they stand outermost."""
        self.limit_bodies(app)
        self.guard(app)

    def limit_bodies(self, app: FastAPI) -> None:
        """The inner of the two guards, which asks who is signed in."""
        app.add_middleware(
            KeptFormsGate,
            forms=self.kept_forms,
            session_of=lambda request: tokens.digest(self.desk_token(request)),
            whose=self._whose_form,
            clock=self.clock,
        )
        app.add_middleware(BodyLimit, known=self.knows, limits=LIMITS)

    def guard(self, app: FastAPI) -> None:
        """The outer of the two; `bradawl serve` puts it around `serving/gateway.py` instead."""
        app.add_middleware(Guard, mode=self.mode, hosts=self._hosts)

    # Phones

    def device(
        self, request: Request, _described: Annotated[str | None, Security(COOKIE_SCHEME)] = None
    ) -> Device:
        """FastAPI dependency: the paired phone of this request, or 401 `pair_again`."""
        token = request.cookies.get(DEVICE_COOKIE, "")
        device = self.device_of(token) if token else None
        if device is None:
            raise ApiError(
                "pair_again",
                message("access-pair-again"),
                401,
            )
        identify(device.person.id, device.person.name, device_id=device.id, device=device.name)
        return device

    def device_of(self, token: str) -> Device | None:
        """The phone of a token that still counts."""
        now = self.clock()
        with database.asking(self.engine) as connection:
            columns = self._paired.run(connection, {"token_hash": tokens.digest(token)}).fetchone()
        row = None if columns is None else _Paired(*columns)
        if row is None or row.revoked_ms is not None or row.disabled_ms is not None:
            return None
        if row.role == "reader" or row.seen_ms + DEVICE_LIFE_MS <= now:
            return None
        if row.seen_ms + SEEN_EVERY_MS <= now:
            seen = update(DeviceRow).where(col(DeviceRow.id) == row.id).values(seen_ms=now)
            note(self.engine, seen)
        return Device(row.id, row.name, Person(row.person_id, row.person, row.role))

    def pair_at_once(self, request: Request, device: str, name: str) -> str | None:
        """The token of a phone that needs nobody's approval, or None for every other.

        Only where the desk stands open, which ends with the first passphrase, and only for an id
        that nobody has seen: whoever has another's id must be looked at by a person.
        """
        if not self.is_open_to(request) or self.recorded(device):
            return None
        return self.pairing.pair_new(device, name, self.first_owner().id)

    def set_device_cookie(self, response: Response, token: str) -> None:
        """Hand a device token over in the only place where it ever travels."""
        _set_cookie(response, DEVICE_COOKIE, token, DEVICE_LIFE_MS // 1000)

    def name_of_device(self, device: str) -> str:
        """What to call a device in a page."""
        return self.devices.name_of(device)

    def name_of_phone(self, device: str) -> str:
        """What a phone is called that was paired here; empty for any other device."""
        return self.devices.name_of(device) if self.devices.is_paired(device) else ""

    def note_act(self, request: Request, person: Person, act: str, about: str) -> None:
        """Keep in the trail what a person did at the desk. Never pass a recorded value."""
        self.audit.record(person.name, act, about, address_of(request))

    def note_name(self, device: str) -> None:
        """Pass on what a phone is called; after it was paired or renamed."""
        self._named(device, self.devices.name_of(device))

    def is_paired(self, device: str) -> bool:
        """Whether a phone of this id was ever paired here."""
        return self.devices.is_paired(device)

    # People

    def first_owner(self) -> Person:
        """The owner who has been here longest; made when there is none."""
        return self.people.first_owner()

    def signed_in(self, request: Request) -> SignedIn:
        """FastAPI dependency: whoever is signed in, readers too; else the sign-in page."""
        who = self._signed_in(request)
        if who is not None:
            return who
        if request.method == "GET":
            here = request.url.path + (f"?{request.url.query}" if request.url.query else "")
            raise see_other(f"/desk/sign-in?next={quote(here, safe='/')}")
        raise ApiError("sign_in", message("access-sign-in-first"), 401)

    def knows(self, request: Request) -> bool:
        """Whether somebody who is signed in at the desk sends this."""
        return self._signed_in(request) is not None

    def _signed_in(self, request: Request) -> SignedIn | None:
        token = self.desk_token(request)
        who = self.sessions.signed_in(token) if token else None
        if who is None and self.is_open_to(request):
            who = SignedIn(self.first_owner(), confirmed=True)
            request.state.desk_open = True  # each page says so (`base.html`)
        if who is not None:
            identify(who.person.id, who.person.name)
        return who

    def is_open_to(self, request: Request) -> bool:
        """Whether the desk needs no sign-in: this machine only, until a passphrase is set."""
        return (
            self.mode == "local" and is_loopback(request) and not self.people.anybody_can_sign_in()
        )

    def person(self, request: Request) -> Person:
        """FastAPI dependency: an owner or inspector, or a reader at a report shared with them.

        Whatever else a reader asks for leads to the list of what was shared, so a page that
        forgets to think of readers is closed to them.
        """
        person = self.signed_in(request).person
        if person.role != "reader":
            return person
        visit = request.path_params.get("visit", "")
        wanted = (visit, request.query_params.get("edition", "condition"))
        if (
            request.method in ("GET", "HEAD")
            and request.url.path == f"/desk/visits/{visit}/report.pdf"
            and wanted in self.people.granted(person.id)
        ):
            return person
        if request.method == "GET" and request.url.path in ("/desk", "/desk/"):
            raise see_other("/desk/shared")
        self._note_refusal(person, request)
        raise ApiError("not_shared", message("access-not-shared"), 403)

    def owner(self, request: Request) -> Person:
        """FastAPI dependency: an owner."""
        return self._owner(request)[0]

    def confirmed_owner(self, request: Request) -> Person:
        """FastAPI dependency: an owner who typed the passphrase within the last ten minutes.

        For devices, keys, deletion and full export. A page asks for it again and comes back.
        """
        person, confirmed = self._owner(request)
        if confirmed:
            return person
        raise _ask_again(request)

    def confirmed(self, request: Request) -> SignedIn:
        """FastAPI dependency: anybody who typed the passphrase within the last ten minutes."""
        who = self.signed_in(request)
        if who.confirmed:
            return who
        raise _ask_again(request)

    def _owner(self, request: Request) -> tuple[Person, bool]:
        who = self.signed_in(request)
        if who.person.role != "owner":
            self._note_refusal(who.person, request)
            raise ApiError("owners_only", message("access-owners-only"), 403)
        return who.person, who.confirmed

    def _note_refusal(self, person: Person, request: Request) -> None:
        what = f"{request.method} {request.url.path}"
        self.audit.record_unasked(person.name, "was refused", what[:200], address_of(request))

    def origin_of(self, request: Request) -> str:
        """How this server is reached by whoever asks, for links that are passed on."""
        scheme = "http" if self.mode == "local" else "https"
        return f"{scheme}://{request.headers.get('host', 'localhost')}"

    def desk_token(self, request: Request) -> str:
        """The session token of a request, or empty text."""
        return request.cookies.get(DESK_COOKIE, "")

    def _whose_form(self, request: Request) -> tuple[str, str] | None:
        """(browser, person) of a form whose sign-in has ended; None where nobody can tell.

        Of a browser in which several people sign in, it is whoever had the session. What is sent
        by somebody who is signed in is nobody's to keep, and ends what came back of that form.
        """
        session, browser = self.desk_token(request), self.browser_token(request)
        if self.knows(request):
            self.kept_forms.sent(tokens.digest(session), request.url.path)
            return None
        known = self.browsers.people(browser) if browser else []
        ended = self.sessions.person_of(session) if session else None
        if ended is not None and ended in known:
            return tokens.digest(browser), ended
        return (tokens.digest(browser), known[0]) if len(known) == 1 else None

    def browser_token(self, request: Request) -> str:
        """The token by which a browser is known again, or empty text."""
        return request.cookies.get(BROWSER_COOKIE, "")

    def caller(self, request: Request, name: str) -> Caller:
        """As what a try at the passphrase of the person called `name` counts."""
        person_id = self.people.id_of(name)
        browser = request.cookies.get(BROWSER_COOKIE, "")
        if person_id and browser and self.browsers.is_known(browser, person_id):
            return Caller(f"browser/{tokens.digest(browser)}", person_id)
        token = self.desk_token(request)
        who = self.sessions.signed_in(token) if token else None
        if who is not None and who.person.id == person_id:
            return self.caller_of(request, who.person, who.session)
        return Caller(f"address/{stranger_of(request)}")

    def caller_of(self, request: Request, person: Person, session: str) -> Caller:
        """As what a try of somebody counts who is signed in."""
        if not session:  # the desk is open, and so to anybody on this machine
            return Caller(f"address/{stranger_of(request)}")
        return Caller(f"session/{session}", person.id)

    def let_in(self, request: Request, response: Response, person: Person) -> None:
        """Begin a session for somebody who has just typed the passphrase."""
        session = self.sessions.begin(person, browser_of(request), address_of(request))
        before = tokens.digest(self.browser_token(request))
        self.kept_forms.claim(before, person.id, tokens.digest(session))
        _set_cookie(response, DESK_COOKIE, session, SESSION_LIFE_MS // 1000)
        self.remember_browser(request, response, person)

    def remember_browser(self, request: Request, response: Response, person: Person) -> None:
        """Know the browser again in which somebody has just typed the passphrase."""
        before = self.browser_token(request)
        token = self.browsers.remember(person.id, before)
        self.kept_forms.moved(tokens.digest(before), tokens.digest(token))
        _set_cookie(response, BROWSER_COOKIE, token, BROWSER_LIFE_MS // 1000)

    def clear_desk_cookie(self, response: Response) -> None:
        """Take the session token back."""
        response.delete_cookie(DESK_COOKIE, path="/", secure=True, httponly=True, samesite="strict")


def _ask_again(request: Request) -> HTTPException:
    # A form that was sent is not carried out; the page it was on comes back to be sent again.
    page = request.url.path if request.method == "GET" else _page_before(request)
    return see_other(f"/desk/confirm?next={quote(page, safe='/')}")


def _page_before(request: Request) -> str:
    return urlsplit(request.headers.get("referer", "")).path or "/desk/devices"


def see_other(place: str) -> HTTPException:
    """A redirect that a dependency can raise."""
    return HTTPException(303, headers={"Location": place, "Cache-Control": "no-store"})


def _set_cookie(response: Response, name: str, value: str, max_age_s: int) -> None:
    response.set_cookie(
        name, value, max_age=max_age_s, path="/", secure=True, httponly=True, samesite="strict"
    )
