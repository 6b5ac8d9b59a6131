"""Pages for sharing one report: links for anybody, grants for readers, and the link's own page."""

# No postponed annotations here: FastAPI reads them, and these name local values.
from collections.abc import Callable
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response
from fastapi.responses import RedirectResponse
from starlette.concurrency import run_in_threadpool

from bradawl.access.core import rate_limits
from bradawl.access.core.audit import NOBODY
from bradawl.access.core.client import address_of, stranger_of
from bradawl.access.core.models import Person
from bradawl.access.core.tables import LinkRow
from bradawl.access.people.directory import EDITIONS
from bradawl.access.people.report_links import LIVES_DAYS
from bradawl.access.people.sessions import SignedIn
from bradawl.access.people.turns import Turns
from bradawl.access.web.auth import Access
from bradawl.access.web.rendering import render
from bradawl.common.errors import ApiError

Text = Annotated[str, Form()]
EDITION_WORDS = {
    "condition": "condition report (no money)",
    "partner": "partner edition (with cost, reserve and price)",
}
DEAD_LINK = (
    "This link does not open anything: it was closed, its time is over, or part of it is "
    "missing. Ask whoever sent it for a new one."
)


def add(
    routes: APIRouter,
    access: Access,
    *,
    title_of: Callable[[str], str | None],
    report: Callable[[str, str], bytes],
) -> None:
    """`title_of` names a visit's car or gives None for an unknown visit; `report` makes the PDF of
    (visit, edition)."""
    Insider = Annotated[Person, Depends(access.person)]  # noqa: N806 - a type
    Owner = Annotated[Person, Depends(access.owner)]  # noqa: N806 - a type

    def title_or_404(visit: str) -> str:
        title = title_of(visit)
        if title is None:
            raise ApiError("unknown_visit", "No visit with this id is on this server.", 404)
        return title

    def page(
        request: Request,
        visit: str,
        me: Person,
        status: int = 200,
        problem: str = "",
        made: str = "",
    ) -> Response:
        readers = [
            one for one in access.people.everybody() if one.role == "reader" and not one.disabled
        ]
        return render(
            request,
            "sharing/share.html",
            status,
            problem,
            title=title_or_404(visit),
            visit=visit,
            me=me,
            links=[(row, access.links.alive(row)) for row in access.links.of(visit)],
            lives=LIVES_DAYS,
            editions=EDITION_WORDS,
            readers=readers,
            made=made,
        )

    @routes.get("/desk/visits/{visit}/share")
    def share(request: Request, visit: str, me: Insider) -> Response:
        return page(request, visit, me)

    @routes.post("/desk/visits/{visit}/links")
    def make(
        request: Request,
        visit: str,
        me: Insider,
        edition: Text = "condition",
        label: Text = "",
        days: Text = "",
    ) -> Response:
        title = title_or_404(visit)
        try:
            new = access.links.make(visit, edition, label, int(days) if days.isdigit() else 0)
        except ApiError as wrong:
            return page(request, visit, me, wrong.status, wrong.message)
        access.audit.record(
            me.name,
            f"link to the {edition} report made",
            f"{title}, for {label}",
            address_of(request),
            visit=visit,
        )
        return page(request, visit, me, made=access.origin_of(request) + new.path)

    @routes.post("/desk/links/{link}/revoke")
    def revoke(request: Request, link: str, me: Insider) -> Response:
        row = access.links.revoke(link)
        access.audit.record(me.name, "link closed", row.label, address_of(request), visit=row.visit)
        return RedirectResponse(f"/desk/visits/{row.visit}/share", 303)

    @routes.post("/desk/visits/{visit}/grants")
    def grant(
        request: Request,
        visit: str,
        me: Owner,
        person: Text = "",
        edition: Text = "",
        decision: Text = "",
    ) -> Response:
        title = title_or_404(visit)
        who = access.people.person(person)
        if decision == "take-back":
            access.people.take_back(person, visit, edition)
        elif decision == "give" and who.role == "reader":
            access.people.grant(person, visit, edition)
        else:
            raise ApiError("decision", "Only a reader is given single reports.", 422)
        act = "report shared with" if decision == "give" else "report no longer shared with"
        access.audit.record(
            me.name, act, f"{who.name}: {title}, {edition}", address_of(request),
            visit=visit, edition=edition, subject=who.name, subject_id=who.id,
        )  # fmt: skip
        return RedirectResponse(f"/desk/visits/{visit}/share", 303)

    @routes.get("/desk/shared")
    def shared(request: Request, who: Annotated[SignedIn, Depends(access.signed_in)]) -> Response:
        granted = [
            (visit, edition, title_of(visit))
            for visit, edition in access.people.granted(who.person.id)
        ]
        return render(
            request,
            "sharing/shared.html",
            me=who.person,
            reports=[one for one in granted if one[2] is not None],
            editions=EDITION_WORDS,
        )

    _add_link(routes, access, title_of, report)


def _add_link(
    routes: APIRouter,
    access: Access,
    title_of: Callable[[str], str | None],
    report: Callable[[str, str], bytes],
) -> None:
    """The page of a link itself, for whoever holds it."""
    # Who opens a link again and again costs the others a wait at most.
    laying_out = Turns(at_once=1, each=2, waiting=100)

    @routes.get("/r/{link}")
    def link_page(request: Request, link: str) -> Response:
        # The same page for every id: whether a link exists shows only with its key.
        return render(request, "sharing/link.html")

    @routes.post("/r/{link}")
    async def open_link(request: Request, link: str, key: Text = "") -> Response:
        stranger = stranger_of(request)
        row = await run_in_threadpool(look, request, link, key.strip())
        if row is None:
            return render(request, "sharing/link.html", 404, DEAD_LINK)
        source = f"{row.id}/{stranger}"
        await run_in_threadpool(access.limits.count, rate_limits.LINK_OPEN, source)
        opened = await run_in_threadpool(access.limits.used, rate_limits.LINK_OPEN, source)
        async with laying_out.turn(source, opened):
            return await run_in_threadpool(fetch, request, row)

    def look(request: Request, link: str, key: str) -> LinkRow | None:
        row = access.links.open(link, key) if len(key) <= 100 else None
        if row is not None and title_of(row.visit) is not None:
            return row
        # Counted when it is wrong and not before: a key that opens is never turned away.
        access.limits.count(rate_limits.LINK_MISS, stranger_of(request))
        access.audit.record_unasked(NOBODY, "report link did not open", "", address_of(request))
        return None

    def fetch(request: Request, row: LinkRow) -> Response:
        pdf = report(row.visit, row.edition)
        access.links.count_opened(row.id)
        access.audit.record(
            NOBODY, "report fetched by link", row.label, address_of(request),
            visit=row.visit, edition=row.edition,
        )  # fmt: skip
        return Response(
            pdf,
            media_type="application/pdf",
            headers={
                "Content-Disposition": f'attachment; filename="report-{row.visit[:8]}.pdf"',
                "Cache-Control": "no-store",
            },
        )


assert set(EDITION_WORDS) == set(EDITIONS)
