"""A request's head has an end, however it comes; bodies are not its concern."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Sequence
from typing import Any

import pytest
import uvicorn
from uvicorn.server import ServerState

from bradawl.listening.requests import MAX_HEAD_BYTES, BoundedRequests


async def _count(_scope: Any, receive: Callable[[], Awaitable[Any]], send: Any) -> None:
    """Answers how many bytes a body had."""
    size, more = 0, True
    while more:
        message = await receive()
        if message["type"] == "http.disconnect":
            return
        size += len(message["body"])
        more = message["more_body"]
    text = str(size).encode()
    headers = [(b"content-length", str(len(text)).encode())]
    await send({"type": "http.response.start", "status": 200, "headers": headers})
    await send({"type": "http.response.body", "body": text})


def answer_to(parts: Sequence[bytes]) -> bytes:
    """What the server says to bytes sent one after another; empty when it hung up on them."""

    async def talk() -> bytes:
        config = uvicorn.Config(_count, http=BoundedRequests, ws="none", log_level="critical")
        config.load()
        state = ServerState()
        server = await asyncio.get_running_loop().create_server(
            lambda: BoundedRequests(config=config, server_state=state, app_state={}), "127.0.0.1", 0
        )
        async with server:
            reader, writer = await asyncio.open_connection(*server.sockets[0].getsockname()[:2])
            answer = b""
            try:
                for part in parts:
                    writer.write(part)
                    await writer.drain()
                    await asyncio.sleep(0)
                answer = await asyncio.wait_for(reader.read(4096), 20)
            except ConnectionError:
                pass  # it ended the connection while more was being sent
            finally:
                writer.close()
            return answer

    return asyncio.run(talk())


FILLER = [b"x" * 8_192] * (4 * MAX_HEAD_BYTES // 8_192)


@pytest.mark.parametrize(
    "parts",
    [
        [b"GET /", *FILLER],
        [b"GET / HTTP/1.1\r\nhost: localhost\r\na: ", *FILLER],
        [b"GET / HTTP/1.1\r\nhost: localhost\r\n", *[b"a: " + b"x" * 8_000 + b"\r\n"] * 40],
        [
            b"POST / HTTP/1.1\r\nhost: localhost\r\ntransfer-encoding: chunked\r\n\r\n",
            b"1\r\nx\r\n0\r\n",
            *[b"a: " + b"x" * 8_000 + b"\r\n"] * 40,
        ],
    ],
    ids=["address", "one header", "many headers", "behind the body"],
)
def test_a_head_without_end_is_refused(parts: list[bytes]) -> None:
    assert answer_to(parts)[:12] in (b"", b"HTTP/1.1 400")


def test_a_long_head_and_a_longer_body_are_read() -> None:
    body = 40 * MAX_HEAD_BYTES
    head = (
        b"POST / HTTP/1.1\r\nhost: localhost\r\na: " + b"x" * (MAX_HEAD_BYTES - 9_000) + b"\r\n"
        b"content-length: " + str(body).encode() + b"\r\n\r\n"
    )
    answer = answer_to([head, *[b"y" * MAX_HEAD_BYTES] * 40])
    assert answer.startswith(b"HTTP/1.1 200")
    assert answer.endswith(str(body).encode())


def test_requests_on_one_connection_do_not_add_up() -> None:
    one = b"GET / HTTP/1.1\r\nhost: localhost\r\na: " + b"x" * 30_000 + b"\r\n\r\n"
    assert answer_to([one] * 5).startswith(b"HTTP/1.1 200")
