"""Pages for sharing one report: links for anybody, grants for readers, and the link's own page."""

# No postponed annotations here: FastAPI reads them.
from fastapi import APIRouter, Request, Response
from starlette.concurrency import run_in_threadpool

from bradawl.access.core import rate_limits
from bradawl.access.core.audit import NOBODY
from bradawl.access.core.client import address_of, stranger_of
from bradawl.access.core.tables import LinkRow
from bradawl.access.people.directory import EDITIONS
from bradawl.access.people.report_links import LIVES_DAYS
from bradawl.access.web.context import AnyUser, Here, Insider, Owner, Parts, Text, User, see
from bradawl.access.web.rendering import render
from bradawl.common.errors import ApiError
from bradawl.language import message, text

pages = APIRouter()


def _page(user: User, visit: str, problem: ApiError | None = None, made: str = "") -> Response:
    access = user.access
    return user.page(
        "sharing/share.html",
        problem,
        title=user.parts.title(visit),
        visit=visit,
        links=[(row, access.links.alive(row)) for row in access.links.of(visit)],
        lives=LIVES_DAYS,
        editions=EDITIONS,
        readers=[p for p in access.people.everybody() if p.role == "reader" and not p.disabled],
        made=made,
    )


@pages.get("/desk/visits/{visit}/share")
def share(visit: str, user: Insider) -> Response:
    return _page(user, visit)


@pages.post("/desk/visits/{visit}/links")
def make(
    visit: str, user: Insider, edition: Text = "condition", label: Text = "", days: Text = ""
) -> Response:
    title = user.parts.title(visit)
    try:
        link = user.access.links.make(visit, edition, label, int(days) if days.isdigit() else 0)
    except ApiError as problem:
        return _page(user, visit, problem)
    user.record(f"link to the {edition} report made", f"{title}: {label}", visit=visit)
    return _page(user, visit, made=user.access.origin_of(user.request) + link.path)


@pages.post("/desk/links/{link}/revoke")
def revoke(link: str, user: Insider) -> Response:
    row = user.access.links.revoke(link)
    user.record("link closed", row.label, visit=row.visit)
    return see(f"/desk/visits/{row.visit}/share")


@pages.post("/desk/visits/{visit}/grants")
def grant(
    visit: str, owner: Owner, person: Text = "", edition: Text = "", decision: Text = ""
) -> Response:
    title = owner.parts.title(visit)
    reader = owner.access.people.person(person)
    if decision == "take-back":
        owner.access.people.take_back(person, visit, edition)
    elif decision == "give" and reader.role == "reader":
        owner.access.people.grant(person, visit, edition)
    else:
        raise ApiError("decision", message("access-only-readers"), 422)
    owner.record(
        "report shared with" if decision == "give" else "report no longer shared with",
        f"{reader.name}: {title}, {edition}",
        visit=visit,
        edition=edition,
        subject=reader.name,
        subject_id=reader.id,
    )
    return see(f"/desk/visits/{visit}/share")


@pages.get("/desk/shared")
def shared(user: AnyUser) -> Response:
    granted = [
        (visit, edition, user.parts.title_of(visit))
        for visit, edition in user.access.people.granted(user.person.id)
    ]
    reports = [report for report in granted if report[2] is not None]
    return user.page("sharing/shared.html", reports=reports)


# The page of a link itself, for whoever holds it


@pages.get("/r/{link}")
def link_page(request: Request, link: str) -> Response:
    # The same page for every id: whether a link exists shows only with its key.
    return render(request, "sharing/link.html")


@pages.post("/r/{link}")
async def open_link(request: Request, parts: Here, link: str, key: Text = "") -> Response:
    row = await run_in_threadpool(_opened, request, parts, link, key.strip())
    if row is None:
        return render(request, "sharing/link.html", 404, text("access-link-dead"))
    limits, source = parts.access.limits, f"{row.id}/{stranger_of(request)}"
    await run_in_threadpool(limits.count, rate_limits.LINK_OPEN, source)
    times = await run_in_threadpool(limits.used, rate_limits.LINK_OPEN, source)
    async with parts.laying_out.turn(source, times):
        return await run_in_threadpool(_fetch, request, parts, row)


def _opened(request: Request, parts: Parts, link: str, key: str) -> LinkRow | None:
    access = parts.access
    row = access.links.open(link, key) if len(key) <= 100 else None
    if row is not None and parts.title_of(row.visit) is not None:
        return row
    # Counted when it is wrong and not before: a key that opens is never turned away.
    access.limits.count(rate_limits.LINK_MISS, stranger_of(request))
    access.audit.record_unasked(NOBODY, "report link did not open", "", address_of(request))
    return None


def _fetch(request: Request, parts: Parts, row: LinkRow) -> Response:
    pdf = parts.report(row.visit, row.edition)
    parts.access.links.count_opened(row.id)
    parts.access.audit.record(
        NOBODY, "report fetched by link", row.label, address_of(request),
        visit=row.visit, edition=row.edition,
    )  # fmt: skip
    headers = {
        "Content-Disposition": f'attachment; filename="report-{row.visit[:8]}.pdf"',
        "Cache-Control": "no-store",
    }
    return Response(pdf, media_type="application/pdf", headers=headers)
