"""Every fuzz target, in a small box. A longer one: `python -m tests.fuzz --seconds 600`."""

from __future__ import annotations

import pytest

from tests.fuzz.box import TARGETS, run

CASES = {"events": 1_500, "checklists": 400, "photos": 300, "verify": 30, "visits": 1}


@pytest.mark.parametrize("name", TARGETS)
def test_nothing_that_is_read_breaks_the_reader(name: str) -> None:
    tally = run(name, cases=CASES[name])
    assert tally.broken is None, str(tally)
    assert tally.invariant.startswith("Invariant: ")
