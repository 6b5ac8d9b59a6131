"""Chains that wait for the owner, and what the owner has set aside: confirm, fence, lift a fence.

What is decided is a shop order, recorded as the owner.
"""

import re
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, Response

from bradawl.desk.model.errors import stale
from bradawl.desk.model.records.chains import (
    BY_OWNER,
    SHOP,
    Names,
    chain_of,
    chain_view,
    clocks_of,
    entry_view,
    fences_of,
)
from bradawl.desk.web import forms
from bradawl.desk.web.context import Desk, DeskHere, OnlyOwner, Owner
from bradawl.desk.web.rendering import render
from bradawl.language import message

pages = APIRouter(prefix="/chains")
ON_A_PAGE = 200
LAST = 2**53
Seq = Annotated[int, Form(ge=1, lt=LAST)]
Address = Annotated[str, Form(max_length=200)]


@pages.get("", dependencies=[OnlyOwner])
def list_chains(request: Request, desk: DeskHere) -> Response:
    log, names = desk.log, Names(desk.name_of, desk.snapshots)
    return render(
        request,
        "records/chains.html",
        waiting=[chain_view(log, chain, names) for chain in log.chains() if chain.marked],
        fences=fences_of(log, names),
        clocks=clocks_of(log, names),
    )


@pages.get("/{device}", dependencies=[OnlyOwner])
def show_chain(request: Request, desk: DeskHere, device: str, first: int = 1) -> Response:
    log, names = desk.log, Names(desk.name_of, desk.snapshots)
    chain = chain_of(log, device)
    first = max(1, min(first, chain.held))
    return render(
        request,
        "records/chain.html",
        chain=chain_view(log, chain, names),
        rows=[entry_view(log, event, names) for event in log.events_by(device, first, ON_A_PAGE)],
        first=first,
        page=ON_A_PAGE,
    )


@pages.post("/{device}/confirm")
def confirm(request: Request, desk: DeskHere, owner: Owner, device: str) -> Response:
    """The owner vouches for a chain: it counts as before, and is marked no more."""
    chain_of(desk.log, device)
    desk.log.confirm(device)
    desk.note(request, owner, "confirmed entries", device[:8])  # stored: not shown
    return forms.back("/desk/chains")


@pages.post("/{device}/fence")
def fence(
    request: Request,
    desk: DeskHere,
    owner: Owner,
    device: str,
    seq: Seq,
    only: Annotated[bool, Form()] = False,
    back: Address = "/desk/chains",
) -> Response:
    """Set a chain aside from an entry on, or, with `only`, that entry alone."""
    if seq > chain_of(desk.log, device).held:
        raise stale(message("desk-chains-gone"))
    value = {"to_seq": seq if only else None, "why": BY_OWNER}
    _order(desk, owner, f"fence/{device}/{seq}", value)
    desk.note(request, owner, "fenced entries", f"{device[:8]} from {seq}")  # stored: not shown
    return forms.back(_within_desk(back))


@pages.post("/{device}/lift")
def lift(
    request: Request,
    desk: DeskHere,
    owner: Owner,
    device: str,
    seq: Seq,
    back: Address = "/desk/chains",
) -> Response:
    """Let what a fence had set aside count again."""
    chain_of(desk.log, device)
    _order(desk, owner, f"fence/{device}/{seq}", None)
    desk.note(request, owner, "lifted a fence", f"{device[:8]} from {seq}")  # stored: not shown
    return forms.back(_within_desk(back))


def _order(desk: Desk, owner: Any, path: str, value: Any) -> None:
    """Record one of the shop's orders as its owner."""
    desk.log.append_in(desk.device_of(owner), [(SHOP, path, value)])


def _within_desk(place: str) -> str:
    """Where a form leads back to: a page of the desk, never elsewhere."""
    return place if re.fullmatch(r"/desk/[a-z0-9/?=&#-]*", place) else "/desk/chains"
