"""Histories in the files: what reaches the judge, and faults with their lines and remedies."""

from __future__ import annotations

from pathlib import Path

import pytest

from bradawl.checklists.bundling import bundle
from bradawl.checklists.loader import load
from tests.checklists.loading.test_loader import AREA, fault_of, write

HISTORIES = """\
histories:
  - id: crash
    title: Crash damage
    base_percent: 15
    factor: "0.8"
    signs:
      - {item: brakes.hoses, on: [deep, major], unclear: [covered],
         with_percent: 60, without_percent: 12}
    source: practice
"""
HOSES = AREA.replace("brakes.front-pads", "brakes.hoses").replace(
    "    needs: []\n",
    "    answers: [grade, choice]\n    choices:\n"
    "      - {id: deep, title: Deeply cracked, grade: major}\n"
    "      - {id: covered, title: Covered with dirt}\n",
)


def test_a_history_reaches_the_judge_with_its_signs(tmp_path: Path) -> None:
    made = bundle(load(write(tmp_path, HOSES, histories=HISTORIES)))
    assert made["rules"]["histories"] == [
        {
            "id": "crash",
            "title": "Crash damage",
            "base_percent": 15,
            "factor": "0.8",
            "signs": [
                {
                    "item": "brakes.hoses",
                    "on": ["deep", "major"],
                    "unclear": ["covered"],
                    "with_percent": 60,
                    "without_percent": 12,
                }
            ],
            "source": "practice",
        }
    ]


@pytest.mark.parametrize(
    ("right", "wrong", "said"),
    [
        (
            "with_percent: 60",
            "with_percent: 11",
            "brakes.hoses is seen in 11% with it and 12% without; a sign speaks for its history",
        ),
        (
            "with_percent: 60",
            "with_percent: 12",
            "brakes.hoses is seen in 12% with it and 12% without",
        ),
        (
            "with_percent: 60",
            "with_percent: 100",
            "histories.yaml:8: crash, with_percent: 100 is too high; write 99 or less",
        ),
        (
            "without_percent: 12",
            "without_percent: 0",
            "histories.yaml:8: crash, without_percent: 0 is too low; write 1 or more",
        ),
        ("base_percent: 15", "base_percent: 0", "crash, base_percent: 0 is too low"),
        ('factor: "0.8"', 'factor: "0"', "crash, factor: '0' doesn't have the right form"),
        ('factor: "0.8"', 'factor: "1.2"', "crash, factor: '1.2' doesn't have the right form"),
        (
            "brakes.hoses",
            "brakes.hose",
            "histories.yaml:7: there's no item 'brakes.hose'; did you mean 'brakes.hoses'?",
        ),
        (
            "on: [deep, major]",
            "on: [deeper]",
            "brakes.hoses has no answer 'deeper'; write one of deep, covered, minor, major,",
        ),
        (
            "unclear: [covered]",
            "unclear: [minor]",
            "brakes.hoses has no answer 'minor'; write one of deep, covered",
        ),
        ("source: practice", "source: hearsay", "there's no source 'hearsay'"),
    ],
)
def test_a_fault_of_a_history_is_told_with_its_line_and_its_remedy(
    tmp_path: Path, right: str, wrong: str, said: str
) -> None:
    assert right in HISTORIES
    assert said in fault_of(write(tmp_path, HOSES, histories=HISTORIES.replace(right, wrong)))


def test_one_look_is_not_two_signs(tmp_path: Path) -> None:
    lines = HISTORIES.splitlines(keepends=True)
    again = [line.replace("12}", "13}") for line in lines[6:8]]
    twice = "".join([*lines[:8], *again, *lines[8:]])
    told = "histories.yaml:9: brakes.hoses is a sign here twice; one look counts once"
    assert told in fault_of(write(tmp_path, HOSES, histories=twice))
    grouped = twice.replace("12}", "12, group: hose}").replace("13}", "13, group: hose}")
    assert load(write(tmp_path, HOSES, histories=grouped)).histories
