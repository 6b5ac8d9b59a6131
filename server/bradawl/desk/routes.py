"""Everything under /desk/: the pages' routers, guarded, over one desk."""

from __future__ import annotations

from fastapi import APIRouter, Depends, Response

from bradawl.common.errors import ApiError
from bradawl.desk.pages import (
    briefs,
    chains,
    checklists,
    diagnosis,
    evidence,
    exports,
    history,
    plan,
    records,
    specimen,
    visits,
    work_log,
)
from bradawl.desk.pages.cars import ads, board, candidates, captured, leaving, shelf
from bradawl.desk.pages.findings import amend, conflicts
from bradawl.desk.pages.going import page as going
from bradawl.desk.pages.going import purpose
from bradawl.desk.pages.money import car as car_money
from bradawl.desk.pages.money import estimates
from bradawl.desk.pages.money import shop as shop_money
from bradawl.desk.pages.parts import line, lists, sheet
from bradawl.desk.pages.profiles import shop_models, visit_profile
from bradawl.desk.web.context import Desk, provide, require_person
from bradawl.desk.web.rendering import STATIC
from bradawl.language import message

__all__ = ["router"]

STATIC_TYPES = {
    ".css": "text/css",
    ".js": "text/javascript",
    ".svg": "image/svg+xml",
    ".json": "application/schema+json",
}
# Checklists come last: the paths of their files take whatever nobody else has taken.
PAGES = (
    *(
        visits,
        amend,
        board,
        candidates,
        captured,
        shelf,
        ads,
        going,
        leaving,
        purpose,
        conflicts,
        briefs,
        visit_profile,
        shop_models,
        evidence,
        plan,
        line,
        lists,
        sheet,
        work_log,
        car_money,
        shop_money,
        estimates,
        diagnosis,
        exports,
    ),
    *(records, chains, history, specimen, checklists),
)


def router(desk: Desk) -> APIRouter:
    """The desk's pages; somebody who signed in is asked for by all but the style sheet."""
    routes = APIRouter(include_in_schema=False)
    routes.get("/desk/static/{name}")(static_file)
    guards = [Depends(provide(desk)), Depends(require_person)]
    # not by a router between: each level builds all routes below it once more
    for pages in (shop_models.taking, *(page.pages for page in PAGES)):
        routes.include_router(pages, prefix="/desk", dependencies=guards)
    return routes


def static_file(name: str) -> Response:
    """The desk's own style sheet and scripts; the sign-in page needs them too."""
    file = {file.name: file for file in STATIC.iterdir()}.get(name)
    if file is None or file.suffix not in STATIC_TYPES:
        raise ApiError("not_found", message("server-http-404"), 404)
    return Response(
        file.read_bytes(),
        media_type=STATIC_TYPES[file.suffix],
        headers={"Cache-Control": "no-cache"},
    )
