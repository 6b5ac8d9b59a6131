"""When replacing an assembly becomes cheaper than mending its pieces one by one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...values.exact import half_up
from ..estimates import sixths, whole

if TYPE_CHECKING:
    from ...values.types import Piece, TipOver

TENTHS = 10
MOST_SUMS = 4000  # different costs that a chance is worked out for


def tip_over(assembly: list[int], mending: list[int], further: list[Piece]) -> TipOver:
    """When replacing an assembly becomes cheaper than mending its pieces one by one.

    `assembly` and `mending` are [low, likely, high]: the whole, and the cheapest mending of what
    has failed already. `further` are the pieces that have not failed, {"cost": [low, likely,
    high], "count", "chance_percent"}, each expected to fail with that chance while the car is
    kept. Returns

    - `now`: "assembly" or "mend", by what has failed today; `with_chances`: the same once the
      stated chances are counted in;
    - `gap`: how much dearer the assembly is today (negative: cheaper);
    - `failures_at_least`, `failures_at_most`: so many further failures tip it if the dearest,
      or the cheapest, pieces go first; None when not even all of them do;
    - `chance_percent`: the chance of each piece, alike for all, at which the expected cost of
      mending reaches the assembly (text with one decimal); None when no chance does;
    - `tips_percent`: the probability that mending comes out dearer, by the stated chances;
    - `expected_mending`, `expected_assembly`: whole units, stated chances counted in;
    - `by_chance`: [[percent, expected mending], …] and `by_count`: [[failures, lowest,
      highest], …], whole units, for a plot.
    """
    gap = sixths(assembly) - sixths(mending)
    pieces = []  # (sixths, percent)
    for piece in further:
        for _ in range(piece["count"]):
            pieces.append((sixths(piece["cost"]), piece["chance_percent"]))
    pieces.sort()
    costs = [cost for cost, _ in pieces]
    total = 0
    stated = 0  # in sixths of a hundredth
    for cost, percent in pieces:
        total += cost
        stated += cost * percent
    expected = half_up((100 * sixths(mending) + stated, 600), 0)
    by_count = []
    low = high = sixths(mending)
    by_count.append([0, whole(low), whole(high)])
    for n in range(len(costs)):
        low += costs[n]
        high += costs[len(costs) - 1 - n]
        by_count.append([n + 1, whole(low), whole(high)])
    return {
        "now": "assembly" if gap < 0 else "mend",
        "with_chances": "assembly" if stated > 100 * gap else "mend",
        "gap": whole(gap),
        "failures_at_least": _failures(costs, gap, True),
        "failures_at_most": _failures(costs, gap, False),
        "chance_percent": _even_chance(gap, total),
        "tips_percent": _chance_of_more(pieces, gap),
        "expected_mending": expected,
        "expected_assembly": whole(sixths(assembly)),
        "by_chance": [
            [percent, half_up((100 * sixths(mending) + percent * total, 600), 0)]
            for percent in range(0, 101, 5)
        ],
        "by_count": by_count,
    }


def _failures(rising: list[int], gap: int, dearest_first: bool) -> int | None:
    """How many pieces must fail until their cost exceeds the gap; None when all do not."""
    total = 0
    for n in range(len(rising) + 1):
        if total > gap:
            return n
        if n < len(rising):
            total += rising[len(rising) - 1 - n] if dearest_first else rising[n]
    return None


def _even_chance(gap: int, total: int) -> str | None:
    """gap / total in per cent with one decimal, rounded up so that the figure does tip it."""
    if gap <= 0:
        return "0"
    if gap > total:
        return None
    tenths = -((-gap * 100 * TENTHS) // total)
    return str(tenths // TENTHS) + "." + str(tenths % TENTHS)


def _chance_of_more(pieces: list[tuple[int, int]], gap: int) -> int:
    """The probability, in whole per cent, that the failures among `pieces` cost more than `gap`.

    Exact over the sums in sixths; everything beyond the gap is one state. Of more than MOST_SUMS
    different sums those that lie within one part in as many of the gap are taken together.
    """
    if gap < 0:
        return 100
    chances = {0: 1.0}  # cost so far, at most the gap
    for cost, percent in pieces:
        failing = percent / 100
        after: dict[int, float] = {}
        for spent in sorted(chances):
            _add(after, spent, chances[spent] * (1.0 - failing))
            if spent + cost <= gap:
                _add(after, spent + cost, chances[spent] * failing)
        chances = after if len(after) <= MOST_SUMS else _rounded_down(after, gap // MOST_SUMS + 1)
    within = 0.0
    for spent in sorted(chances):
        within += chances[spent]
    return int((1.0 - within) * 100 + 0.5)


def _rounded_down(chances: dict[int, float], step: int) -> dict[int, float]:
    """The sums rounded down to whole steps."""
    rounded: dict[int, float] = {}
    for spent in sorted(chances):
        _add(rounded, spent // step * step, chances[spent])
    return rounded


def _add(chances: dict[int, float], key: int, chance: float) -> None:
    chances[key] = chances[key] + chance if key in chances else chance
