"""The app's files as browsers get them (RFC 9110 content coding, RFC 8246 immutable)."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest
from starlette.applications import Starlette
from starlette.routing import Mount
from starlette.testclient import TestClient

from bradawl.serving.app_files import AppFiles


@pytest.fixture
def client(tmp_path: Path) -> TestClient:
    (tmp_path / "assets").mkdir()
    (tmp_path / "index.html").write_text("<title>page</title>")
    script = tmp_path / "assets" / "app-1a2b.js"
    script.write_text("plain")
    (tmp_path / "assets" / "app-1a2b.js.gz").write_bytes(gzip.compress(b"plain"))
    return TestClient(Starlette(routes=[Mount("/app", AppFiles(tmp_path))]))


def test_a_packed_file_is_sent_to_who_can_unpack_it_under_its_own_type(client: TestClient) -> None:
    packed = client.get("/app/assets/app-1a2b.js", headers={"accept-encoding": "gzip, deflate"})
    assert packed.headers["content-encoding"] == "gzip"
    assert packed.headers["content-type"].startswith("text/javascript")
    assert packed.headers["vary"] == "Accept-Encoding"
    assert packed.text == "plain"


def test_who_cannot_unpack_gets_the_plain_file(client: TestClient) -> None:
    plain = client.get("/app/assets/app-1a2b.js", headers={"accept-encoding": "identity"})
    assert "content-encoding" not in plain.headers
    assert plain.text == "plain"


def test_hashed_files_are_kept_for_ever_and_the_page_is_asked_for_anew(client: TestClient) -> None:
    kept = client.get("/app/assets/app-1a2b.js").headers["cache-control"]
    assert kept == "public, max-age=31536000, immutable"
    for page in ("/app/", "/app/index.html"):
        assert client.get(page).headers["cache-control"] == "no-store"


def test_a_script_of_an_older_version_is_missing_and_never_the_page(client: TestClient) -> None:
    gone = client.get("/app/assets/app-0000.js")
    assert gone.status_code == 404
    assert "<title>" not in gone.text


def test_a_date_of_another_host_does_not_keep_an_older_page_alive(client: TestClient) -> None:
    """A host with files of its own answered at this name before (RFC 9110, 13.1.3, says when a date
    may count: a browser has no other word of those files)."""
    first = client.get("/app/index.html")
    later = {"if-modified-since": "Fri, 01 Jan 2100 00:00:00 GMT"}
    assert client.get("/app/index.html", headers=later).status_code == 200
    tagged = {"if-none-match": first.headers["etag"]}
    assert client.get("/app/index.html", headers=tagged).status_code == 304
