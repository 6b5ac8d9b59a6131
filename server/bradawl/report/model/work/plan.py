"""The plan of work as a report prints it: whoever keeps the plan hands it over in this form."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["MendOrReplace", "PlannedJob", "WorkPlan"]


@dataclass(frozen=True)
class PlannedJob:
    """Work in its order: `cost` is [low, likely, high] in whole money, `period` empty or a name."""

    title: str
    why: str
    cost: Sequence[int]
    need: bool
    period: str = ""


@dataclass(frozen=True)
class MendOrReplace:
    """Mending piece by piece against a whole assembly.

    `by_count` are [further failures, lowest, highest cost of mending], as the judge's `tip_over`
    gives them; `assembly` is its expected cost; `text` a sentence.
    """

    title: str
    text: str
    assembly: int
    by_count: Sequence[Sequence[int]]


@dataclass(frozen=True)
class WorkPlan:
    """Jobs in their order, and every assembly that competes with mending its pieces."""

    jobs: Sequence[PlannedJob]
    assemblies: Sequence[MendOrReplace]
