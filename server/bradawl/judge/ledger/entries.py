"""The entries of a car's ledger, and which of them count.

An entry stands at ledger/<id>, written once. A correction is an entry of its own that `replaces`
another; it takes its place in every sum, and both stay. Of two corrections written unseen of one
another the later counts until somebody `settles` them. A job noted with its cost, before there was
a ledger, counts as an entry too: its id is its path.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import visit_facts
from . import fields

if TYPE_CHECKING:
    from ..values.types import Cell, Cells, EntryKind, Json, LedgerEntry, LedgerGroup, SplitOrder

#: What an entry may be of; one of a kind that this version does not know counts as a fee.
KINDS: tuple[EntryKind, ...] = (
    "part",
    "labor_mine",
    "labor_paid",
    "fee",
    "transport",
    "refund",
)


def entries(cells: Cells) -> list[LedgerEntry]:
    """Every entry of a record, those that were replaced too; the oldest day first."""
    found: dict[str, LedgerEntry] = {}
    keyed: list[tuple[str, str, str]] = []
    for path in sorted(cells):
        entry = _entry(path, cells[path])
        if entry is not None:
            found[entry["id"]] = entry
            keyed.append((entry["date"], entry["at"], entry["id"]))
    return [found[key[2]] for key in sorted(keyed)]


def _entry(path: str, cell: Cell) -> LedgerEntry | None:
    parts = path.split("/")
    value = cell["value"]
    if not isinstance(value, dict):
        return None
    if parts[0] == "ledger" and len(parts) == 2 and fields.is_id(parts[1]):
        return read(parts[1], cell["at"], value)
    if parts[0] == "work" and len(parts) > 2 and parts[-1] == "done" and "after" not in parts:
        return _noted(path, "/".join(parts[1:-1]), cell["at"], value)
    return None


def read(name: str, at: str, value: dict[str, Json]) -> LedgerEntry:
    """One entry as it was recorded, with every field what it should be.

    `amount_cents` is all that was paid: `freight_cents` and `core_cents` are parts of it.
    """
    kind = _kind(value.get("kind"))
    is_mine = kind == "labor_mine"
    amount = 0 if is_mine else fields.cents(value.get("amount_cents")) or 0
    core = min(fields.cents(value.get("core_cents")) or 0, amount)
    freight = min(fields.cents(value.get("freight_cents")) or 0, amount - core)
    hours = fields.hundredths(value.get("hours")) if kind in ("labor_mine", "labor_paid") else 0
    receipt = fields.text(value.get("receipt"))
    replaces = fields.text(value.get("replaces"))
    return {
        "id": name,
        "at": at,
        "date": fields.day(value.get("date")),
        "kind": kind,
        "what": fields.text(value.get("what")),
        "amount_cents": amount,
        "hours_hundredths": hours,
        "quantity": fields.text(value.get("quantity")),
        "vendor": fields.text(value.get("vendor")),
        "part_number": fields.text(value.get("part_number")),
        "receipt": receipt if fields.is_id(receipt, 64) else "",
        "paid_by": fields.text(value.get("paid_by")),
        "core_cents": core,
        "freight_cents": freight,
        "jobs": fields.texts(value.get("jobs")),
        "line": fields.text(value.get("line")),
        "order": _order(value.get("order")),
        "replaces": "" if replaces == name else replaces,
        "settles": [other for other in fields.texts(value.get("settles")) if other != name],
        "withdrawn": value.get("withdrawn") is True,
    }


def _kind(value: Json) -> EntryKind:
    for kind in KINDS:
        if value == kind:
            return kind
    return "fee"


def _order(value: Json) -> SplitOrder | None:
    if not isinstance(value, dict):
        return None
    name, total = fields.text(value.get("id")), fields.cents(value.get("total_cents"))
    if not name or total is None:
        return None
    return {"id": name, "total_cents": total, "cars": fields.texts(value.get("cars"))}


def _noted(path: str, job: str, at: str, value: dict[str, Json]) -> LedgerEntry | None:
    """What a job was noted to have cost; None where nothing was said of it."""
    amount = fields.cents(value.get("cost_cents"))
    whole = visit_facts.whole(value.get("cost"))  # a record of before it, in whole units
    if amount is None and whole is not None:
        amount = fields.cents(whole * 100)
    if not amount:
        return None
    entry = read(path, at, {"kind": "part", "amount_cents": amount, "jobs": [job]})
    entry["date"] = fields.day(value.get("date"))
    entry["what"] = fields.text(value.get("parts")) or fields.text(value.get("title"))
    return entry


def groups(listed: list[LedgerEntry]) -> list[LedgerGroup]:
    """Each entry with all its corrections, in the order of the entries that began them.

    `counts` is the entry that holds, None where it was taken back; `open` are those that nobody
    replaced, the one that holds first: more than one were written unseen of one another.
    """
    by_id: dict[str, LedgerEntry] = {}
    for entry in listed:
        by_id[entry["id"]] = entry
    leads: dict[str, str] = {}
    for entry in listed:
        leads[entry["id"]] = entry["id"]
    replaced: dict[str, bool] = {}
    for entry in listed:
        for other in [entry["replaces"]] + entry["settles"]:
            if other in by_id:
                replaced[other] = True
                leads[_lead(leads, entry["id"])] = _lead(leads, other)
    members: dict[str, list[LedgerEntry]] = {}
    order: list[str] = []
    for entry in listed:
        lead = _lead(leads, entry["id"])
        if lead not in members:
            members[lead] = []
            order.append(lead)
        members[lead].append(entry)
    return [_group(members[lead], replaced, by_id) for lead in order]


def _lead(leads: dict[str, str], name: str) -> str:
    while leads[name] != name:
        leads[name] = leads[leads[name]]
        name = leads[name]
    return name


def _group(
    together: list[LedgerEntry], replaced: dict[str, bool], by_id: dict[str, LedgerEntry]
) -> LedgerGroup:
    ranked = sorted([(entry["at"], entry["id"]) for entry in together])
    written = [by_id[name] for _, name in ranked]
    standing = [entry for entry in written if entry["id"] not in replaced]
    if not standing:  # a ring, which no desk writes: the last word
        standing = [written[-1]]
    standing.reverse()
    first = standing[0]
    return {
        "entries": written,
        "counts": None if first["withdrawn"] else first,
        "open": standing,
    }


def counted(listed: list[LedgerEntry]) -> list[LedgerEntry]:
    """The entries that hold: each correction once, and nothing that was taken back."""
    kept = []
    for group in groups(listed):
        entry = group["counts"]
        if entry is not None:
            kept.append(entry)
    return kept


def paid(entry: LedgerEntry) -> int:
    """What an entry adds to what was spent, in cents; a refund takes from it."""
    return -entry["amount_cents"] if entry["kind"] == "refund" else entry["amount_cents"]
