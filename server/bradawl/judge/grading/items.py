"""One item's grade: readings, facts, limits, choice and person put together, with every reason.

What is worst counts: among limits, between a choice and a reading, between two people who did not
see each other's answer. Only a person with a reason makes a measured grade milder, and both stay.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..measurements import context, registry
from ..record import readings
from ..record.visit_facts import whole
from ..values import words
from ..values.ascii_text import all_digits, trimmed
from . import limits

if TYPE_CHECKING:
    from ..values.types.loose import Cell, Cells, Json, Measure, Rule


def blank() -> Json:
    """The judgement of an item that nobody has touched."""
    return {
        "applies": True,
        "asked": True,
        "state": "open",
        "grade": None,
        "by": None,
        "measured": None,
        "overruled": False,
        "reasons": [],
        "facts": {},
        "problems": [],
        "conflict": False,
    }


def _reason(code: str, text: str, source: str = "practice") -> Json:
    return {"code": code, "text": text, "source": source}


def graded(item: str, cells: Cells) -> tuple[str | None, str]:
    """The grade that a person gave an item, and the reason given for it ("" for none)."""
    return _person(item, cells, [])


def _person(item: str, cells: Cells, problems: list[Json]) -> tuple[str | None, str]:
    """The person's grade and reason; of several unseen ones the worst."""
    path = "items/" + item + "/grade"
    grade: str | None = None
    given_at = ""
    if path not in cells:
        return None, ""
    for value, at in _candidates(cells[path]):
        given = value.get("grade") if isinstance(value, dict) else None
        if not isinstance(given, str) or given not in words.GRADES:
            text = "There is a grade that does not exist; right would be one of: %s." % (
                ", ".join([words.GRADE_WORDS[name] for name in words.GRADES])
            )
            problems.append(readings.problem("grade", text, path))
        elif limits.is_worse(given, grade):
            grade, given_at = given, at
    return grade, _why(item, cells, given_at)


def _candidates(cell: Cell) -> list[tuple[Any, str]]:
    """(value, stamp) of the winner and of what was written unseen beside it, not taken back."""
    held = [(cell["value"], cell["at"])] + [(one["value"], one["at"]) for one in cell["others"]]
    return [(value, str(at)) for value, at in held if value is not None]


def _why(item: str, cells: Cells, given_at: str) -> str:
    """The reason for the grade of that stamp; one that is older was said of another grade.

    An erased reason was given, and still counts as one.
    """
    cell = cells.get("items/" + item + "/why")
    if cell is None:
        return ""
    if cell.get("erased"):
        return words.ERASED_REASON if cell["at"] >= given_at else ""
    found = ""
    for value, at in _candidates(cell):
        why = trimmed(value) if isinstance(value, str) else ""
        if why and at >= given_at and (not found or at[22:] == given_at[22:]):
            found = why
    return found


def _choices(
    item: str, rule: Rule, cells: Cells, problems: list[Json]
) -> tuple[list[str], str | None, list[Json]]:
    """The choice that holds and those written unseen, their worst grade, and its reason."""
    path = "items/" + item + "/choice"
    if path not in cells:
        return [], None, []
    known = {}
    for choice in rule.get("choices") or []:
        known[choice["id"]] = choice
    chosen: list[str] = []
    grade: str | None = None
    reasons: list[Json] = []
    for value in readings.candidates(cells[path]):
        if not isinstance(value, str) or value not in known:
            text = "There is an answer that this item does not offer."
            problems.append(readings.problem("choice", text, path))
            continue
        if value not in chosen:
            chosen.append(value)
        given = known[value].get("grade")
        if limits.is_worse(given, grade):
            grade = given
            title = known[value].get("title") or words.capital(words.plain(value))
            source = known[value].get("source") or "practice"
            reasons = [_reason("choice", "Answer: %s." % title, source)]
            reasons[0]["short"] = title + "."
    return chosen, grade, reasons


def settled(rule: Rule, measures: list[Measure], choices: list[str], visit: Json) -> bool:
    """Whether every name that decides the item is there: a reading at all its places, or a fact.

    Places that are bare numbers are cylinders: those that the car does not have are not missed.
    """
    wanted = rule.get("settled_by") or []
    if not wanted:
        return False
    have = {}
    for found in measures:
        have[readings.key(found)] = True
        have[found["of"]] = True
    for reading in rule.get("readings") or []:
        if reading["id"] in wanted:
            for place in reading.get("at") or []:
                missing = reading["id"] + "." + place not in have
                if missing and not _beyond(place, visit["car"].get("cylinders")):
                    return False
    for name in wanted:
        if name not in have and not (name == "choice" and choices):
            return False
    return True


def _beyond(place: str, cylinders: Any) -> bool:
    count = whole(cylinders)
    return count is not None and all_digits(place) and int(place) > count


def judge(
    item: str, rule: Rule, cells: Cells, visit: Json
) -> tuple[Json, list[Measure], list[str]]:
    """(the public judgement, its measures, the choices) of one item from its own cells."""
    judged = blank()
    measures, problems = readings.read(item, rule, cells)
    choices, choice_grade, choice_reasons = _choices(item, rule, cells, problems)
    found, troubles = registry.compute(rule, measures, choices, visit)
    measures = measures + found
    problems.extend(troubles)
    grade, reasons, troubles = limits.judge(rule.get("limits") or [], measures, visit)
    problems.extend(troubles)
    by = "reading"
    if grade is None and settled(rule, measures, choices, visit):
        grade = "none"
        names = rule.get("settled_by") or []
        reasons = limits.within(rule.get("limits") or [], measures, visit, names)
    if choice_grade is not None:
        if limits.is_worse(choice_grade, grade):
            grade, by = choice_grade, "choice"
            reasons = choice_reasons + [one for one in reasons if one["code"] == "limit"]
        else:
            reasons = reasons + choice_reasons
    judged.update({"measured": grade, "grade": grade, "reasons": reasons})
    judged["by"] = None if grade is None else by
    _hear(judged, _person(item, cells, problems), _measured_since(item, cells), problems, item)
    if judged["grade"] is not None:
        judged["state"] = "uninspected" if judged["grade"] == "uninspected" else "done"
    for one in measures:
        judged["facts"][readings.name(one)] = context.public(one)
    judged["problems"] = problems
    start = "items/" + item + "/"
    for path in cells:
        if path.startswith(start) and cells[path]["others"]:
            judged["conflict"] = True
    return judged, measures, choices


def _measured_since(item: str, cells: Cells) -> bool:
    """Whether something was read or chosen after the person gave the grade."""
    start = "items/" + item + "/"
    graded = cells.get(start + "grade")
    if graded is None:
        return False
    for path in cells:
        measured = path.startswith(start + "readings/") or path == start + "choice"
        if measured and cells[path]["value"] is not None and cells[path]["at"] > graded["at"]:
            return True
    return False


def _hear(
    judged: Json, person: tuple[str | None, str], outdated: bool, problems: list[Json], item: str
) -> None:
    """Let the person's word count beside what was measured.

    `outdated`: something was measured after the person spoke; that word cannot make it milder.
    """
    given, why = person
    if given is None:
        return
    path = "items/" + item + "/grade"
    measured = judged["measured"]
    reason = (": %s." % why.rstrip(".")) if why else "."
    if given == "uninspected":
        if measured in words.FAULTS or (outdated and measured is not None):
            return  # a fault that a reading has found stays found
        if not why:
            text = "Say why this was not inspected."
            problems.append(readings.problem("why_wanted", text, path))
        judged["grade"], judged["by"] = given, "person"
        judged["reasons"].insert(0, _reason("not_inspected", "Not inspected" + reason))
        return
    said = "Graded %s by the inspector%s" % (words.GRADE_WORDS[given], reason)
    if not limits.is_worse(measured, given):
        if given != measured:
            judged["grade"], judged["by"] = given, "person"
            judged["overruled"] = measured is not None
        judged["reasons"].insert(0, _reason("person", said))
    elif why and not outdated:
        judged["grade"], judged["by"], judged["overruled"] = given, "person", True
        judged["reasons"].insert(0, _reason("overruled", said))
    else:
        text = "It was measured as %s%s; to call it %s, say why." % (
            words.GRADE_WORDS[measured],
            " after it was graded" if outdated else "",
            words.GRADE_WORDS[given],
        )
        problems.append(readings.problem("why_wanted", text, path))
