"""What every page of one visit has in common: its request, the form sent from it, its heading."""

# No postponed annotations here: FastAPI reads those of the dependencies.
from dataclasses import dataclass, field
from typing import Annotated, Any

from fastapi import Depends, Request, Response
from fastapi.responses import HTMLResponse
from starlette.datastructures import FormData

from bradawl.desk.model import findings
from bradawl.desk.model.changes import Puts
from bradawl.desk.model.typed_values import Problems
from bradawl.desk.web import forms
from bradawl.desk.web.context import Desk, DeskHere, Writer
from bradawl.desk.web.rendering import render
from bradawl.inspection.snapshot import Snapshot

#: What of a record teaches what jobs cost (`model/money/lessons.py`).
LESSONS = ("ledger/", "work/", "plan/uncounted/")
__all__ = ["FormRequest", "PageRequest", "VisitForm", "VisitPage", "render_visit"]


@dataclass(frozen=True)
class PageRequest:
    """Somebody asks for a page of one visit: nothing typed, nothing wrong."""

    request: Request
    desk: Desk
    snapshot: Snapshot
    form: FormData = field(default_factory=FormData)
    problems: Problems = field(default_factory=Problems)

    @property
    def visit(self) -> str:
        return self.snapshot.visit


@dataclass(frozen=True)
class FormRequest(PageRequest):
    """Somebody who may write sends a form of one visit, as `device`.

    What is wrong with it is noted in `problems`; the page then comes back with what was typed.
    """

    device: str = ""

    def record(self, puts: Puts, page: str) -> Response:
        """Record the puts, and lead back to a page of the visit."""
        self.desk.log.append(self.device, self.visit, puts)
        if any(path.startswith(LESSONS) for path, _ in puts):
            self.desk.summaries.refresh(self.visit)
        return forms.back(f"/desk/visits/{self.visit}/{page}")


def page_request(request: Request, desk: DeskHere, visit: str) -> PageRequest:
    return PageRequest(request, desk, desk.snapshot(visit))


def form_request(
    request: Request, desk: DeskHere, visit: str, form: forms.Posted, writer: Writer
) -> FormRequest:
    return FormRequest(request, desk, desk.snapshot(visit), form, device=writer)


VisitPage = Annotated[PageRequest, Depends(page_request)]
VisitForm = Annotated[FormRequest, Depends(form_request)]


def render_visit(page: PageRequest, template: str, /, *, tab: str, **values: Any) -> HTMLResponse:
    """A page of one visit: its heading and tabs; 422 with what was typed where it has problems."""
    return render(
        page.request,
        template,
        status=422 if page.problems else 200,
        visit=page.visit,
        tab=tab,
        head=findings.heading(page.snapshot),
        problems=page.problems,
        typed=page.form,
        **values,
    )
