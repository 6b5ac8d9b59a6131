"""Baseline and spread of the paint against numpy; what stands out, stands out."""

from __future__ import annotations

import random
from typing import Any

import numpy
from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.measurements.bodywork import paint
from bradawl.judge.measurements.context import Context
from bradawl.judge.values import exact

panels = st.lists(st.lists(st.integers(40, 2000), min_size=3, max_size=5), min_size=3, max_size=14)


def measured(spots: list[list[int]]) -> dict[str, Any]:
    """Facts by name.place of panels p0, p1, ... with these readings in um."""
    measures = [
        {"of": "film", "place": f"p{n}-{i + 1}", "title": {"fact": "film"}, "number": (value, 1),
         "word": None, "unit": "um", "typed": str(value), "offered": ["um"], "like": "film",
         "path": ""}
        for n, values in enumerate(spots)
        for i, value in enumerate(values)
    ]  # fmt: skip
    work = Context("a.paint", measures, {"kind": "paint"}, "", {"car": {}, "day": 0})
    paint(work)
    return {
        f["of"] + ("." + f["place"] if f["place"] else ""): f["number"] or f["word"]
        for f in work.facts
    }


@given(panels)
def test_baseline_and_spread_are_numpys(spots: list[list[int]]) -> None:
    means = [float(numpy.mean(values)) for values in spots]
    facts = measured(spots)
    median = float(numpy.median(means))
    own = [mean for mean in means if median - mean >= 60]
    baseline = float(numpy.median(own)) if len(own) > 2 else min(median, 200.0)
    assert abs(exact.as_float(facts["baseline"]) - baseline) < 1e-5
    like_it = [mean for mean in means if mean - baseline < 60] or means
    wanted = 1.4826 * float(numpy.median(numpy.abs(numpy.array(like_it) - baseline)))
    assert abs(exact.as_float(facts["spread"]) - wanted) < 1e-5


@given(st.integers(90, 150), st.integers(0, 2**32))
def test_one_repainted_panel_among_eight_is_found_whatever_the_car_had(
    base: int, seed: int
) -> None:
    """Common practice: even panels differ by less than 30 to 40 um, a respray adds 80 and more."""
    dice = random.Random(seed)
    spots = [[base + dice.randrange(-12, 13) for _ in range(3)] for _ in range(8)]
    spots.append([base + 130 + dice.randrange(-12, 13) for _ in range(3)])
    facts = measured(spots)
    assert facts["finish.p8"] == "repainted"
    assert all(facts[f"finish.p{n}"] == "original" for n in range(8))
    assert facts["repainted"] == (1, 1)


@given(st.integers(90, 130), st.integers(4, 9), st.integers(210, 480), st.integers(0, 2**32))
def test_many_repainted_panels_never_become_the_cars_own_paint(
    base: int, painted: int, thick: int, seed: int
) -> None:
    """Common practice: factories paint 75 to 200 um; 4 to 9 of 13 painted since stand out."""
    dice = random.Random(seed)
    spots = [[base + dice.randrange(-8, 9) for _ in range(3)] for _ in range(13 - painted)]
    spots += [[thick + dice.randrange(-8, 9) for _ in range(3)] for _ in range(painted)]
    facts = measured(spots)
    assert facts["repainted"] == (painted, 1)
    assert all(facts[f"finish.p{n}"] == "original" for n in range(13 - painted))


@given(st.integers(255, 490), st.integers(3, 13))
def test_a_car_resprayed_all_over_is_not_original(thick: int, panels: int) -> None:
    """Common practice: above about 250 um a panel was painted again, whatever the rest reads."""
    facts = measured([[thick, thick, thick]] * panels)
    assert {facts[f"finish.p{n}"] for n in range(panels)} == {"repainted"}
