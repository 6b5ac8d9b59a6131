"""The best set of things to do in a given time, when some must come before others: exactly.

A knapsack in which a thing brings its prerequisites along. Where each thing waits for at most one
other, one pass of dynamic programming over the forest solves it. Where things wait for several,
enough of those prerequisites are decided beforehand, each with and without, best case first.

Names, whole units of time and whole worth: nothing here knows what the things are.
"""

from __future__ import annotations

MOST_CASES = 400  # cases that may wait, and solutions that may be tried, before a set is called
MOST_SOLVED = 24  # unproven


class Forest:
    """Things to do: the time each takes, its worth, and what must come first.

    `hubs` are prerequisites that many things share; they are always decided beforehand, because
    what cannot be exceeded is known far better then.
    """

    def __init__(self) -> None:
        self.time: dict[str, int] = {}
        self.worth: dict[str, int] = {}
        self.first: dict[str, list[str]] = {}
        self.hubs: list[str] = []
        self.before: dict[str, dict[str, bool]] = {}  # ancestors, known after `reduce`

    def add(self, name: str, time: int, worth: int, first: list[str]) -> None:
        self.time[name] = time
        self.worth[name] = worth
        self.first[name] = sorted(first)

    def ancestors(self, name: str) -> dict[str, bool]:
        """Everything that must be done before, near and far."""
        names: dict[str, bool] = {}
        stack = list(self.first[name])
        while stack:
            ancestor = stack.pop()
            if ancestor not in names:
                names[ancestor] = True
                stack.extend(self.first[ancestor])
        return names

    def reduce(self) -> None:
        """Forget prerequisites that another prerequisite brings along anyway; break rings."""
        near = {}
        for name in sorted(self.first):
            if name in self.ancestors(name):
                self.first[name] = []  # a ring: the checklist is refused for it elsewhere
        for name in sorted(self.first):
            far: dict[str, bool] = {}
            for other in self.first[name]:
                for ancestor in sorted(self.ancestors(other)):
                    far[ancestor] = True
            near[name] = [other for other in self.first[name] if other not in far]
        self.first = near
        for name in sorted(self.first):
            self.before[name] = self.ancestors(name)


def _preorder(children: dict[str, list[str]], roots: list[str]) -> tuple[list[str], list[int]]:
    """Names so that each stands before what needs it, and where each one's dependants end."""
    names: list[str] = []
    ends: list[int] = []

    def visit(name: str) -> None:
        place = len(names)
        names.append(name)
        ends.append(0)
        for child in children.get(name, []):
            visit(child)
        ends[place] = len(names)

    for root in roots:
        visit(root)
    return names, ends


def _promising(forest: Forest, free: list[str], time: int) -> list[str]:
    """Without things that cannot be in the best set: of those that take equally long, bring
    nothing along and wait for the same, only as many as fit into the time, the worthiest first.
    """
    needed: dict[str, bool] = {}
    for name in free:
        for prerequisite in forest.first[name]:
            needed[prerequisite] = True
    keyed = []
    for name in free:
        if name not in needed:
            keyed.append((-forest.worth[name], name))
    counts: dict[tuple[str, int], int] = {}
    kept: dict[str, bool] = {}
    for _, name in sorted(keyed):
        cost = forest.time[name]
        alike = (" ".join(forest.first[name]), cost)
        count = counts.get(alike, 0)
        if cost == 0 or (count + 1) * cost <= time:
            kept[name] = True
        counts[alike] = count + 1
    return [name for name in free if name in needed or name in kept]


def _best_of_forest(
    forest: Forest, free: list[str], taken: dict[str, bool], time: int
) -> tuple[int, list[str]]:
    """The most worth in the time, each name at most one prerequisite away from done."""
    children: dict[str, list[str]] = {}
    roots = []
    for name in _promising(forest, free, time):
        before = [prerequisite for prerequisite in forest.first[name] if prerequisite not in taken]
        if before:
            children.setdefault(before[0], []).append(name)
        else:
            roots.append(name)
    names, ends = _preorder(children, roots)
    # best[i][t]: the most worth from names[i:] in t units; skipping i skips all that need it
    best = [[0] * (time + 1)]
    for _ in names:
        best.append([])
    best[len(names)] = best[0]
    for i in range(len(names) - 1, -1, -1):
        cost = forest.time[names[i]]
        gain, without, onward = forest.worth[names[i]], best[ends[i]], best[i + 1]
        row = without
        if cost <= time:
            row = without[:cost]
            for t in range(cost, time + 1):
                with_it = onward[t - cost] + gain
                row.append(with_it if with_it > without[t] else without[t])
        best[i] = row
    chosen = []
    i, left = 0, time
    while i < len(names):
        if best[i][left] == best[ends[i]][left]:
            i = ends[i]
        else:
            chosen.append(names[i])
            left -= forest.time[names[i]]
            i += 1
    return best[0][time] if names else 0, chosen


def _branches(forest: Forest) -> list[str]:
    """Prerequisites to decide beforehand, so that every other thing waits for at most one.

    The forest's hubs are always among them.
    """
    decided: dict[str, bool] = {}
    for name in forest.hubs:
        decided[name] = True
    while True:
        counts: dict[str, int] = {}
        for name in sorted(forest.first):
            waits = [
                prerequisite for prerequisite in forest.first[name] if prerequisite not in decided
            ]
            if len(waits) > 1:
                for prerequisite in waits:
                    counts[prerequisite] = counts.get(prerequisite, 0) + 1
        if not counts:
            return sorted(decided)
        most = ""
        for name in sorted(counts):
            if most == "" or counts[name] > counts[most]:
                most = name
        decided[most] = True


def best(forest: Forest, time: int) -> tuple[int, list[str], bool]:
    """(worth, the best set, whether it is proven the best).

    Best first: the case with the highest bound is split or, when all is decided, solved; once a
    solution reaches the highest bound left, nothing can beat it.
    """
    several = _branches(forest)
    ranked = _ranked(forest)
    waiting = [(0, 0, 0)]  # (-bound, how many are decided, which of them are done)
    best_set: tuple[int, list[str]] = (-1, [])
    solved = 0
    while waiting:
        bound, depth, case = waiting.pop(0)
        if -bound <= best_set[0]:
            break
        if depth < len(several):
            for bit in (0, 1):
                deeper = case | bit << depth
                limit = _limit(forest, several[: depth + 1], deeper, ranked, time)
                if limit > best_set[0]:
                    waiting.append((-limit, depth + 1, deeper))
            waiting.sort()
            if len(waiting) < MOST_CASES:
                continue
            # too tangled to try it all: this case is solved with the rest left undone
        solved += 1
        taken, free = _case(forest, several, case)
        if taken is not None:
            used, gain = _sum(forest, taken)
            names = [name for name in sorted(forest.first) if name in free]
            more, chosen = _best_of_forest(forest, names, taken, time - used)
            if gain + more > best_set[0]:
                best_set = (gain + more, sorted(taken) + chosen)
        if solved >= MOST_SOLVED or len(waiting) >= MOST_CASES:
            return best_set[0], best_set[1], False
    return best_set[0], best_set[1], True


def _sum(forest: Forest, taken: dict[str, bool]) -> tuple[int, int]:
    """(time, worth) of what is taken."""
    used = gain = 0
    for name in sorted(taken):
        used += forest.time[name]
        gain += forest.worth[name]
    return used, gain


def _limit(
    forest: Forest,
    several: list[str],
    case: int,
    ranked: list[tuple[float, str, int, int]],
    time: int,
) -> int:
    """What no plan of this case can exceed; -1 when the case cannot be."""
    taken, free = _case(forest, several, case)
    if taken is None:
        return -1
    used, gain = _sum(forest, taken)
    return -1 if used > time else gain + _bound(ranked, free, time - used)


def _case(
    forest: Forest, several: list[str], case: int
) -> tuple[dict[str, bool] | None, dict[str, bool]]:
    """(taken, still free); bit n of `case` says whether several[n] is done; None: it cannot be."""
    taken: dict[str, bool] = {}
    dropped: dict[str, bool] = {}
    for n, name in enumerate(several):
        if case >> n & 1:
            taken[name] = True
            for prerequisite in sorted(forest.before[name]):
                taken[prerequisite] = True
        else:
            dropped[name] = True
    for name in sorted(taken):
        if name in dropped:
            return None, {}
    free: dict[str, bool] = {}
    for name in sorted(forest.first):
        if name not in taken and name not in dropped:
            free[name] = True
            for prerequisite in forest.before[name]:
                if prerequisite in dropped:
                    del free[name]
                    break
    return taken, free


def _ranked(forest: Forest) -> list[tuple[float, str, int, int]]:
    """(worth per time, name, time, worth) of everything, the best rate first."""
    rows = []
    for name in sorted(forest.first):
        cost, gain = forest.time[name], forest.worth[name]
        rows.append((-gain / cost if cost else -1e300, name, cost, gain))
    return sorted(rows)


def _bound(ranked: list[tuple[float, str, int, int]], free: dict[str, bool], time: int) -> int:
    """No set of the free things is worth more: the last one that fits is taken in part."""
    total = 0
    for _, name, cost, gain in ranked:
        if name in free:
            if cost > time:
                return total + gain * time // cost + 1
            time -= cost
            total += gain
    return total
