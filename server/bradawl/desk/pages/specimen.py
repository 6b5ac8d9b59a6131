"""The desk's specimen: marks, letters and components beside one another, for who works on it."""

import itertools

from fastapi import APIRouter, Request, Response
from markupsafe import Markup

from bradawl import design
from bradawl.design import outlines
from bradawl.design.outlines import BodyStyle
from bradawl.desk.web.car_map import drawn_car
from bradawl.desk.web.rendering import render
from bradawl.inspection.said import place_text
from bradawl.judge.values.grades import FAULTS

pages = APIRouter()
#: Every grade, and none yet.
GRADES = ("", "uninspected", "none", "minor", "major", "dangerous")
#: One that opens at the side, one with a bed.
STYLES: tuple[BodyStyle, ...] = ("hatchback", "pickup")


@pages.get("/specimen")
def show_specimen(request: Request) -> Response:
    return render(request, "specimen.html", grades=GRADES, cars=[full_car(name) for name in STYLES])


def full_car(style: BodyStyle) -> Markup:
    """A car with paint on every panel and a tag at every place, every fourth of them torn off."""
    panels = outlines.panels_of(style)
    places = (*panels, *outlines.places_of(style))
    graded = zip(places, itertools.cycle(FAULTS), strict=False)
    at = {
        place: [(number, {"id": place, "title": place_text(place), "grade": grade})]
        for number, (place, grade) in enumerate(graded, start=1)
    }
    finishes = zip(panels, itertools.cycle(design.finishes()), strict=False)
    figures = dict.fromkeys(panels, "35.4")
    return drawn_car(style, at, figures, dict(finishes), places[::4])
