"""The page on which what names a person is erased, for an owner who confirmed a moment ago."""

# No postponed annotations here: FastAPI reads them.
import re
from collections.abc import Sequence
from typing import Annotated

from fastapi import APIRouter, Form, Response

from bradawl.access.core.models import desk_device
from bradawl.access.web.context import ConfirmedOwner, User
from bradawl.common.errors import ApiError
from bradawl.language import date, message, text

pages = APIRouter(prefix="/desk/visits/{visit}/forget")

#: The act in the trail, whoever does it.
ERASED = "values erased"  # stored: not shown
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d")
#: What is looked for, at most 200 characters.
Typed = Annotated[str, Form(max_length=200)]
Ticked = Annotated[list[str] | None, Form()]


def _page(
    owner: User, visit: str, typed: str = "", problem: ApiError | None = None, done: int = 0
) -> Response:
    forgetting = owner.parts.forgetting
    offered = forgetting.find(visit, words_of(typed))
    return owner.page(
        "people/forget.html",
        problem,
        title=owner.parts.title_of(visit) or text("access-erase-this-car"),
        visit=visit,
        found=[value for value in offered.found if value.erasable],
        stays=[value for value in offered.found if not value.erasable],
        others=offered.others,
        deleted=[(one.put, _taken(one.text)) for one in offered.deleted],
        named=forgetting.named(visit),
        remains=list(forgetting.remains(visit).sentences()),
        typed=typed,
        done=done,
    )


@pages.get("")
def show(visit: str, owner: ConfirmedOwner) -> Response:
    return _page(owner, visit)


@pages.post("/search")
def search(visit: str, owner: ConfirmedOwner, typed: Typed = "") -> Response:
    # sent in the body: an address is noted in more places than one
    return _page(owner, visit, typed)


@pages.post("")
def forget(
    visit: str,
    owner: ConfirmedOwner,
    value: Ticked = None,
    whole: Ticked = None,
    typed: Typed = "",
) -> Response:
    try:
        if not value and not whole:
            raise ApiError("nothing", message("access-nothing-checked"), 422)
        done = owner.parts.forgetting.forget(
            *(visit, value or (), desk_device(owner.person.id)),
            whole=whole or (),
            typed=words_of(typed),
        )
    except ApiError as problem:
        if problem.status == 404:
            raise
        return _page(owner, visit, typed, problem)
    owner.record(ERASED, f"{visit[:8]}: {done}", visit=visit)
    return _page(owner, visit, typed, done=done)


def _taken(told: str) -> str:
    """When it was taken, of what is recorded of a photo or recording: the one moment among it."""
    moment = next((line for line in told.splitlines() if _MOMENT.match(line)), "")
    return f"{date(moment[:10])} {moment[11:16]}" if moment else ""


def words_of(typed: str) -> Sequence[str]:
    """What somebody typed to be looked for: one name, address or number a line or comma."""
    return [part.strip() for part in typed.replace("\n", ",").split(",") if part.strip()]
