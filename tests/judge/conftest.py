"""Both engines behind one door: the judge here, and the judge as the phone runs it."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from bradawl.judge import ask
from tests.judge.engines.micropython import MicroPython

Ask = Callable[[dict[str, Any]], Any]


@pytest.fixture(scope="session")
def phone() -> Iterator[MicroPython]:
    """The judge under MicroPython, one process for all tests."""
    with MicroPython() as engine:
        yield engine


@pytest.fixture(scope="session")
def both(phone: MicroPython) -> Ask:
    """Asks both engines, demands equal answers and gives that answer."""

    def asked(question: dict[str, Any]) -> Any:
        text = json.dumps(question, ensure_ascii=False)
        here = json.loads(ask(text))
        there = json.loads(phone.ask_text(text))
        assert json.dumps(here, sort_keys=True) == json.dumps(there, sort_keys=True)
        return here

    return asked
