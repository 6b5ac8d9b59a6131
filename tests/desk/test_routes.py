"""Who may reach the desk's routes: nobody changes anything without leave to write."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from fastapi import APIRouter, FastAPI
from fastapi.dependencies.models import Dependant
from fastapi.routing import APIRoute

from bradawl.desk.pages import checklists
from bradawl.desk.routes import PAGES
from bradawl.desk.web.context import require_owner, require_person, require_writer
from tests.desk.conftest import Workshop

SAFE = {"GET", "HEAD"}


def calls(dependant: Dependant) -> Iterator[Callable[..., Any] | None]:
    """What a route depends on, by whatever way."""
    for other in dependant.dependencies:
        yield other.call
        yield from calls(other)


def routes_without(router: APIRouter | FastAPI, *guards: Callable[..., Any]) -> list[str]:
    """Routes that no guard stands before, as `METHOD path`."""
    return [
        f"{method} {route.path}"
        for route in router.routes
        if isinstance(route, APIRoute) and not set(guards) & set(calls(route.dependant))
        for method in route.methods
    ]


def test_every_change_asks_for_a_writer_or_an_owner(workshop: Workshop) -> None:
    routes = routes_without(workshop.app(), require_writer, require_owner)
    assert [route for route in routes if route.partition(" ")[0] not in SAFE] == []


def test_every_page_but_the_static_files_asks_for_somebody_who_signed_in(
    workshop: Workshop,
) -> None:
    routes = routes_without(workshop.app(), require_person)
    assert [route for route in routes if "/desk/" in route] == ["GET /desk/static/{name}"]


def test_a_change_that_asks_for_nobody_would_be_seen() -> None:
    router = APIRouter()
    router.post("/open")(lambda: None)
    assert routes_without(router, require_writer, require_owner) == ["POST /open"]


def test_the_routes_that_take_any_path_come_last() -> None:
    paths = [route.path for route in checklists.pages.routes if isinstance(route, APIRoute)]
    taking = [number for number, path in enumerate(paths) if ":path}" in path]
    assert taking == list(range(len(paths) - len(taking), len(paths)))
    assert PAGES[-1] is checklists
