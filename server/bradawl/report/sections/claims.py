"""What was said of the car, by whom, and what became of it.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus import Flowable

from bradawl import language
from bradawl.inspection.offer.claims import Claim, claims_of
from bradawl.language import text
from bradawl.report.layout.context import PageContext

__all__ = ["claims"]


def claims(page: PageContext) -> list[Flowable]:
    """The chapter; an edition that leaves out names does not say who said it."""
    rows = claims_of(page.view.cells, page.view.assessment, page.view.texts)
    if not rows:
        return []
    return [
        *page.heading("claims", text("report-claims-title")),
        page.sentence("report-claims-hint", "row"),
        *(line for row in rows for line in _claim(page, row)),
    ]


def _claim(page: PageContext, claim: Claim) -> Iterator[Flowable]:
    state = text("claims-state-" + claim.standing)
    yield page.paragraph(page.say("report-claims-row", claim=claim.title, state=state), "standing")
    who = text("claims-who-" + claim.who) if claim.who else ""
    day = language.date(claim.date) if claim.date else ""
    told = [part for part in (who, claim.name, day) if part]
    if claim.kind and claim.words:
        told.append(f"“{claim.words}”")
    if told:
        yield page.plain(" · ".join(told), "row")
    yield page.plain(claim.said, "row")
    if claim.photos:
        yield page.sentence("report-claims-proof", "row", count=len(claim.photos))
