"""Every command in the pseudo-locale: what it prints unmarked comes from no catalogue."""

from __future__ import annotations

import argparse
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from bradawl import cli
from bradawl.language import Reader, reading_as
from bradawl.language.catalogue import PSEUDO
from tests.fresh import furnished
from tests.language.unmarked import unmarked

ROOT = Path(__file__).parents[2]

#: Words that may stand unmarked, each with its reason.
ALLOWED = {
    **dict.fromkeys(("bradawl", "Bradawl"), "the name of the program"),
    **dict.fromkeys(("condition", "repaired", "partner", "us", "eu"), "values that are typed"),
    **dict.fromkeys(("check", "page", "phone", "app"), "of the names of commands"),
    "SHA": "the name of a digest",
}


@pytest.fixture(autouse=True)
def in_pseudo(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BRADAWL_LOCALE", PSEUDO)
    monkeypatch.setenv("COLUMNS", "200")


def commands() -> Iterator[tuple[list[str], argparse.ArgumentParser]]:
    """Every command with its words, the whole first."""
    waiting: list[tuple[list[str], argparse.ArgumentParser]] = [([], cli.parser())]
    while waiting:
        words, parser = waiting.pop()
        yield words, parser
        for action in parser._actions:
            if isinstance(action, argparse._SubParsersAction):
                waiting += [([*words, name], one) for name, one in action.choices.items()]


def bare(printed: str) -> list[str]:
    """Lines without paths, options, ids and times of this machine."""
    taken = r"(?<!\w)(--?[a-z][a-z-]*|/\S+|\S+\.(tar|yaml|json|py)\b|\S+://\S+)"
    return [re.sub(taken, "", line) for line in printed.splitlines()]


def test_the_help_of_no_command_has_an_unmarked_word() -> None:
    with reading_as(Reader(PSEUDO)):
        known = list(commands())
        assert len(known) > 12
        names = {part for words, _ in known for word in words for part in word.split("-")}
        for words, parser in known:
            assert unmarked(bare(parser.format_help()), {*ALLOWED, *names}) == [], words


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    """The exit code of a command, and all it printed."""
    try:
        code = cli.main(list(words))
    except SystemExit as end:
        code = int(str(end.code))
    out, err = capsys.readouterr()
    return code, out + err


@pytest.mark.parametrize(
    "words",
    [
        ["nothing"],
        ["report", "x"],
        ["restore", "/nowhere/1.tar", "--nothing"],
        ["serve", "--port", "x"],
        ["serve", "--lan", "--proxy"],
        ["serve", "--port"],
    ],
)
def test_a_command_that_cannot_be_read_says_so_marked(
    capsys: pytest.CaptureFixture[str], words: list[str]
) -> None:
    with reading_as(Reader(PSEUDO)):
        names = {part for command, _ in commands() for word in command for part in word.split("-")}
    code, printed = run(capsys, *words)
    assert code == 2
    also = {*names, *words, "int", "x", "lan", "proxy", "port"}
    assert unmarked(bare(printed), {*ALLOWED, *also}) == [], printed


def test_what_the_commands_print_has_no_unmarked_word(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    data = furnished(tmp_path / "data")
    monkeypatch.setenv("BRADAWL_DATA", str(data))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    file = str(tmp_path / "1.tar")
    for code, words in (
        (0, ["invite"]),  # makes the database
        (0, ["doctor"]),
        (0, ["doctor", "--repair", "--ask-again"]),
        (0, ["backup", file]),
        (1, ["backup", file]),
        (0, ["backup"]),
        (0, ["restore", file, "--check"]),
        (1, ["restore", file]),
        (0, ["restore", file, "--replace"]),
        (1, ["restore", "/nowhere/1.tar"]),
        (1, ["invite", "9"]),
        (1, ["authority", "show"]),
        (1, ["authority", "replace"]),
        (1, ["forget", "9"]),
        (1, ["report", "9", "-o", str(tmp_path / "1.pdf")]),
    ):
        got, printed = run(capsys, *words)
        assert got == code, printed
        shown = re.sub(r"#[\w-]{43}", "", printed)
        assert unmarked(bare(shown), {*ALLOWED, "Owner"}) == [], words
    (data / "bradawl.sqlite3").write_bytes(b"no database")
    for words in (["doctor"], ["backup", file + "2"], ["forget", "9"]):
        got, printed = run(capsys, *words)
        assert got == 1
        allowed = {*ALLOWED, "file", "is", "not", "database"}  # as SQLite says it
        assert unmarked(bare(printed), allowed) == [], words
    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path / "none"))
    assert unmarked(bare(run(capsys, "doctor")[1]), {*ALLOWED, "serve"}) == []
    for name in ("LOG_JSON", "LOG_MB", "LOG_FILES", "BACKUPS_KEPT", "REGION"):
        with monkeypatch.context() as setting:
            setting.setenv(f"BRADAWL_{name}", "9x")
            assert unmarked(bare(run(capsys, "doctor")[1]), {*ALLOWED, "9x"}) == [], name


def test_what_about_prints_has_none_but_names_and_what_is_new(
    capsys: pytest.CaptureFixture[str],
) -> None:
    code, printed = run(capsys, "about")
    assert code == 0
    lines = [line for line in printed.splitlines() if not line.startswith(("- ", "  "))]
    assert unmarked(bare("\n".join(lines)), ALLOWED) == []


def test_what_the_checklist_commands_print_has_none_but_the_checklists_own(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    code, printed = run(capsys, "checklists", "check")
    assert code == 0
    tables = {
        "areas", "calls", "claims", "closing", "combinations", "conflicts", "contradictions",
        "driving", "histories", "items", "load", "lookups", "order", "profile", "stages",
        "symptoms", "upkeep", "wants", "week",
    }  # fmt: skip
    shown = re.sub(r"\b[0-9a-f]{12}\b", "", printed)  # the bundle's digest
    assert unmarked(bare(shown), {*ALLOWED, *tables, "es", "US"}) == []
    folder = tmp_path / "checklists"
    shutil.copytree(ROOT / "checklists", folder)
    papers = folder / "papers.yaml"
    wrong = papers.read_text(encoding="utf-8").replace("stage: papers", "stage: nowhere", 1)
    papers.write_text(wrong.replace('minutes: "0.5"', "minutes: soon", 1), encoding="utf-8")
    code, printed = run(capsys, "checklists", "check", str(folder))
    assert code == 1
    quoted = re.sub("'[^']*'", "", printed)
    keys = {"papers", "registration", "title", "brands", "stage", "minutes"}
    assert unmarked(bare(quoted), {*ALLOWED, *keys}) == [], printed
    code, printed = run(capsys, "checklists", "coverage")
    assert code == 0
    # the published lists' titles, entries and reasons stand in the checklists
    lines = [re.sub(r"\([^()]*(\([^()]*\))?[^()]*\)$", "", line) for line in printed.splitlines()]
    own = [line for line in lines if not line.startswith("  ")]
    names = {path.stem for path in (ROOT / "checklists/published").glob("*.yaml")}
    names = {re.sub("[0-9]", "", name) for name in names}
    assert unmarked(bare("\n".join(own)), {*ALLOWED, *names}) == []
