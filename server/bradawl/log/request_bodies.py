"""Request bodies read within bounds: whole and unpacked, in parts, or decoded into a Struct."""

from __future__ import annotations

import zlib
from collections.abc import AsyncIterator
from typing import TypeVar

import msgspec
from starlette.requests import Request

from bradawl.common.errors import ApiError
from bradawl.language import message
from bradawl.log.format.batches import MAX_BODY_BYTES

__all__ = ["decoded", "parts_of", "read_body", "unzip"]

T = TypeVar("T")
PART_BYTES = 524_288  # of a photo that wait in memory before they go to the disk together


async def parts_of(request: Request) -> AsyncIterator[bytes]:
    """A request's body in parts of about `PART_BYTES`; one part at least, which may be empty."""
    pieces: list[bytes] = []
    size = 0
    async for piece in request.stream():
        pieces.append(piece)
        size += len(piece)
        if size >= PART_BYTES:
            yield b"".join(pieces)
            pieces, size = [], 0
    yield b"".join(pieces)


async def read_body(request: Request, limit: int = MAX_BODY_BYTES) -> bytes:
    """A request's body, unpacked when it is gzipped; at most `limit` bytes either way.

    Raises ApiError 413 "too_large", 415 "encoding", 400 "batch".
    """
    encoding = request.headers.get("content-encoding", "identity").strip().lower()
    if encoding not in ("identity", "gzip"):
        raise ApiError("encoding", message("server-body-encoding"), 415)
    body = bytearray()
    async for piece in request.stream():
        body += piece
        if len(body) > limit:
            raise _too_large(limit)
    return bytes(body) if encoding == "identity" else unzip(body, limit)


def unzip(packed: bytes | bytearray, limit: int) -> bytes:
    """Unpack one gzip member, stopping at `limit` bytes. Raises ApiError as `read_body`."""
    unpacker = zlib.decompressobj(wbits=31)
    try:
        body = unpacker.decompress(packed, limit + 1)
    except zlib.error as error:
        raise ApiError("batch", message("server-body-damaged"), 400) from error
    if len(body) > limit:
        raise _too_large(limit)
    if not unpacker.eof or unpacker.unused_data:
        raise ApiError("batch", message("server-body-cut"), 400)
    return body


def decoded(body: bytes, kind: type[T]) -> T:
    """A JSON body as the Struct `kind`. Raises ApiError 400 "batch"."""
    try:
        return msgspec.json.decode(body, type=kind)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        raise ApiError("batch", message("server-body", why=str(error)), 400) from error


def _too_large(limit: int) -> ApiError:
    return ApiError("too_large", message("server-body-large", most=limit), 413)
