"""Before somebody goes: the call sheet and the look-ups of a car, shown and kept."""

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Response

from bradawl.desk.model import findings
from bradawl.desk.model.changes import Puts
from bradawl.desk.model.errors import stale
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.ads import new_id
from bradawl.desk.web.inputs.going.calls import SPOKEN, call_typed, lookup_typed
from bradawl.desk.web.inputs.going.planned import haul_typed, load_typed
from bradawl.desk.web.inputs.work_log import keep_photos, photos_typed
from bradawl.desk.web.visit_page import VisitForm, VisitPage, render_visit
from bradawl.inspection import cell_values
from bradawl.inspection.going import planned
from bradawl.inspection.going.calls import Answered, against, answered, calls_of, questions_of
from bradawl.inspection.going.lookups import RESULTS, lookups_of
from bradawl.language import message

pages = APIRouter(prefix="/visits/{visit}/going")


def _shown(page: VisitPage) -> dict[str, Any]:
    """What the page shows: questions with their answers of one call, look-ups by kind."""
    snapshot = page.snapshot
    cells, texts = snapshot.cells, snapshot.texts
    questions, calls = questions_of(texts), calls_of(cells)
    wanted = page.request.query_params.get("call", "")
    known = [call for call in calls if call.id == wanted] or calls[-1:]
    call = known[0] if known and wanted != "new" else None
    rules: Mapping[str, Any] = texts.get("rules") or {}
    rows = lookups_of(cells, snapshot.assessment, rules)
    answer, plan = planned.plan_of(snapshot, texts)
    return {
        "questions": [
            (question, answered(cells, call, question) if call else Answered())
            for question in questions
        ],
        "calls": calls,
        "call": call,
        "against": against(cells, call, questions) if call else [],
        "spoken": SPOKEN,
        "results": RESULTS[::-1],
        "kinds": [
            (kind, [row for row in rows if row.kind == kind["id"]])
            for kind in rules.get("lookups") or ()
        ],
        "lines": planned.lines_of(snapshot, texts),
        "pattern": cell_values.text(cell_values.value(cells, "car/bolt_pattern")),
        "answer": answer,
        "plan": plan,
        "haul_choices": {
            field: (answers, planned.choice(snapshot, field))
            for field, answers in planned.CHOICES.items()
        },
        "weights": {field: planned.weight(snapshot, field) for field in planned.WEIGHTS},
        "haul_words": {
            field: planned.choice(snapshot, field) for field in (planned.STRAPS, *planned.WORDS)
        },
        "units": planned.UNITS,
        "cells": {
            path: cell_values.value(cells, path)
            for path in cells
            if path.startswith(("haul/", "load/"))
        },
        "sources": texts.get("sources") or {},
        "vin": cell_values.text(cell_values.value(cells, "car/vin")),
        "today": page.desk.today(),
        "missing": set(page.desk.photos_missing([sha for row in rows for sha in row.photos])),
        "checks": {
            row["id"]: row["title"] for group in findings.checks(snapshot) for row in group["rows"]
        },
    }


@pages.get("")
def show_going(page: VisitPage) -> Response:
    return render_visit(page, "going/going.html", tab="going", **_shown(page))


@pages.get("/paper/calls")
def print_calls(page: VisitPage) -> Response:
    """The call sheet to be printed, with what was answered and room for a pen."""
    return render_visit(page, "going/calls_paper.html", tab="going", **_shown(page))


@pages.get("/paper/load")
def print_load(page: VisitPage) -> Response:
    """The load list to be printed."""
    return render_visit(page, "going/load_paper.html", tab="going", **_shown(page))


@pages.post("/load")
def keep_load(posted: VisitForm) -> Response:
    puts = load_typed(posted, planned.lines_of(posted.snapshot, posted.snapshot.texts))
    return show_going(posted) if posted.problems else posted.record(puts, "going")


@pages.post("/haul")
def keep_haul(posted: VisitForm) -> Response:
    puts = haul_typed(posted)
    return show_going(posted) if posted.problems else posted.record(puts, "going")


@pages.post("/call")
def keep_call(posted: VisitForm) -> Response:
    puts = call_typed(posted)
    return show_going(posted) if posted.problems else posted.record(puts, "going")


@pages.post("/lookup")
def keep_lookup(posted: VisitForm) -> Response:
    name = new_id()
    uploads = photos_typed(posted.form, posted.problems)
    puts = lookup_typed(posted, name)
    puts += keep_photos(posted, uploads, f"lookups/{name}")
    return show_going(posted) if posted.problems else posted.record(puts, "going")


@pages.post("/lookup/change")
def change_lookup(posted: VisitForm) -> Response:
    """A further photo of a look-up, or the whole of it taken back."""
    wanted = forms.text(posted.form, "lookup", 40)
    start = f"lookups/{wanted}/"
    standing = [
        path
        for path, cell in posted.snapshot.cells.items()
        if path.startswith(start) and cell["value"] is not None
    ]
    if not wanted or f"{start}kind" not in standing:
        raise stale(message("before-lookup-gone"))
    puts: Puts = [(path, None) for path in standing]
    if not forms.is_ticked(posted.form, "remove"):
        uploads = photos_typed(posted.form, posted.problems)
        puts = keep_photos(posted, uploads, f"lookups/{wanted}")
    return show_going(posted) if posted.problems else posted.record(puts, "going")
