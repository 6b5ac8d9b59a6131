"""The desk's specimen: marks, letters and components beside one another, for who works on it."""

from fastapi import APIRouter, Request, Response

from bradawl.desk.web.rendering import render

pages = APIRouter()
#: Every grade, and none yet.
GRADES = ("", "uninspected", "none", "minor", "major", "dangerous")


@pages.get("/specimen")
def show_specimen(request: Request) -> Response:
    return render(request, "specimen.html", grades=GRADES)
