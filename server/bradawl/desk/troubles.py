"""From symptom to cause: the causes ranked with the working shown, and the next test."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Request, Response
from starlette.datastructures import FormData

from bradawl import resources
from bradawl.desk import forms
from bradawl.desk.forms import FieldError
from bradawl.desk.planning import Puts, changed
from bradawl.desk.symptoms import Symptom, TableError, Tables, Test
from bradawl.desk.visit_page import render_visit
from bradawl.desk.wording import item_of, item_title, source_text, words_of
from bradawl.dossier import Dossier
from bradawl.errors import ApiError
from bradawl.judgement import causes as judge

if TYPE_CHECKING:
    from bradawl.desk.routes import Desk


def add(pages: APIRouter, desk: "Desk") -> None:
    """The pages of symptoms and what they post to."""
    tables = Tables(resources.path_of("checklists") / "symptoms")

    def known() -> dict[str, Symptom]:
        try:
            return tables.symptoms()
        except TableError as error:
            raise ApiError("symptoms", f"The table of symptoms cannot be read. {error}", 500) from (
                error
            )

    def one(name: str) -> Symptom:
        found = known().get(name)
        if found is None:
            raise ApiError("unknown_symptom", "There is no such symptom in the tables.", 404)
        return found

    @pages.get("/visits/{visit}/trouble")
    def listed(request: Request, visit: str) -> Response:
        dossier = desk.dossier(visit)
        rows = []
        for symptom in known().values():
            results = results_of(dossier, symptom.id)
            first = judge.rank(symptom.table(), results)[0] if results else None
            rows.append(
                {
                    "symptom": symptom,
                    "done": len(results),
                    "first": symptom.causes[first["id"]].title if first else "",
                    "tenths": first["tenths"] if first else 0,
                }
            )
        return render_visit(
            request,
            "trouble.html",
            dossier,
            tab="trouble",
            rows=sorted(rows, key=lambda row: not row["done"]),
        )

    def page(
        request: Request,
        dossier: Dossier,
        symptom: Symptom,
        problems: forms.Problems,
        typed: FormData | None,
    ) -> Response:
        results = results_of(dossier, symptom.id)
        titles = {test.id: test for test in symptom.tests}
        ranked = judge.rank(symptom.table(), results)
        upcoming = judge.next_tests(symptom.table(), results)
        return render_visit(
            request,
            "symptom.html",
            dossier,
            tab="trouble",
            symptom=symptom,
            source=source_text(dossier.bundle, symptom.source),
            ranked=[
                {
                    **row,
                    "title": symptom.causes[row["id"]].title,
                    "item": symptom.causes[row["id"]].item,
                    "item_title": item_title(dossier.bundle, symptom.causes[row["id"]].item),
                    "percent": {factor["test"]: factor["percent"] for factor in row["factors"]},
                    "often": symptom.causes[row["id"]].often,
                }
                for row in ranked
            ],
            done=[
                (test, test.outcomes[results[test.id]])
                for test in symptom.tests
                if test.id in results
            ],
            upcoming=[{**row, **test_view(dossier, titles[row["id"]])} for row in upcoming],
            problems=problems,
            typed=typed,
        )

    @pages.get("/visits/{visit}/trouble/{name}")
    def symptom_page(request: Request, visit: str, name: str) -> Response:
        return page(request, desk.dossier(visit), one(name), forms.Problems(), None)

    @pages.post("/visits/{visit}/trouble/{name}")
    def save(
        request: Request,
        visit: str,
        name: str,
        form: Annotated[FormData, Depends(forms.posted)],
        person: Annotated[Any, Depends(desk.writer)],
    ) -> Response:
        """A test's outcome and its readings; an empty outcome takes the test back."""
        dossier = desk.dossier(visit)
        symptom = one(name)
        problems = forms.Problems()
        puts: Puts = []
        with problems.of("outcome"):
            puts = outcome_typed(dossier, symptom, form)
        if problems:
            return page(request, dossier, symptom, problems, form)
        desk.log.append(desk.device_of(person), visit, puts)
        return forms.back(f"/desk/visits/{visit}/trouble/{name}")


def results_of(dossier: Dossier, symptom: str) -> dict[str, str]:
    """The outcome of every test done for a symptom."""
    prefix = f"trouble/{symptom}/tests/"
    return {
        path.removeprefix(prefix): str(cell["value"]["outcome"])
        for path, cell in dossier.cells.items()
        if path.startswith(prefix)
        and isinstance(cell["value"], Mapping)
        and "outcome" in cell["value"]
    }


def test_view(dossier: Dossier, test: Test) -> dict[str, Any]:
    """A test as its card shows it: how, cautions in words, and the readings it takes."""
    rule = item_of(dossier.bundle, test.takes) if test.takes else None
    known = dossier.bundle.get("cautions", {})
    return {
        "test": test,
        "cautions": [known.get(one, {}).get("text", words_of(one)) for one in test.cautions],
        "takes": item_title(dossier.bundle, test.takes) if rule else "",
        "readings": [
            {
                "name": f"items/{test.takes}/readings/{reading['id']}/{place}",
                "title": reading["title"] + ("" if place == "one" else f", {words_of(place)}"),
                "units": reading.get("units", []),
            }
            for reading in (rule or {}).get("readings", ())
            for place in (reading.get("at") or ["one"])
        ],
    }


def outcome_typed(dossier: Dossier, symptom: Symptom, form: FormData) -> Puts:
    """The puts of one test's form. Raises FieldError."""
    name = forms.text(form, "test", 60)
    test = next((test for test in symptom.tests if test.id == name), None)
    if test is None:
        raise FieldError("This test is not in the table any more; look again.")
    outcome = forms.text(form, "outcome", 60)
    path = f"trouble/{symptom.id}/tests/{test.id}"
    if forms.text(form, "back", 5):
        return changed(dossier, path, None)
    if outcome not in test.outcomes:
        raise FieldError(f"{test.title}: choose what you found.")
    puts: Puts = changed(dossier, path, {"outcome": outcome})
    for reading in test_view(dossier, test)["readings"]:
        typed = forms.text(form, reading["name"], 40)
        if typed:
            units = reading["units"]
            unit = forms.text(form, f"{reading['name']}:unit", 12)
            if units and unit not in units:
                raise FieldError(f"{reading['title']}: the unit should be {', '.join(units)}.")
            puts += changed(dossier, reading["name"], {"typed": typed, "unit": unit})
    return puts
