"""`/about`: the same as `bradawl about`, for whoever is at a browser. It tells nobody's secrets."""

from functools import lru_cache
from pathlib import Path

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from bradawl import __version__
from bradawl.about.changes import changes_in
from bradawl.about.notices import Notice, notices
from bradawl.common.templating import Pages

_render = Pages(Path(__file__).parent / "templates").render


@lru_cache(maxsize=1)
def _works() -> list[Notice]:
    return notices()  # what is installed does not change under a running server


def router() -> APIRouter:
    about = APIRouter(include_in_schema=False)

    @about.get("/about")
    def page(request: Request) -> HTMLResponse:
        works = _works()
        return _render(
            request,
            "about.html",
            version=__version__,
            changes=changes_in(__version__),
            copyleft=[notice for notice in works if notice.copyleft],
            others=[notice for notice in works if not notice.copyleft],
        )

    return about
