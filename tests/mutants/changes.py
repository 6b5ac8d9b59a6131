"""Small wrong changes of Python source: each changes one thing that a test should notice."""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from dataclasses import dataclass

#: What stands in for a comparison: its neighbor, which only a test at the border tells apart.
_COMPARISONS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
_ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv,
    ast.FloorDiv: ast.Mult,
}


@dataclass(frozen=True)
class Mutant:
    """One change of one file: the bytes from `start` to `end` become `text`."""

    file: str
    line: int
    function_line: int  # of the innermost `def` or decorator around it, 0 at the module's level
    what: str
    start: int
    end: int
    text: str

    @property
    def name(self) -> str:
        """Stays the same when lines move: file, function, and what is changed."""
        return f"{self.file}: {self.what}"

    def applied(self, source: str) -> str:
        data = source.encode()
        return (data[: self.start] + self.text.encode() + data[self.end :]).decode()


def mutants_of(file: str, source: str) -> list[Mutant]:
    """Every mutant of a file, in the order of its text."""
    return sorted(_Finder(file, source).all(), key=lambda mutant: (mutant.start, mutant.text))


class _Finder:
    def __init__(self, file: str, source: str) -> None:
        self._file = file
        self._source = source
        self._tree = ast.parse(source)
        self._names = {0: "module"}  # of functions, by the line that `Mutant` names
        self._starts = [0]
        for line in source.splitlines(keepends=True):
            self._starts.append(self._starts[-1] + len(line.encode()))

    def all(self) -> Iterator[Mutant]:
        yield from self._below(self._tree, 0)

    def _below(self, node: ast.AST, function_line: int) -> Iterator[Mutant]:
        for child in ast.iter_child_nodes(node):
            if _is_for_readers(child):
                continue
            line = function_line
            if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef):
                line = min([child.lineno, *(one.lineno for one in child.decorator_list)])
                self._names[line] = child.name
                # annotations and decorators are left alone: most of them only say what is so
                for statement in child.body:
                    yield from self._at(statement, line)
                continue
            yield from self._at(child, line)

    def _at(self, node: ast.AST, line: int) -> Iterator[Mutant]:
        if _is_for_readers(node):
            return
        for make in _CHANGES:
            for text, what in make(node):
                yield self._mutant(node, line, text, what)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            self._names[node.lineno] = node.name
            for statement in node.body:
                yield from self._at(statement, node.lineno)
            return
        yield from self._below(node, line)

    def _mutant(self, node: ast.AST, line: int, text: str, what: str) -> Mutant:
        assert isinstance(node, ast.expr | ast.stmt)
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        start = self._starts[node.lineno - 1] + node.col_offset
        end = self._starts[node.end_lineno - 1] + node.end_col_offset
        where = f"{self._names[line]}: {what}"
        return Mutant(self._file, node.lineno, line, where, start, end, text)


def _is_for_readers(node: ast.AST) -> bool:
    """Docstrings, imports, `if TYPE_CHECKING`, what only raises a sentence of words."""
    if isinstance(node, ast.Import | ast.ImportFrom | ast.AnnAssign):
        return isinstance(node, ast.Import | ast.ImportFrom) or node.value is None
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return True
    return isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test)


def _short(node: ast.AST) -> str:
    text = " ".join(ast.unparse(node).split())
    return text if len(text) <= 70 else f"{text[:67]}…"


def _compared(node: ast.AST) -> Iterator[tuple[str, str]]:
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        other = _COMPARISONS.get(type(node.ops[0]))
        if other is not None:
            text = ast.unparse(ast.Compare(node.left, [other()], node.comparators))
            yield f"({text})", f"{_short(node)} → {_short(ast.parse(text))}"


def _joined(node: ast.AST) -> Iterator[tuple[str, str]]:
    if isinstance(node, ast.BoolOp):
        other = ast.Or() if isinstance(node.op, ast.And) else ast.And()
        text = ast.unparse(ast.BoolOp(other, node.values))
        yield f"({text})", f"{_short(node)} → {_short(ast.parse(text))}"


def _negated(node: ast.AST) -> Iterator[tuple[str, str]]:
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield f"({ast.unparse(node.operand)})", f"{_short(node)} → without not"


def _calculated(node: ast.AST) -> Iterator[tuple[str, str]]:
    if isinstance(node, ast.BinOp) and not isinstance(node.left, ast.Constant | ast.JoinedStr):
        other = _ARITHMETIC.get(type(node.op))
        if other is not None:
            text = ast.unparse(ast.BinOp(node.left, other(), node.right))
            yield f"({text})", f"{_short(node)} → {_short(ast.parse(text))}"


def _constant(node: ast.AST) -> Iterator[tuple[str, str]]:
    if isinstance(node, ast.Constant):
        if isinstance(node.value, bool):
            yield str(not node.value), f"{node.value} → {not node.value}"
        elif isinstance(node.value, int):
            yield f"({node.value + 1})", f"{node.value} → {node.value + 1}"


def _condition(node: ast.AST) -> Iterator[tuple[str, str]]:
    """The branch is never, or always, gone."""
    if isinstance(node, ast.If) and not node.orelse:
        yield "pass", f"dropped: if {_short(node.test)}"


def _dropped(node: ast.AST) -> Iterator[tuple[str, str]]:
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Call | ast.Await):
        yield "pass", f"dropped: {_short(node)}"
    if isinstance(node, ast.AugAssign):
        yield "pass", f"dropped: {_short(node)}"


def _returned(node: ast.AST) -> Iterator[tuple[str, str]]:
    if isinstance(node, ast.Return) and node.value is not None:
        if isinstance(node.value, ast.Constant):
            if node.value.value is None:
                return
        elif isinstance(node.value, ast.Compare | ast.BoolOp | ast.UnaryOp):
            yield f"return not ({ast.unparse(node.value)})", f"{_short(node)} → negated"
            return
        yield "return None", f"{_short(node)} → return None"


_CHANGES: tuple[Callable[[ast.AST], Iterator[tuple[str, str]]], ...] = (
    _compared,
    _joined,
    _negated,
    _calculated,
    _constant,
    _condition,
    _dropped,
    _returned,
)
