"""Every answer is in the language of whoever asked; a command speaks that of its environment."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route
from starlette.testclient import TestClient

from bradawl import language
from bradawl.common.errors import ApiError, install_plain
from bradawl.common.reading import ReaderOfRequest, reader_at
from bradawl.common.templating import Pages
from bradawl.language import message, pseudo


def _who(request: Request) -> Response:
    # a plain function: it is run in a thread, which must know the reader as well
    if request.query_params:
        raise ApiError("internal", message("server-internal"))
    reader = language.current()
    return PlainTextResponse(f"{reader.locale} {reader.region}")


@pytest.fixture
def client() -> TestClient:
    app = Starlette(routes=[Route("/who", _who), Route("/api/who", _who)])
    install_plain(app)
    app.add_middleware(ReaderOfRequest, region="eu")
    return TestClient(app)


@pytest.mark.parametrize(
    ("accepted", "locale"), [("en-XA", "en-XA"), ("tlh", "en-US"), ("x" * 100_000, "en-US")]
)
def test_the_browsers_language_and_the_shops_region_are_the_readers(
    client: TestClient, accepted: str, locale: str
) -> None:
    assert client.get("/who", headers={"Accept-Language": accepted}).text == f"{locale} eu"
    assert language.current().region == "us", "nothing of it is left behind"


def test_an_error_is_said_in_the_readers_language_as_a_page_and_to_a_program(
    client: TestClient,
) -> None:
    marked = pseudo.marked("made a mistake")
    for path in ("/who?bad", "/api/who?bad"):
        assert marked in client.get(path, headers={"Accept-Language": "en-XA"}).text
        assert "made a mistake" in client.get(path).text
    page = client.get("/nowhere", headers={"Accept-Language": "en-XA"}).text
    assert '<html lang="en-XA">' in page
    assert pseudo.marked("nothing at this address") in page


@pytest.mark.parametrize(
    ("environ", "locale"),
    [
        ({}, "en-US"),
        ({"LANG": "C.UTF-8"}, "en-US"),
        ({"LANG": "en_XA.UTF-8"}, "en-XA"),
        ({"LANG": "en_US.UTF-8", "BRADAWL_LOCALE": "en-XA"}, "en-XA"),
    ],
)
def test_a_command_speaks_the_language_of_its_environment(
    environ: dict[str, str], locale: str
) -> None:
    assert reader_at(environ).locale == locale
    assert reader_at(environ | {"BRADAWL_REGION": "eu"}).currency == "EUR"


def test_a_template_says_even_a_constant_anew_to_each_reader(tmp_path: Path) -> None:
    (tmp_path / "page.html").write_text('{{ "2026-06-15" | date }}', encoding="utf-8")
    pages = Pages(tmp_path, filters={"date": language.date})
    request = Request({"type": "http", "path": "/", "headers": [], "query_string": b""})
    for locale, said in (("en-US", "Jun 15, 2026"), ("en-XA", pseudo.marked("Jun 15, 2026"))):
        with language.reading_as(language.Reader(locale)):
            assert bytes(pages.render(request, "page.html").body).decode() == said
