"""What the people of an inspection's phones are called, each by that phone's own word."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bradawl.inspection import cell_values
from bradawl.language import text

#: Where a phone's person is named: `people/<device>`, `{"name"}`. A stamp ends in its device.
PEOPLE = "people/"


def names_given(cells: Mapping[str, Any]) -> dict[str, str]:
    """Device to name. What another device wrote there is nobody's name."""
    names = {}
    for path, cell in cells.items():
        device = path.removeprefix(PEOPLE)
        if path.startswith(PEOPLE) and str(cell["at"]).endswith(device):
            names[device] = cell_values.text(cell_values.mapping(cell["value"]).get("name")).strip()
    return {device: name for device, name in names.items() if name}


def called(cells: Mapping[str, Any], name_of: Callable[[str], str]) -> Callable[[str], str]:
    """`name_of`, with the name that a device's person gave in this inspection before it."""
    names = names_given(cells)

    def name(device: str) -> str:
        if device not in names:
            return name_of(device)
        known = name_of(device)
        # what every phone is called that nobody named tells nothing
        if known in ("", names[device], text("phone-pair-default-name")):
            return names[device]
        return f"{names[device]} ({known})"

    return name
