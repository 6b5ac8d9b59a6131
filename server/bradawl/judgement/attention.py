"""Where to look: what share of what matters was inspected, and what to check in the time left.

The plan for the minutes left is exact: a knapsack in which an item brings its prerequisites along,
solved by one pass of dynamic programming over the forest of prerequisites. Where an item has two
or more independent prerequisites, enough of those are decided beforehand, each with and without.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import brief, exact, words

if TYPE_CHECKING:
    from .shapes import Exact, Json, Rule, Rules

DANGER_WORTH = 150  # money per point of danger, when the checklist says nothing
MOST_CASES = 400  # cases that may wait, and solutions that may be tried, before a plan is called
MOST_SOLVED = 24  # unproven
MINUTES = "15"


def importance(rule: Rule, uses: list[str]) -> int:
    """How much an item matters: its weight for the wanted uses and its danger."""
    return brief.weight(rule, uses) + int(rule.get("danger") or 0)


def coverage(order: list[str], items: dict[str, Json], rules: Rules, facts: Json) -> Json:
    """{"share_percent", "by_area": {area: percent or None}, "done", "total", "not_reached":
    [{"item", "why"}], "text"}. Shares weigh items by importance and are rounded down.
    """
    done: dict[str, int] = {}
    total: dict[str, int] = {}
    count = 0
    missed = []
    for item in order:
        rule, judged = rules["items"][item], items[item]
        weight = importance(rule, facts["uses"])
        area = rule["area"]
        total[area] = total.get(area, 0) + weight
        done.setdefault(area, 0)
        if judged["state"] == "done":
            done[area] += weight
            count += 1
        elif judged["state"] == "uninspected":
            missed.append({"item": item, "why": judged["reasons"][0]["text"]})
        else:
            missed.append({"item": item, "why": "Not reached."})
    by_area = {}
    seen = everything = 0
    for area in sorted(total):
        by_area[area] = 100 * done[area] // total[area] if total[area] else None
        seen += done[area]
        everything += total[area]
    share = 100 * seen // everything if everything else 0
    text = "%d of %s looked at, %d %% of what matters." % (
        count,
        words.counted(len(order), "item", "items"),
        share,
    )
    return {
        "share_percent": share,
        "by_area": by_area,
        "done": count,
        "total": len(order),
        "not_reached": missed,
        "text": text,
    }


def expected_cost(rule: Rule) -> Exact:
    """What an unseen item is expected to cost: chance times mean of low, likely, high (PERT)."""
    unseen = rule.get("unseen")
    if not unseen:
        return exact.ZERO
    chance = exact.figure(str(unseen["chance"])) or exact.ZERO
    low, likely, high = unseen["cost"]
    return exact.multiply(chance, (low + 4 * likely + high, 6))


def worth(rule: Rule, rules: Rules, uses: list[str]) -> int:
    """What looking at an item is worth, in hundredths of money.

    The expected cost, by its weight for the wanted uses against the default weight, and its danger.
    """
    settings = rules.get("attention") or {}
    danger = int(rule.get("danger") or 0) * int(settings.get("danger_worth", DANGER_WORTH))
    weighed = exact.multiply(expected_cost(rule), (brief.weight(rule, uses), brief.DEFAULT_WEIGHT))
    return exact.half_up(exact.add(weighed, (danger, 1)), 2)


class _Forest:
    """Things to do with minutes, worth and the things that must come first."""

    def __init__(self) -> None:
        self.minutes: dict[str, Exact] = {}
        self.worth: dict[str, int] = {}
        self.first: dict[str, list[str]] = {}
        self.before: dict[str, dict[str, bool]] = {}  # ancestors, known after `reduce`

    def add(self, name: str, minutes: Exact, worth: int, first: list[str]) -> None:
        self.minutes[name] = minutes
        self.worth[name] = worth
        self.first[name] = sorted(first)

    def ancestors(self, name: str) -> dict[str, bool]:
        """Everything that must be done before, near and far."""
        found: dict[str, bool] = {}
        stack = list(self.first[name])
        while stack:
            one = stack.pop()
            if one not in found:
                found[one] = True
                stack.extend(self.first[one])
        return found

    def units(self, name: str, unit: int) -> int:
        """Its minutes in whole units of time."""
        return exact.half_up(exact.multiply(self.minutes[name], (unit, 1)), 0)

    def reduce(self) -> None:
        """Forget prerequisites that another prerequisite brings along anyway; break rings."""
        near = {}
        for name in sorted(self.first):
            if name in self.ancestors(name):
                self.first[name] = []  # a ring: the checklist is refused for it elsewhere
        for name in sorted(self.first):
            far: dict[str, bool] = {}
            for other in self.first[name]:
                for one in sorted(self.ancestors(other)):
                    far[one] = True
            near[name] = [other for other in self.first[name] if other not in far]
        self.first = near
        for name in sorted(self.first):
            self.before[name] = self.ancestors(name)


def _unit(forest: _Forest) -> int:
    """How many of the common unit of time make a minute (all durations are whole in it)."""
    unit = 1
    for name in sorted(forest.minutes):
        d = forest.minutes[name][1]
        a, b = unit, d
        while b:
            a, b = b, a % b
        unit = unit * d // a
    return unit


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


def _promising(forest: _Forest, free: list[str], time: int, unit: int) -> list[str]:
    """Without things that cannot be in the best set: of those that take equally long, bring
    nothing along and wait for the same, only as many as fit into the time, the worthiest first.
    """
    needed: dict[str, bool] = {}
    for name in free:
        for one in forest.first[name]:
            needed[one] = True
    keyed = []
    for name in free:
        if name not in needed:
            keyed.append((-forest.worth[name], name))
    counts: dict[tuple[str, int], int] = {}
    kept: dict[str, bool] = {}
    for _, name in sorted(keyed):
        cost = forest.units(name, unit)
        alike = (" ".join(forest.first[name]), cost)
        count = counts.get(alike, 0)
        if cost == 0 or (count + 1) * cost <= time:
            kept[name] = True
        counts[alike] = count + 1
    return [name for name in free if name in needed or name in kept]


def _best_of_forest(
    forest: _Forest, free: list[str], taken: dict[str, bool], time: int, unit: int
) -> tuple[int, list[str]]:
    """The most worth in the time, each name at most one prerequisite away from done."""
    children: dict[str, list[str]] = {}
    roots = []
    for name in _promising(forest, free, time, unit):
        before = [one for one in forest.first[name] if one not in taken]
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
        cost = forest.units(names[i], unit)
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
            left -= forest.units(names[i], unit)
            i += 1
    return best[0][time] if names else 0, chosen


def _branches(forest: _Forest) -> list[str]:
    """Prerequisites to decide beforehand, so that every other thing waits for at most one.

    The beginnings of stages are always among them: many things hang on each, and what cannot be
    exceeded is known far better once they are decided.
    """
    decided: dict[str, bool] = {}
    for name in sorted(forest.first):
        if name.startswith("setup/"):
            decided[name] = True
    while True:
        counts: dict[str, int] = {}
        for name in sorted(forest.first):
            waits = [one for one in forest.first[name] if one not in decided]
            if len(waits) > 1:
                for one in waits:
                    counts[one] = counts.get(one, 0) + 1
        if not counts:
            return sorted(decided)
        most = ""
        for name in sorted(counts):
            if most == "" or counts[name] > counts[most]:
                most = name
        decided[most] = True


def _best(forest: _Forest, time: int, unit: int) -> tuple[int, list[str], bool]:
    """(worth, the best set, whether it is proven the best).

    Best first: the case with the highest bound is split or, when all is decided, solved; once a
    solution reaches the highest bound left, nothing can beat it.
    """
    several = _branches(forest)
    ranked = _ranked(forest, unit)
    waiting = [(0, 0, 0)]  # (-bound, how many are decided, which of them are done)
    best: tuple[int, list[str]] = (-1, [])
    solved = 0
    while waiting:
        bound, depth, case = waiting.pop(0)
        if -bound <= best[0]:
            break
        if depth < len(several):
            for bit in (0, 1):
                deeper = case | bit << depth
                limit = _limit(forest, several[: depth + 1], deeper, ranked, time, unit)
                if limit > best[0]:
                    waiting.append((-limit, depth + 1, deeper))
            waiting.sort()
            if len(waiting) < MOST_CASES:
                continue
            # too tangled to try it all: this case is solved with the rest left undone
        solved += 1
        taken, free = _case(forest, several, case)
        if taken is not None:
            used, gain = _sum(forest, taken, unit)
            names = [name for name in sorted(forest.first) if name in free]
            more, chosen = _best_of_forest(forest, names, taken, time - used, unit)
            if gain + more > best[0]:
                best = (gain + more, sorted(taken) + chosen)
        if solved >= MOST_SOLVED or len(waiting) >= MOST_CASES:
            return best[0], best[1], False
    return best[0], best[1], True


def _sum(forest: _Forest, taken: dict[str, bool], unit: int) -> tuple[int, int]:
    """(time, worth) of what is taken."""
    used = gain = 0
    for name in sorted(taken):
        used += forest.units(name, unit)
        gain += forest.worth[name]
    return used, gain


def _limit(
    forest: _Forest,
    several: list[str],
    case: int,
    ranked: list[tuple[float, str, int, int]],
    time: int,
    unit: int,
) -> int:
    """What no plan of this case can exceed; -1 when the case cannot be."""
    taken, free = _case(forest, several, case)
    if taken is None:
        return -1
    used, gain = _sum(forest, taken, unit)
    return -1 if used > time else gain + _bound(ranked, free, time - used)


def _case(
    forest: _Forest, several: list[str], case: int
) -> tuple[dict[str, bool] | None, dict[str, bool]]:
    """(taken, still free); bit n of `case` says whether several[n] is done; None: it cannot be."""
    taken: dict[str, bool] = {}
    dropped: dict[str, bool] = {}
    for n, name in enumerate(several):
        if case >> n & 1:
            taken[name] = True
            for one in sorted(forest.before[name]):
                taken[one] = True
        else:
            dropped[name] = True
    for name in sorted(taken):
        if name in dropped:
            return None, {}
    free: dict[str, bool] = {}
    for name in sorted(forest.first):
        if name not in taken and name not in dropped:
            free[name] = True
            for one in forest.before[name]:
                if one in dropped:
                    del free[name]
                    break
    return taken, free


def _ranked(forest: _Forest, unit: int) -> list[tuple[float, str, int, int]]:
    """(worth per time, name, time, worth) of everything, the best rate first."""
    rows = []
    for name in sorted(forest.first):
        cost, gain = forest.units(name, unit), forest.worth[name]
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


def _build(order: list[str], items: dict[str, str], rules: Rules, uses: list[str]) -> _Forest:
    """The open items that can still be done, each with its prerequisites and its stage's start."""
    forest = _Forest()
    setup = (rules.get("attention") or {}).get("setup") or {}
    possible: dict[str, bool] = {}
    for item in order:
        if items[item] == "open":
            possible[item] = True
    # what needs something that nobody can look at cannot be done either
    changed = True
    while changed:
        changed = False
        for item in sorted(possible):
            for other in rules["items"][item].get("needs") or []:
                if other in items and items[other] != "done" and other not in possible:
                    del possible[item]
                    changed = True
                    break
    for item in sorted(possible):
        rule = rules["items"][item]
        first = [other for other in rule.get("needs") or [] if other in possible]
        stage = rule.get("stage")
        if stage in setup:
            name = "setup/" + stage
            if name not in forest.first:
                minutes = exact.figure(str(setup[stage])) or exact.ZERO
                forest.add(name, minutes, 0, [])
            first.append(name)
        minutes = exact.figure(str(rule.get("minutes", "1"))) or exact.ONE
        forest.add(item, minutes, worth(rule, rules, uses), first)
    forest.reduce()
    return forest


def what_next(
    order: list[str], states: dict[str, str], rules: Rules, uses: list[str], minutes: str
) -> Json:
    """What to look at in the minutes left, in walk order.

    `order` is every item that applies, in walk order; `states` its state (open, done,
    uninspected). Returns {"minutes", "items": [{"item", "minutes", "worth", "text"}], "setup":
    [{"stage", "minutes"}], "total_minutes", "open", "proven", "text"}; worth in whole money.
    """
    budget = exact.parse(minutes) or exact.ZERO
    if budget[0] < 0:
        budget = exact.ZERO
    forest = _build(order, states, rules, uses)
    unit = _unit(forest)
    time = budget[0] * unit // budget[1]
    longest = 0
    for name in sorted(forest.minutes):
        longest += forest.units(name, unit)
    time = min(time, longest)
    _, chosen, proven = _best(forest, time, unit)
    rows, setup = [], []
    total = exact.ZERO
    named: dict[str, bool] = {}
    stages: dict[str, bool] = {}
    for name in chosen:
        named[name] = True
        if not name.startswith("setup/"):
            stages["setup/" + str(rules["items"][name].get("stage"))] = True
    for name in sorted(named):
        if name in stages:
            spent = forest.minutes[name]
            total = exact.add(total, spent)
            setup.append({"stage": name[6:], "minutes": exact.decimal(spent, 2)})
    for item in order:
        if item in named:
            rule = rules["items"][item]
            spent = forest.minutes[item]
            total = exact.add(total, spent)
            said = words.minutes(exact.decimal(spent, 2))
            rows.append(
                {
                    "item": item,
                    "minutes": exact.decimal(spent, 2),
                    "worth": exact.half_up((forest.worth[item], 100), 0),
                    "text": "%s, %s." % (rule.get("title") or item, said),
                }
            )
    still = len([item for item in order if states[item] == "open"])
    if not still:
        text = "Everything was looked at."
    elif rows:
        text = "In %s: %s of %d still open, %s in all." % (
            words.minutes(exact.decimal(budget, 1)),
            words.counted(len(rows), "item", "items"),
            still,
            words.minutes(exact.decimal(total, 1)),
        )
    else:
        text = "Nothing that is still open fits into %s." % words.minutes(exact.decimal(budget, 1))
    return {
        "minutes": exact.decimal(budget, 2),
        "items": rows,
        "setup": setup,
        "total_minutes": exact.decimal(total, 2),
        "open": still,
        "proven": proven,
        "text": text,
    }
