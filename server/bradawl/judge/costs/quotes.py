"""What the parts of a job come to by the parts list: its lines with a price, a firm quote first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..ledger import parts_list
from ..values.exact import half_up
from .estimates import price

if TYPE_CHECKING:
    from ..values.types import Cells, Offer

MOST_MONEY = 100000000


def quoted(cells: Cells) -> dict[str, list[int]]:
    """By job low, likely and high of its needed lines, in whole units; jobs without price not.

    A line that was sent back, or is only wanted, is none of the job's.
    """
    sums: dict[str, list[int]] = {}
    for line in parts_list.lines(cells):
        cents = parts_list.line_cents(line)
        is_of_job = line["need"] and not line["removed"] and line["state"] != "returned"
        if cents and line["job"] and is_of_job:
            sums.setdefault(line["job"], [0, 0, 0])
            for n in range(3):
                sums[line["job"]][n] += cents[n]
    parts = {}
    for job in sums:
        parts[job] = [min(half_up((amount, 100), 0), MOST_MONEY) for amount in sums[job]]
    return parts


def apply(offers: list[Offer], quotes: dict[str, list[int]], rate: int) -> None:
    """Let what was quoted for a job take the place of what its parts were estimated at."""
    for offer in offers:
        if offer["id"] in quotes:
            offer["parts"] = quotes[offer["id"]]
            offer["cost"] = price(offer["parts"], offer["hours"], rate, offer["counted"])
            offer["quoted"] = True
