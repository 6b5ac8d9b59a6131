"""Maintenance: what is due because nobody can prove it was done, and the receipts that prove it."""

import re
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Request, Response
from starlette.datastructures import FormData

from bradawl.desk import findings, forms, remedies, works
from bradawl.desk.forms import FieldError
from bradawl.desk.planning import Puts, changed
from bradawl.desk.visit_page import render_visit
from bradawl.dossier import Dossier
from bradawl.judgement import plan as arithmetic

if TYPE_CHECKING:
    from bradawl.desk.routes import Desk

EVIDENCE = {
    "documented": "receipt",
    "seen": "seen on the car",
    "claimed": "claimed only",
    "unknown": "nobody knows",
}
WHEN = re.compile(r"\d{4}(-\d{2}){0,2}")


def add(pages: APIRouter, desk: "Desk") -> None:
    """The maintenance page and what it posts to."""

    def page(
        request: Request, dossier: Dossier, problems: forms.Problems, typed: FormData | None
    ) -> Response:
        photos = findings.photos_of(dossier)
        return render_visit(
            request,
            "baseline.html",
            dossier,
            tab="baseline",
            rows=rows_of(dossier),
            currency=str(findings.value(dossier, "about/currency") or ""),
            words=EVIDENCE,
            missing=set(desk.photos_missing(photos)),
            problems=problems,
            typed=typed,
        )

    @pages.get("/visits/{visit}/baseline")
    def baseline(request: Request, visit: str) -> Response:
        return page(request, desk.dossier(visit), forms.Problems(), None)

    @pages.post("/visits/{visit}/baseline")
    def save(
        request: Request,
        visit: str,
        form: Annotated[FormData, Depends(forms.posted)],
        person: Annotated[Any, Depends(desk.writer)],
    ) -> Response:
        """Take due work into the plan, or leave it out."""
        dossier = desk.dossier(visit)
        puts: Puts = []
        for row in remedies.baseline_rows(dossier):
            if row["due"]:
                wanted = bool(forms.text(form, f"take:{row['id']}", 5))
                puts += changed(dossier, f"plan/baseline/{row['id']}", None if wanted else False)
        desk.log.append(desk.device_of(person), visit, puts)
        return forms.back(f"/desk/visits/{visit}/baseline")

    @pages.post("/visits/{visit}/baseline/receipt")
    def receipt(
        request: Request,
        visit: str,
        form: Annotated[FormData, Depends(forms.posted)],
        person: Annotated[Any, Depends(desk.writer)],
    ) -> Response:
        """A receipt: its photo, date and odometer make the item documented."""
        dossier = desk.dossier(visit)
        known = {str(row["id"]): row for row in remedies.baseline_rows(dossier)}
        row = known.get(forms.text(form, "row", 80))
        if row is None:
            raise forms.stale("This line is not in the car's maintenance list; look again.")
        problems = forms.Problems()
        uploads = works.photos_typed(form, problems)
        puts = receipt_typed(form, str(row["item"]), bool(uploads), problems)
        device = desk.device_of(person)
        for name, data in uploads if not problems else ():
            with problems.of("photo"):
                puts.append(
                    works.keep_photo(desk, data, device, f"items/{row['item']}", name, form)
                )
        if problems:
            return page(request, dossier, problems, form)
        desk.log.append(device, visit, puts)
        return forms.back(f"/desk/visits/{visit}/baseline")


def rows_of(dossier: Dossier) -> list[dict[str, Any]]:
    """The baseline with receipts, cost, and whether the plan has it; what is due first."""
    rate, _ = remedies.rate_of(dossier)
    with_it = {title: job.title for job in remedies.plan_of(dossier).jobs for title in job.services}
    rows = []
    for row in remedies.baseline_rows(dossier):
        job = f"baseline/{row['id']}"
        rows.append(
            {
                **row,
                "text": _why(row),
                "with_it": with_it.get(str(row["title"]), ""),
                "done": remedies.done(dossier, job),
                "taken": remedies.baseline_taken(dossier, str(row["id"])),
                "expected": arithmetic.whole(
                    arithmetic.sixths(arithmetic.price(row["parts"], row["hours"], rate, 0))
                ),
                "photos": findings.item_view(dossier, str(row["item"]))["photos"],
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
