"""From a symptom to its cause: naive Bayes over an editable table, and the next test to do.

A table is data: how often each cause is behind the symptom, and for each test how likely each
outcome is under each cause, in per cent. Every probability is a stated assumption; the working
is returned with the answer. Weights are integers, so the ranking depends on no rounding.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values.exact import half_up

if TYPE_CHECKING:
    from ..values.types import Factor, RankedCause, RankedTest, Symptom, Test

LEAST_PERCENT = 1  # no single test rules a cause out for good: it may have been done wrongly
LN_2 = 0.6931471805599453


def rank(symptom: Symptom, results: dict[str, str]) -> list[RankedCause]:
    """The causes, the likeliest first, with the working of each.

    `results` names an outcome per test done; unknown tests and outcomes are passed over.
    """
    weights = _weights(symptom, results)
    total = 0
    often = 0
    for cause in symptom["causes"]:
        total += weights[cause["id"]]
        often += cause["often"]
    ready = []
    rows: dict[str, RankedCause] = {}
    for cause in symptom["causes"]:
        name = cause["id"]
        factors: list[Factor] = []
        for test in symptom["tests"]:
            place = _place(test, results)
            if place >= 0:
                factors.append({"test": test["id"], "percent": _percent(test, name, place)})
        ready.append((-weights[name], name))
        rows[name] = {
            "id": name,
            "tenths": half_up((1000 * weights[name], total), 0),
            "before": half_up((1000 * cause["often"], often), 0),
            "factors": factors,
        }
    return [rows[name] for _, name in sorted(ready)]


def _weights(symptom: Symptom, results: dict[str, str]) -> dict[str, int]:
    """Unnormalised posterior of each cause, exact."""
    weights = {}
    for cause in symptom["causes"]:
        weight = cause["often"]
        for test in symptom["tests"]:
            place = _place(test, results)
            if place >= 0:
                weight *= _percent(test, cause["id"], place)
        weights[cause["id"]] = weight
    return weights


def _place(test: Test, results: dict[str, str]) -> int:
    """The index of the outcome that was seen; -1 when the test was not done."""
    if test["id"] in results:
        for n in range(len(test["outcomes"])):
            if test["outcomes"][n]["id"] == results[test["id"]]:
                return n
    return -1


def _percent(test: Test, cause: str, place: int) -> int:
    likely = test["likely"]
    row = likely[cause] if cause in likely else likely["other"]
    return row[place] if row[place] > LEAST_PERCENT else LEAST_PERCENT


def next_tests(symptom: Symptom, results: dict[str, str]) -> list[RankedTest]:
    """The tests not yet done, the one that tells most per minute first.

    What a test tells is the entropy that it is expected to remove. `minutes` of a test is decimal
    text.
    """
    weights = _weights(symptom, results)
    total = 0.0
    for name in sorted(weights):
        total += weights[name]
    shares = {}
    for name in sorted(weights):
        shares[name] = weights[name] / total
    now = _entropy([shares[name] for name in sorted(shares)])
    ready = []
    rows: dict[str, RankedTest] = {}
    for test in symptom["tests"]:
        if _place(test, results) >= 0:
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


def _expected(test: Test, shares: dict[str, float]) -> float:
    """The entropy that is left on average once the test was done."""
    left = 0.0
    for place in range(len(test["outcomes"])):
        joint = []
        chance = 0.0
        for name in sorted(shares):
            both = shares[name] * _percent(test, name, place) / 100.0
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
    for n in range(12):
        total += power / (2 * n + 1)
        power *= square
    return 2.0 * total - halvings * LN_2


def _minutes(text: str) -> float:
    """Decimal text as a float; at least a quarter of a minute, so that a glance is not free."""
    whole, _, part = text.partition(".")
    value = float(int(whole or "0"))
    if part:
        value += int(part) / 10 ** len(part)
    return value if value > 0.25 else 0.25
