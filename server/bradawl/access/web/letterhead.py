"""The desk's form for the shop's letterhead, and where its check page is."""

# No postponed annotations here: FastAPI reads them.
from fastapi import APIRouter, Response

from bradawl.access.web.context import Owner, Text, User, see
from bradawl.common.errors import ApiError
from bradawl.common.letterhead import LONGEST, Letterhead, checked, letterhead_of

pages = APIRouter(prefix="/desk/letterhead")


def _page(owner: User, shown: Letterhead, problem: ApiError | None = None) -> Response:
    return owner.page(
        "keys/letterhead.html",
        problem,
        letterhead=shown,
        longest=LONGEST,
        here="/desk/letterhead",
        problem=problem.message if problem else "",
    )


@pages.get("")
def show(owner: Owner) -> Response:
    return _page(owner, owner.parts.letterhead())


@pages.post("")
def keep(
    owner: Owner,
    name: Text = "",
    address: Text = "",
    phone: Text = "",
    web: Text = "",
    check_page: Text = "",
) -> Response:
    given = {"name": name, "address": address, "phone": phone, "web": web, "check_page": check_page}
    try:
        letterhead = checked(given)
    except ApiError as problem:
        return _page(owner, letterhead_of(given), problem)
    owner.parts.keep_letterhead(owner.person, letterhead)
    owner.record("letterhead changed", letterhead.name)
    return see("/desk/letterhead")
