"""The price to walk away at: what the car is worth when done less P80, reserve and margin.

The work is one remedy of 600 to 2,400, most likely 900: the beta distribution with shape
1 + 4 x 300 / 1800 and 1 + 4 x 1500 / 1800 (modified PERT, from memory). Oracle for its quantiles:
scipy. The reserve is 0.25 x (100 + 4 x 400 + 1900) / 6 = 150, by hand. Every figure differs from
every other, so that a formula which takes the wrong one gives another price.
"""

from __future__ import annotations

from typing import Any

import pytest
from scipy.stats import beta

from tests.judge.records import assessed, item, rules
from tests.judge.saying import said

LOW, LIKELY, HIGH = 600, 900, 2400
RESERVE, MARGIN, VALUE = 150, 430, 7000
SHAPE = 1 + 4 * (LIKELY - LOW) / (HIGH - LOW), 1 + 4 * (HIGH - LIKELY) / (HIGH - LOW)
GRID = 0.006 * (HIGH - LOW)  # how far the judge's grid may be from the distribution


def exact_quantile(percent: int) -> float:
    return LOW + (HIGH - LOW) * float(beta.ppf(percent / 100, *SHAPE))


def money(value: int | None, asking: int | None = None, grade: str = "major") -> Any:
    weld = {
        "id": "weld", "title": "Weld", "kind": "mend", "parts": [LOW, LIKELY, HIGH],
        "hours": ["0", "0", "0"], "for": ["major"], "need": True,
    }  # fmt: skip
    checklist = rules(
        {
            "body.sill": item(title="Sill", remedies=[weld]),
            "engine.oil": item(unseen={"chance": "0.25", "cost": [100, 400, 1900]}),
        }
    )
    told = {
        "brief_value_good": value,
        "brief_margin": MARGIN,
        "about_asking_price": asking,
        "about_currency": "USD",
    }
    given = (grade, "holed") if grade != "none" else "none"
    return assessed(checklist, {"body.sill": given}, **told)["money"]


# what a checklist calls the job
TITLES = {"items": {"body.sill": {"remedies": [{"id": "weld", "title": "Weld"}]}}}
TOTALS = money(VALUE)["totals"]
P80, P90 = TOTALS["p80"], TOTALS["p90"]
HELD_BACK = P80 + RESERVE + MARGIN


def test_the_quantiles_are_those_of_the_distribution_and_far_apart() -> None:
    for percent in (50, 80, 90):
        assert TOTALS[f"p{percent}"] == pytest.approx(exact_quantile(percent), abs=GRID)
    assert exact_quantile(50) + 10 * GRID < exact_quantile(80) < exact_quantile(90) - 10 * GRID


def test_the_walk_away_price_is_value_less_p80_reserve_and_margin() -> None:
    price = money(VALUE)["price"]
    expected = VALUE - exact_quantile(80) - RESERVE - MARGIN
    assert price["walk_away"] == pytest.approx(expected, abs=GRID)
    assert price["walk_away"] == VALUE - HELD_BACK
    assert (price["value"], price["margin"], price["asking"]) == (VALUE, MARGIN, None)


def test_the_opening_allows_for_p90() -> None:
    price = money(VALUE)["price"]
    expected = VALUE - exact_quantile(90) - RESERVE - MARGIN
    assert price["opening"] == pytest.approx(expected, abs=GRID)
    assert said(price["said"], {}, "us") == (
        f"Top price ${VALUE - HELD_BACK:,}; open at ${price['opening']:,}."
    )


@pytest.mark.parametrize(
    ("value", "asking", "walk_away", "opening", "text"),
    [
        (VALUE, 2400, VALUE - HELD_BACK, 2400, "open at $2,400. Asking $2,400."),
        (VALUE, 9000, VALUE - HELD_BACK, VALUE - P90 - RESERVE - MARGIN, "Asking $9,000."),
        (HELD_BACK + 1, None, 1, 0, "Top price $1; open at $0."),
        (
            HELD_BACK,
            None,
            0,
            0,
            "Not worth it at any price: work, set-aside and cushion",
        ),
        (HELD_BACK - 1, None, 0, 0, "cushion come to $1 more"),
        (HELD_BACK - 500, 100, 0, 0, "come to $500 more than it's worth."),
    ],
    ids=["asks less", "asks more", "just worth a price", "just not", "below", "below, asked"],
)
def test_the_price_at_its_edges(
    value: int, asking: int | None, walk_away: int, opening: int, text: str
) -> None:
    price = money(value, asking)["price"]
    assert (price["walk_away"], price["opening"]) == (walk_away, opening)
    assert text in said(price["said"], {}, "us")


def test_without_work_only_reserve_and_margin_are_held_back() -> None:
    price = money(VALUE, grade="none")["price"]
    assert price["walk_away"] == price["opening"] == VALUE - RESERVE - MARGIN
    assert price["arguments"] == []


def test_without_a_value_there_is_no_price_but_there_are_arguments() -> None:
    price = money(None)["price"]
    assert (price["walk_away"], price["opening"]) == (None, None)
    expected = TOTALS["expected"]
    assert [argument["amount"] for argument in price["arguments"]] == [expected]
    assert said(price["arguments"][0]["said"], TITLES, "us").startswith(
        f"Weld, about ${expected:,}. Inspector's call: Needs fixing (holed)."
    )


def test_the_sentence_about_the_work_names_p50_p80_and_reserve() -> None:
    assert said(money(VALUE)["said"], {}, "us") == (
        f"Work: about ${TOTALS['p50']:,}, 80% sure it stays under ${P80:,}. "
        f"Set aside for what we didn't see: ${RESERVE}."
    )
