"""The page on which candidates stand side by side."""

import itertools
from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Query, Request, Response

from bradawl.desk.model.brief import MET
from bradawl.desk.model.candidates import flips
from bradawl.desk.model.labels import USES
from bradawl.desk.web import charts
from bradawl.desk.web.rendering import ANSWER_WORDS, render

if TYPE_CHECKING:
    from bradawl.desk.web.context import Desk

AT_FIRST = 4  # so many of the newest visits are compared until somebody chooses


def add(pages: APIRouter, desk: "Desk") -> None:
    """The comparison's page."""

    @pages.get("/compare")
    def compare(
        request: Request, visit: Annotated[list[str] | None, Query(max_length=50)] = None
    ) -> Response:
        rows = [row.summary for row in desk.summaries.rows() if row.summary is not None]
        wanted = visit or [row.visit for row in rows[:AT_FIRST]]
        asked = [row.summary for row in desk.summaries.of(wanted) if row.summary is not None]
        newest = {row.visit for row in rows}
        rows += [row for row in asked if row.visit not in newest]
        chosen = sorted((row.candidate for row in asked), key=lambda one: one.rank)
        return render(
            request,
            "visits/compare.html",
            rows=rows,
            wanted=set(wanted),
            cars=chosen,
            flips=[
                (ahead, behind, flips(ahead, behind))
                for ahead, behind in itertools.pairwise(chosen)
            ],
            briefs_differ=len({(one.uses, one.budget) for one in chosen}) > 1,
            edited=[one.car for one in chosen if one.edits],
            currencies=sorted({one.currency for one in chosen if one.currency}),
            answers=ANSWER_WORDS,
            uses=USES,
            met=MET,
            costs=charts.ranges(chosen) if chosen else "",
        )
