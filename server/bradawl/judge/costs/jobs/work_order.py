"""The order of work, and its spread over budget periods."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...values import grades

if TYPE_CHECKING:
    from ...values.types import Job, JobClass, SpreadJobs, WorkOrder

CLASSES: tuple[JobClass, ...] = ("danger", "reliability", "decay", "comfort", "looks")


def order(jobs: list[Job]) -> WorkOrder:
    """The order in which jobs are done: danger first, what must come before them before them.

    A job that a more urgent one waits for takes over its urgency. Of equally urgent jobs the
    graver, then the cheaper comes first. Jobs that
    wait for one another in a ring (`cycle`) stand last; `unknown` are waited for and not among the
    jobs.
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


def _key(job: Job, urgency: dict[str, int], own: dict[str, int]) -> tuple[int, int, int, int, str]:
    name = job["id"]
    return (urgency[name], own[name], -grades.SEVERITY.index(job["grade"]), job["cost"], name)


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


def spread(jobs: list[Job], budgets: list[int], hours: list[int] | None = None) -> SpreadJobs:
    """Jobs in their order over periods with a budget of money, and one of hours where there is.

    What is not spent is carried on. `jobs` are already in order. A job takes the earliest period
    after those it waits for in which it can be paid and done without delaying any job before it:
    a smaller one is done while a larger one before it is saved for, and also where no period can
    pay the larger one. `period` is an index by job, `left` what no period can do, `spent` and
    `carried` go by period, `short` is missing for all that is left.
    """
    period: dict[str, int] = {}
    left: list[str] = []
    spent = [0] * len(budgets)
    used = [0] * len(budgets)
    planned = {}
    for job in jobs:
        planned[job["id"]] = True
    for job in jobs:
        start = 0
        possible = True
        for other in job["after"]:
            if other in period:
                if period[other] > start:
                    start = period[other]
            elif other in planned:
                possible = False
        takes = [(job["cost"], budgets, spent)]
        if hours is not None:
            takes.append((job.get("hours", 0), hours, used))
        place = _earliest(takes, start) if possible else -1
        if place < 0:
            left.append(job["id"])
        else:
            period[job["id"]] = place
            spent[place] += job["cost"]
            used[place] += job.get("hours", 0)
    carried = []
    rest = 0
    for n in range(len(budgets)):
        rest += budgets[n] - spent[n]
        carried.append(rest)
    missing = 0
    for job in jobs:
        if job["id"] not in period:
            missing += job["cost"]
    return {
        "period": period,
        "left": left,
        "spent": spent,
        "carried": carried,
        "short": missing - rest if missing > rest else 0,
    }


def _earliest(takes: list[tuple[int, list[int], list[int]]], start: int) -> int:
    """The first period from which on no budget, carried on, falls below what is taken of it.

    `takes`: (amount, budgets, spent); -1 where there is no such period.
    """
    earliest = 0
    for amount, budgets, spent in takes:
        own = -1
        rest = 0
        rests = []
        for n in range(len(budgets)):
            rest += budgets[n] - spent[n]
            rests.append(rest)
        for n in range(len(budgets) - 1, start - 1, -1):
            if rests[n] < amount:
                break
            own = n
        if own < 0:
            return -1
        earliest = max(earliest, own)
    return earliest
