"""Refuses what MicroPython lacks or does otherwise, before a phone finds out.

Each rule names a difference that was measured between the two engines. Run as a script it checks
the judge's sources and exits 1 with file, line and the remedy for each finding.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

JUDGE = Path(__file__).parents[3] / "server" / "bradawl" / "judge"

IMPORTS = {
    "__future__": {"annotations"},
    "typing": {"TYPE_CHECKING", "Any"},
    "math": {"sqrt", "floor"},
    "json": None,
}
ABSENT_METHODS = {
    "zfill",
    "rjust",
    "ljust",
    "removeprefix",
    "removesuffix",
    "casefold",
    "is_integer",
    "title",
    "capitalize",
    "swapcase",
    "format_map",
    "translate",
    "maketrans",
    "as_integer_ratio",
    "bit_length",
    "bit_count",
    "expandtabs",
    "isidentifier",
    "isprintable",
    "isascii",
    "isnumeric",
    "isdecimal",
}
ASCII_METHODS = {
    "upper",
    "lower",
    "isupper",
    "islower",
    "isalpha",
    "isdigit",
    "isalnum",
    "isspace",
}
BLANK_METHODS = {"strip", "lstrip", "rstrip", "split", "rsplit", "splitlines"}
VIEWS = {"items", "keys", "values"}
FORBIDDEN_CALLS = {
    "round": "round half up on scaled integers (exact.half_up)",
    "sum": "add in order, so that floats agree",
    "pow": "use interpolation.power",
    "hash": "hash order differs",
    "id": "identity differs",
    "open": "the judge reads no files",
    "print": "the judge says nothing aside",
    "eval": "no code from data",
    "exec": "no code from data",
    "repr": "texts of objects differ",
    "ascii": "texts of objects differ",
    "format": "formats of floats differ; use exact.decimal",
    "super": "no inheritance beyond one base class",
    "input": "the judge asks nobody",
}
FORBIDDEN_KEYWORDS = {
    ("sorted", "key"): "sort ready tuples",
    ("sort", "key"): "sort ready tuples",
    ("min", "key"): "compare ready tuples",
    ("max", "key"): "compare ready tuples",
    ("min", "default"): "ask for emptiness first",
    ("max", "default"): "ask for emptiness first",
    ("sum", "start"): "add in order",
    ("zip", "strict"): "compare the lengths first",
    ("dumps", "sort_keys"): "use record.canonical",
    ("dumps", "ensure_ascii"): "use record.canonical",
    ("dumps", "indent"): "use record.canonical",
}
FLOAT_FORMATS = ("f", "F", "e", "E", "g", "G", "%", "n")


def _sorted_around(node: ast.Call, parents: dict[ast.AST, ast.AST]) -> bool:
    parent = parents.get(node)
    return (
        isinstance(parent, ast.Call)
        and isinstance(parent.func, ast.Name)
        and parent.func.id == "sorted"
    )


def _imports(node: ast.Import | ast.ImportFrom, type_only: set[ast.AST]) -> Iterator[str]:
    if node in type_only:
        return
    if isinstance(node, ast.Import):
        for alias in node.names:
            if IMPORTS.get(alias.name, ()) is not None:
                yield f"import {alias.name}: not there; only json, and names from math"
        return
    if node.level:
        if "types" in (node.module or "").split("."):
            yield "values/types is for types alone: import it under `if TYPE_CHECKING:`"
        return
    names = IMPORTS.get(node.module or "", ())
    for alias in node.names:
        if names is not None and alias.name not in names:
            yield f"{alias.name} of {node.module}: not there, or not the same to the last bit"


def _call(node: ast.Call, parents: dict[ast.AST, ast.AST]) -> Iterator[str]:
    name = ""
    if isinstance(node.func, ast.Name):
        name = node.func.id
        if name in FORBIDDEN_CALLS and not (
            name == "super" and isinstance(parents.get(node), ast.Attribute)
        ):
            yield f"{name}(): {FORBIDDEN_CALLS[name]}"
        if name == "float" and node.args and isinstance(node.args[0], ast.Constant):
            yield "float(text): no nan, no inf, no parsing of floats; use exact.parse"
    elif isinstance(node.func, ast.Attribute):
        name = node.func.attr
        text = not (isinstance(node.func.value, ast.Name) and node.func.value.id == "ascii_text")
        if name in ABSENT_METHODS:
            yield f".{name}(): not there"
        if name in ASCII_METHODS and text:
            yield f".{name}(): Unicode in one engine, ASCII in the other; use ascii_text.py"
        if name in BLANK_METHODS and not node.args:
            yield f".{name}() without argument: blanks differ; use ascii_text.py"
        if name in VIEWS and not node.args and not _sorted_around(node, parents):
            yield f".{name}(): order differs; iterate sorted({name}) or sorted keys"
        if name == "popitem":
            yield ".popitem(): order differs"
    for keyword in node.keywords:
        if keyword.arg is None:
            yield "**: unpacking in calls is not reliable; name the arguments"
        elif (name, keyword.arg) in FORBIDDEN_KEYWORDS:
            yield f"{name}({keyword.arg}=): {FORBIDDEN_KEYWORDS[(name, keyword.arg)]}"


def _percent_formats(text: str) -> Iterator[str]:
    at = text.find("%")
    while at >= 0:
        end = at + 1
        while end < len(text) and text[end] in "-+ #0123456789.*":
            end += 1
        if end < len(text) and text[end] in "fFeEgGra":
            yield f"%{text[end]}: floats and objects print differently; use exact.decimal"
        at = text.find("%", end + 1)


def _display(node: ast.AST) -> Iterator[str]:
    if isinstance(node, (ast.List, ast.Tuple, ast.Set)):
        if isinstance(getattr(node, "ctx", ast.Load()), ast.Load) and any(
            isinstance(entry, ast.Starred) for entry in node.elts
        ):
            yield "[*a]: not there; use +"
    elif isinstance(node, ast.Dict) and any(key is None for key in node.keys):
        yield "{**a}: not there; copy key by key"


def _loops_over_set(node: ast.AST) -> bool:
    return isinstance(node, (ast.Set, ast.SetComp)) or (
        isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id in ("set", "frozenset")
    )


def _forgets_bool(node: ast.FunctionDef) -> bool:
    """A test for int that never asks for True and False: those are ints in one engine only."""
    inside = list(ast.walk(node))
    for call in inside:
        if (
            isinstance(call, ast.Call)
            and isinstance(call.func, ast.Name)
            and call.func.id == "isinstance"
            and any(isinstance(one, ast.Name) and one.id == "int" for one in ast.walk(call.args[1]))
        ):
            return not any(
                isinstance(one, ast.Constant) and isinstance(one.value, bool) for one in inside
            )
    return False


def findings(source: str) -> list[tuple[int, str]]:
    """(line, what is wrong and what would be right) for one module's source."""
    tree = ast.parse(source)
    parents = {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}
    type_only: set[ast.AST] = set()
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.If)
            and isinstance(node.test, ast.Name)
            and (node.test.id == "TYPE_CHECKING")
        ):
            type_only.update(child for part in node.body for child in ast.walk(part))
    found: list[tuple[int, str]] = []
    for node in ast.walk(tree):
        line = getattr(node.iter if isinstance(node, ast.comprehension) else node, "lineno", 0)
        said: list[str] = list(_display(node))
        if isinstance(node, (ast.Import, ast.ImportFrom)):
            said += _imports(node, type_only)
        elif isinstance(node, ast.Call):
            said += _call(node, parents)
        elif isinstance(node, ast.Match):
            said.append("match: not there; use if")
        elif isinstance(node, (ast.AsyncFunctionDef, ast.Await, ast.AsyncFor, ast.AsyncWith)):
            said.append("async: the judge waits for nothing")
        elif isinstance(node, (ast.FunctionDef, ast.Lambda)):
            if node.args.posonlyargs:
                said.append("/ in a signature: not there")
            if isinstance(node, ast.FunctionDef) and node.decorator_list:
                said.append("a decorator: keep to plain functions")
            if isinstance(node, ast.FunctionDef) and _forgets_bool(node):
                said.append("isinstance(…, int): ask for True and False first")
        elif isinstance(node, ast.ClassDef):
            if len(node.bases) > 1 or node.keywords:
                said.append("several bases or a metaclass: limited there")
        elif isinstance(node, (ast.BinOp, ast.AugAssign)):
            left = node.left if isinstance(node, ast.BinOp) else node.target
            if isinstance(node.op, ast.Pow) and not (
                isinstance(left, ast.Constant) and isinstance(left.value, int)
            ):
                said.append(
                    "**: the last bit differs; use interpolation.power, or a whole constant base"
                )
            template = left.value if isinstance(left, ast.Constant) else None
            if isinstance(node.op, ast.Mod) and isinstance(template, str):
                said += _percent_formats(template)
        elif isinstance(node, ast.FormattedValue):
            spec = node.format_spec
            if isinstance(spec, ast.JoinedStr):
                text = "".join(p.value for p in spec.values if isinstance(p, ast.Constant))
                if text.endswith(FLOAT_FORMATS):
                    said.append("a float in an f-string prints differently; use exact.decimal")
            if node.conversion != -1:
                said.append("!r in an f-string: texts of objects differ")
        elif isinstance(node, (ast.For, ast.comprehension)) and _loops_over_set(node.iter):
            said.append("a loop over a set: order differs; loop over sorted(...)")
        elif isinstance(node, ast.Constant) and isinstance(node.value, complex):
            said.append("complex numbers: not needed")
        found += [(line, text) for text in said]
    return sorted(found)


def main(folder: Path = JUDGE) -> int:
    """Check every module the phone gets; 1 when anything is refused."""
    count = 0
    for path in sorted(folder.rglob("*.py")):
        if path.relative_to(folder).as_posix().startswith("values/types/"):
            continue
        for line, text in findings(path.read_text(encoding="utf-8")):
            print(f"{path}:{line}: {text}")
            count += 1
    return 1 if count else 0


if __name__ == "__main__":
    sys.exit(main(*(Path(argument) for argument in sys.argv[1:2])))
