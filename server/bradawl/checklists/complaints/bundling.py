"""The complaint tables as a bundle holds them: lists in their order, nothing that is empty."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bradawl.checklists.complaints.models import Cause, Settling, Step, Symptom, Test
    from bradawl.checklists.files import Checklist


def complaints(checklist: Checklist) -> list[dict[str, Any]]:
    """Every complaint, in the order of the files and of the lines in them."""
    return [
        {**_symptom(symptom, checklist.procedures), "source": source}
        for source, symptom in zip(checklist.symptom_sources, checklist.symptoms, strict=True)
    ]


def _symptom(symptom: Symptom, procedures: dict[str, list[Step]]) -> dict[str, Any]:
    return {
        "id": symptom.id,
        "title": symptom.title,
        "says": symptom.says,
        "group": symptom.group,
        "causes": [_cause(name, cause) for name, cause in symptom.causes.items()],
        "tests": [_test(test, procedures) for test in symptom.tests],
    }


def _filled(row: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in row.items() if value not in (None, [], {})}


def _cause(name: str, cause: Cause) -> dict[str, Any]:
    return {"id": name, **_filled(cause.model_dump(mode="json", exclude_none=True))}


def _test(test: Test, procedures: dict[str, list[Step]]) -> dict[str, Any]:
    apart = {"settled", "outcomes", "procedure"}
    plain = test.model_dump(mode="json", exclude_none=True, exclude=apart)
    steps = procedures.get(test.procedure or "", [])
    plain["steps"] = [step.model_dump(mode="json", exclude_none=True) for step in steps]
    rows = [_settling(row) for row in test.settled]
    outcomes = [{"id": name, "title": title} for name, title in test.outcomes.items()]
    return _filled({**plain, "outcomes": outcomes, "settled": rows})


def _settling(row: Settling) -> dict[str, Any]:
    when = row.condition()
    plain: dict[str, Any] = {"item": row.item, "outcome": row.outcome}
    if row.fine:
        plain["fine"] = True
    if row.known is not None:
        plain["known"] = row.known
    if when is not None:
        plain["when"] = when.model_dump(mode="json", by_alias=True, exclude_none=True)
    return plain
