"""The order of jobs that leaves the gravest things open for the shortest time, on two budgets.

A set of jobs is done as soon as both its money and its hours are there: that moment depends on the
set alone, not on its order. So the best order follows from the best orders of its subsets. Jobs
have a tier (0: danger): what a lower tier waits never counts against what a higher one does.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...values.types import Pace, Sequence, SequencedJob

MOST_EXACT = 12
WINDOW = 6
ROUNDS = 3
MONTH = 1000  # parts in which a month is counted
WEEKENDS_A_YEAR = 52


def moment(cost: int, hours: int, jobs: int, pace: Pace) -> int:
    """When so much money and so many hundredths of hours are there, in thousandths of months.

    After the listed months each has what they have on average. Each job is a thousandth besides:
    what costs nothing has its turn too, and does not go before a danger. Without any budget each
    is a step of its own.
    """
    money = _of_money(cost, pace["months"])
    weekend = pace["weekend_hundredths"]
    work = hours * 12 * MONTH // (weekend * WEEKENDS_A_YEAR) if weekend > 0 else 0
    if weekend <= 0 and _total(pace["months"]) <= 0:
        return jobs * MONTH
    return max(money, work) + jobs


def _total(amounts: list[int]) -> int:
    total = 0
    for amount in amounts:
        total += amount
    return total


def _of_money(cost: int, months: list[int]) -> int:
    total = _total(months)
    if total <= 0 or cost <= 0:
        return 0
    had = 0
    for n in range(len(months)):
        if months[n] > 0 and cost <= had + months[n]:
            return n * MONTH + (cost - had) * MONTH // months[n]
        had += months[n]
    each = max(total // len(months), 1)
    return len(months) * MONTH + (cost - had) * MONTH // each


def value(order: list[SequencedJob], pace: Pace) -> list[int]:
    """By tier the sum over its jobs of weight times moment; the first that differs decides."""
    sums = [0] * 5
    cost = hours = 0
    for n in range(len(order)):
        job = order[n]
        cost += job["cost"]
        hours += job["hours"]
        sums[job["tier"]] += job["weight"] * moment(cost, hours, n + 1, pace)
    return sums


def best(jobs: list[SequencedJob], pins: dict[str, int], pace: Pace) -> Sequence:
    """The best order in which every pinned job has its place (from 1) and `after` is kept.

    `exact`: it is proven to be the best. Otherwise `gap_percent` says how much shorter, at most,
    what is gravest among the unproven could be left open. A pin goes before what a job waits for.
    """
    keyed = []
    for n in range(len(jobs)):
        job = jobs[n]
        keyed.append((job["tier"], -job["weight"], job["cost"], job["id"], n))
    ready = [jobs[row[-1]] for row in sorted(keyed)]
    fixed = places(ready, pins)
    if len(ready) <= MOST_EXACT:
        order = _least(ready, fixed, [], pace)
        if order is None:
            order = _least([_free(job) for job in ready], fixed, [], pace) or ready
        return _answer(ready, order, True, None)
    return _large(ready, fixed, pace)


def places(jobs: list[SequencedJob], pins: dict[str, int]) -> dict[int, str]:
    """By place from 0 the job that is pinned there; of two the later takes the next free place."""
    taken: dict[int, str] = {}
    wanted = sorted([(pins[job["id"]], job["id"]) for job in jobs if job["id"] in pins])
    for place, name in wanted:
        n = min(max(place - 1, 0), len(jobs) - 1)
        steps = 0
        while n in taken and steps < len(jobs):
            n = (n + 1) % len(jobs)
            steps += 1
        taken[n] = name
    return taken


def _free(job: SequencedJob) -> SequencedJob:
    copied = job.copy()
    copied["after"] = []
    return copied


def _answer(
    jobs: list[SequencedJob], order: list[SequencedJob], exact: bool, gap: int | None
) -> Sequence:
    by_id = {job["id"]: job for job in jobs}
    done: dict[str, bool] = {}
    early = []
    for job in order:
        if [other for other in by_id[job["id"]]["after"] if other in by_id and other not in done]:
            early.append(job["id"])
        done[job["id"]] = True
    names = [job["id"] for job in order]
    return {"order": names, "exact": exact, "gap_percent": gap, "early": early}


def _least(
    jobs: list[SequencedJob], fixed: dict[int, str], done: list[SequencedJob], pace: Pace
) -> list[SequencedJob] | None:
    """The best order of a dozen jobs or fewer after those `done`, exactly; None if there is none.

    `fixed` has places from 0 among these jobs. Of equally good orders the last place goes to
    the last in the natural order, and so on.
    """
    count = len(jobs)
    cost, hours = _total([job["cost"] for job in done]), _total([job["hours"] for job in done])
    needs = []
    for job in jobs:
        mask = 0
        for n in range(count):
            if jobs[n]["id"] in job["after"]:
                mask |= 1 << n
        needs.append(mask)
    place_of = {fixed[n]: n for n in fixed}
    base = 1
    everything_cost = cost + _total([job["cost"] for job in jobs])
    everything_hours = hours + _total([job["hours"] for job in jobs])
    latest = moment(everything_cost, everything_hours, len(done) + count, pace)
    base += _total([job["weight"] for job in jobs]) * (latest + 1)
    scale_of = [1]  # from the lowest tier up: one step of a higher one outweighs all below it
    for _ in range(4):
        scale_of.append(scale_of[-1] * base)
    scales = [scale_of[4 - job["tier"]] * job["weight"] for job in jobs]
    states = 1 << count
    costs, times, sizes = [cost] * states, [hours] * states, [0] * states
    best_of: list[int] = [0] * states
    last = [-1] * states
    for state in range(1, states):
        low = _low(state)
        rest = state & (state - 1)
        costs[state] = costs[rest] + jobs[low]["cost"]
        times[state] = times[rest] + jobs[low]["hours"]
        sizes[state] = sizes[rest] + 1
        place = sizes[state] - 1
        at = moment(costs[state], times[state], len(done) + sizes[state], pace)
        least = -1
        for n in range(count - 1, -1, -1):
            before = state & ~(1 << n)
            if before == state or needs[n] & ~before:
                continue
            if (jobs[n]["id"] in place_of and place_of[jobs[n]["id"]] != place) or (
                place in fixed and fixed[place] != jobs[n]["id"]
            ):
                continue
            if before and last[before] < 0:
                continue
            total = best_of[before] + scales[n] * at
            if least < 0 or total < least:
                least, last[state] = total, n
        best_of[state] = max(least, 0)
    if count and last[states - 1] < 0:
        return None
    order = []
    state = states - 1
    while state:
        n = last[state]
        order.append(jobs[n])
        state &= ~(1 << n)
    order.reverse()
    return order


def _low(state: int) -> int:
    n = 0
    while not state & (1 << n):
        n += 1
    return n


def _large(jobs: list[SequencedJob], fixed: dict[int, str], pace: Pace) -> Sequence:
    """More than a dozen: each tier by itself where it is a dozen at most, then in small windows."""
    order: list[SequencedJob] = []
    is_exact = not fixed
    for tier in range(5):
        own = [job for job in jobs if job["tier"] == tier]
        names = [job["id"] for job in own]
        for job in own:
            for other in job["after"]:
                if other not in names and [one for one in jobs if one["id"] == other]:
                    is_exact = is_exact and other in [one["id"] for one in order]
        found = _least(own, {}, order, pace) if len(own) <= MOST_EXACT else None
        is_exact = is_exact and found is not None
        order = order + (found if found is not None else _by_share(own, pace))
    if is_exact:
        return _answer(jobs, order, True, None)
    order = _placed(_kept(order), fixed)
    for _ in range(ROUNDS):
        before = [job["id"] for job in order]
        for start in range(0, max(len(order) - WINDOW, 0) + 1, 2):
            window = order[start : start + WINDOW]
            pinned = {n - start: fixed[n] for n in fixed if start <= n < start + WINDOW}
            better = _least(window, pinned, order[:start], pace)
            if better is not None:
                order = order[:start] + better + order[start + WINDOW :]
        if [job["id"] for job in order] == before:
            break
    return _answer(jobs, order, False, _gap(order, pace))


def _share(job: SequencedJob, pace: Pace) -> int:
    """What a job takes of both budgets together, for its weight."""
    takes = _of_money(job["cost"], pace["months"]) + job["hours"] * 12 * MONTH // max(
        pace["weekend_hundredths"] * WEEKENDS_A_YEAR, 1
    )
    return takes * MONTH // max(job["weight"], 1)


def _by_share(jobs: list[SequencedJob], pace: Pace) -> list[SequencedJob]:
    keyed = [(_share(jobs[n], pace), jobs[n]["id"], n) for n in range(len(jobs))]
    return [jobs[row[2]] for row in sorted(keyed)]


def _kept(order: list[SequencedJob]) -> list[SequencedJob]:
    """The same with every job behind those it waits for; what waits in a ring comes last."""
    left = order[:]
    kept: list[SequencedJob] = []
    while left:
        names = [job["id"] for job in left]
        free = [job for job in left if not [one for one in job["after"] if one in names]]
        taken = free[0] if free else left[0]
        kept.append(taken)
        left = [job for job in left if job["id"] != taken["id"]]
    return kept


def _placed(order: list[SequencedJob], fixed: dict[int, str]) -> list[SequencedJob]:
    by_id = {job["id"]: job for job in order}
    pinned = [fixed[n] for n in fixed]
    rest = [job for job in order if job["id"] not in pinned]
    placed = []
    for n in range(len(order)):
        placed.append(by_id[fixed[n]] if n in fixed else rest.pop(0))
    return placed


def _gap(order: list[SequencedJob], pace: Pace) -> int:
    """By how many per cent, at most, the first tier that may be better could be; half up.

    No order does better for a tier than that tier alone would, each budget taken for itself and
    money at its fastest.
    """
    sums = value(order, pace)
    for tier in range(5):
        own = [job for job in order if job["tier"] == tier]
        least = _bound(own, pace)
        if sums[tier] > least:
            return 100 if least <= 0 else min((sums[tier] - least) * 100 // sums[tier], 100)
    return 0


def _bound(jobs: list[SequencedJob], pace: Pace) -> int:
    if len(jobs) <= MOST_EXACT:
        order = _least([_free(job) for job in jobs], {}, [], pace) or []
        return _total(value(order, pace))
    fastest = max(pace["months"] + [0])
    bounds = [0]
    for key, rate in (("cost", fastest), ("hours", pace["weekend_hundredths"])):
        if rate <= 0:
            continue
        amounts = [(job["cost"] if key == "cost" else job["hours"], job["weight"]) for job in jobs]
        keyed = [(amount * MONTH // max(weight, 1), amount, weight) for amount, weight in amounts]
        total = so_far = 0
        for _, amount, weight in sorted(keyed):
            so_far += amount
            if key == "cost":
                total += weight * (so_far * MONTH // rate)
            else:
                total += weight * (so_far * 12 * MONTH // (rate * WEEKENDS_A_YEAR))
        bounds.append(
            total - _total([weight for _, weight in amounts])
        )  # what rounding may have cost
    return max(bounds)
