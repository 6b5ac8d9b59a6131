"""From a record to causes, next tests and the repair: hand-worked, by property, over all tables.

What the trade would do: common practice, no source.
"""

from __future__ import annotations

import json
from functools import cache
from itertools import cycle, product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge import assess, visit_facts
from bradawl.judge.record.regions import rules_in
from bradawl.judge.trouble import chances, repairs, view
from bradawl.judge.trouble.door import json_api
from bradawl.judge.trouble.evidence import items_named
from tests.amount import amount
from tests.checkout import checklist_bundle
from tests.judge.trouble.test_chances import posterior, tables

TODAY = "2026-11-30"
CARS = {
    "injected": {"fuel": "petrol", "fuelling": "injection", "front_brakes": "disc",
                 "rear_brakes": "drum", "gearbox": "manual", "drive": "rear", "steering": "rack"},
    "carbureted": {"fuel": "petrol", "fuelling": "carburettor", "front_brakes": "drum",
                   "rear_brakes": "drum", "gearbox": "automatic", "drive": "rear",
                   "steering": "box", "year": 1965},
    "diesel": {"fuel": "diesel", "fuelling": "injection", "front_brakes": "disc",
               "rear_brakes": "disc", "gearbox": "manual", "drive": "front", "steering": "rack"},
}  # fmt: skip
Cells = dict[str, Any]


@cache
def checklist() -> dict[str, Any]:
    return checklist_bundle()


def symptoms() -> dict[str, Any]:
    return {row["id"]: row for row in checklist()["symptoms"]}


def record(car: str = "injected", **values: Any) -> Cells:
    """A record of these values, each later than the one before; `__` stands for a slash."""
    written = {f"car/{key}": value for key, value in CARS[car].items()}
    written |= {key.replace("__", "/"): value for key, value in values.items()}
    return cells_of(written)


def cells_of(written: dict[str, Any]) -> Cells:
    return {
        path: {"value": value, "at": f"{n:015d}-00000-{'a' * 32}", "others": []}
        for n, (path, value) in enumerate(written.items())
    }


def look(name: str, cells: Cells) -> Any:
    facts = visit_facts(cells, TODAY)
    return view.complaint(
        symptoms()[name], cells, rules_in(checklist()["rules"], facts["region"]), facts
    )


def standings(seen: Any) -> dict[str, str]:
    return {row["id"]: row["standing"] for row in seen["causes"]}


def hold(**readings: str) -> dict[str, Any]:
    return {
        f"items/fuel.pressure-hold/readings/{name}/one": {
            "typed": typed, "unit": "min" if name == "hold_time" else "psi",
        }
        for name, typed in readings.items()
    }  # fmt: skip


def test_what_was_measured_at_the_rail_is_evidence_and_says_where_it_comes_from() -> None:
    cells = record(
        **hold(hold_start="36", hold_end="20", hold_time="5", clamp_return="21", clamp_supply="35")
    )
    seen = look("rest-pressure", cells)
    (row,) = [row for row in seen["known"] if row["test"] == "clamp-supply"]
    assert (row["by"], row["outcome"], row["item"]) == ("record", "holds", "fuel.pressure-hold")
    assert row["said"]["id"] == "judge-trouble-measured"
    assert row["said"]["args"]["name"] == {"fact": "leak"}
    assert row["at"] == max(cell["at"] for path, cell in cells.items() if "hold" in path)
    assert standings(seen)["pump-valve"] == "likely"
    assert "clamp-supply" not in [offer["id"] for offer in seen["next"]]


def test_the_finding_of_a_cause_is_no_evidence_for_it_and_changes_nobodys_reading() -> None:
    cells = record(**hold(hold_start="36", hold_end="20", hold_time="5", clamp_supply="35"))
    before = look("rest-pressure", cells)["known"]
    facts = visit_facts(cells, TODAY)
    rules = rules_in(checklist()["rules"], facts["region"])
    puts = repairs.puts_of(symptoms()["rest-pressure"], "pump-valve", "major", cells, rules, facts)
    later = cells_of({row["put"]: row["value"] for row in puts})
    for cell in later.values():
        cell["at"] = f"9{cell['at'][1:]}"
    assert look("rest-pressure", {**cells, **later})["known"] == before
    # a caliper found for one complaint says nothing twice there, and does count for another
    brake = record()
    puts = repairs.puts_of(symptoms()["hard-pedal"], "caliper", "major", brake, rules, facts)
    after = {**brake, **cells_of({row["put"]: row["value"] for row in puts})}
    assert look("hard-pedal", after)["known"] == []


def test_a_sensor_that_was_measured_sound_is_not_asked_to_be_bridged_first() -> None:
    # 2,500 ohm at 20 degC: the common 2.5 kOhm sensor (tests/vectors)
    sound = {
        "items/cooling.sensor/readings/resistance/one": {"typed": "2500", "unit": "ohm"},
        "items/cooling.sensor/readings/temperature/one": {"typed": "20", "unit": "degC"},
    }
    assert look("rich", record())["next"][0]["id"] == "sensor-plug"
    seen = look("rich", record(**sound))
    assert [row["outcome"] for row in seen["known"]] == ["right"]
    assert standings(seen)["coolant-sensor"] == "unlikely"
    assert seen["next"][0]["id"] != "sensor-plug"


def test_what_somebody_said_at_the_test_holds_and_the_record_is_told_beside_it() -> None:
    measured = hold(hold_start="36", hold_end="35", hold_time="5")
    cells = record(**measured, **{"trouble/hot-start/tests/hold": {"outcome": "falls"}})
    (row,) = [row for row in look("hot-start", cells)["known"] if row["test"] == "hold"]
    assert (row["by"], row["outcome"], row["other"]["outcome"]) == ("person", "falls", "holds")


def test_what_the_car_does_not_have_is_ruled_out_and_its_tests_are_passed_over() -> None:
    seen = look("smoke-black", record("injected"))
    assert standings(seen)["choke"] == "ruled_out"
    (choke,) = [row for row in seen["causes"] if row["id"] == "choke"]
    assert (choke["ruled_out"]["by"], choke["tenths"]) == ("car", 0)
    assert standings(look("smoke-black", record("carbureted")))["choke"] != "ruled_out"
    # a carbureted engine has no coolant sensor to measure
    passed = {row["id"]: row["why"] for row in look("smoke-black", record("carbureted"))["passed"]}
    assert passed["sensor"] == "car"


def test_a_person_rules_a_cause_out_with_a_reason_and_brings_it_back() -> None:
    path = "trouble/rest-pressure/causes/regulator"
    out = record(**{path: {"state": "ruled_out", "why": "new last week"}})
    seen = look("rest-pressure", out)
    last = seen["causes"][-1]
    assert (last["id"], last["standing"], last["tenths"]) == ("regulator", "ruled_out", 0)
    assert last["ruled_out"] == {"by": "person", "at": out[path]["at"], "why": "new last week"}
    # by hand: 35 of 35 + 20 + 5 is 58.3 %
    assert seen["causes"][0]["tenths"] == 583
    assert standings(look("rest-pressure", record(**{path: None})))["regulator"] != "ruled_out"


def test_a_tool_that_is_not_there_passes_its_tests_over() -> None:
    without = record(**{"trouble/tools/fuel-gauge": "missing"})
    seen = look("rest-pressure", without)
    lacking = {row["id"]: row["tools"] for row in seen["passed"] if row["why"] == "tool"}
    assert set(lacking) == {"clamp-return", "clamp-supply"}
    skipped = record(**{"trouble/rest-pressure/skipped/look": True})
    assert {"id": "look", "why": "skipped", "tools": []} in look("rest-pressure", skipped)["passed"]


def test_a_test_says_which_causes_it_tells_apart() -> None:
    tells = {row["id"]: row["tells"] for row in look("rest-pressure", record())["next"]}
    assert tells["clamp-return"]["id"] == "judge-trouble-tells-whether"
    assert tells["clamp-return"]["args"]["cause"]["checklist"][2] == "regulator"
    tells = {row["id"]: row["tells"] for row in look("clunks", record())["next"]}
    assert tells["when"]["id"] == "judge-trouble-tells-apart"


@pytest.mark.parametrize(
    ("weight", "total", "word"),
    [(50, 100, "likely"), (499, 1000, "possible"), (10, 100, "possible"), (99, 1000, "unlikely"),
     (1, 100, "unlikely"), (9, 1000, "against"), (0, 10, "against")],
)  # fmt: skip
def test_the_words_begin_where_they_say(weight: int, total: int, word: str) -> None:
    assert chances.standing(weight, total) == word


@pytest.mark.parametrize("car", CARS)
@pytest.mark.parametrize("name", sorted(row["id"] for row in checklist_bundle()["symptoms"]))
def test_the_bill_charges_the_repair_of_the_cause_and_no_other(car: str, name: str) -> None:
    """Every cause of every table; in `make proof` on one car at every grade that it may be given,
    in `make test` at one, each cause at another."""
    cells = record(car)
    every = car == "injected" and amount(1, short=0)
    for number, cause in enumerate(look(name, cells)["causes"]):
        if cause["standing"] == "ruled_out":
            continue
        one = number % max(1, len(cause["grades"]))
        for grade in cause["grades"] if every else cause["grades"][one:][:1]:
            facts = visit_facts(cells, TODAY)
            rules = rules_in(checklist()["rules"], facts["region"])
            puts = repairs.puts_of(symptoms()[name], cause["id"], grade, cells, rules, facts)
            after = {**cells, **cells_of({row["put"]: row["value"] for row in puts})}
            judged = assess({"visit": "v", "cells": after}, checklist()["rules"], TODAY)
            lines = {line["id"]: line for line in judged["money"]["lines"]}
            if cause["repair"] is None:
                assert f"wants/{name}-{cause['id']}" in lines
                continue
            item, repair = cause["repair"]["item"], cause["repair"]["id"]
            assert judged["items"][item]["grade"] == grade
            assert judged["items"][item]["problems"] == []
            # what is due anyway may put it right as well, and is no repair of it
            mends = [
                line
                for line in lines.values()
                if item in line["covers"] and line["kind"] != "maintenance"
            ]
            part_of = [row["id"] for row in judged["baseline"] if repair in row["does"]]
            if part_of and f"baseline/{part_of[0]}" in lines:  # paid once, with what is due
                assert item in lines[f"baseline/{part_of[0]}"]["covers"]
                assert mends == []
                continue
            assert [line["id"] for line in mends] == [repair], (cause["id"], grade)
            assert mends[0]["cost"] == cause["repair"]["cost"]
            assert item not in judged["money"]["unpriced"]


def test_a_pump_valve_that_was_found_is_charged_though_the_rail_was_measured_empty() -> None:
    """The finding that was there before the diagnosis asked for a regulator."""
    cells = record(**hold(hold_start="36", hold_end="0", hold_time="5", clamp_supply="35"))
    before = assess({"visit": "v", "cells": cells}, checklist()["rules"], TODAY)
    assert "fuel.pressure-hold/regulator" in [line["id"] for line in before["money"]["lines"]]
    facts = visit_facts(cells, TODAY)
    rules = rules_in(checklist()["rules"], facts["region"])
    table = symptoms()["rest-pressure"]
    puts = repairs.puts_of(table, "pump-valve", "major", cells, rules, facts)
    after = {**cells, **cells_of({row["put"]: row["value"] for row in puts})}
    judged = assess({"visit": "v", "cells": after}, checklist()["rules"], TODAY)
    lines = [line["id"] for line in judged["money"]["lines"]]
    assert "fuel.pressure-hold/pump" in lines
    assert "fuel.pressure-hold/regulator" not in lines
    # found again it records nothing; taken back the bill is as it was
    assert repairs.puts_of(table, "pump-valve", "major", after, rules, facts) == []
    back = repairs.taken_back(table, "pump-valve", after)
    undone = {**after, **cells_of({row["put"]: row["value"] for row in back})}
    again = assess({"visit": "v", "cells": undone}, checklist()["rules"], TODAY)
    assert again["money"]["lines"] == before["money"]["lines"]


def test_an_item_is_judged_anew_when_anything_it_was_made_of_changes() -> None:
    """What was judged is kept between two taps; a reading, the car or the day ends that."""
    held = hold(hold_start="36", hold_end="35", hold_time="5")
    fallen = hold(hold_start="36", hold_end="2", hold_time="5")
    outcomes = []
    for cells in (held, held, fallen, held):
        rows = look("hot-start", record(**cells))["known"]
        outcomes.append([row["outcome"] for row in rows if row["test"] == "hold"])
    assert outcomes[0] == outcomes[1] == outcomes[3] != outcomes[2]
    # the very same cells under other facts of the car: a rail without a return
    before = look("hot-start", record(**held))["known"]
    look("hot-start", record(**held, **{"car/fuel_return": "returnless"}))
    assert look("hot-start", record(**held))["known"] == before


def billed(name: str, cause: str, **more: Any) -> dict[str, Any]:
    """The lines of the bill by id, once that cause was found."""
    cells = record(**more)
    facts = visit_facts(cells, TODAY)
    rules = rules_in(checklist()["rules"], facts["region"])
    puts = repairs.puts_of(symptoms()[name], cause, "major", cells, rules, facts)
    after = {**cells, **cells_of({row["put"]: row["value"] for row in puts})}
    judged = assess({"visit": "v", "cells": after}, checklist()["rules"], TODAY)
    return {line["id"]: line for line in judged["money"]["lines"]}


DUE = {"items/upkeep.filters/choice": "claimed"}
PROVEN = {
    "items/upkeep.filters/choice": "documented",
    "items/upkeep.filters/readings/done_on/one": {"typed": "2026-05-01", "unit": ""},
}


def test_a_repair_that_is_part_of_due_maintenance_is_charged_once() -> None:
    """A fuel filter was found clogged, and the filters are due anyway: one filter."""
    due, proven = (billed("misfire", "fuel", **more) for more in (DUE, PROVEN))
    assert "fuel.regulator/filter" in proven
    assert "baseline/filters" not in proven
    assert "fuel.regulator" in due["baseline/filters"]["covers"]
    assert "fuel.regulator/filter" not in due


def test_maintenance_that_a_repair_does_as_well_is_charged_once() -> None:
    """New oil in the transmission is what was found and what is due."""
    lines = billed("hard-shifting", "oil", **{"items/upkeep.gearbox-oil/choice": "unknown"})
    assert "upkeep.gearbox-oil" in lines["road.gears/oil"]["covers"]
    assert "baseline/gearbox-oil" not in lines


def test_readings_are_kept_before_and_after_with_their_conditions() -> None:
    table = {**symptoms()["rest-pressure"]}
    rail = {"id": "rail", "title": "Rail", "quantity": "pressure", "units": ["psi"]}
    test = {**table["tests"][2], "measures": [rail]}
    table["tests"] = [*table["tests"][:2], test, *table["tests"][3:]]
    start = f"trouble/rest-pressure/readings/{test['id']}/rail"
    hot = {"engine": "hot", "hose": "off"}
    cells = record(
        **{
            f"{start}/1": {"typed": "36", "unit": "psi", "conditions": hot, "minute": "0"},
            f"{start}/2": {"typed": "2", "unit": "psi", "conditions": hot, "minute": "10"},
            f"{start}/3": {"typed": "35", "unit": "psi", "phase": "after", "minute": "10"},
            f"{start}/4": {"typed": "much", "unit": "psi"},
            f"trouble/rest-pressure/tests/{test['id']}": {"outcome": "falls"},
            f"trouble/rest-pressure/after/{test['id']}": {"outcome": "holds"},
        }
    )
    facts = visit_facts(cells, TODAY)
    seen = view.complaint(table, cells, rules_in(checklist()["rules"], "us"), facts)
    (series,) = seen["repeats"]
    assert [point["phase"] for point in series["points"]] == ["before", "before", "after"]
    # 1 psi is 6.894757 kPa (NIST SP 811)
    assert [point["number"] for point in series["points"]] == ["248.211", "13.79", "241.317"]
    assert series["points"][0]["conditions"] == hot
    assert [(row["before"], row["after"]) for row in seen["after"]] == [("falls", "holds")]


def test_the_door_answers_as_the_functions_do_and_refuses_what_it_has_not_loaded() -> None:
    cells = record(**hold(hold_start="36", hold_end="20", hold_time="5"))
    ask = {"bundle": "b", "complaint": "rest-pressure", "cells": cells, "today": TODAY}

    def answer(**question: Any) -> Any:
        return json.loads(json_api.ask(json.dumps(question)))

    answer(ask="load", bundle="b", rules=checklist()["rules"], start=True)
    refused = answer(ask="complaint", **{**ask, "complaint": "unheard-of"})
    assert refused["error"] == {"code": "not_loaded", "about": "unheard-of"}
    answer(ask="complaint_load", bundle="b", symptom=symptoms()["rest-pressure"])
    assert answer(ask="complaint", **ask)["complaint"] == look("rest-pressure", cells)
    puts = answer(ask="complaint_found", cause="pump-valve", grade="major", **ask)["puts"]
    assert puts[-1] == {
        "put": "plan/pick/fuel.pressure-hold", "value": "fuel.pressure-hold/pump",
    }  # fmt: skip


def test_the_door_knows_of_the_rules_what_any_table_asks_of_them() -> None:
    """A door that holds the rules of a table's own items alone answers as with all of them."""
    rules = checklist()["rules"]
    text = json.dumps({"ask": "load", "bundle": "all", "rules": rules, "start": True})
    json_api.ask(text)
    kinds = list(product(CARS, ("us", "eu")))
    for number, (name, table) in enumerate(symptoms().items()):
        json_api.ask(json.dumps({"ask": "complaint_load", "bundle": "all", "symptom": table}))
        grades = zip(items_named(table), cycle(("major", "none", "minor")), strict=False)
        rated = {f"items/{item}/grade": {"grade": grade} for item, grade in grades}
        # in `make proof` each table with each car in each region
        for car, region in kinds if amount(1, short=0) else [kinds[number % len(kinds)]]:
            cells = record(car) | cells_of({"about/region": region, **rated})
            ask = {"bundle": "all", "complaint": name, "cells": cells, "today": TODAY}
            answer = json.loads(json_api.ask(json.dumps({"ask": "complaint", **ask})))
            assert answer["complaint"] == json.loads(json.dumps(look(name, cells))), name


Held = tuple[dict[str, Any], dict[str, str]]


@given(tables())
@settings(max_examples=150, deadline=None, derandomize=True)
def test_every_offered_test_can_change_something_and_every_other_cannot(held: Held) -> None:
    table, results = held
    offered = {row["id"] for row in chances.next_tests(table, results)}
    before = posterior(table, results)

    def picture(shares: dict[str, Any]) -> Any:
        order = sorted(shares, key=lambda name: (-shares[name], name))
        edges = (0.01, 0.1, 0.5)
        return order, {name: sum(100 * shares[name] >= 100 * e for e in edges) for name in shares}

    for test in table["tests"]:
        if test["id"] in results:
            continue
        pictures = [
            picture(posterior(table, {**results, test["id"]: outcome["id"]}))
            for outcome in test["outcomes"]
        ]
        changes = any(one != picture(before) for one in pictures)
        assert changes == (test["id"] in offered), test["id"]


@given(tables(), st.randoms())
@settings(max_examples=80, deadline=None, derandomize=True)
def test_the_order_of_tests_does_not_matter(held: Held, dice: Any) -> None:
    table, results = held
    shuffled = list(results.items())
    dice.shuffle(shuffled)
    assert chances.rank(table, dict(shuffled)) == chances.rank(table, results)


@given(tables(), st.data())
@settings(max_examples=120, deadline=None, derandomize=True)
def test_evidence_for_the_true_cause_never_lowers_it_and_none_makes_it_impossible(
    held: Held, data: st.DataObject
) -> None:
    table, results = held
    true = data.draw(st.sampled_from([cause["id"] for cause in table["causes"]]))
    shares = {row["id"]: row["tenths"] for row in chances.rank(table, results)}
    assert all(weight > 0 for weight in chances.weigh(table, results).values())
    for test in table["tests"]:
        if test["id"] in results:
            continue
        for place, outcome in enumerate(test["outcomes"]):
            rows = {
                cause["id"]: test["likely"].get(cause["id"], test["likely"]["other"])[place]
                for cause in table["causes"]
            }
            if rows[true] == max(rows.values()):  # nothing contradicts it
                more = {**results, test["id"]: outcome["id"]}
                after = {row["id"]: row["tenths"] for row in chances.rank(table, more)}
                assert after[true] >= shares[true]


def test_a_cause_that_is_ruled_out_has_no_share_and_no_test_is_offered_for_none() -> None:
    table = symptoms()["rest-pressure"]
    everything = {cause["id"]: True for cause in table["causes"]}
    assert {row["tenths"] for row in chances.rank(table, {}, everything)} == {0}
    assert chances.next_tests(table, {}, everything) == []
    left = {name: True for name in everything if name != "regulator"}
    assert chances.next_tests(table, {}, left) == []
