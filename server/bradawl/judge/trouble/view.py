"""One complaint as phone and desk show it: causes in words, what is known, what to test and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..costs import price as money
from ..costs import remedies
from ..record import regions, visit_facts
from ..values.saying import said, title
from . import chances, evidence, repairs, repeats

if TYPE_CHECKING:
    from ..values.types import (
        Cells,
        Complaint,
        ComplaintCause,
        PassedTest,
        RatesOfVisit,
        RuledOut,
        Rules,
        Said,
        SaidArgument,
        SaidTitle,
        Symptom,
        SymptomCause,
        SymptomTest,
        TestOffer,
        VisitFacts,
        Weights,
    )


def complaint(symptom: Symptom, cells: Cells, rules: Rules, facts: VisitFacts) -> Complaint:
    """What the record makes of a complaint; `rules` are those of the visit's region.

    `cells` are those of car/, about/, brief/, of this complaint, of the tools, and of the items
    that the table names; more do no harm.
    """
    seen = evidence.of_tests(symptom, cells, rules, facts)
    results = {row["test"]: row["outcome"] for row in seen}
    out = _ruled_out(symptom, cells, rules, facts)
    struck = dict.fromkeys(out, True)
    weights = chances.weigh(symptom, results, struck)
    causes = _causes(symptom, results, weights, out, cells, rules, facts)
    found = [row["id"] for row in causes if row["standing"] == "found"]
    offered, passed = _tests(symptom, results, struck, weights, cells, rules, facts)
    return {
        "id": symptom["id"],
        "causes": causes,
        # what the cause is, is known: no test changes that
        "next": [] if found else offered,
        "passed": passed,
        "known": seen,
        "found": found,
        "repeats": repeats.series(symptom, cells),
        "after": repeats.after(symptom, cells),
        "turned_out": _turned_out(symptom, cells),
    }


def _turned_out(symptom: Symptom, cells: Cells) -> str:
    """The cause that was confirmed by the repair; "" while nobody said."""
    cell = cells.get("trouble/" + symptom["id"] + "/turned-out")
    name = evidence.text_of(cell["value"], "cause") if cell is not None else ""
    return name if name in [row["id"] for row in symptom["causes"]] else ""


def _state(symptom: Symptom, cause: SymptomCause, cells: Cells) -> str:
    cell = cells.get(evidence.path_of(symptom["id"], "causes", cause["id"]))
    return evidence.text_of(cell["value"], "state") if cell is not None else ""


def _ruled_out(
    symptom: Symptom, cells: Cells, rules: Rules, facts: VisitFacts
) -> dict[str, RuledOut]:
    """The causes that are none of this car, and those that somebody ruled out."""
    out: dict[str, RuledOut] = {}
    for cause in symptom["causes"]:
        path = evidence.path_of(symptom["id"], "causes", cause["id"])
        if _state(symptom, cause, cells) == "ruled_out":
            cell = cells[path]
            out[cause["id"]] = {
                "by": "person",
                "at": cell["at"],
                "why": evidence.text_of(cell["value"], "why"),
            }
        elif not _is_of_car(cause, rules, facts):
            out[cause["id"]] = {"by": "car", "at": "", "why": ""}
    return out


def _is_of_car(cause: SymptomCause, rules: Rules, facts: VisitFacts) -> bool:
    """Whether this car can have the cause: itself, and something that its repair is done to."""
    if not visit_facts.applies(cause.get("applies") or {}, facts):
        return False
    # what a checklist of another day does not know, it does not deny either
    listed = [name for name in cause.get("repair") or [] if name.split("/")[0] in rules["items"]]
    return not listed or repairs.fitting(listed, rules, facts) != ""


def _causes(
    symptom: Symptom,
    results: dict[str, str],
    weights: Weights,
    out: dict[str, RuledOut],
    cells: Cells,
    rules: Rules,
    facts: VisitFacts,
) -> list[ComplaintCause]:
    """Those that were found first, then by chance, those that are ruled out last."""
    total = chances.total_of(weights)
    rates = _rates(rules, facts, cells)
    by_id = {cause["id"]: cause for cause in symptom["causes"]}
    first: list[ComplaintCause] = []
    rest: list[ComplaintCause] = []
    last: list[ComplaintCause] = []
    for ranked in chances.rank(symptom, results, dict.fromkeys(out, True)):
        cause = by_id[ranked["id"]]
        row: ComplaintCause = {
            "id": cause["id"],
            "title": title("cause", symptom["id"], cause["id"], cause["title"]),
            "standing": chances.standing(weights[cause["id"]], total),
            "tenths": ranked["tenths"],
            "before": ranked["before"],
            "factors": ranked["factors"],
            "repair": None,
            "grades": [],
            "then": cause.get("then") or "",
            "harmless": cause.get("harmless") or False,
        }
        if cause["id"] in out:
            row["standing"] = "ruled_out"
            row["ruled_out"] = out[cause["id"]]
            last.append(row)
            continue
        repair = repairs.fitting(cause.get("repair") or [], rules, facts)
        if repair:
            row["repair"] = repairs.priced(repair, rules, rates)
            row["grades"] = repairs.grades_of(repair, rules)
        elif not row["harmless"] and not row["then"]:
            row["grades"] = list(repairs.GRADES)
        if _state(symptom, cause, cells) == "found":
            row["standing"] = "found"
            first.append(row)
        else:
            rest.append(row)
    return first + rest + last


def _rates(rules: Rules, facts: VisitFacts, cells: Cells) -> RatesOfVisit:
    rate, _ = money.hourly_rate(rules, facts)
    return {
        "rate": rate,
        "percent": remedies.percent(cells),
        "currency": regions.currency(facts),
    }


def _tests(
    symptom: Symptom,
    results: dict[str, str],
    out: dict[str, bool],
    weights: Weights,
    cells: Cells,
    rules: Rules,
    facts: VisitFacts,
) -> tuple[list[TestOffer], list[PassedTest]]:
    """The tests that can change something, the best first; those passed over, and why."""
    tests = {test["id"]: test for test in symptom["tests"]}
    lacking = {}
    for path in cells:
        if path.startswith("trouble/tools/") and cells[path]["value"] == "missing":
            lacking[path.split("/")[2]] = True
    offered: list[TestOffer] = []
    passed: list[PassedTest] = []
    ranked = {}
    for row in chances.next_tests(symptom, results, out):
        name, test = row["id"], tests[row["id"]]
        ranked[name] = True
        skipped = cells.get(evidence.path_of(symptom["id"], "skipped", name))
        missing = [tool for tool in test.get("tools") or [] if tool in lacking]
        if not _fits(test, rules, facts):
            passed.append({"id": name, "why": "car", "tools": []})
        elif skipped is not None and skipped["value"] is True:
            passed.append({"id": name, "why": "skipped", "tools": []})
        elif missing:
            passed.append({"id": name, "why": "tool", "tools": missing})
        else:
            offered.append(
                {
                    "id": name,
                    "gain": row["gain"],
                    "per_minute": row["per_minute"],
                    "tells": _tells(symptom, test, weights),
                }
            )
    for test in symptom["tests"]:
        if test["id"] not in results and test["id"] not in ranked:
            passed.append({"id": test["id"], "why": "nothing", "tools": []})
    return offered, passed


def _fits(test: SymptomTest, rules: Rules, facts: VisitFacts) -> bool:
    """Whether the car has what the test is done to."""
    if not visit_facts.applies(test.get("applies") or {}, facts):
        return False
    rule = rules["items"].get(test.get("takes") or "")
    return rule is None or not visit_facts.contradicts(rule, facts)


def _tells(symptom: Symptom, test: SymptomTest, weights: Weights) -> Said:
    """Which causes a test tells apart: of those that are left, the pair it does most about."""
    best = -1
    pair: list[str] = []
    names = [name for name in chances.order_of(weights) if weights[name] > 0]
    likely = test["likely"]
    rows = [likely[name] if name in likely else likely["other"] for name in names]
    for n in range(len(names)):
        for m in range(n + 1, len(names)):
            both = weights[names[n]] * weights[names[m]]
            if 100 * both <= best:
                break  # were they wholly apart: what follows weighs less still
            if rows[n] is rows[m]:
                continue  # it tells nothing of the two
            score = both * chances.apart(rows[n], rows[m])
            if score > best:
                best, pair = score, [names[n], names[m]]
    own = [name for name in pair if name in likely]
    if len(own) == 1 or len(pair) < 2:
        about = own[0] if own else (names[0] if names else symptom["causes"][0]["id"])
        return said("trouble-tells-whether", {"cause": _named(symptom, about)})
    args: dict[str, SaidArgument] = {
        "one": _named(symptom, pair[0]),
        "other": _named(symptom, pair[1]),
    }
    return said("trouble-tells-apart", args)


def _named(symptom: Symptom, name: str) -> SaidTitle:
    """A cause's title, for whoever reads."""
    for cause in symptom["causes"]:
        if cause["id"] == name:
            return title("cause", symptom["id"], name, cause["title"])
    return title("cause", symptom["id"], name, name)
