"""What stands below the path of an ad or a claim; a record may hold anything."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bradawl.inspection import cell_values

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cells


def below(cells: Cells, area: str) -> dict[str, dict[str, Any]]:
    """The cells with a value below `area/<id>`, by id and the rest of their path."""
    found: dict[str, dict[str, Any]] = {}
    for path, cell in cells.items():
        parts = path.split("/")
        if parts[0] == area and len(parts) > 1 and cell["value"] is not None:
            found.setdefault(parts[1], {})["/".join(parts[2:])] = cell
    return found


def photos(paths: Mapping[str, Any]) -> Iterator[str]:
    """The SHA-256 of the photos among paths."""
    return (path.removeprefix("photos/") for path in sorted(paths) if path.startswith("photos/"))


def date_in(value: Mapping[str, Any]) -> str:
    """The day that a value names; "" for none."""
    return cell_values.words(value.get("date"))
