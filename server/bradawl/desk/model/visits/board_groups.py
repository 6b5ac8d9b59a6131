"""The cars of the board by their state."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bradawl.desk.model.visits.board import MOST_SHOWN, STATES, WORKED_ON

__all__ = ["Group", "grouped"]


@dataclass(frozen=True)
class Group:
    """The cars of one state: which are shown, and how many there are."""

    state: str
    shown: Sequence[str]
    count: int


def grouped(by_state: Mapping[str, Sequence[str]]) -> list[Group]:
    """The cars by state, in the order of a life; states without a car are left out."""
    found = []
    for state in STATES:
        cars = by_state.get(state, ())
        most = len(cars) if state in (*WORKED_ON, "parts_car") else MOST_SHOWN
        if cars:
            found.append(Group(state, cars[:most], len(cars)))
    return found
