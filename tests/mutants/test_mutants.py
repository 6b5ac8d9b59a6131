"""The tool that changes the code and asks the tests: it finds, changes and judges as it should."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.mutants import running, web
from tests.mutants.__main__ import ACCEPTED, chosen, without_line
from tests.mutants.changes import mutants_of
from tests.mutants.fixed import FIXED

ROOT = Path(__file__).parents[2]
SOURCE = '''"""Words."""
from os import fsync

def keep(file, held, limit=3):
    """Words."""
    if held < limit and not file.closed:
        fsync(file)
        held += 1
    µ = held == 2
    return held
'''
#: What is expected of SOURCE, worked out by hand.
EXPECTED = {
    "held < limit → held <= limit",
    "held < limit and (not file.closed) → held < limit or not file.closed",
    "not file.closed → without not",
    "dropped: if held < limit and (not file.closed)",
    "dropped: fsync(file)",
    "dropped: held += 1",
    "1 → 2",
    "held == 2 → held != 2",
    "2 → 3",
    "return held → return None",
}


def test_every_rule_that_protects_the_record_is_noticed_when_it_is_gone() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tests.mutants.fixed"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.stdout == f"{len(FIXED)} of {len(FIXED)} noticed\n", done.stdout + done.stderr


def test_a_file_is_changed_in_one_place_at_a_time() -> None:
    mutants = mutants_of("thing.py", SOURCE)
    assert {mutant.what for mutant in mutants} == {f"keep: {what}" for what in EXPECTED}
    for mutant in mutants:
        changed = mutant.applied(SOURCE)
        ast.parse(changed)
        assert changed != SOURCE
        before, after = SOURCE.encode(), changed.encode()
        assert after.startswith(before[: mutant.start])
        assert after.endswith(before[mutant.end :])
        assert mutant.function_line == 4


def test_a_sample_is_drawn_again_by_its_seed() -> None:
    paths = ["server/bradawl/log/sync"]
    assert chosen(paths, 20, 5) == chosen(paths, 20, 5)
    assert chosen(paths, 20, 5) != chosen(paths, 20, 6)


def test_tokens_of_the_store_are_found_outside_comments() -> None:
    files = sorted((ROOT / "web" / "src" / "store").rglob("*.ts"))
    mutants = [(file, mutant) for file in files for mutant in web.mutants_of(file)]
    assert len(mutants) > 100
    for file, mutant in mutants:
        line = file.read_text(encoding="utf-8").splitlines()[mutant.line - 1].lstrip()
        assert not line.startswith(("*", "/*", "//")), (file, line)


def test_what_is_accepted_has_a_reason_and_is_still_there() -> None:
    accepted: dict[str, str] = json.loads(ACCEPTED.read_text(encoding="utf-8"))
    assert all(len(reason.split()) >= 4 for reason in accepted.values())
    files = {name.partition(": ")[0] for name in accepted}
    there = {
        mutant.name
        for file in files
        for mutant in mutants_of(file, (ROOT / "server" / file).read_text(encoding="utf-8"))
    }
    assert accepted.keys() - there == set()
    assert without_line("a/b.py:12: 1 → 2: x") == "a/b.py: 1 → 2: x"


def test_code_that_nobody_changed_lives_on_and_a_wrong_change_does_not() -> None:
    """A trial in which pytest itself breaks would count every mutant as noticed."""
    program = (
        "from pathlib import Path\n"
        "from tests.mutants.running import Trial, outcomes\n"
        "file = Path('server/bradawl/report/checking/names.py').resolve()\n"
        "source, tests = file.read_text(), ['tests/report/checking/test_names.py']\n"
        "for one in (source, source.replace('def likeness', 'def unlikeness')):\n"
        "    [(_, became)] = outcomes([Trial('', file, one, tests)], jobs=1, limit_s=120)\n"
        "    print(became)\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, timeout=300
    )
    assert ran.stdout.split()[-2:] == ["survived", "killed"], ran.stdout + ran.stderr


def test_a_trial_in_which_pytest_itself_breaks_is_no_answer() -> None:
    with pytest.raises(RuntimeError, match="no test was asked"):
        running._result(int(pytest.ExitCode.INTERNAL_ERROR))
