"""The front: the app's files at once, the application when somebody needs it, once."""

from __future__ import annotations

import asyncio
import logging
import threading
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import httpx
import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route
from starlette.testclient import TestClient

from bradawl.access.network.headers import Guard
from bradawl.common import resources, settings
from bradawl.operations.requests import RequestLog
from bradawl.serving.app import assemble, create_app
from bradawl.serving.app_files import AppFiles
from bradawl.serving.gateway import Front

WEB = resources.path_of("web")
SCRIPT = f"/app/assets/{min(WEB.glob('assets/index-*.js')).name}"
ENGINE = f"/app/assets/{min(WEB.glob('assets/*.wasm')).name}"


class Assembly:
    """Makes an application of one route, counted; waits for `gate` and fails while `broken`."""

    def __init__(self) -> None:
        self.times = 0
        self.gate = threading.Event()
        self.gate.set()
        self.broken = False
        self.lived: list[str] = []

    def __call__(self) -> Starlette:
        self.times += 1
        self.gate.wait(20)
        if self.broken:
            raise RuntimeError("the disk at /secret/place is gone")

        def whatever(request: Request) -> Response:
            return PlainTextResponse(f"application: {request.method} {request.url.path}")

        @asynccontextmanager
        async def lifespan(_app: Starlette) -> AsyncIterator[None]:
            self.lived.append("begun")
            yield
            self.lived.append("ended")

        methods = ["GET", "POST"]
        routes = [Route("/{path:path}", whatever, methods=methods)]
        return Starlette(routes=routes, lifespan=lifespan)


@pytest.fixture
def assembly() -> Assembly:
    return Assembly()


@pytest.fixture
def app(assembly: Assembly) -> Guard:
    return Guard(Front(AppFiles(WEB), assembly), mode="local", hosts=None)


@pytest.fixture
def client(app: Guard) -> TestClient:
    return TestClient(app, base_url="http://localhost", follow_redirects=False)


# The same answers as the application itself gives


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> settings.Settings:
    return settings.at(tmp_path_factory.mktemp("data"))


@pytest.fixture(scope="module")
def alone(data: settings.Settings) -> Iterator[TestClient]:
    with TestClient(
        create_app(data), base_url="http://localhost", follow_redirects=False
    ) as client:
        yield client


@pytest.fixture(scope="module")
def fronted(data: settings.Settings) -> Iterator[TestClient]:
    front = Front(AppFiles(WEB), lambda: assemble(data))
    guarded = RequestLog(Guard(front, mode="local", hosts=None))
    with TestClient(guarded, base_url="http://localhost", follow_redirects=False) as client:
        yield client


def told(answer: httpx.Response) -> tuple[int, list[tuple[str, str]], bytes]:
    """All of an answer, but for the id that each has of its own."""
    named = answer.headers.pop("x-request-id")
    body = answer.content.replace(named.encode(), b"its id")
    return answer.status_code, answer.headers.multi_items(), body


@pytest.mark.parametrize(
    "headers",
    [
        {"accept-encoding": "identity"},
        {"accept-encoding": "gzip"},
        {"accept-encoding": "gzip, br"},
        {"accept-encoding": "br", "range": "bytes=2-9"},
        {"if-none-match": "*"},
        {"if-modified-since": "Fri, 01 Jan 2100 00:00:00 GMT"},
        {"host": "rebound.example"},
    ],
    ids=lambda headers: "-".join(headers.values()),
)
@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_a_file_is_answered_as_the_application_answers_it(
    alone: TestClient, fronted: TestClient, method: str, headers: dict[str, str]
) -> None:
    for path in ("/app/", "/app/index.html", "/app/sw.js", "/app/manifest.webmanifest",
                 "/app/mark-192.png", SCRIPT, ENGINE):  # fmt: skip
        expected = told(alone.request(method, path, headers=headers))
        assert told(fronted.request(method, path, headers=headers)) == expected, path


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("GET", "/app"),
        ("GET", "/app/check"),
        ("GET", "/app/assets/"),
        ("GET", "/app/assets/app-0000.js"),
        ("GET", "/application"),
        ("POST", "/app/"),
        ("PUT", SCRIPT),
        ("OPTIONS", "/app/"),
        ("GET", "/"),
        ("GET", "/desk/"),
        ("GET", "/nowhere"),
        ("GET", "/api/v1/offline"),
        ("GET", "/api/v1/nowhere"),
    ],
)
def test_whatever_is_no_file_is_the_applications_to_answer(
    alone: TestClient, fronted: TestClient, method: str, path: str
) -> None:
    assert told(fronted.request(method, path)) == told(alone.request(method, path))


@pytest.mark.parametrize(
    "path",
    [
        "/app/%2e%2e/__init__.py",
        "/app/..%2f..%2f..%2fapp.py",
        "/app//etc/passwd",
        "/app/%2fetc%2fpasswd",
        "/app/%00",
        f"/app/{'x' * 5000}",
    ],
)
def test_no_address_leads_out_of_the_folder_of_the_app(fronted: TestClient, path: str) -> None:
    """OWASP ASVS 5.0 V5.3.2: no file name from a request leads to a file outside."""
    answer = fronted.get(path)
    assert answer.status_code == 404
    assert answer.headers["x-frame-options"] == "DENY"


# When the application is made


def test_files_and_refusals_need_no_application(client: TestClient, assembly: Assembly) -> None:
    assert "<title>" in client.get("/app/").text
    assert client.head(ENGINE).headers["content-type"] == "application/wasm"
    for path in ("/app/", "/desk/", "/api/v1/offline"):
        assert client.get(path, headers={"host": "rebound.example"}).status_code == 421
    other = {"sec-fetch-site": "cross-site"}
    assert client.post("/api/v1/pairing", headers=other).status_code == 403
    assert assembly.times == 0
    assert client.get("/desk/").text == "application: GET /desk/"
    assert "<title>" in client.get("/app/").text
    assert assembly.times == 1


def test_requests_that_come_at_once_wait_for_one_application(
    app: Guard, assembly: Assembly
) -> None:
    async def scene() -> None:
        assembly.gate.clear()
        transport = httpx.ASGITransport(app)
        async with httpx.AsyncClient(transport=transport, base_url="http://localhost") as client:
            waiting = [asyncio.create_task(client.get(f"/api/{n}")) for n in range(20)]
            while not assembly.times:
                await asyncio.sleep(0.01)
            # The app is there meanwhile, and whoever gives up takes nobody else along.
            assert (await client.get("/app/")).status_code == 200
            waiting[0].cancel()
            await asyncio.sleep(0.05)
            assert not any(one.done() for one in waiting[1:])
            assembly.gate.set()
            answers = await asyncio.gather(*waiting[1:])
        assert [one.text for one in answers] == [f"application: GET /api/{n}" for n in range(1, 20)]

    asyncio.run(scene())
    assert assembly.times == 1


def test_what_cannot_be_made_is_said_and_tried_again(
    client: TestClient, assembly: Assembly, caplog: pytest.LogCaptureFixture
) -> None:
    assembly.broken = True
    with client, caplog.at_level(logging.ERROR):
        for_program, for_person = client.get("/api/v1/offline"), client.get("/desk/")
        assert client.get("/app/").status_code == 200
        assert assembly.times == 2
        assert for_program.status_code == for_person.status_code == 503
        assert for_program.json()["error"]["code"] == "not_ready"
        assert for_program.headers["retry-after"] == "10"
        assert "<p>The shop computer is on but can&#x27;t open its records" in for_person.text
        for answer in (for_program, for_person):
            assert "secret" not in answer.text
            assert answer.headers["x-content-type-options"] == "nosniff"
        assert "/secret/place is gone" in caplog.text
        assembly.broken = False
        assert client.get("/desk/").text == "application: GET /desk/"
    assert assembly.lived == ["begun", "ended"]


# Beginning and end


def test_an_application_that_was_made_is_ended_with_the_server(
    client: TestClient, assembly: Assembly
) -> None:
    with client:
        client.get("/desk/")
        assert assembly.lived == ["begun"]
    assert assembly.lived == ["begun", "ended"]


def test_a_server_that_nobody_asked_ends_with_nothing_to_end(
    client: TestClient, assembly: Assembly
) -> None:
    with client:
        client.get("/app/")
    assert assembly.times == 0


def test_an_application_that_had_to_be_made_beforehand_is_that_one(assembly: Assembly) -> None:
    def never() -> Starlette:
        raise AssertionError("made twice")

    app = Front(AppFiles(WEB), never, assembly())
    with TestClient(app, base_url="http://localhost") as client:
        assert assembly.lived == ["begun"]
        assert client.get("/desk/").text == "application: GET /desk/"
    assert assembly.lived == ["begun", "ended"]


def test_an_end_in_the_middle_of_making_waits_and_closes_what_was_made(
    assembly: Assembly,
) -> None:
    async def scene() -> None:
        front = Front(AppFiles(WEB), assembly)
        said: list[str] = []
        orders: asyncio.Queue[dict[str, str]] = asyncio.Queue()

        async def send(message: object) -> None:
            assert isinstance(message, dict)
            said.append(message["type"])

        living = asyncio.create_task(front({"type": "lifespan"}, orders.get, send))
        await orders.put({"type": "lifespan.startup"})
        assembly.gate.clear()
        transport = httpx.ASGITransport(front)
        async with httpx.AsyncClient(transport=transport, base_url="http://localhost") as client:
            asked = asyncio.create_task(client.get("/desk/"))
            while not assembly.times:
                await asyncio.sleep(0.01)
            await orders.put({"type": "lifespan.shutdown"})
            await asyncio.sleep(0.05)
            assert said == ["lifespan.startup.complete"]
            assembly.gate.set()
            await asyncio.gather(asked, living)
        assert said[-1] == "lifespan.shutdown.complete"

    asyncio.run(scene())
    assert assembly.lived == ["begun", "ended"]


def test_the_app_goes_on_where_a_build_is_replaced_under_the_server(
    tmp_path: Path, assembly: Assembly
) -> None:
    (tmp_path / "index.html").write_text("one")
    client = TestClient(Front(AppFiles(tmp_path), assembly), base_url="http://localhost")
    assert client.get("/app/").text == "one"
    (tmp_path / "index.html").write_text("another")
    assert client.get("/app/").text == "another"
    (tmp_path / "index.html").unlink()
    assert client.get("/app/").text == "application: GET /app/"
