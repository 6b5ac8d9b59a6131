"""The top price: what the car is worth less the expected work, what is held back and the margin.

The work is one remedy of 600 to 2,400, most likely 900: the beta distribution with shape
1 + 4 x 300 / 1800 and 1 + 4 x 1500 / 1800 (modified PERT, from memory); its mean, by hand, is
(600 + 4 x 900 + 2400) / 6 = 1100. Oracle for its quantiles: scipy. Held back, by hand, is
0.25 x (100 + 4 x 400 + 1900) / 6 = 150, and for what was found fine nothing of 0.5 x 340 = 170.
Every figure differs from every other, so that a formula which takes the wrong one gives another
price.
"""

from __future__ import annotations

from typing import Any

import pytest
import scipy  # its parts come, a second of work, with the first test that names one

from bradawl.judge import assess
from bradawl.judge.costs import maintenance, price
from bradawl.judge.grading.combinations import Judged
from bradawl.judge.record.visit_facts import visit_facts
from tests.judge.records import assessed, item, record, rules
from tests.judge.saying import said

LOW, LIKELY, HIGH = 600, 900, 2400
EXPECTED, HELD, MARGIN, VALUE = 1100, 150, 430, 7000
SHAPE = 1 + 4 * (LIKELY - LOW) / (HIGH - LOW), 1 + 4 * (HIGH - LIKELY) / (HIGH - LOW)
GRID = 0.006 * (HIGH - LOW)  # how far the judge's grid may be from the distribution
TOP = VALUE - EXPECTED - HELD - MARGIN


def exact_quantile(percent: int) -> float:
    return LOW + (HIGH - LOW) * float(scipy.stats.beta.ppf(percent / 100, *SHAPE))


def checklist() -> Any:
    weld = {
        "id": "weld", "title": "Weld", "kind": "mend", "parts": [LOW, LIKELY, HIGH],
        "hours": ["0", "0", "0"], "for": ["major"], "need": True,
    }  # fmt: skip
    return rules(
        {
            "body.sill": item(title="Sill", remedies=[weld]),
            "engine.oil": item(unseen={"chance": "0.25", "cost": [100, 400, 1900]}),
            "engine.start": item(unseen={"chance": "0.5", "cost": [340, 340, 340]}),
        }
    )


def money(
    value: int | None,
    asking: int | None = None,
    grade: str = "major",
    margin: int = MARGIN,
    **more: Any,
) -> Any:
    told = {
        "brief_value_good": value,
        "brief_margin": margin,
        "about_asking_price": asking,
        "about_currency": "USD",
    }
    given = (grade, "holed") if grade != "none" else "none"
    seen = {"body.sill": given, "engine.start": "none", **more.pop("seen", {})}
    if not more:
        return assessed(checklist(), seen, **told)["money"]
    assessment = assessed(checklist(), seen, **told)
    cells = record(seen, **told)["cells"]
    return price.money(
        list(assessment["items"]),
        assessment["findings"],
        assessment["items"],
        maintenance.baseline([], Judged(), checklist(), {}),
        checklist(),
        visit_facts(cells, "2026-11-25"),
        cells,
        more,
    )


# what a checklist calls the job
TITLES = {"items": {"body.sill": {"remedies": [{"id": "weld", "title": "Weld"}]}}}
TOTALS = money(VALUE)["totals"]
P80, P90 = TOTALS["p80"], TOTALS["p90"]
OPENING = TOP - (P90 - EXPECTED)


def test_the_quantiles_are_those_of_the_distribution_and_far_apart() -> None:
    for percent in (50, 80, 90):
        assert TOTALS[f"p{percent}"] == pytest.approx(exact_quantile(percent), abs=GRID)
    assert exact_quantile(50) + 10 * GRID < exact_quantile(80) < exact_quantile(90) - 10 * GRID


def test_the_top_price_is_worth_less_expected_work_held_back_and_margin() -> None:
    found = money(VALUE)
    got = found["price"]
    assert got["walk_away"] == TOP == 5320
    assert (found["totals"]["expected"], found["reserve"]["amount"]) == (EXPECTED, HELD)
    assert (got["value"], got["worth"], got["margin"], got["asking"]) == (
        VALUE,
        VALUE,
        MARGIN,
        None,
    )


def test_each_part_enters_the_price_by_its_own_amount() -> None:
    """By hand: value, margin, repair, hold and factor are changed one at a time."""
    assert money(VALUE + 77)["price"]["walk_away"] == TOP + 77
    assert money(VALUE, margin=MARGIN + 31)["price"]["walk_away"] == TOP - 31
    assert money(VALUE, grade="none")["price"]["walk_away"] == TOP + EXPECTED
    clean = money(VALUE, seen={"engine.oil": "none"})
    assert (clean["price"]["walk_away"], clean["reserve"]["amount"]) == (TOP + HELD, 0)
    branded = money(VALUE, worth_factor=(3, 5))["price"]
    assert (branded["worth"], branded["walk_away"]) == (4200, TOP - 2800)
    assert money(10001, worth_factor=(1, 2))["price"]["worth"] == 5001  # half up


def test_all_pages_can_add_up_the_one_total() -> None:
    for found in (money(VALUE), money(VALUE, grade="none"), money(VALUE, worth_factor=(3, 5))):
        got = found["price"]
        left = got["worth"] - found["totals"]["expected"] - found["reserve"]["amount"]
        assert left - got["margin"] == got["walk_away"]


def test_the_bound_is_the_top_price_with_all_that_is_not_seen_fine() -> None:
    got = money(VALUE, asking=6000)["price"]
    assert got["bound"] == TOP + HELD
    assert said(got["said"], {}, "us").endswith(
        f"Enough seen: even if all the rest is fine, it's not worth more than ${TOP + HELD:,}."
    )
    assert "Enough seen" not in said(money(VALUE, asking=TOP + HELD)["price"]["said"], {}, "us")
    likely = money(VALUE, worth_factor=(3, 5), best_factor=(4, 5))["price"]
    assert likely["bound"] == 5600 - EXPECTED - MARGIN
    assert money(MARGIN)["price"]["bound"] == 0


def test_below_half_of_what_matters_no_price_is_quoted() -> None:
    """By hand: 150 of 150 + 170 is 46.9 per cent, 170 of them 53.1."""
    seen = {"engine.start": ("uninspected", "no key"), "engine.oil": "none"}
    got = money(VALUE, asking=6900, seen=seen)["price"]
    assert (got["walk_away"], got["opening"]) == (None, None)
    assert got["bound"] == VALUE - EXPECTED - MARGIN
    assert said(got["said"], {}, "us").startswith(
        "Too little seen to name a price: 46% of what matters. Enough seen: even if"
    )
    assert money(VALUE)["price"]["walk_away"] == TOP
    half = checklist()
    half["items"]["engine.oil"]["unseen"] = {"chance": "1", "cost": [170, 170, 170]}
    told = {"brief_value_good": VALUE, "brief_margin": MARGIN}
    given = {"body.sill": ("major", "holed"), "engine.start": "none"}
    assert assessed(half, given, **told)["money"]["price"]["walk_away"] == TOP + HELD - 170


def test_a_disputed_answer_is_not_fine() -> None:
    """Two people, unseen by each other: sound, and not looked at (common practice, no source)."""
    values = {"body.sill": ("major", "holed"), "engine.oil": "none", "engine.start": "none"}
    told = {"brief_value_good": VALUE, "brief_margin": MARGIN}
    cells = record(values, **told)["cells"]
    cells["items/engine.oil/grade"]["others"] = [{"value": {"grade": "none"}, "at": "0"}]
    got = assess({"visit": "v", "cells": cells}, checklist(), "2026-11-25")["money"]
    assert (got["reserve"]["amount"], got["price"]["walk_away"]) == (HELD, TOP)
    told_by_caller = money(VALUE, seen={"engine.oil": "none"}, disputed=["engine.oil"])
    assert told_by_caller["price"]["walk_away"] == TOP
    fault = money(VALUE, disputed=["body.sill"])["price"]
    assert fault["bound"] == VALUE - MARGIN  # the milder answer may be the true one


@pytest.mark.parametrize(
    ("how", "text"),
    [
        ({"stopped": True}, "No price until that's cleared."),
    ],
)
def test_no_price_is_quoted_while_something_stops_the_deal(how: Any, text: str) -> None:
    got = money(VALUE, **how)["price"]
    assert (got["walk_away"], got["opening"], got["worth"]) == (None, None, VALUE)
    assert said(got["said"], {}, "us") == text


def test_the_opening_allows_for_p90() -> None:
    got = money(VALUE)["price"]
    expected = VALUE - exact_quantile(90) - HELD - MARGIN
    assert got["opening"] == pytest.approx(expected, abs=GRID)
    assert got["opening"] == OPENING
    assert said(got["said"], {}, "us") == f"Top price ${TOP:,}; open at ${OPENING:,}."


@pytest.mark.parametrize(
    ("value", "asking", "walk_away", "opening", "text"),
    [
        (VALUE, 4000, TOP, 4000 - EXPECTED, "Asking $4,000."),
        (VALUE, 1000, TOP, 600, "open at $600. Asking $1,000."),
        (VALUE, 9000, TOP, OPENING, "Asking $9,000."),
        (VALUE - TOP + 1, None, 1, 0, "Top price $1; offer next to nothing"),
        (VALUE, 0, TOP, 0, f"Top price ${TOP:,}, and it's offered for nothing."),
        (
            VALUE - TOP,
            None,
            0,
            0,
            "Not worth it at any price: work, set-aside and cushion",
        ),
        (VALUE - TOP - 1, None, 0, 0, "cushion come to $1 more"),
        (VALUE - TOP - 500, 100, 0, 0, "come to $500 more than it's worth."),
    ],
    ids=[
        "asks less",
        "asks little",
        "asks more",
        "a price",
        "for nothing",
        "just not",
        "below",
        "below, asked",
    ],
)
def test_the_price_at_its_edges(
    value: int, asking: int | None, walk_away: int, opening: int, text: str
) -> None:
    got = money(value, asking)["price"]
    assert (got["walk_away"], got["opening"]) == (walk_away, opening)
    assert text in said(got["said"], {}, "us")


def test_without_work_only_what_is_held_and_the_margin_come_off() -> None:
    got = money(VALUE, grade="none")["price"]
    assert got["walk_away"] == VALUE - HELD - MARGIN
    # who opens at the top price has nowhere to go: assumption
    assert got["opening"] == got["walk_away"] * 95 // 100
    assert got["arguments"] == []
    assert money(VALUE, 900, grade="none")["price"]["opening"] == 900  # nothing argues for less


def test_without_a_value_there_is_no_price_but_there_are_arguments() -> None:
    got = money(None)["price"]
    assert (got["walk_away"], got["opening"], got["worth"], got["bound"]) == (None,) * 4
    assert [argument["amount"] for argument in got["arguments"]] == [EXPECTED]
    assert said(got["arguments"][0]["said"], TITLES, "us").startswith(
        f"Weld, about ${EXPECTED:,}. Inspector's call: Needs fixing (holed)."
    )


def test_the_sentence_about_the_work_names_p50_p80_and_reserve() -> None:
    assert said(money(VALUE)["said"], {}, "us") == (
        f"Work: about ${EXPECTED:,}, 80% sure it stays under ${P80:,}. "
        f"Set aside for what we didn't see: ${HELD}."
    )
