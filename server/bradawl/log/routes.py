"""Sync and photos over HTTP. Every error is `{"error": {"code", "message", …}}`."""

import asyncio
import gzip
import re
import sqlite3
import zlib
from collections.abc import AsyncIterator, Callable, Coroutine
from typing import Annotated, Any, Protocol, TypeVar

import msgspec
from anyio import to_thread
from fastapi import APIRouter, Depends, Request, Response
from fastapi.routing import APIRoute
from sqlalchemy.exc import DBAPIError
from starlette.requests import ClientDisconnect

from bradawl.common.disk_errors import cause_of
from bradawl.common.errors import ApiError, documented
from bradawl.imaging.errors import PictureError
from bradawl.imaging.placeholder import placeholder
from bradawl.log import openapi
from bradawl.log.event_log import MAX_DEVICES, Log
from bradawl.log.format.batches import MAX_BODY_BYTES, PROTOCOL, require_protocol_of
from bradawl.log.format.events import INTEGER_LIMIT, damaged, is_hash, is_id
from bradawl.log.photos.photos import MAX_ASKED, Arrival, check_name, too_large
from bradawl.log.photos.recordings import RECORDING_TYPES
from bradawl.log.sync import activity

T = TypeVar("T")

PHOTO_TYPES = frozenset({"image/jpeg", "image/png", "image/webp", "image/heic", "image/heif"})
SVG = "image/svg+xml"
GZIP_FROM_BYTES = 1_000
#: As much of a photo waits in memory until it is asked who sends it; then as much goes to the disk
#: at a time.
PART_BYTES = 524_288


class Device(Protocol):
    """Who is asking: the paired device."""

    @property
    def id(self) -> str: ...


class _Have(msgspec.Struct):
    protocol: int
    have: dict[str, tuple[int, str]]


def _is_held(held: tuple[str, tuple[int, str]]) -> bool:
    device, (seq, head) = held
    return is_id(device) and 0 < seq < INTEGER_LIMIT and is_hash(head)


class _Asked(msgspec.Struct):
    sha256: list[str]


def storage_error(error: BaseException) -> ApiError | None:
    """What to tell a device when the database or the disk fails; None for any other error."""
    if not isinstance(error, OSError | DBAPIError | sqlite3.Error):
        return None
    cause = cause_of(error)
    if cause == "missing" and not isinstance(error, OSError):
        cause = "read_only"  # a database that cannot be opened any more: forbidden, as a rule
    match cause:
        case "full":
            return _full()
        case "read_only":
            return ApiError(
                "read_only",
                "The server's disk or database may only be read: nothing can be stored. What is "
                "on the phone is safe. Check the rights of the data folder and how its disk is "
                "mounted.",
                503,
                headers={"Retry-After": "60"},
            )
        case "damaged":
            return damaged()
        case "locked":
            return ApiError(
                "busy",
                "The server is busy with something long. It will be tried again.",
                503,
                headers={"Retry-After": "5"},
            )
    if isinstance(error, OSError):
        return ApiError(
            "storage",
            "The server cannot write to its disk. Nothing was stored; what is on the phone is "
            "safe. See to the server, and it will be sent again.",
            503,
            headers={"Retry-After": "30"},
        )
    if isinstance(error, DBAPIError):
        return ApiError(
            "storage",
            "The server's database does not answer. Nothing was stored; what is on the phone is "
            "safe, and it will be sent again.",
            503,
            headers={"Retry-After": "10"},
        )
    return None


def _full() -> ApiError:
    return ApiError(
        "disk_full",
        "The server's disk is full: nothing was stored. What is on the phone is safe. Make room "
        "on the server, and it will be sent again.",
        507,
        headers={"Retry-After": "60"},
    )


class _StorageRoute(APIRoute):
    """A route whose failures of disk and database are answered with what to do."""

    def handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        return super().get_route_handler()

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        handler = self.handler()

        async def answer(request: Request) -> Response:
            try:
                return await handler(request)
            except ClientDisconnect:
                # the phone lost its signal: nobody is there to be answered, nothing was kept
                return Response(status_code=400)
            except (OSError, DBAPIError) as error:
                told = storage_error(error)
                if told is None:
                    raise
                activity.storage_failed(told.code, error)
                raise told from error

        return answer


class _PlainRoute(_StorageRoute):
    """A route whose arguments are what stands in its path, as text, and the request."""

    def handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        async def call(request: Request) -> Response:
            answer: Response = await self.endpoint(**request.path_params, request=request)
            return answer

        return call


def router(log: Log, device_dependency: Callable[..., Any]) -> APIRouter:
    """The routes of sync and photos.

    `device_dependency` is a FastAPI dependency that answers the paired Device or refuses.
    """
    api = APIRouter(prefix="/api/v1", tags=["sync"], route_class=_StorageRoute)
    paired = Annotated[Any, Depends(device_dependency)]

    @api.post(
        "/sync/push",
        responses=documented(400, 401, 403, 409, 413, 415, 422, 426, 503, 507)
        | {200: openapi.PUSHED},
        openapi_extra=openapi.PUSH,
    )
    async def push(request: Request, device: paired) -> Response:
        """Keep a batch of the device's events; the answer means they are on the disk."""
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

    @api.post(
        "/sync/aside",
        responses=documented(400, 401, 409, 413, 415, 422, 426, 503, 507) | {200: openapi.ASIDE},
        openapi_extra=openapi.PUSH,
    )
    async def aside(request: Request, device: paired) -> Response:
        """Keep another device's signed events that part from what is held of its chain."""
        body = await read_body(request)
        received_ms = log.clock()
        side = await to_thread.run_sync(lambda: log.take_fork_aside(body, received_ms=received_ms))
        return _json({"protocol": PROTOCOL, "device": side})

    @api.post(
        "/sync/pull",
        responses=documented(400, 401, 413, 415, 422, 426, 503) | {200: openapi.PULLED},
        openapi_extra=openapi.PULL,
    )
    async def pull(request: Request, device: paired) -> Response:
        """The events that the device lacks."""
        asked = await _read(request, _Have, require_protocol_of)
        if len(asked.have) > MAX_DEVICES or not all(map(_is_held, asked.have.items())):
            raise ApiError(
                "have",
                "The field “have” says per device id up to which event it is held, and that "
                "event's hash.",
                422,
            )
        packed = "gzip" in request.headers.get("accept-encoding", "")

        def work() -> Response:
            result = log.pull(asked.have)
            activity.pulled(result)
            text = result.json(log.clock())
            if packed and len(text) >= GZIP_FROM_BYTES:
                # level 1: most of the gain at a fifth of the time
                return _raw(gzip.compress(text, 1, mtime=0), {"Content-Encoding": "gzip"})
            return _raw(text)

        return await to_thread.run_sync(work)

    @api.post(
        "/blobs/missing",
        responses=documented(400, 401, 413, 415, 422, 503) | {200: openapi.MISSED},
        openapi_extra=openapi.MISSING,
    )
    async def missing(request: Request, device: paired) -> Response:
        """Which of the named photos the server does not hold."""
        asked = await _read(request, _Asked)
        if len(asked.sha256) > MAX_ASKED:
            raise ApiError("photos", f"At most {MAX_ASKED} photos can be asked for at once.", 422)
        found = await to_thread.run_sync(lambda: log.photos.missing(asked.sha256))
        return _json({"missing": found})

    async def put_photo(sha256: str, request: Request) -> Response:
        """Keep a photo under its SHA-256; 201 when it is new, 200 when it was held."""
        taking = _Taking(log, device_dependency, sha256, request)
        try:
            async for part, last in parts_of(request):
                new = await asyncio.to_thread(taking.add, part, last)
        finally:
            taking.end()
        return _json({"sha256": sha256, "stored": new}, 201 if new else 200)

    api.add_api_route(
        "/blobs/{sha256}",
        put_photo,
        methods=["PUT"],
        responses=documented(401, 413, 415, 422, 503, 507) | {200: openapi.KEPT, 201: openapi.KEPT},
        status_code=201,
        openapi_extra=openapi.PHOTO,
        route_class_override=_PlainRoute,
    )

    @api.get(
        "/blobs/{sha256}",
        responses=documented(401, 404, 410, 422, 503) | {200: openapi.PICTURE},
        response_class=Response,
    )
    async def get_blob(sha256: str, request: Request, device: paired) -> Response:
        """A photo as the copy that is shown (JPEG, upright, at most 1600 px, no metadata); a
        recording as it came, also in parts.

        A browser that asks for a picture gets one also where there is none to show: what it says.
        """
        check_name(sha256)
        recording = await to_thread.run_sync(log.photos.recording, sha256)
        if recording is not None:
            kind, data = recording
            return _part_of(request, data, kind, sha256[:12])
        try:
            picture = await to_thread.run_sync(log.photos.served, sha256)
        except PictureError as error:
            if SVG not in request.headers.get("accept", ""):
                raise
            drawn, kept = placeholder(error.message), {"Cache-Control": "no-store"}
            return Response(drawn, error.status, kept, media_type=SVG)
        if picture is None:
            raise ApiError("unknown_blob", "This has not reached the server.", 404)
        return Response(
            picture, media_type="image/jpeg", headers=_kept_headers(f"{sha256[:12]}.jpg")
        )

    return api


def _kept_headers(file_name: str) -> dict[str, str]:
    """Headers of bytes that never change and must never be taken for a page."""
    return {
        "Cache-Control": "private, max-age=31536000, immutable",
        "Content-Disposition": f'inline; filename="{file_name}"',
        "Content-Security-Policy": "default-src 'none'; sandbox",
        "X-Content-Type-Options": "nosniff",
    }


_RANGE = re.compile(r"bytes=(\d{1,15})-(\d{0,15})", re.ASCII).fullmatch


def _part_of(request: Request, data: bytes, kind: str, file_name: str) -> Response:
    """A recording, or the one range of it that was asked for (RFC 9110, section 14): players
    seek that way, and some play nothing without it.
    """
    headers = {**_kept_headers(file_name), "Accept-Ranges": "bytes"}
    asked = _RANGE(request.headers.get("range", ""))
    if asked is None:
        return Response(data, media_type=kind, headers=headers)
    first = int(asked[1])
    last = min(int(asked[2]) if asked[2] else len(data) - 1, len(data) - 1)
    if first > last:
        return Response(status_code=416, headers={"Content-Range": f"bytes */{len(data)}"})
    headers["Content-Range"] = f"bytes {first}-{last}/{len(data)}"
    return Response(data[first : last + 1], 206, headers, media_type=kind)


class _Taking:
    """A photo that is being sent; used by one thread at a time.

    Who asks is asked in that thread too: one change of thread does all that a small photo needs.
    """

    def __init__(
        self, log: Log, device: Callable[[Request], Device], sha256: str, request: Request
    ) -> None:
        self._log = log
        self._device = device
        self._sha256 = sha256
        self._request = request
        self._begun: tuple[Device, Arrival] | None = None

    def add(self, part: bytes, last: bool) -> bool:
        """Take the next bytes; with the last, whether the photo is new.

        Raises ApiError, OSError, DBAPIError.
        """
        if self._begun is None:
            self._begun = self._begin()
        device, arrival = self._begun
        arrival.add(part)
        return last and self._log.photos.keep(arrival, device.id)

    def _begin(self) -> tuple[Device, Arrival]:
        device = self._device(self._request)
        check_name(self._sha256)
        headers = self._request.headers
        kind = headers.get("content-type", "").partition(";")[0].strip().lower()
        if kind not in PHOTO_TYPES and kind not in RECORDING_TYPES:
            raise ApiError(
                "type",
                "A photo is sent as image/jpeg, png, webp or heic, a recording as "
                f"{', '.join(sorted(RECORDING_TYPES))}.",
                415,
            )
        announced = headers.get("content-length", "")
        arrival = self._log.photos.arriving(self._sha256, kind)
        if announced.isdigit() and int(announced) > arrival.max_bytes:
            arrival.close()
            raise too_large(arrival.max_bytes)
        return device, arrival

    def end(self) -> None:
        """Remove what was not kept."""
        if self._begun is not None:
            self._begun[1].close()


async def parts_of(request: Request) -> AsyncIterator[tuple[bytes, bool]]:
    """A request's body in parts of about `PART_BYTES`, and of each whether it is the last."""
    pieces: list[bytes] = []
    size = 0
    async for piece in request.stream():
        pieces.append(piece)
        size += len(piece)
        if size >= PART_BYTES:
            yield b"".join(pieces), False
            pieces, size = [], 0
    yield b"".join(pieces), True


async def read_body(request: Request, limit: int = MAX_BODY_BYTES) -> bytes:
    """A request's body, unpacked when it is gzipped; at most `limit` bytes either way.

    Raises ApiError 413 "too_large", 415 "encoding", 400 "batch".
    """
    encoding = request.headers.get("content-encoding", "identity").strip().lower()
    if encoding not in ("identity", "gzip"):
        raise ApiError("encoding", "A body is sent as it is or packed with gzip.", 415)
    parts: list[bytes] = []
    size = 0
    async for chunk in request.stream():
        size += len(chunk)
        if size > limit:
            raise _body_too_large(limit)
        parts.append(chunk)
    body = b"".join(parts)
    return body if encoding == "identity" else unzip(body, limit)


def unzip(packed: bytes, limit: int) -> bytes:
    """Unpack one gzip member, stopping at `limit` bytes. Raises ApiError as `read_body`."""
    unpacker = zlib.decompressobj(wbits=31)
    try:
        body = unpacker.decompress(packed, limit + 1)
    except zlib.error as error:
        raise ApiError("batch", "The packed body is damaged. Send it again.", 400) from error
    if len(body) > limit:
        raise _body_too_large(limit)
    if not unpacker.eof or unpacker.unused_data:
        raise ApiError("batch", "The packed body is cut off or has a tail. Send it again.", 400)
    return body


def _body_too_large(limit: int) -> ApiError:
    return ApiError("too_large", f"A request may hold {limit} bytes; this one holds more.", 413)


async def _read(
    request: Request, kind: type[T], first: Callable[[bytes], None] = lambda _body: None
) -> T:
    body = await read_body(request)
    try:
        first(body)
        return msgspec.json.decode(body, type=kind)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        raise ApiError("batch", f"This request cannot be read: {error}.", 400) from error


def _json(value: Any, status: int = 200) -> Response:
    return _raw(msgspec.json.encode(value), status=status)


def _raw(text: bytes, headers: dict[str, str] | None = None, status: int = 200) -> Response:
    return Response(
        text,
        status,
        {"Cache-Control": "no-store", **(headers or {})},
        media_type="application/json",
    )
