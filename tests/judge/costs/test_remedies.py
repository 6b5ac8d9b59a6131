"""The work that a record asks for: what the desk edited counts, and needs are the cheapest cover.

Oracle for the choice: scipy.optimize.milp on random checklists, edits, picks and maintenance.
"""

from __future__ import annotations

import random
from typing import Any

import numpy
import pytest
import scipy  # its parts come, a second of work, with the first test that names one
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge.costs import plan, remedies
from tests.judge.records import assessed, cell, item, rules

GRADES = ["minor", "major", "dangerous"]
RATE = 50


def remedy(name: str, amount: int, **more: Any) -> dict[str, Any]:
    return {
        "id": name, "title": name.capitalize(), "kind": "part", "parts": [amount] * 3,
        "hours": ["0"] * 3, "for": GRADES, "need": True, **more,
    }  # fmt: skip


def row(name: str, item: str, amount: int, **more: Any) -> dict[str, Any]:
    return {
        "id": name, "title": name.capitalize(), "item": item, "due": True, "parts": [amount] * 3,
        "hours": ["0"] * 3, "done_by": [], "does": [], "also": [], **more,
    }  # fmt: skip


def work(
    offered: dict[str, list[dict[str, Any]]],
    *,
    rows: list[dict[str, Any]] | None = None,
    told: dict[str, Any] | None = None,
    grade: str = "major",
    percent: int = 100,
) -> dict[str, Any]:
    held: dict[str, Any] = remedies.work(
        sorted(offered),
        {name: {"grade": grade, "applies": True, "facts": {}} for name in offered},
        rows or [],
        {"items": {name: {"remedies": listed} for name, listed in offered.items()}},
        {path: cell(value) for path, value in (told or {}).items()},
        {"rate": RATE, "percent": percent},
    )
    return held


TWO = {"a.1": [remedy("mend", 100), remedy("whole", 300)]}


def edit(amount: int, **more: Any) -> dict[str, Any]:
    return {"parts": [amount] * 3, "hours": ["0", "0", "0"], **more}


def test_an_edited_figure_decides_and_keeps_what_was_not_edited() -> None:
    assert work(TWO)["chosen"] == {"a.1/mend": True}
    held = work(TWO, told={"plan/remedies/a.1/mend": edit(400)})
    assert held["chosen"] == {"a.1/whole": True}
    mend = held["offers"][0]
    titled = {"checklist": ["remedy", "a.1", "mend"]}  # nobody typed one: each reader's own
    assert (mend["title"], mend["cost"], mend["origin"]) == (titled, [400] * 3, "edited")


def test_a_remedy_of_the_desk_s_own_counts_like_the_checklist_s() -> None:
    told = {"plan/remedies/a.1/own-1": edit(20, title="Clean it", also=["a.2"])}
    held = work({**TWO, "a.2": [remedy("new", 90)]}, told=told)
    assert held["chosen"] == {"a.1/own-1": True}


def test_a_pick_stands_though_it_is_dearer_and_is_a_need_where_one_is_needed() -> None:
    told = {"plan/pick/a.1": "a.1/whole", "plan/remedies/a.1/whole": edit(300, need=False)}
    assert work(TWO, told=told)["chosen"] == {"a.1/whole": True}


def test_a_wish_never_hides_a_need() -> None:
    """a.2 is only wished for; its remedy would mend a.1 as well, and a.1 must be mended anyway."""
    offered = {
        "a.1": [remedy("mend", 100)],
        "a.2": [remedy("respray", 50, need=False, also=["a.1"])],
    }
    assert work(offered)["chosen"] == {"a.1/mend": True, "a.2/respray": False}


def test_a_need_is_not_made_dearer_for_a_wish_that_it_would_grant() -> None:
    offered = {
        "a.1": [remedy("mend", 100), remedy("whole", 300, also=["a.2"])],
        "a.2": [remedy("wash", 5, need=False)],
    }
    assert work(offered)["chosen"] == {"a.1/mend": True, "a.2/wash": False}


def test_what_is_dangerous_is_a_need_whatever_was_typed() -> None:
    offered = {"a.1": [remedy("mend", 100, need=False)]}
    assert work(offered, grade="major")["chosen"] == {"a.1/mend": False}
    assert work(offered, grade="dangerous")["chosen"] == {"a.1/mend": True}


def test_what_is_closed_by_evidence_costs_nothing_any_more() -> None:
    told: dict[str, Any] = {"work/a.1/mend/done": {"title": "Mend"}}
    assert work(TWO, told=told)["chosen"] == {"a.1/mend": True}  # done, and nobody looked since
    told["work/a.1/mend/after/a.1/grade"] = {"grade": "minor"}
    assert work(TWO, told=told)["standing"] == ["a.1"]
    told["work/a.1/mend/after/a.1/grade"] = {"grade": "none"}
    assert work(TWO, told=told)["standing"] == ["a.1"]  # a word alone closes nothing
    told["work/a.1/mend/photos/aa"] = {"caption": "Mended"}
    held = work(TWO, told=told)
    assert (held["standing"], held["chosen"]) == ([], {})
    assert len(held["offers"]) == 2, "the sheet still shows what could have been done"


@pytest.mark.parametrize(
    "wrong",
    [
        {"parts": [3, 2, 1]}, {"parts": [1, 2]}, {"parts": "10"}, {"parts": [True, 2, 3]},
        {"parts": [-1, 2, 3]}, {"parts": [1, 2, 10**9]}, {"hours": ["x", "1", "1"]},
        {"hours": [1, 2, 3]}, {"hours": ["2", "1", "3"]}, {"loss": -5}, {"loss": "5"},
    ],
)  # fmt: skip
def test_an_edit_whose_figures_are_none_leaves_the_checklist_s_own(wrong: dict[str, Any]) -> None:
    told = {"plan/remedies/a.1/mend": wrong, "plan/remedies/a.1/own-1": {**edit(1), **wrong}}
    held = work(TWO, told=told)
    assert [one["id"] for one in held["offers"]] == ["a.1/mend", "a.1/whole"]
    assert held["offers"][0]["cost"] == [100] * 3


def test_lost_originality_is_a_cost_as_far_as_the_brief_says() -> None:
    """By hand: 100 against 60 + 80 lost; half of it lost 60 + 40, which is no cheaper; none 60."""
    offered = {"a.1": [remedy("keep", 100), remedy("swap", 60, loss=80)]}
    for percent, wins in ((100, "keep"), (51, "keep"), (49, "swap"), (0, "swap")):
        assert work(offered, percent=percent)["chosen"] == {f"a.1/{wins}": True}
    assert remedies.percent({}) == 100
    assert remedies.percent({"brief/originality": cell(40)}) == 40
    assert remedies.percent({"brief/originality": cell("40")}) == 100


def test_maintenance_is_paid_once_both_ways() -> None:
    offered = {"a.1": [remedy("mend", 100)], "a.2": []}
    both = [row("oil", "a.2", 70, done_by=["a.1/mend"])]
    assert work(offered, rows=both)["chosen"] == {"a.1/mend": True}
    both = [row("oil", "a.2", 70, also=["a.1"])]
    assert work(offered, rows=both)["chosen"] == {"baseline/oil": True}
    for told in (
        {"plan/baseline/oil": False},
        {"work/baseline/oil/done": {"title": "Oil"}},
    ):
        held = work(offered, rows=both, told=told)
        assert (held["chosen"], held["uncovered"]) == ({"a.1/mend": True}, [])
    done = {
        "work/a.1/mend/done": {"title": "Mend"},
        "work/a.1/mend/after/a.1/grade": {"grade": "none"},
        "work/a.1/mend/photos/aa": {"caption": "Mended"},
    }
    held = work(offered, rows=[row("oil", "a.2", 70, done_by=["a.1/mend"])], told=done)
    assert held["chosen"] == {}


def milp_cost(wanted: list[str], offered: list[dict[str, Any]]) -> int:
    """The least cost, in sixths, of covering what can be covered."""
    able = [name for name in wanted if any(name in one["covers"] for one in offered)]
    if not able:
        return 0
    covers = numpy.array([[name in one["covers"] for one in offered] for name in able], dtype=float)
    costs = numpy.array([plan.sixths(one["cost"]) for one in offered])
    found = scipy.optimize.milp(
        costs,
        constraints=scipy.optimize.LinearConstraint(covers, lb=1),
        integrality=numpy.ones(len(offered)),
        bounds=scipy.optimize.Bounds(0, 1),
    )
    assert found.success
    return round(float(found.fun))


@given(st.integers(0, 2**32))
@settings(max_examples=150, deadline=None)
def test_the_needs_are_the_cheapest_cover_that_the_integer_programme_finds(seed: int) -> None:
    dice = random.Random(seed)
    names = [f"a.{n}" for n in range(dice.randrange(1, 9))]
    offered = {
        name: [
            remedy(
                f"r{n}", dice.randrange(5, 400), need=dice.random() < 0.7,
                also=dice.sample(names, dice.randrange(min(3, len(names)) + 1)),
                loss=dice.choice([0, 0, 30]),
            )
            for n in range(dice.randrange(4))
        ]
        for name in names
    }  # fmt: skip
    ids = [f"{name}/{one['id']}" for name, listed in offered.items() for one in listed]
    rows = [
        row(f"b{n}", dice.choice(names), dice.randrange(5, 200),
            done_by=dice.sample(ids, min(len(ids), dice.randrange(2))),
            also=dice.sample(names, dice.randrange(min(3, len(names)))))
        for n in range(dice.randrange(3))
    ]  # fmt: skip
    told: dict[str, Any] = {}
    for one in ids:
        if dice.random() < 0.3:
            told[f"plan/remedies/{one}"] = edit(dice.randrange(1, 400))
        if dice.random() < 0.1:
            told[f"plan/pick/{one.split('/')[0]}"] = one
    held = work(offered, rows=rows, told=told, percent=dice.choice([0, 50, 100]))
    assert held["proven"]
    everything = {one["id"]: one for one in held["offers"] + held["due"]}
    picks = {value for path, value in told.items() if path.startswith("plan/pick/")}
    by_pick = {name for one in picks for name in everything[one]["covers"]}
    own = {name: [one["need"] for one in held["offers"] if one["item"] == name] for name in names}
    must = [name for name in names if any(own[name]) or not own[name]]
    must += [one["id"] for one in held["due"]]
    needed = [one for one in everything.values() if one["need"]]
    spent = sum(
        plan.sixths(everything[name]["cost"])
        for name, need in held["chosen"].items()
        if need and name not in picks
    )
    assert spent == milp_cost([name for name in must if name not in by_pick], needed)
    covered = {name for one in held["chosen"] for name in everything[one]["covers"]}
    able = {name for one in everything.values() for name in one["covers"]}
    assert {*names, *must} - covered == {*names, *must} - able
    assert {name for name in names if name not in able} == set(held["uncovered"])


def test_the_price_at_the_kerb_follows_what_was_edited_at_the_desk() -> None:
    """By hand: 6000 - 1000 - 300 = 4700; edited to 1500 it is 4200; put right it is 5700."""
    r = rules({"a.1": item(remedies=[remedy("weld", 1000)])})
    told: dict[str, Any] = {"brief_value_good": 6000, "brief_margin": 300}
    prices = []
    for more in (
        {},
        {"plan_remedies/a.1/weld": edit(1500)},
        {"work_a.1/weld/after/a.1/grade": {"grade": "none"}, "work_a.1/weld/photos/aa": {}},
    ):
        money = assessed(r, {"a.1": "major"}, **told, **more)["money"]
        prices.append((money["totals"]["p80"], money["price"]["walk_away"]))
    assert prices == [(1000, 4700), (1500, 4200), (0, 5700)]
