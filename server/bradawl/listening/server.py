"""Listens: accepts connections as far as there is room, and hands them to uvicorn.

asyncio's own server accepts until no file is left, and waits a minute for a handshake. So the
sockets are accepted here, one after the other, and what is beyond the limits never gets as far as
a TLS object.
"""

from __future__ import annotations

import asyncio
import errno
import socket
import ssl
import sys
from collections.abc import Callable, Sequence

import uvicorn
from starlette.types import ASGIApp
from uvicorn.config import STARTUP_FAILURE

from bradawl.listening.admission import Admission
from bradawl.listening.connections import Connection
from bradawl.listening.limits import for_this_process
from bradawl.listening.ports import BACKLOG
from bradawl.listening.requests import BoundedRequests

__all__ = ["Server", "admission_of_this_process", "serve"]

#: After so many the loop does other work first: whoever is served already must not wait.
ACCEPTED_AT_ONCE = 8
#: Until the next attempt when the process has no file left.
PAUSE_S = 0.1
NO_FILE = (errno.EMFILE, errno.ENFILE, errno.ENOBUFS, errno.ENOMEM)
#: The first byte of a TLS record that begins a handshake (RFC 8446 section 5.1).
HANDSHAKE = b"\x16"

#: What a connection that begins with a handshake is given, None where there is nothing to give.
Context = Callable[[], ssl.SSLContext | None]


class Listener:
    """Accepts on one socket; ends with `close`."""

    def __init__(
        self,
        listening: socket.socket,
        admission: Admission,
        make_protocol: Callable[[], BoundedRequests],
        context: ssl.SSLContext | None,
        also_secure: Context | None = None,
    ) -> None:
        self._also_secure = also_secure
        self._socket = listening
        self._admission = admission
        self._make_protocol = make_protocol
        self._context = context
        self._loop = asyncio.get_running_loop()
        self._beginning: set[asyncio.Task[None]] = set()
        self._again: asyncio.TimerHandle | None = None
        listening.setblocking(False)
        listening.listen(BACKLOG)
        self._loop.add_reader(listening.fileno(), self._accept)

    def close(self) -> None:
        """Stop accepting; what was accepted and not yet spoken to is ended."""
        if self._again is not None:
            self._again.cancel()
        self._loop.remove_reader(self._socket.fileno())
        for task in self._beginning:
            task.cancel()

    async def wait_closed(self) -> None:
        """For uvicorn, which waits for its connections by itself."""
        await asyncio.gather(*self._beginning, return_exceptions=True)

    def _accept(self) -> None:
        for _ in range(ACCEPTED_AT_ONCE):
            try:
                accepted, address = self._socket.accept()
            except (BlockingIOError, InterruptedError, ConnectionAbortedError):
                return
            except OSError as error:
                if error.errno not in NO_FILE:
                    raise
                self._pause()
                return
            connection = self._admission.admit(str(address[0]))
            if connection is None:
                accepted.close()
            else:
                self._take(accepted, connection)

    def _take(self, accepted: socket.socket, connection: Connection) -> None:
        accepted.setblocking(False)
        task = self._loop.create_task(self._begin(accepted, connection))
        self._beginning.add(task)

        def cut() -> None:
            task.cancel()

        def begun(_: object) -> None:
            self._beginning.discard(task)
            if task.cancelled():
                accepted.close()  # perhaps before the task had it at all

        connection.cut = cut
        task.add_done_callback(begun)

    def _pause(self) -> None:
        """No file is left: let go of what gives way first, and go on in a moment."""
        self._admission.make_room()
        self._loop.remove_reader(self._socket.fileno())
        self._again = self._loop.call_later(
            PAUSE_S, self._loop.add_reader, self._socket.fileno(), self._accept
        )

    async def _begin(self, accepted: socket.socket, connection: Connection) -> None:
        protocol = self._make_protocol()
        protocol.serve(connection, self._admission.limits.head_s)
        try:
            context = self._context
            if self._also_secure is not None and await self._first_byte(accepted) == HANDSHAKE:
                context = self._also_secure()
            if context is None:
                await self._speak_plainly(accepted, connection, protocol)
            else:
                await self._shake_hands(accepted, connection, protocol, context)
        except OSError:
            connection.gone()  # the other end went away, or what it said was no TLS
        except asyncio.CancelledError:
            connection.gone()
            raise

    async def _first_byte(self, accepted: socket.socket) -> bytes:
        """With what a connection begins, which stays to be read; empty when it has ended."""
        readable = self._loop.create_future()
        self._loop.add_reader(accepted.fileno(), _settle, readable)
        try:
            await readable
        finally:
            self._loop.remove_reader(accepted.fileno())
        return accepted.recv(1, socket.MSG_PEEK)

    async def _speak_plainly(
        self, accepted: socket.socket, connection: Connection, protocol: BoundedRequests
    ) -> None:
        transport, _ = await self._loop.connect_accepted_socket(lambda: protocol, accepted)
        connection.cut = transport.abort
        connection.pending = transport.get_write_buffer_size

    async def _shake_hands(
        self,
        accepted: socket.socket,
        connection: Connection,
        protocol: BoundedRequests,
        context: ssl.SSLContext,
    ) -> None:
        transport, _ = await self._loop.connect_accepted_socket(_Silent, accepted)
        try:
            secure = await self._loop.start_tls(
                transport,
                protocol,
                context,
                server_side=True,
                ssl_handshake_timeout=self._admission.limits.handshake_s + 1,
                ssl_shutdown_timeout=self._admission.limits.closing_s,
            )
        except BaseException:
            transport.abort()
            raise
        connection.cut = transport.abort
        if secure is None or protocol.ended:
            connection.gone()
            return
        # What lies in the transport below does not count as the secure one's own.
        connection.pending = lambda: (
            transport.get_write_buffer_size() + secure.get_write_buffer_size()
        )
        protocol.connection_made(secure)


def _settle(readable: asyncio.Future[None]) -> None:
    if not readable.done():
        readable.set_result(None)


class _Silent(asyncio.Protocol):
    """Reads nothing until TLS takes over."""

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        assert isinstance(transport, asyncio.Transport)
        transport.pause_reading()


class Server(uvicorn.Server):
    """uvicorn, listening as far as the admission has room.

    `context` is None for plain HTTP. `also_secure` lets a plain port speak TLS as well, to whoever
    begins with a handshake.
    """

    def __init__(
        self,
        app: ASGIApp,
        admission: Admission,
        *,
        context: ssl.SSLContext | None = None,
        also_secure: Context | None = None,
        from_proxy: bool = False,
    ) -> None:
        super().__init__(
            uvicorn.Config(
                app,
                http=BoundedRequests,
                ws="none",
                log_config=None,  # its lines go where all others go
                log_level="warning",
                access_log=False,
                server_header=False,
                # Only a proxy on this machine may say for whom it asks; without one nobody may.
                proxy_headers=from_proxy,
                forwarded_allow_ips="127.0.0.1",
                timeout_keep_alive=int(admission.limits.idle_s),
            )
        )
        self.admission = admission
        self.listens = asyncio.Event()
        self._context = context
        self._also_secure = also_secure

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to listen on sockets that are open already."""
        await self.lifespan.startup()
        if self.lifespan.should_exit:
            sys.exit(STARTUP_FAILURE)
        listeners = [
            Listener(sock, self.admission, self._make_protocol, self._context, self._also_secure)
            for sock in sockets or ()
        ]
        self.servers = listeners  # type: ignore[assignment]  # closed and waited for, no more
        self.started = True
        self.listens.set()

    def _make_protocol(self) -> BoundedRequests:
        return BoundedRequests(
            self.config, self.server_state, self.lifespan.state, asyncio.get_running_loop()
        )


def admission_of_this_process(*, behind_proxy: bool = False) -> Admission:
    """The one admission of a process, for all the ports it listens on; in the event loop."""
    limits = for_this_process(behind_proxy=behind_proxy)
    return Admission(limits, asyncio.get_running_loop())


async def serve(
    servers: Sequence[tuple[Server, list[socket.socket]]],
    *,
    started: Callable[[], None] = lambda: None,
) -> None:
    """Serve until stopped; all of them together. `started` is called when all of them listen."""
    everybody = [server for server, _ in servers]
    try:
        async with asyncio.TaskGroup() as group:
            for server, sockets in servers:
                group.create_task(_until_done(server, sockets, everybody))
            for server in everybody:
                await server.listens.wait()
            started()
    finally:
        for server, sockets in servers:
            server.admission.close()
            for sock in sockets:
                sock.close()


async def _until_done(
    server: Server, sockets: list[socket.socket], everybody: Sequence[Server]
) -> None:
    try:
        await server.serve(sockets=sockets)
    finally:
        # Whoever is stopped first (Ctrl-C reaches one of them) takes the others along.
        for other in everybody:
            other.should_exit = True
