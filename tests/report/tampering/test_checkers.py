"""Some doctored reports before everybody who may be asked; all of them in `make proof`.

What other programs say is not tested but measured: the table of it is tracked, and README says no
more than stands there.
"""

from __future__ import annotations

import random
import re
from pathlib import Path

from tests.proof.tampering import ask_all, counted, faults_of, read_table
from tests.report.tampering.checkers import ACCEPTED, GENUINE, OTHERS, OURS
from tests.report.tampering.table import HONEST, TABLE

README = Path(__file__).parents[3] / "README.md"
HONEST_NAMES = [one.name for one in HONEST]


def test_command_and_desk_of_a_shop_take_none_of_them_for_genuine() -> None:
    """The check page is asked of more of them in check_page/test_tampering.py."""
    way = random.Random(3).choice(sorted(TABLE))
    rows = ask_all([HONEST[1], TABLE[way]], with_page=False)
    for name, (command, desk, pdfsig, pyhanko) in rows.items():
        assert command == desk, (name, command, desk)
        assert (command == GENUINE) == (name in HONEST_NAMES), (name, command)
        assert command in (GENUINE, "unknown", "changed")
        assert pdfsig
        assert pyhanko
    assert rows[HONEST[1].name][3] == ACCEPTED  # pyHanko was told the shop's key


def test_the_table_has_every_way_and_ours_take_none_for_good() -> None:
    rows = read_table()
    assert sorted(rows) == sorted([*HONEST_NAMES, *TABLE]), "run `python -m tests.proof tampering`"
    assert faults_of(rows) == []
    counts = counted(rows)
    assert {name: counts[name] for name in OURS} == dict.fromkeys(OURS, 0)
    for name in TABLE:
        assert rows[name][0] == rows[name][1], f"command and desk differ: {name}"


def test_the_readme_says_of_other_readers_what_was_measured() -> None:
    counts = counted(read_table())
    said = " ".join(README.read_text(encoding="utf-8").split())
    found = re.search(
        r"of (\d+) doctored files, (\d+) pass as valid in pdfsig, which .*?, and (\d+) in pyHanko",
        said,
    )
    assert found is not None
    assert [int(one) for one in found.groups()] == [
        len(TABLE), *(counts[name] for name in OTHERS)
    ]  # fmt: skip
