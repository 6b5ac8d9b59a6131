"""What the phone is handed: the package's own statements, all of them, and not too many bytes."""

from __future__ import annotations

import ast
import gzip
import json
from pathlib import Path

import pytest

from bradawl import judge
from bradawl.serving.judge_files import (
    AT_THE_DESK,
    _Bare,
    all_files,
    bare,
    judge_files,
    stays_at_the_desk,
    trouble_files,
)

PACKAGE = Path(judge.__file__).parent
ENGINE = (
    Path(__file__).parents[3] / "web/node_modules/@micropython/micropython-webassembly-pyscript"
)
BUDGET_BYTES = (
    296_200  # gzip of engine and judge; with its words, as served, below 300 kB (after-build.ts)
)


#: By their names below the judge's parent, the types left out.
NAMES = sorted(
    name
    for path in PACKAGE.rglob("*.py")
    if "/types/" not in (name := path.relative_to(PACKAGE.parent).as_posix())
)


@pytest.fixture(scope="module")
def served() -> dict[str, str]:
    return all_files()


@pytest.fixture(scope="module")
def at_once() -> dict[str, str]:
    return judge_files()


def test_every_module_but_the_types_is_served(
    served: dict[str, str], at_once: dict[str, str]
) -> None:
    assert sorted(served) == NAMES
    of_the_desk = {name: text for name, text in served.items() if stays_at_the_desk(name)}
    assert {**at_once, **trouble_files(), **of_the_desk} == served
    assert not {*at_once, *trouble_files()} & {*of_the_desk}
    assert all(any(name.startswith(part) for name in NAMES) for part in AT_THE_DESK)


@pytest.mark.parametrize("name", [name for name in NAMES if not stays_at_the_desk(name)])
def test_nothing_on_a_phone_needs_what_stays_at_the_desk(served: dict[str, str], name: str) -> None:
    desk = {
        other.removesuffix(".py").replace("/", ".") for other in NAMES if stays_at_the_desk(other)
    }
    package = name.removesuffix(".py").split("/")[:-1]
    for node in ast.walk(ast.parse(served[name])):
        if isinstance(node, ast.ImportFrom) and node.level:
            base = [*package[: len(package) - node.level + 1], *(node.module or "").split(".")]
            module = ".".join(word for word in base if word)
            named = {module, *(f"{module}.{alias.name}" for alias in node.names)}
            assert not named & desk, module


def test_what_comes_later_is_needed_by_nothing_that_comes_at_once(
    at_once: dict[str, str],
) -> None:
    assert set(trouble_files()) == {name for name in NAMES if "/trouble/" in name}
    for name, source in at_once.items():
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.ImportFrom):
                words = [node.module or "", *(alias.name for alias in node.names)]
                assert not [word for word in words if "trouble" in word], name


@pytest.mark.parametrize("name", NAMES)
def test_a_served_file_is_statements_and_nothing_else(served: dict[str, str], name: str) -> None:
    tree = ast.parse(served[name])
    for node in ast.walk(tree):
        assert not isinstance(node, ast.AnnAssign)
        if isinstance(node, ast.arg):
            assert node.annotation is None
        if isinstance(node, (ast.Module, ast.FunctionDef, ast.ClassDef)):
            assert ast.get_docstring(node) is None
        if isinstance(node, ast.ImportFrom):
            assert node.level or node.module in ("math", "json")


def test_what_is_taken_away_changes_no_statement() -> None:
    source = '''"""Module."""
from __future__ import annotations
from typing import TYPE_CHECKING, Any
from math import sqrt
if TYPE_CHECKING:
    from .types import Json
LIMIT: int = 3  # why
table: dict[str, int]
class Thing:
    """Class."""
def nothing(a: int, b: Any = 2) -> Json:
    """Only words."""
def root(x: float) -> float:
    """Words."""
    kept: float = sqrt(x)
    return kept if x else 0.0
'''
    assert bare(source) == (
        "from math import sqrt\nLIMIT=3\nclass Thing:\n pass\n"
        "def nothing(a,b=2):\n pass\n"
        "def root(x):\n kept=sqrt(x)\n return kept if x else 0.0\n"
    )


@pytest.mark.parametrize(
    "statement",
    [
        "x = {'a , b': \"it's = 1\", 'c  d': '\\\\', 'e': '\\\\\\' + '}",
        "y = [1 if a else 2, not b, -c, c - -d, 'a' in e, lambda f: f or 'g  h', e[1:2]]",
        "z = 'a' if x else 'b'\nfor a, b in ((1, 2), x):\n    print(a, 'x ; y', b'1 2', r'3  ')",
        "assert x is not None and (y not in z), 'not  here'",
    ],
)
def test_blanks_that_nobody_needs_are_left_out_and_no_other(statement: str) -> None:
    shorter = bare(statement)
    assert ast.dump(ast.parse(shorter)) == ast.dump(ast.parse(statement))
    assert len(shorter) < len(ast.unparse(ast.parse(statement))) + 1


def test_the_statements_of_every_file_are_those_of_the_package(served: dict[str, str]) -> None:
    for name in NAMES:
        source = (PACKAGE.parent / name).read_text(encoding="utf-8")
        tree = ast.fix_missing_locations(_Bare().visit(ast.parse(source)))
        assert ast.dump(ast.parse(served[name])) == ast.dump(ast.parse(ast.unparse(tree))), name


def test_engine_and_judge_stay_within_their_budget(at_once: dict[str, str]) -> None:
    judge = json.dumps({"files": at_once}).encode()
    parts = [(ENGINE / name).read_bytes() for name in ("micropython.wasm", "micropython.mjs")]
    sizes = [len(gzip.compress(part, 9)) for part in [judge, *parts]]
    assert sum(sizes) < BUDGET_BYTES, sizes
