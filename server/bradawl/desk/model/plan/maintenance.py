"""Maintenance: what is due because nobody can prove that it was done."""

from __future__ import annotations

from typing import Any

from bradawl.desk.model import findings
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.recorded import is_in_plan, maintenance_of, rate_of, work_done
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs import plan as arithmetic
from bradawl.language import argument, say

#: What a maintenance row rests on (`desk-evidence-…`).
EVIDENCE = ("documented", "seen", "claimed", "unknown")


def maintenance_rows(snapshot: Snapshot) -> list[dict[str, Any]]:
    """The maintenance list with receipts, cost, and whether the plan has it; what is due first."""
    rate, _ = rate_of(snapshot)
    serviced_by = {title: job.title for job in plan_of(snapshot).jobs for title in job.services}
    texts = snapshot.texts["rules"]
    rows = []
    for row in maintenance_of(snapshot):
        job = f"baseline/{row['id']}"
        title = str(argument(row["title"], texts))
        rows.append(
            {
                **row,
                "title": title,
                "text": say(row["said"], texts),
                "with_it": serviced_by.get(title, ""),
                "done": work_done(snapshot, job),
                "taken": is_in_plan(snapshot, str(row["id"])),
                "expected": arithmetic.whole(
                    arithmetic.sixths(arithmetic.price(row["parts"], row["hours"], rate, 0))
                ),
                "photos": findings.item_view(snapshot, str(row["item"]))["photos"],
            }
        )
    return sorted(rows, key=lambda row: (not row["due"] or bool(row["done"]), row["title"]))
