"""The table of ASVS items in the README is about tests that exist."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import bradawl.access

ROOT = Path(__file__).parents[2]
README = Path(bradawl.access.__file__).parent / "README.md"


def rows() -> list[tuple[str, str, str]]:
    """Items, how they are met, tests: each row of the table."""
    table = README.read_text(encoding="utf-8").split("## OWASP ASVS 5.0")[1]
    found = [
        tuple(cell.strip() for cell in line.strip("|").split("|"))
        for line in table.splitlines()
        if re.match(r"\| \d", line)
    ]
    assert all(len(row) == 3 for row in found)
    return [(row[0], row[1], row[2]) for row in found]


def names_in(folder: Path, name: str) -> list[str]:
    """The tests of the one file of that name below a folder."""
    (file,) = folder.rglob(f"test_{name}.py")
    return re.findall(r"^def test_(\w+)", file.read_text(encoding="utf-8"), re.MULTILINE)


@pytest.mark.parametrize(("items", "how", "tests"), rows(), ids=lambda cell: cell[:12])
def test_every_item_is_met_by_tests_that_exist(items: str, how: str, tests: str) -> None:
    # ASVS 5.0 numbers: chapter, section, requirement.
    assert re.fullmatch(r"(\d+\.\d+\.\d+(, |–|$))+", items), items
    if tests == "–":
        assert how.startswith("deviates"), "What no test shows must be said to deviate."
        return
    for reference in tests.split("; "):
        place, _, words = reference.partition(": ")
        folder, _, name = place.rpartition(" ")
        names = names_in(ROOT / (folder or "tests/access"), name)
        wanted = words.replace(" ", "_")
        hits = [one for one in names if all(word in one.split("_") for word in words.split())]
        assert hits, f"No test of {place} has {wanted} in its name."


def test_the_table_reaches_every_chapter_that_has_something_to_say_here() -> None:
    chapters = {int(number) for items, _, _ in rows() for number in re.findall(r"(\d+)\.", items)}
    # 1 encoding, 9 self-contained tokens, 10 OAuth, 15 code, 17 WebRTC: nothing of those here.
    assert {2, 3, 4, 5, 6, 7, 8, 11, 12, 13, 14, 16} <= chapters
