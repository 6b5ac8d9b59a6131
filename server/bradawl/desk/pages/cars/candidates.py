"""The page on which candidates stand side by side."""

import itertools
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from bradawl.desk.model.visits.candidates import flips
from bradawl.desk.model.visits.summaries import ON_A_PAGE
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
    words: Annotated[str, Query(max_length=80)] = "",
    page: Annotated[int, Query(ge=1, le=100_000)] = 1,
) -> Response:
    """Every chosen car has a column: one that is not judged yet says so there, and fills in.

    The cars to choose from are all of them, a page at a time, or those that have the words. What
    is ticked comes along, whatever page it stands on.
    """
    words, first = words.strip(), (page - 1) * ON_A_PAGE
    if words:
        listed, count, waiting = desk.summaries.find(words, first)
    else:
        listed, count, waiting = desk.summaries.rows(first), desk.summaries.count(), 0
    newest = [] if words or page > 1 else [row.visit for row in listed[:AT_FIRST]]
    wanted = list(dict.fromkeys(visit or newest))
    chosen = desk.summaries.of(wanted)
    on_page = {row.visit for row in listed}
    rows = [*(row for row in chosen if row.visit not in on_page), *listed]
    unreadable = {row.visit for row in rows if desk.summaries.unreadable(row)}
    cars = sorted(
        (row.summary.candidate for row in chosen if row.summary is not None),
        key=lambda car: car.rank,
    )
    return render(
        request,
        "visits/compare.html",
        rows=rows,
        found=bool(listed),
        words=words,
        page=page,
        pages=max(1, -(-count // ON_A_PAGE)),
        waiting=waiting,
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
        briefs_differ=len({car.brief for car in cars}) > 1,
        edited=[car.name for car in cars if car.edits],
        currencies=sorted({car.currency for car in cars if car.currency}),
        costs=charts.ranges(cars) if cars else "",
    )
