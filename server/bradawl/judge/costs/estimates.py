"""What one job costs: hours and parts as low, likely, high; expected costs in sixths.

Amounts are whole units of money. Expected costs are compared as sixths of a unit,
(low + 4 × likely + high), so that no comparison depends on a rounding.
"""

from __future__ import annotations

from ..values import exact
from ..values.exact import half_up
from ..values.typed import number as typed_number


class NotHours(ValueError):
    """A text that is not a number of hours."""

    def __init__(self, typed: str) -> None:
        super().__init__(typed)
        self.typed = typed


def hundredths(hours: str) -> int:
    """Hours as they were typed, `"1.25"` or `"1,25"`, in hundredths of an hour.

    Digits beyond the second are cut. Raises NotHours for anything that is not 0 or more.
    """
    number = exact.parse(typed_number(hours))
    if number is None or number[0] < 0:
        raise NotHours(hours)
    return number[0] * 100 // number[1]


def price(parts: list[int], hours: list[str], hourly_rate: int, loss: int) -> list[int]:
    """Low, likely and high cost of one remedy: parts, labour (half up) and lost originality."""
    return [
        parts[n] + half_up((hundredths(hours[n]) * hourly_rate, 100), 0) + loss for n in range(3)
    ]


def sixths(cost: list[int]) -> int:
    """The expected cost (PERT mean) in sixths of a unit."""
    return cost[0] + 4 * cost[1] + cost[2]


def whole(amount_in_sixths: int) -> int:
    """Sixths of a unit as whole units, half up."""
    return half_up((amount_in_sixths, 6), 0)


def shares(amounts: list[int]) -> list[int]:
    """Amounts in sixths as whole units that add up to their sum, half up.

    Each is rounded up or down; up those that lose most, of equal ones the first.
    """
    wholes = [amount // 6 for amount in amounts]
    total = short = 0
    for n, amount in enumerate(amounts):
        total += amount
        short -= wholes[n]
    short += whole(total)
    lost = sorted([(-(amounts[n] % 6), n) for n in range(len(amounts))])
    for _, n in lost[:short]:
        wholes[n] += 1
    return wholes
