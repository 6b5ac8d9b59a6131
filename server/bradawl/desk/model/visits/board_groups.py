"""The cars of the board by their state."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from bradawl.desk.model.visits.board import MOST_SHOWN, STATES, WORKED_ON
from bradawl.desk.model.visits.summaries import Row


def grouped(rows: Iterable[Row]) -> list[dict[str, Any]]:
    """The cars by state, in the order of a life; states without a car are left out."""
    by_state: dict[str, list[Row]] = {}
    for row in rows:
        if row.summary is not None:
            by_state.setdefault(row.summary.board.state, []).append(row)
    shown = []
    for state in STATES:
        cars = by_state.get(state, [])
        most = len(cars) if state in (*WORKED_ON, "parts_car") else MOST_SHOWN
        if cars:
            shown.append({"state": state, "cars": cars[:most], "count": len(cars)})
    return shown
