"""What next against the rule before it and against the order of the walk, in simulated dollars.

No source: the cars are drawn from the checklist's own assumptions (regret.py). What next is used as
it is meant, asked anew after each danger. Claimed is: at no time it is worse than the order of the
walk (in five minutes both see little and are alike: there by twice the standard error); at a
quarter and half an hour it is better than the rule before; more minutes leave less regret. Not
claimed: that a list made once for an hour is better than one for half of it. It is not: it spends
the hour on what could hurt on the way home, which these dollars value at a trailer alone.
The long form is `python -m tests.proof regret`.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import numpy
import pytest

from tests.checklists.content.test_visit import KNOWN
from tests.checkout import checklist_bundle
from tests.judge.decisions.regret import MINUTES, Cars, table

ROOT = Path(__file__).parents[3]


@cache
def some_cars() -> Cars:
    return Cars(checklist_bundle(), KNOWN, 2_000, 7)  # type: ignore[arg-type]


@cache
def regrets() -> dict[str, dict[int, Any]]:
    cars = some_cars()
    nothing = cars.best - cars.gain(numpy.zeros(cars.cost.shape, bool))
    found = {
        "no look": dict.fromkeys(MINUTES, nothing),
        "order of the walk": cars.regret(cars.walked),
        "the rule before, greedily": cars.regret(cars.old),
        "what next": {minutes: cars.regret_with_dangers(minutes) for minutes in MINUTES},
        "what next, a list made once": cars.regret(cars.new),
    }
    print(table(found))
    return found


@pytest.mark.parametrize("minutes", MINUTES)
def test_what_next_is_no_worse_than_the_order_of_the_walk(minutes: int) -> None:
    found = regrets()
    more = found["what next"][minutes] - found["order of the walk"][minutes]
    allowed = 2 * more.std() / len(more) ** 0.5 if minutes == 5 else 0
    assert more.mean() <= allowed


@pytest.mark.parametrize("minutes", [15, 30])
def test_what_next_is_better_than_the_rule_before(minutes: int) -> None:
    """Of the same cars, by more than twice the standard error."""
    found = regrets()
    less = found["the rule before, greedily"][minutes] - found["what next"][minutes]
    assert less.mean() > 2 * less.std() / len(less) ** 0.5


def test_more_minutes_leave_less_regret() -> None:
    found = regrets()["what next"]
    assert found[60].mean() < found[30].mean() < found[15].mean() < found[5].mean()


@pytest.mark.parametrize("other", ["a list made once", "told that it may still be driven"])
def test_it_is_asked_anew_after_each_danger(other: str) -> None:
    """Found dangers end the must-looks: nobody drives it, and the minutes go to the price.

    Of the cars with a danger on the first list, by more than twice the standard error; a trailer
    takes them home either way. Of the others nothing changes.
    """
    cars = some_cars()
    once = regrets()["what next, a list made once"][60]
    is_once = other == "a list made once"
    against = once if is_once else cars.regret_with_dangers(60, "not_cleared")
    less = against - regrets()["what next"][60]
    found = cars.finds_danger(cars.seen_in(cars.new(60), 60))
    assert less[found].mean() > 2 * less[found].std() / found.sum() ** 0.5
    assert not less[~found].any()
