"""What a record already says about a complaint: tests done, and what was measured or seen anyway.

A test's table may name what of the record settles its outcome. What somebody said at the test
itself holds; where the record says otherwise, both are told.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from ..grading import items as grading
from ..grading import limits
from ..grading.combinations import Judged, items_of
from ..record import bodies
from ..values.saying import grade as grade_word
from ..values.saying import headed, measured, said, title

if TYPE_CHECKING:
    from ..values.types import (
        Cells,
        ItemJudgment,
        Json,
        Measure,
        Rule,
        Rules,
        Said,
        SettledBy,
        Settling,
        Symptom,
        SymptomTest,
        TestKnown,
        VisitFacts,
    )


def path_of(symptom: str, kind: str, name: str) -> str:
    """Where something of a complaint stands in a record."""
    return "trouble/" + symptom + "/" + kind + "/" + name


def items_named(symptom: Symptom) -> list[str]:
    """The items that a table names: what settles its tests, what they are done to, what mends."""
    names: dict[str, bool] = {}
    for test in symptom["tests"]:
        if test.get("takes"):
            names[test["takes"]] = True
        for row in test.get("settled") or []:
            for item in _listed(row["item"]):
                names[item] = True
    for cause in symptom["causes"]:
        for remedy in cause.get("repair") or []:
            names[remedy.split("/")[0]] = True
    return sorted(names)


def of_tests(symptom: Symptom, cells: Cells, rules: Rules, facts: VisitFacts) -> list[TestKnown]:
    """What is known of each test: its outcome, from whom and when."""
    judged = _judge(symptom, cells, rules, facts)
    rows: list[TestKnown] = []
    for test in symptom["tests"]:
        told = _told(symptom, test, cells)
        found = _of_record(test, judged, cells, rules)
        if told is not None:
            if found is not None and found["outcome"] != told["outcome"]:
                told["other"] = found
            rows.append(told)
        elif found is not None:
            row: TestKnown = {
                "test": test["id"],
                "by": "record",
                "outcome": found["outcome"],
                "at": found["at"],
                "item": found["item"],
                "said": found["said"],
            }
            rows.append(row)
    return rows


def _told(symptom: Symptom, test: SymptomTest, cells: Cells) -> TestKnown | None:
    """The outcome that somebody named at the test itself."""
    cell = cells.get(path_of(symptom["id"], "tests", test["id"]))
    value = cell["value"] if cell is not None else None
    outcome = value.get("outcome") if isinstance(value, dict) else None
    if cell is None or outcome not in [row["id"] for row in test["outcomes"]]:
        return None
    return {"test": test["id"], "by": "person", "outcome": str(outcome), "at": cell["at"]}


def _judge(symptom: Symptom, cells: Cells, rules: Rules, facts: VisitFacts) -> Judged:
    """The items that the table looks at and that have an answer, each from its own cells."""
    judged = Judged()
    wanted = {}
    for test in symptom["tests"]:
        for row in test.get("settled") or []:
            for item in _listed(row["item"]):
                wanted[item] = True
    parts: dict[str, Cells] = {}
    for path in cells:
        parts_of_path = path.split("/")
        if parts_of_path[0] == "items" and len(parts_of_path) > 2:
            if parts_of_path[1] in wanted and cells[path]["value"] is not None:
                parts.setdefault(parts_of_path[1], {})[path] = cells[path]
    facts["absent"] = bodies.absent(rules, facts)
    of_car = json.dumps([facts["today"], facts["region"], facts["uses"], facts["car"]])
    for item in sorted(parts):
        _leave_own_finding(symptom["id"], item, parts[item])
        rule = rules["items"].get(item)
        if rule is None:
            continue
        found = _kept(item, rule, parts[item], facts, of_car)
        judged.items[item], judged.measures[item], judged.choices[item] = found
    return judged


#: The last judgment of an item with all that it was made of. A complaint is asked again after every
#: tap, and hardly ever is it the readings of its items that changed.
_last: dict[str, tuple[Rule, str, ItemJudgment, list[Measure], list[str]]] = {}
_MOST_KEPT = 40


def _kept(
    item: str, rule: Rule, cells: Cells, facts: VisitFacts, of_car: str
) -> tuple[ItemJudgment, list[Measure], list[str]]:
    """An item's judgment, what was measured of it and the choice that holds."""
    made_of = of_car + json.dumps(cells)
    last = _last.get(item)
    if last is not None and last[0] is rule and last[1] == made_of:
        return last[2], last[3], last[4]
    judgment, measures, choices = grading.judge(item, rule, cells, facts, "none")
    judgment["applies"] = judgment["asked"] = True
    holding = [row for row in measures if not row.get("unseen")]
    if len(_last) >= _MOST_KEPT:
        _last.clear()
    _last[item] = (rule, made_of, judgment, holding, choices[:1])
    return judgment, holding, choices[:1]


def _leave_own_finding(symptom: str, item: str, cells: Cells) -> None:
    """Without the rating that a cause of this very complaint gave the item: it proves none."""
    start = "items/" + item
    why = cells.get(start + "/why")
    value = why["value"] if why is not None else None
    cause = value.get("cause") if isinstance(value, dict) else None
    if isinstance(cause, list) and cause and cause[0] == symptom:
        cells.pop(start + "/grade", None)
        cells.pop(start + "/why", None)


def _listed(value: str | list[str]) -> list[str]:
    return [value] if isinstance(value, str) else value


def _of_record(test: SymptomTest, judged: Judged, cells: Cells, rules: Rules) -> SettledBy | None:
    """The outcome that the record settles: that of the first row that holds."""
    for row in test.get("settled") or []:
        for item in _met(row, judged, rules):
            return {
                "outcome": row["outcome"],
                "item": item,
                "at": _latest(row, item, cells),
                "said": _said(row, item, judged),
            }
    return None


def _met(row: Settling, judged: Judged, rules: Rules) -> list[str]:
    """The items that meet a row."""
    if row.get("fine"):
        return [
            item
            for item in _listed(row["item"])
            if item in judged.items
            and judged.items[item]["grade"] == "none"
            and judged.items[item]["state"] == "done"
        ]
    if row.get("known"):
        return [item for item in _listed(row["item"]) if _measure(row, item, judged) is not None]
    return items_of(row["when"], judged, rules, None)


def _measure(row: Settling, item: str, judged: Judged) -> Measure | None:
    """The figure or word that a row looks at: the first that is as it says."""
    name = row.get("known") or row["when"].get("fact")
    for measure in judged.measures.get(item) or []:
        if measure["of"] == name:
            if row.get("known") or limits.matches(row["when"], measure):
                return measure
    return None


def _latest(row: Settling, item: str, cells: Cells) -> str:
    """The stamp of what was last written of an item that the row looks at."""
    latest = ""
    start = "items/" + item + "/"
    if row.get("known") or (not row.get("fine") and row["when"].get("fact") is not None):
        start += "readings/"
    elif not row.get("fine") and row["when"].get("choice") is not None:
        start += "choice"
    for path in cells:
        if path.startswith(start) and cells[path]["value"] is not None:
            latest = max(latest, cells[path]["at"])
    return latest


def _said(row: Settling, item: str, judged: Judged) -> Said:
    """What of the record says so: a figure, an answer or a rating."""
    measure = None if row.get("fine") else _measure(row, item, judged)
    if measure is not None:
        args = {"item": title("item", item), "name": headed(measure), "value": measured(measure)}
        return said("trouble-measured", args)
    chosen: list[str] = judged.choices.get(item) or []
    if not row.get("fine") and row["when"].get("choice") is not None and chosen:
        choice = title("choice", item, chosen[0])
        return said("trouble-answered", {"item": title("item", item), "choice": choice})
    grade = grade_word(judged.items[item]["grade"])
    return said("trouble-rated", {"item": title("item", item), "grade": grade})


def text_of(value: Json, key: str) -> str:
    """A text in a recorded mapping; "" for anything else."""
    entry = value.get(key) if isinstance(value, dict) else None
    return entry if isinstance(entry, str) else ""
