"""The reader of requests: uvicorn's with httptools, and an end to what a stranger may send.

httptools reads a request in half the time of uvicorn's other reader, and keeps a head of any
length in memory until it is complete. Bodies have their limits elsewhere (`access/bodies.py`).
"""

from __future__ import annotations

from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

MAX_HEAD_BYTES = 65_536


class BoundedHeads(HttpToolsProtocol):
    """Ends a connection on which more than `MAX_HEAD_BYTES` arrived without a head or a body.

    Address, headers, what is said around the parts of a body and behind it: all of it counts.
    """

    _since_progress = 0

    def data_received(self, data: bytes) -> None:
        self._since_progress += len(data)
        super().data_received(data)
        if self._since_progress > MAX_HEAD_BYTES and not self.transport.is_closing():
            self.send_400_response(f"The head of a request may have {MAX_HEAD_BYTES} bytes.")

    def on_headers_complete(self) -> None:
        self._since_progress = 0
        super().on_headers_complete()

    def on_body(self, body: bytes) -> None:
        self._since_progress = 0
        super().on_body(body)

    def on_message_complete(self) -> None:
        self._since_progress = 0
        super().on_message_complete()
