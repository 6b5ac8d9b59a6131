"""Reads requests with uvicorn's httptools reader, within limits on what a stranger may send.

httptools reads a request in half the time of uvicorn's other reader, and keeps a head of any
length in memory until it is complete. How large a body may be is said elsewhere
(`access/network/body_limits.py`); how long the other end may take, by `admission.py`.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from http import HTTPStatus
from typing import Any, Literal

from uvicorn.config import Config
from uvicorn.protocols.http.flow_control import FlowControl
from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol
from uvicorn.server import ServerState

from bradawl.language import Message, message
from bradawl.listening.connections import Connection, Phase
from bradawl.operations import note
from bradawl.operations.context import Operation, working_on

__all__ = ["BoundedRequests"]

logger = logging.getLogger(__name__)

MAX_HEAD_BYTES = 65_536

TOO_SLOW = message("server-head-slow")


class BoundedRequests(HttpToolsProtocol):
    """One connection that speaks HTTP; tells its `Connection` whose turn it is.

    Ends a connection on which more than `MAX_HEAD_BYTES` arrived without a head or a body:
    address, headers, what is said around the parts of a body and behind it, all of it counts.
    """

    def __init__(
        self,
        config: Config,
        server_state: ServerState,
        app_state: dict[str, Any],
        _loop: asyncio.AbstractEventLoop | None = None,
    ) -> None:
        super().__init__(config, server_state, app_state, _loop)
        self.connection = Connection("", self.loop.time(), 0.0)
        self._head_s = 0.0
        self.ended = False
        self._since_progress = 0
        self._early: list[bytes] = []
        #: What of a request is being read.
        self._reading: Literal["nothing", "head", "body"] = "nothing"
        #: Requests whose heads are complete and whose answers are not.
        self._unanswered = 0
        self._any_request = False

    def serve(self, connection: Connection, head_s: float) -> None:
        """Be the one that `connection` is about; every head may take so long."""
        self.connection = connection
        self._head_s = head_s

    # From the transport

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        self.connection.begin(self._head_s, self.loop.time())
        self.connection.give_up = self.give_up
        self.connection.closing = transport.is_closing
        self.flow = _TellingFlow(transport, self._tell)
        early, self._early = self._early, []
        for data in early:
            self.data_received(data)

    def connection_lost(self, exc: Exception | None) -> None:
        self.ended = True
        self.connection.gone()
        if self.transport is not None:
            super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        if self.transport is None:
            # asyncio hands over what came with the end of a TLS handshake before the transport.
            self._early.append(data)
            return
        self.connection.received(len(data))
        self._since_progress += len(data)
        super().data_received(data)
        if self._since_progress > MAX_HEAD_BYTES and not self.transport.is_closing():
            self._refuse(HTTPStatus.BAD_REQUEST, message("server-head-long", most=MAX_HEAD_BYTES))
            self.transport.close()

    def give_up(self) -> None:
        """End a connection whose other end took too long; with a word if it began to ask."""
        if self._reading == "head":
            self._refuse(HTTPStatus.REQUEST_TIMEOUT, TOO_SLOW)  # RFC 9110 section 15.5.9
        self.transport.close()

    def send_400_response(self, msg: str) -> None:
        """End a connection whose other end says what is no request."""
        self._refuse(HTTPStatus.BAD_REQUEST, msg)
        self.transport.close()

    def _refuse(self, status: HTTPStatus, sentence: Message | str) -> None:
        """An answer to what never became a request; it has an id and a line in the log."""
        with working_on(Operation(address=self.connection.address)) as operation:
            note(
                logger, "refused", level=logging.WARNING, same=("address", "status"),
                status=status.value, why=sentence,
            )  # fmt: skip
        text = str(sentence).encode()
        head = (
            f"HTTP/1.1 {status.value} {status.phrase}\r\n"
            "connection: close\r\n"
            "content-type: text/plain; charset=utf-8\r\n"
            f"x-request-id: {operation.id}\r\n"
            f"content-length: {len(text)}\r\n\r\n"
        )
        self.transport.write(head.encode("ascii") + text)

    # From the parser

    def on_message_begin(self) -> None:
        super().on_message_begin()
        self._reading = "head"
        if self._unanswered == 0 and self._any_request:
            self.connection.begin(self._head_s, self.loop.time())
        self._tell()

    def on_headers_complete(self) -> None:
        self._since_progress = 0
        self._reading = "body"
        self._any_request = True
        self._unanswered += 1
        super().on_headers_complete()
        self._tell()

    def on_body(self, body: bytes) -> None:
        self._since_progress = 0
        super().on_body(body)
        self._tell()

    def on_message_complete(self) -> None:
        self._since_progress = 0
        self._reading = "nothing"
        super().on_message_complete()
        self._tell()

    def on_response_complete(self) -> None:
        self._unanswered -= 1
        super().on_response_complete()
        self._tell()

    def _tell(self) -> None:
        self.connection.enter(self._phase(), self.loop.time())

    def _phase(self) -> Phase:
        if self._reading == "body" and self._unanswered <= 1:
            return Phase.WORKING if self.flow.read_paused else Phase.RECEIVING
        if self._unanswered:
            return Phase.WORKING
        if self._reading == "head" or not self._any_request:
            return Phase.HALF_OPEN
        return Phase.IDLE


class _TellingFlow(FlowControl):
    """Says when reading goes on: from then on it is the other end's turn again."""

    def __init__(self, transport: asyncio.Transport, resumed: Callable[[], None]) -> None:
        super().__init__(transport)
        self._resumed = resumed

    def resume_reading(self) -> None:
        if self.read_paused:
            super().resume_reading()
            self._resumed()
