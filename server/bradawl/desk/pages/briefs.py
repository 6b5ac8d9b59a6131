"""The brief: what the car is wanted for. It weighs the areas, on the phone too."""

from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Response
from starlette.datastructures import FormData

from bradawl.desk.model.brief import MET, brief_of, musts_for, opposed_wishes
from bradawl.desk.model.labels import USES
from bradawl.desk.pages.plan import Puts, changed
from bradawl.desk.web import forms
from bradawl.desk.web.visit_page import Asked, Sent, asked_of, render_visit, sent_to

if TYPE_CHECKING:
    from bradawl.desk.web.context import Desk

#: What is the same for every candidate; what a car is worth and what it meets is its own.
SHARED = ("uses", "budget", "deadline", "originality", "hourly_rate", "margin")


def add(pages: APIRouter, desk: "Desk") -> None:
    """The brief's page and what it posts to."""
    page_asked = Annotated[Asked, Depends(asked_of(desk))]
    form_sent = Annotated[Sent, Depends(sent_to(desk))]

    @pages.get("/visits/{visit}/brief")
    def page(asked: page_asked) -> Response:
        others = [
            (row.visit, row.summary.car)
            for row in desk.summaries.rows()
            if row.summary is not None and row.visit != asked.visit
        ]
        return render_visit(
            asked,
            "visits/brief.html",
            tab="brief",
            brief=brief_of(asked.snapshot),
            opposed=opposed_wishes(asked.snapshot),
            uses=USES,
            met=MET,
            others=others,
        )

    @pages.post("/visits/{visit}/brief")
    def save(sent: form_sent) -> Response:
        typed = brief_typed(sent.form, sent.problems)
        if sent.problems:
            return page(sent)
        puts: Puts = []
        for name, value in typed.items():
            puts += changed(sent.snapshot, f"brief/{name}", value)
        desk.log.append(sent.device, sent.visit, puts)
        for other in sent.form.getlist("also"):
            copy = desk.snapshot(str(other))
            puts = []
            for name in SHARED:
                puts += changed(copy, f"brief/{name}", typed[name])
            puts += changed(copy, "brief/musts", musts_for(copy, typed["musts"]))
            desk.log.append(sent.device, copy.visit, puts)
        return forms.back(f"/desk/visits/{sent.visit}/brief")


def brief_typed(form: FormData, problems: forms.Problems) -> dict[str, Any]:
    """The brief as typed; None for a field left empty."""
    typed: dict[str, Any] = {
        "uses": [use for use in USES if forms.text(form, f"use-{use}", 5)] or None
    }
    for name, what in (
        ("budget", "Budget"),
        ("value_good", "Value when it meets the brief"),
        ("hourly_rate", "Hourly rate"),
        ("margin", "Margin"),
    ):
        typed[name] = None
        with problems.of(name):
            written = forms.text(form, name, 20)
            typed[name] = forms.amount(written, what) if written else None
    with problems.of("deadline"):
        written = forms.text(form, "deadline", 20)
        typed["deadline"] = forms.day(written, "Deadline") if written else None
    with problems.of("originality"):
        written = forms.text(form, "originality", 10).rstrip("% ")
        typed["originality"] = forms.whole(written or "100", "Originality, in %", 0, 300)
    musts = []
    for n in range(40):
        with problems.of(f"must-{n}"):
            written = forms.text(form, f"must-{n}:text", 120)
            met = forms.text(form, f"must-{n}:met", 10)
            if written:
                musts.append({"text": written, "met": met if met in MET else "unknown"})
    typed["musts"] = musts or None
    return typed
