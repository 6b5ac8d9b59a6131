"""Money: sums of uncertain amounts against scipy and simulation; the rest by hand.

PERT: beta distribution with shape 1 + 4 (m - a) / (b - a) and 1 + 4 (b - m) / (b - a), the usual
modified form (from memory).
"""

from __future__ import annotations

from typing import Any

import numpy
import pytest
import scipy  # its parts come, a second of work, with the first test that names one
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge.costs import quantiles
from tests.judge.records import assessed, item, rules
from tests.judge.saying import said

PERCENTS = [50, 80, 90]
lines = st.tuples(st.integers(0, 2000), st.integers(0, 2000), st.integers(0, 3000)).map(
    lambda three: tuple(sorted(three))
)


def shape(low: int, likely: int, high: int) -> tuple[float, float]:
    return 1 + 4 * (likely - low) / (high - low), 1 + 4 * (high - likely) / (high - low)


@given(lines)
def test_one_line_has_the_quantiles_of_its_beta_distribution(line: tuple[int, int, int]) -> None:
    low, _, high = line
    found = quantiles.quantiles([line], PERCENTS)
    if low == high:
        assert found == [low] * 3
        return
    a, b = shape(*line)
    wanted = [low + (high - low) * float(scipy.stats.beta.ppf(p / 100, a, b)) for p in PERCENTS]
    assert found == pytest.approx(wanted, abs=1 + 0.006 * (high - low))


@settings(max_examples=25)
@given(st.lists(lines, min_size=2, max_size=40), st.integers(0, 2**32))
def test_a_sum_has_the_quantiles_of_a_simulation(
    given_lines: list[tuple[int, int, int]], seed: int
) -> None:
    generator = numpy.random.default_rng(seed)
    total = numpy.zeros(40_000)
    spread = 0
    for low, likely, high in given_lines:
        if low == high:
            total += low
            continue
        spread += high - low
        a, b = shape(low, likely, high)
        total += low + (high - low) * generator.beta(a, b, 40_000)
    wanted = numpy.percentile(total, PERCENTS)
    found = quantiles.quantiles(given_lines, PERCENTS)
    assert found == pytest.approx(list(wanted), abs=2 + 0.012 * spread)


@given(st.lists(lines, max_size=12), st.randoms(use_true_random=False))
def test_quantiles_rise_lie_inside_and_do_not_depend_on_the_order(
    given_lines: list[tuple[int, int, int]], dice: Any
) -> None:
    found = quantiles.quantiles(given_lines, PERCENTS)
    assert found == sorted(found)
    assert sum(line[0] for line in given_lines) <= found[0]
    assert found[2] <= sum(line[2] for line in given_lines)
    shuffled = list(given_lines)
    dice.shuffle(shuffled)
    assert quantiles.quantiles(shuffled, PERCENTS) == found


TOGETHER = [0.0, 0.25, 0.5, 1.0]


@settings(max_examples=40)
@given(st.lists(lines, min_size=1, max_size=12))
def test_lines_that_move_together_have_the_sum_of_their_quantiles(
    given_lines: list[tuple[int, int, int]],
) -> None:
    """Comonotone lines: the quantile of the sum is the sum of scipy's quantiles."""
    spread = sum(high - low for low, _, high in given_lines)
    wanted = []
    for p in PERCENTS:
        total = 0.0
        for low, likely, high in given_lines:
            own = (
                float(scipy.stats.beta.ppf(p / 100, *shape(low, likely, high)))
                if high > low
                else 0.0
            )
            total += low + (high - low) * own
        wanted.append(total)
    found = quantiles.quantiles(given_lines, PERCENTS, 1.0)
    assert found == pytest.approx(wanted, abs=1 + 0.006 * spread)


@given(lines, st.sampled_from(TOGETHER))
def test_a_line_alone_has_nothing_to_move_with(line: tuple[int, int, int], share: float) -> None:
    low, _, high = line
    alone = quantiles.quantiles([line], PERCENTS)
    assert quantiles.quantiles([line], PERCENTS, share) == pytest.approx(
        alone, abs=1 + 0.01 * (high - low)
    )


@settings(max_examples=15)
@given(st.lists(lines, min_size=8, max_size=40), st.integers(0, 2**32))
def test_half_together_is_near_a_one_factor_model(
    given_lines: list[tuple[int, int, int]], seed: int
) -> None:
    """Gaussian copula with one common factor, correlation 0.25, simulated with numpy and scipy."""
    generator = numpy.random.default_rng(seed)
    size = 20_000
    grid = numpy.linspace(0, 1, 401)
    common = generator.standard_normal(size)
    total = numpy.zeros(size)
    spread = 0
    for low, likely, high in given_lines:
        if low == high:
            total += low
            continue
        spread += high - low
        own = scipy.stats.norm.cdf(0.5 * common + 0.75**0.5 * generator.standard_normal(size))
        quantile = scipy.stats.beta.ppf(grid, *shape(low, likely, high))
        total += low + (high - low) * numpy.interp(own, grid, quantile)
    wanted = numpy.percentile(total, PERCENTS)
    found = quantiles.quantiles(given_lines, PERCENTS, 0.5)
    assert found == pytest.approx(list(wanted), abs=2 + 0.03 * spread)


def test_the_share_that_moves_together_comes_from_the_checklist_and_widens_the_total() -> None:
    many = {f"a.{n}": item(remedies=[remedy("m", [50, 100, 400])]) for n in range(20)}
    grades = dict.fromkeys(many, "major")
    apart = assessed(rules(dict(many)), grades)["money"]
    half = assessed(rules(dict(many), money={"costs_move_together": "0.5"}), grades)["money"]
    assert (apart["together"], half["together"]) == ("0", "0.5")
    assert apart["totals"]["expected"] == half["totals"]["expected"]
    gap = [m["totals"]["p80"] - m["totals"]["p50"] for m in (apart, half)]
    assert gap[1] > 2 * gap[0]
    wrong = assessed(rules(dict(many), money={"costs_move_together": "1.5"}), grades)["money"]
    assert wrong["totals"] == apart["totals"]


def remedy(name: str, parts: list[int], hours: list[str] | None = None, **more: Any) -> Any:
    return {
        "id": name, "title": name.capitalize(), "kind": "part", "parts": parts,
        "hours": hours or ["0", "0", "0"], "for": ["minor", "major", "dangerous"], "need": True,
        **more,
    }  # fmt: skip


def test_a_line_is_parts_and_hours_at_the_rate() -> None:
    """By hand: 25 + 0.7 x 50 = 60; 50 + 1 x 50 = 100; 120 + 2 x 50 = 220; mean (60+400+220)/6."""
    r = rules({"a.1": item(remedies=[remedy("pads", [25, 50, 120], ["0.7", "1", "2"])])})
    got = assessed(r, {"a.1": "major"}, brief_hourly_rate=50)["money"]
    assert got["lines"][0]["cost"] == [60, 100, 220]
    assert got["lines"][0]["expected"] == 113
    assert (got["totals"]["low"], got["totals"]["high"]) == (60, 220)
    assert got["rate"] == 50
    assert got["assumed"] == ["margin"]


def test_only_needed_remedies_for_the_grade_are_counted_and_the_rest_is_said() -> None:
    r = rules(
        {
            "a.1": item(remedies=[remedy("wash", [5, 5, 5], need=False)]),
            "a.2": item(remedies=[{**remedy("new", [9, 9, 9]), "for": ["major"]}]),
            "a.3": item(),
        }
    )
    got = assessed(r, {"a.1": "minor", "a.2": "minor", "a.3": "major"})["money"]
    assert got["lines"] == []
    assert got["unpriced"] == ["a.1", "a.2", "a.3"]


def test_a_remedy_that_puts_two_findings_right_is_paid_once() -> None:
    r = rules(
        {
            "a.1": item(remedies=[remedy("mend", [80, 80, 80])]),
            "a.2": item(remedies=[remedy("mend", [80, 80, 80]),
                                  remedy("whole", [120, 120, 120], also=["a.1"])]),
        }
    )  # fmt: skip
    got = assessed(r, {"a.1": "major", "a.2": "major"})["money"]
    assert [(line["id"], line["covers"]) for line in got["lines"]] == [
        ("a.2/whole", ["a.2", "a.1"])
    ]
    alone = assessed(r, {"a.1": "major"})["money"]
    assert [line["id"] for line in alone["lines"]] == ["a.1/mend"]


def test_the_reserve_is_chance_times_mean_cost_of_what_nobody_saw() -> None:
    """By hand: 0.25 x (40 + 4 x 120 + 300) / 6 = 34.17; 0.5 x 100 = 50; together 84."""
    r = rules(
        {
            "a.1": item(unseen={"chance": "0.25", "cost": [40, 120, 300], "source": "assumption"}),
            "a.2": item(unseen={"chance": "0.5", "cost": [100, 100, 100], "source": "mine"}),
            "a.3": item(unseen={"chance": "1", "cost": [999, 999, 999], "source": "assumption"}),
        }
    )
    held = assessed(r, {"a.1": ("uninspected", "no lift"), "a.3": "none"})["money"]["reserve"]
    assert held["amount"] == 84
    assert [(row["item"], row["amount"], row["source"]) for row in held["items"]] == [
        ("a.2", 50, "mine"),
        ("a.1", 34, "assumption"),
    ]


SERVICE: dict[str, Any] = {
    "id": "engine-oil",
    "title": "Engine oil",
    "item": "upkeep.oil",
    "years": "1",
    "km": "10000",
    "parts": [30, 30, 30],
    "hours": ["0.5", "0.5", "0.5"],
    "source": "assumption",
}
ODOMETER = {"typed": "163 900", "unit": "km"}


def upkeep(answers: dict[str, Any]) -> Any:
    r = rules(
        {
            "upkeep.oil": item(
                choices=[
                    {"id": name}
                    for name in ("documented", "seen", "claimed", "unknown", "not-fitted")
                ],
                readings=[
                    {"id": "done_on", "quantity": "date", "units": []},
                    {"id": "done_at", "quantity": "distance", "units": ["km"]},
                ],
                compute={"kind": "interval"},
            )
        },
        baseline=[SERVICE],
    )
    return assessed(r, {"upkeep.oil": answers}, car_odometer=ODOMETER, brief_hourly_rate=40)


def done(on: str | None = None, at: str | None = None) -> dict[str, Any]:
    answers: dict[str, Any] = {"choice": "documented"}
    if on:
        answers["readings/done_on/one"] = {"typed": on, "unit": ""}
    if at:
        answers["readings/done_at/one"] = {"typed": at, "unit": "km"}
    return answers


@pytest.mark.parametrize(
    ("answers", "due"),
    [
        ({}, True),
        ({"choice": "claimed"}, True),
        ({"choice": "seen"}, True),
        ({"choice": "unknown"}, True),
        (done(), True),
        (done("2026-06-30"), False),
        (done("2025-11-01"), True),
        (done("2026-06-30", "161 500"), False),
        (done("2026-06-30", "153 500"), True),
        (done(None, "161 500"), False),
    ],
)
def test_what_no_document_proves_is_due_whatever_was_claimed(
    answers: dict[str, Any], due: bool
) -> None:
    got = upkeep(answers)
    assert got["baseline"][0]["due"] is due
    ids = [line["id"] for line in got["money"]["lines"]]
    assert ids == (["baseline/engine-oil"] if due else [])


def test_what_is_due_prices_the_finding_that_it_is_due() -> None:
    answers = {"choice": "claimed", "grade": {"grade": "minor"}, "why": "no receipt"}
    got = upkeep(answers)["money"]
    assert got["unpriced"] == []
    assert got["lines"][0]["covers"] == ["upkeep.oil"]


LEVEL = remedy("change", [30, 30, 30], ["0.5", "0.5", "0.5"])


def serviced(level: str | None, **row: Any) -> Any:
    r = rules(
        {
            "upkeep.oil": item(choices=[{"id": "unknown", "grade": "minor"}]),
            "fluids.oil": item(remedies=[LEVEL, remedy("flush", [20, 20, 20], ["1", "1", "1"])]),
        },
        baseline=[{**SERVICE, **row}],
    )
    grades: dict[str, Any] = {"upkeep.oil": {"choice": "unknown"}}
    if level:
        grades["fluids.oil"] = level
    return assessed(r, grades, brief_hourly_rate=40)["money"]


def test_a_remedy_that_does_the_due_maintenance_is_paid_once() -> None:
    got = serviced("major", done_by=["fluids.oil/change"])
    assert [(line["id"], sorted(line["covers"])) for line in got["lines"]] == [
        ("fluids.oil/change", ["fluids.oil", "upkeep.oil"])
    ]
    assert (got["totals"]["likely"], got["unpriced"]) == (50, [])


def test_without_that_finding_the_maintenance_stands_by_itself() -> None:
    got = serviced(None, done_by=["fluids.oil/change"])
    assert [line["id"] for line in got["lines"]] == ["baseline/engine-oil"]


def test_maintenance_that_puts_a_finding_right_is_paid_once() -> None:
    got = serviced("major", also=["fluids.oil"])
    assert [(line["id"], sorted(line["covers"])) for line in got["lines"]] == [
        ("baseline/engine-oil", ["fluids.oil", "upkeep.oil"])
    ]


def test_maintenance_is_not_dropped_for_a_remedy_that_does_other_work() -> None:
    got = serviced("major")
    assert [line["id"] for line in got["lines"]] == ["baseline/engine-oil", "fluids.oil/change"]


def test_what_the_car_does_not_have_is_never_due() -> None:
    assert upkeep({"choice": "not-fitted"})["baseline"] == []


def test_the_baseline_says_why() -> None:
    [claimed] = upkeep({"choice": "claimed"})["baseline"]
    assert said(claimed["said"], {}) == "Somebody says so, and there's no receipt."
    [documented] = upkeep(done(None, "161 500"))["baseline"]
    metric = "Receipt: 2,400 km since, due every 10,000 km by practice."
    assert said(documented["said"], {}) == metric
    # 2,400 km are 1,491.3 mi and 10,000 km are 6,213.7 mi
    american = "Receipt: 1,491 mi since, due every 6,200 mi by practice."
    assert said(documented["said"], {}, "us") == american


def test_wishes_that_work_against_each_other_are_named() -> None:
    r = rules(
        {"a.1": item("a", weight={"track": 5}), "a.2": item("a", weight={"track": 2, "show": 4})},
        conflicts=[{"uses": ["show", "track"], "reason": "One wears what the other keeps."}],
    )
    got = assessed(r, {}, brief_uses=["track", "show"])["brief"]
    [conflict] = got["conflicts"]
    assert (conflict["uses"], conflict["source"]) == (["show", "track"], "")
    assert said(conflict["said"], r) == "One wears what the other keeps."
    assert got["weights"] == {"a": "4.5"}
    assert assessed(r, {}, brief_uses=["track"])["brief"]["conflicts"] == []
