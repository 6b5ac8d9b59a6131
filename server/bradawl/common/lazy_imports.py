"""Names of a package that are imported when somebody first asks for them.

The command line registers every part's commands, and `bradawl --version` must not wait for the
libraries of all parts. A package that uses this imports its names for type checkers alone.
"""

from __future__ import annotations

import importlib
import sys
from collections.abc import Callable, Mapping, Sequence
from typing import Any


def deferred(package: str, names: Mapping[str, Sequence[str]]) -> Callable[[str], Any]:
    """A module's `__getattr__` (PEP 562) for `names`: public names by the module they are in."""
    places = {name: module for module, held in names.items() for name in held}

    def attribute(name: str) -> Any:
        if name not in places:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        value = getattr(importlib.import_module(f"{package}.{places[name]}"), name)
        setattr(sys.modules[package], name, value)
        return value

    return attribute
