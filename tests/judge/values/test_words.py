"""Grades in their order, and sources in words: what phone, desk and paper all say alike."""

from __future__ import annotations

import itertools

import pytest

from bradawl.judge.grading import limits
from bradawl.judge.values import words


def test_what_nobody_inspected_is_worse_than_no_fault() -> None:
    """The owner's rule: unknown is never fine. No grade at all is milder than any."""
    expected = [None, "none", "uninspected", "minor", "major", "dangerous"]
    for (n, grade), (m, other) in itertools.product(enumerate(expected), repeat=2):
        assert limits.is_worse(grade, other) == (n > m)


def test_every_grade_has_its_word_and_its_place() -> None:
    assert sorted(words.GRADES) == sorted(words.SEVERITY) == sorted(words.GRADE_WORDS)
    assert [grade for grade in words.SEVERITY if grade in words.FAULTS] == list(words.FAULTS)


SOURCES = {
    "law": {"title": "49 CFR 570.5", "section": "section (g)", "status": "read"},
    "whole": {"title": "49 CFR 570.7(a)", "section": "(a)", "status": "memory"},
    "bare": {"title": "A book"},
}


@pytest.mark.parametrize(
    ("name", "text", "line"),
    [
        ("law", "49 CFR 570.5, section (g)", "49 CFR 570.5, section (g)"),
        ("whole", "49 CFR 570.7(a)", "49 CFR 570.7(a) (from memory)"),
        ("bare", "A book", "A book"),
        ("practice", "common practice, no source", "common practice, no source"),
        ("assumption", "our own assumption", "our own assumption"),
        ("elsewhere", "elsewhere", "elsewhere"),
        ("", "", ""),
    ],
)
def test_a_source_in_words(name: str, text: str, line: str) -> None:
    assert words.source_text(name, SOURCES) == text
    assert words.source_line(name, SOURCES) == line
