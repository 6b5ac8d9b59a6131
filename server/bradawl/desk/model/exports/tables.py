"""Parts list and ledger for other programs: CSV as the reader writes, JSON with a schema."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable
from typing import Any

from bradawl import language
from bradawl.desk.model.labels import car_name
from bradawl.desk.model.money.car import money_of
from bradawl.desk.model.parts.columns import COLUMNS
from bradawl.desk.model.parts.lines import Sheet
from bradawl.desk.model.parts.values import money_typed
from bradawl.desk.model.plan.sheet_files import harmless
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.ledger import entries as ledger
from bradawl.judge.ledger import parts_list
from bradawl.language import text

__all__ = ["ledger_csv", "ledger_json", "parts_csv", "parts_json"]

VERSION = 1
_BELOW_ZERO = re.compile(r"-[0-9.,]+")  # a figure, which runs nothing


def _csv(titles: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """RFC 4180; a text that a spreadsheet would run is quoted."""
    out = io.StringIO()
    writer = csv.writer(out)
    for row in (titles, *rows):
        writer.writerow([cell if _BELOW_ZERO.fullmatch(cell) else harmless(cell) for cell in row])
    return out.getvalue()


def parts_csv(snapshot: Snapshot) -> str:
    """The parts list as it is typed, so that it can be read in again."""
    sheet = Sheet(snapshot)
    columns = [column for column in COLUMNS if not column.is_fixed]
    return _csv(
        [column.title for column in columns],
        (
            [
                sheet.cell(line, column).shown
                if column.kind == "job"
                else sheet.cell(line, column).raw
                for column in columns
            ]
            for line in sheet.lines
        ),
    )


def ledger_csv(snapshot: Snapshot) -> str:
    """The entries that count; what a refund brings is below zero."""
    money = money_of(snapshot)
    keys = (
        *("date", "entry-kind", "entry-what", "amount", "hours-worked", "quantity", "vendor"),
        *("part-number", "jobs", "paid-by", "freight", "core", "entry-id"),
    )

    def amount(cents: int) -> str:
        return ("-" if cents < 0 else "") + money_typed(abs(cents)) if cents else ""

    rows = []
    for group in money.groups:
        entry = group["counts"]
        if entry is not None:
            cents = ledger.paid(entry)
            rows.append(
                [
                    language.date(entry["date"]) if entry["date"] else "",
                    text("desk-money-kind-" + entry["kind"].replace("_", "-")),
                    entry["what"],
                    amount(cents),
                    _hundredths(entry["hours_hundredths"]),
                    entry["quantity"],
                    entry["vendor"],
                    entry["part_number"],
                    ", ".join(money.jobs_of(entry)),
                    entry["paid_by"] or text("desk-money-me"),
                    amount(entry["freight_cents"]),
                    amount(entry["core_cents"]),
                    entry["id"],
                ]
            )
    return _csv([text("desk-sheet-" + key) for key in keys], rows)


def _hundredths(hours: int) -> str:
    return language.decimal(f"{hours // 100}.{hours % 100:02d}") if hours else ""


def _headed(snapshot: Snapshot, name: str) -> dict[str, Any]:
    return {
        "$schema": f"/desk/static/{name}-{VERSION}.schema.json",
        "format": f"bradawl-{name}",
        "version": VERSION,
        "visit": snapshot.visit,
        "car": car_name(snapshot.cells),
        "currency": cell_values.currency(snapshot.cells) or language.current().currency,
    }


def parts_json(snapshot: Snapshot) -> dict[str, Any]:
    """Every line that stands, by the names of the record; amounts in cents."""
    lines = [line for line in parts_list.lines(snapshot.cells) if not line["removed"]]
    plain = [{key: held for key, held in line.items() if key != "removed"} for line in lines]
    return {**_headed(snapshot, "parts"), "lines": plain}


def ledger_json(snapshot: Snapshot) -> dict[str, Any]:
    """Every entry, those that were replaced too; `counts` says which are in a sum."""
    found = []
    for group in ledger.groups(ledger.entries(snapshot.cells)):
        for entry in group["entries"]:
            found.append({**entry, "counts": entry is group["counts"]})
    return {**_headed(snapshot, "ledger"), "entries": found}
