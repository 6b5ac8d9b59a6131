"""What was said on a call, as desk and phone record and read it: one table holds both.

The cases are invented; that an answer which a check can tell is a claim is a rule of ours (common
practice, no source). The app runs the same table (`web/test/app/visit/before/calls.test.ts`).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from bradawl.inspection.going.calls import (
    Answered,
    Call,
    against,
    answered,
    calls_of,
    puts_of_answer,
    puts_of_call,
)
from tests.judge.records import cell

TABLE = json.loads((Path(__file__).parent / "calls.json").read_text(encoding="utf-8"))
CALL = Call(**TABLE["call"])


def cells_of(values: dict[str, Any]) -> Any:
    return {path: cell(value) for path, value in values.items()}


def after(values: dict[str, Any], puts: list[tuple[str, Any]]) -> dict[str, Any]:
    left = {**values, **dict(puts)}
    return {path: value for path, value in left.items() if value is not None}


@pytest.mark.parametrize("case", TABLE["cases"], ids=lambda case: str(case["what"]))
def test_an_answer_becomes_a_claim_or_a_note(case: dict[str, Any]) -> None:
    question = TABLE["questions"][case["question"]]
    to = Answered(tuple(case["to"][0]), case["to"][1])
    puts = puts_of_answer(cells_of(case["cells"]), CALL, question, to)
    assert after(case["cells"], puts) == case["becomes"]
    assert answered(cells_of(case["becomes"]), CALL, question) == to
    assert len(puts) == case.get("writes", len(puts))
    bad = [answer["id"] for _, answer in against(cells_of(case["becomes"]), CALL, [question])]
    assert bad == [name for name in to.answers if case["question"] == "title" and name == "no"]


def test_who_was_on_the_phone_made_the_claims_of_that_call() -> None:
    case = TABLE["cases"][0]
    told = Call("c1", "2026-11-21", "shop", "")
    left = after(case["becomes"], puts_of_call(cells_of(case["becomes"]), told))
    assert left["calls/c1"] == {"role": "shop", "date": "2026-11-21"}
    assert left["claims/c1-title-yes/who"] == {"role": "shop"}
    assert left["claims/c1-title-yes/date"] == "2026-11-21"
    (call,) = calls_of(cells_of(left))
    assert (call.id, call.who, call.date) == ("c1", "shop", "2026-11-21")


@pytest.mark.parametrize("damaged", [7, True, [], "", "words", {"answers": "yes", "words": 7}])
def test_whatever_stands_there_is_read_as_far_as_it_goes(damaged: Any) -> None:
    cells = cells_of({"calls/c1": damaged, "calls/c1/title": damaged, "calls": damaged})
    assert not answered(cells, CALL, TABLE["questions"]["title"])
    assert len(calls_of(cells)) == 1
