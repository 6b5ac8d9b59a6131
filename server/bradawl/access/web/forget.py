"""The page on which what names a person is erased."""

# No postponed annotations here: FastAPI reads them, and these name local values.
from collections.abc import Callable, Sequence
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response

from bradawl.access.core.client import address_of
from bradawl.access.core.models import Person, desk_device
from bradawl.access.personal_data.forgetting import Forgetting
from bradawl.access.web.auth import Access
from bradawl.access.web.rendering import render
from bradawl.common.errors import ApiError

MAX_TYPED = 200  # characters of what is looked for


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
        typed: str = "",
        done: int = 0,
        status: int = 200,
        problem: str = "",
    ) -> Response:
        offered = forgetting.find(visit, words_of(typed))
        return render(
            request,
            "people/forget.html",
            status,
            problem,
            title=title_of(visit) or "this visit",
            visit=visit,
            me=me,
            found=[one for one in offered.found if one.erasable],
            stays=[one for one in offered.found if not one.erasable],
            others=offered.others,
            named=forgetting.named(visit),
            remains=list(forgetting.remains(visit).sentences()),
            typed=typed,
            done=done,
        )

    @routes.get("/desk/visits/{visit}/forget")
    def look(request: Request, visit: str, me: Confirmed) -> Response:
        return page(request, visit, me)

    @routes.post("/desk/visits/{visit}/forget/search")
    def look_for(
        request: Request,
        visit: str,
        me: Confirmed,
        typed: Annotated[str, Form(max_length=MAX_TYPED)] = "",
    ) -> Response:
        # sent in the body: an address is noted in more places than one
        return page(request, visit, me, typed=typed)

    @routes.post("/desk/visits/{visit}/forget")
    def forget(
        request: Request,
        visit: str,
        me: Confirmed,
        value: Annotated[list[str] | None, Form()] = None,
        whole: Annotated[list[str] | None, Form()] = None,
        typed: Annotated[str, Form(max_length=MAX_TYPED)] = "",
    ) -> Response:
        if not value and not whole:
            problem = "Nothing was ticked; nothing was changed."
            return page(request, visit, me, typed=typed, status=422, problem=problem)
        try:
            done = forgetting.forget(
                visit, value or (), desk_device(me.id), whole=whole or (), typed=words_of(typed)
            )
        except ApiError as wrong:
            if wrong.status == 404:
                raise
            return page(request, visit, me, typed=typed, status=wrong.status, problem=wrong.message)
        access.audit.record(
            me.name,
            f"erased {done} values",
            f"inspection {visit[:8]}",
            address_of(request),
            visit=visit,
        )
        return page(request, visit, me, typed=typed, done=done)


def words_of(typed: str) -> Sequence[str]:
    """What somebody typed to be looked for: one name, address or number a line or comma."""
    return [part.strip() for part in typed.replace("\n", ",").split(",") if part.strip()]
