"""Coverage and what next, against the same rule in Python's fractions and sums by hand."""

from __future__ import annotations

import random
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge.decisions import next_checks
from bradawl.judge.decisions.check_plan import spread
from tests.judge.records import assessed, item, rules
from tests.judge.saying import said, unsaid

FACTS: Any = {
    "today": "2026-11-30", "day": 0, "about": {"currency": "USD"}, "brief": {}, "car": {},
    "uses": [], "region": "us",
}  # fmt: skip


def what_next(
    order: list[str],
    states: dict[str, str],
    r: Any,
    minutes: str,
    answer: Any = "not_cleared",
    enough: Any = None,
) -> Any:
    return next_checks.what_next(order, states, r, FACTS, minutes, answer, enough)


def planned(r: dict[str, Any], minutes: int, **how: Any) -> Any:
    order = sorted(r["items"])
    return what_next(order, dict.fromkeys(order, "open"), r, str(minutes), **how)


def names(plan: Any) -> list[str]:
    return [row["item"] for row in plan["items"]]


def unseen(chance: str, *cost: int) -> dict[str, Any]:
    return {"chance": chance, "cost": list(cost)}


# --- the rule: variance a minute ---------------------------------------------------------------


@given(
    st.fractions(0, 1, max_denominator=100).filter(lambda x: 100 % x.denominator == 0),
    st.lists(st.integers(0, 20_000), min_size=3, max_size=3),
)
def test_the_spread_is_the_variance_of_the_cost(chance: Fraction, cost: list[int]) -> None:
    """Against the definition, over the four outcomes: E[(X - E X)^2]."""
    cost.sort()
    odds = [1 - chance, chance / 6, chance * 4 / 6, chance / 6]
    outcomes = [0, *cost]
    mean = sum(o * x for o, x in zip(odds, outcomes, strict=True))
    variance = sum(o * (x - mean) ** 2 for o, x in zip(odds, outcomes, strict=True))
    text = str(float(chance))
    assert Fraction(text) == chance
    top, bottom = spread(item(unseen=unseen(text, *cost)))  # type: ignore[arg-type]
    assert Fraction(top, bottom) == variance


def by_hand(r: dict[str, Any], minutes: int) -> list[str]:
    """The same rule in Python's own fractions, one check after another."""
    items, setup = r["items"], r["attention"]["setup"]
    left, begun, done = Fraction(minutes), set[str](), list[str]()

    def before(name: str, met: list[str]) -> list[str]:
        if name not in met and name not in done:
            for other in items[name].get("needs", []):
                before(other, met)
            met.append(name)
        return met

    def takes(name: str) -> Fraction:
        chain = before(name, [])
        stages = {items[one]["stage"] for one in chain} - begun
        return sum((Fraction(items[one]["minutes"]) for one in chain), Fraction(0)) + sum(
            (Fraction(setup.get(stage, "0")) for stage in stages), Fraction(0)
        )

    while True:
        fits = [name for name in sorted(items) if name not in done and takes(name) <= left]
        if not fits:
            return done
        best = max(
            fits, key=lambda name: (Fraction(*spread(items[name])) / takes(name), -fits.index(name))
        )
        left -= takes(best)
        chain = before(best, [])
        begun |= {items[one]["stage"] for one in chain}
        done += chain


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32), st.integers(1, 30), st.integers(0, 25), st.integers(0, 3))
def test_the_best_next_check_is_picked_again_and_again(
    seed: int, count: int, minutes: int, needs: int
) -> None:
    dice = random.Random(seed)
    items: dict[str, Any] = {}
    for n in range(count):
        earlier = sorted(items)
        items[f"a.{n:02d}"] = item(
            minutes=dice.choice(["0.3", "0.5", "1", "1.5", "2", "3"]),
            unseen=unseen(dice.choice(["0.05", "0.2", "0.5"]),
                          *sorted(dice.randrange(900) for _ in range(3))),
            needs=dice.sample(earlier, min(len(earlier), dice.randrange(needs + 1))),
            stage=dice.choice(["outside", "underneath"]),
        )  # fmt: skip
    r = rules(items, attention={"setup": {"underneath": "2"}})
    plan = planned(r, minutes)
    assert names(plan) == by_hand(r, minutes)
    assert sum(Fraction(row["minutes"]) for row in plan["items"]) == Fraction(plan["total_minutes"])
    assert Fraction(plan["total_minutes"]) <= minutes


def test_the_first_check_of_a_stage_takes_its_beginning_along() -> None:
    r = rules(
        {"a.1": item(stage="underneath", unseen=unseen("0.5", 1, 1, 1)), "a.2": item()},
        attention={"setup": {"underneath": "4"}},
    )
    assert [row["minutes"] for row in planned(r, 9)["items"]] == ["5", "1"]
    begun = what_next(["a.1", "a.2"], {"a.1": "open", "a.2": "done"}, r, "9")
    assert [row["minutes"] for row in begun["items"]] == ["5"]
    r["items"]["a.2"]["stage"] = "underneath"
    begun = what_next(["a.1", "a.2"], {"a.1": "open", "a.2": "done"}, r, "9")
    assert [row["minutes"] for row in begun["items"]] == ["1"]


def test_typing_takes_time_where_no_tap_answers() -> None:
    """By hand: a minute, and 0.2 for each of the two panels; their second spots are no must."""
    film = {"id": "film", "at": ["roof-1", "roof-2", "roof-3", "hood-1"]}
    bare = item(readings=[film])
    r = rules(
        {"a.1": bare, "a.2": {**bare, "choices": [{"id": "ok"}]}},
        attention={"typing": "0.2"},
    )
    assert [row["minutes"] for row in planned(r, 9)["items"]] == ["1.4", "1"]


def test_a_ring_of_prerequisites_does_not_hang_it() -> None:
    r = rules({"a.1": item(needs=["a.2"]), "a.2": item(needs=["a.1"])}, attention={"setup": {}})
    assert planned(r, 10)["open"] == 2


# --- what comes before money ---------------------------------------------------------------------


def on_the_way() -> dict[str, Any]:
    dear = unseen("0.5", 9000, 9000, 9000)
    return rules(
        {
            "a.1": item(title="Rust", unseen=dear),
            "a.2": item(title="Hose", drive="essential", danger=5, tools=["flashlight", "mirror"]),
            "a.3": item(title="Tire", drive="essential", danger=4, minutes="0.5"),
            "a.4": item(title="Title", effects=[{"on": ["major"], "does": "ends_deal"}]),
            "a.5": item(title="Horn", drive="essential"),
            "a.6": item(title="Belt", effects=[{"on": ["cut"], "does": "immobilizes"}]),
        }
    )


def test_what_could_hurt_on_the_way_home_comes_first_then_the_deal_then_the_price() -> None:
    """Danger a minute, by hand: 4 in half a minute before 5 in a whole one."""
    plan = planned(on_the_way(), 10)
    assert [said(row["said"], on_the_way(), "us") for row in plan["items"]] == [
        "Tire, 0.5 min: could hurt somebody on the way home",
        "Hose, 1 min, with flashlight and mirror: could hurt somebody on the way home",
        "Horn, 1 min: the drive home depends on it",
        "Belt, 1 min: could leave you on the road",
        "Title, 1 min: could stop the deal",
        "Rust, 1 min: could cost about $9,000",
    ]


def test_half_a_clearance_clears_nothing() -> None:
    """With less time than the drive home needs, the minutes go to the deal and the price."""
    plan = planned(on_the_way(), 3)
    assert names(plan)[:2] == ["a.4", "a.1"]
    assert said(plan["said"], on_the_way(), "us").endswith(
        "Clearing it to drive takes 3.5 min. Without that, plan on a trailer."
    )


def test_on_a_trailer_nothing_is_a_must() -> None:
    assert names(planned(on_the_way(), 10, answer="trailer"))[:2] == ["a.4", "a.1"]


def test_an_unseen_light_is_a_must_in_the_dark_alone() -> None:
    r = rules(
        {"a.1": item(unseen=unseen("0.5", 9, 9, 9)), "a.2": item(drive_if={"dark": "essential"})}
    )
    order = sorted(r["items"])
    for dark, first in ((True, "a.2"), (False, "a.1")):
        facts = {**FACTS, "about": {"dark": dark}}
        plan = next_checks.what_next(
            order, dict.fromkeys(order, "open"), r, facts, "10", "not_cleared", None
        )
        assert names(plan)[0] == first


def test_amounts_are_said_as_roughly_as_they_are_known() -> None:
    r = rules({"a.1": item(title="Sill", unseen=unseen("0.35", 600, 2100, 6500))})
    [row] = planned(r, 5)["items"]
    # by hand: (600 + 4 x 2100 + 6500) / 6 = 2583
    assert said(row["said"], r, "us") == "Sill, 1 min: could cost about $2,600"


# --- enough -------------------------------------------------------------------------------------


def test_once_the_price_is_settled_nothing_more_is_asked() -> None:
    plan = planned(on_the_way(), 10, answer="trailer", enough=unsaid("Too dear whatever is found."))
    assert plan["items"] == []
    assert said(plan["said"], on_the_way(), "us") == "Too dear whatever is found."


def test_what_ends_the_deal_ends_the_looking() -> None:
    r = on_the_way()
    r["items"]["a.7"] = item(title="Horn", order=9)
    got = assessed(r, {"a.4": "major"})["next"]
    assert got["items"] == []
    assert said(got["said"], r).startswith("You've seen enough. This ends it: Title.")
    assert got["enough"]["id"] == "judge-enough-deal"
    assert names(assessed(r, {"a.4": "minor"})["next"])


def test_what_is_left_may_be_worth_less_than_its_minutes() -> None:
    """By hand: 2 x 0.05 x 10 = 1 dollar against 2 for two minutes at 60 an hour; then 2 dollars."""
    cheap = item(unseen=unseen("0.05", 10, 10, 10))
    r = rules({"a.1": cheap, "a.2": {**cheap}})
    assert said(planned(r, 10)["said"], r, "us").endswith(
        "You've seen enough: the rest takes more time than it's worth."
    )
    r["items"]["a.1"]["unseen"] = unseen("0.15", 10, 10, 10)
    assert "enough" not in said(planned(r, 10)["said"], r, "us")


# --- what the state of the car forbids ------------------------------------------------------------


def test_what_needs_something_nobody_can_look_at_is_not_proposed() -> None:
    r = rules({"a.1": item(danger=1), "a.2": item(needs=["a.1"], danger=5)})
    states = {"a.1": "uninspected", "a.2": "open"}
    assert what_next(["a.1", "a.2"], states, r, "10")["items"] == []
    states = {"a.1": "done", "a.2": "open"}
    assert [row["item"] for row in what_next(["a.1", "a.2"], states, r, "10")["items"]] == ["a.2"]


def test_the_plan_says_what_it_is() -> None:
    r = rules({"a.1": item(title="Sill", unseen=unseen("1", 9, 9, 9)), "a.2": item(minutes="30")})
    plan = planned(r, 5)
    assert [(row["item"], row["minutes"]) for row in plan["items"]] == [("a.1", "1")]
    assert said(plan["said"], r) == "In 5 min: one of the 2 open checks, 1 min in all."


def test_what_wants_a_cold_engine_is_not_offered_once_it_has_run() -> None:
    r = rules(
        {
            "a.cap": item(title="Cap", stage="cold", cold=True, danger=3),
            "a.lead": item(title="Lead", stage="cold", danger=3),
            "a.start": item(stage="start", danger=3),
            "a.test": item(stage="cold", danger=3, needs=["a.cap"]),
        }
    )
    order = sorted(r["items"])
    before = what_next(order, dict.fromkeys(order, "open"), r, "10")
    assert [row["item"] for row in before["items"]] == ["a.cap", "a.lead", "a.start", "a.test"]
    assert before["left_out"] == []
    unseen = {**dict.fromkeys(order, "open"), "a.start": "uninspected"}
    assert "a.cap" in [row["item"] for row in what_next(order, unseen, r, "10")["items"]]
    after = what_next(order, {**dict.fromkeys(order, "open"), "a.start": "done"}, r, "10")
    assert [row["item"] for row in after["items"]] == ["a.lead"]
    assert after["left_out"] == [{"item": "a.cap", "said": {"id": "judge-left-out-warm"}}]
    assert said(after["said"], r) == (
        "In 10 min: one of the 3 open checks, 1 min in all. "
        "The engine is warm: one check that needs it cold is left out."
    )


WARM = {"warm": [{"item": "a.cold", "choice": ["warm"]}]}


def test_an_engine_found_warm_leaves_out_what_wants_it_cold() -> None:
    choices = [{"id": "cold", "title": "Cold", "grade": "none"},
               {"id": "warm", "title": "Warm", "grade": "minor"}]  # fmt: skip
    r = rules(
        {
            "a.cold": item(title="Cold?", answers=["grade", "choice"], choices=choices),
            "a.cap": item(title="Cap", cold=True),
            "a.door": item(title="Door"),
        },
        attention=WARM,
    )
    assert names(assessed(r, {"a.cold": {"choice": "cold"}})["next"]) == ["a.cap", "a.door"]
    got = assessed(r, {"a.cold": {"choice": "warm"}})
    assert got["marks"] == {"a.cold": "warm"}
    assert names(got["next"]) == ["a.door"]
    assert [row["item"] for row in got["next"]["left_out"]] == ["a.cap"]


def test_a_car_that_does_not_start_is_neither_run_nor_driven() -> None:
    never = [{"id": "never", "title": "Never", "grade": "major"},
             {"id": "at-once", "title": "At once", "grade": "none"}]  # fmt: skip
    r = rules(
        {
            "a.start": item(title="Cold start", stage="start", answers=["grade", "choice"],
                            choices=never, effects=[{"on": ["never"], "does": "immobilizes"}]),
            "a.idle": item(stage="warm", needs=["a.start"]),
            "a.gears": item(stage="road"),
            "a.sill": item(),
        }
    )  # fmt: skip
    started = assessed(r, {"a.start": {"choice": "at-once"}})
    assert sorted(names(started["next"])) == ["a.gears", "a.idle", "a.sill"]
    got = assessed(r, {"a.start": {"choice": "never"}})
    assert got["marks"] == {"a.start": "stuck"}
    assert names(got["next"]) == ["a.sill"]
    assert {said(row["said"], r) for row in got["next"]["left_out"]} == {
        "Not until this is fixed: Cold start. It shouldn't run or move like this."
    }


def test_what_wants_a_cold_engine_stands_before_what_warms_it() -> None:
    r = rules(
        {
            "a.run": item(stage="start", unseen=unseen("0.5", 90, 90, 90)),
            "a.sill": item(unseen=unseen("0.5", 50, 50, 50)),
            "a.cap": item(cold=True, unseen=unseen("0.5", 9, 9, 9)),
        }
    )
    assert names(planned(r, 5)) == ["a.cap", "a.run", "a.sill"]


def chain() -> dict[str, Any]:
    """A leak to look for before the start, the start, an idle that needs it, a road, a door."""
    return rules(
        {
            "a.leak": item(danger=1, title="Fuel leaks"),
            "a.start": item(danger=1, title="Cold start", stage="start", needs=["a.leak"]),
            "a.idle": item(danger=1, title="Idle", stage="warm", needs=["a.start"]),
            "a.gears": item(danger=1, title="Gears", stage="road"),
            "a.lift": item(danger=1, title="Bearing", stage="underneath", stopped_by=["a.sill"]),
            "a.sill": item(danger=1, title="Sill"),
            "b.door": item(danger=1, title="Door"),
        }
    )


def test_nothing_that_rests_on_a_dangerous_finding_is_offered() -> None:
    # common practice, no source: no start beside leaking fuel, no road with any danger
    r = chain()
    order = list(r["items"])
    states = {**dict.fromkeys(order, "open"), "a.leak": "dangerous"}
    plan = what_next(order, states, r, "30")
    assert [row["item"] for row in plan["items"]] == ["a.lift", "a.sill", "b.door"]
    assert [row["item"] for row in plan["left_out"]] == ["a.start", "a.idle", "a.gears"]
    assert {said(row["said"], r) for row in plan["left_out"]} == {
        "Not until this is fixed: Fuel leaks. It's unsafe."
    }
    assert said(plan["said"], r).endswith("3 checks wait until this is safe: Fuel leaks.")
    sound = what_next(order, {**states, "a.leak": "done"}, r, "30")
    assert sorted(names(sound)) == sorted(order[1:])
    assert sound["left_out"] == []


def test_what_may_not_be_done_beside_a_danger_waits_for_no_look_at_it() -> None:
    # common practice, no source: nobody lifts a car on a sill that gave way
    r = chain()
    order = ["a.lift", "a.sill"]
    states = dict.fromkeys(order, "open")
    plan = what_next(order, states, r, "1")
    assert [row["item"] for row in plan["items"]] == ["a.lift"]
    soft = what_next(order, {**states, "a.sill": "dangerous"}, r, "1")
    assert [row["item"] for row in soft["left_out"]] == ["a.lift"]


def test_a_danger_elsewhere_stops_the_road_and_nothing_else() -> None:
    r = chain()
    order = list(r["items"])
    states = {**dict.fromkeys(order, "open"), "b.door": "dangerous"}
    plan = what_next(order, states, r, "30")
    offered = [row["item"] for row in plan["items"]]
    assert offered == ["a.leak", "a.start", "a.idle", "a.lift", "a.sill"]
    assert [row["item"] for row in plan["left_out"]] == ["a.gears"]


def test_an_assessment_offers_no_drive_once_something_is_dangerous() -> None:
    r = chain()
    offered = [row["item"] for row in assessed(r, {})["next"]["items"]]
    assert "a.gears" in offered
    got = assessed(r, {"a.leak": "dangerous"})
    assert {row["item"] for row in got["next"]["items"]} == {"a.lift", "a.sill", "b.door"}
    assert got["drive_home"]["answer"] == "trailer"


def test_coverage_weighs_what_matters_and_is_never_rounded_up() -> None:
    """By hand: weights 2 + danger; done 2 + 5 of 2 + 5 + 2 + 0 + 2 + 1 = 7 of 12."""
    r = rules({"a.1": item("a", danger=5), "a.2": item("a"), "b.1": item("b", danger=1)})
    got = assessed(r, {"a.1": "none", "a.2": ("uninspected", "locked")})["coverage"]
    assert got["share_percent"] == 58
    assert got["by_area"] == {"a": 77, "b": 0}
    assert [(row["item"], said(row["said"], r)) for row in got["not_reached"]] == [
        ("a.2", "Not checked: locked."),
        ("b.1", "Not reached."),
    ]
    assert said(got["said"], r) == "1 of 3 checks done: 58% of what matters."


def test_what_was_not_reached_says_the_one_reason_of_its_part_of_the_walk() -> None:
    r = rules({"a.1": item(stage="underneath"), "a.2": item(stage="inside")})
    told = {"about_left_underneath": "tools", "about_left_inside": "because"}
    got = assessed(r, {}, **told)["coverage"]["not_reached"]
    assert {row["item"]: said(row["said"], r) for row in got} == {
        "a.1": "Not reached: no tools or lift for it there.",
        "a.2": "Not reached.",
    }


@pytest.mark.parametrize(("done", "share"), [(0, 0), (199, 99), (200, 100)])
def test_only_all_of_it_is_a_hundred_percent(done: int, share: int) -> None:
    names = [f"a.{n:03d}" for n in range(200)]
    r = rules({name: item() for name in names})
    got = assessed(r, dict.fromkeys(names[:done], "none"))["coverage"]
    assert got["share_percent"] == share
