"""Entries of the ledger as a page shows them, and the puts that add, correct and take back one."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from bradawl.desk.model import photo_views
from bradawl.desk.model.labels import car_name
from bradawl.desk.model.money.car import CarMoney, money_of
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.ledger import entries as ledger
from bradawl.judge.ledger import sums

if TYPE_CHECKING:
    from bradawl.judge.values.types import LedgerEntry, LedgerGroup

#: What a list of entries can be narrowed to.
FILTERS = ("kind", "job", "vendor", "who")
ME = "me"


def new_id() -> str:
    """The id of an entry that nobody wrote yet."""
    return secrets.token_hex(6)


@dataclass(frozen=True)
class EntryView:
    """One entry with its corrections: what holds, what it replaced, and what stands against it."""

    group: LedgerGroup
    shown: LedgerEntry  # what holds, or what was taken back
    withdrawn: bool
    cents: int  # what it adds to the sum
    replaced: list[LedgerEntry]  # the newest first
    against: list[LedgerEntry]  # written unseen of what holds
    photos: list[dict[str, Any]] = field(default_factory=list)

    @property
    def open_ids(self) -> str:
        """What a correction of it is written in view of."""
        return " ".join(entry["id"] for entry in self.group["open"])


def view_of(snapshot: Snapshot, group: LedgerGroup) -> EntryView:
    """One group of entries as a page shows it."""
    holds = group["counts"]
    first = group["open"][0]
    before = [one for one in group["entries"] if one not in group["open"]]
    shown = holds or next((one for one in reversed(before) if not one["withdrawn"]), first)
    ids = [entry["id"] for entry in group["entries"]]
    return EntryView(
        group=group,
        shown=shown,
        withdrawn=holds is None,
        cents=ledger.paid(holds) if holds is not None else 0,
        replaced=[one for one in reversed(before) if one is not shown],
        against=group["open"][1:],
        photos=[
            photo_views.photo_view(path.rsplit("/", 1)[1], cell["value"], snapshot)
            for path, cell in sorted(snapshot.cells.items())
            if path.startswith("ledger/")
            and "/photos/" in path
            and path.split("/")[1] in ids
            and cell["value"] is not None
        ],
    )


def entry_views(snapshot: Snapshot, money: CarMoney) -> list[EntryView]:
    """Every entry, the newest first."""
    views = [view_of(snapshot, group) for group in money.groups]
    views.sort(key=lambda view: (view.shown["date"], view.group["entries"][0]["at"]), reverse=True)
    return views


def narrowed(views: list[EntryView], wanted: dict[str, str]) -> list[EntryView]:
    """Those entries that are of the wanted kind, job, vendor, and paid by whom it says."""

    def is_wanted(entry: LedgerEntry) -> bool:
        return (
            wanted["kind"] in ("", entry["kind"])
            and (not wanted["job"] or wanted["job"] in entry["jobs"])
            and wanted["vendor"] in ("", entry["vendor"])
            and wanted["who"] in ("", entry["paid_by"] or ME)
        )

    return [view for view in views if is_wanted(view.shown)]


def group_of(money: CarMoney, name: str) -> LedgerGroup | None:
    """The entry of that id with its corrections; None where there is none."""
    for group in money.groups:
        if any(entry["id"] == name for entry in group["entries"]):
            return group
    return None


def corrected(value: dict[str, Any], group: LedgerGroup) -> dict[str, Any]:
    """A correction: it replaces what holds, and settles what was written beside it."""
    first, *others = group["open"]
    value = {**value, "replaces": first["id"]}
    if others:
        value["settles"] = [other["id"] for other in others]
    if "order" not in value and first["order"] is not None:
        value["order"] = dict(first["order"])
    return value


@dataclass(frozen=True)
class Share:
    """One car's share of an order, and what of that car's work it is for."""

    visit: str
    cents: int
    jobs: tuple[str, ...] = ()


def split(
    value: dict[str, Any], order_id: str, shares: list[Share]
) -> list[tuple[str, dict[str, Any]]]:
    """(visit, entry) of each car's share; the first car is the one whose page the order is on.

    Freight and deposit are shared as the amount is; what does not divide stays with the first.
    """
    total = value["amount_cents"]
    order = {"id": order_id, "total_cents": total, "cars": [share.visit for share in shares]}
    parts: dict[str, list[int]] = {}
    for name in ("core_cents", "freight_cents"):
        each = [value.get(name, 0) * share.cents // total if total else 0 for share in shares]
        each[0] += value.get(name, 0) - sum(each)
        parts[name] = each
    entries = []
    for n, share in enumerate(shares):
        own = {**value, "amount_cents": share.cents, "order": order}
        if n:
            own |= {"jobs": list(share.jobs), "line": ""}
        for name, each in parts.items():
            own[name] = each[n]
        entries.append((share.visit, {key: held for key, held in own.items() if held}))
    return entries


@dataclass(frozen=True)
class ShareView:
    """One car's share of an order, as it stands on that car."""

    visit: str
    car: str
    entry: str  # the id by which its page is asked for
    cents: int
    jobs: list[str]  # what they are called


def share_of(snapshot: Snapshot, order_id: str) -> ShareView | None:
    """The share that a car has in an order; None where it was taken back."""
    money = money_of(snapshot)
    for group in money.groups:
        holds = group["counts"]
        order = holds["order"] if holds is not None else None
        if holds is not None and order is not None and order["id"] == order_id:
            return ShareView(
                snapshot.visit,
                car_name(snapshot.cells),
                group["entries"][0]["id"],
                ledger.paid(holds),
                money.jobs_of(holds),
            )
    return None


def equal_shares(total_cents: int, visits: list[str]) -> list[Share]:
    """A total in equal shares, to the cent."""
    return [
        Share(visit, cents)
        for visit, cents in zip(visits, sums.shares(total_cents, len(visits)), strict=True)
    ]
