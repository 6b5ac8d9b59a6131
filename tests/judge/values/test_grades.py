"""Grades in their order."""

from __future__ import annotations

import itertools

from bradawl.judge.grading import limits
from bradawl.judge.values import grades


def test_what_nobody_inspected_is_worse_than_no_fault() -> None:
    """The owner's rule: unknown is never fine. No grade at all is milder than any."""
    expected = [None, "none", "uninspected", "minor", "major", "dangerous"]
    for (n, grade), (m, other) in itertools.product(enumerate(expected), repeat=2):
        assert limits.is_worse(grade, other) == (n > m)


def test_every_grade_has_its_place() -> None:
    assert sorted(grades.GRADES) == sorted(grades.SEVERITY)
    assert [grade for grade in grades.SEVERITY if grade in grades.FAULTS] == list(grades.FAULTS)
