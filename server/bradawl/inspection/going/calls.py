"""Calls before going: what was said to each question, as claims where a check can tell.

calls/<id> says when and with whom, calls/<id>/<question> what no check can tell; an answer that one
can is the claim claims/<id>-<question>-<answer>, as on the phone (`visit/before/going/calls.ts`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bradawl.inspection import cell_values
from bradawl.inspection.offer.claims import TELLERS

if TYPE_CHECKING:
    from bradawl.judge.values.types import CallAnswer, CallQuestion, Cells


@dataclass(frozen=True)
class Call:
    """With whom somebody spoke, and on which day; `at` is the stamp of that entry."""

    id: str
    date: str
    who: str
    name: str
    at: str = ""

    @property
    def teller(self) -> dict[str, str]:
        """Who it was, as a claim has it."""
        return {"role": self.who, **({"name": self.name} if self.name else {})}


@dataclass(frozen=True)
class Answered:
    """What was said to one question: answers by id, in the order of the sheet, and words."""

    answers: tuple[str, ...] = ()
    words: str = ""

    def __bool__(self) -> bool:
        return bool(self.answers or self.words)

    @property
    def plain(self) -> list[Any]:
        return [list(self.answers), self.words]


def calls_of(cells: Cells) -> list[Call]:
    """Every call, the latest last."""
    found = []
    for path, cell in cells.items():
        parts = path.split("/")
        if parts[0] != "calls" or len(parts) != 2 or cell["value"] is None:
            continue
        value = cell_values.mapping(cell["value"])
        role = cell_values.text(value.get("role"))
        date, name = (cell_values.text(value.get(key)) for key in ("date", "name"))
        who = role if role in TELLERS else "other"
        found.append(Call(parts[1], date, who, name, str(cell["at"])))
    return sorted(found, key=lambda call: (call.date, call.at, call.id))


def claim_of(call: Call, question: CallQuestion, answer: CallAnswer) -> str:
    """Below which path the claim stands that an answer is."""
    return f"claims/{call.id}-{question['id']}-{answer['id']}"


def answered(cells: Cells, call: Call, question: CallQuestion) -> Answered:
    """What the record has of one question of a call."""
    noted = cell_values.mapping(cell_values.value(cells, f"calls/{call.id}/{question['id']}"))
    told = cell_values.texts(noted.get("answers"))
    words, answers = cell_values.text(noted.get("words")), []
    for answer in question["answers"]:
        start = claim_of(call, question, answer)
        kind = cell_values.value(cells, f"{start}/kind")
        is_claim = kind is not None and kind == answer.get("claim")
        if is_claim or answer["id"] in told:
            answers.append(answer["id"])
            if is_claim:
                words = words or cell_values.text(cell_values.value(cells, f"{start}/words"))
    return Answered(tuple(answers), words)


def puts_of_call(cells: Cells, call: Call) -> list[tuple[str, Any]]:
    """When and with whom; the claims that were made on that call say so too."""
    puts: list[tuple[str, Any]] = [(f"calls/{call.id}", {**call.teller, "date": call.date})]
    for path, cell in cells.items():
        if path.startswith(f"claims/{call.id}-") and path.endswith("/kind") and cell["value"]:
            start = path.removesuffix("/kind")
            puts += [(f"{start}/who", call.teller), (f"{start}/date", call.date)]
    return puts


def puts_of_answer(
    cells: Cells, call: Call, question: CallQuestion, to: Answered
) -> list[tuple[str, Any]]:
    """What makes the record say `to` of a question, in place of what it says."""
    puts: list[tuple[str, Any]] = []
    notes, has_claim = [], False
    for answer in question["answers"]:
        start, is_chosen = claim_of(call, question, answer), answer["id"] in to.answers
        kind = answer.get("claim")
        if kind is None:
            notes += [answer["id"]] if is_chosen else []
        elif is_chosen:
            has_claim = True
            puts += [(f"{start}/kind", kind), (f"{start}/who", call.teller)]
            puts += [(f"{start}/date", call.date), (f"{start}/words", to.words or None)]
        else:
            puts += [(path, None) for path in cells if path.startswith(f"{start}/")]
    is_noted = bool(notes) or (bool(to.words) and not has_claim)
    noted = {"answers": notes, "words": to.words} if is_noted else None
    puts.append((f"calls/{call.id}/{question['id']}", noted))
    return [(path, value) for path, value in puts if cell_values.value(cells, path) != value]


def against(
    cells: Cells, call: Call, questions: Sequence[CallQuestion]
) -> list[tuple[CallQuestion, CallAnswer]]:
    """What was said that speaks against driving there."""
    return [
        (question, answer)
        for question in questions
        for answer in question["answers"]
        if answer["against"] and answer["id"] in answered(cells, call, question).answers
    ]


def questions_of(bundle: Mapping[str, Any]) -> list[CallQuestion]:
    """The call sheet of a checklist; an older one has none."""
    return list(bundle.get("calls") or ())
