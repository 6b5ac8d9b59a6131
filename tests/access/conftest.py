"""A server with nothing but access in it, on a database of its own and a clock of the test's."""

import io
import os
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Annotated, Any

import pytest
from argon2 import PasswordHasher
from fastapi import Depends, FastAPI, Request
from fastapi.testclient import TestClient
from sqlalchemy import Engine

from bradawl.access.core.models import Device
from bradawl.access.people import passphrases
from bradawl.access.personal_data.forgetting import Forgetting
from bradawl.access.routes import desk_router, router
from bradawl.access.web.auth import Access, Mode
from bradawl.access.web.context import Parts
from bradawl.backup.create import Contents
from bradawl.common import errors, settings
from bradawl.database.connection import open_engine
from bradawl.judge import may_be_erased
from bradawl.report.signing.known_signers import Signers
from bradawl.serving.backups.state import BackupState
from tests.fresh import migrated

START_MS = 1_795_600_000_000


VISIT = "a1" * 16
OTHER_VISIT = "b2" * 16
TITLES = {VISIT: "Testa One 1974", OTHER_VISIT: "Testa Two 1981"}
PDFS = {"condition": b"%PDF-condition", "partner": b"%PDF-partner"}
PASSPHRASE = "nine rusty hinges sing"


class Clock:
    """Milliseconds that pass only when a test says so."""

    def __init__(self) -> None:
        self.now = START_MS

    def __call__(self) -> int:
        return self.now

    def pass_seconds(self, seconds: float) -> None:
        self.now += int(seconds * 1000)


class Events:
    """A log reduced to what the pages of access need of it."""

    def __init__(self) -> None:
        self.kept: list[dict[str, Any]] = []
        self.held: dict[str, int] = {}
        self.state = BackupState()
        self.contents = Contents("2026-11-25T09:00:00+00:00", 0, 0, 0, 10)

    def backup(self) -> tuple[IO[bytes], Contents]:
        return io.BytesIO(b"everything"), self.contents

    def put(self, path: str, value: Any, visit: str = VISIT) -> None:
        self.append("d1" * 16, visit, [(path, value)])

    def of(self, visit: str) -> list[dict[str, Any]]:
        return [event for event in self.kept if event["visit"] == visit]

    events_of = of

    def append(self, device: str, visit: str, puts: Sequence[tuple[str, Any]]) -> None:
        for path, value in puts:
            seq = len(self.kept) + 1
            event = {"device": device, "seq": seq, "visit": visit, "put": path, "value": value}
            self.kept.append(event)

    def erase(self, _writer: str, visit: str, wanted: Collection[tuple[str, int]]) -> int:
        gone = [one for one in self.of(visit) if (one["device"], one["seq"]) in wanted]
        for one in gone:
            one.update(value=None, erased=True)
        return len(gone)


@dataclass
class Server:
    access: Access
    app: FastAPI
    clock: Clock
    engine: Engine
    data: Path
    events: "Events"

    def client(
        self,
        address: str = "192.168.1.20",
        host: str = "localhost",
        cookies: dict[str, str] | None = None,
    ) -> TestClient:
        """A browser-like client of its own (cookies, https) at an address."""
        return TestClient(
            self.app,
            base_url=f"https://{host}",
            client=(address, 50000),
            cookies=cookies,
            follow_redirects=False,
            raise_server_exceptions=False,
        )

    def desk(
        self, name: str = "Ada", role: str = "owner", address: str = "192.168.1.5"
    ) -> TestClient:
        """A desk browser of a person who just chose a passphrase."""
        people = self.access.people
        fresh = role == "owner" and not people.anybody_can_sign_in()
        person = people.first_owner() if fresh else people.add(name, role)
        client = self.client(address)
        answer = client.post(
            "/desk/first",
            data={
                "token": people.invite(person.id),
                "name": name,
                "passphrase": PASSPHRASE,
                "again": PASSPHRASE,
            },
        )
        assert answer.status_code == 303, answer.text
        return client


@pytest.fixture(autouse=True)
def quick_argon2(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same functions with a cost that a hundred tests can pay."""
    quick = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
    monkeypatch.setattr(passphrases, "_hasher", quick)
    monkeypatch.setattr(passphrases, "_DUMMY", quick.hash("nobody"))


@pytest.fixture
def clock() -> Clock:
    return Clock()


def database_url(folder: Path) -> str:
    """SQLite in the folder, or its own database on the PostgreSQL cluster that is named."""
    cluster = os.environ.get("BRADAWL_TEST_CLUSTER")
    if cluster is None:
        return f"sqlite:///{folder / 'bradawl.sqlite3'}"
    from tests.log.stores import database_for

    return database_for(cluster, folder)


@pytest.fixture
def make_server(tmp_path: Path, clock: Clock) -> Iterator[Callable[..., Server]]:
    engines: list[Engine] = []

    def make(mode: Mode = "lan", **options: Any) -> Server:
        engine = open_engine(database_url(tmp_path))
        engines.append(engine)
        migrated(engine)
        access = Access(engine, mode, clock=clock, **options)
        app = FastAPI()
        errors.install(app)
        app.include_router(router(access))

        events = Events()
        app.include_router(
            desk_router(
                Parts(
                    access,
                    title_of=TITLES.get,
                    report=lambda visit, edition: PDFS[edition],
                    forgetting=Forgetting(events, may_be_erased),
                    held=lambda: events.held,
                    backup=events.backup,
                    backup_state=lambda: events.state,
                    signers=Signers(tmp_path, tmp_path / "keys", lambda: "2026-11-25"),
                    keys=tmp_path / "keys",
                    settings=settings.at(tmp_path),
                    phones_begin=lambda: ("/1", "1") if mode == "lan" else ("", ""),
                )
            )
        )

        @app.get("/desk/", dependencies=[Depends(access.person)])
        def visits() -> str:
            return "the visits"

        @app.get("/desk/visits/{visit}", dependencies=[Depends(access.person)])
        def visit(visit: str) -> str:
            return f"visit {visit}"

        @app.get("/desk/visits/{visit}/report.pdf", dependencies=[Depends(access.person)])
        def report(visit: str, edition: str = "condition") -> str:
            return f"{edition} {visit}"

        @app.get("/api/v1/whose")
        def whose(device: Annotated[Device, Depends(access.device)]) -> dict[str, str]:
            return {"device": device.id, "person": device.person.id}

        @app.post("/api/v1/sync/echo")
        async def echo(request: Request) -> dict[str, int]:
            return {"bytes": len(await request.body())}

        access.install(app)
        return Server(access, app, clock, engine, tmp_path, events)

    yield make
    for engine in engines:
        engine.dispose()


@pytest.fixture
def server(make_server: Callable[..., Server]) -> Server:
    return make_server("lan")
