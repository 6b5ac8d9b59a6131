"""Picks checks for the time that is left, and what each is worth and takes, in exact numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact

if TYPE_CHECKING:
    from ..values.types import Exact, Rule, Rules


def expected_cost(rule: Rule) -> Exact:
    """What an unseen item is expected to cost: chance times mean of low, likely, high (PERT)."""
    unseen = rule.get("unseen")
    if not unseen:
        return exact.ZERO
    chance = exact.figure(str(unseen["chance"])) or exact.ZERO
    low, likely, high = unseen["cost"]
    return exact.multiply(chance, (low + 4 * likely + high, 6))


def minutes_alone(rule: Rule, rules: Rules) -> Exact:
    """The minutes of one person alone at an item, with typing."""
    minutes = exact.figure(str(rule.get("minutes", "1"))) or exact.ONE
    typing = exact.figure(str((rules.get("attention") or {}).get("typing", "0"))) or exact.ZERO
    return exact.add(minutes, exact.multiply(typing, (_typed(rule), 1)))


def _typed(rule: Rule) -> int:
    """How many figures must be typed: none where a tap answers, else one at each place.

    A second and a third spot (`roof-2`, `roof-3`) are for where the first one stands out.
    """
    if rule.get("choices"):
        return 0
    count = 0
    for reading in rule.get("readings") or []:
        places = [at for at in reading.get("at") or [] if at[-2:] not in ("-2", "-3")]
        count += len(places) or 1
    return count


def spread(rule: Rule) -> Exact:
    """The variance of what an unseen item costs: chance x mean of squares - (chance x mean)^2.

    Low, likely and high weigh 1, 4 and 1 of 6 (PERT). Not reduced: it is only compared.
    """
    unseen = rule.get("unseen")
    if not unseen:
        return exact.ZERO
    n, d = exact.figure(str(unseen["chance"])) or exact.ZERO
    low, likely, high = unseen["cost"]
    total = low + 4 * likely + high
    squares = low * low + 4 * likely * likely + high * high
    return 6 * n * d * squares - n * n * total * total, 36 * d * d


class Plan:
    """Picks checks while time is left; times are whole in one unit."""

    def __init__(
        self, time: dict[str, int], setup: dict[str, int], begun: dict[str, bool], rules: Rules
    ) -> None:
        self.time = time  # of every check that may be picked
        self.setup = setup
        self.begun = begun  # stages
        self.rules = rules
        self.stage: dict[str, str] = {}
        for item in time:
            self.stage[item] = str(rules["items"][item].get("stage"))
        self.order: list[str] = []  # as they were picked
        self.picked: dict[str, int] = {}  # the time, with the beginning of its stage

    def with_needs(self, items: list[str]) -> list[str]:
        """These, each behind what it needs and nobody has looked at."""
        met: dict[str, bool] = {}
        ordered: list[str] = []

        def visit(name: str) -> None:
            if name not in self.time or name in self.picked or name in met:
                return
            met[name] = True
            for other in self.rules["items"][name].get("needs") or []:
                visit(other)
            ordered.append(name)

        for item in items:
            visit(item)
        return ordered

    def minutes(self, items: list[str]) -> int:
        """What these take, with the beginnings of their stages."""
        total = 0
        begun: dict[str, bool] = {}
        for item in items:
            stage = self.stage[item]
            total += self.time[item]
            if stage not in self.begun and stage not in begun:
                begun[stage] = True
                total += self.setup.get(stage, 0)
        return total

    def pick(self, group: list[str], value: dict[str, int], left: int) -> int:
        """Pick what fits of a group, the most value a minute first; the time that is then left."""
        # floor(value x scale / time) ranks as value / time does: two fractions with such
        # denominators are equal, or differ by more than 1 / scale
        longest = self.minutes(list(self.time)) + 1
        scale = longest * longest
        chain: dict[str, list[str]] = {}
        cost: dict[str, int] = {}
        rank: dict[str, int] = {}
        while True:
            best = ""
            for item in group:
                if item in self.picked:
                    continue
                if item not in chain:
                    chain[item] = self.with_needs([item])
                    cost[item] = self.minutes(chain[item])
                    rank[item] = value[item] * scale // (cost[item] or 1)
                if cost[item] <= left and (best == "" or rank[item] > rank[best]):
                    best = item
            if best == "":
                return left
            left -= cost[best]
            self._take(chain[best], chain)

    def _take(self, items: list[str], chain: dict[str, list[str]]) -> None:
        """Pick these; the chains that took them or their stages along are worked out anew."""
        begun: dict[str, bool] = {}
        for item in items:
            self.order.append(item)
            self.picked[item] = self.minutes([item])
            if self.stage[item] not in self.begun:
                begun[self.stage[item]] = self.begun[self.stage[item]] = True
        for item in list(chain):
            if not begun and len(chain[item]) == 1 and item not in self.picked:
                continue
            for other in chain[item]:
                if other in self.picked or self.stage[other] in begun:
                    del chain[item]
                    break


def begin(possible: list[str], seen: list[str], rules: Rules) -> tuple[Plan, int]:
    """An empty plan, and how many of its units of time make a minute."""
    settings = (rules.get("attention") or {}).get("setup") or {}
    setup: dict[str, Exact] = {}
    for stage in settings:
        setup[stage] = exact.figure(str(settings[stage])) or exact.ZERO
    time: dict[str, Exact] = {}
    for item in possible:
        time[item] = minutes_alone(rules["items"][item], rules)
    unit = 1
    for times in (setup, time):
        for name in times:
            unit = exact.common(unit, times[name][1])
    begun: dict[str, bool] = {}
    for item in seen:
        begun[str(rules["items"][item].get("stage"))] = True
    return Plan(whole(time, unit), whole(setup, unit), begun, rules), unit


def whole(times: dict[str, Exact], unit: int) -> dict[str, int]:
    whole: dict[str, int] = {}
    for name in times:
        whole[name] = times[name][0] * unit // times[name][1]
    return whole
