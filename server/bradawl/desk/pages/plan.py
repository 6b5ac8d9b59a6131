"""The plan's pages: the sheet of remedies, when an assembly tips over, the order of work."""

from collections.abc import Sequence

from fastapi import APIRouter, Response

from bradawl.desk.model.errors import stale
from bradawl.desk.model.labels import distance_units, fitness_text, item_title
from bradawl.desk.model.money.car import money_of
from bradawl.desk.model.plan.assemblies import adopted, assembly_rows
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.first_week import first_week
from bradawl.desk.model.plan.recorded import typed_periods
from bradawl.desk.model.plan.schedule import next_jobs, saved_for
from bradawl.desk.model.plan.types import KINDS, TITLE_LIMIT, anchor
from bradawl.desk.web import charts, forms
from bradawl.desk.web.inputs.jobs import moved, put_off, weekend_change
from bradawl.desk.web.inputs.plan import (
    new_remedy,
    order_changes,
    pieces_typed,
    row_of,
    sheet_changes,
)
from bradawl.desk.web.visit_page import PageRequest, VisitForm, VisitPage, render_visit
from bradawl.inspection import cell_values
from bradawl.judge.costs.plan import CLASSES
from bradawl.judge.record.visit_facts import USES
from bradawl.language import message, text

pages = APIRouter(prefix="/visits/{visit}")


@pages.get("/plan")
def show_sheet(page: VisitPage) -> Response:
    plan = plan_of(page.snapshot)
    return render_visit(
        page,
        "plan/sheet.html",
        tab="plan",
        plan=plan,
        experience=page.desk.summaries.experience(),
        money=money_of(page.snapshot, plan),
        by_other={
            item: job.title
            for job in plan.jobs
            for item in job.items
            if not job.id.startswith(f"{item}/")
        },
        anchor=anchor,
        row_of=row_of,
        kinds=KINDS,
        classes=CLASSES,
        uses=USES,
        title_limit=TITLE_LIMIT,
        other_choice=[
            plan.remedies[name].title for name in plan.without_loss if name not in plan.chosen
        ],
    )


@pages.post("/plan")
def save_sheet(posted: VisitForm) -> Response:
    puts = sheet_changes(posted.snapshot, posted.form, posted.problems)
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
        experience=page.desk.summaries.experience(),
        tips=assembly_rows(page.snapshot, plan),
        chart=charts.tip_over,
    )


@pages.post("/tip-over")
def save_pieces(posted: VisitForm) -> Response:
    remedy = forms.text(posted.form, "remedy", 200)
    if remedy not in plan_of(posted.snapshot).remedies:
        raise stale(message("desk-pieces-gone"))
    pieces = pieces_typed(posted.form, posted.problems, posted.snapshot.rules["items"])
    if posted.problems:
        return show_assemblies(posted)
    put = (f"plan/further/{remedy}", pieces or None)
    return posted.record([put], f"tip-over#{remedy.replace('/', '-')}")


@pages.post("/tip-over/choice")
def choose_way(posted: VisitForm) -> Response:
    """Replace or mend becomes a person's own choice, or is taken back."""
    name = forms.text(posted.form, "remedy", 200)
    plan = plan_of(posted.snapshot)
    if name not in plan.remedies:
        raise stale(message("desk-pieces-gone"))
    way = forms.text(posted.form, "adopt", 10)
    puts = adopted(posted.snapshot, plan, plan.remedies[name], way)
    return posted.record(puts, f"tip-over#{name.replace('/', '-')}")


@pages.get("/order")
def show_order(page: VisitPage) -> Response:
    plan = plan_of(page.snapshot)
    titles = {job.id: job.title for job in plan.jobs}
    return render_visit(
        page,
        "plan/order.html",
        tab="order",
        plan=plan,
        experience=page.desk.summaries.experience(),
        shown_periods=typed_periods(page.snapshot),
        bundle=page.snapshot.texts,
        because=_titles(page, plan.before["because"], 4),
        unseen=_titles(page, plan.unseen, 6),
        job_title=titles,
        ring=[titles[name] for name in plan.order["cycle"]],
        classes=CLASSES,
        fit=fitness_text,
        next_jobs=next_jobs(page.snapshot, plan),
        saved_for=saved_for(plan) if plan.periods else [],
        anchor=anchor,
        distances=distance_units(),
        first_week=first_week(page.snapshot),
        weekend=cell_values.text(cell_values.value(page.snapshot.cells, "plan/weekend_hours")),
        chart=charts.periods(plan) if plan.periods else "",
    )


def _titles(page: PageRequest, items: Sequence[str], most: int) -> list[str]:
    """The first titles of some checks, and how many more there are."""
    titles = [item_title(page.snapshot.texts, item) for item in items[:most]]
    return titles + [text("desk-more", count=len(items) - most)] * (len(items) > most)


@pages.post("/order")
def save_order(posted: VisitForm) -> Response:
    puts = order_changes(posted.snapshot, posted.form, posted.problems)
    puts += weekend_change(posted.snapshot, posted.form, posted.problems)
    return show_order(posted) if posted.problems else posted.record(puts, "order")


@pages.post("/order/place")
def move_job(posted: VisitForm) -> Response:
    move = forms.text(posted.form, "move", 200)
    job, plan = move.split(" ")[-1], plan_of(posted.snapshot)
    if job not in plan.schedule.found["order"]:
        raise stale(message("desk-order-job-gone"))
    return posted.record(moved(posted.snapshot, plan, move), f"order#job-{anchor(job)}")


@pages.post("/order/hold")
def hold_job(posted: VisitForm) -> Response:
    job = forms.text(posted.form, "job", 160)
    plan = plan_of(posted.snapshot)
    if job not in {one.id for one in plan.jobs}:
        raise stale(message("desk-order-job-gone"))
    puts = put_off(posted.snapshot, plan, posted.form, posted.problems, posted.desk.today())
    return show_order(posted) if posted.problems else posted.record(puts, "order#held")
