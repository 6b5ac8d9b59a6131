"""The judge's sources as the phone loads them: the same modules without what only readers need.

Comments, docstrings and annotations are left out (a phone downloads and compiles them); the
statements are the package's own. The two-engine tests run exactly these files.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

JUDGE = Path(__file__).resolve().parents[1] / "judge"
NOT_SERVED = "judge/values/types/"  # types only: never imported while running
LATER = "judge/trouble/"  # what a phone loads when somebody first looks for a cause
#: What desk and report alone ask: no phone downloads it.
AT_THE_DESK = (
    "judge/costs/jobs/",
    "judge/costs/plan.py",
    "judge/ledger/",
)
#: What of it a price needs all the same: a part that was quoted.
ON_A_PHONE_TOO = (
    "judge/ledger/__init__.py",
    "judge/ledger/part_price.py",
)


class _Bare(ast.NodeTransformer):
    """Drops docstrings, annotations, and imports that only a type checker follows."""

    def visit_Module(self, node: ast.Module) -> ast.Module:
        self.generic_visit(node)
        node.body = _without_docstring(node.body)
        return node

    def visit_ClassDef(self, node: ast.ClassDef) -> ast.ClassDef:
        self.generic_visit(node)
        node.body = _without_docstring(node.body) or [ast.Pass()]
        return node

    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.FunctionDef:
        self.generic_visit(node)
        node.body = _without_docstring(node.body) or [ast.Pass()]
        node.returns = None
        return node

    def visit_arg(self, node: ast.arg) -> ast.arg:
        node.annotation = None
        return node

    def visit_AnnAssign(self, node: ast.AnnAssign) -> ast.stmt | None:
        if node.value is None:
            return None
        return ast.copy_location(ast.Assign(targets=[node.target], value=node.value), node)

    def visit_If(self, node: ast.If) -> ast.stmt | None:
        if isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING":
            return None
        self.generic_visit(node)
        return node

    def visit_ImportFrom(self, node: ast.ImportFrom) -> ast.stmt | None:
        return None if node.module in ("__future__", "typing") else node


def _without_docstring(body: list[ast.stmt]) -> list[ast.stmt]:
    first = body[0] if body else None
    if (
        isinstance(first, ast.Expr)
        and isinstance(first.value, ast.Constant)
        and isinstance(first.value.value, str)
    ):
        return body[1:]
    return body


#: A text in one line as `ast.unparse` writes it, and blanks that part no two words.
_TEXT = re.compile(r"('(?:[^'\\]|\\.)*'|\"(?:[^\"\\]|\\.)*\")")
_IDLE_BLANK = re.compile(r"(?<![\w'\"]) +| +(?![\w'\"])")


def bare(source: str) -> str:
    """The source's statements alone, in one spelling, with no blank that nobody needs."""
    tree = ast.fix_missing_locations(_Bare().visit(ast.parse(source)))
    lines = [line for line in ast.unparse(tree).splitlines() if line]
    return "\n".join(_tight(line) for line in lines) + "\n"


def _tight(line: str) -> str:
    """`ast.unparse` steps in by four blanks and spaces its signs; every byte is downloaded."""
    statement = line.lstrip(" ")
    pieces = _TEXT.split(statement)
    for n in range(0, len(pieces), 2):  # between the texts
        before, after = (pieces[n - 1] if n else ""), "".join(pieces[n + 1 : n + 2])
        spaced = _IDLE_BLANK.sub("", before[-1:] + pieces[n] + after[:1])
        pieces[n] = spaced[len(before[-1:]) : len(spaced) - len(after[:1])]
    return " " * ((len(line) - len(statement)) // 4) + "".join(pieces)


def all_files() -> dict[str, str]:
    """Source text by path in the phone's file system, `judge/__init__.py` and its siblings."""
    sources = {}
    for path in sorted(JUDGE.rglob("*.py")):
        name = path.relative_to(JUDGE.parent).as_posix()
        if not name.startswith(NOT_SERVED):
            sources[name] = bare(path.read_text(encoding="utf-8"))
    return sources


def judge_files() -> dict[str, str]:
    """What a start needs: `import judge; judge.ask(text)` is the way in."""
    return {
        name: text
        for name, text in all_files().items()
        if not name.startswith(LATER) and not stays_at_the_desk(name)
    }


def stays_at_the_desk(name: str) -> bool:
    """Whether no phone downloads this file of the judge."""
    return name.startswith(AT_THE_DESK) and name not in ON_A_PHONE_TOO


def trouble_files() -> dict[str, str]:
    """What comes later: `import judge.trouble.door` adds its questions to `judge.ask`."""
    return {name: text for name, text in all_files().items() if name.startswith(LATER)}
