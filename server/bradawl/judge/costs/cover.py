"""The cheapest set of remedies that puts every finding right, exactly.

Knows names and costs, and nothing of what the remedies are.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .estimates import sixths, whole

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ..values.types import CheapestSet, Coverable, Offer

    Candidate = tuple[int, str, list[str]]  # sixths, id, findings covered

SEARCH_LIMIT = 60000  # states looked at before a choice is called unproven
SHARES = 5040  # divisible by 1 to 10: shares of a cost lose nothing for the usual sizes


def cheapest(findings: list[str], remedies: Sequence[Coverable | Offer]) -> CheapestSet:
    """The remedies that put every finding right for the least expected cost.

    The answer is exact when `proven`; `uncovered` names findings that no remedy puts right. Of
    equally cheap sets always the same one is chosen.
    """
    wanted = {}
    for finding in findings:
        wanted[finding] = True
    useful = _useful(wanted, remedies)
    coverable = {}
    for _, _, covers in useful:
        for finding in covers:
            coverable[finding] = True
    chosen: list[str] = []
    proven = True
    for group in _groups(sorted(coverable), useful):
        names, sure = _cover(group)
        chosen.extend(names)
        proven = proven and sure
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


def _useful(wanted: dict[str, bool], remedies: Sequence[Coverable | Offer]) -> list[Candidate]:
    """(sixths, id, findings covered), without remedies that another does as well for less."""
    ready = []
    for remedy in remedies:
        covers = [finding for finding in sorted(set(remedy["covers"])) if finding in wanted]
        if covers:
            ready.append((sixths(remedy["cost"]), remedy["id"], covers))
    ready.sort()
    kept: list[Candidate] = []
    for candidate in ready:  # the cheapest first, so only an earlier one can be as good
        beaten = False
        for other in kept:
            if set(candidate[2]) <= set(other[2]):
                beaten = True
                break
        if not beaten:
            kept.append(candidate)
    return kept


def _groups(findings: list[str], useful: list[Candidate]) -> list[list[Candidate]]:
    """The remedies in groups that share no finding: each is decided by itself."""
    leader = {}
    for finding in findings:
        leader[finding] = finding

    def lead(finding: str) -> str:
        while leader[finding] != finding:
            finding = leader[finding]
        return finding

    for _, _, covers in useful:
        first = lead(covers[0])
        for other in covers[1:]:
            leader[lead(other)] = first
    groups: dict[str, list[Candidate]] = {}
    for remedy in useful:
        head = lead(remedy[2][0])
        groups.setdefault(head, []).append(remedy)
    return [groups[head] for head in sorted(groups)]


def _masks(remedies: list[Candidate]) -> tuple[list[int], list[tuple[int, list[int]]]]:
    """What each remedy covers as bits, and per finding its bit and the remedies that cover it."""
    bit: dict[str, int] = {}
    for _, _, covers in remedies:
        for finding in covers:
            if finding not in bit:
                bit[finding] = 1 << len(bit)
    masks = []
    for _, _, covers in remedies:
        mask = 0
        for finding in covers:
            mask |= bit[finding]
        masks.append(mask)
    by_bit = []
    for finding in sorted(bit):
        place = bit[finding]
        by_bit.append((place, [n for n in range(len(masks)) if masks[n] & place]))
    return masks, by_bit


def _cover(remedies: list[Candidate]) -> tuple[list[str], bool]:
    """The cheapest set that covers all findings of one group, and whether that is proven.

    Depth first with a bound: every uncovered finding costs at least the smallest share that any
    remedy could give it. A set of covered findings reached before at no greater cost is dropped.
    """
    masks, by_bit = _masks(remedies)
    everything = 0
    for place, _ in by_bit:
        everything |= place
    best_cost, best = _greedy(remedies, masks, everything)
    reached: dict[int, int] = {}
    stack: list[tuple[int, int, list[int]]] = [(0, 0, [])]
    looked_at = 0
    while stack:
        covered, cost, names = stack.pop()
        if covered == everything:
            if cost < best_cost:
                best_cost, best = cost, names
            continue
        if cost >= best_cost or (covered in reached and reached[covered] <= cost):
            continue
        looked_at += 1
        if looked_at > SEARCH_LIMIT:
            return [remedies[n][1] for n in best], False
        reached[covered] = cost
        bound, options = _bound(remedies, masks, by_bit, covered)
        if cost * SHARES + bound >= best_cost * SHARES:
            continue
        branches = []
        for n in options:
            fresh = _count_bits(masks[n] & ~covered)
            branches.append((remedies[n][0] * SHARES // fresh, n))
        branches.sort()
        branches.reverse()  # the stack takes the most promising first
        for _, n in branches:
            stack.append((covered | masks[n], cost + remedies[n][0], names + [n]))
    return [remedies[n][1] for n in best], True


def _bound(
    remedies: list[Candidate],
    masks: list[int],
    by_bit: list[tuple[int, list[int]]],
    covered: int,
) -> tuple[int, list[int]]:
    """The least that the uncovered findings can cost, in shares, and the hardest one's remedies."""
    shares = []
    for n in range(len(masks)):
        fresh = _count_bits(masks[n] & ~covered)
        shares.append(remedies[n][0] * SHARES // fresh if fresh else 0)
    total = 0
    options: list[int] = []
    for place, able in by_bit:
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


def _greedy(remedies: list[Candidate], masks: list[int], everything: int) -> tuple[int, list[int]]:
    """A set to beat: always the remedy with the smallest cost for each finding that it adds."""
    covered = 0
    cost = 0
    names = []
    while covered != everything:
        chosen = -1
        smallest = 0
        for n in range(len(masks)):
            fresh = _count_bits(masks[n] & ~covered)
            if fresh:
                share = remedies[n][0] * SHARES // fresh
                if chosen < 0 or share < smallest:
                    chosen, smallest = n, share
        covered |= masks[chosen]
        cost += remedies[chosen][0]
        names.append(chosen)
    return cost, names


def _count_bits(mask: int) -> int:
    count = 0
    while mask:
        mask &= mask - 1
        count += 1
    return count
