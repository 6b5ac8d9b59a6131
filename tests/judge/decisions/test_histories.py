"""Histories by their signs, against Bayes' rule counted over every joint world.

Oracle: the textbook definition of a conditional probability, P(H | seen) = P(H, seen) / P(seen),
summed over all worlds with fractions.Fraction (naive Bayes as any textbook has it, from memory).
What the words begin at, and that one sign never says more than "suspected": our own assumption.
"""

from __future__ import annotations

import itertools
from fractions import Fraction
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge.decisions import histories
from bradawl.judge.grading.combinations import Judged
from bradawl.judge.grading.items import blank

ITEMS = ("a", "b", "c", "d", "e")
#: What may be known of an item: nobody looked, it shows the sign, it does not.
KNOWN = (None, True, False)


def judged(known: dict[str, bool | None], choices: dict[str, list[str]] | None = None) -> Judged:
    """Items of which it is known whether they show a fault."""
    seen = Judged()
    for name in ITEMS:
        judgment = blank()
        if known.get(name) is not None:
            judgment["state"] = "done"
            judgment["grade"] = judgment["measured"] = "major" if known[name] else "none"
            judgment["by"] = "choice"
        seen.items[name] = judgment
    seen.choices = choices or {}
    return seen


def sign(item: str, g: int, q: int, group: str | None = None, **more: Any) -> dict[str, Any]:
    found = {"item": item, "on": ["major"], "with_percent": g, "without_percent": q, **more}
    return {**found, "group": group} if group else found


def history(*signs: dict[str, Any], base: int = 10, factor: str = "0.5") -> dict[str, Any]:
    return {
        "id": "flood",
        "title": "Flood",
        "base_percent": base,
        "factor": factor,
        "signs": list(signs),
        "source": "assumption",
    }


def rules(*rows: dict[str, Any], minutes: dict[str, str] | None = None) -> Any:
    items = {name: {"minutes": (minutes or {}).get(name, "1")} for name in ITEMS}
    return {"items": items, "histories": list(rows)}


def row(known: dict[str, bool | None], *rows: dict[str, Any], **more: Any) -> Any:
    return histories.judge(judged(known), list(ITEMS), rules(*rows, **more))[0]


def factor(
    known: dict[str, bool | None], rows: list[Any], found: tuple[Fraction, ...] = ()
) -> Fraction:
    exact = [(one.numerator, one.denominator) for one in found]
    hidden = histories.chances(judged(known), list(ITEMS), rules(*rows))
    return Fraction(*histories.worth_factor(hidden, exact))


def chance_by_counting(told: dict[str, Any], known: dict[str, bool | None]) -> Fraction:
    """P(history | what is known): each world's chance added up, groups of one sign each."""
    base = Fraction(told["base_percent"], 100)
    agreeing = {True: Fraction(0), False: Fraction(0)}
    for happened in (True, False):
        for shown in itertools.product((True, False), repeat=len(told["signs"])):
            chance = base if happened else 1 - base
            fits = True
            for one, shows in zip(told["signs"], shown, strict=True):
                often = Fraction(one["with_percent" if happened else "without_percent"], 100)
                chance *= often if shows else 1 - often
                fits = fits and known.get(one["item"]) in (None, shows)
            if fits:
                agreeing[happened] += chance
    return agreeing[True] / (agreeing[True] + agreeing[False])


@st.composite
def signs(draw: st.DrawFn, groups: bool = False) -> list[dict[str, Any]]:
    made = []
    for item in draw(st.lists(st.sampled_from(ITEMS), min_size=1, unique=True)):
        q = draw(st.integers(1, 98))
        g = draw(st.integers(q + 1, 99))
        group = draw(st.sampled_from([None, "x", "y"])) if groups else None
        made.append(sign(item, g, q, group))
    return made


@st.composite
def worlds(draw: st.DrawFn, groups: bool = False) -> tuple[list[Any], dict[str, bool | None]]:
    """A few histories and what is known of the items."""
    rows = [
        history(
            *draw(signs(groups)),
            base=draw(st.integers(1, 99)),
            factor=draw(st.sampled_from(["0.3", "0.5", "0.75", "0.9", "1"])),
        )
        for _ in range(draw(st.integers(1, 3)))
    ]
    return rows, {name: draw(st.sampled_from(KNOWN)) for name in ITEMS}


def worst_by_counting(rows: list[Any], chances: list[Fraction], known: list[Fraction]) -> Fraction:
    """The mean of the worst factor over every yes and no of the histories."""
    total = Fraction(0)
    for happened in itertools.product((True, False), repeat=len(rows)):
        chance, worst = Fraction(1), min([Fraction(1), *known])
        for did, told, often in zip(happened, rows, chances, strict=True):
            chance *= often if did else 1 - often
            worst = min(worst, Fraction(told["factor"])) if did else worst
        total += chance * worst
    return total


@settings(max_examples=150)
@given(
    world=worlds(), found=st.lists(st.sampled_from([Fraction(1, 3), Fraction(4, 5)]), max_size=2)
)
def test_the_factor_is_the_mean_of_the_worst_over_all_joint_worlds(
    world: tuple[list[Any], dict[str, bool | None]], found: list[Fraction]
) -> None:
    rows, known = world
    chances = [chance_by_counting(told, known) for told in rows]
    assert factor(known, rows, tuple(found)) == worst_by_counting(rows, chances, found)


@settings(max_examples=150)
@given(
    told=signs(),
    base=st.integers(1, 99),
    known=st.fixed_dictionaries({n: st.sampled_from(KNOWN) for n in ITEMS}),
)
def test_the_standing_is_the_word_for_the_chance(
    told: list[Any], base: int, known: dict[str, bool | None]
) -> None:
    one = history(*told, base=base)
    chance = chance_by_counting(one, known)
    found = sum(1 for sign_of in told if known[sign_of["item"]])
    absent = sum(1 for sign_of in told if known[sign_of["item"]] is False)
    words = ["against", "not_excluded", "suspected", "likely", "strong"]
    at = sum(chance >= Fraction(edge, 100) for edge in (5, 25, 60, 90))
    most = 1 if not found else 2 if found == 1 else 4
    least = 0 if absent else 1
    answer = row(known, one)
    assert answer["standing"] == words[max(least, min(at, most))]
    assert (answer["looked_at"], answer["signs"]) == (found + absent, len(told))
    assert len(answer["speak_for"]) == found
    assert len(answer["speak_against"]) == absent


@settings(max_examples=200)
@given(world=worlds(groups=True), item=st.sampled_from(ITEMS), found=st.booleans())
def test_a_sign_found_never_raises_the_factor_and_one_in_vain_never_lowers_it(
    world: tuple[list[Any], dict[str, bool | None]], item: str, found: bool
) -> None:
    rows, known = world
    before = factor({**known, item: None}, rows)
    after = factor({**known, item: found}, rows)
    assert after <= before if found else after >= before


@settings(max_examples=150)
@given(world=worlds(groups=True), rest=st.lists(st.sampled_from(KNOWN), min_size=5, max_size=5))
def test_no_outcome_of_what_is_left_beats_the_rest_being_fine(
    world: tuple[list[Any], dict[str, bool | None]], rest: list[bool | None]
) -> None:
    rows, known = world
    best = histories.chances(judged(known), list(ITEMS), rules(*rows), is_rest_fine=True)
    bound = Fraction(*histories.worth_factor(best, []))
    looked = {
        item: outcome if known[item] is None else known[item]
        for item, outcome in zip(ITEMS, rest, strict=True)
    }
    assert factor(looked, rows) <= bound
    assert factor({item: bool(known[item]) for item in ITEMS}, rows) == bound


@settings(max_examples=100)
@given(
    world=worlds(groups=True), order=st.permutations(ITEMS), place=st.randoms(use_true_random=False)
)
def test_the_order_of_answers_and_of_signs_changes_nothing(
    world: tuple[list[Any], dict[str, bool | None]], order: list[str], place: Any
) -> None:
    rows, known = world
    shuffled = [{**told, "signs": place.sample(told["signs"], len(told["signs"]))} for told in rows]
    seen = judged({name: known[name] for name in order})
    again = histories.chances(seen, order, rules(*reversed(shuffled)))
    assert Fraction(*histories.worth_factor(again, [])) == factor(known, rows)


@settings(max_examples=100)
@given(g=st.integers(2, 99), less=st.data())
def test_the_same_thing_seen_twice_counts_once_and_the_strongest(g: int, less: Any) -> None:
    q = less.draw(st.integers(1, g - 1))
    weaker_q = less.draw(st.integers(q, g - 1))
    one, twin = sign("a", g, q, "water"), sign("b", g, weaker_q, "water")
    alone = factor({"a": True}, [history(one)])
    assert factor({"a": True, "b": True}, [history(one, twin)]) == alone
    assert factor({"a": True, "b": False}, [history(one, twin)]) == alone
    neither = factor({"a": False}, [history(one)])
    assert factor({"a": False, "b": False}, [history(one, twin)]) == neither
    assert row({"a": True, "b": True}, history(one, twin, base=90))["standing"] == "suspected"


@settings(max_examples=150)
@given(
    told=signs(),
    base=st.integers(1, 99),
    known=st.fixed_dictionaries({n: st.sampled_from(KNOWN) for n in ITEMS}),
    minutes=st.fixed_dictionaries({n: st.sampled_from(["0.5", "1", "3"]) for n in ITEMS}),
)
def test_next_is_the_look_that_narrows_the_chance_most_per_minute(
    told: list[Any], base: int, known: dict[str, bool | None], minutes: dict[str, str]
) -> None:
    one = history(*told, base=base)
    now = chance_by_counting(one, known)
    gains = {}
    for sign_of in told:
        item = sign_of["item"]
        if known[item] is None:
            gains[item] = Fraction(0)
            seen_at_all = now * sign_of["with_percent"] + (1 - now) * sign_of["without_percent"]
            for shows, often in ((True, seen_at_all / 100), (False, 1 - seen_at_all / 100)):
                then = chance_by_counting(one, {**known, item: shows})
                gains[item] += often * (then - now) ** 2 / Fraction(minutes[item])
    wanted = min(gains, key=lambda item: (-gains[item], item)) if gains else None
    assert row(known, one, minutes=minutes)["next"] == wanted


def test_what_is_not_open_is_not_the_next_look_and_what_a_group_showed_neither() -> None:
    told = history(
        sign("a", 90, 10), sign("b", 30, 10), sign("c", 80, 5, "x"), sign("d", 70, 5, "x")
    )
    seen = judged({"c": True})
    seen.items["a"]["state"] = "uninspected"
    assert histories.judge(seen, list(ITEMS), rules(told))[0]["next"] == "b"


def test_nothing_seen_suspects_nobody_however_common_the_history() -> None:
    answer = row({}, history(sign("a", 90, 10), base=95))
    assert (answer["standing"], answer["looked_at"], answer["signs"]) == ("not_excluded", 0, 1)
    assert row({}, history(sign("a", 90, 10), base=1))["standing"] == "not_excluded"


def test_a_lone_sign_of_something_rare_is_not_called_a_sign_against_it() -> None:
    assert row({"a": True}, history(sign("a", 20, 10), base=1))["standing"] == "not_excluded"


def test_of_several_grades_and_answers_the_worst_is_the_sign() -> None:
    told = history({**sign("a", 90, 10), "on": ["falls", "major"]}, base=50)
    seen = judged({"a": False}, {"a": ["rises"]})
    assert not histories.judge(seen, list(ITEMS), rules(told))[0]["speak_for"]
    # somebody graded the measured fault milder: the measure still counts
    seen.items["a"]["measured"] = "major"
    assert histories.judge(seen, list(ITEMS), rules(told))[0]["speak_for"][0]["item"] == "a"
    # two people answered apart, and one of the answers is the sign
    seen = judged({"a": False}, {"a": ["rises", "falls"]})
    found = histories.judge(seen, list(ITEMS), rules(told))[0]["speak_for"]
    assert found[0]["said"]["args"] == {"choice": {"checklist": ["choice", "a", "falls"]}}
    # a grade raised beyond the one named is a sign all the more
    seen = judged({"a": True})
    seen.items["a"]["grade"] = seen.items["a"]["measured"] = "dangerous"
    assert histories.judge(seen, list(ITEMS), rules(told))[0]["speak_for"]


def test_a_sign_is_told_by_what_was_measured_before_whose_call_it_is() -> None:
    told = history(sign("a", 90, 10), base=50)
    person: Any = {"code": "person", "source": ""}
    person["said"] = {"id": "judge-reason-person", "args": {"grade": {"term": "grade-major"}}}
    limit: Any = {"code": "limit", "source": "", "said": {"id": "judge-limit-below"}}
    seen = judged({"a": True})
    seen.items["a"]["reasons"] = [person, limit]
    (row_said,) = histories.judge(seen, list(ITEMS), rules(told))[0]["speak_for"]
    assert row_said["said"] == limit["said"]
    seen.items["a"]["reasons"] = [person]
    (row_said,) = histories.judge(seen, list(ITEMS), rules(told))[0]["speak_for"]
    assert row_said["said"] == {**person["said"], "id": "judge-sign-person"}


def test_an_answer_that_says_nothing_is_no_look_and_neither_is_one_that_another_settled() -> None:
    told = history(sign("a", 90, 10, unclear=["unchecked"]), sign("b", 90, 10))
    seen = judged({"a": False, "b": False}, {"a": ["unchecked"]})
    seen.items["b"]["by"] = "implied"
    answer = histories.judge(seen, list(ITEMS), rules(told))[0]
    assert (answer["looked_at"], answer["speak_against"]) == (0, [])
    assert answer["standing"] == "not_excluded"


def test_signs_that_this_car_cannot_show_do_not_count_and_a_history_without_any_is_not_told() -> (
    None
):
    told = history(sign("a", 90, 10))
    assert histories.judge(judged({"a": True}), ["b"], rules(told)) == []
    hidden = histories.chances(judged({}), ["b"], rules(told))
    assert Fraction(*histories.worth_factor(hidden, [])) == Fraction(95, 100)


def test_the_worst_history_is_told_first() -> None:
    bad = {**history(sign("a", 90, 1), sign("b", 90, 1), base=50), "id": "crash"}
    good = history(sign("c", 90, 10))
    told = histories.judge(
        judged({"a": True, "b": True, "c": False}), list(ITEMS), rules(good, bad)
    )
    assert [(one["id"], one["standing"]) for one in told] == [
        ("crash", "strong"),
        ("flood", "against"),
    ]
