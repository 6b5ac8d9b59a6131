"""The arrows of DEVELOPERS.md: which part may import which."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "server" / "bradawl"
WIRING = {"app", "cli", "dossier"}
COMMON = {
    *(
        "errors",
        "frame",
        "imaging",
        "recorded",
        "settings",
        "showable",
        "resources",
        "database",
        "revisions",
        "deferred",
        "device_keys",
        "listening",
        "operations",
        "row_copies",
        "storage",
        "swap",
    ),
    "__version__",
}
MAY_IMPORT = {
    "judgement": set(),
    "imaging": {"errors"},
    "operations": {"errors", "settings"},
    "listening": {"starting", "operations"},
    "checklists": COMMON | {"judgement"},
    "log": COMMON | {"judgement"},
    "access": COMMON,
    "backup": COMMON,
    "report": COMMON | {"judgement", "dossier", "seals"},
    "desk": COMMON | {"judgement", "dossier"},
}


def _imports(file: Path) -> set[str]:
    """The parts of the package that a file names in an import."""
    found = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            module = node.module or ""
            names = (
                [f"{module}.{alias.name}" for alias in node.names]
                if module == "bradawl"
                else [module]
            )
        else:
            continue
        found |= {name.split(".")[1] for name in names if name.startswith("bradawl.")}
    return found


@pytest.mark.parametrize("part", sorted(MAY_IMPORT))
def test_a_part_imports_only_what_the_map_allows(part: str) -> None:
    wrong = {
        str(file.relative_to(PACKAGE)): sorted(bad)
        for file in sorted((PACKAGE / part).rglob("*.py"))
        if (bad := _imports(file) - MAY_IMPORT[part] - {part})
    }
    assert wrong == {}
