"""The cheapest set of remedies that puts every finding right, exactly.

Knows names and costs, and nothing of what the remedies are.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .estimates import sixths, whole

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ..values.types import CheapestSet, Coverable, Offer

    # sixths (or any other part of money), id, what must be covered, holds touched
    Candidate = tuple[int, str, list[str], list[str]]

SEARCH_LIMIT = 60000  # states looked at before a choice is called unproven
SHARES = 5040  # divisible by 1 to 10: shares of a cost lose nothing for the usual sizes
HELD = "held "  # in front of a hold, so that it is no name of a finding


def cheapest(findings: list[str], remedies: Sequence[Coverable | Offer]) -> CheapestSet:
    """The remedies that put every finding right for the least expected cost.

    The answer is exact when `proven`; `uncovered` names findings that no remedy puts right. Of
    equally cheap sets always the same one is chosen.
    """
    wanted = dict.fromkeys(findings, True)
    candidates: list[Candidate] = []
    coverable = {}
    for remedy in remedies:
        covers = [finding for finding in sorted(set(remedy["covers"])) if finding in wanted]
        candidates.append((sixths(remedy["cost"]), remedy["id"], covers, []))
        coverable.update(dict.fromkeys(covers, True))
    chosen, proven = least(candidates, {})
    cost = [0, 0, 0]
    by_id = {}
    for remedy in remedies:
        by_id[remedy["id"]] = remedy["cost"]
    for name in chosen:
        for n in range(3):
            cost[n] += by_id[name][n]
    total = sixths(cost)
    return {
        "chosen": sorted(chosen),
        "cost": cost,
        "expected": whole(total),
        "sixths": total,
        "uncovered": [finding for finding in sorted(wanted) if finding not in coverable],
        "proven": proven,
    }


def least(candidates: list[Candidate], holds: dict[str, int]) -> tuple[list[str], bool]:
    """The candidates that cover everything that any of them covers, for the least; and if proven.

    A candidate's cost comes on top of what is held anyway; a hold that two of the chosen touch
    costs its amount in `holds` once more, by each further one.
    """
    useful = _useful(candidates, holds)
    chosen: list[str] = []
    proven = True
    for group in _groups(useful):
        names, sure = _cover(group, holds)
        chosen.extend(names)
        proven = proven and sure
    return chosen, proven


def _useful(candidates: list[Candidate], holds: dict[str, int]) -> list[Candidate]:
    """The candidates without those that another does as well for less."""
    kept: list[Candidate] = []
    # the cheapest first, so only an earlier one can be as good
    for candidate in sorted([row for row in candidates if row[2]]):
        beaten = False
        for other in kept:
            if set(candidate[2]) <= set(other[2]):
                more = other[0]
                for hold in other[3]:
                    more += 0 if hold in candidate[3] else holds[hold]
                if more <= candidate[0]:
                    beaten = True
                    break
        if not beaten:
            kept.append(candidate)
    return kept


def _groups(useful: list[Candidate]) -> list[list[Candidate]]:
    """The candidates in groups that share nothing: each is decided by itself."""
    leader: dict[str, str] = {}

    def lead(name: str) -> str:
        while leader.setdefault(name, name) != name:
            name = leader[name]
        return name

    for _, _, covers, touched in useful:
        first = lead(covers[0])
        for other in covers[1:] + [HELD + hold for hold in touched]:
            leader[lead(other)] = first
    groups: dict[str, list[Candidate]] = {}
    for remedy in useful:
        head = lead(remedy[2][0])
        groups.setdefault(head, []).append(remedy)
    return [groups[head] for head in sorted(groups)]


class _Group:
    """Candidates of one group, what each covers and touches as bits."""

    def __init__(self, remedies: list[Candidate], holds: dict[str, int]) -> None:
        bit: dict[str, int] = {}
        self.everything = 0  # what must be covered
        for _, _, covers, _ in remedies:
            for finding in covers:
                if finding not in bit:
                    bit[finding] = 1 << len(bit)
                    self.everything |= bit[finding]
        wanted = sorted(bit)
        self.held: list[tuple[int, int]] = []  # (bit, amount)
        for _, _, _, touched in remedies:
            for hold in touched:
                if HELD + hold not in bit:
                    bit[HELD + hold] = 1 << len(bit)
                    self.held.append((bit[HELD + hold], holds[hold]))
        self.costs = [remedy[0] for remedy in remedies]
        self.names = [remedy[1] for remedy in remedies]
        self.masks: list[int] = []
        for _, _, covers, touched in remedies:
            mask = 0
            for name in covers + [HELD + hold for hold in touched]:
                mask |= bit[name]
            self.masks.append(mask)
        self.by_bit: list[tuple[int, list[int]]] = []
        for finding in wanted:
            place = bit[finding]
            able = [n for n in range(len(self.masks)) if self.masks[n] & place]
            self.by_bit.append((place, able))

    def fresh(self, n: int, covered: int) -> int:
        """How much of what must be covered the candidate adds."""
        return _count_bits(self.masks[n] & self.everything & ~covered)

    def cost(self, n: int, covered: int) -> int:
        """What the candidate adds, the holds that were touched before included."""
        total = self.costs[n]
        again = self.masks[n] & covered & ~self.everything
        if again:
            for place, amount in self.held:
                total += amount if again & place else 0
        return total


def _cover(remedies: list[Candidate], holds: dict[str, int]) -> tuple[list[str], bool]:
    """The cheapest set that covers all findings of one group, and whether that is proven.

    Depth first with a bound: every uncovered finding costs at least the smallest share that any
    remedy could give it. A set of covered findings reached before at no greater cost is dropped.
    """
    group = _Group(remedies, holds)
    best_cost, best = _greedy(group)
    reached: dict[int, int] = {}
    stack: list[tuple[int, int, list[int]]] = [(0, 0, [])]
    looked_at = 0
    proven = True
    while stack:
        covered, cost, names = stack.pop()
        if covered & group.everything == group.everything:
            if cost < best_cost:
                best_cost, best = cost, names
            continue
        if cost >= best_cost or (covered in reached and reached[covered] <= cost):
            continue
        looked_at += 1
        if looked_at > SEARCH_LIMIT:
            proven = False
            break
        reached[covered] = cost
        bound, options = _bound(group, covered)
        if cost * SHARES + bound >= best_cost * SHARES:
            continue
        branches = []
        for n in options:
            added = group.cost(n, covered)
            branches.append((added * SHARES // group.fresh(n, covered), n, added))
        branches.sort()
        branches.reverse()  # the stack takes the most promising first
        for _, n, added in branches:
            stack.append((covered | group.masks[n], cost + added, names + [n]))
    return [group.names[n] for n in best], proven


def _bound(group: _Group, covered: int) -> tuple[int, list[int]]:
    """The least that the uncovered findings can cost, in shares, and the hardest one's remedies."""
    shares = []
    for n in range(len(group.masks)):
        fresh = group.fresh(n, covered)
        shares.append(group.costs[n] * SHARES // fresh if fresh else 0)
    total = 0
    options: list[int] = []
    for place, able in group.by_bit:
        if covered & place:
            continue
        smallest = shares[able[0]]
        for n in able:
            if shares[n] < smallest:
                smallest = shares[n]
        total += smallest
        if not options or len(able) < len(options):
            options = able
    return total, options


def _greedy(group: _Group) -> tuple[int, list[int]]:
    """A set to beat: always the remedy with the smallest cost for each finding that it adds."""
    covered = 0
    cost = 0
    names = []
    while covered & group.everything != group.everything:
        chosen = -1
        smallest = 0
        for n in range(len(group.masks)):
            fresh = group.fresh(n, covered)
            if fresh:
                share = group.cost(n, covered) * SHARES // fresh
                if chosen < 0 or share < smallest:
                    chosen, smallest = n, share
        cost += group.cost(chosen, covered)
        covered |= group.masks[chosen]
        names.append(chosen)
    return cost, names


def _count_bits(mask: int) -> int:
    count = 0
    while mask:
        mask &= mask - 1
        count += 1
    return count
