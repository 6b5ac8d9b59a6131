"""The page on which candidates stand side by side."""

import itertools
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from bradawl.desk.model.visits.candidates import flips
from bradawl.desk.web import charts
from bradawl.desk.web.context import DeskHere
from bradawl.desk.web.rendering import render

pages = APIRouter()
AT_FIRST = 4  # so many of the newest visits are compared until somebody chooses


@pages.get("/compare")
def compare(
    request: Request,
    desk: DeskHere,
    visit: Annotated[list[str] | None, Query(max_length=50)] = None,
) -> Response:
    """Every chosen car has a column: one that is not judged yet says so there, and fills in."""
    listed = desk.summaries.rows()
    wanted = list(dict.fromkeys(visit or [row.visit for row in listed[:AT_FIRST]]))
    chosen = desk.summaries.of(wanted)
    newest = {row.visit for row in listed}
    rows = [*listed, *(row for row in chosen if row.visit not in newest)]
    unreadable = {row.visit for row in rows if desk.summaries.unreadable(row)}
    cars = sorted(
        (row.summary.candidate for row in chosen if row.summary is not None),
        key=lambda car: car.rank,
    )
    return render(
        request,
        "visits/compare.html",
        rows=rows,
        wanted=set(wanted),
        gone=len(wanted) - len(chosen),
        # those on the page: who is compared comes first, so that the table fills in first
        unread=list(
            dict.fromkeys(
                row.visit
                for row in (*chosen, *rows)
                if row.summary is None and row.visit not in unreadable
            )
        ),
        unreadable=unreadable,
        cars=cars,
        lacking=[row.visit for row in chosen if row.summary is None],
        flips=[(ahead, behind, flips(ahead, behind)) for ahead, behind in itertools.pairwise(cars)],
        briefs_differ=len({(car.uses, car.budget) for car in cars}) > 1,
        edited=[car.name for car in cars if car.edits],
        currencies=sorted({car.currency for car in cars if car.currency}),
        costs=charts.ranges(cars) if cars else "",
    )
