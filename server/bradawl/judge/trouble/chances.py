"""How likely each cause of a complaint is, and which test tells most: naive Bayes over a table.

A table is data: how often each cause is behind the symptom, and for each test how likely each
outcome is under each cause, in per cent. Every probability is a stated assumption; the working
is returned with the answer. Weights are integers, so the ranking depends on no rounding.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values.exact import half_up

if TYPE_CHECKING:
    from ..values.types import (
        CauseStanding,
        Factor,
        RankedCause,
        RankedTest,
        Symptom,
        SymptomTest,
        Weights,
    )

LEAST_PERCENT = 1  # no single test rules a cause out for good: it may have been done wrongly
LN_2 = 0.6931471805599453
_ODD = (1.0, 3.0, 5.0, 7.0, 9.0, 11.0, 13.0, 15.0, 17.0, 19.0, 21.0, 23.0)
# below which per cent a cause stands so; the words are the same for every complaint
_STANDINGS: tuple[tuple[int, CauseStanding], ...] = (
    (1, "against"),
    (10, "unlikely"),
    (50, "possible"),
)


def rank(
    symptom: Symptom, results: dict[str, str], out: dict[str, bool] | None = None
) -> list[RankedCause]:
    """The causes, the likeliest first, with the working of each; those of `out` come last, at 0.

    `results` names an outcome per test done; unknown tests and outcomes are passed over.
    """
    weights = weigh(symptom, results, out)
    total = total_of(weights)
    often = 0
    for cause in symptom["causes"]:
        often += cause["often"]
    rows: dict[str, RankedCause] = {}
    for cause in symptom["causes"]:
        name = cause["id"]
        factors: list[Factor] = []
        for test in symptom["tests"]:
            place = _place(test, results)
            if place >= 0:
                factors.append({"test": test["id"], "percent": percent(test, name, place)})
        rows[name] = {
            "id": name,
            "tenths": half_up((1000 * weights[name], total or 1), 0),
            "before": half_up((1000 * cause["often"], often), 0),
            "factors": factors,
        }
    return [rows[name] for name in order_of(weights)]


def order_of(weights: Weights) -> list[str]:
    """The causes by weight, the heaviest first."""
    return [name for _, name in sorted([(-weights[name], name) for name in weights])]


def total_of(weights: Weights) -> int:
    total = 0
    for name in weights:
        total += weights[name]
    return total


def standing(weight: int, total: int) -> CauseStanding:
    """The word for a cause's share of all weights."""
    for percent, name in _STANDINGS:
        if 100 * weight < percent * total:
            return name
    return "likely"


def weigh(symptom: Symptom, results: dict[str, str], out: dict[str, bool] | None = None) -> Weights:
    """Unnormalised posterior of each cause, exact; 0 of those that are ruled out."""
    weights = {}
    for cause in symptom["causes"]:
        if out and cause["id"] in out:
            weights[cause["id"]] = 0
            continue
        weight = cause["often"]
        for test in symptom["tests"]:
            place = _place(test, results)
            if place >= 0:
                weight *= percent(test, cause["id"], place)
        weights[cause["id"]] = weight
    return weights


def _place(test: SymptomTest, results: dict[str, str]) -> int:
    """The index of the outcome that was seen; -1 when the test was not done."""
    if test["id"] in results:
        for n in range(len(test["outcomes"])):
            if test["outcomes"][n]["id"] == results[test["id"]]:
                return n
    return -1


def percent(test: SymptomTest, cause: str, place: int) -> int:
    """How often the test shows that outcome where that is the cause."""
    likely = test["likely"]
    row = likely[cause] if cause in likely else likely["other"]
    return row[place] if row[place] > LEAST_PERCENT else LEAST_PERCENT


def can_change(symptom: Symptom, test: SymptomTest, weights: Weights) -> bool:
    """Whether some outcome of a test would put the causes in another order, or into other words."""
    before = order_of(weights)
    total = total_of(weights)
    for place in range(len(test["outcomes"])):
        after = {name: weights[name] * percent(test, name, place) for name in sorted(weights)}
        if order_of(after) != before:
            return True
        total_after = total_of(after)
        for name in before:
            if standing(weights[name], total) != standing(after[name], total_after):
                return True
    return False


def next_tests(
    symptom: Symptom, results: dict[str, str], out: dict[str, bool] | None = None
) -> list[RankedTest]:
    """The tests not yet done that can change something, the one that tells most per minute first.

    What a test tells is the entropy that it is expected to remove. `minutes` of a test is decimal
    text.
    """
    weights = weigh(symptom, results, out)
    whole = total_of(weights)
    if whole == 0:
        return []
    shares = {name: weights[name] / whole for name in sorted(weights)}
    now = _entropy([shares[name] for name in sorted(shares)])
    ready = []
    rows: dict[str, RankedTest] = {}
    for test in symptom["tests"]:
        if _place(test, results) >= 0 or not can_change(symptom, test, weights):
            continue
        gain = now - _expected(test, shares)
        gain = gain if gain > 0.0 else 0.0
        minutes = _minutes(test["minutes"])
        rows[test["id"]] = {
            "id": test["id"],
            "gain": int(gain * 1000.0 + 0.5),
            "per_minute": int(gain / minutes * 1000.0 + 0.5),
        }
        ready.append((-gain / minutes, test["id"]))
    return [rows[name] for _, name in sorted(ready)]


def apart(one: list[int], other: list[int]) -> int:
    """How far a test tells two causes apart, by their rows: 0 not at all, 100 for certain."""
    total = 0
    for place in range(len(one)):
        total += abs(one[place] - other[place])
    return total // 2


def _expected(test: SymptomTest, shares: dict[str, float]) -> float:
    """The entropy that is left on average once the test was done."""
    left = 0.0
    names = sorted(shares)
    for place in range(len(test["outcomes"])):
        joint = []
        chance = 0.0
        for name in names:
            both = shares[name] * percent(test, name, place) / 100.0
            joint.append(both)
            chance += both
        if chance > 0.0:
            left += chance * _entropy([both / chance for both in joint])
    return left


def _entropy(shares: list[float]) -> float:
    """In bits."""
    total = 0.0
    for share in shares:
        if share > 0.0:
            total -= share * _ln(share)
    return total / LN_2


def _ln(x: float) -> float:
    """Natural logarithm of 0 < x <= 1 by + - * / alone, so that both engines agree bit for bit."""
    halvings = 0
    while x < 0.75:
        x *= 2.0
        halvings += 1
    z = (x - 1.0) / (x + 1.0)  # |z| <= 0.15: twelve terms are exact to a double
    square = z * z
    total = 0.0
    power = z
    for odd in _ODD:
        total += power / odd
        power *= square
    return 2.0 * total - halvings * LN_2


def _minutes(text: str) -> float:
    """Decimal text as a float; at least a quarter of a minute, so that a glance is not free."""
    whole, _, part = text.partition(".")
    value = float(int(whole or "0"))
    if part:
        value += int(part) / 10 ** len(part)
    return value if value > 0.25 else 0.25
