"""From symptom to cause: the causes ranked with the working shown, and the next test."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Response
from starlette.datastructures import FormData

from bradawl.common import resources
from bradawl.common.errors import ApiError
from bradawl.desk.model import findings
from bradawl.desk.model.labels import item_of, item_title, source_text, words_of
from bradawl.desk.model.remedies import anchor
from bradawl.desk.model.symptoms import Cause, Symptom, TableError, Tables, Test
from bradawl.desk.pages.plan import Puts, changed
from bradawl.desk.web import forms
from bradawl.desk.web.forms import FieldError
from bradawl.desk.web.visit_page import Asked, Sent, asked_of, render_visit, sent_to
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import visit_facts
from bradawl.judge.decisions import diagnosis
from bradawl.judge.record.visit_facts import contradicts

if TYPE_CHECKING:
    from bradawl.desk.web.context import Desk

#: What a cause that was found may be graded; the usual one first.
GRADES = ("major", "dangerous", "minor")


def add(pages: APIRouter, desk: "Desk") -> None:
    """The pages of symptoms and what they post to."""
    page_asked = Annotated[Asked, Depends(asked_of(desk))]
    form_sent = Annotated[Sent, Depends(sent_to(desk))]
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
    def listed(asked: page_asked) -> Response:
        rows = []
        for symptom in known().values():
            results = results_of(asked.snapshot, symptom.id)
            first = diagnosis.rank(symptom.table(), results)[0] if results else None
            rows.append(
                {
                    "symptom": symptom,
                    "done": len(results),
                    "first": symptom.causes[first["id"]].title if first else "",
                    "tenths": first["tenths"] if first else 0,
                }
            )
        return render_visit(
            asked,
            "diagnosis/list.html",
            tab="trouble",
            rows=sorted(rows, key=lambda row: not row["done"]),
        )

    def page(asked: Asked, symptom: Symptom) -> Response:
        snapshot = asked.snapshot
        results = results_of(snapshot, symptom.id)
        titles = {test.id: test for test in symptom.tests}
        ranked = diagnosis.rank(symptom.table(), results)
        upcoming = diagnosis.next_tests(symptom.table(), results)
        return render_visit(
            asked,
            "diagnosis/symptom.html",
            tab="trouble",
            symptom=symptom,
            source=source_text(snapshot.bundle, symptom.source),
            ranked=[
                {
                    **row,
                    **cause_view(snapshot, symptom, row["id"], known()),
                    "percent": {factor["test"]: factor["percent"] for factor in row["factors"]},
                }
                for row in ranked
            ],
            grades=GRADES,
            done=[
                (test, test.outcomes[results[test.id]])
                for test in symptom.tests
                if results.get(test.id) in test.outcomes
            ],
            upcoming=[{**row, **test_view(snapshot, titles[row["id"]])} for row in upcoming],
        )

    @pages.get("/visits/{visit}/trouble/{name}")
    def symptom_page(asked: page_asked, name: str) -> Response:
        return page(asked, one(name))

    @pages.post("/visits/{visit}/trouble/{name}")
    def save(sent: form_sent, name: str) -> Response:
        """A test's outcome and its readings; an empty outcome takes the test back."""
        symptom = one(name)
        puts: Puts = []
        with sent.problems.of("outcome"):
            puts = outcome_typed(sent.snapshot, symptom, sent.form)
        if sent.problems:
            return page(sent, symptom)
        desk.log.append(sent.device, sent.visit, puts)
        return forms.back(f"/desk/visits/{sent.visit}/trouble/{name}")

    @pages.post("/visits/{visit}/trouble/{name}/cause")
    def found(sent: form_sent, name: str) -> Response:
        """The cause that was found becomes a finding with its remedies, or a job of its own."""
        symptom = one(name)
        word = forms.text(sent.form, "cause", 60)
        grade = forms.text(sent.form, "grade", 20)
        if word not in symptom.causes or grade not in GRADES:
            raise forms.stale("This cause is not in the table any more; look again.")
        puts = cause_found(sent.snapshot, symptom, word, grade)
        desk.log.append(sent.device, sent.visit, puts)
        item = item_of_cause(sent.snapshot, symptom.causes[word])
        where = item or job_of_cause(symptom, word)
        return forms.back(f"/desk/visits/{sent.visit}/plan#{anchor(where)}")


def item_of_cause(snapshot: Snapshot, cause: Cause) -> str:
    """The item that judges a cause: the first that this car has; "" when its checklist has none."""
    known = [name for name in cause.item if item_of(snapshot.bundle, name)]
    judged = snapshot.assessment.get("items", {})
    fit = [name for name in known if judged.get(name, {}).get("applies")]
    facts = visit_facts(snapshot.cells, "")
    # not asked in a short visit, it may still be on the car
    for name in known:
        if not contradicts(dict(item_of(snapshot.bundle, name) or {}), facts):
            fit.append(name)
    return fit[0] if fit else ""


def job_of_cause(symptom: Symptom, word: str) -> str:
    """The job of a cause that no item judges."""
    return f"wants/{symptom.id}-{word}"


def cause_found(snapshot: Snapshot, symptom: Symptom, word: str, grade: str) -> Puts:
    """The put that makes a cause a finding, or, where no item judges it, a needed job."""
    cause = symptom.causes[word]
    results = results_of(snapshot, symptom.id)
    rank = next(row for row in diagnosis.rank(symptom.table(), results) if row["id"] == word)
    tests = f"{len(results)} {'test' if len(results) == 1 else 'tests'}"
    found = f"{symptom.title}: {cause.title[0].lower()}{cause.title[1:]}"
    why = f"{found}, {rank['tenths'] // 10} % after {tests} at the desk."
    item = item_of_cause(snapshot, cause)
    if item:
        # both or none: a reason belongs to the grade that stands before it
        puts: Puts = [(f"items/{item}/grade", {"grade": grade}), (f"items/{item}/why", why)]
        same = all(findings.value(snapshot, path) == value for path, value in puts)
        return [] if same else puts
    job = {
        "title": f"{cause.title} ({symptom.title.lower()})",
        "parts": [0, 0, 0],
        "hours": ["0", "0", "0"],
        "loss": 0,
        "need": True,
        "class": "danger" if grade == "dangerous" else "reliability",
        "uses": [],
    }
    return changed(snapshot, f"plan/{job_of_cause(symptom, word)}", job)


def cause_view(
    snapshot: Snapshot, symptom: Symptom, word: str, known: Mapping[str, Symptom]
) -> dict[str, Any]:
    """A cause as the ranking shows it, and what became of it in the plan."""
    cause = symptom.causes[word]
    item = item_of_cause(snapshot, cause)
    judgement = snapshot.assessment.get("items", {}).get(item, {})
    grade = judgement.get("grade") if item in snapshot.assessment.get("findings", ()) else None
    job = job_of_cause(symptom, word)
    return {
        "title": cause.title,
        "often": cause.often,
        "item_title": item_title(snapshot.bundle, item) if item else "",
        "harmless": cause.harmless,
        "then": known.get(cause.then),
        "grade": grade,
        "planned": grade is not None or findings.value(snapshot, f"plan/{job}") is not None,
        "anchor": anchor(item or job),
    }


def results_of(snapshot: Snapshot, symptom: str) -> dict[str, str]:
    """The outcome of every test done for a symptom."""
    prefix = f"trouble/{symptom}/tests/"
    return {
        path.removeprefix(prefix): outcome
        for path, cell in snapshot.cells.items()
        if path.startswith(prefix)
        and (outcome := cell_values.text(cell_values.mapping(cell["value"]).get("outcome")))
    }


def test_view(snapshot: Snapshot, test: Test) -> dict[str, Any]:
    """A test as its card shows it: how, cautions in words, and the readings it takes."""
    rule = item_of(snapshot.bundle, test.takes) if test.takes else None
    known = snapshot.bundle.get("cautions", {})
    return {
        "test": test,
        "cautions": [known.get(one, {}).get("text", words_of(one)) for one in test.cautions],
        "takes": item_title(snapshot.bundle, test.takes) if rule else "",
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


def outcome_typed(snapshot: Snapshot, symptom: Symptom, form: FormData) -> Puts:
    """The puts of one test's form. Raises FieldError."""
    name = forms.text(form, "test", 60)
    test = next((test for test in symptom.tests if test.id == name), None)
    if test is None:
        raise FieldError("This test is not in the table any more; look again.")
    outcome = forms.text(form, "outcome", 60)
    path = f"trouble/{symptom.id}/tests/{test.id}"
    if forms.text(form, "back", 5):
        return changed(snapshot, path, None)
    if outcome not in test.outcomes:
        raise FieldError(f"{test.title}: choose what you found.")
    puts: Puts = changed(snapshot, path, {"outcome": outcome})
    for reading in test_view(snapshot, test)["readings"]:
        typed = forms.text(form, reading["name"], 40)
        if typed:
            units = reading["units"]
            unit = forms.text(form, f"{reading['name']}:unit", 12)
            if units and unit not in units:
                raise FieldError(f"{reading['title']}: the unit should be {', '.join(units)}.")
            puts += changed(snapshot, reading["name"], {"typed": typed, "unit": unit})
    return puts
