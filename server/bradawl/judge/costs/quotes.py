"""What the parts of a job come to by the parts list: its lines with a price, a firm quote first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..ledger import part_price
from ..values.amounts import MOST_MONEY
from ..values.exact import half_up
from .estimates import price

if TYPE_CHECKING:
    from ..values.types import Cells, Json, Offer

BACK = "returned"


def quoted(cells: Cells) -> dict[str, list[int]]:
    """By job low, likely and high of its needed lines, in whole units; jobs without price not.

    A line that was sent back, or is only wanted, is none of the job's.
    """
    lines: dict[str, dict[str, Json]] = {}
    for path in sorted(cells):
        parts = path.split("/")
        if parts[0] == "parts" and len(parts) == 3:
            lines.setdefault(parts[1], {})[parts[2]] = cells[path]["value"]
    sums: dict[str, list[int]] = {}
    for name in sorted(lines):
        line = lines[name]
        job = line.get("job")
        amounts: Any = {"quantity": line.get("quantity")}
        for column in part_price.AMOUNTS:
            amounts[column] = part_price.cents(line.get(column))
        cents = part_price.line_cents(amounts)
        is_out = line.get("need") is False or line.get("removed") is True
        if cents and job and isinstance(job, str) and not is_out and line.get("state") != BACK:
            known = sums.get(job) or [0, 0, 0]
            sums[job] = [known[n] + cents[n] for n in range(3)]
    return {
        job: [min(half_up((amount, 100), 0), MOST_MONEY) for amount in sums[job]] for job in sums
    }


def apply(offers: list[Offer], quotes: dict[str, list[int]], rate: int) -> None:
    """Let what was quoted for a job take the place of what its parts were estimated at."""
    for offer in offers:
        if offer["id"] in quotes:
            offer["parts"] = quotes[offer["id"]]
            offer["cost"] = price(offer["parts"], offer["hours"], rate, offer["counted"])
            offer["quoted"] = True
