"""The whole server under hostile hands: malformed input, other people's tokens, other sites.

Schemathesis makes requests from the server's own OpenAPI description, valid and invalid ones.
"""

from __future__ import annotations

import hashlib
import io
import json
import logging
import re
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.routing import iter_route_contexts
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from bradawl.access.web.auth import DESK_COOKIE, DEVICE_COOKIE
from bradawl.common import settings as places
from bradawl.serving.app import create_app
from bradawl.serving.core import Bradawl
from tests.access.devices.wishes import wish
from tests.amount import amount
from tests.fresh import furnished
from tests.log.writer import Writer
from tests.writing import key_of

KEYS = {key.device: key for key in map(key_of, ("first", "second", "lost"))}
PHONE, OTHER, LOST = KEYS
VISIT = "a1" * 16
OTHER_VISIT = "a2" * 16
EXAMPLES = amount(60, short=8)


@asynccontextmanager
async def stay_open(_app: object) -> AsyncIterator[None]:
    yield


class Whole:
    """The whole application on a data folder of its own, with two paired phones."""

    def __init__(self, folder: Path) -> None:
        self.settings = places.at(furnished(folder)).with_mode("lan", "", 0)
        self.app: FastAPI = create_app(self.settings)
        # Schemathesis starts and ends the application around every single request.
        self.app.router.lifespan_context = stay_open
        self.core: Bradawl = self.app.state.core
        owner = self.core.access.first_owner()
        pair = self.core.access.pairing.pair_at_once
        self.tokens = {one: pair(one, f"phone {one[:2]}", owner.id) for one in (PHONE, OTHER)}

    def client(self, device: str = "", address: str = "192.168.1.9") -> TestClient:
        cookies = {DEVICE_COOKIE: self.tokens[device]} if device else {}
        return TestClient(
            self.app,
            base_url="https://localhost",
            client=(address, 4711),
            cookies=cookies,
            follow_redirects=False,
            raise_server_exceptions=False,
        )

    def push(self, client: TestClient, device: str, /, **changes: Any) -> Any:
        writer = Writer(KEYS[device], VISIT)
        writer.put("items/rust.sills/note", "rusty")
        return client.post("/api/v1/sync/push", json={**writer.batch(), **changes})


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Whole]:
    one = Whole(tmp_path_factory.mktemp("whole"))
    yield one
    one.core.close()


@pytest.fixture(scope="module")
def description(whole: Whole) -> Any:
    import schemathesis  # half a second of every worker, were it above

    return schemathesis.openapi.from_asgi("/api/v1/openapi.json", whole.app)


#: Every operation of the description; `test_every_described_operation_is_tried` keeps it whole.
OPERATIONS = [
    ("POST", "/api/v1/pairing"),
    ("POST", "/api/v1/pairing/poll"),
    ("GET", "/api/v1/me"),
    ("POST", "/api/v1/sync/push"),
    ("POST", "/api/v1/sync/aside"),
    ("POST", "/api/v1/sync/pull"),
    ("POST", "/api/v1/blobs/missing"),
    ("PUT", "/api/v1/blobs/{sha256}"),
    ("GET", "/api/v1/blobs/{sha256}"),
    ("GET", "/api/v1/offline"),
    ("GET", "/api/v1/judge/{name}.json"),
    ("GET", "/api/v1/checklists/{name}.json"),
    ("GET", "/api/v1/checklists/{name}/{locale}.json"),
    ("GET", "/api/v1/judge/{name}/trouble.json"),
    ("GET", "/api/v1/checklists/{name}/trouble.json"),
]
GUARDED = ("/api/v1/sync", "/api/v1/blobs", "/api/v1/me")


def test_every_described_operation_is_tried(description: Any) -> None:
    described = {one.ok().label for one in description.get_all_operations()}
    assert described == {f"{method} {path}" for method, path in OPERATIONS}


@pytest.mark.parametrize(("method", "path"), OPERATIONS)
def test_no_request_breaks_the_server_or_its_description(
    whole: Whole, description: Any, method: str, path: str
) -> None:
    """Each is made with a token that opens and with one that was guessed."""
    from schemathesis import GenerationMode, checks
    from schemathesis.specs.openapi import checks as openapi

    tried = [
        checks.not_a_server_error,
        openapi.status_code_conformance,
        openapi.content_type_conformance,
        openapi.response_headers_conformance,
        openapi.response_schema_conformance,
    ]
    operation = description[path][method]

    def try_one(case: Any) -> None:
        for token in (whole.tokens[PHONE], "guessed"):
            response = case.call(headers={"Cookie": f"{DEVICE_COOKIE}={token}"})
            case.validate_response(response, checks=tried)
            if token == "guessed" and path.startswith(GUARDED):
                assert response.status_code >= 400

    wrongable = "{name}" not in path and path != "/api/v1/offline"
    for mode in GenerationMode:
        if mode is GenerationMode.NEGATIVE and not wrongable:
            continue  # it takes nothing that could be wrong
        trial = given(operation.as_strategy(generation_mode=mode))(try_one)
        quiet = list(HealthCheck)
        settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=quiet)(trial)()


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=12,
)


@pytest.mark.parametrize(
    "path", ["/api/v1/sync/push", "/api/v1/sync/pull", "/api/v1/blobs/missing", "/api/v1/pairing"]
)
@settings(max_examples=amount(200, short=30), deadline=None)
@given(body=JSON | st.binary(max_size=200))
def test_any_body_at_all_gets_an_answer_with_a_sentence(whole: Whole, path: str, body: Any) -> None:
    content = body if isinstance(body, bytes) else json.dumps(body).encode()
    headers = {"Content-Type": "application/json"}
    answer = whole.client(PHONE).post(path, content=content, headers=headers)
    assert answer.status_code < 500
    if answer.status_code != 200:
        error = answer.json()["error"]
        assert error["code"]
        assert error["message"].rstrip().endswith(".")


def test_a_phone_cannot_write_as_another(whole: Whole) -> None:
    """It may bring what the other has signed (the log's README); it cannot sign for it."""
    signature = Writer(KEYS[PHONE], VISIT).fill(1).batch()["signature"]
    for changes in ({"signature": signature}, {"key": KEYS[PHONE].public}, {"device": PHONE}):
        answer = whole.push(whole.client(PHONE), OTHER, **changes)
        assert answer.status_code == 422, answer.text
        assert OTHER not in whole.core.log.held()


def test_a_revoked_phone_neither_sends_nor_fetches_from_that_moment_on(whole: Whole) -> None:
    lost = LOST
    owner = whole.core.access.first_owner()
    whole.tokens[lost] = whole.core.access.pairing.pair_at_once(lost, "lost", owner.id)
    client = whole.client(lost)
    assert whole.push(client, lost).status_code == 200
    whole.core.access.devices.revoke(lost)
    sha = "ab" * 32
    answers = [
        whole.push(client, lost),
        client.post("/api/v1/sync/pull", json={"protocol": 2, "have": {}}),
        client.post("/api/v1/blobs/missing", json={"sha256": [sha]}),
        client.put(f"/api/v1/blobs/{sha}", content=b"x", headers={"Content-Type": "image/jpeg"}),
        client.get(f"/api/v1/blobs/{sha}"),
        client.get("/api/v1/me"),
    ]
    assert [one.status_code for one in answers] == [401] * 6
    assert {one.json()["error"]["code"] for one in answers} == {"pair_again"}
    assert whole.core.log.held()[lost] == 1  # what it sent before stays
    whole.tokens[lost] = whole.core.access.pairing.pair_at_once(lost, "found", owner.id)
    assert whole.push(whole.client(lost), lost).status_code == 200


#: Whatever may be asked for without a token or a session, by method and path.
OPEN = {
    ("GET", "/about"),
    ("GET", "/check"),  # for strangers, with nothing that anybody recorded of a car
    ("POST", "/api/v1/pairing"),
    ("POST", "/api/v1/pairing/poll"),
    ("GET", "/api/v1/offline"),
    ("GET", "/api/v1/judge/{name}.json"),
    ("GET", "/api/v1/checklists/{name}.json"),
    ("GET", "/api/v1/checklists/{name}/{locale}.json"),
    ("GET", "/api/v1/judge/{name}/trouble.json"),
    ("GET", "/api/v1/checklists/{name}/trouble.json"),
    ("GET", "/api/v1/openapi.json"),
    ("GET", "/"),
    ("GET", "/desk/sign-in"),
    ("POST", "/desk/sign-in"),
    ("POST", "/desk/sign-out"),
    ("GET", "/desk/first"),
    ("POST", "/desk/first"),
    ("GET", "/desk/static/{name}"),
    ("GET", "/desk/access/{name}"),
    ("GET", "/api/v1/trust"),
    ("GET", "/hello/check"),
    ("GET", "/app/check"),
    ("GET", "/hello/ping"),
    ("GET", "/hello/{name}"),
    ("GET", "/r/{link}"),
    ("POST", "/r/{link}"),
}


def filled(path: str, visit: str = VISIT, sha256: str = "ab" * 32) -> str:
    """An address of a route."""
    for name, value in (("visit", visit), ("sha256", sha256), ("device", PHONE)):
        path = path.replace("{" + name + "}", value)
    while "{" in path:
        path = path[: path.index("{")] + "x" + path[path.index("}") + 1 :]
    return path


def all_routes(app: FastAPI) -> set[tuple[str, str]]:
    found = set()
    for context in iter_route_contexts(app.routes):
        for method in context.methods or ():
            if method != "HEAD" and context.path is not None:
                found.add((method, context.path))
    return found


def test_every_other_route_asks_who_is_there(whole: Whole) -> None:
    """Also those that are added one day: whoever adds an open route must name it above."""
    routes = all_routes(whole.app)
    assert routes >= OPEN
    client = whole.client()
    for method, path in sorted(routes - OPEN):
        answer = client.request(method, filled(path))
        led = answer.headers.get("location", "").startswith("/desk/sign-in?next=")
        assert answer.status_code == 401 or (answer.status_code == 303 and led), (method, path)


#: Whatever a reader may do beyond what is open to all.
READERS_OWN = {
    ("GET", "/desk/shared"),
    ("GET", "/desk/sessions"),
    ("POST", "/desk/sessions/end"),
    ("POST", "/desk/sessions/end-others"),
    ("GET", "/desk/confirm"),
    ("POST", "/desk/confirm"),
}


def test_a_reader_opens_nothing_but_what_was_shared(whole: Whole) -> None:
    """On every route of the whole server, for a visit that was shared and for another."""
    core = whole.core
    for visit in (VISIT, OTHER_VISIT):
        core.log.append("d9" * 16, visit, [("car/make", "Testa")])
    reader = core.access.people.add("Rea Example", "reader")
    core.access.people.grant(reader.id, VISIT, "condition")
    client = whole.client()
    client.cookies.set(DESK_COOKIE, core.access.sessions.begin(reader))
    assert client.get(f"/desk/visits/{VISIT}/report.pdf").content.startswith(b"%PDF")
    assert client.get(f"/desk/visits/{VISIT}/report.pdf?edition=partner").status_code == 403
    for method, path in sorted(all_routes(whole.app) - OPEN - READERS_OWN):
        for visit in (VISIT, OTHER_VISIT):
            if (visit, path) == (VISIT, "/desk/visits/{visit}/report.pdf"):
                continue
            answer = client.request(method, filled(path, visit))
            place = answer.headers.get("location", "")
            led = answer.status_code == 303 and place in ("/desk/shared", "/desk/sessions")
            assert led or answer.status_code in (401, 403), (method, path, answer.status_code)


def test_a_phones_token_does_not_open_the_desk_nor_a_session_the_api(whole: Whole) -> None:
    token = whole.tokens[PHONE]
    session = whole.core.access.sessions.begin(whole.core.access.first_owner())
    as_desk = whole.client()
    answer = as_desk.get("/desk/", headers={"Cookie": f"{DESK_COOKIE}={token}"})
    assert answer.status_code == 303
    answer = as_desk.get("/api/v1/me", headers={"Cookie": f"{DEVICE_COOKIE}={session}"})
    assert answer.status_code == 401


@pytest.mark.parametrize("place", ["query", "header", "bearer"])
def test_a_token_counts_in_its_cookie_and_nowhere_else(whole: Whole, place: str) -> None:
    token = whole.tokens[PHONE]
    client = whole.client()
    if place == "query":
        answer = client.get(f"/api/v1/me?token={token}&{DEVICE_COOKIE}={token}")
    elif place == "header":
        answer = client.get("/api/v1/me", headers={DEVICE_COOKIE: token})
    else:
        answer = client.get("/api/v1/me", headers={"Authorization": f"Bearer {token}"})
    assert answer.status_code == 401


@pytest.mark.parametrize(
    "name",
    [
        "../../keys/issuing.pem",
        "..%2f..%2fkeys%2fissuing.pem",
        "%2e%2e/%2e%2e/bradawl.sqlite3",
        "/etc/passwd",
        "ab" * 32 + "/../../../keys/issuing.pem",
        "AB" * 32,
        "ab" * 31 + "/x",
        "ab" * 32 + "%00.jpg",
    ],
)
def test_no_name_in_a_request_becomes_a_path(whole: Whole, name: str) -> None:
    client = whole.client(PHONE)
    for answer in (
        client.get(f"/api/v1/blobs/{name}"),
        client.put(f"/api/v1/blobs/{name}", content=b"x", headers={"Content-Type": "image/jpeg"}),
        client.get(f"/desk/static/{name}"),
        client.get(f"/desk/access/{name}"),
        client.get(f"/hello/{name}"),
        client.get(f"/app/{name}"),
    ):
        assert answer.status_code in (303, 400, 404, 405, 422)
        assert b"PRIVATE KEY" not in answer.content


def picture(kind: str = "JPEG", size: tuple[int, int] = (64, 48), **more: Any) -> bytes:
    file = io.BytesIO()
    mode = "1" if size[0] > 10_000 else "RGB"  # one bit a pixel is quick to make
    Image.new(mode, size).save(file, kind, **more)
    return file.getvalue()


def test_a_picture_with_a_page_hidden_in_it_is_served_without_the_page(whole: Whole) -> None:
    page = b"<script>alert(document.domain)</script>"
    data = picture(comment=page) + page
    sha = hashlib.sha256(data).hexdigest()
    client = whole.client(PHONE)
    answer = client.put(
        f"/api/v1/blobs/{sha}", content=data, headers={"Content-Type": "image/jpeg"}
    )
    assert answer.status_code == 201, answer.text
    served = client.get(f"/api/v1/blobs/{sha}")
    assert served.headers["content-type"] == "image/jpeg"
    assert served.headers["x-content-type-options"] == "nosniff"
    assert "sandbox" in served.headers["content-security-policy"]
    assert page not in served.content
    assert served.content != data
    # No other route hands the original out either, not even to an owner.
    owner = whole.client(PHONE)
    session = whole.core.access.sessions.begin(whole.core.access.first_owner())
    owner.cookies.set(DESK_COOKIE, session)
    whole.core.log.append(
        "d9" * 16, VISIT, [(f"items/rust.sills/photos/{sha}", {"caption": "hidden"})]
    )
    tried = [path for method, path in all_routes(whole.app) if method == "GET" and "{sha" in path]
    assert len(tried) >= 2
    for path in tried:
        answer = owner.get(filled(path, VISIT, sha))
        assert page not in answer.content, path
        assert data != answer.content, path


@pytest.mark.parametrize(
    ("data", "kind", "status"),
    [
        (b"<html><script>alert(1)</script></html>", "image/jpeg", 422),
        (b"GIF89a" + b"\x00" * 40, "image/png", 422),
        (b"%PDF-1.7", "image/webp", 422),
        (b"", "image/jpeg", 422),
        (picture()[:200], "image/jpeg", 422),
        (picture(), "text/html", 415),
        (picture(), "image/svg+xml", 415),
    ],
)
def test_what_is_no_photo_is_not_kept(whole: Whole, data: bytes, kind: str, status: int) -> None:
    sha = hashlib.sha256(data).hexdigest()
    client = whole.client(PHONE)
    answer = client.put(f"/api/v1/blobs/{sha}", content=data, headers={"Content-Type": kind})
    assert answer.status_code == status, answer.text
    asked = client.post("/api/v1/blobs/missing", json={"sha256": [sha]})
    assert asked.json() == {"missing": [sha]}


def test_a_picture_that_would_fill_the_memory_is_refused_by_its_size(whole: Whole) -> None:
    data = picture("PNG", (20_000, 20_000))  # 400 megapixels in about a megabyte
    sha = hashlib.sha256(data).hexdigest()
    answer = whole.client(PHONE).put(
        f"/api/v1/blobs/{sha}", content=data, headers={"Content-Type": "image/png"}
    )
    assert answer.status_code == 422
    assert answer.json()["error"]["code"] == "too_many_pixels"


def test_nothing_secret_is_logged(whole: Whole, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    client = whole.client(PHONE)
    asked = whole.client().post("/api/v1/pairing", json=wish()).json()
    code = whole.core.access.people.invite(whole.core.access.first_owner().id)
    phrase = "seven crooked spanners hum"
    secrets = [whole.tokens[PHONE], asked["secret"], asked["code"], code, phrase]
    whole.client().post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
    form = {"token": code, "name": "Ada", "passphrase": phrase, "again": phrase}
    whole.client().post("/desk/first", data=form)
    whole.client().post("/desk/sign-in", data={"name": "Ada", "passphrase": phrase})
    whole.client().post("/desk/sign-in", data={"name": "Ada", "passphrase": phrase + "x"})
    signed_in = whole.client()
    signed_in.post("/desk/sign-in", data={"name": "Ada", "passphrase": phrase})
    secrets.append(signed_in.cookies[DESK_COOKIE])
    assert signed_in.get("/desk/keys").status_code == 200
    secrets += (whole.settings.keys / "report-signing.pem").read_text().splitlines()[1:3]
    link = whole.core.access.links.make(VISIT, "condition", "buyer", 7)
    key = link.path.rpartition("#")[2]
    whole.client().post(link.path.partition("#")[0], data={"key": key})
    client.get("/api/v1/me")

    @whole.app.get("/api/v1/broken-for-the-log")
    def broken() -> None:
        raise RuntimeError("a fault of ours")

    client.get("/api/v1/broken-for-the-log")
    assert "a fault of ours" in caplog.text  # so the log does hold what happened
    for secret in [*secrets, key]:
        assert secret not in caplog.text


def test_no_address_ever_holds_a_token(whole: Whole) -> None:
    """The only secrets in links stand after `#`, which browsers do not send."""
    link = whole.core.access.links.make(VISIT, "condition", "buyer", 7)
    before, _, after = link.path.partition("#")
    assert len(after) == 43
    assert after not in before
    names = {name for _, path in all_routes(whole.app) for name in re.findall(r"{(.*?)}", path)}
    assert not {one for one in names if "token" in one or "secret" in one or "pass" in one}
