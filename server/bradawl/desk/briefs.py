"""The brief: what the car is wanted for. It weighs the areas, on the phone too."""

from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Request, Response
from starlette.datastructures import FormData

from bradawl.desk import findings, forms
from bradawl.desk.planning import Puts, changed
from bradawl.desk.visit_page import render_visit
from bradawl.desk.wording import USES, car_name
from bradawl.dossier import Dossier

if TYPE_CHECKING:
    from bradawl.desk.routes import Desk

MET = {"unknown": "not known", "yes": "met", "no": "not met"}
#: What is the same for every candidate; what a car is worth and what it meets is its own.
SHARED = ("uses", "budget", "deadline", "originality", "hourly_rate", "margin")


def add(pages: APIRouter, desk: "Desk") -> None:
    """The brief's page and what it posts to."""

    def page(
        request: Request, dossier: Dossier, problems: forms.Problems, typed: FormData | None
    ) -> Response:
        others = [
            (row.visit, row.summary.car)
            for row in desk.summaries.rows()
            if row.summary is not None and row.visit != dossier.visit
        ]
        return render_visit(
            request,
            "brief.html",
            dossier,
            tab="brief",
            brief=brief_of(dossier),
            opposed=opposed_wishes(dossier),
            uses=USES,
            met=MET,
            others=others,
            problems=problems,
            typed=typed,
        )

    @pages.get("/visits/{visit}/brief")
    def brief(request: Request, visit: str) -> Response:
        return page(request, desk.dossier(visit), forms.Problems(), None)

    @pages.post("/visits/{visit}/brief")
    def save(
        request: Request,
        visit: str,
        form: Annotated[FormData, Depends(forms.posted)],
        person: Annotated[Any, Depends(desk.writer)],
    ) -> Response:
        dossier = desk.dossier(visit)
        problems = forms.Problems()
        typed = brief_typed(form, problems)
        if problems:
            return page(request, dossier, problems, form)
        device = desk.device_of(person)
        puts: Puts = []
        for name, value in typed.items():
            puts += changed(dossier, f"brief/{name}", value)
        desk.log.append(device, visit, puts)
        for other in form.getlist("also"):
            copy = desk.dossier(str(other))
            puts = []
            for name in SHARED:
                puts += changed(copy, f"brief/{name}", typed[name])
            puts += changed(copy, "brief/musts", musts_for(copy, typed["musts"]))
            desk.log.append(device, copy.visit, puts)
        return forms.back(f"/desk/visits/{visit}/brief")


def brief_of(dossier: Dossier) -> dict[str, Any]:
    """The brief as it stands; None where nobody said."""
    held = {name: findings.value(dossier, f"brief/{name}") for name in (*SHARED, "value_good")}
    uses = held["uses"]
    return {
        **held,
        "uses": [str(one) for one in uses] if isinstance(uses, list) else [],
        "musts": musts_of(dossier),
        "originality": percent_of(dossier),
        "car": car_name(dossier.cells),
    }


def percent_of(dossier: Dossier) -> int:
    """How much of a stated loss of originality counts, in per cent; 100 when nobody said."""
    held = findings.value(dossier, "brief/originality")
    return held if type(held) is int and 0 <= held <= 300 else 100


def musts_of(dossier: Dossier) -> list[dict[str, str]]:
    """What the car must have, and whether it does: [{"text", "met": unknown | yes | no}, …]."""
    held = findings.value(dossier, "brief/musts")
    return [
        {"text": str(one.get("text", "")), "met": str(one.get("met", "unknown"))}
        for one in (held if isinstance(held, list) else [])
        if isinstance(one, dict)
    ]


def musts_for(dossier: Dossier, musts: list[dict[str, str]] | None) -> list[dict[str, str]] | None:
    """The same must-haves for another car, which keeps what is known of it."""
    known = {one["text"]: one["met"] for one in musts_of(dossier)}
    copied = [
        {"text": one["text"], "met": known.get(one["text"], "unknown")} for one in musts or []
    ]
    return copied or None


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


def opposed_wishes(dossier: Dossier) -> list[str]:
    """Sentences for wishes that work against each other, as the judge names them."""
    brief = dossier.assessment.get("brief") or {}
    return [
        str(one.get("text") or one.get("reason") or "")
        for one in brief.get("conflicts", ())
        if isinstance(one, dict)
    ]
