"""Everything that was recorded in one inspection, entry by entry, and what became of each."""

from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Query, Response

from bradawl.desk.model import findings
from bradawl.desk.model.labels import label
from bradawl.desk.pages.chains import fence_of
from bradawl.desk.web.visit_page import Asked, asked_of, render_visit

if TYPE_CHECKING:
    from bradawl.desk.web.context import Desk

ON_A_PAGE = 200


def add(pages: APIRouter, desk: "Desk") -> None:
    """The history of an inspection, the newest entries first."""

    @pages.get("/visits/{visit}/history")
    def history(
        asked: Annotated[Asked, Depends(asked_of(desk))],
        person: Annotated[Any, Depends(desk.person)],
        page: Annotated[int, Query(ge=1, le=10_000)] = 1,
    ) -> Response:
        snapshot = asked.snapshot
        events = sorted(snapshot.events, key=findings.rank_of, reverse=True)
        first = (page - 1) * ON_A_PAGE
        orders = desk.log.orders()
        names: dict[str, str] = {}
        rows = []
        for event in events[first : first + ON_A_PAGE]:
            device = event["device"]
            if device not in names:
                names[device] = desk.name_of(device)
            rows.append(
                {
                    "device": device,
                    "seq": event["seq"],
                    "author": names[device],
                    "at": findings.rank_of(event),
                    "corrected": "rank" in event,
                    "label": label(event["put"], snapshot.bundle),
                    "text": findings.event_text(event, snapshot.bundle),
                    "unconfirmed": device in snapshot.unconfirmed,
                    "fence": fence_of(orders, device, event["seq"]),
                }
            )
        return render_visit(
            asked,
            "records/history.html",
            tab="history",
            rows=rows,
            page=page,
            pages=max(1, -(-len(events) // ON_A_PAGE)),
            zone=findings.zone_of(snapshot),
            owner=desk.is_owner(person),
        )
