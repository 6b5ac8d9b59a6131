"""Symptom to cause: Bayes worked by hand, information against scipy's entropy."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import numpy
import scipy  # its parts come, a second of work, with the first test that names one
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge.trouble import chances as diagnosis

# A rail that empties at key-off, with invented round figures so that it can be worked by hand.
EMPTIES: dict[str, Any] = {
    "causes": [
        {"id": "regulator", "often": 5},
        {"id": "injector", "often": 2},
        {"id": "pump-valve", "often": 3},
    ],
    "tests": [
        {
            "id": "clamp-return",
            "minutes": "5",
            "outcomes": [{"id": "holds"}, {"id": "falls"}],
            "likely": {"regulator": [90, 10], "other": [20, 80]},
        },
        {
            "id": "clamp-supply",
            "minutes": "5",
            "outcomes": [{"id": "holds"}, {"id": "falls"}],
            "likely": {"pump-valve": [80, 20], "other": [10, 90]},
        },
        {
            "id": "wet-plug",
            "minutes": "0.5",
            "outcomes": [{"id": "wet"}, {"id": "dry"}],
            "likely": {"injector": [60, 40], "other": [5, 95]},
        },
    ],
}


def shares(results: dict[str, str]) -> dict[str, int]:
    return {row["id"]: row["tenths"] for row in diagnosis.rank(EMPTIES, results)}


def test_before_any_test_the_priors_rank() -> None:
    assert shares({}) == {"regulator": 500, "pump-valve": 300, "injector": 200}


def test_one_test_worked_by_hand() -> None:
    # 5×90 : 3×20 : 2×20 = 450 : 60 : 40, of 550: 81.8 %, 10.9 %, 7.3 %
    assert shares({"clamp-return": "holds"}) == {
        "regulator": 818,
        "pump-valve": 109,
        "injector": 73,
    }


def test_two_tests_worked_by_hand_with_the_working_shown() -> None:
    # 5×10×10 : 3×80×80 : 2×80×10 = 500 : 19200 : 1600, of 21300
    rows = diagnosis.rank(EMPTIES, {"clamp-return": "falls", "clamp-supply": "holds"})
    assert [(row["id"], row["tenths"]) for row in rows] == [
        ("pump-valve", 901),
        ("injector", 75),
        ("regulator", 23),
    ]
    assert rows[0]["before"] == 300
    assert rows[0]["factors"] == [
        {"test": "clamp-return", "percent": 80},
        {"test": "clamp-supply", "percent": 80},
    ]


def test_an_unknown_outcome_is_passed_over() -> None:
    assert shares({"clamp-return": "sideways", "nothing": "x"}) == shares({})


def test_no_single_test_rules_a_cause_out_for_good() -> None:
    table = {
        "causes": [{"id": "a", "often": 1}, {"id": "b", "often": 1}],
        "tests": [
            {"id": "t", "minutes": "1", "outcomes": [{"id": "x"}], "likely": {"a": [0], "b": [100]}}
        ],
    }
    rows = diagnosis.rank(table, {"t": "x"})
    assert [row["tenths"] for row in rows] == [990, 10]


def test_a_quick_glance_can_tell_more_per_minute_than_a_long_test() -> None:
    rows = diagnosis.next_tests(EMPTIES, {})
    assert rows[0]["id"] == "wet-plug"
    by_gain = max(rows, key=lambda row: row["gain"])
    assert by_gain["id"] == "clamp-return"
    assert {row["id"] for row in diagnosis.next_tests(EMPTIES, {"wet-plug": "dry"})} == {
        "clamp-return",
        "clamp-supply",
    }


@st.composite
def tables(draw: st.DrawFn) -> tuple[dict[str, Any], dict[str, str]]:
    names = [f"c{n}" for n in range(draw(st.integers(1, 7)))]
    tests = []
    results = {}
    for n in range(draw(st.integers(1, 5))):
        outcomes = draw(st.integers(2, 4))

        def row(outcomes: int = outcomes) -> list[int]:
            return draw(st.lists(st.integers(1, 97), min_size=outcomes, max_size=outcomes))

        likely = {name: row() for name in names if draw(st.booleans())}
        likely["other"] = row()
        tests.append(
            {
                "id": f"t{n}",
                "minutes": draw(st.sampled_from(["0.5", "2", "10", "12.5"])),
                "outcomes": [{"id": f"o{k}"} for k in range(outcomes)],
                "likely": likely,
            }
        )
        if draw(st.booleans()):
            results[f"t{n}"] = f"o{draw(st.integers(0, outcomes - 1))}"
    table = {
        "causes": [{"id": name, "often": draw(st.integers(1, 20))} for name in names],
        "tests": tests,
    }
    return table, results


def posterior(table: dict[str, Any], results: dict[str, str]) -> dict[str, Fraction]:
    """Bayes with exact fractions, written again from its definition."""
    joint = {}
    for cause in table["causes"]:
        share = Fraction(cause["often"])
        for test in table["tests"]:
            if test["id"] in results:
                place = [one["id"] for one in test["outcomes"]].index(results[test["id"]])
                row = test["likely"].get(cause["id"], test["likely"]["other"])
                share *= Fraction(row[place], 100)
        joint[cause["id"]] = share
    return {name: share / sum(joint.values()) for name, share in joint.items()}


@given(tables())
@settings(max_examples=150, deadline=None, derandomize=True)
def test_the_ranking_is_bayes_rule(held: tuple[dict[str, Any], dict[str, str]]) -> None:
    table, results = held
    expected = posterior(table, results)
    rows = diagnosis.rank(table, results)
    for row in rows:
        assert abs(row["tenths"] - 1000 * expected[row["id"]]) <= Fraction(1, 2)
    probabilities = [expected[row["id"]] for row in rows]
    assert probabilities == sorted(probabilities, reverse=True)


@given(tables())
@settings(max_examples=150, deadline=None, derandomize=True)
def test_the_gain_is_the_expected_fall_of_scipy_s_entropy(
    held: tuple[dict[str, Any], dict[str, str]],
) -> None:
    table, results = held
    # likelihoods need not add up to 100 here, so the oracle weighs outcomes as the code does
    prior = posterior(table, results)
    now = scipy.stats.entropy([float(share) for share in prior.values()], base=2)
    for row in diagnosis.next_tests(table, results):
        test = next(one for one in table["tests"] if one["id"] == row["id"])
        left = 0.0
        for place in range(len(test["outcomes"])):
            joint = numpy.array(
                [
                    float(share) * test["likely"].get(name, test["likely"]["other"])[place] / 100
                    for name, share in prior.items()
                ]
            )
            left += joint.sum() * scipy.stats.entropy(joint / joint.sum(), base=2)
        assert abs(row["gain"] - 1000 * max(now - left, 0)) <= 0.5 + 1e-6
        per_minute = 1000 * max(now - left, 0) / float(test["minutes"])
        assert abs(row["per_minute"] - per_minute) <= 0.5 + 1e-6


def test_the_logarithm_is_that_of_the_library() -> None:
    points = numpy.concatenate([numpy.linspace(1e-9, 1, 4001), numpy.geomspace(1e-12, 1, 500)])
    ours = numpy.array([diagnosis._ln(float(x)) for x in points])
    assert numpy.abs(ours - numpy.log(points)).max() < 1e-14 * 28
