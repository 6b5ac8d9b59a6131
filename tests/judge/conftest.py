"""Both engines behind one door: the judge here, and the judge as the phone runs it."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from bradawl.judge import ask
from tests.judge.contract import validate
from tests.judge.engines.micropython import MicroPython

# what an answer may hold, and its name in the contract
SHAPES = {"assessment": "Assessment", "item": "ItemJudgment", "next": "NextChecks"}

Ask = Callable[[dict[str, Any]], Any]


@pytest.fixture(scope="session")
def phone() -> Iterator[MicroPython]:
    """The judge under MicroPython, one process for all tests."""
    with MicroPython() as engine:
        yield engine


@pytest.fixture(scope="session")
def both(phone: MicroPython) -> Ask:
    """Asks both engines, demands equal answers of the contract's shape, and gives that answer."""

    def asked(question: dict[str, Any]) -> Any:
        text = json.dumps(question, ensure_ascii=False)
        here = json.loads(ask(text))
        there = json.loads(phone.ask_text(text))
        assert json.dumps(here, sort_keys=True) == json.dumps(there, sort_keys=True)
        for key, shape in SHAPES.items():
            if key in here:
                validate(shape, here[key])
        return here

    return asked
