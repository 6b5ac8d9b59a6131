"""What no check asks for counts like any other finding, in the words of who found it.

That what is dangerous goes on a trailer, and that nobody's price is for what nobody put a figure
on, are this project's rules (issue laws, not figures): no oracle but the car without the finding.
"""

from __future__ import annotations

import random
from functools import cache
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bradawl.judge import assess
from bradawl.judge.costs import remedies
from bradawl.judge.record.own_findings import with_own
from tests.amount import amount
from tests.judge.conftest import Ask
from tests.judge.costs.test_price_laws import TOLD, draw_seen, worlds
from tests.judge.records import TODAY, cell, item, record, rules
from tests.judge.saying import said
from tests.judge.strategies import DEVICES, WHYS, stamp
from tests.judge.test_real_checklists import load_rules, part_of, real, texts_of

NAME = "brakes.own-0a1b2c3d"
WORDS = "Jack point gave way"
JOB = NAME + "/mend"
RULES = rules(
    {
        "brakes.pads": item("brakes", drive="essential"),
        "trim.mats": item("trim"),
        "lamps.dip": item("lamps", drive_if={"dark": "matters"}),
        "papers.title": item("papers", drive="essential"),
    }
)
FINE = dict.fromkeys(RULES["items"], "none")
HOME = {
    "about_dark": False,
    "about_wet": False,
    "about_motorway": False,
    "about_distance_home": {"typed": "20", "unit": "km"},
    **TOLD,
}
DRIVES = ["drive", "limits", "not_cleared", "trailer"]


def own(grade: str | None = "dangerous", name: str = NAME, **more: Any) -> dict[str, Any]:
    """What stands at such a finding, for `record`."""
    paths: dict[str, Any] = {"text": WORDS, **more}
    if grade is not None:
        paths["grade"] = {"grade": grade}
    return {name: paths}


def judged(given_states: dict[str, Any], **told: Any) -> Any:
    return assess(record({**FINE, **given_states}, **{**HOME, **told}), RULES, TODAY)


# the drive home -------------------------------------------------------------------------------


def test_a_danger_in_somebodys_words_goes_on_a_trailer_with_those_words() -> None:
    assert judged({})["drive_home"]["answer"] == "drive"
    got = judged(own())
    drive = got["drive_home"]
    assert drive["answer"] == "trailer"
    assert said(drive["said"], RULES) == f"Trailer it. Unsafe: {WORDS}."
    assert [row["item"] for row in drive["reasons"]] == [NAME]
    assert said(drive["reasons"][0]["said"], RULES).startswith(f"{WORDS}: Unsafe.")
    assert got["findings"] == [NAME]
    assert got["decision"]["drive"] == "trailer"
    assert any(WORDS in said(clause["said"], RULES) for clause in got["decision"]["spoken"])


def test_no_word_of_the_checklist_makes_it_milder() -> None:
    for extra in ({"why": "checked twice"}, {"choice": "fine"}, {"note": "it is fine"}):
        assert judged(own(**extra))["drive_home"]["answer"] == "trailer"


@pytest.mark.parametrize(
    ("area", "answer"),
    [("brakes", "limits"), ("lamps", "limits"), ("trim", "drive"), ("papers", "limits"),
     ("no-such-area", "limits")],
)  # fmt: skip
@pytest.mark.parametrize("distance", ["20", "300"])
def test_what_needs_fixing_limits_the_drive_as_far_as_it_depends_on_its_area(
    area: str, answer: str, distance: str
) -> None:
    far = {"about_distance_home": {"typed": distance, "unit": "km"}}
    assert judged(own("major", f"{area}.own-1"), **far)["drive_home"]["answer"] == answer


def test_what_is_minor_is_listed_and_stops_nobody() -> None:
    got = judged(own("minor"))
    assert (got["drive_home"]["answer"], got["findings"]) == ("drive", [NAME])
    assert [row["worst"] for row in got["areas"] if row["area"] == "brakes"] == ["minor"]


def test_what_was_asked_stays_what_it_was() -> None:
    before, after = judged({}), judged(own("major"))
    for part in ("coverage", "brief", "baseline", "histories"):
        assert after[part] == before[part]
    counts = [[row[key] for key in ("open", "done", "total")] for row in before["areas"]]
    assert counts == [[row[key] for key in ("open", "done", "total")] for row in after["areas"]]


def test_without_a_grade_it_is_asked_how_bad_it_is(both: Ask) -> None:
    got = judged(own(None))
    assert [question["items"] for question in got["questions"]] == [[NAME]]
    assert WORDS in said(got["questions"][0]["said"], RULES)
    assert got["findings"] == []
    assert not got["items"][NAME]["applies"]
    assert got["decision"]["buy"] != "buy"


def test_what_was_taken_back_leaves_nothing_behind() -> None:
    gone = record(FINE, **HOME)
    for path in ("text", "grade"):
        gone["cells"][f"items/{NAME}/{path}"] = cell(None)
    assert assess(gone, RULES, TODAY) == judged({})


def test_of_two_who_disagree_the_worse_counts_and_the_dearer_figure() -> None:
    given_twice = record({**FINE, **own("minor", cost=[1, 1, 1])}, **HOME)
    cells = given_twice["cells"]
    cells[f"items/{NAME}/grade"]["others"] = [{"value": {"grade": "dangerous"}, "at": "0"}]
    cells[f"items/{NAME}/cost"]["others"] = [{"value": 900, "at": "0"}]
    got = assess(given_twice, RULES, TODAY)
    assert got["items"][NAME]["grade"] == "dangerous"
    assert got["items"][NAME]["conflict"]
    assert got["money"]["totals"]["likely"] == 900


def test_a_path_that_names_no_item_is_no_finding() -> None:
    odd = record(FINE, **HOME)
    odd["cells"].update({path: cell([]) for path in ("items", "items/", "items/.own-1/text")})
    assert assess(odd, RULES, TODAY)["findings"] == []


# the money ------------------------------------------------------------------------------------


@pytest.mark.parametrize("cost", [400, [400, 400, 400]])
def test_one_firm_figure_comes_off_the_price(cost: Any) -> None:
    before, after = judged({})["money"], judged(own("minor", cost=cost))["money"]
    assert after["price"]["walk_away"] == before["price"]["walk_away"] - 400
    assert [said(line["title"]["said"], RULES) for line in after["lines"]] == [f"Mend: {WORDS}"]
    assert after["unpriced"] == []


def test_a_range_counts_with_its_mean() -> None:
    # PERT: (200 + 4 x 300 + 700) / 6
    after = judged(own("major", cost=[200, 300, 700]))["money"]
    assert after["totals"]["expected"] == 350
    assert after["lines"][0]["cost"] == [200, 300, 700]


@pytest.mark.parametrize("cost", [None, "400", [400, 300, 200], [400], -3, True, {"typed": "4"}])
def test_without_a_figure_it_is_named_beside_the_price_and_is_not_free(cost: Any) -> None:
    more = {} if cost is None else {"cost": cost}
    money = judged(own("minor", **more))["money"]
    assert money["unpriced"] == [NAME]
    assert money["lines"] == []
    told = " ".join(said(one, RULES) for one in money["price"]["said"]["then"])
    assert f"Without a figure, so not in this price: {WORDS}." in told


def test_what_is_said_to_cost_nothing_has_its_figure() -> None:
    money = judged(own("minor", cost=0))["money"]
    assert money["unpriced"] == []
    assert money["totals"]["expected"] == 0


def test_its_job_is_planned_edited_and_closed_like_any_other() -> None:
    cells = record(own("major"), **HOME)["cells"]
    local = with_own(RULES, cells)
    rates: Any = {"rate": 60, "percent": 100}

    def work() -> Any:
        got = assess({"visit": "v", "cells": cells}, RULES, TODAY)
        return remedies.work(got["findings"], got["items"], got["baseline"], local, cells, rates)

    assert list(work()["chosen"]) == [JOB]
    cells[f"plan/remedies/{NAME}/mend"] = cell({"parts": [50, 60, 70], "hours": ["1", "1", "1"]})
    got = assess({"visit": "v", "cells": cells}, RULES, TODAY)
    assert got["money"]["totals"]["likely"] == 120
    assert got["money"]["unpriced"] == []
    cells[f"work/{JOB}/after/{NAME}/grade"] = cell({"grade": "none"}, "2")
    cells[f"work/{JOB}/photos/{'1' * 64}"] = cell({"caption": "Welded"}, "2")
    got = assess({"visit": "v", "cells": cells}, RULES, TODAY)
    assert got["money"]["totals"]["likely"] == 0
    assert work()["chosen"] == {}


def test_a_quote_of_the_parts_list_is_a_figure() -> None:
    cells = record({**FINE, **own("major")}, **HOME)["cells"]
    cells["parts/0a1b2c3d4e5f/job"] = cell(JOB)
    cells["parts/0a1b2c3d4e5f/quote_cents"] = cell(12300)
    money = assess({"visit": "v", "cells": cells}, RULES, TODAY)["money"]
    assert money["unpriced"] == []
    assert money["totals"]["likely"] == 123


# the laws -------------------------------------------------------------------------------------

COSTS = st.one_of(
    st.none(),
    st.integers(0, 500),
    st.lists(st.integers(0, 500), min_size=3, max_size=3).map(sorted),
)


@settings(max_examples=amount(200, short=40), suppress_health_check=[HealthCheck.too_slow])
@given(
    data=st.data(),
    world=worlds(),
    grade=st.sampled_from(["minor", "major", "dangerous", "none", None]),
    cost=COSTS,
    area=st.sampled_from(["area", "elsewhere"]),
)
def test_one_more_never_makes_the_answer_better_or_the_price_higher(
    data: Any, world: dict[str, Any], grade: str | None, cost: Any, area: str
) -> None:
    seen = {name: state for name, state in draw_seen(data.draw, world).items() if state}
    told = {**HOME, "about_dark": data.draw(st.sampled_from([True, False, None]))}
    more = {} if cost is None else {"cost": cost}
    before = assess(record(seen, **told), world, TODAY)
    given_too = record({**seen, **own(grade, f"{area}.own-1", **more)}, **told)
    after = assess(given_too, world, TODAY)
    drives = [DRIVES.index(one["drive_home"]["answer"]) for one in (before, after)]
    assert drives[1] >= drives[0]
    for key in ("walk_away", "bound", "opening", "worth"):
        figures = [one["money"]["price"][key] for one in (before, after)]
        assert figures[0] is None or figures[1] is None or figures[1] <= figures[0]
    assert after["coverage"] == before["coverage"]
    mixed = list(given_too["cells"].items())
    random.Random(data.draw(st.integers())).shuffle(mixed)
    assert assess({"visit": "v", "cells": dict(mixed)}, world, TODAY) == after


STRANGE = (
    "",
    " ",
    "\n\t",
    "<b>",
    "{ $words }",
    "\u202egnik",
    "é" * 90,
    "😀" * 200,
    "a\u00a0b",
    7,
    [],
)


@cache
def part() -> Any:
    return part_of(real()["rules"], 3)


def test_whatever_stands_there_both_engines_say_the_same_and_name_no_id(both: Ask) -> None:
    load_rules(both, "own", part())
    for seed in range(amount(200, short=24)):
        dice = random.Random(seed)
        cells = record({})["cells"]
        areas = [row["id"] for row in part()["areas"]] + ["no such", "ÿ"]
        for n in range(dice.randrange(1, 4)):
            name = f"{dice.choice(areas)}.own-{n}"
            for path, values in (
                ("text", (*STRANGE, *WHYS)),
                (
                    "grade",
                    tuple({"grade": g} for g in ("minor", "major", "dangerous", "x", "none")),
                ),
                ("cost", (None, 300, [1, 2, 3], [3, 2, 1], "x", 2**52)),
                ("why", WHYS),
                ("readings/x/one", ({"typed": "3", "unit": "mm"},)),
            ):
                if dice.random() < 0.6:
                    made = cell(dice.choice(values), stamp(len(cells), DEVICES[0]))
                    cells[f"items/{name}/{path}"] = made
        answer = both(
            {"ask": "assess", "bundle": "own", "visit": "v", "cells": cells, "today": TODAY}
        )
        assert "assessment" in answer, (seed, answer)
        texts = texts_of({**answer["assessment"], "problems": []}, with_own(part(), cells), "us")
        assert not [text for text in texts if ".own-" in text]
        states = {
            name: answer["assessment"]["marks"].get(name, row["state"])
            for name, row in answer["assessment"]["items"].items()
            if row["applies"]
        }
        question = {
            "bundle": "own",
            "states": states,
            "car": {},
            "minutes": "30",
            "drive": "trailer",
        }
        planned = both({"ask": "next", **question, "today": TODAY})
        assert not [text for text in texts_of(planned["next"], part(), "us") if ".own-" in text]
        for name in [name for name in answer["assessment"]["items"] if ".own-" in name]:
            alone = {path: one for path, one in cells.items() if path.startswith(f"items/{name}/")}
            question = {"bundle": "own", "item": name, "cells": alone, "car": {}, "today": TODAY}
            judgment = both({"ask": "item", **question})["item"]
            assert judgment["grade"] == answer["assessment"]["items"][name]["grade"]
