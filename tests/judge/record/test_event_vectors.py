"""Both engines make of events what event_vectors.json says.

Its oracle is tests/log/sync/reference.py.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from bradawl.inspection.seals import hashed
from bradawl.judge import canonical
from tests.judge.conftest import Ask

FILE = json.loads(
    (Path(__file__).parents[2] / "log/format/event_vectors.json").read_text(encoding="utf-8")
)


def each(part: str) -> Any:
    return pytest.mark.parametrize("case", FILE[part], ids=lambda case: case["name"])


@each("value_texts")
def test_the_text_of_a_shown_value(both: Ask, case: dict[str, Any]) -> None:
    text = both({"ask": "canonical", "value": case["shown"]})["text"]
    if case["shown"] == case["value"]:
        assert text == case["text"]
    assert json.loads(text) == case["shown"]


@each("folds")
def test_what_stands(both: Ask, case: dict[str, Any]) -> None:
    for events in (case["events"], case["events"][::-1] + case["events"][:2]):
        answer = both({"ask": "fold", "events": events, "orders": case["orders"]})
        # as texts: 1 and true are equal in Python and nowhere else
        assert canonical(answer["cells"]) == canonical(case["cells"])
        assert answer["live"] == case["live"]
        made_of = both({"ask": "leaves", "events": events})["leaves"]
        leaves = sorted(hashed(canonical([kind, hashed(text)])) for kind, text in made_of)
        assert leaves == case["leaves"]


@each("orders")
def test_what_the_shop_ordered(both: Ask, case: dict[str, Any]) -> None:
    answer = both({"ask": "orders", "events": case["events"], "shop": case["shop"]})
    assert answer["orders"] == case["orders"]


@each("seals")
def test_a_seal_without_its_signature(both: Ask, case: dict[str, Any]) -> None:
    assert both({"ask": "unsigned", "seal": case["seal"]})["text"] == case["unsigned_text"]
