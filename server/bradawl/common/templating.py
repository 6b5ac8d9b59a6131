"""Pages: a part's own templates within the frame that all parts share, drawn by one set of rules.

Autoescape is always on: nothing that a person recorded reaches a page unescaped; and every text
that a template puts out is made showable first, so that no caller has to know what it holds. The
frame is `templates/base.html` (blocks `title` and `content`), which needs no variable.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from functools import cached_property
from http import HTTPStatus
from pathlib import Path
from typing import TYPE_CHECKING, Any

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from bradawl import design, language
from bradawl.common.display_text import for_page
from bradawl.language.tongues import InLanguage, edged, joined, page_in, spelled, without_edges
from bradawl.operations import request_id

if TYPE_CHECKING:
    from jinja2 import Environment

FRAME = Path(__file__).parent / "templates"
#: In whose language a page is: the message that all of them have (`base.html`).
_FRAME = "server-frame-title"


def _mark(shown: design.Mark) -> Markup:
    """A mark of the house; its word stands beside it."""
    return Markup(
        '<svg class="mark-tag mark-{}" viewBox="0 0 {} {}" aria-hidden="true"><path d="{}"/></svg>'
    ).format(shown.id, design.WIDTH, design.HEIGHT, shown.shape)


#: What every template may call: its words come from the catalogue (bradawl.language).
_NAMES: Mapping[str, Any] = {
    "t": language.markup,
    "money": language.money,
    "number": language.decimal,
    "date": language.date,
    "reader": language.current,
    "lang": language.lang,
    "mark": lambda name: _mark(design.mark(name)),
    "mark_word": lambda name: language.markup(design.mark(name).word),
    "grade_mark": lambda grade: _mark(design.mark_of_grade(grade)),
    "icon_path": design.icon_path,
    #: The desk that a sample belongs to (`serving/first_run`), empty everywhere else.
    "sample_of": lambda: os.environ.get("BRADAWL_SAMPLE_OF", ""),
    "code": lambda text: Markup("<code>{}</code>").format(text),
}


def _shown(value: Any) -> Any:
    """What a template puts out; markup stays markup."""
    if not isinstance(value, str):
        return value
    if not isinstance(value, Markup):
        value = value if isinstance(value, InLanguage) else without_edges(value)
    shown = for_page(value)
    if isinstance(value, InLanguage):
        return edged(value) if shown == value else shown
    return value if shown is value else type(value)(shown)


def _joined(pieces: Iterable[object], between: str = "") -> str:
    """The filter `join`, by which texts keep their languages and markup stays markup."""
    given = [piece if isinstance(piece, str) else str(piece) for piece in pieces]
    if any(isinstance(piece, Markup) for piece in given):
        return Markup(between).join(given)
    return joined(between, given)


def _each_time(said: Callable[..., Any]) -> Callable[..., Any]:
    """A filter that is asked each time, also of a constant: the next reader may be another."""
    from jinja2 import pass_context

    @pass_context
    def asked(_context: object, *given: Any, **named: Any) -> Any:
        return said(*given, **named)

    return asked


class Pages:
    """The pages of one part: its folder of templates, filters and names of its own."""

    def __init__(
        self,
        templates: Path,
        *,
        filters: Mapping[str, Callable[..., Any]] | None = None,
        names: Mapping[str, Any] | None = None,
    ) -> None:
        self._templates = templates
        self._filters = filters or {}
        self._names = names or {}

    @cached_property
    def _environment(self) -> Environment:
        # loaded by the first page: a server that only syncs does without it
        from jinja2 import Environment, FileSystemLoader, StrictUndefined

        made = Environment(
            loader=FileSystemLoader([self._templates, FRAME]),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            finalize=_shown,
        )
        made.filters.update({name: _each_time(made_of) for name, made_of in self._filters.items()})
        made.filters["join"] = _joined
        made.globals.update({**_NAMES, **self._names})
        return made

    def render(
        self,
        request: Request,
        template: str,
        status: int = 200,
        headers: Mapping[str, str] | None = None,
        **values: Any,
    ) -> HTMLResponse:
        """The page `template` with `values`; personal data, so no cache may keep it.

        One that says what did not work names its request, for whoever asks about it.
        """
        values.setdefault("here", request.url.path)
        values.setdefault("desk_open", getattr(request.state, "desk_open", False))
        values.setdefault("request_id", request_id() if status >= HTTPStatus.BAD_REQUEST else "")
        with page_in(language.lang(_FRAME)):
            text = spelled(self._environment.get_template(template).render(values))
        return HTMLResponse(text, status, {"Cache-Control": "no-store", **(headers or {})})
