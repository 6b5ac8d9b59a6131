"""A server with nothing but access in it, on a database of its own and a clock of the test's."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import pytest
from bradawl import errors
from bradawl.access import Access, Device
from bradawl.access.access import Mode
from bradawl.access.routes import router
from bradawl.database import migrate, open_engine
from fastapi import Depends, FastAPI, Request
from fastapi.testclient import TestClient
from sqlalchemy import Engine

START_MS = 1_795_600_000_000


class Clock:
    """Milliseconds that pass only when a test says so."""

    def __init__(self) -> None:
        self.now = START_MS

    def __call__(self) -> int:
        return self.now

    def pass_seconds(self, seconds: float) -> None:
        self.now += int(seconds * 1000)


@dataclass
class Server:
    access: Access
    app: FastAPI
    clock: Clock
    engine: Engine
    data: Path

    def client(self, address: str = "192.168.1.20", host: str = "localhost") -> TestClient:
        """A browser-like client of its own (cookies, https) at an address."""
        return TestClient(
            self.app,
            base_url=f"https://{host}",
            client=(address, 50000),
            follow_redirects=False,
            raise_server_exceptions=False,
        )


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def make_server(tmp_path: Path, clock: Clock) -> Iterator[Callable[..., Server]]:
    engines: list[Engine] = []

    def make(mode: Mode = "lan", **options: Any) -> Server:
        engine = open_engine(f"sqlite:///{tmp_path / 'bradawl.sqlite3'}")
        engines.append(engine)
        migrate(engine)
        access = Access(engine, mode, clock=clock, **options)
        app = FastAPI()
        errors.install(app)
        app.include_router(router(access))

        @app.get("/api/v1/whose")
        def whose(device: Annotated[Device, Depends(access.device)]) -> dict[str, str]:
            return {"device": device.id, "person": device.person.id}

        @app.post("/api/v1/sync/echo")
        async def echo(request: Request) -> dict[str, int]:
            return {"bytes": len(await request.body())}

        access.install(app)
        return Server(access, app, clock, engine, tmp_path)

    yield make
    for engine in engines:
        engine.dispose()


@pytest.fixture
def server(make_server: Callable[..., Server]) -> Server:
    return make_server("lan")
