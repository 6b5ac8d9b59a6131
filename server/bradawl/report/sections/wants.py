"""What the buyer wanted of the car, and whether it has it: in the shop's own copy alone.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from reportlab.platypus import Flowable

from bradawl.inspection.going.wants import wants_of
from bradawl.language import text
from bradawl.report.layout.context import PageContext

__all__ = ["wants"]


def wants(page: PageContext) -> list[Flowable]:
    """The chapter; no seller, buyer or stranger is told what somebody wanted of it."""
    if page.view.edition != "partner":
        return []
    rows = wants_of(page.view.cells, page.view.assessment, page.view.texts)
    flowables: list[Flowable] = []
    for row in rows:
        name, state = f"report-wants-{row.side}", text(row.state)
        flowables.append(page.paragraph(page.say(name, want=row.title, state=state), "standing"))
        if row.said:
            flowables.append(page.plain(row.said, "row"))
    return [*page.heading("wants", text("report-wants-title")), *flowables] if rows else []
