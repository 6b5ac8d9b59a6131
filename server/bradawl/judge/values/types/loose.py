"""Names for the plain JSON shapes that travel through the judge.

Types only: nothing imports this module while running (MicroPython has no `dict[...]`).
The shapes themselves are described where they are made: cells in record.py, facts in facts.py,
item judgements in grading/items.py, the assessment in assessment.py, rules in README.md.
"""

from typing import Any

Event = dict[str, Any]  # the eight fields of one recorded fact
Cell = dict[str, Any]  # {"value", "at", "others": [{"value", "at"}, ...]}
Cells = dict[str, Cell]  # by path
Record = dict[str, Any]  # {"visit", "cells"}
Rules = dict[str, Any]  # bundle["rules"]
Rule = dict[str, Any]  # one item of the rules
Fact = dict[str, Any]  # {"text", "value", "unit"}
Facts = dict[str, Fact]
Exact = tuple[int, int]  # numerator, denominator above 0
Measure = dict[str, Any]  # readings.measure: one figure or word, in base units
Json = dict[str, Any]
