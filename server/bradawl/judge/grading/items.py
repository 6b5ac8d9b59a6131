"""One item's grade: readings, facts, limits, choice and person put together, with every reason.

What is worst counts: among limits, between a choice and a reading, between two people who did not
see each other's answer. Only a person with a reason makes a measured grade milder, and both stay.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..measurements import context, electrical, registry, wires
from ..record import profile, readings
from ..values import grades
from ..values.ascii_text import trimmed
from ..values.saying import grade as graded_as
from ..values.saying import listed, recorded, said, term, title
from . import completeness, limits

if TYPE_CHECKING:
    from ..values.types import (
        Cell,
        Cells,
        Grade,
        ItemJudgment,
        Json,
        Measure,
        Problem,
        Reading,
        Reason,
        ReasonCode,
        Rule,
        SaidArgument,
        VisitFacts,
    )


# What a person's grade does beside what was measured: the first row that fits; "" fits anything.
# Only a reason given after the measuring makes a measured grade milder; a fault stays found.
_PERSON_RULES = (
    # the grade given is          with a reason  measured since  outcome
    ("unseen-fault", "", "", "ignored"),
    ("unseen-ok", "", "yes", "ignored"),
    ("unseen-ok", "", "", "unseen"),
    ("unseen-nothing", "", "", "unseen"),
    ("worse", "", "", "stands"),
    ("same", "", "", "agrees"),
    ("milder", "yes", "no", "overrules"),
    ("milder", "", "", "refused"),
)


#: The code of the problem that answers contradict one another.
CONTRADICTION = "contradiction"
#: Said of a grade that was given to several checks at once.
TOGETHER = term("together")


def blank() -> ItemJudgment:
    """The judgment of an item that nobody has touched."""
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


def graded(item: str, cells: Cells) -> tuple[Grade | None, SaidArgument]:
    """The grade that a person gave an item, and the reason given for it ("" for none)."""
    return _person(item, cells, [])


def _person(item: str, cells: Cells, problems: list[Problem]) -> tuple[Grade | None, SaidArgument]:
    """The person's grade and reason; of several unseen ones the worst."""
    path = "items/" + item + "/grade"
    worst: Grade | None = None
    given_at = ""
    together = False
    if path not in cells:
        return None, ""
    for value, at in _candidates(cells[path]):
        grade = _grade_in(value)
        if grade is None:
            known = listed([graded_as(name) for name in grades.GRADES], "or")
            problems.append(readings.problem("grade", "grade", {"grades": known}, path))
        elif limits.is_worse(grade, worst):
            worst, given_at = grade, at
            together = isinstance(value, dict) and value.get("together") is True
    return worst, _why(item, cells, given_at) or (TOGETHER if together else "")


def _grade_in(value: Json) -> Grade | None:
    """The grade in a recorded {"grade"}, if there is one."""
    if isinstance(value, dict):
        for grade in grades.GRADES:
            if value.get("grade") == grade:
                return grade
    return None


def _candidates(cell: Cell) -> list[tuple[Json, str]]:
    """(value, stamp) of the winner and of what was written unseen beside it, not taken back."""
    written = [(cell["value"], cell["at"])]
    written.extend([(other["value"], other["at"]) for other in cell["others"]])
    return [(value, at) for value, at in written if value is not None]


def _why(item: str, cells: Cells, given_at: str) -> SaidArgument:
    """The reason for the grade of that stamp; one that is older was said of another grade.

    An erased reason was given, and still counts as one.
    """
    cell = cells.get("items/" + item + "/why")
    if cell is None:
        return ""
    if cell.get("erased"):
        return term("erased-reason") if cell["at"] >= given_at else ""
    reason: SaidArgument = ""
    for value, at in _candidates(cell):
        why = trimmed(value) if isinstance(value, str) else recorded(value)
        if why and at >= given_at and (not reason or at[22:] == given_at[22:]):
            reason = why
    return reason


def _choices(
    item: str, rule: Rule, cells: Cells, problems: list[Problem]
) -> tuple[list[str], Grade | None, list[Reason]]:
    """The choice that holds and those written unseen, their worst grade, and its reason."""
    path = "items/" + item + "/choice"
    if path not in cells:
        return [], None, []
    offered = {}
    for choice in rule.get("choices") or []:
        offered[choice["id"]] = choice
    chosen: list[str] = []
    worst: Grade | None = None
    reasons: list[Reason] = []
    for value in readings.candidates(cells[path]):
        if not isinstance(value, str) or value not in offered:
            problems.append(readings.problem("choice", "choice", {}, path))
            continue
        if value not in chosen:
            chosen.append(value)
        choice = offered[value]
        grade = choice.get("grade")
        if limits.is_worse(grade, worst):
            worst = grade
            sentence = said("reason-choice", {"choice": title("choice", item, value)})
            source = choice.get("source") or ""
            reasons = [{"code": "choice", "said": sentence, "source": source}]
    return chosen, worst, reasons


def judge(
    item: str, rule: Rule, cells: Cells, visit: VisitFacts, shown: str = "all"
) -> tuple[ItemJudgment, list[Measure], list[str]]:
    """(the public judgment, its measures, the choices) of one item from its own cells.

    `shown`: which of its facts are put into words, a fifth of the work: "all", those "worked" out
    of readings, "none".
    """
    judgment = blank()
    measures, problems = readings.read(item, rule, cells)
    choices, choice_grade, choice_reasons = _choices(item, rule, cells, problems)
    own, more_problems, read_in = profile.figures(item, rule, measures, visit)
    measures = measures + own
    problems.extend(more_problems)
    visit = electrical.with_volts(measures, visit)
    measures = measures + _computed(item, rule, cells, measures, choices, visit, problems)
    grade: Grade | None
    grade, reasons, more_problems = limits.judge(rule.get("limits") or [], measures, visit)
    problems.extend(more_problems)
    judgment["by"] = "reading"
    missing = profile.wanted(rule, measures)
    practice: list[Reason] = []
    if grade is None and completeness.is_settled(rule, measures, choices, problems, visit):
        names = rule.get("settled_by") or []
        practice = limits.within(rule.get("limits") or [], measures, visit, names)
        if not missing:
            grade, reasons, practice = "none", practice, []
    read_grade = grade
    if limits.is_worse(choice_grade, grade):
        grade, judgment["by"] = choice_grade, "choice"
        reasons = choice_reasons + [reason for reason in reasons if reason["code"] == "limit"]
    else:
        reasons = reasons + choice_reasons
    if missing and grade == "none":
        grade = None
    judgment["measured"] = judgment["grade"] = grade
    judgment["reasons"] = reasons + read_in
    if grade is None:
        judgment["by"] = None
    person = _person(item, cells, problems)
    unknown = profile.unknown(rule, measures) if person[0] == "none" and grade is None else []
    more_problems = []
    if grade is None and person[0] is None:
        more_problems = completeness.problems(item, rule, measures, problems, visit)
        problems.extend(more_problems)
    if grade is None and missing and not more_problems and not unknown:
        problems.append(_no_figure(item, missing, practice))
    is_outdated = _is_measured_since(item, cells)
    _hear_person(judgment, person, is_outdated, problems, item)
    if unknown and judgment["grade"] == "none":
        _call_by_eye(item, judgment, unknown)
    if not rule.get("separate") and (is_outdated or not _is_reasoned(person)):
        _ask_which(item, read_grade, choice_grade, problems)
    if judgment["grade"] is not None:
        judgment["state"] = "uninspected" if judgment["grade"] == "uninspected" else "done"
    _say_facts(judgment, rule, measures, shown)
    judgment["problems"] = problems
    start = "items/" + item + "/"
    for path in cells:
        if path.startswith(start) and cells[path]["others"]:
            judgment["conflict"] = True
    return judgment, measures, choices


def _computed(
    item: str,
    rule: Rule,
    cells: Cells,
    measures: list[Measure],
    choices: list[str],
    visit: VisitFacts,
    problems: list[Problem],
) -> list[Measure]:
    """What the item's computation makes of the readings, and its wires; adds to `problems`."""
    facts, more_problems = registry.compute(item, rule, measures, choices, visit)
    problems.extend(more_problems)
    if "wires" in (rule.get("answers") or []):
        of_wires, more_problems = wires.find(item, cells, visit)
        facts = facts + of_wires
        problems.extend(more_problems)
    return facts


def _say_facts(judgment: ItemJudgment, rule: Rule, measures: list[Measure], shown: str) -> None:
    typed = [reading["id"] for reading in rule.get("readings") or []] if shown != "all" else []
    for measure in measures if shown != "none" else []:
        if measure["of"] not in typed:
            judgment["facts"][readings.name(measure)] = context.public(measure)


def _no_figure(item: str, missing: list[Reading], practice: list[Reason]) -> Problem:
    """That the car's own figure is not known, and what practice says of what was measured."""
    names = listed([title("reading", item, reading["id"]) for reading in missing])
    name = "no-figure-practice" if practice else "no-figure"
    path = "car/" + str(missing[0].get("figure"))
    problem = readings.problem("no_figure", name, {"readings": names}, path)
    problem["said"]["then"] = [reason["said"] for reason in practice] + profile.advice(missing)
    return problem


def _call_by_eye(item: str, judgment: ItemJudgment, unknown: list[Reading]) -> None:
    """Name an OK for what it is where the limit is the car's own and nobody knows it: by eye."""
    judgment["by"] = "eye"
    sentence = judgment["reasons"][0]["said"]
    names = listed([title("reading", item, reading["id"]) for reading in unknown])
    args: dict[str, SaidArgument] = {"readings": names}
    why = sentence["args"].get("why") if "args" in sentence else None
    if why is not None:
        args["why"] = why
    judgment["reasons"][0]["said"] = said("reason-eye" if why is None else "reason-eye-why", args)


def _is_reasoned(person: tuple[Grade | None, SaidArgument]) -> bool:
    """Whether a person rated what was found, and said why."""
    grade, why = person
    return grade not in (None, "uninspected") and why not in ("", TOGETHER)


def _ask_which(
    item: str, read: Grade | None, chosen: Grade | None, problems: list[Problem]
) -> None:
    """Ask where the answer says that nothing is wrong and the figures say otherwise, or reverse.

    Nothing is asked of two faults, or of figures that alone settle nothing.
    """
    if read in grades.FAULTS and chosen == "none":
        name, fault = "contradiction-read", read
    elif chosen in grades.FAULTS and read == "none":
        name, fault = "contradiction-chosen", chosen
    else:
        return
    problems.append(
        readings.problem(
            CONTRADICTION, name, {"grade": graded_as(fault)}, "items/" + item + "/choice"
        )
    )


def _is_measured_since(item: str, cells: Cells) -> bool:
    """Whether something was read or chosen after the person gave the grade."""
    start = "items/" + item + "/"
    grade = cells.get(start + "grade")
    if grade is None:
        return False
    for path in cells:
        measured = path == start + "choice"
        for kind in ("readings/", "wires/"):
            measured = measured or path.startswith(start + kind)
        if measured and cells[path]["value"] is not None and cells[path]["at"] > grade["at"]:
            return True
    return False


def _comparison(given: Grade, measured: Grade | None) -> str:
    """The grade given against the measured one, as the first column of _PERSON_RULES has it."""
    if given == "uninspected":
        if measured is None:
            return "unseen-nothing"
        return "unseen-fault" if measured in grades.FAULTS else "unseen-ok"
    if given == measured:
        return "same"
    return "milder" if limits.is_worse(measured, given) else "worse"


def _outcome(given: Grade, measured: Grade | None, has_reason: bool, outdated: bool) -> str:
    case = (
        _comparison(given, measured),
        "yes" if has_reason else "no",
        "yes" if outdated else "no",
    )
    for comparison, reason, since, outcome in _PERSON_RULES:
        if comparison == case[0] and reason in ("", case[1]) and since in ("", case[2]):
            return outcome
    raise ValueError("no row of _PERSON_RULES fits %s, %s, %s" % case)


def _hear_person(
    judgment: ItemJudgment,
    person: tuple[Grade | None, SaidArgument],
    outdated: bool,
    problems: list[Problem],
    item: str,
) -> None:
    """Let the person's grade count beside what was measured, as _PERSON_RULES say.

    `outdated`: something was measured after the person gave it; it cannot make that milder.
    """
    given, why = person
    if given is None:
        return
    measured = judgment["measured"]
    # marked OK with the rest: said, and no reason to call a measured fault milder
    outcome = _outcome(given, measured, why not in ("", TOGETHER), outdated)
    if outcome == "ignored":
        return
    path = "items/" + item + "/grade"
    if outcome == "refused" and measured is not None:
        name = "why-wanted-again" if outdated else "why-wanted"
        args: dict[str, SaidArgument] = {"measured": graded_as(measured), "given": graded_as(given)}
        problems.append(readings.problem("why_wanted", name, args, path))
        return
    if outcome == "unseen" and not why:
        problems.append(readings.problem("why_wanted", "why-unseen", {}, path))
    if outcome != "agrees":
        judgment["grade"], judgment["by"] = given, "person"
        judgment["overruled"] = outcome != "unseen" and measured is not None
    code: ReasonCode = "not_inspected"
    args = {}
    if outcome != "unseen":
        code = "overruled" if outcome == "overrules" else "person"
        args["grade"] = graded_as(given)
    if why:
        args["why"] = why.rstrip(".") if isinstance(why, str) else why
    name = ("reason-unseen" if outcome == "unseen" else "reason-person") + ("-why" if why else "")
    judgment["reasons"].insert(0, {"code": code, "said": said(name, args), "source": ""})
