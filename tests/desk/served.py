"""A desk that answers at an address, for tests in a browser."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import uvicorn

from bradawl.access.network.headers import Guard
from tests.desk.conftest import Workshop


@contextmanager
def served(shop: Workshop, *, guarded: bool = False) -> Iterator[str]:
    """The address of a workshop's desk; `guarded`: with the content policy of the whole server."""
    app: Any = Guard(shop.site(), mode="local", hosts=None) if guarded else shop.site()
    config = uvicorn.Config(app, host="127.0.0.1", port=0, log_level="error", ws="none")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}"
    server.should_exit = True
    thread.join()
