"""Headers on every answer, writes from other sites refused, bodies counted."""

from collections.abc import Callable, Iterator

import pytest
from fastapi import Request
from starlette.websockets import WebSocketDisconnect

from bradawl.access.network.headers import APP_POLICY, host_name, permissions_for, policy_for
from bradawl.access.web.auth import DESK_COOKIE
from tests.access.conftest import Server
from tests.access.devices.wishes import wish

WISH = wish()


def directives(policy: str) -> dict[str, str]:
    parts = (part.strip().partition(" ") for part in policy.split(";"))
    return {name: value for name, _, value in parts}


@pytest.mark.parametrize(
    "path", ["/api/v1/me", "/app/", "/app/none.js", "/desk/", "/nowhere", "/api/v1/nowhere", "/"]
)
def test_every_answer_carries_the_header_set(server: Server, path: str) -> None:
    headers = server.client().get(path).headers
    policy = directives(headers["content-security-policy"])
    # OWASP ASVS 5.0 V3.4.3, V3.4.6: no inline script or style, no plug-ins, no framing, no base.
    assert policy["default-src"] == "'none'"
    assert policy["frame-ancestors"] == "'none'"
    assert policy["base-uri"] == "'none'"
    assert "unsafe-inline" not in headers["content-security-policy"]
    assert "'unsafe-eval'" not in headers["content-security-policy"]
    if not path.startswith("/api/"):
        assert policy["require-trusted-types-for"] == "'script'"
        assert policy["object-src"] == "'none'"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cross-origin-opener-policy"] == "same-origin"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert headers["x-frame-options"] == "DENY"
    permissions = headers["permissions-policy"].split(", ")
    assert "camera=(self)" in permissions
    assert {"geolocation=()", "payment=()", "usb=()"} <= set(permissions)
    # W3C Permissions Policy: a feature that a page does not use is off for it
    own = "(self)" if path.startswith("/app") else "()"
    assert [one for one in permissions if one.startswith("microphone")] == [f"microphone={own}"]


def test_the_app_may_run_its_engine_and_show_photos_from_memory() -> None:
    policy = directives(APP_POLICY)
    assert policy["script-src"] == "'self' 'wasm-unsafe-eval'"
    assert policy["worker-src"] == "'self'"
    assert policy["manifest-src"] == "'self'"
    assert policy["img-src"] == "'self' blob:"
    assert policy["media-src"] == "'self' blob:"


@pytest.mark.parametrize("path", ["/desk/", "/", "/application"])
def test_every_other_page_plays_what_the_server_has_and_records_nothing(path: str) -> None:
    assert directives(policy_for(path))["media-src"] == "'self'"
    assert "microphone=()" in permissions_for(path).split(", ")


def test_an_answer_for_programs_plays_nothing() -> None:
    assert "media-src" not in directives(policy_for("/api/v1/blobs/x"))  # default-src 'none'


def test_only_the_app_may_compile_webassembly() -> None:
    assert "wasm" in policy_for("/app/index.html")
    for path in ("/desk/", "/", "/application", "/api/v1/me"):
        assert "wasm" not in policy_for(path)


def test_nothing_under_api_or_desk_is_stored_by_caches(server: Server) -> None:
    for path in ("/api/v1/me", "/desk/", "/r/x"):
        assert server.client().get(path).headers["cache-control"] == "no-store"


@pytest.mark.parametrize(("mode", "sent"), [("local", False), ("lan", False), ("proxy", True)])
def test_strict_transport_only_behind_a_public_name(
    make_server: Callable[..., Server], mode: str, sent: bool
) -> None:
    headers = make_server(mode).client().get("/api/v1/me").headers
    assert ("strict-transport-security" in headers) is sent


@pytest.mark.parametrize(
    "headers",
    [
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "none"},
        {"Origin": "https://elsewhere.example"},
        {"Origin": "https://localhost:9999"},
        {"Origin": "null"},
        {"Sec-Fetch-Site": "cross-site", "Origin": "https://localhost"},
    ],
)
def test_a_write_started_by_another_site_is_refused(
    server: Server, headers: dict[str, str]
) -> None:
    answer = server.client().post("/api/v1/pairing", json=WISH, headers=headers)
    assert answer.status_code == 403
    assert answer.json()["error"]["code"] == "other_site"


@pytest.mark.parametrize(
    "headers", [{"Sec-Fetch-Site": "same-origin"}, {"Origin": "https://localhost"}, {}]
)
def test_a_write_of_the_own_site_goes_through(server: Server, headers: dict[str, str]) -> None:
    answer = server.client().post("/api/v1/pairing", json=WISH, headers=headers)
    assert answer.status_code == 200


def test_a_foreign_name_pointed_at_this_machine_is_refused(
    make_server: Callable[..., Server],
) -> None:
    server = make_server("local")
    answer = server.client("127.0.0.1", host="rebound.example").post("/api/v1/pairing", json=WISH)
    assert answer.status_code == 421
    assert server.client("127.0.0.1", host="localhost:8477").get("/api/v1/me").status_code == 401


@pytest.mark.parametrize(
    ("host", "name"),
    [
        ("localhost:8477", "localhost"),
        ("[::1]:8477", "::1"),
        ("Shop.local", "shop.local"),
        ("", ""),
        ("[bad", ""),
    ],
)
def test_a_host_header_is_read_without_port(host: str, name: str) -> None:
    assert host_name(host) == name


def test_an_announced_oversize_body_is_refused_before_it_is_read(server: Server) -> None:
    answer = server.client().post("/api/v1/pairing", content=b"x" * (64 * 1024 + 1))
    assert answer.status_code == 413
    assert answer.json()["error"]["code"] == "too_large"
    assert "64 KB" in answer.json()["error"]["message"]


@pytest.mark.parametrize("path", ["/api/v1/pairing", "/api/v1/sync/echo"])
def test_a_body_is_counted_when_it_does_not_say_its_size(server: Server, path: str) -> None:
    sent = 0

    def endless() -> Iterator[bytes]:
        nonlocal sent
        for _ in range(10_000):
            sent += 65_536
            yield b"x" * 65_536

    answer = server.client().post(
        path, content=endless(), headers={"Content-Type": "application/json"}
    )
    assert answer.status_code == 413
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_a_body_within_the_limit_of_its_path_arrives_whole(server: Server) -> None:
    answer = server.client().post("/api/v1/sync/echo", content=b"x" * (8 * 1024 * 1024))
    assert answer.json() == {"bytes": 8 * 1024 * 1024}
    over = server.client().post("/api/v1/sync/echo", content=b"x" * (8 * 1024 * 1024 + 1))
    assert over.status_code == 413


def test_a_stranger_may_send_little_to_the_desk_and_somebody_signed_in_much(
    server: Server,
) -> None:
    @server.app.post("/desk/visits/{visit}/upload")
    async def upload(request: Request) -> dict[str, int]:
        return {"bytes": len(await request.body())}

    data = b"x" * (1024 * 1024)
    path = "/desk/visits/x/upload"
    assert server.client().post(path, content=data).status_code == 413
    assert server.client(cookies={DESK_COOKIE: "x"}).post(path, content=data).status_code == 413
    assert server.desk().post(path, content=data).json() == {"bytes": len(data)}


def test_no_socket_stays_open_that_a_revoked_token_could_go_on_using(server: Server) -> None:
    """Every request is asked anew who sends it; there is no stream and no web socket."""
    client = server.desk()
    with (
        pytest.raises(WebSocketDisconnect) as closed,
        client.websocket_connect("/api/v1/sync/pull"),
    ):
        pass
    assert closed.value.code == 1008  # RFC 6455 section 7.4.1: policy violation


def test_a_fault_of_the_server_says_nothing_about_its_inside(server: Server) -> None:
    @server.app.get("/api/v1/broken")
    def broken() -> None:
        raise RuntimeError("/secret/path and token abc")

    answer = server.client().get("/api/v1/broken")
    assert answer.status_code == 500
    assert answer.json()["error"]["code"] == "internal"
    assert "secret" not in answer.text
    assert answer.headers["x-content-type-options"] == "nosniff"
