"""The desk's form for the shop's letterhead, and where its check page is."""

# No postponed annotations here: FastAPI reads them.
from collections.abc import Mapping

from fastapi import APIRouter, Response

from bradawl.access.web.context import Owner, Text, User, see
from bradawl.common.errors import ApiError

pages = APIRouter(prefix="/desk/letterhead")


def _page(owner: User, shown: Mapping[str, str], problem: ApiError | None = None) -> Response:
    return owner.page(
        "keys/letterhead.html",
        problem,
        letterhead=shown,
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
        owner.parts.keep_letterhead(owner.person, given)
    except ApiError as problem:
        return _page(owner, given, problem)
    owner.record("letterhead changed", name[:60])
    return see("/desk/letterhead")
