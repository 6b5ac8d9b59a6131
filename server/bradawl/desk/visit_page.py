"""What every page of one visit has in common: its heading, its tabs, what was typed wrong."""

from __future__ import annotations

from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from starlette.datastructures import FormData

from bradawl.desk import findings
from bradawl.desk.forms import Problems
from bradawl.desk.pages import render
from bradawl.dossier import Dossier


def render_visit(
    request: Request,
    template: str,
    dossier: Dossier,
    *,
    tab: str,
    problems: Problems | None = None,
    typed: FormData | None = None,
    **values: Any,
) -> HTMLResponse:
    """A page of one visit: its heading and tabs; 422 with what was typed where it has problems."""
    return render(
        request,
        template,
        status=422 if problems else 200,
        visit=dossier.visit,
        tab=tab,
        head=findings.heading(dossier),
        problems=problems or Problems(),
        typed=typed or {},
        **values,
    )
