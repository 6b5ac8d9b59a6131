"""Causes ranked by the tests done on one visit, and what a cause that was found becomes.

The arithmetic is the judge's (`judge/decisions/diagnosis.py`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, cast

from bradawl.desk.model import findings
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.diagnosis.symptoms import Cause, Symptom, Test
from bradawl.desk.model.labels import caution_texts, item_of, item_title, reading_fields
from bradawl.desk.model.plan.types import anchor
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import visit_facts
from bradawl.judge.decisions import diagnosis
from bradawl.judge.record.visit_facts import contradicts
from bradawl.language import source

if TYPE_CHECKING:
    from bradawl.judge.values.types import Rule

#: What a cause that was found may be graded; the usual one first.
CAUSE_GRADES = ("major", "dangerous", "minor")


def symptom_rows(snapshot: Snapshot, symptoms: Iterable[Symptom]) -> list[dict[str, Any]]:
    """Every symptom with its likeliest cause so far; those with a test done come first."""
    rows = []
    for symptom in symptoms:
        results = results_of(snapshot, symptom.id)
        first = diagnosis.rank(symptom.table(), results)[0] if results else None
        rows.append(
            {
                "symptom": symptom,
                "done": len(results),
                "first": symptom.causes[first["id"]].title if first else "",
                "tenths": first["tenths"] if first else 0,
            }
        )
    return sorted(rows, key=lambda row: not row["done"])


def symptom_view(
    snapshot: Snapshot, symptom: Symptom, symptoms: Mapping[str, Symptom]
) -> dict[str, Any]:
    """A symptom's causes ranked with the working, the tests done and those that are next."""
    results = results_of(snapshot, symptom.id)
    tests = {test.id: test for test in symptom.tests}
    return {
        "symptom": symptom,
        "source": source(symptom.source, snapshot.texts.get("sources", {})),
        "ranked": [
            {
                **row,
                **_cause_view(snapshot, symptom, row["id"], symptoms),
                "percent": {factor["test"]: factor["percent"] for factor in row["factors"]},
            }
            for row in diagnosis.rank(symptom.table(), results)
        ],
        "grades": CAUSE_GRADES,
        "done": [
            (test, test.outcomes[results[test.id]])
            for test in symptom.tests
            if results.get(test.id) in test.outcomes
        ],
        "upcoming": [
            {**row, **test_view(snapshot, tests[row["id"]])}
            for row in diagnosis.next_tests(symptom.table(), results)
        ],
    }


def item_of_cause(snapshot: Snapshot, cause: Cause) -> str:
    """The item that judges a cause: the first that this car has; "" when its checklist has none."""
    rules = {name: rule for name in cause.item if (rule := item_of(snapshot.texts, name))}
    judged = snapshot.assessment["items"]
    facts = visit_facts(snapshot.cells, "")
    fit = [name for name in rules if name in judged and judged[name]["applies"]]
    # of no matter for these uses or in this region, it may still be on the car
    fit += [name for name, rule in rules.items() if not contradicts(cast("Rule", rule), facts)]
    return fit[0] if fit else ""


def job_of_cause(symptom: Symptom, word: str) -> str:
    """The job of a cause that no item judges."""
    return f"wants/{symptom.id}-{word}"


def cause_found(
    snapshot: Snapshot, symptom: Symptom, word: str, grade: str, titles: list[str]
) -> Puts:
    """The put that makes a cause a finding, or, where no item judges it, a needed job.

    `titles`: what symptom and cause are called in English, kept beside their ids.
    """
    cause = symptom.causes[word]
    results = results_of(snapshot, symptom.id)
    rank = next(row for row in diagnosis.rank(symptom.table(), results) if row["id"] == word)
    # by id, so that whoever reads it reads it in their own language
    found = {"cause": [symptom.id, word], "titles": titles}
    why = {**found, "tenths": rank["tenths"], "tests": len(results)}
    item = item_of_cause(snapshot, cause)
    if item:
        # both or none: a reason belongs to the grade that stands before it
        puts: Puts = [(f"items/{item}/grade", {"grade": grade}), (f"items/{item}/why", why)]
        same = all(findings.value(snapshot, path) == value for path, value in puts)
        return [] if same else puts
    job = {
        **found,
        "parts": [0, 0, 0],
        "hours": ["0", "0", "0"],
        "loss": 0,
        "need": True,
        "class": "danger" if grade == "dangerous" else "reliability",
        "uses": [],
    }
    return change_to(snapshot, f"plan/{job_of_cause(symptom, word)}", job)


def _cause_view(
    snapshot: Snapshot, symptom: Symptom, word: str, symptoms: Mapping[str, Symptom]
) -> dict[str, Any]:
    """A cause as the ranking shows it, and what became of it in the plan."""
    cause = symptom.causes[word]
    item = item_of_cause(snapshot, cause)
    assessment = snapshot.assessment
    grade = assessment["items"][item]["grade"] if item in assessment["findings"] else None
    job = job_of_cause(symptom, word)
    return {
        "title": cause.title,
        "often": cause.often,
        "item_title": item_title(snapshot.texts, item) if item else "",
        "harmless": cause.harmless,
        "then": symptoms.get(cause.then),
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
    rule = item_of(snapshot.texts, test.takes) if test.takes else None
    return {
        "test": test,
        "cautions": list(caution_texts(snapshot.texts, test.cautions).values()),
        "takes": item_title(snapshot.texts, test.takes) if rule else "",
        "readings": reading_fields(rule or {}, f"items/{test.takes}"),
    }
