"""Every answer names its request; what nothing else caught is answered and written."""

from __future__ import annotations

import asyncio
import logging
import re
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import pytest
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.testclient import TestClient
from starlette.types import Message, Receive, Scope, Send

from bradawl.access import lan
from bradawl.access.authority.names import Place
from bradawl.access.web.onboarding import first_app
from bradawl.common import settings
from bradawl.common.errors import ApiError, install_plain
from bradawl.operations import current, identify, request_id
from bradawl.operations.requests import RequestLog
from bradawl.serving.app import create_app
from tests.fresh import furnished
from tests.operations.lines import json_lines, logging_to

ID = re.compile(r"[0-9a-f]{12}")


def whoami(request: Request) -> Response:
    """In a worker thread, as every route that is no coroutine."""
    identify("p1", "Ada", device_id="d1", device="Ada's phone")
    raise ApiError("gap", "There is a gap.", 409, held=3)


async def late(_request: Request) -> Response:
    async def parts() -> AsyncIterator[bytes]:
        yield b"half"
        raise OSError("the disk went away")

    return StreamingResponse(parts(), media_type="text/plain")


async def drawn(_request: Request) -> Response:
    """A page that shows an error by itself, as forms do."""
    try:
        raise ApiError("name", "A name needs 1 to 60 letters.", 422)
    except ApiError as wrong:
        return PlainTextResponse(wrong.message, wrong.status)


async def other(_request: Request) -> Response:
    """An answer that has nothing to do with the error on the way."""
    try:
        raise ApiError("not_an_image", "This is no picture.", 422)
    except ApiError:
        return PlainTextResponse("gone", 410)


async def fine(_request: Request) -> Response:
    return JSONResponse({"request": request_id()})


async def absent(_request: Request) -> Response:
    raise HTTPException(404)


def app() -> Starlette:
    places = {"gap": whoami, "late": late, "drawn": drawn, "other": other, "fine": fine,
              "absent": absent}  # fmt: skip
    made = Starlette(routes=[Route(f"/api/{name}", page) for name, page in places.items()])
    install_plain(made)
    return made


def client_of(inner: Any) -> TestClient:
    return TestClient(RequestLog(inner), raise_server_exceptions=False)


def test_every_answer_has_an_id_of_its_own_and_never_the_clients() -> None:
    client = client_of(app())
    headers = {"X-Request-Id": "mine\t1"}
    answers = [
        client.get(f"/api/{name}", headers=headers)
        for name in ("fine", "fine", "gap", "absent", "nowhere", "drawn")
    ]
    ids = [answer.headers["x-request-id"] for answer in answers]
    assert all(ID.fullmatch(one) for one in ids)
    assert len(set(ids)) == len(ids)
    assert answers[0].json() == {"request": ids[0]}
    for at in (2, 3, 4):
        assert answers[at].json()["error"]["request_id"] == ids[at]
    assert current() is None
    assert request_id() == ""


def test_an_error_outside_of_a_request_names_none() -> None:
    assert ApiError("gap", "There is a gap.", 409, held=3).body() == {
        "error": {"code": "gap", "message": "There is a gap.", "held": 3}
    }


@pytest.mark.parametrize(
    ("name", "status", "code"),
    [
        ("gap", 409, "gap"),
        ("absent", 404, "not_found"),
        ("drawn", 422, "name"),
        ("other", 410, None),
    ],
)
def test_a_refusal_is_written_with_status_code_and_who(
    tmp_path: Path, name: str, status: int, code: str | None
) -> None:
    with logging_to(tmp_path):
        answer = client_of(app()).get(f"/api/{name}?token=hush")
    (line,) = json_lines(tmp_path)
    assert (line["event"], line["status"], line.get("code")) == ("refused", status, code)
    assert line["request_id"] == answer.headers["x-request-id"]
    assert line["path"] == f"/api/{name}"
    assert line["who"] == ("Ada's phone" if name == "gap" else "nobody")
    assert (line.get("person"), line.get("device_id")) == (
        ("Ada", "d1") if name == "gap" else (None, None)
    )


def test_an_answer_that_breaks_off_is_written_under_its_request(tmp_path: Path) -> None:
    with logging_to(tmp_path):
        answer = client_of(app()).get("/api/late")
    lines = [line for line in json_lines(tmp_path) if line["event"] == "failed"]
    assert [line["request_id"] for line in lines] == [answer.headers["x-request-id"]]
    assert "OSError: the disk went away" in lines[0]["traceback"]


def test_what_breaks_outside_of_the_application_is_answered_all_the_same(tmp_path: Path) -> None:
    async def broken(scope: Scope, receive: Receive, send: Send) -> None:
        raise RuntimeError("gone")

    with logging_to(tmp_path):
        for_program = client_of(broken).get("/api/x")
        for_person = client_of(broken).get("/desk/")
    assert for_program.status_code == for_person.status_code == 500
    assert for_program.json()["error"]["request_id"] == for_program.headers["x-request-id"]
    assert f"Quote request {for_person.headers['x-request-id']}.</small>" in for_person.text
    assert [line["event"] for line in json_lines(tmp_path)] == ["failed", "failed"]


def test_requests_at_once_do_not_mix(tmp_path: Path) -> None:
    inside = app()
    sent: dict[str, list[Message]] = {}

    async def ask(number: int) -> None:
        name = str(number)

        async def receive() -> Message:
            await asyncio.sleep(0)
            return {"type": "http.request", "body": b"", "more_body": False}

        async def send(message: Message) -> None:
            await asyncio.sleep(0)
            sent.setdefault(name, []).append(message)

        scope = {
            "type": "http",
            "method": "GET",
            "path": "/api/fine",
            "query_string": b"",
            "headers": [],
            "server": ("x", 80),
            "client": (f"10.0.0.{name}", 1),
        }
        await RequestLog(inside)(scope, receive, send)

    async def all_at_once() -> None:
        await asyncio.gather(*(ask(number) for number in range(50)))

    asyncio.run(all_at_once())
    for start, body in sent.values():
        named = dict(start["headers"])[b"x-request-id"].decode()
        assert body["body"].decode() == f'{{"request":"{named}"}}'


def test_a_client_that_goes_away_is_no_alarm(tmp_path: Path) -> None:
    from starlette.requests import ClientDisconnect

    async def left(scope: Scope, receive: Receive, send: Send) -> None:
        raise ClientDisconnect

    async def nothing(*_: object) -> Any:
        raise AssertionError("nobody is there")

    with logging_to(tmp_path):
        scope = {"type": "http", "method": "GET", "path": "/", "headers": [], "client": None}
        asyncio.run(RequestLog(left)(scope, nothing, nothing))
        logging.getLogger("bradawl.tests").info("afterwards")
    (line,) = json_lines(tmp_path)
    assert line["message"] == "afterwards"


@pytest.mark.parametrize(
    ("client", "address"),
    [(("192.168.1.9", 1), "192.168.1.9"), (("::ffff:192.168.1.9", 1), "192.168.1.9"),
     (("2001:db8::1", 1), "2001:db8::1"), (None, "unknown")],
)  # fmt: skip
def test_the_address_is_said_plainly(tmp_path: Path, client: Any, address: str) -> None:
    async def refusing(scope: Scope, receive: Receive, send: Send) -> None:
        await PlainTextResponse("no", 404)(scope, receive, send)

    async def ignore(*_: object) -> Any:
        return None

    with logging_to(tmp_path):
        scope = {"type": "http", "method": "GET", "path": "/", "headers": [], "client": client}
        asyncio.run(RequestLog(refusing)(scope, ignore, ignore))
    (line,) = json_lines(tmp_path)
    assert line["address"] == address


# The wiring


def test_the_application_answers_with_ids(tmp_path: Path) -> None:
    whole = create_app(settings.at(furnished(tmp_path / "data")))
    try:
        client = TestClient(whole, base_url="http://localhost", follow_redirects=False)
        for path in ("/", "/app/", "/desk/sign-in", "/api/v1/me", "/api/v1/offline", "/nowhere",
                     "/hello/ping", "/app/sw.js"):  # fmt: skip
            for host in ("localhost", "rebound.example"):
                answer = client.get(path, headers={"host": host})
                assert ID.fullmatch(answer.headers["x-request-id"]), path
    finally:
        whole.state.core.close()


def test_the_plain_port_of_the_first_meeting_answers_with_ids(tmp_path: Path) -> None:
    place = Place(("shop.local",), ())
    client = TestClient(first_app(lan.prepare(tmp_path, 8477, 8478, place)))
    for path in ("/", "/hello/mark.svg", "/nowhere"):
        answer = client.get(path)
        named = answer.headers["x-request-id"]
        assert ID.fullmatch(named)
        assert (named in answer.text) == (answer.status_code >= 400)
