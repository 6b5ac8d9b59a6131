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
from tests.desk.one_app import app_over

SAFE = {"GET", "HEAD"}
Guard = Callable[..., Any]


def calls(dependant: Dependant) -> Iterator[Guard | None]:
    """What a route depends on, by whatever way."""
    for other in dependant.dependencies:
        yield other.call
        yield from calls(other)


def guards_of(app: FastAPI) -> dict[str, set[Guard | None]]:
    """What each route of an app depends on, by `METHOD path`."""
    return {
        f"{method} {context.path}": set(calls(context.dependant))
        for route in app.routes
        if hasattr(route, "effective_route_contexts")
        for context in route.effective_route_contexts()
        for method in context.methods
    }


def unguarded(app: FastAPI, *guards: Guard) -> list[str]:
    return [route for route, given in guards_of(app).items() if not given & set(guards)]


def test_every_change_asks_for_a_writer_or_an_owner(workshop: Workshop) -> None:
    app = app_over(workshop.desk())
    changes = [route for route in guards_of(app) if route.partition(" ")[0] not in SAFE]
    assert {"POST /desk/visits/{visit}/plan", "POST /desk/chains/{device}/fence"} <= set(changes)
    assert not set(changes) & set(unguarded(app, require_writer, require_owner))


def test_every_page_but_the_static_files_asks_for_somebody_who_signed_in(
    workshop: Workshop,
) -> None:
    assert unguarded(app_over(workshop.desk()), require_person) == ["GET /desk/static/{name}"]


def test_a_change_that_asks_for_nobody_would_be_seen() -> None:
    router = APIRouter()
    router.post("/open")(lambda: None)
    app = FastAPI()
    app.include_router(router)
    assert unguarded(app, require_writer, require_owner) == ["POST /open"]


def test_the_routes_that_take_any_path_come_last() -> None:
    paths = [route.path for route in checklists.pages.routes if isinstance(route, APIRoute)]
    taking = [number for number, path in enumerate(paths) if ":path}" in path]
    assert taking == list(range(len(paths) - len(taking), len(paths)))
    assert PAGES[-1] is checklists
