"""What looking at the wrong things costs: cars drawn from the checklist's own chances.

A car is worth what it would be when all is done, less what its faults cost. The buyer knows of
those he looked at, holds back the expected cost of the others, and pays at the middle between the
seller's limit and his own top price, if they meet. Regret: what he would have gained had he known
everything, less what he gains. A car that is bought and was not cleared to drive, or in which a
danger was found, goes home on a trailer. Each fault comes by the chance that the checklist gives
it, which is of a fault that nothing else would have told of: neither raised nor halved. That faults
come alone, the value, the trailer and the seller's limits are assumptions, and the same for
every rule. The dollars compare rules; they promise nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import numpy

from bradawl.judge.assessment import walk
from bradawl.judge.decisions.check_plan import begin, minutes_alone
from bradawl.judge.decisions.next_checks import what_next
from bradawl.judge.record.regions import rules_in
from bradawl.judge.record.visit_facts import applies, visit_facts

MINUTES = (5, 15, 30, 60)
#: What looking at danger and at the drive home was worth to the old rule, in US dollars.
OLD_DANGER = OLD_DRIVE = 300
TRAILER = 300  # US dollars
TODAY = "2026-11-30"
GRAVE = 4  # the worst third of faults of that danger is called dangerous

Steps = list[tuple[str, Fraction]]  # what is looked at, and the minutes with the stage's beginning


class Cars:
    """A checklist for one kind of car, cars drawn from its chances, and how well a buyer does."""

    def __init__(self, bundled: dict[str, Any], car: dict[str, Any], count: int, seed: int) -> None:
        self.rules: Any = rules_in(bundled["rules"], "us")
        cells: Any = {path: {"value": car[path], "at": "1", "others": []} for path in car}
        self.facts = visit_facts(cells, TODAY)
        everything = [
            name
            for name in walk(self.rules)
            if applies(self.rules["items"][name].get("applies") or {}, self.facts)
        ]
        self.order = everything
        self.time = {
            name: Fraction(*minutes_alone(self.rules["items"][name], self.rules))
            for name in everything
        }
        unseen = [self.rules["items"][name].get("unseen") for name in everything]
        self.chance = numpy.array([float(one["chance"]) if one else 0 for one in unseen])
        figures = numpy.array([one["cost"] if one else (0, 0, 0) for one in unseen], float)
        weights = numpy.array([1, 4, 1]) / 6
        self.held = self.chance * (figures @ weights)
        dice = numpy.random.default_rng(seed)
        shape = (count, len(everything))
        level = dice.choice(3, shape, p=weights)
        self.is_bad = dice.random(shape) < self.chance
        every = [self.rules["items"][name] for name in everything]
        grave = numpy.array([int(rule.get("danger", 0)) >= GRAVE for rule in every])
        self.is_dangerous = self.is_bad & (level == 2) & grave
        self.essential = numpy.array([rule.get("drive") == "essential" for rule in every])
        self.cost = numpy.where(self.is_bad, figures[numpy.arange(shape[1]), level], 0)
        self.value = 2 * self.held.sum()
        self.true = self.value - self.cost.sum(1)
        self.asked = (self.value - self.held.sum()) * dice.uniform(0.8, 1.3, count)
        self.limit = self.asked * dice.uniform(0.75, 1, count)
        self.best = self.gain(numpy.ones(shape, bool))

    def gain(self, seen: Any) -> Any:
        """What a buyer gains who looked at these (cars by items)."""
        top = self.value - numpy.where(seen, self.cost, self.held).sum(1)
        price = (self.limit + numpy.minimum(top, self.asked)) / 2
        trailer = numpy.where(self.is_cleared(seen), 0, TRAILER)
        return numpy.where(top >= self.limit, self.true - price - trailer, 0)

    def is_cleared(self, seen: Any) -> Any:
        """Whether all that the drive home depends on was looked at, and no danger found, by car."""
        return seen[:, self.essential].all(1) & ~self.finds_danger(seen)

    def finds_danger(self, seen: Any) -> Any:
        """Whether a look at these finds a danger, by car."""
        return (self.is_dangerous & seen).any(1)

    def seen_by(self, steps: Steps, minutes: int) -> list[int]:
        """Which items are done by then."""
        left, seen = Fraction(minutes), []
        for name, takes in steps:
            left -= takes
            if left < 0:
                break
            seen.append(self.order.index(name))
        return seen

    def regret(self, steps_for: Callable[[int], Steps]) -> dict[int, Any]:
        """The regret of each car by minutes; `steps_for` gives the steps planned for so many."""
        regrets = {}
        for minutes in MINUTES:
            regrets[minutes] = self.best - self.gain(self.seen_in(steps_for(minutes), minutes))
        return regrets

    def seen_in(self, steps: Steps, minutes: int) -> Any:
        """What is looked at in so many minutes, of every car the same (cars by items)."""
        seen = numpy.zeros(self.cost.shape, bool)
        seen[:, self.seen_by(steps, minutes)] = True
        return seen

    # --- the rules that are compared ------------------------------------------------------------

    def walked(self, _minutes: int = 0) -> Steps:
        """The usual visit in the order of the walk."""
        usual = [
            name for name in self.order if self.rules["items"][name].get("depth") != "thorough"
        ]
        return self._with_beginnings(usual)

    def _with_beginnings(self, names: list[str]) -> Steps:
        begun: set[str] = set()
        steps = []
        for name in names:
            stage = self.rules["items"][name]["stage"]
            setup = self.rules["attention"]["setup"].get(stage, "0") if stage not in begun else "0"
            begun.add(stage)
            steps.append((name, self.time[name] + Fraction(setup)))
        return steps

    def new(self, minutes: int) -> Steps:
        """What next, as it is."""
        return self.planned(minutes, dict.fromkeys(self.order, "open"), "not_cleared")

    def planned(self, minutes: Any, states: dict[str, str], answer: Any) -> Steps:
        plan = what_next(
            self.order, states, self.rules, self.facts, str(float(minutes)), answer, None
        )
        return [(row["item"], Fraction(row["minutes"])) for row in plan["items"]]

    def old(self, minutes: int) -> Steps:
        """The rule before: the most expected cost, danger and drive a minute, greedily."""
        worth = {}
        for n, name in enumerate(self.order):
            rule = self.rules["items"][name]
            danger = OLD_DANGER * int(rule.get("danger", 0))
            drive = OLD_DRIVE if rule.get("drive") == "essential" else 0
            worth[name] = round(2 * self.held[n]) + danger + drive
        plan, unit = begin(self.order, [], self.rules)
        plan.pick(self.order, worth, minutes * unit)
        return [(name, Fraction(plan.picked[name], unit)) for name in plan.order]

    def regret_with_dangers(self, minutes: int, answer: str = "trailer") -> Any:
        """The new rule's regret when it is asked anew after each danger, told this of the drive."""
        seen = numpy.zeros(self.cost.shape, bool)
        first = self.new(minutes)
        plans: dict[tuple[str, ...], Steps] = {}  # cars differ by their dangers alone
        for car in range(len(self.true)):
            states = dict.fromkeys(self.order, "open")
            dangers: tuple[str, ...] = ()
            steps, left = first, Fraction(minutes)
            while steps:
                for name, takes in steps:
                    n = self.order.index(name)
                    seen[car, n] = True
                    left -= takes
                    states[name] = "dangerous" if self.is_dangerous[car, n] else "done"
                    if states[name] == "dangerous":
                        dangers = (*dangers, name)
                        break
                else:
                    break
                if dangers not in plans:
                    plans[dangers] = self.planned(left, states, answer)
                steps = plans[dangers]
        return self.best - self.gain(seen)


def table(rows: dict[str, dict[int, Any]]) -> str:
    """Mean regret by rule and minutes, in dollars."""
    lines = ["regret, $".ljust(28) + "".join(f"{minutes:>8} min" for minutes in MINUTES)]
    for name, by_minutes in rows.items():
        means = (f"{by_minutes[minutes].mean():>12.0f}" for minutes in MINUTES)
        lines.append(name.ljust(28) + "".join(means))
    return "\n".join(lines)
