"""The arrows of DEVELOPERS.md: which part may import which, and no circle between files.

An import counts wherever it stands: at the head of a file, inside a function, or for a type
checker alone. Whoever reads two files that need each other has to read both at once.
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

SERVER = Path(__file__).parents[1] / "server"
PACKAGE = SERVER / "bradawl"
MOST_FILES = 15
#: Beyond these nobody sees a file, or a function, as one thing.
MOST_LINES = 450
MOST_LINES_OF_A_FUNCTION = 80
#: Written by web/tools.
GENERATED = {"web/src/shared/contract.ts", "web/src/shared/messages.ts"}

COMMON = {"__version__", "common", "database", "design", "language", "operations"}
#: What the wiring puts together.
ALL = {
    *COMMON,
    *(
        "about",
        "access",
        "backup",
        "checklists",
        "desk",
        "imaging",
        "inspection",
        "judge",
        "listening",
    ),
    *("log", "report"),
}
#: Parts that may not know all others, with what each may import besides itself.
MAY_IMPORT = {
    "judge": set(),
    "design": set(),
    "about": COMMON,
    "language": {"judge"},
    "common": {"design", "language", "operations"},
    "operations": {"common", "language"},
    "database": {"common", "language"},
    "imaging": {"common", "language"},
    "listening": {"common", "language", "operations"},
    "inspection": {"common", "design", "judge", "language"},
    "checklists": COMMON | {"judge"},
    "log": COMMON | {"imaging", "judge"},
    "access": COMMON | {"listening"},
    "backup": COMMON,
    "report": COMMON | {"imaging", "inspection", "judge"},
    "desk": COMMON | {"imaging", "inspection", "judge"},
    "serving": ALL,
    "desktop": COMMON | {"listening", "serving"},
    "admin": ALL | {"serving"},
    "demo": ALL | {"serving"},
}
#: Inside a part: its rooms from the ground up. A room imports those before it, never one after it.
ROOMS = {
    "judge": (
        *("values", "record", "measurements", "grading", "decisions", "ledger", "costs", "."),
        "trouble",
    ),
    "log": ("format", "chains", "sync", "photos", "erasure", ".", "integrity"),
    "access": (
        *("core", "network", "people", "devices", "personal_data"),
        *("authority", "web", "first_run", "."),
    ),
    "report": ("model", "pdf", "layout", "signing", "checking", "sections", "."),
    "serving": ("backups", "reports", "first_run", "."),
    "desk": ("model", "web", "pages", "."),
}


def _name(file: Path) -> str:
    parts = file.relative_to(SERVER).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


FILES = {
    _name(file): file
    for file in sorted(PACKAGE.rglob("*.py"))
    if "bundled" not in file.relative_to(PACKAGE).parts
}


def _imported(name: str, node: ast.Import | ast.ImportFrom) -> Iterator[str]:
    """The files of the package that one statement names."""
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names if alias.name in FILES)
        return
    base = node.module or ""
    if node.level:
        package = name.split(".") if FILES[name].name == "__init__.py" else name.split(".")[:-1]
        above = package[: len(package) - node.level + 1]
        base = ".".join([*above, base] if base else above)
    for alias in node.names:
        if f"{base}.{alias.name}" in FILES:
            yield f"{base}.{alias.name}"
        elif base in FILES:
            yield base


def _imports(name: str) -> set[str]:
    tree = ast.parse(FILES[name].read_text(encoding="utf-8"))
    statements = (n for n in ast.walk(tree) if isinstance(n, ast.Import | ast.ImportFrom))
    return {other for node in statements for other in _imported(name, node)} - {name}


@pytest.fixture(scope="module")
def imports() -> dict[str, set[str]]:
    """What each file of the package imports of it."""
    return {name: _imports(name) for name in FILES}


def _circle(imports: Mapping[str, set[str]]) -> list[str]:
    try:
        TopologicalSorter(imports).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def _part(name: str) -> str:
    return name.split(".")[1] if "." in name else "__version__"


def _room(name: str) -> str:
    """The folder of a file below its part, "." for the part's own."""
    inside = FILES[name].parent.relative_to(PACKAGE).parts[1:]
    return inside[0] if inside else "."


def test_no_file_needs_itself_by_way_of_others(imports: dict[str, set[str]]) -> None:
    assert _circle(imports) == []


def test_a_circle_would_be_seen() -> None:
    assert _circle({"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}})


@pytest.mark.parametrize("part", sorted(MAY_IMPORT))
def test_a_part_imports_only_what_the_map_allows(imports: dict[str, set[str]], part: str) -> None:
    wrong = {
        name: sorted(bad)
        for name, others in imports.items()
        if _part(name) == part and (bad := {_part(o) for o in others} - MAY_IMPORT[part] - {part})
    }
    assert wrong == {}


@pytest.mark.parametrize("part", sorted(ROOMS))
def test_a_room_imports_only_rooms_below_it(imports: dict[str, set[str]], part: str) -> None:
    rooms = ROOMS[part]
    wrong = [
        (name, other)
        for name, others in imports.items()
        for other in sorted(others)
        if _part(name) == _part(other) == part
        and "__init__" not in (FILES[name].stem, FILES[other].stem)
        and rooms.index(_room(name)) < rooms.index(_room(other))
    ]
    assert wrong == []


def test_no_folder_is_a_heap() -> None:
    web, tests = SERVER.parent / "web", Path(__file__).parent
    sources = [
        *FILES.values(),
        *tests.rglob("*.py"),
        *(
            file
            for part in ("src", "test", "tools")
            for file in (web / part).rglob("*")
            if file.suffix in {".ts", ".tsx", ".css"}
        ),
    ]
    heaps = {
        str(folder.relative_to(SERVER.parent)): count
        for folder, count in Counter(file.parent for file in sources).items()
        if count > MOST_FILES
    }
    assert heaps == {}


def _product_files() -> list[Path]:
    """What a newcomer reads of the product: server and phone app, with styles and scripts."""
    web = SERVER.parent / "web" / "src"
    files = [
        *(file for suffix in ("py", "js", "css") for file in PACKAGE.rglob(f"*.{suffix}")),
        *(file for suffix in ("ts", "tsx", "css") for file in web.rglob(f"*.{suffix}")),
    ]
    return [file for file in sorted(files) if "bundled" not in file.parts]


def test_no_file_outgrows_what_one_looks_through() -> None:
    root = SERVER.parent
    long = {
        str(file.relative_to(root)): lines
        for file in _product_files()
        if (lines := len(file.read_text(encoding="utf-8").splitlines())) > MOST_LINES
    }
    assert {name: lines for name, lines in long.items() if name not in GENERATED} == {}


def _long_functions(source: str, most: int) -> dict[str, int]:
    functions = (
        node
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    )
    lengths = {node.name: (node.end_lineno or node.lineno) - node.lineno + 1 for node in functions}
    return {name: lines for name, lines in lengths.items() if lines > most}


def test_no_function_outgrows_a_screen() -> None:
    long = {
        (name, function): lines
        for name, file in FILES.items()
        for function, lines in _long_functions(
            file.read_text(encoding="utf-8"), MOST_LINES_OF_A_FUNCTION
        ).items()
    }
    assert long == {}


def test_a_long_function_would_be_seen() -> None:
    assert _long_functions("def f():\n" + "    a = 1\n" * 3, 3) == {"f": 4}


def test_every_module_says_what_it_does() -> None:
    silent = [
        name
        for name, file in FILES.items()
        if not ast.get_docstring(ast.parse(file.read_text(encoding="utf-8")))
    ]
    assert silent == []
