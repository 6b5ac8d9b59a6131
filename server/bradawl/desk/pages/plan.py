"""The plan's pages: the sheet of remedies, when an assembly tips over, the order of work."""

from fastapi import APIRouter, Response

from bradawl.desk.model.errors import stale
from bradawl.desk.model.labels import USES, item_title
from bradawl.desk.model.plan.assemblies import assembly_rows
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.edits import plan_stamp
from bradawl.desk.model.plan.types import CLASS_WORDS, KINDS, TITLE_LIMIT, anchor
from bradawl.desk.web import charts, forms
from bradawl.desk.web.inputs.plan import (
    new_remedy,
    order_changes,
    pieces_typed,
    refuse_stale,
    sheet_changes,
)
from bradawl.desk.web.visit_page import VisitForm, VisitPage, render_visit

pages = APIRouter(prefix="/visits/{visit}")


@pages.get("/plan")
def show_sheet(page: VisitPage) -> Response:
    plan = plan_of(page.snapshot)
    return render_visit(
        page,
        "plan/sheet.html",
        tab="plan",
        plan=plan,
        by_other={
            item: job.title
            for job in plan.jobs
            for item in job.items
            if not job.id.startswith(f"{item}/")
        },
        anchor=anchor,
        seen=plan_stamp(page.snapshot),
        kinds=KINDS,
        classes=CLASS_WORDS,
        uses=USES,
        title_limit=TITLE_LIMIT,
    )


@pages.post("/plan")
def save_sheet(posted: VisitForm) -> Response:
    puts = sheet_changes(posted.snapshot, posted.form, posted.problems)
    refuse_stale(posted)
    return show_sheet(posted) if posted.problems else posted.record(puts, "plan")


@pages.post("/plan/remedy")
def add_remedy(posted: VisitForm) -> Response:
    puts = new_remedy(posted.snapshot, posted.form, posted.problems)
    return show_sheet(posted) if posted.problems else posted.record(puts, "plan")


@pages.get("/tip-over")
def show_assemblies(page: VisitPage) -> Response:
    plan = plan_of(page.snapshot)
    return render_visit(
        page,
        "plan/tip_over.html",
        tab="tip-over",
        plan=plan,
        tips=assembly_rows(page.snapshot, plan),
        chart=charts.tip_over,
    )


@pages.post("/tip-over")
def save_pieces(posted: VisitForm) -> Response:
    remedy = forms.text(posted.form, "remedy", 200)
    if remedy not in plan_of(posted.snapshot).remedies:
        raise stale("This assembly is no longer among the remedies; look again.")
    pieces = pieces_typed(posted.form, posted.problems)
    if posted.problems:
        return show_assemblies(posted)
    put = (f"plan/further/{remedy}", pieces or None)
    return posted.record([put], f"tip-over#{remedy.replace('/', '-')}")


@pages.get("/order")
def show_order(page: VisitPage) -> Response:
    plan = plan_of(page.snapshot)
    return render_visit(
        page,
        "plan/order.html",
        tab="order",
        plan=plan,
        title_of=lambda item: item_title(page.snapshot.bundle, item),
        unseen=[item_title(page.snapshot.bundle, item) for item in plan.unseen],
        job_title={job.id: job.title for job in plan.jobs},
        classes=CLASS_WORDS,
        uses=USES,
        chart=charts.periods(plan) if plan.periods else "",
    )


@pages.post("/order")
def save_order(posted: VisitForm) -> Response:
    puts = order_changes(posted.snapshot, posted.form, posted.problems)
    return show_order(posted) if posted.problems else posted.record(puts, "order")
