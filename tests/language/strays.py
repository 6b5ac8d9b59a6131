"""`python -m tests.language.strays`: words a person reads that do not come from the catalogue.

Python: texts of two words or more that are no docstring, SQL, or reason of a programming error.
Templates: letters in text nodes and in attributes that are read out. TypeScript: texts of two words
or more, and letters between tags. A line that ends in `not shown` (with the reason before it) is
passed over. Rooms in WAITING are not converted yet; the list only ever gets shorter.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
SERVER = ROOT / "server/bradawl"
WEB = ROOT / "web/src"
#: Rooms whose words still stand in their code.
WAITING: tuple[str, ...] = ()
#: The operational log is English: its lines are for whoever runs the server (operations/README.md).
ENGLISH = ("operations",)
NEVER = {"bundled", "locales", "migrations", "types"}

_WORDS = re.compile(r"[A-Za-z]{2,}[,;:]? [A-Za-z]{2,}")
_LETTER = re.compile(r"[A-Za-z]{2,}")
_SQL = re.compile(
    r"\s*((SELECT|INSERT|UPDATE|DELETE|CREATE|DROP|ALTER|PRAGMA|BEGIN|WITH|VACUUM|ATTACH|ON|WHERE)\b"
    r"|(select|insert or|delete from|create table|pragma) )"
)
#: Errors that a mistake of the code raises, or of a file that is then only called changed: nobody
#: reads them but who mends it.
_PROGRAMMING = {"AssertionError", "KeyError", "NotImplementedError", "RuntimeError", "TypeError"}
_PROGRAMMING |= {"MessageError", "SyntaxFault", "ValueError"}
#: Values of headers, markup and parts of SQL, not sentences.
_PROTOCOL = re.compile(
    r"(inline|attachment); filename=|-src |max-age=|content-type: |<(!doctype|svg|meta)\b|"
    r"\b(INSERT INTO|LEFT JOIN|PRIMARY KEY|ON CONFLICT|AND of_key|FROM sqlite_master)\b"
)
#: The operational log speaks to whoever runs the server, in English.
_LOGGED = {"critical", "debug", "error", "exception", "info", "log", "warning"}
#: The audit trail keeps acts as codes, which its page says to the reader.
_KEPT = {"record", "record_about", "record_if_possible", "record_unasked"}
_READ_OUT = r"(?:aria-label|title|placeholder|alt|label|data-label)"


def _name(node: ast.expr) -> str:
    if isinstance(node, ast.Attribute):
        return node.attr
    return node.id if isinstance(node, ast.Name) else ""


def _is_passed(node: ast.AST) -> bool:
    """Whether no reader sees what stands inside."""
    if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call):
        return _name(node.exc.func) in _PROGRAMMING
    if isinstance(node, ast.Call):
        name = _name(node.func)
        if name in ("compile", "Field") or name in _KEPT:  # Field: a schema, for editors
            return True
        is_logger = isinstance(node.func, ast.Attribute) and "log" in _name(node.func.value).lower()
        return name in _LOGGED and is_logger
    return isinstance(node, ast.Assert)


def _docstrings(tree: ast.AST) -> set[int]:
    """The ids of nodes that are statements of a text alone."""
    return {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    } | {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign) and _name(node.targets[0]) == "__doc__"
    }


def in_python(source: str) -> Iterator[tuple[int, str]]:
    tree = ast.parse(source)
    lines = source.splitlines()
    docs = _docstrings(tree)
    stack: list[ast.AST] = [tree]
    while stack:
        node = stack.pop()
        if _is_passed(node):
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            ends = {lines[node.lineno - 1], lines[(node.end_lineno or node.lineno) - 1]}
            passed = _SQL.match(node.value) or _PROTOCOL.search(node.value)
            passed = passed or any(line.rstrip().endswith("not shown") for line in ends)
            if node.value.startswith("<"):  # markup: only what stands between its tags
                passed = passed or not any(in_template(node.value))
            if _WORDS.search(node.value) and not passed:
                yield node.lineno, node.value
        stack.extend(ast.iter_child_nodes(node))


def in_template(source: str) -> Iterator[tuple[int, str]]:
    def blank(match: re.Match[str]) -> str:
        return "\n" * match.group().count("\n")

    for pattern in (r"\{#.*?#\}", r"\{%.*?%\}", r"\{\{.*?\}\}", r"(?s)<(script|style)\b.*?</\1>"):
        source = re.sub(pattern, blank, source, flags=re.S)
    for number, line in enumerate(source.splitlines(), 1):
        for match in re.finditer(_READ_OUT + r'="([^"]*)"', line):
            if _LETTER.search(match.group(1)):
                yield number, match.group(1)
    text = re.sub(r"<[^>]*>", lambda match: "\n" * match.group().count("\n") + " ", source)
    for number, line in enumerate(text.splitlines(), 1):
        if _LETTER.search(re.sub(r"&[a-z]+;", "", line)):
            yield number, line.strip()


def in_typescript(source: str) -> Iterator[tuple[int, str]]:
    source = re.sub(r"/\*.*?\*/", lambda m: "\n" * m.group().count("\n"), source, flags=re.S)
    for number, whole in enumerate(source.splitlines(), 1):
        if whole.rstrip().endswith("not shown"):
            continue
        line = re.sub(r"(^|\s)//.*$", "", whole)
        if re.match(r"\s*(import|export .* from)\b", line) or "Error(" in line:
            continue
        for match in re.finditer(r"\"([^\"]*)\"|'([^']*)'|`([^`]*)`", line):
            value = re.sub(r"\$\{[^}]*\}", "0", "".join(part or "" for part in match.groups()))
            if _WORDS.search(value) and "class" not in line:
                yield number, value
        for match in re.finditer(r"(?<![=\-?])>([^<>{}=;()]*[A-Za-z]{2,}[^<>{}=;()]*)</", line):
            yield number, match.group(1)


def strays(waiting: tuple[str, ...] = WAITING) -> Iterator[str]:
    """`path:line: text` of each."""
    readers = {".py": in_python, ".html": in_template, ".ts": in_typescript, ".tsx": in_typescript}
    readers[".js"] = in_typescript
    for base in (SERVER, WEB):
        for path in sorted(base.rglob("*")):
            parts = path.relative_to(base).parts
            if path.suffix not in readers or parts[0] in (*waiting, *ENGLISH) or NEVER & set(parts):
                continue
            for line, value in readers[path.suffix](path.read_text(encoding="utf-8")):
                yield f"{path.relative_to(ROOT)}:{line}: {value!r}"


def main(rooms: list[str]) -> int:
    """With rooms as arguments, those alone, waiting or not."""
    found = list(strays(tuple(room for room in WAITING if room not in rooms)))
    if rooms:
        found = [line for line in found if any(f"/{room}" in line.split(":")[0] for room in rooms)]
    for line in found:
        print(line)
    if found:
        print(
            f"{len(found)} texts stand outside the catalogue (server/bradawl/language/README.md)."
        )
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
