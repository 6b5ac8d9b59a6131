"""What the buyer hears of whole cars contradicts nothing else (common practice, no source).

Each car is a good one of cars.yaml with something said or left out.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from bradawl.judge import assess
from tests.judge.cars.whole_cars import CARS, real, record_of
from tests.judge.records import TODAY, cell
from tests.judge.saying import said

TREADS = {f"{corner}-{place}": "0.5"
          for corner in ("front-left", "front-right", "rear-left", "rear-right")
          for place in ("outer", "middle", "inner")}  # fmt: skip
DEALS = ("papers.lien", "papers.debts", "papers.title-brands", "papers.number-match")


def judged(
    seen: dict[str, Any] | None = None,
    *,
    without: tuple[str, ...] = (),
    cells: dict[str, Any] | None = None,
    **car: Any,
) -> Any:
    (good,) = [one for one in CARS if one["id"] == "honest-and-good"]
    record = record_of({**good, "asked": 5000, "seen": seen or {}, **car})
    kept = {p: c for p, c in record["cells"].items() if p.split("/")[1] not in without}
    return assess({"visit": "v", "cells": {**kept, **(cells or {})}}, real()["rules"], TODAY)


def heard(judgment: Any) -> str:
    return " ".join(said(c["said"], real()["rules"], "us") for c in judgment["decision"]["spoken"])


def steps(judgment: Any) -> list[str]:
    now = judgment["decision"]["answers"]["now"]
    return [said(c["said"], real()["rules"], "us") for c in now]


def test_a_good_car_is_bought() -> None:
    good = judged()
    top = f"{good['money']['price']['walk_away']:,}"
    assert (
        heard(good) == f"Drive it home. Buy it: it's worth up to ${top}. Pay what's asked, $5,000."
    )


def test_a_car_that_costs_nothing_is_taken_and_not_paid() -> None:
    free = judged(asked=0)
    assert heard(free).endswith("It costs nothing: take it, title signed over to you.")
    assert "$0" not in heard(free) + " ".join(steps(free))
    worn = judged({"rust.sills": "soft"}, asked=0)
    assert worn["decision"]["buy"] == "up_to"
    assert "$0" not in heard(worn) + " ".join(steps(worn))


def test_an_offer_of_nothing_is_none() -> None:
    """The top price is low, and the work may cost more than expected: nobody "opens at $0"."""
    top = judged({"rust.sills": "soft"})["money"]["price"]["walk_away"]
    near = judged({"rust.sills": "soft"}, value=6500 - top + 40)
    assert near["money"]["price"]["opening"] == 0 < near["money"]["price"]["walk_away"]
    assert "$0" not in heard(near) + " ".join(steps(near))
    assert "Offer next to nothing: the work could eat all it's worth." in steps(near)


def test_paperwork_is_no_repair() -> None:
    """What a state asks for a title mends nothing on the car."""
    price = judged({"papers.certification-label": "missing", "rust.sills": "soft"})
    cost = {line["kind"]: line["expected"] for line in price["money"]["lines"]}
    assert set(cost) == {"paper", "mend"}
    repairs = price["money"]["totals"]["expected"] - cost["paper"]
    assert f"Repairs about ${repairs:,}, paperwork about ${cost['paper']:,}; buy" in heard(price)
    papers = judged({"papers.certification-label": "missing"})
    assert f"Paperwork about ${cost['paper']:,}; buy it up to" in heard(papers)
    assert "Repairs" not in heard(papers)


@pytest.mark.parametrize("item", DEALS)
def test_what_may_stop_the_deal_is_looked_at_before_anybody_pays(item: str) -> None:
    unseen = judged(without=(item,))
    assert unseen["decision"]["buy"] == "up_to"
    assert steps(unseen)[0].startswith("Before you pay, check: ")
    assert unseen["decision"]["answers"]["now"][0]["item"] == item


@pytest.mark.parametrize("item", DEALS[:3])
def test_not_looked_up_is_as_good_as_unseen(item: str) -> None:
    unchecked = judged({item: "unchecked"})
    assert unchecked["decision"]["buy"] == "up_to"
    assert unchecked["decision"]["answers"]["now"][0]["item"] == item
    assert unchecked["money"]["totals"]["expected"] < 100, "looking it up is no repair"


def test_what_the_drive_depends_on_unseen_is_no_plain_yes() -> None:
    unseen = judged(without=("brakes.pipes",))
    assert (unseen["decision"]["buy"], unseen["decision"]["drive"]) == ("up_to", "not_cleared")
    no_lift = judged({"brakes.pipes": {"grade": "uninspected", "why": "no lift"}})
    assert (no_lift["decision"]["buy"], no_lift["decision"]["drive"]) == ("up_to", "not_cleared")
    assert steps(no_lift)[0] == "Line up a trailer."


def test_a_reading_that_may_mean_two_things_is_asked_and_is_not_fine() -> None:
    play = {"readings": {"play": {"typed": "6", "unit": "in"}}}
    doubtful = judged({"steering.free-play": {**play, "grade": "none", "why": "old car"}})
    assert (doubtful["decision"]["buy"], doubtful["decision"]["drive"]) == ("up_to", "not_cleared")
    assert not re.search(r"\bOK\b", heard(doubtful))
    assert steps(doubtful)[0].startswith("Free play at the rim: 6 in or 6 mm?")
    unseen = judged(without=("steering.free-play",))
    assert doubtful["money"]["price"]["walk_away"] == unseen["money"]["price"]["walk_away"]


def test_whoever_walks_away_needs_no_trailer() -> None:
    junk = judged({"papers.title-brands": "junk"})
    assert heard(junk) == (
        "Walk away. Title brands: Junk, parts-only or non-repairable title. Thank them and go."
    )


def test_nobody_is_told_to_drive_home_what_is_not_cleared() -> None:
    lien = judged({"papers.lien": "open"})
    assert heard(lien) == (
        "Don't buy it until this is cleared. Lien and its release: Lien not released."
    )
    leaking = judged({"papers.lien": "open", "brakes.pipes": "leaks"})
    assert heard(leaking) == (
        "Don't buy it until this is cleared. Lien and its release: Lien not released. "
        "Trailer it. Brake lines: Line leaks, or about to burst."
    )


def test_a_danger_comes_before_how_little_was_seen() -> None:
    leaking = judged({"brakes.pipes": "leaks"}, rest="unchecked")
    assert heard(leaking).startswith(
        "Trailer it. Brake lines: Line leaks, or about to burst. Haven't seen enough to say."
    )


def test_every_danger_that_somebody_called_milder_is_named() -> None:
    treads = {"readings": {"tread": {"unit": "mm", "at": TREADS}}, "grade": "none", "why": "fine"}
    milder = judged(
        {
            "brakes.pipes": {"choice": "leaks", "grade": "none", "why": "just dirt"},
            "tyres.tread": treads,
        }
    )
    assert "Brake lines: measured" in heard(milder)
    assert "Tread depth: measured" in heard(milder)
    price = milder["money"]["price"]
    assert price["opening"] < price["asking"]


def test_a_brand_is_a_reason_to_offer_less_than_is_asked() -> None:
    rebuilt = judged({"papers.title-brands": "rebuilt"}, asked=3000)["money"]["price"]
    assert rebuilt["walk_away"] > 3000 > rebuilt["opening"]


def test_the_first_offer_leaves_room_below_the_top_price() -> None:
    for asked in (6000, 20000):
        price = judged(asked=asked)["money"]["price"]
        assert price["opening"] < price["walk_away"]


def test_a_car_without_a_fault_is_not_walked_away_from() -> None:
    """Half is seen and fine: what is held for the rest is no reason to call it worthless."""
    unseen = tuple(i for i in real()["rules"]["items"] if i.startswith(("upkeep.", "rust.")))
    half = judged(without=unseen, value=4200, asked=2500)
    assert half["money"]["price"]["bound"] > 2500
    assert (half["decision"]["buy"], half["money"]["price"]["walk_away"]) == ("too_little", None)


def test_twelve_volts_are_no_reading_of_a_six_volt_battery() -> None:
    rest = {"electrical.rest-voltage": {"readings": {"rest": {"typed": "12.6", "unit": "V"}}}}
    six = judged(rest, cells={"car/volts": cell("6"), "car/year": cell(1951)})
    assert six["items"]["electrical.rest-voltage"]["grade"] == "minor"


def test_three_equal_numbers_pass_and_two_of_three_say_what_is_missing() -> None:
    number = "1M8GDM9AXKP042788"  # the worked example of a check digit: from memory
    of = {"body": number, "plate": number, "papers": number}
    year = {"car/year": cell(1989)}
    item = "papers.number-match"
    whole = judged({item: {"readings": {"vin": {"at": of}}}}, cells=year)["items"][item]
    assert whole["grade"] == "none"
    del of["plate"]
    part = judged({item: {"readings": {"vin": {"at": of}}}}, cells=year)["items"][item]
    assert (part["state"], [p["code"] for p in part["problems"]]) == ("open", ["incomplete"])


def test_one_open_check_is_one() -> None:
    one = said(judged(without=("papers.lien",))["next"]["said"], real()["rules"], "us")
    assert one == "In 15 min: the one open check, 0.3 min."


def test_a_question_within_a_check_is_asked_with_its_name() -> None:
    treads = {"readings": {"tread": {"unit": "in/32", "at": dict.fromkeys(TREADS, "2")}}}
    (well, *_) = real()["rules"]["items"]["tyres.tread"]["choices"]
    asked = judged({"tyres.tread": {**treads, "choice": well["id"]}})
    assert steps(asked)[0].startswith("Tread depth: The answer says OK, and the reading says")


def test_two_people_who_disagree_hear_of_it() -> None:
    grades = {"value": {"grade": "none"}, "at": "3", "others": [
        {"value": {"grade": "dangerous"}, "at": "2", "unseen": True}]}  # fmt: skip
    two = judged(cells={"items/brakes.pipes/grade": grades})
    assert two["decision"]["drive"] == "trailer"
    assert steps(two)[0].startswith("Brake lines: two of you answered it differently.")


def test_whether_the_engine_is_cold_is_asked_first_while_it_matters() -> None:
    assert judged(rest="unchecked")["next"]["items"][0]["item"] == "engine.cold-first"
    ran = judged({"engine.start": "at-once"}, rest="unchecked")["next"]["items"]
    assert "engine.cold-first" not in [check["item"] for check in ran]


@pytest.mark.parametrize(
    ("item", "choice"),
    [("lamps.stop", "one"), ("lamps.stop", "none"), ("tyres.nuts", "missing"),
     ("fluids.ground", "pool"), ("papers.receipts", "none"), ("fluids.cardboard", "fuel")],
)  # fmt: skip
def test_nothing_grave_goes_with_a_plain_yes(item: str, choice: str) -> None:
    grave = judged({item: choice})
    assert grave["decision"]["buy"] == "up_to"
    price = grave["money"]["price"]
    assert price["opening"] < price["asking"] or item == "papers.receipts"


def test_where_nobody_may_sit_is_said_with_the_drive() -> None:
    assert heard(judged({"interior.belts-rear": "fails"})).startswith(
        "Drive it home. Until that's fixed: nobody in the rear seat. Rear seat belts: "
    )


def test_what_may_have_happened_to_the_car_is_said_where_it_lowers_the_worth() -> None:
    flood = {"accident.silt": "silt", "interior.seat-rails": "corroded", "interior.smell": "musty"}
    wet = judged(flood)
    assert "Flood, strong signs: " in heard(wet)
    assert "It lowers what the car is worth." in heard(wet)
    thick = judged({"accident.paint-film": "minor", "accident.magnet": "minor"}, asked=1000)
    assert thick["decision"]["buy"] == "up_to"
    branded = judged({**flood, "papers.title-brands": "flood"})
    assert heard(branded).count("It lowers what the car is worth.") == 1


@pytest.mark.parametrize(
    ("item", "choice"),
    [("papers.debts", "hit"), ("papers.title-brands", "junk"), ("accident.water", "flood"),
     ("papers.lien", "open"), ("papers.number-match", "differs")],
)  # fmt: skip
def test_a_word_clears_no_deal(item: str, choice: str) -> None:
    believed = judged({item: {"choice": choice, "grade": "none", "why": "seller says so"}})
    assert believed["decision"]["buy"] == "not_until"
    assert believed["money"]["price"]["walk_away"] is None
    assert heard(believed).startswith("Don't buy it until this is cleared. ")
    assert "but called “OK”: seller says so." in heard(believed)


def test_what_stops_the_deal_and_what_is_unsafe_are_both_named() -> None:
    many = judged(
        {"papers.lien": "open", "papers.number-match": "differs", "papers.odometer": "falls",
         "brakes.pipes": "leaks"}
    )  # fmt: skip
    assert heard(many) == (
        "Don't buy it until this is cleared. Lien and its release: Lien not released. "
        "VIN in every place: VINs differ. Odometer history: Mileage drops somewhere. "
        "Trailer it. Brake lines: Line leaks, or about to burst."
    )


def test_two_findings_that_are_worse_together_are_said_once() -> None:
    hot = judged({"road.temperature": "swings", "fluids.coolant": "water"})
    assert heard(hot).count("Weak cooling") == 1


def test_one_sign_alone_accuses_nobody() -> None:
    assert "Crash" not in heard(judged({"interior.airbag-lamp": "on"}))


def test_a_name_before_words_that_begin_with_it_is_said_once() -> None:
    said_of = heard(judged({"steering.assist": "dead"}))
    assert "Power steering dead" in said_of
    assert "Power steering: Power steering" not in said_of
