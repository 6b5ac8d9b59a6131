"""The forms of the plan's pages: the sheet, a new remedy or wish, pieces, the order of work."""

from __future__ import annotations

import json
from collections.abc import Collection
from typing import Any

from starlette.datastructures import FormData

from bradawl.desk.model.changes import Puts, change_to, next_free_word
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.edits import plan_stamp, remedy_edit, wish_edit
from bradawl.desk.model.plan.recorded import typed_periods
from bradawl.desk.model.plan.types import KINDS, TITLE_LIMIT, Finding, Job, Plan, Remedy
from bradawl.desk.model.typed_values import (
    FieldError,
    Problems,
    amount,
    as_typed,
    hours,
    whole,
)
from bradawl.desk.web import forms
from bradawl.desk.web.visit_page import FormRequest
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs.plan import CLASSES
from bradawl.judge.record.visit_facts import USES
from bradawl.language import message, text

MOST_PIECE_ROWS = 20


def refuse_stale(posted: FormRequest) -> None:
    """Notes a problem when somebody else changed the plan after the page was made."""
    with posted.problems.of("seen"):
        if forms.text(posted.form, "seen", 100) != plan_stamp(posted.snapshot):
            raise FieldError(message("desk-plan-stale"))


def sheet_changes(snapshot: Snapshot, form: FormData, problems: Problems) -> Puts:
    """What the posted sheet changes: picks, classes, remedies, wishes."""
    plan = plan_of(snapshot)
    puts: Puts = []
    for finding in plan.findings:
        puts += _pick_change(snapshot, form, plan, finding, problems)
        puts += _class_change(form, finding, problems)
        for remedy in finding.remedies:
            with problems.of(remedy.id):
                puts += _remedy_change(snapshot, form, remedy, problems)
    for path, cell in sorted(snapshot.cells.items()):
        if path.startswith("plan/wants/") and isinstance(cell["value"], dict):
            name = path.removeprefix("plan/")
            with problems.of(name):
                puts += _wish_change(snapshot, form, name, cell["value"], plan, problems)
    return puts


def _pick_change(
    snapshot: Snapshot, form: FormData, plan: Plan, finding: Finding, problems: Problems
) -> Puts:
    field = f"pick:{finding.item}"
    if field not in form:
        return []
    pick = forms.text(form, field, 200)
    if not forms.is_changed(form, field, pick, finding.pick or "cheapest", finding.title, problems):
        return []
    path = f"plan/pick/{finding.item}"
    return change_to(snapshot, path, pick if pick in plan.remedies else None)


def _class_change(form: FormData, finding: Finding, problems: Problems) -> Puts:
    field = f"class:{finding.item}"
    job_class = forms.text(form, field, 20)
    if job_class not in CLASSES or job_class == finding.job_class:
        return []
    if not forms.is_changed(form, field, job_class, finding.job_class, finding.title, problems):
        return []
    return [(f"plan/class/{finding.item}", job_class)]


def row_of(line: Remedy | Job) -> dict[str, Any]:
    """A remedy's or a wish's row as its form is read where nobody changes anything."""
    row = {name: getattr(line, name) for name in ("kind", "parts", "hours", "need", "loss")}
    return {**row, "title": as_typed(line.title, TITLE_LIMIT)}


def _with_others(
    form: FormData, prefix: str, typed: dict[str, Any], stands: dict[str, Any], problems: Problems
) -> dict[str, Any]:
    """A typed row with what others wrote in those of its fields that were left as shown."""
    try:
        seen = json.loads(forms.text(form, f"{prefix}:seen", 4000) or "null")
    except ValueError:
        seen = None
    if not isinstance(seen, dict):
        return typed
    left = {name for name in typed if typed[name] == seen.get(name)}
    for name in sorted(set(typed) - left):
        if stands[name] not in (seen.get(name), typed[name]):
            problems.moved.add(prefix)
            raise FieldError(message("desk-form-moved", what=stands["title"]))
    return {**typed, **{name: stands[name] for name in left}}


def _remedy_change(snapshot: Snapshot, form: FormData, remedy: Remedy, problems: Problems) -> Puts:
    """The row of one remedy: dropped, edited, or as it was. Raises FieldError."""
    if f"{remedy.id}:parts-likely" not in form:  # its row was not on the page
        return []
    if forms.is_ticked(form, f"{remedy.id}:drop"):
        return change_to(snapshot, f"plan/remedies/{remedy.id}", None)
    typed = _remedy_typed(form, remedy.id, remedy.title)
    return remedy_edit(remedy, _with_others(form, remedy.id, typed, row_of(remedy), problems))


def _wish_change(
    snapshot: Snapshot,
    form: FormData,
    name: str,
    stands: dict[str, Any],
    plan: Plan,
    problems: Problems,
) -> Puts:
    """The row of one wish, `wants/<word>`. Raises FieldError."""
    if forms.is_ticked(form, f"{name}:drop"):
        return [(f"plan/{name}", None)]
    if f"{name}:parts-likely" not in form:
        return []
    typed = _remedy_typed(form, name, text("judge-wish"))
    job = next((job for job in plan.jobs if job.id == name), None)
    if job is not None:
        # a wish's row has a type where a remedy's has a kind
        typed = _with_others(form, name, typed, {**row_of(job), "kind": typed["kind"]}, problems)
    return wish_edit(name, stands, typed, snapshot.texts["rules"])


def _remedy_typed(form: FormData, prefix: str, what: str) -> dict[str, Any]:
    """The row of one remedy as it was typed. Raises FieldError."""
    title = forms.text(form, f"{prefix}:title", TITLE_LIMIT)
    if not title:
        raise FieldError(message("desk-plan-name-missing", what=what))
    kind = forms.text(form, f"{prefix}:kind", 20)
    loss = forms.text(form, f"{prefix}:loss", 20)
    return {
        "title": title,
        "kind": kind if kind in KINDS else "part",
        "parts": forms.three(
            form, f"{prefix}:parts", text("desk-plan-parts-of", title=title), amount, 0
        ),
        "hours": forms.three(
            form, f"{prefix}:hours", text("desk-plan-hours-of", title=title), hours, "0"
        ),
        "need": forms.is_ticked(form, f"{prefix}:need"),
        "loss": amount(loss, text("desk-plan-loss-of", title=title)) if loss else 0,
    }


def new_remedy(snapshot: Snapshot, form: FormData, problems: Problems) -> Puts:
    """The put for a remedy, or a wish, that the desk adds."""
    target = forms.text(form, "new:item", 120)
    items = {finding.item for finding in plan_of(snapshot).findings}
    with problems.of("new"):
        typed = _remedy_typed(form, "new", text("desk-plan-new"))
        if target == "wish":
            word = next_free_word(snapshot, "plan/wants/wish-")
            return [(f"plan/wants/{word}", _new_wish(form, typed))]
        if target not in items:
            raise FieldError(message("desk-plan-target-missing"))
        also = sorted(items.intersection(map(str, form.getlist("new:also"))) - {target})
        word = next_free_word(snapshot, f"plan/remedies/{target}/own-")
        return [(f"plan/remedies/{target}/{word}", {**typed, "also": also})]
    return []


def _new_wish(form: FormData, typed: dict[str, Any]) -> dict[str, Any]:
    job_class = forms.text(form, "new:class", 20)
    return {
        **{name: typed[name] for name in ("title", "parts", "hours", "loss")},
        "class": job_class if job_class in CLASSES else "comfort",
        "uses": [use for use in USES if forms.is_ticked(form, f"new:use-{use}")],
    }


def pieces_typed(
    form: FormData, problems: Problems, items: Collection[str]
) -> list[dict[str, Any]]:
    """The rows of pieces that have not failed yet; empty rows are left out.

    `items` are the checklist's: a piece that is one of them says so.
    """
    pieces: list[dict[str, Any]] = []
    for n in range(MOST_PIECE_ROWS):
        with problems.of(f"piece-{n}"):
            title = forms.text(form, f"piece-{n}:title", 80)
            cost = forms.three(
                form, f"piece-{n}:cost", title or text("desk-pieces-piece"), amount, None
            )
            count = forms.text(form, f"piece-{n}:count", 10)
            chance = forms.text(form, f"piece-{n}:chance", 10).rstrip("% ")
            if not title and cost[0] is None and not count:
                continue
            what = title or text("desk-pieces-row", n=n + 1)
            if cost[0] is None:
                raise FieldError(message("desk-pieces-cost-missing", what=what))
            item = forms.text(form, f"piece-{n}:item", 80)
            pieces.append(
                {
                    **({"item": item} if item in items else {}),
                    "title": title,
                    "cost": cost,
                    "count": whole(count or "1", text("desk-pieces-count-of", what=what), 1, 99),
                    "chance_percent": whole(
                        chance or "0", text("desk-pieces-chance-of", what=what), 0, 100
                    ),
                }
            )
    if sum(int(piece["count"]) for piece in pieces) > cell_values.MOST_PIECES:
        problems.sentences.append(text("desk-pieces-too-many", most=cell_values.MOST_PIECES))
    return pieces


def order_changes(snapshot: Snapshot, form: FormData, problems: Problems) -> Puts:
    """What the posted order changes: budget periods, classes, what waits for what."""
    plan = plan_of(snapshot)
    puts: Puts = []
    periods: list[dict[str, Any]] = []
    for n in range(cell_values.MOST_PERIODS):
        with problems.of(f"period-{n}"):
            name = forms.text(form, f"period-{n}:name", 40)
            budget = forms.text(form, f"period-{n}:budget", 20)
            if not name and not budget:
                continue
            usual = text(
                "desk-order-period-n", n=len(periods) + 1
            )  # said to each reader, never recorded
            typed = "" if name == usual else name
            periods.append({"name": typed, "budget": amount(budget or "0", name or usual)})
    stands = typed_periods(snapshot)
    what = text("desk-order-budget")
    if forms.is_changed(form, "periods", periods or None, stands, what, problems):
        puts += change_to(snapshot, "plan/periods", periods or None)
    jobs = {job.id: job for job in plan.jobs}
    for finding in plan.findings:
        puts += _class_change(form, finding, problems)
        first = forms.text(form, f"after:{finding.item}", 200)
        if (
            f"after:{finding.item}" in form
            and first != "keep"
            and forms.as_seen(first) != forms.text(form, f"after:{finding.item}:seen", 300)
        ):
            items = jobs[first].items[:1] if first in jobs else []
            puts += change_to(snapshot, f"plan/after/{finding.item}", items or None)
    return puts
