"""The page on which a seller's personal data is forgotten."""

# No postponed annotations here: FastAPI reads them, and these name local values.
from collections.abc import Callable
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response

from bradawl.access.access import Access
from bradawl.access.forgetting import Forgetting
from bradawl.access.pages import render
from bradawl.access.people import Person, desk_device
from bradawl.access.requests import address_of
from bradawl.errors import ApiError


def add(
    routes: APIRouter,
    access: Access,
    forgetting: Forgetting,
    *,
    title_of: Callable[[str], str | None],
) -> None:
    """`GET` and `POST /desk/visits/VISIT/forget`, for an owner who confirmed a moment ago."""
    Confirmed = Annotated[Person, Depends(access.confirmed_owner)]  # noqa: N806 - a type

    def page(
        request: Request,
        visit: str,
        me: Person,
        *,
        done: int = 0,
        status: int = 200,
        problem: str = "",
    ) -> Response:
        return render(
            request,
            "forget.html",
            status,
            problem,
            title=title_of(visit) or "this visit",
            visit=visit,
            me=me,
            found=forgetting.find(visit),
            done=done,
        )

    @routes.get("/desk/visits/{visit}/forget")
    def look(request: Request, visit: str, me: Confirmed) -> Response:
        return page(request, visit, me)

    @routes.post("/desk/visits/{visit}/forget")
    def forget(
        request: Request,
        visit: str,
        me: Confirmed,
        value: Annotated[list[str] | None, Form()] = None,
    ) -> Response:
        chosen = []
        for one in value or []:
            put, _, part = one.partition("|")
            chosen.append((put, part))
        if not chosen:
            return page(
                request, visit, me, status=422, problem="Nothing was ticked; nothing was changed."
            )
        try:
            done = forgetting.forget(visit, chosen, desk_device(me.id))
        except ApiError as wrong:
            if wrong.status == 404:
                raise
            return page(request, visit, me, status=wrong.status, problem=wrong.message)
        access.audit.record(
            me.name, f"forgot {done} values", title_of(visit) or visit, address_of(request),
            visit=visit,
        )  # fmt: skip
        return page(request, visit, me, done=done)
