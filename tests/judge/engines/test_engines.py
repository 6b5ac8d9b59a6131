"""Both engines give the same answer to whatever the world sends: the law behind one judge.

The oracle is the other engine: CPython for MicroPython, and the other way round.
"""

from __future__ import annotations

import json
import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge import amendments, canonical, fold, leaf_texts, live_ids, photos_of, photos_text
from tests.amount import amount
from tests.judge import strategies
from tests.judge.conftest import Ask
from tests.judge.measurements.test_vectors import FILES
from tests.judge.record.test_folding import histories, values

RULES: dict[str, Any] = {
    "areas": [{"id": file.stem, "title": file.stem} for file in FILES],
    "items": {
        item: {**rule, "area": file.stem, "stage": "outside", "minutes": "2"}
        for file in FILES
        for item, rule in json.loads(file.read_text(encoding="utf-8"))["rules"].items()
    },
}


@pytest.fixture(scope="module")
def loaded(both: Ask) -> Ask:
    both({"ask": "load", "bundle": "vectors", "rules": RULES, "start": True})
    return both


@settings(max_examples=150)
@given(value=values)
def test_canonical_texts_are_equal_under_both_engines(both: Ask, value: Any) -> None:
    assert both({"ask": "canonical", "value": value})["text"] == canonical(value)


@settings(max_examples=150)
@given(events=histories())
def test_random_events_fold_to_equal_records_under_both_engines(
    both: Ask, events: list[dict[str, Any]]
) -> None:
    answer = both({"ask": "fold", "events": events})
    assert canonical(answer["cells"]) == canonical(fold(events))
    assert answer["live"] == live_ids(events)


@settings(max_examples=amount(60, short=20))
@given(seed=st.integers(0, 2**32), items=st.integers(0, 40))
def test_random_records_are_assessed_alike_by_both_engines(
    loaded: Ask, seed: int, items: int
) -> None:
    events = strategies.history(random.Random(seed), RULES, items)
    cells = fold(events)
    answer = loaded(
        {"ask": "assess", "bundle": "vectors", "visit": "v", "cells": cells, "today": "2026-11-25"}
    )
    assert "assessment" in answer, answer
    seal = loaded({"ask": "seal", "cells": cells})
    assert (seal["photos"], seal["count"]) == (photos_text(cells), len(photos_of(cells)))
    assert loaded({"ask": "leaves", "events": events})["leaves"] == leaf_texts(events)
    through = {event["device"]: event["seq"] // 2 for event in events}
    amended = loaded({"ask": "amendments", "events": events, "through": through})
    assert amended["count"] == len(amendments(events, through))


@pytest.mark.parametrize(
    ("question", "code"),
    [
        ("nonsense", "json"),
        ("[]", "ask"),
        ('{"ask":"everything"}', "ask"),
        ('{"ask":"seal"}', "missing"),
        ('{"ask":"canonical","value":0.5}', "float"),
        ('{"ask":"item","bundle":"never loaded","item":"a.b","cells":{},"car":{},"today":""}',
         "not_loaded"),
    ],
)  # fmt: skip
def test_a_question_that_cannot_be_answered_comes_back_as_a_code(
    phone: Any, question: str, code: str
) -> None:
    from bradawl.judge import ask

    for text in (ask(question), phone.ask_text(question)):
        error = json.loads(text)["error"]
        assert error["code"] == code
        assert set(error) == {"code", "about"}


def test_rules_may_be_loaded_in_pieces(both: Ask) -> None:
    for n, item in enumerate(sorted(RULES["items"])):
        piece = {"items": {item: RULES["items"][item]}}
        answer = both({"ask": "load", "bundle": "pieces", "rules": piece, "start": n == 0})
        assert answer["items"] == n + 1
