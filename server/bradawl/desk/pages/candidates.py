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
    listed = desk.summaries.rows()
    rows = [row.summary for row in listed if row.summary is not None]
    wanted = visit or [row.visit for row in listed[:AT_FIRST]]
    chosen = desk.summaries.of(wanted)
    compared = [row.summary for row in chosen if row.summary is not None]
    lacking = [
        row
        for row in (*listed, *chosen)
        if row.summary is None and not desk.summaries.unreadable(row)
    ]
    newest = {row.visit for row in rows}
    rows += [row for row in compared if row.visit not in newest]
    cars = sorted((row.candidate for row in compared), key=lambda car: car.rank)
    return render(
        request,
        "visits/compare.html",
        rows=rows,
        wanted=set(wanted),
        waiting=len({row.visit for row in lacking}),
        cars=cars,
        flips=[(ahead, behind, flips(ahead, behind)) for ahead, behind in itertools.pairwise(cars)],
        briefs_differ=len({(car.uses, car.budget) for car in cars}) > 1,
        edited=[car.name for car in cars if car.edits],
        currencies=sorted({car.currency for car in cars if car.currency}),
        costs=charts.ranges(cars) if cars else "",
    )
