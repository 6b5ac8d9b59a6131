"""What a visit's record makes of a complaint, in the words of phone and desk alike.

What is judged is the judge's (`judge/trouble/`); here it is said to whoever reads.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bradawl.desk.model import recorded
from bradawl.desk.model.changes import Puts
from bradawl.desk.model.diagnosis import tables
from bradawl.desk.model.diagnosis.plot import series_view
from bradawl.desk.model.labels import caution_texts, item_of, item_title, money, reading_fields
from bradawl.desk.model.plan.types import anchor
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import visit_facts
from bradawl.judge.trouble import repairs, view
from bradawl.language import argument, say, source, text

if TYPE_CHECKING:
    from bradawl.judge.values.types import Complaint, ComplaintCause, Symptom, TestKnown

#: How complaints are ordered in the list.
GROUPS = (
    *("starting", "running", "smoke", "cooling", "electrics", "brakes", "steering", "ride"),
    *("drivetrain", "smells"),
)


def complaint(snapshot: Snapshot, symptom: Symptom) -> Complaint:
    """What the judge makes of it."""
    return view.complaint(symptom, snapshot.cells, snapshot.rules, visit_facts(snapshot.cells, ""))


def begun(snapshot: Snapshot) -> list[str]:
    """The complaints that somebody wrote anything about."""
    names = {
        path.split("/")[1]
        for path, cell in snapshot.cells.items()
        if path.startswith("trouble/") and cell["value"] is not None
    }
    return [name for name in tables.symptoms(snapshot) if name in names]


def rows(snapshot: Snapshot) -> list[dict[str, Any]]:
    """Every complaint by its group; those that were begun come first, with how they stand."""
    said = tables.symptoms_in_words(snapshot)
    written = tables.symptoms(snapshot)
    known = begun(snapshot)
    open_rows = [
        {"symptom": said[name], "stands": _stands(snapshot, written[name])} for name in known
    ]
    groups = [
        {
            "title": text("trouble-group-" + group),
            "rows": [
                {"symptom": table, "stands": ""}
                for name, table in said.items()
                if table["group"] == group and name not in known
            ],
        }
        for group in GROUPS
    ]
    begun_group = {"title": text("trouble-begun"), "rows": open_rows}
    return [group for group in [begun_group, *groups] if group["rows"]]


def _stands(snapshot: Snapshot, symptom: Symptom) -> str:
    """How a complaint stands, in one line: what was found, else what is likeliest."""
    seen = complaint(snapshot, symptom)
    first = seen["causes"][0]
    name = argument(first["title"], snapshot.texts["rules"])
    return text("trouble-stands", standing=text(f"trouble-is-{first['standing']}"), cause=name)


def page(snapshot: Snapshot, name: str) -> dict[str, Any]:
    """Everything that the page of a complaint shows."""
    symptom = tables.symptom(snapshot, name)
    said = tables.symptoms_in_words(snapshot)
    shown = said[name]
    seen = complaint(snapshot, symptom)
    tests = {test["id"]: test for test in shown["tests"]}
    rules = snapshot.texts["rules"]
    offers = [
        {**row, "tells": say(row["tells"], rules), **_test(snapshot, tests[row["id"]])}
        for row in seen["next"]
    ]
    causes = [_cause(snapshot, name, row, said) for row in seen["causes"]]
    return {
        "symptom": shown,
        "source": source(shown["source"], snapshot.texts.get("sources", {})),
        "causes": [row for row in causes if row["standing"] != "ruled_out"],
        "out": [row for row in causes if row["standing"] == "ruled_out"],
        "found": seen["found"],
        "offers": offers,
        "measured": _measured(seen, shown),
        "again": [_again(seen, test) for test in shown["tests"] if _is_again(seen, test["id"])],
        "known": [_known(snapshot, row, tests[row["test"]]) for row in seen["known"]],
        "passed": [
            {
                "test": tests[row["id"]],
                "reason": _passed(row["why"], row["tools"]),
                **row,
            }
            for row in seen["passed"]
        ],
    }


def _is_again(seen: Complaint, test: str) -> bool:
    """Once a cause is found, every test that was done is worth doing again."""
    return bool(seen["found"]) and test in [row["test"] for row in seen["known"]]


def _again(seen: Complaint, test: Any) -> dict[str, Any]:
    outcomes = {outcome["id"]: outcome["title"] for outcome in test["outcomes"]}
    before = next(row["outcome"] for row in seen["known"] if row["test"] == test["id"])
    after = next((row["after"] for row in seen["after"] if row["test"] == test["id"]), "")
    return {"test": test, "before": outcomes[before], "after": after}


def _measured(seen: Complaint, shown: Any) -> list[dict[str, Any]]:
    """The readings that tests take for themselves, and those that were taken."""
    taken = {(row["test"], row["reading"]): row for row in seen["repeats"]}
    return [
        {
            "test": test,
            "reading": reading,
            "taken": series_view(taken[test["id"], reading["id"]])
            if (test["id"], reading["id"]) in taken
            else None,
        }
        for test in shown["tests"]
        for reading in test.get("measures", ())
    ]


def _tool(name: str) -> str:
    return text("judge-tool-" + name)


def _passed(why: str, tools: list[str]) -> str:
    """Why a test is passed over."""
    if why == "tool":
        return text("trouble-passed-tool", tools=", ".join(_tool(name) for name in tools))
    return text("trouble-passed-" + why)


def _cause(
    snapshot: Snapshot, name: str, row: ComplaintCause, said: dict[str, Symptom]
) -> dict[str, Any]:
    """A cause with its words, its repair and where that stands in the plan."""
    repair = row["repair"]
    planned = repair["item"] if repair else f"wants/{name}-{row['id']}"
    return {
        **row,
        "title": argument(row["title"], snapshot.texts["rules"]),
        "words": text(f"trouble-is-{row['standing']}"),
        "percent": {factor["test"]: factor["percent"] for factor in row["factors"]},
        "item_title": item_title(snapshot.texts, repair["item"]) if repair else "",
        "repair_title": argument(repair["title"], snapshot.texts["rules"]) if repair else "",
        "cost": money(repair["cost"][1], repair["currency"]) if repair else "",
        "anchor": anchor(planned),
        "leads": said.get(row["then"]),
        "reason": _ruled_out(row),
    }


def _ruled_out(row: ComplaintCause) -> str:
    """Why a cause is ruled out; "" for one that is not."""
    out = row.get("ruled_out")
    if out is None:
        return ""
    return text("trouble-out-car") if out["by"] == "car" else out["why"]


def _known(snapshot: Snapshot, row: TestKnown, test: Any) -> dict[str, Any]:
    """What is known of a test, from whom and when, and what speaks against it."""
    outcomes = {outcome["id"]: outcome["title"] for outcome in test["outcomes"]}
    rules = snapshot.texts["rules"]
    other = row.get("other")
    said = row.get("said")
    return {
        "test": test,
        "by": row["by"],
        "outcome": outcomes[row["outcome"]],
        "source": say(said, rules) if said else "",
        "item": row.get("item", ""),
        "at": row["at"],
        "device": recorded.author_of(row["at"]),
        "against": text(
            "trouble-disagrees", said=say(other["said"], rules), outcome=outcomes[other["outcome"]]
        )
        if other
        else "",
    }


def _test(snapshot: Snapshot, test: Any) -> dict[str, Any]:
    """A test as its card shows it: cautions in words, tools, and the readings it takes."""
    takes = test.get("takes", "")
    rule = item_of(snapshot.texts, takes) if takes else None
    readings = reading_fields(rule or {}, f"items/{takes}")
    steps = [_step(test, step, readings) for step in test.get("steps", ())]
    at_steps = [field for step in steps for field in step["fields"]]
    return {
        "test": test,
        "cautions": list(caution_texts(snapshot.texts, test.get("cautions", ())).values()),
        "tools": [(name, _tool(name)) for name in test.get("tools", ())],
        "takes": item_title(snapshot.texts, takes) if rule else "",
        "steps": steps,
        "readings": [field for field in readings if field not in at_steps],
    }


def _step(test: Any, step: Any, readings: list[Any]) -> dict[str, Any]:
    """A step with the fields of the reading taken there, or the test's own reading by its title."""
    read = step.get("read", "")
    own = next((row for row in test.get("measures", ()) if row["id"] == read), None)
    fields = [] if own else [row for row in readings if f"/readings/{read}/" in row["name"]]
    return {"do": step["do"], "fields": fields if read else [], "own": own}


def cause_found(snapshot: Snapshot, symptom: Symptom, cause: str, grade: str) -> Puts:
    """The puts that make a cause a finding with its repair, or a needed job; [] for no cause."""
    facts = visit_facts(snapshot.cells, "")
    made = repairs.puts_of(symptom, cause, grade, snapshot.cells, snapshot.rules, facts)
    return [(row["put"], row["value"]) for row in made]


def cause_taken_back(snapshot: Snapshot, symptom: Symptom, cause: str) -> Puts:
    """The puts that undo it."""
    made = repairs.taken_back(symptom, cause, snapshot.cells)
    return [(row["put"], row["value"]) for row in made]


def planned(snapshot: Snapshot, symptom: Symptom, cause: str) -> str:
    """What of the plan a cause that was found becomes: an item, or a job of its own."""
    facts = visit_facts(snapshot.cells, "")
    listed = next((row.get("repair", []) for row in symptom["causes"] if row["id"] == cause), [])
    repair = repairs.fitting(listed, snapshot.rules, facts)
    return repair.partition("/")[0] or f"wants/{symptom['id']}-{cause}"
