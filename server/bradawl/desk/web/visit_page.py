"""What every page of one visit has in common: who asks or sends what, its heading, its tabs."""

# No postponed annotations here: FastAPI reads those of the dependencies.
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import Depends, Request
from fastapi.responses import HTMLResponse
from starlette.datastructures import FormData

from bradawl.desk.model import findings
from bradawl.desk.web.forms import Problems, posted
from bradawl.desk.web.rendering import render
from bradawl.inspection.snapshot import Snapshot

if TYPE_CHECKING:
    from bradawl.desk.web.context import Desk


@dataclass(frozen=True)
class Asked:
    """A page of one visit, as it is asked for: nothing typed, nothing wrong."""

    request: Request
    snapshot: Snapshot
    form: FormData = field(default_factory=FormData)
    problems: Problems = field(default_factory=Problems)

    @property
    def visit(self) -> str:
        return self.snapshot.visit


@dataclass(frozen=True)
class Sent(Asked):
    """A form of one visit, sent by somebody who may write, as `device`.

    What is wrong with it is noted in `problems`; the page then comes back with what was typed.
    """

    device: str = ""


def asked_of(desk: "Desk") -> Callable[..., Asked]:
    """The dependency by which a page is asked for."""

    def asked(request: Request, visit: str) -> Asked:
        return Asked(request, desk.snapshot(visit))

    return asked


def sent_to(desk: "Desk") -> Callable[..., Sent]:
    """The dependency by which a form is sent."""

    def sent(
        request: Request,
        visit: str,
        form: Annotated[FormData, Depends(posted)],
        person: Annotated[Any, Depends(desk.writer)],
    ) -> Sent:
        return Sent(request, desk.snapshot(visit), form, device=desk.device_of(person))

    return sent


def render_visit(asked: Asked, template: str, *, tab: str, **values: Any) -> HTMLResponse:
    """A page of one visit: its heading and tabs; 422 with what was typed where it has problems."""
    return render(
        asked.request,
        template,
        status=422 if asked.problems else 200,
        visit=asked.visit,
        tab=tab,
        head=findings.heading(asked.snapshot),
        problems=asked.problems,
        typed=asked.form,
        **values,
    )
