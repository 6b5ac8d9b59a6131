"""Law by region: of random limits, and of the real checklists under both engines.

That a region's law counts there alone is this project's rule. The figures that the laws give are
held by tests/checklists/content/test_figures.py.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.record.regions import REGIONS, limits_in, region_of, rule_in, rules_in
from bradawl.judge.values.grades import FAULTS
from tests.judge.conftest import Ask
from tests.judge.test_real_checklists import TODAY, load_rules, real

LAWS = [{}, {"us": "a-us-law"}, {"eu": "an-eu-law"}, {"us": "a-us-law", "eu": "an-eu-law"}]
LIMITS = st.lists(
    st.fixed_dictionaries(
        {
            "of": st.sampled_from(["tread", "pad"]),
            "below": st.sampled_from(["1", "2", "3"]),
            "unit": st.just("mm"),
            "grade": st.sampled_from(FAULTS),
            "source": st.just("a-source"),
            "law": st.sampled_from(LAWS),
        }
    ),
    max_size=8,
)


@given(LIMITS, st.sampled_from(REGIONS))
def test_what_counts_is_this_regions_law_or_nobodys(limits: list[Any], region: Any) -> None:
    counting: list[Any] = [*limits_in(limits, region)]
    for limit in counting:
        assert not limit.get("law")
        assert limit["source"] in (
            "practice",
            "a-source",
            *([f"a-{region}-law", f"an-{region}-law"]),
        )
    own = {(one["of"], one["grade"]) for one in limits if region in one["law"]}
    for limit in limits:
        same = [one for one in counting if one["below"] == limit["below"]
                and (one["of"], one["grade"]) == (limit["of"], limit["grade"])]  # fmt: skip
        if not limit["law"] or region in limit["law"]:
            assert same, "a region loses nothing of its own"
        elif (limit["of"], limit["grade"]) not in own:
            assert [one for one in same if one["source"] == "practice"]
    assert limits_in(counting, region) == counting


@pytest.mark.parametrize("region", REGIONS)
def test_no_limit_or_answer_of_the_checklists_names_another_regions_law(region: Any) -> None:
    sources = real()["sources"]
    local: Any = rules_in(real()["rules"], region)
    for name, rule in local["items"].items():
        for row in [*rule.get("limits", []), *rule.get("choices", [])]:
            law_of = sources[row.get("source", "practice")].get("region")
            assert law_of in (None, region), (name, row)
        assert rule_in(rule, region) == rule
    assert rules_in(local, region) is local


@pytest.mark.parametrize("region", [*REGIONS, "mars", None])
def test_both_engines_choose_the_same_law(region: str | None, both: Ask) -> None:
    load_rules(both, "real", real()["rules"])
    typed = {"typed": "2", "unit": "in/32"}
    cells = {
        f"items/tyres.tread/readings/tread/{place}": {"value": typed, "at": "1", "others": []}
        for reading in real()["rules"]["items"]["tyres.tread"]["readings"]
        for place in reading["at"]
    }
    car = {"about/region": {"value": region, "at": "1", "others": []}}
    question = {"ask": "item", "bundle": "real", "item": "tyres.tread", "cells": cells}
    judged = both({**question, "car": car, "today": TODAY})["item"]
    # 89/459/EEC, from memory: 1.6 mm; 49 CFR 570.9(a), read as RCW 46.37.425: 2/32 in = 1.5875 mm
    assert judged["grade"] == ("major" if region == "eu" else "minor")
    whole = {"ask": "assess", "bundle": "real", "visit": "v", "cells": {**cells, **car}}
    assessed = both({**whole, "today": TODAY})["assessment"]
    assert assessed["items"]["tyres.tread"]["grade"] == judged["grade"]
    assert assessed["money"]["currency"] == ("EUR" if region == "eu" else "USD")


def test_a_region_is_said_or_the_first() -> None:
    def said(value: Any) -> str:
        return region_of({"about/region": {"value": value, "at": "", "others": []}})

    assert [said(value) for value in ("us", "eu", "mars", None, 7, ["eu"])] == [
        "us", "eu", "us", "us", "us", "us",
    ]  # fmt: skip
    assert region_of({}) == "us"
