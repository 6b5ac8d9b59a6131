"""Chains that wait for the owner, and what the owner has set aside: confirm, fence, lift a fence.

A fence is a shop order, recorded as the owner: what it names is kept, shown as fenced, and passed
over wherever the record is put together.
"""

import re
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Form, Request, Response

from bradawl.common.errors import ApiError
from bradawl.desk.model import findings
from bradawl.desk.model.labels import car_name, label
from bradawl.desk.web import forms
from bradawl.desk.web.rendering import render, span_text
from bradawl.inspection.snapshot import Snapshot, UnknownVisit

if TYPE_CHECKING:
    from bradawl.desk.model.summaries import Chain
    from bradawl.desk.web.context import Desk

SHOP = "shop"
ON_A_PAGE = 200
LAST = 2**53
_DEVICE = re.compile(r"[0-9a-f]{32}", re.ASCII).fullmatch


def add(pages: APIRouter, desk: "Desk") -> None:
    """The list of chains, one chain's entries, and what is decided about them."""

    @pages.get("/chains")
    def listing(request: Request, person: Annotated[Any, Depends(desk.person)]) -> Response:
        require_owner(desk, person)
        names = Names(desk)
        return render(
            request,
            "records/chains.html",
            waiting=[waiting_of(desk, chain, names) for chain in desk.log.chains() if chain.marked],
            fences=fences_of(desk, names),
            clocks=clocks_of(desk, names),
        )

    @pages.get("/chains/{device}")
    def entries(
        request: Request,
        device: str,
        person: Annotated[Any, Depends(desk.person)],
        first: int = 1,
    ) -> Response:
        require_owner(desk, person)
        chain = chain_of(desk, device)
        names = Names(desk)
        first = max(1, min(first, chain.held))
        return render(
            request,
            "records/chain.html",
            chain=waiting_of(desk, chain, names),
            rows=[
                row_of(desk, event, names) for event in desk.log.events_by(device, first, ON_A_PAGE)
            ],
            first=first,
            page=ON_A_PAGE,
        )

    @pages.post("/chains/{device}/confirm")
    def confirm(
        request: Request, device: str, person: Annotated[Any, Depends(desk.owner)]
    ) -> Response:
        """The owner vouches for a chain: it counts as before, and is marked no more."""
        chain_of(desk, device)
        desk.log.confirm(device)
        desk.note(request, person, "confirmed entries", device[:8])
        return forms.back("/desk/chains")

    @pages.post("/chains/{device}/fence")
    def fence(
        request: Request,
        device: str,
        person: Annotated[Any, Depends(desk.owner)],
        seq: Annotated[int, Form(ge=1, lt=LAST)],
        only: Annotated[bool, Form()] = False,
        back: Annotated[str, Form(max_length=200)] = "/desk/chains",
    ) -> Response:
        """Set a chain aside from an entry on, or, with `only`, that entry alone."""
        if seq > chain_of(desk, device).held:
            raise forms.stale("This entry is not here any more; nothing was changed.")
        value = {"to_seq": seq if only else None, "why": "set aside by the owner"}
        order(desk, person, f"fence/{device}/{seq}", value)
        desk.note(request, person, "fenced entries", f"{device[:8]} from {seq}")
        return forms.back(within_desk(back))

    @pages.post("/chains/{device}/lift")
    def lift(
        request: Request,
        device: str,
        person: Annotated[Any, Depends(desk.owner)],
        seq: Annotated[int, Form(ge=1, lt=LAST)],
        back: Annotated[str, Form(max_length=200)] = "/desk/chains",
    ) -> Response:
        """Let what a fence had set aside count again."""
        chain_of(desk, device)
        order(desk, person, f"fence/{device}/{seq}", None)
        desk.note(request, person, "lifted a fence", f"{device[:8]} from {seq}")
        return forms.back(within_desk(back))


def require_owner(desk: "Desk", person: Any) -> None:
    """Raises ApiError 403 for anybody else: whose entries count is the owner's matter."""
    if not desk.is_owner(person):
        raise ApiError("owners_only", "Only an owner may look through these.", 403)


def within_desk(place: str) -> str:
    """Where a form leads back to: a page of the desk, never elsewhere."""
    return place if re.fullmatch(r"/desk/[a-z0-9/?=&#-]*", place) else "/desk/chains"


def order(desk: "Desk", person: Any, path: str, value: Any) -> None:
    """Record one of the shop's orders as a person at the desk."""
    desk.log.append_in(desk.device_of(person), [(SHOP, path, value)])


def chain_of(desk: "Desk", device: str) -> "Chain":
    """A chain that there is. Raises ApiError 404."""
    found = next((chain for chain in desk.log.chains() if chain.device == device), None)
    if found is None:
        raise ApiError("unknown_chain", "No entries of such a phone are on this server.", 404)
    return found


class Names:
    """What devices and inspections are called, each looked up once for a page."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk
        self._snapshots: dict[str, Snapshot | None] = {}

    def device(self, device: str) -> str:
        """A phone's name, or its number."""
        return self._desk.name_of(device)

    def snapshot(self, scope: str) -> Snapshot | None:
        """The inspection of a scope, where it is one that can be shown."""
        visit = scope.removeprefix("inspection/")
        if visit == scope:
            return None
        if visit not in self._snapshots:
            try:
                self._snapshots[visit] = self._desk.snapshots(visit)
            except UnknownVisit:
                self._snapshots[visit] = None
        return self._snapshots[visit]

    def scope(self, scope: str) -> dict[str, str]:
        """{"visit", "text"}: an inspection by its car; other scopes in words."""
        snapshot = self.snapshot(scope)
        if snapshot is not None:
            return {"visit": snapshot.visit, "text": car_name(snapshot.cells)}
        words = "the shop" if scope == SHOP else scope.partition("/")[0].replace("car", "a car")
        return {"visit": "", "text": words}


def waiting_of(desk: "Desk", chain: "Chain", names: Names) -> dict[str, Any]:
    """A chain as the owner reads of it."""
    return {
        "device": chain.device,
        "name": names.device(chain.device),
        "after": names.device(chain.continues) if chain.continues else "",
        "reason": chain.reason,
        "marked": bool(chain.marked),
        "held": chain.held,
        "received": f"{chain.received_ms:015d}",
        "touches": [names.scope(scope) for scope in desk.log.scopes_of(chain.device)],
        "fence": fence_of(desk.log.orders(), chain.device, 1),
    }


def fence_of(orders: dict[str, Any], device: str, seq: int) -> int | None:
    """From which entry on the fence reaches that an entry lies behind; None outside of any."""
    for first, last, _ in orders["fence"].get(device, ()):
        if first <= seq and (last is None or seq <= last):
            return int(first)
    return None


def fences_of(desk: "Desk", names: Names) -> list[dict[str, Any]]:
    """Every fence that stands."""
    return [
        {"device": device, "name": names.device(device), "first": first, "last": last, "why": why}
        for device, rows in sorted(desk.log.orders()["fence"].items())
        for first, last, why in rows
        if _DEVICE(device)
    ]


def clocks_of(desk: "Desk", names: Names) -> list[dict[str, Any]]:
    """Every run of entries whose clock lay far ahead, with how far."""
    rows = []
    for device, runs in sorted(desk.log.orders()["clock"].items()):
        for first, last, received_ms in runs:
            there = desk.log.events_by(device, first, 1)
            stamped_ms = int(there[0]["at"][:15]) if there else received_ms
            rows.append(
                {
                    "device": device,
                    "name": names.device(device),
                    "first": first,
                    "last": last,
                    "ahead": span_text(stamped_ms - received_ms),
                    "received": f"{received_ms:015d}",
                }
            )
    return rows


def row_of(desk: "Desk", event: dict[str, Any], names: Names) -> dict[str, Any]:
    """One entry of a chain in words."""
    snapshot = names.snapshot(event["scope"])
    bundle = snapshot.bundle if snapshot is not None else {}
    return {
        "seq": event["seq"],
        "device": event["device"],
        "at": findings.rank_of(event),
        "scope": names.scope(event["scope"]),
        "label": label(event["put"], bundle),
        "text": findings.event_text(event, bundle),
        "fence": fence_of(desk.log.orders(), event["device"], event["seq"]),
    }
