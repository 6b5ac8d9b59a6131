"""HTTP of access: /api/v1 for phones, and the desk's pages put together."""

# No postponed annotations here: FastAPI reads them, and these name local values.
from typing import Annotated, Any, cast

from fastapi import APIRouter, Depends, Request, Response, Security
from pydantic import BaseModel, ConfigDict, Field

from bradawl.access.core import rate_limits
from bradawl.access.core.audit import NOBODY
from bradawl.access.core.client import address_of, stranger_of
from bradawl.access.devices.pairing import pairing_text
from bradawl.access.devices.registry import tidy_name
from bradawl.access.first_run import pages as first_run
from bradawl.access.web import (
    backup,
    devices,
    forget,
    keys,
    letterhead,
    links,
    people,
    sessions,
    sign_in,
)
from bradawl.access.web.auth import COOKIE_SCHEME, DEVICE_COOKIE, Access
from bradawl.access.web.context import Parts, provide
from bradawl.access.web.rendering import STATIC
from bradawl.common import device_keys
from bradawl.common.errors import ApiError, documented
from bradawl.language import message

STATIC_TYPES = {".css": "text/css", ".js": "text/javascript"}
DEVICE_ID = r"^[0-9a-f]{32}$"
#: At least one visible character, no control characters.
NAME = r"^[^\x00-\x1f\x7f]*[^\x00-\x20\x7f][^\x00-\x1f\x7f]*$"


class PairingWish(BaseModel):
    """A phone asks: its id and the key that it follows from, and a name for people.

    `proof` is the key's signature over `pairing_text`.
    """

    model_config = ConfigDict(extra="forbid")
    device: str = Field(pattern=DEVICE_ID)
    name: str = Field(min_length=1, max_length=60, pattern=NAME)
    key: str = Field(max_length=100)
    proof: str = Field(max_length=100)


class PairingPoll(BaseModel):
    model_config = ConfigDict(extra="forbid")
    secret: str = Field(min_length=1, max_length=100, pattern=r"^[A-Za-z0-9_-]+$")


class PairingAnswer(BaseModel):
    """`approved` comes with the cookie; `waiting` with code, words, secret and seconds left."""

    state: str
    code: str | None = None
    words: str | None = None
    secret: str | None = None
    seconds_left: int | None = None


class Me(BaseModel):
    device: str
    name: str
    person: str


def require_proof(wish: PairingWish) -> None:
    """Raises ApiError "key" unless the phone holds the key that its id follows from."""
    try:
        device = device_keys.device_of(wish.key)
    except device_keys.KeyFaultError as error:
        raise ApiError("key", message("access-key-fault", why=str(error)), 422) from error
    if device != wish.device:
        raise ApiError(
            "key",
            message("access-key-other"),
            422,
        )
    if not device_keys.verifies(wish.key, pairing_text(device), wish.proof):
        raise ApiError(
            "key",
            message("access-key-unsigned"),
            422,
        )


def desk_router(parts: Parts) -> APIRouter:
    """The desk's pages of access, and `/r/…` for links."""
    routes = APIRouter(include_in_schema=False, dependencies=[Depends(provide(parts))])
    for module in (
        sign_in,
        devices,
        people,
        sessions,
        links,
        forget,
        keys,
        letterhead,
        backup,
        first_run,
    ):
        routes.include_router(module.pages)
    routes.add_api_route("/desk/access/{name}", static)
    return routes


def static(name: str) -> Response:
    """The scripts and styles of these pages; the sign-in page needs them too."""
    file = {file.name: file for file in STATIC.iterdir()}.get(name)
    if file is None or file.suffix not in STATIC_TYPES:
        raise ApiError("not_found", message("server-http-404"), 404)
    headers = {"Cache-Control": "no-cache"}
    return Response(file.read_bytes(), media_type=STATIC_TYPES[file.suffix], headers=headers)


def router(access: Access) -> APIRouter:
    """The routes that a phone uses before and after it is paired."""

    async def attach(request: Request) -> None:
        request.state.access = access

    api = APIRouter(dependencies=[Depends(attach)])
    api.include_router(_phones)
    return api


async def _access(request: Request) -> Access:
    return cast(Access, request.state.access)


AccessHere = Annotated[Access, Depends(_access)]
_phones = APIRouter(prefix="/api/v1", tags=["access"])
_pairing_options: dict[str, Any] = {
    "response_model": PairingAnswer,
    "response_model_exclude_none": True,
    "responses": documented(400, 403, 413, 415, 421, 422, 429),
}


@_phones.post("/pairing", **_pairing_options)
def ask(wish: PairingWish, request: Request, response: Response, access: AccessHere) -> Any:
    address = address_of(request)
    require_proof(wish)
    name = tidy_name(wish.name)
    token = access.pair_at_once(request, wish.device, name)
    named = {"phone": name, "phone_id": wish.device}
    if token is not None:
        # Nothing can be guessed where nobody is asked, so nothing is counted.
        access.audit.record(NOBODY, "phone paired on this machine", name, address, **named)
        access.note_name(wish.device)
        access.set_device_cookie(response, token)
        return PairingAnswer(state="approved")
    # By the very address, not its network: who shares a network is no one's rival for it.
    access.limits.count(rate_limits.PAIRING, address)
    waiting = access.pairing.ask(wish.device, name, address)
    access.audit.record_unasked(NOBODY, "phone asked to be paired", name, address, **named)
    return PairingAnswer(
        state="waiting",
        code=waiting.code,
        words=waiting.words,
        secret=waiting.secret,
        seconds_left=waiting.seconds_left,
    )


@_phones.post("/pairing/poll", **_pairing_options)
def poll(wish: PairingPoll, request: Request, response: Response, access: AccessHere) -> Any:
    address = address_of(request)
    polled = access.pairing.poll(wish.secret)
    if polled is None:
        # Counted when it is wrong and not before: a phone that was told its secret goes on.
        access.limits.count(rate_limits.POLL_MISS, stranger_of(request))
        access.audit.record_unasked(NOBODY, "pairing polled with an unknown secret", "", address)
        return PairingAnswer(state="expired")
    state, token = polled
    if token is not None:
        paired = access.device_of(token)
        name, device = (paired.name, paired.id) if paired else ("", "")
        access.audit.record(NOBODY, "phone paired", name, address, phone=name, phone_id=device)
        if paired is not None:
            access.note_name(paired.id)
        access.set_device_cookie(response, token)
    return PairingAnswer(state=state)


async def _described(_cookie: Annotated[str | None, Security(COOKIE_SCHEME)] = None) -> None:
    """Puts the cookie into the description of the API; `Access.device` reads it."""


@_phones.get(
    "/me", response_model=Me, responses=documented(401, 421), dependencies=[Depends(_described)]
)
def me(request: Request, response: Response, access: AccessHere) -> Any:
    device = access.device(request)
    # Renewed here, once per start of the app, so that a phone in use never runs out.
    access.set_device_cookie(response, request.cookies[DEVICE_COOKIE])
    return Me(device=device.id, name=device.name, person=device.person.name)
