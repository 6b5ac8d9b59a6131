"""An ASGI app that real browsers can reach."""

from __future__ import annotations

import threading
import time
from typing import Any

import uvicorn

from bradawl.listening.ports import open_port


class Site:
    """An ASGI app on a free port, in a thread."""

    def __init__(self, app: Any) -> None:
        self._socket = open_port(0)
        config = uvicorn.Config(app, log_level="warning")
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(
            target=self._server.run, kwargs={"sockets": [self._socket]}, daemon=True
        )
        self.origin = f"http://127.0.0.1:{self._socket.getsockname()[1]}"

    def __enter__(self) -> str:
        self._thread.start()
        while not self._server.started:
            time.sleep(0.02)
        return self.origin

    def __exit__(self, *_: object) -> None:
        self._server.should_exit = True
        self._thread.join()
        self._socket.close()
