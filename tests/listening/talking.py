"""A small application behind the listening that Bradawl has, and clients that are not polite."""

from __future__ import annotations

import asyncio
import ssl
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from typing import Any

from bradawl.listening import ports
from bradawl.listening.admission import Admission
from bradawl.listening.limits import Limits
from bradawl.listening.server import Server, serve

LIMIT_S = 60
HEAD = b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n"

Receive = Callable[[], Awaitable[Any]]


class Application:
    """Answers with the count of the body's bytes; holds back `/held`; `/large` answers much."""

    def __init__(self) -> None:
        self.release = asyncio.Event()
        self.asked: list[str] = []
        self.broken_off = 0
        self.large_bytes = 40_000_000

    async def __call__(self, scope: Any, receive: Receive, send: Any) -> None:
        if scope["type"] == "lifespan":
            for kind in ("startup", "shutdown"):
                await receive()
                await send({"type": f"lifespan.{kind}.complete"})
            return
        self.asked.append(scope["path"])
        size, more = 0, True
        while more:
            message = await receive()
            if message["type"] == "http.disconnect":
                self.broken_off += 1
                return
            size += len(message["body"])
            more = message["more_body"]
        if scope["path"] == "/held":
            await self.release.wait()
        body = b"x" * self.large_bytes if scope["path"] == "/large" else str(size).encode()
        headers = [(b"content-length", str(len(body)).encode())]
        await send({"type": "http.response.start", "status": 200, "headers": headers})
        await send({"type": "http.response.body", "body": body})


@dataclass
class Listening:
    """A server that listens on 127.0.0.1."""

    application: Application
    admission: Admission
    port: int

    async def connect(
        self, source: str = "127.0.0.1", context: ssl.SSLContext | None = None
    ) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
        return await asyncio.open_connection(
            "127.0.0.1", self.port, local_addr=(source, 0), ssl=context, limit=2**16
        )

    async def answers(self, source: str = "127.0.0.1") -> bool:
        """Whether a request of its own connection is answered."""
        reader, writer = await self.connect(source)
        try:
            writer.write(HEAD)
            return (await reader.read(12)) == b"HTTP/1.1 200"
        except ConnectionError:
            return False
        finally:
            await closed(writer)


@asynccontextmanager
async def listening(
    limits: Limits, context: ssl.SSLContext | None = None
) -> AsyncIterator[Listening]:
    """A server with these limits, until the end of the block."""
    application = Application()
    admission = Admission(limits, asyncio.get_running_loop())
    sockets = ports.open_local_port(0, as_localhost=False)
    port = ports.number_of(sockets[0])
    server = Server(application, admission, context=context)
    up = asyncio.Event()
    serving = asyncio.create_task(serve([(server, sockets)], started=up.set))
    try:
        await asyncio.wait_for(up.wait(), LIMIT_S)
        yield Listening(application, admission, port)
    finally:
        application.release.set()
        server.should_exit = True
        await asyncio.wait_for(serving, LIMIT_S)


async def closed(writer: asyncio.StreamWriter) -> None:
    """Close this end, whatever the other has done."""
    writer.close()
    with suppress(ConnectionError, ssl.SSLError):
        await writer.wait_closed()


async def until(condition: Callable[[], bool]) -> None:
    """Wait for a state. Raises TimeoutError."""
    async with asyncio.timeout(LIMIT_S):
        while not condition():
            await asyncio.sleep(0.01)


async def end_of(reader: asyncio.StreamReader) -> bytes:
    """What comes until the other end hangs up."""
    came = b""
    try:
        async with asyncio.timeout(LIMIT_S):
            while part := await reader.read(65_536):
                came += part
    except ConnectionError:
        pass
    return came
