"""Every note has an agreed name, every name is used and described, and no field is a secret."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from bradawl.operations.notes import EVENTS, ROUTINE

PACKAGE = Path(__file__).parents[2] / "server" / "bradawl"
README = (PACKAGE / "operations" / "README.md").read_text(encoding="utf-8")


def notes() -> Iterator[tuple[str, ast.Call]]:
    """Every call of `note`, and where it is."""
    for file in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node).startswith("note(logger, "):
                yield f"{file.relative_to(PACKAGE)}:{node.lineno}", node


def name_of(call: ast.Call) -> str:
    name = call.args[1]
    assert isinstance(name, ast.Constant), ast.unparse(call)
    return str(name.value)


def test_every_note_has_an_agreed_name_and_every_name_is_used() -> None:
    # The gap is written by the file itself, when it can be written again.
    assert {name_of(call) for _, call in notes()} | {"log.gap"} == set(EVENTS)
    assert set(EVENTS) > ROUTINE


@pytest.mark.parametrize("event", sorted(EVENTS))
def test_the_readme_describes_it(event: str) -> None:
    assert re.search(rf"^\| `{re.escape(event)}` \| \S", README, re.MULTILINE)


SECRETS = re.compile(r"token|secret|cookie|passphrase|password|seller|value|text|code$|title|label")


def test_no_field_is_named_like_what_must_not_be_written() -> None:
    for place, call in notes():
        names = {keyword.arg or "" for keyword in call.keywords}
        odd = {name for name in names if SECRETS.search(name)} - {"code", "exit_code"}
        assert not odd, place


def test_every_logger_is_named_after_its_module() -> None:
    for file in sorted(PACKAGE.rglob("*.py")):
        for name in re.findall(r"getLogger\((.*?)\)", file.read_text(encoding="utf-8")):
            # a library's own logger is silenced, never written to
            assert name in ("__name__", "", '"bradawl"', "library"), file
