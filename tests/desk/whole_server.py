"""The desk within the whole server: its core, a browser on its machine, and what a record says."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient

from bradawl.common import settings
from bradawl.serving.app import create_app
from tests.fresh import furnished


@contextmanager
def whole_server(data: Path) -> Iterator[Any]:
    """The core of a new server, its application at `app`."""
    app = create_app(settings.at(furnished(data)))
    core = app.state.core
    core.app = app
    yield core
    core.log.close()


def browser_of(core: Any, *, follow: bool = False) -> TestClient:
    """A browser on the server's own machine: no sign-in until a passphrase is set."""
    return TestClient(
        core.app,
        base_url="http://localhost",
        headers={"Origin": "http://localhost"},
        client=("127.0.0.1", 50_000),
        follow_redirects=follow,
    )


def standing(core: Any, visit: str, start: str) -> dict[str, Any]:
    """What stands below a path of a visit's record, by path."""
    cells = core.snapshot(visit).cells if core.log.events_of(visit) else {}
    return {
        path: cell["value"]
        for path, cell in cells.items()
        if path.startswith(start) and cell["value"] is not None
    }
