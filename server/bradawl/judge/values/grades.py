"""Grades and their order."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .types import Fault, Grade

#: Every grade, in the order in which a person is offered them.
GRADES: tuple[Grade, ...] = ("none", "minor", "major", "dangerous", "uninspected")

#: Every grade, the mildest first. What nobody inspected is worse than no fault: unknown is never
#: fine.
SEVERITY: tuple[Grade, ...] = ("none", "uninspected", "minor", "major", "dangerous")

#: The grades that are faults, the mildest first.
FAULTS: tuple[Fault, ...] = ("minor", "major", "dangerous")
