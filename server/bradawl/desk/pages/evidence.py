"""Maintenance: what is due because nobody can prove it was done, and the receipts that prove it."""

import re
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Response
from starlette.datastructures import FormData

from bradawl.desk.model import findings, remedies
from bradawl.desk.pages import work_log
from bradawl.desk.pages.plan import Puts, changed
from bradawl.desk.web import forms
from bradawl.desk.web.forms import FieldError
from bradawl.desk.web.visit_page import Asked, Sent, asked_of, render_visit, sent_to
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs import plan

if TYPE_CHECKING:
    from bradawl.desk.web.context import Desk

EVIDENCE = {
    "documented": "receipt",
    "seen": "seen on the car",
    "claimed": "claimed only",
    "unknown": "nobody knows",
}
WHEN = re.compile(r"\d{4}(-\d{2}){0,2}")


def add(pages: APIRouter, desk: "Desk") -> None:
    """The maintenance page and what it posts to."""
    page_asked = Annotated[Asked, Depends(asked_of(desk))]
    form_sent = Annotated[Sent, Depends(sent_to(desk))]

    @pages.get("/visits/{visit}/baseline")
    def page(asked: page_asked) -> Response:
        photos = findings.photos_of(asked.snapshot)
        return render_visit(
            asked,
            "plan/maintenance.html",
            tab="baseline",
            rows=rows_of(asked.snapshot),
            currency=cell_values.currency(asked.snapshot.cells),
            words=EVIDENCE,
            missing=set(desk.photos_missing(photos)),
        )

    @pages.post("/visits/{visit}/baseline")
    def save(sent: form_sent) -> Response:
        """Take due work into the plan, or leave it out."""
        puts: Puts = []
        for row in remedies.baseline_rows(sent.snapshot):
            if row["due"]:
                wanted = bool(forms.text(sent.form, f"take:{row['id']}", 5))
                path = f"plan/baseline/{row['id']}"
                puts += changed(sent.snapshot, path, None if wanted else False)
        desk.log.append(sent.device, sent.visit, puts)
        return forms.back(f"/desk/visits/{sent.visit}/baseline")

    @pages.post("/visits/{visit}/baseline/receipt")
    def receipt(sent: form_sent) -> Response:
        """A receipt: its photo, date and odometer make the item documented."""
        known = {str(row["id"]): row for row in remedies.baseline_rows(sent.snapshot)}
        row = known.get(forms.text(sent.form, "row", 80))
        if row is None:
            raise forms.stale("This line is not in the car's maintenance list; look again.")
        uploads = work_log.photos_typed(sent.form, sent.problems)
        puts = receipt_typed(sent.form, str(row["item"]), bool(uploads), sent.problems)
        puts += work_log.photos_kept(desk, sent, uploads, f"items/{row['item']}")
        if sent.problems:
            return page(sent)
        desk.log.append(sent.device, sent.visit, puts)
        return forms.back(f"/desk/visits/{sent.visit}/baseline")


def rows_of(snapshot: Snapshot) -> list[dict[str, Any]]:
    """The baseline with receipts, cost, and whether the plan has it; what is due first."""
    rate, _ = remedies.rate_of(snapshot)
    with_it = {
        title: job.title for job in remedies.plan_of(snapshot).jobs for title in job.services
    }
    rows = []
    for row in remedies.baseline_rows(snapshot):
        job = f"baseline/{row['id']}"
        rows.append(
            {
                **row,
                "text": _why(row),
                "with_it": with_it.get(str(row["title"]), ""),
                "done": remedies.done(snapshot, job),
                "taken": remedies.baseline_taken(snapshot, str(row["id"])),
                "expected": plan.whole(
                    plan.sixths(plan.price(row["parts"], row["hours"], rate, 0))
                ),
                "photos": findings.item_view(snapshot, str(row["item"]))["photos"],
            }
        )
    return sorted(rows, key=lambda row: (not row["due"] or bool(row["done"]), row["title"]))


def _why(row: dict[str, Any]) -> str:
    """The judge's sentence without the title that stands above it."""
    text = str(row["text"]).removeprefix(f"{row['title']}: ").removeprefix("due, ")
    return text[:1].upper() + text[1:]


def receipt_typed(form: FormData, item: str, has_photo: bool, problems: forms.Problems) -> Puts:
    """The puts that make an item documented; a photo and a date are the least."""
    puts: Puts = [(f"items/{item}/choice", "documented")]
    with problems.of("done_on"):
        when = forms.text(form, "done_on", 40)
        if not WHEN.fullmatch(when):
            raise FieldError(
                "When was it done? Write the receipt's date such as 2025-05-14, or 2025-05."
            )
        puts.append((f"items/{item}/readings/done_on/one", {"typed": when, "unit": ""}))
    with problems.of("photo"):
        if not has_photo:
            raise FieldError("A receipt counts when it can be shown: add its photo.")
    distance = forms.text(form, "done_at", 20)
    if distance:
        unit = "mi" if forms.text(form, "done_at-unit", 4) == "mi" else "km"
        puts.append((f"items/{item}/readings/done_at/one", {"typed": distance, "unit": unit}))
    return puts
