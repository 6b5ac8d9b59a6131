"""The forms of the ledger: an entry, an order split over cars, a step of the car's life."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.datastructures import FormData

from bradawl import language
from bradawl.desk.model.money import entries
from bradawl.desk.model.money.entries import Share
from bradawl.desk.model.typed_values import FieldError, Problems, day, hours, paid_cents
from bradawl.desk.web import forms
from bradawl.desk.web.visit_page import FormRequest
from bradawl.judge.ledger.entries import KINDS
from bradawl.language import message, text

TEXTS = {"what": 200, "quantity": 20, "vendor": 120, "part_number": 80, "paid_by": 80}
LABOR = ("labor_mine", "labor_paid")


def entry_typed(posted: FormRequest, jobs: dict[str, str], lines: dict[str, str]) -> dict[str, Any]:
    """An entry as it was typed; what is wrong with it is noted in the problems."""
    form, problems = posted.form, posted.problems
    kind = forms.text(form, "kind", 20)
    value: dict[str, Any] = {"kind": kind if kind in KINDS else "part"}
    with problems.of("date"):
        value["date"] = _past_day(form, posted.desk.today())
    for name, limit in TEXTS.items():
        with problems.of(name):
            value[name] = forms.text(form, name, limit)
    if value.get("quantity"):
        with problems.of("quantity"):
            value["quantity"] = hours(value["quantity"], text("desk-money-quantity"))
    with problems.of("amount"):
        value["amount_cents"] = _cents(form, "amount", required=value["kind"] != "labor_mine")
    for name in ("core", "freight"):
        with problems.of(name):
            value[f"{name}_cents"] = _cents(form, name)
    if value["kind"] in LABOR:
        with problems.of("hours"):
            value["hours"] = _hours(form, required=value["kind"] == "labor_mine")
    if value["kind"] == "labor_mine":
        value["amount_cents"] = 0
    if value.get("core_cents", 0) + value.get("freight_cents", 0) > value.get("amount_cents", 0):
        with problems.of("core"):
            raise FieldError(message("desk-money-parts-of-amount"))
    chosen = [str(job) for job in form.getlist("job") if isinstance(job, str)]
    value["jobs"] = [job for job in dict.fromkeys(chosen) if job in jobs]
    line = forms.text(form, "line", 80)
    value["line"] = line if line in lines else ""
    with problems.of("what"):
        if not problems and not (value["what"] or value["vendor"] or value["jobs"]):
            raise FieldError(message("desk-money-say-what"))
    return {key: held for key, held in value.items() if held not in ("", 0, [])}


def _past_day(form: FormData, today: str) -> str:
    typed = day(forms.date_text(form, "date") or today, text("desk-money-date"))
    if typed > today:
        raise FieldError(message("desk-money-future", date=language.date(typed)))
    return typed


def _cents(form: FormData, name: str, *, required: bool = False) -> int:
    typed = forms.text(form, name, 20)
    if not typed:
        if required:
            raise FieldError(message("desk-money-amount-missing"))
        return 0
    return paid_cents(typed, text(f"desk-money-{name}"))


def _hours(form: FormData, *, required: bool) -> str:
    typed = forms.text(form, "hours", 20)
    if not typed:
        if required:
            raise FieldError(message("desk-money-hours-missing"))
        return ""
    return hours(typed, text("desk-col-hours"))


def shares_typed(
    form: FormData,
    problems: Problems,
    visit: str,
    jobs_of: Mapping[str, Mapping[str, str]],
    total_cents: int,
) -> list[Share]:
    """The shares of an order over this car and those ticked; [] where it is this car's alone.

    A share left empty takes its part of what the typed ones leave. `jobs_of` has each other car's
    jobs by id: its share may be for some of them.
    """
    others = list(jobs_of)
    ticked = [other for other in others if forms.is_ticked(form, f"split:{other}")]
    if not ticked:
        return []
    typed: dict[str, int] = {}
    for car in (visit, *ticked):
        with problems.of(f"share:{car}"):
            share = forms.text(form, f"share:{car}", 20)
            if share:
                typed[car] = paid_cents(share, text("desk-money-share"))
    if problems:
        return []
    left = total_cents - sum(typed.values())
    open_cars = [car for car in (visit, *ticked) if car not in typed]
    with problems.of("split"):
        if left < 0 or (left and not open_cars):
            over = language.paid(abs(left))
            which = "desk-money-shares-over" if left < 0 else "desk-money-shares-short"
            raise FieldError(message(which, amount=over, total=language.paid(total_cents)))
        typed |= {share.visit: share.cents for share in entries.equal_shares(left, open_cars)}
        jobs = {car: _jobs_typed(form, car, jobs_of[car]) for car in ticked}
        return [Share(car, typed[car], jobs.get(car, ())) for car in (visit, *ticked)]
    return []


def _jobs_typed(form: FormData, car: str, known: Mapping[str, str]) -> tuple[str, ...]:
    """What of another car's work its share is for. Raises FieldError."""
    chosen = [job for job in form.getlist(f"job:{car}") if isinstance(job, str) and job]
    if [job for job in chosen if job not in known]:
        raise FieldError(message("desk-money-share-job-gone"))
    return tuple(dict.fromkeys(chosen))
