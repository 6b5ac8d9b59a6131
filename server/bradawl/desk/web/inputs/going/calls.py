"""The forms of a call and of a look-up."""

from __future__ import annotations

import dataclasses

from bradawl.desk.model.changes import Puts
from bradawl.desk.model.typed_values import FieldError, day
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.ads import new_id
from bradawl.desk.web.visit_page import FormRequest
from bradawl.inspection.going.calls import (
    Answered,
    Call,
    answered,
    calls_of,
    puts_of_answer,
    puts_of_call,
    questions_of,
)
from bradawl.inspection.going.lookups import RESULTS
from bradawl.inspection.offer.claims import TELLERS
from bradawl.language import message, text

#: Nobody says an ad on the phone.
SPOKEN = tuple(one for one in TELLERS if one != "ad")


def _day(posted: FormRequest, name: str, label: str) -> str:
    return day(forms.date_text(posted.form, name) or posted.desk.today(), text(label))


def call_typed(posted: FormRequest) -> Puts:
    """A call: with whom, and of each question that was changed what was said to it."""
    cells = posted.snapshot.cells
    known = {call.id: call for call in calls_of(cells)}
    before = known.get(forms.text(posted.form, "call", 40))
    call = Call(before.id if before else new_id(), posted.desk.today(), "seller", "")
    with posted.problems.of("who"):
        who = forms.text(posted.form, "who", 10)
        call = dataclasses.replace(call, who=who if who in SPOKEN else "other")
    with posted.problems.of("name"):
        call = dataclasses.replace(call, name=forms.text(posted.form, "name", 80))
    with posted.problems.of("called-on"):
        call = dataclasses.replace(call, date=_day(posted, "called-on", "before-calls-when"))
    puts: Puts = []
    for question in questions_of(posted.snapshot.bundle):
        name = f"q-{question['id']}"
        with posted.problems.of(f"words-{question['id']}"):
            words = forms.text(posted.form, f"words-{question['id']}", 400)
            ticked = posted.form.getlist(name)
            own = tuple(a["id"] for a in question["answers"] if a["id"] in ticked)
            to = Answered(own if question["many"] else own[:1], words)
            stands = answered(cells, call, question) if before else Answered()
            if forms.is_changed(
                posted.form, name, to.plain, stands.plain, question["title"], posted.problems
            ):
                puts += puts_of_answer(cells, call, question, to)
    if before is None and not puts:
        with posted.problems.of("call"):
            raise FieldError(message("before-calls-empty"))
    if before is None or (before.who, before.name, before.date) != (call.who, call.name, call.date):
        puts = puts_of_call(cells, call) + puts
    return puts


def lookup_typed(posted: FormRequest, name: str) -> Puts:
    """A look-up of a kind that the checklist has: its result, its day and what it says."""
    kinds = [row["id"] for row in posted.snapshot.bundle["rules"].get("lookups") or ()]
    start = f"lookups/{name}"
    puts: Puts = []
    with posted.problems.of("kind"):
        kind = forms.text(posted.form, "kind", 80)
        if kind not in kinds:
            raise FieldError(message("before-lookup-no-kind"))
        puts.append((f"{start}/kind", kind))
    with posted.problems.of("result"):
        result = forms.text(posted.form, "result", 20)
        if result not in RESULTS:
            raise FieldError(message("before-lookup-no-result"))
        puts.append((f"{start}/result", result))
    with posted.problems.of("looked-on"):
        puts.append((f"{start}/date", _day(posted, "looked-on", "before-lookup-date")))
    with posted.problems.of("note"):
        if note := forms.text(posted.form, "note", 2000):
            puts.append((f"{start}/note", note))
    return puts
