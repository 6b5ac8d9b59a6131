"""Sync and photos over HTTP: `router` gives the routes below /api/v1 that phones use.

Bodies are read here and not by the framework: packed, counted while they arrive, decoded once.
Every error is `{"error": {"code", "message", …}}`; failures of disk and database are answered in
`common/errors.py`.
"""

# No postponed annotations here: FastAPI reads them.
import gzip
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, Protocol, cast

import msgspec
from anyio import to_thread
from fastapi import APIRouter, Depends, Request, Response

from bradawl.common.errors import ApiError, documented
from bradawl.common.ranges import never_a_page, part_or_whole
from bradawl.imaging.errors import PictureError
from bradawl.imaging.placeholder import placeholder
from bradawl.language import message
from bradawl.log import openapi
from bradawl.log.event_log import MAX_DEVICES, Log
from bradawl.log.format.batches import PROTOCOL, require_protocol
from bradawl.log.format.events import INTEGER_LIMIT, is_hash, is_id
from bradawl.log.photos.arrival import Arrival, check_name, too_large
from bradawl.log.photos.photos import MAX_ASKED
from bradawl.log.photos.recordings import RECORDING_TYPES
from bradawl.log.request_bodies import decoded, parts_of, read_body
from bradawl.log.sync import activity

__all__ = ["Device", "router"]

PHOTO_TYPES = frozenset({"image/jpeg", "image/png", "image/webp", "image/heic", "image/heif"})
SVG = "image/svg+xml"
GZIP_FROM_BYTES = 1_000


class Device(Protocol):
    """Who is asking: the paired device."""

    @property
    def id(self) -> str: ...


@dataclass(frozen=True)
class Exchange:
    """The log that is asked, and the device that asks."""

    log: Log
    device: Device


def current_exchange(request: Request) -> Exchange:
    return cast(Exchange, request.state.exchange)


class _AnyRequest(msgspec.Struct):
    """What requests of every protocol have."""

    protocol: int


class _PullRequest(msgspec.Struct):
    protocol: int
    have: dict[str, tuple[int, str]]


class _MissingRequest(msgspec.Struct):
    sha256: list[str]


def router(log: Log, device_dependency: Callable[..., Any]) -> APIRouter:
    """The routes of sync and photos.

    `device_dependency` is a FastAPI dependency that answers the paired Device or refuses.
    """

    async def attach(request: Request, device: Annotated[Any, Depends(device_dependency)]) -> None:
        request.state.exchange = Exchange(log, device)

    api = APIRouter(dependencies=[Depends(attach)])
    api.include_router(_routes)
    return api


_routes = APIRouter(prefix="/api/v1", tags=["sync"])


@_routes.post(
    "/sync/push",
    responses=documented(400, 401, 403, 409, 413, 415, 422, 426, 503, 507) | {200: openapi.PUSHED},
    openapi_extra=openapi.PUSH,
)
async def push(request: Request) -> Response:
    """Keep a batch of the device's events; the answer means they are on the disk."""
    log = current_exchange(request).log
    body = await read_body(request)
    received_ms = log.clock()
    result = await to_thread.run_sync(lambda: log.push_json(body, received_ms=received_ms))
    return _json(
        {
            "protocol": PROTOCOL,
            "held": result.held,
            "head": result.head,
            "server_ms": received_ms,
        }
    )


@_routes.post(
    "/sync/aside",
    responses=documented(400, 401, 409, 413, 415, 422, 426, 503, 507) | {200: openapi.ASIDE},
    openapi_extra=openapi.PUSH,
)
async def aside(request: Request) -> Response:
    """Keep another device's signed events that part from what is held of its chain."""
    log = current_exchange(request).log
    body = await read_body(request)
    received_ms = log.clock()
    side = await to_thread.run_sync(lambda: log.take_fork_aside(body, received_ms=received_ms))
    return _json({"protocol": PROTOCOL, "device": side})


@_routes.post(
    "/sync/pull",
    responses=documented(400, 401, 413, 415, 422, 426, 503) | {200: openapi.PULLED},
    openapi_extra=openapi.PULL,
)
async def pull(request: Request) -> Response:
    """The events that the device lacks."""
    log = current_exchange(request).log
    body = await read_body(request)
    require_protocol(decoded(body, _AnyRequest).protocol)
    have = decoded(body, _PullRequest).have
    if len(have) > MAX_DEVICES or not all(map(_is_position, have.items())):
        raise ApiError(
            "have",
            message("server-have"),
            422,
        )
    takes_gzip = "gzip" in request.headers.get("accept-encoding", "")

    def work() -> Response:
        result = log.pull(have)
        activity.pulled(result)
        text = result.json(log.clock())
        if takes_gzip and len(text) >= GZIP_FROM_BYTES:
            # level 1: most of the gain at a fifth of the time
            return _raw(gzip.compress(text, 1, mtime=0), {"Content-Encoding": "gzip"})
        return _raw(text)

    return await to_thread.run_sync(work)


@_routes.post(
    "/blobs/missing",
    responses=documented(400, 401, 413, 415, 422, 503) | {200: openapi.MISSED},
    openapi_extra=openapi.MISSING,
)
async def missing(request: Request) -> Response:
    """Which of the named photos the server does not hold."""
    log = current_exchange(request).log
    hashes = decoded(await read_body(request), _MissingRequest).sha256
    if len(hashes) > MAX_ASKED:
        raise ApiError("photos", message("server-photos-asked", most=MAX_ASKED), 422)
    return _json({"missing": await to_thread.run_sync(log.photos.missing, hashes)})


@_routes.put(
    "/blobs/{sha256}",
    responses=documented(401, 413, 415, 422, 503, 507) | {200: openapi.KEPT, 201: openapi.KEPT},
    status_code=201,
    openapi_extra=openapi.PHOTO,
)
async def put_photo(sha256: str, request: Request) -> Response:
    """Keep a photo under its SHA-256; 201 when it is new, 200 when it was held."""
    exchange = current_exchange(request)
    photos = exchange.log.photos
    arrival = await to_thread.run_sync(_arrival, exchange.log, sha256, request)
    try:
        async for part in parts_of(request):
            await to_thread.run_sync(arrival.add, part)
        new = await to_thread.run_sync(photos.keep, arrival, exchange.device.id)
    finally:
        arrival.close()
    return _json({"sha256": sha256, "stored": new}, 201 if new else 200)


def _arrival(log: Log, sha256: str, request: Request) -> Arrival:
    """A place for what is about to be sent. Raises ApiError, OSError."""
    check_name(sha256)
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind not in PHOTO_TYPES and kind not in RECORDING_TYPES:
        raise ApiError(
            "type",
            message("server-photo-type", kinds=", ".join(sorted(RECORDING_TYPES))),
            415,
        )
    announced = request.headers.get("content-length", "")
    arrival = log.photos.arriving(sha256, kind)
    if announced.isdigit() and int(announced) > arrival.max_bytes:
        arrival.close()
        raise too_large(arrival.max_bytes)
    return arrival


@_routes.get(
    "/blobs/{sha256}",
    responses=documented(401, 404, 410, 422, 503) | {200: openapi.PICTURE},
    response_class=Response,
)
def get_blob(sha256: str, request: Request) -> Response:
    """A photo as the copy that is shown (JPEG, upright, at most 1600 px, no metadata); a
    recording as it came, also in parts.

    A browser that asks for a picture gets one also where there is none to show: what it says.
    """
    photos = current_exchange(request).log.photos
    check_name(sha256)
    recording = photos.recording(sha256)
    if recording is not None:
        kind, data = recording
        return part_or_whole(request, data, kind, never_a_page(sha256[:12]))
    try:
        picture = photos.served(sha256)
    except PictureError as error:
        if SVG not in request.headers.get("accept", ""):
            raise
        return Response(
            placeholder(error.message),
            error.status,
            {"Cache-Control": "no-store"},
            media_type=SVG,
        )
    if picture is None:
        raise ApiError("unknown_blob", message("server-blob-unknown"), 404)
    headers = never_a_page(f"{sha256[:12]}.jpg")
    return Response(picture, media_type="image/jpeg", headers=headers)


def _is_position(entry: tuple[str, tuple[int, str]]) -> bool:
    device, (seq, head) = entry
    return is_id(device) and 0 < seq < INTEGER_LIMIT and is_hash(head)


def _json(value: Any, status: int = 200) -> Response:
    return _raw(msgspec.json.encode(value), status=status)


def _raw(text: bytes, headers: dict[str, str] | None = None, status: int = 200) -> Response:
    return Response(
        text,
        status,
        {"Cache-Control": "no-store", **(headers or {})},
        media_type="application/json",
    )
