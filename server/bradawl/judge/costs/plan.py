"""Findings into work: the cheapest remedies, when an assembly tips over, what comes first.

All amounts are whole units of money. Expected costs are compared as sixths of a unit,
(low + 4 × likely + high), so that no comparison depends on a rounding. Originality that a remedy
takes away is a cost like any other, named `loss`.

Nothing here reads a record: the caller says which findings stand and which remedies there are.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import words
from ..values.exact import half_up

if TYPE_CHECKING:
    from ..values.types.loose import Json

CLASSES = ("danger", "reliability", "decay", "comfort", "looks")
SEARCH_LIMIT = 60000  # states looked at before a choice is called unproven
SHARES = 5040  # divisible by 1 to 10: shares of a cost lose nothing for the usual sizes
TENTHS = 10
MOST_SUMS = 4000  # different costs that a chance is worked out for
GRAVE_DANGER = 4  # a major fault of so dangerous an item is as good as one the drive depends on
HEAVY_WEIGHT = 3  # from this weight on, a major finding stands in the way of a use


def hundredths(hours: str) -> int:
    """Hours typed as decimal text, `"1.25"` or `"1,25"`, in hundredths of an hour.

    Raises ValueError for anything else; digits beyond the second are cut.
    """
    whole, _, part = hours.strip(" ").replace(",", ".").partition(".")
    for piece in (whole or "0", part or "0"):
        for letter in piece:
            if letter < "0" or letter > "9":
                raise ValueError("hours")
    if not whole and not part:
        raise ValueError("hours")
    return int(whole or "0") * 100 + int((part + "00")[:2])


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


# ---- the cheapest covering set -----------------------------------------------------------


def cheapest(findings: list[str], remedies: list[Json]) -> Json:
    """The remedies that put every finding right for the least expected cost.

    `remedies` are {"id", "covers": [finding], "cost": [low, likely, high]}. The answer is exact
    when `proven`; `uncovered` names findings that no remedy puts right. Of equally cheap sets
    always the same one is chosen. Returns {"chosen", "cost", "expected", "sixths", "uncovered",
    "proven"}.
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
        "uncovered": [one for one in sorted(wanted) if one not in coverable],
        "proven": proven,
    }


def _useful(wanted: dict[str, bool], remedies: list[Json]) -> list[tuple[int, str, list[str]]]:
    """(sixths, id, findings covered), without remedies that another does as well for less."""
    ready = []
    for remedy in remedies:
        covers = [one for one in sorted(set(remedy["covers"])) if one in wanted]
        if covers:
            ready.append((sixths(remedy["cost"]), remedy["id"], covers))
    ready.sort()
    kept: list[tuple[int, str, list[str]]] = []
    for candidate in ready:  # the cheapest first, so only an earlier one can be as good
        beaten = False
        for other in kept:
            if set(candidate[2]) <= set(other[2]):
                beaten = True
                break
        if not beaten:
            kept.append(candidate)
    return kept


def _groups(
    findings: list[str], useful: list[tuple[int, str, list[str]]]
) -> list[list[tuple[int, str, list[str]]]]:
    """The remedies in groups that share no finding: each is decided by itself."""
    leader = {}
    for finding in findings:
        leader[finding] = finding

    def lead(one: str) -> str:
        while leader[one] != one:
            one = leader[one]
        return one

    for _, _, covers in useful:
        first = lead(covers[0])
        for other in covers[1:]:
            leader[lead(other)] = first
    groups: dict[str, list[tuple[int, str, list[str]]]] = {}
    for remedy in useful:
        head = lead(remedy[2][0])
        if head in groups:
            groups[head].append(remedy)
        else:
            groups[head] = [remedy]
    return [groups[head] for head in sorted(groups)]


def _cover(remedies: list[tuple[int, str, list[str]]]) -> tuple[list[str], bool]:
    """The cheapest set that covers all findings of one group, and whether that is proven.

    Depth first with a bound: every uncovered finding costs at least the smallest share that any
    remedy could give it. A set of covered findings reached before at no greater cost is dropped.
    """
    bit: dict[str, int] = {}
    for _, _, covers in remedies:
        for finding in covers:
            if finding not in bit:
                bit[finding] = 1 << len(bit)
    everything = (1 << len(bit)) - 1
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
            fresh = _ones(masks[n] & ~covered)
            branches.append((remedies[n][0] * SHARES // fresh, n))
        branches.sort()
        branches.reverse()  # the stack takes the most promising first
        for _, n in branches:
            stack.append((covered | masks[n], cost + remedies[n][0], names + [n]))
    return [remedies[n][1] for n in best], True


def _bound(
    remedies: list[tuple[int, str, list[str]]],
    masks: list[int],
    by_bit: list[tuple[int, list[int]]],
    covered: int,
) -> tuple[int, list[int]]:
    """The least that the uncovered findings can cost, in shares, and the hardest one's remedies."""
    shares = []
    for n in range(len(masks)):
        fresh = _ones(masks[n] & ~covered)
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


def _greedy(
    remedies: list[tuple[int, str, list[str]]], masks: list[int], everything: int
) -> tuple[int, list[int]]:
    """A set to beat: always the remedy with the smallest cost for each finding that it adds."""
    covered = 0
    cost = 0
    names = []
    while covered != everything:
        found = -1
        smallest = 0
        for n in range(len(masks)):
            fresh = _ones(masks[n] & ~covered)
            if fresh:
                share = remedies[n][0] * SHARES // fresh
                if found < 0 or share < smallest:
                    found, smallest = n, share
        covered |= masks[found]
        cost += remedies[found][0]
        names.append(found)
    return cost, names


def _ones(mask: int) -> int:
    count = 0
    while mask:
        mask &= mask - 1
        count += 1
    return count


# ---- tip-over ------------------------------------------------------------------------------


def tip_over(assembly: list[int], mending: list[int], further: list[Json]) -> Json:
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
    for row in further:
        for _ in range(row["count"]):
            pieces.append((sixths(row["cost"]), row["chance_percent"]))
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
        for held in sorted(chances):
            _add(after, held, chances[held] * (1.0 - failing))
            if held + cost <= gap:
                _add(after, held + cost, chances[held] * failing)
        chances = after if len(after) <= MOST_SUMS else _together(after, gap // MOST_SUMS + 1)
    within = 0.0
    for held in sorted(chances):
        within += chances[held]
    return int((1.0 - within) * 100 + 0.5)


def _together(chances: dict[int, float], step: int) -> dict[int, float]:
    """The sums rounded down to whole steps."""
    found: dict[int, float] = {}
    for held in sorted(chances):
        _add(found, held // step * step, chances[held])
    return found


def _add(chances: dict[int, float], key: int, chance: float) -> None:
    chances[key] = chances[key] + chance if key in chances else chance


# ---- order of work ---------------------------------------------------------------------------


def order(jobs: list[Json]) -> Json:
    """The order in which jobs are done: danger first, what must come before them before them.

    `jobs` are {"id", "class": one of CLASSES, "grade", "after": [id], "cost"}.
    A job that a more urgent one waits for takes over its urgency. Of equally urgent jobs the
    graver, then the cheaper comes first. Returns {"order": [id], "pulled": {id: the urgent job it
    serves}, "cycle": [id, …] when jobs wait for one another in a ring (they then stand last),
    "unknown": [id] that are waited for and are not among the jobs}.
    """
    by_id = {}
    for job in jobs:
        by_id[job["id"]] = job
    before: dict[str, list[str]] = {}
    following: dict[str, list[str]] = {}
    unknown = {}
    for name in sorted(by_id):
        before[name] = []
        following[name] = []
    for name in sorted(by_id):
        for other in sorted(set(by_id[name]["after"])):
            if other in by_id:
                before[name].append(other)
                following[other].append(name)
            else:
                unknown[other] = True
    own = {}
    for name in by_id:
        own[name] = CLASSES.index(by_id[name]["class"])
    urgency, served = _urgencies(sorted(by_id), own, before)
    waiting = {}
    ready = []
    for name in sorted(by_id):
        waiting[name] = len(before[name])
        if not before[name]:
            ready.append(_key(by_id[name], urgency, own))
    done = []
    while ready:
        ready.sort()
        name = ready.pop(0)[-1]
        done.append(name)
        for other in following[name]:
            waiting[other] -= 1
            if not waiting[other]:
                ready.append(_key(by_id[other], urgency, own))
    stuck = sorted([_key(by_id[name], urgency, own) for name in by_id if waiting[name] > 0])
    pulled = {}
    for name in sorted(served):
        pulled[name] = served[name]
    return {
        "order": done + [key[-1] for key in stuck],
        "pulled": pulled,
        "cycle": _ring(before, [key[-1] for key in stuck]),
        "unknown": sorted(unknown),
    }


def _key(job: Json, urgency: dict[str, int], own: dict[str, int]) -> tuple[int, int, int, int, str]:
    name = job["id"]
    return (urgency[name], own[name], -words.SEVERITY.index(job["grade"]), job["cost"], name)


def _urgencies(
    names: list[str], own: dict[str, int], before: dict[str, list[str]]
) -> tuple[dict[str, int], dict[str, str]]:
    """Each job's urgency: its own or that of the most urgent job which waits for it."""
    urgency = {}
    served: dict[str, str] = {}
    for name in names:
        urgency[name] = own[name]
    for rank in range(len(CLASSES)):
        for start in names:
            if own[start] != rank:
                continue
            stack = [start]
            while stack:
                for other in before[stack.pop()]:
                    if urgency[other] > rank:
                        urgency[other] = rank
                        served[other] = start
                        stack.append(other)
    return urgency, served


def _ring(before: dict[str, list[str]], stuck: list[str]) -> list[str]:
    """Jobs that wait for one another, each for the next and the last for the first."""
    if not stuck:
        return []
    here = {}
    for name in stuck:
        here[name] = True
    walk: list[str] = []
    name = stuck[0]
    while name not in walk:
        walk.append(name)
        for other in before[name]:
            if other in here:
                name = other
                break
    return walk[walk.index(name) :]


def spread(jobs: list[Json], budgets: list[int]) -> Json:
    """Jobs in their order over budget periods; money that is not spent is carried on.

    `jobs` as for `order`, already in order. A job takes the earliest period after those it waits
    for in which it can be paid without delaying any job before it. Returns {"period": {id: index},
    "left": [id] that no period can pay, "spent": [per period], "carried": [left over after each],
    "short": what is missing for all that is left}.
    """
    period: dict[str, int] = {}
    left: list[str] = []
    spent = [0] * len(budgets)
    known = {}
    for job in jobs:
        known[job["id"]] = True
    for job in jobs:
        start = 0
        possible = True
        for other in job["after"]:
            if other in period:
                if period[other] > start:
                    start = period[other]
            elif other in known:
                possible = False
        place = _earliest(job["cost"], start, budgets, spent) if possible else -1
        if place < 0:
            left.append(job["id"])
        else:
            period[job["id"]] = place
            spent[place] += job["cost"]
    carried = []
    held = 0
    for n in range(len(budgets)):
        held += budgets[n] - spent[n]
        carried.append(held)
    missing = 0
    for job in jobs:
        if job["id"] not in period:
            missing += job["cost"]
    return {
        "period": period,
        "left": left,
        "spent": spent,
        "carried": carried,
        "short": missing - held if missing > held else 0,
    }


def _earliest(cost: int, start: int, budgets: list[int], spent: list[int]) -> int:
    """The first period from which on the held money never falls below `cost`; -1 for none."""
    found = -1
    held = 0
    rests = []
    for n in range(len(budgets)):
        held += budgets[n] - spent[n]
        rests.append(held)
    for n in range(len(budgets) - 1, start - 1, -1):
        if rests[n] < cost:
            break
        found = n
    return found


def fit_for(findings: list[Json], uses: list[str]) -> Json:
    """What the car may be used for while `findings` are still open.

    `findings` are {"item", "grade" ("uninspected" too), "drive": essential | matters | no,
    "danger": 0-5, "weight": {use: 0-5}}. Conservative: a dangerous finding keeps it off the road;
    so does an essential item that nobody inspected; a major fault in an essential or dangerous
    item leaves the way to a workshop only. Returns {"road": "off" | "workshop" | "open",
    "because": [item], "uses": [use], "barred": {use: [item]}}.
    """
    dangerous = [one["item"] for one in findings if one["grade"] == "dangerous"]
    unseen = [
        one["item"]
        for one in findings
        if one["grade"] == "uninspected" and one["drive"] == "essential"
    ]
    grave = []
    for one in findings:
        if one["grade"] == "major":
            if one["drive"] == "essential" or one["danger"] >= GRAVE_DANGER:
                grave.append(one["item"])
    if dangerous or unseen:
        return {"road": "off", "because": sorted(dangerous + unseen), "uses": [], "barred": {}}
    if grave:
        return {"road": "workshop", "because": sorted(grave), "uses": [], "barred": {}}
    barred = {}
    free = []
    for use in uses:
        against = []
        for one in findings:
            weight = one["weight"][use] if use in one["weight"] else 2
            if one["grade"] == "major" and weight >= HEAVY_WEIGHT:
                against.append(one["item"])
        if against:
            barred[use] = sorted(against)
        else:
            free.append(use)
    return {"road": "open", "because": [], "uses": free, "barred": barred}
