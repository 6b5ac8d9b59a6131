"""What a visit asks, in which order, and what it never leaves out."""

from __future__ import annotations

from fractions import Fraction
from typing import Any, get_args

import pint
import pytest

from bradawl.checklists.files import Checklist
from bradawl.checklists.shapes.items import Item
from bradawl.checklists.shapes.vocabulary import STAGES, Stage
from bradawl.judge import assessment
from bradawl.judge.assessment import STAGES as WALKED
from bradawl.judge.assessment import walk
from bradawl.judge.decisions.check_plan import minutes_alone
from bradawl.judge.decisions.next_checks import what_next
from bradawl.judge.record.regions import rules_in
from bradawl.judge.record.visit_facts import visit_facts
from tests.checklists.judging import assessed

# The usual car of the issue: about 1990, petrol injection, discs before drums, unibody, everyday.
USUAL: dict[str, Any] = {
    "car/fuel": "petrol",
    "car/fuelling": "injection",
    "car/front_brakes": "disc",
    "car/rear_brakes": "drum",
    "car/structure": "unibody",
    "car/year": 1990,
    "brief/uses": ["everyday"],
}
KNOWN = {
    **USUAL,
    "car/gearbox": "manual",
    "car/drive": "front",
    "car/steering": "rack",
    "car/assist": "power",
    "car/airbags": "no",
    "car/catalyst": "yes",
    "car/aircon": "no",
    "car/cylinders": 4,
    "car/charging": "alternator",
    "car/ignition": "electronic",
    "car/circuits": "dual",
}


def asked(bundled: dict[str, Any], values: dict[str, Any]) -> set[str]:
    items = assessed(bundled, values)["items"]
    return {item for item, judged in items.items() if judged["asked"]}


def test_files_and_judge_know_the_same_stages_in_one_order() -> None:
    assert list(STAGES) == list(assessment.STAGES) == list(get_args(Stage))


def test_there_are_at_least_220_items(checklist: Checklist) -> None:
    assert len(checklist.items) >= 220


@pytest.mark.parametrize("car", [USUAL, KNOWN], ids=["as the issue says", "every fact known"])
def test_a_default_visit_asks_110_to_136_items(
    car: dict[str, Any], bundled: dict[str, Any]
) -> None:
    assert 110 <= len(asked(bundled, car)) <= 136


def planned(bundled: dict[str, Any], car: dict[str, Any], minutes: str) -> dict[str, Any]:
    rules = rules_in(bundled["rules"], "us")
    chosen = asked(bundled, car)
    order = [item for item in walk(rules) if item in chosen]
    facts = visit_facts({}, "2026-11-30")
    states = dict.fromkeys(order, "open")
    return what_next(order, states, rules, facts, minutes, "not_cleared", None)


@pytest.mark.parametrize(
    ("car", "minutes"),
    [
        pytest.param(KNOWN, "60", id="every fact known"),
        # rack and box, belts and bags, front and rear drive are all asked until somebody says
        pytest.param(USUAL, "65", id="as the issue says"),
    ],
)
def test_an_hour_is_enough_for_all_that_the_drive_home_depends_on(
    car: dict[str, Any], minutes: str, bundled: dict[str, Any]
) -> None:
    plan = planned(bundled, car, minutes)
    chosen = {row["item"] for row in plan["items"]}
    rules = bundled["rules"]["items"]
    left = asked(bundled, car) - chosen
    assert {item for item in left if rules[item].get("drive") == "essential"} == set()
    assert len(chosen) >= 70


def test_all_of_a_default_visit_takes_less_than_two_hours_with_typing(
    bundled: dict[str, Any],
) -> None:
    plan = planned(bundled, KNOWN, "600")
    assert float(plan["total_minutes"]) <= 110


def test_a_thorough_visit_asks_for_the_rest(bundled: dict[str, Any]) -> None:
    thorough = asked(bundled, {**KNOWN, "about/depth": "thorough"})
    assert asked(bundled, KNOWN) < thorough
    assert len(thorough) > 200


@pytest.mark.parametrize(
    ("fact", "there", "not_there"),
    [
        ({"car/fuelling": "carburettor"}, "fuel.carburettor", "fuel.pump-sound"),
        ({"car/rear_brakes": "disc"}, "brakes.rear-discs", "brakes.rear-drums"),
        ({"car/front_brakes": "drum"}, "brakes.front-drums", "brakes.front-pads"),
        ({"car/structure": "frame"}, "rust.frame", "rust.rails"),
        ({"car/steering": "box"}, "steering.idler", "bushings.steering-rack"),
        ({"car/drive": "rear"}, "transmission.propeller-shaft", "transmission.shaft-boots"),
        ({"car/fuel": "diesel"}, "fuel.diesel-injection", "upkeep.plugs"),
        ({"car/airbags": "yes"}, "interior.airbag-lamp", "fluids.automatic"),
        ({"car/year": 1965}, "upkeep.grease-points", "engine.warning-lamp"),
        ({"brief/uses": ["track"]}, "equipment.track-fitness", "fuel.carburettor"),
        ({"brief/uses": ["project"]}, "equipment.can-be-loaded", "equipment.track-fitness"),
    ],
)
def test_the_car_and_the_purpose_decide_what_is_asked(
    fact: dict[str, Any], there: str, not_there: str, bundled: dict[str, Any]
) -> None:
    usual = asked(bundled, KNOWN)
    other = asked(bundled, {**KNOWN, **fact})
    assert there in other - usual
    assert not_there not in other


def test_a_fact_that_nobody_recorded_leaves_both_kinds_to_look_at(bundled: dict[str, Any]) -> None:
    unknown = asked(bundled, {})
    assert {"brakes.rear-discs", "brakes.rear-drums", "rust.frame", "rust.rails"} <= unknown


def test_an_implied_item_is_not_asked(bundled: dict[str, Any]) -> None:
    sides = ("front-wing", "front-door", "rear-door", "rear-wing")
    panels = ["roof", "bonnet", "boot-lid", *(f"{p}-{s}" for p in sides for s in ("left", "right"))]
    films = {f"{panel}-1": "110" for panel in panels}
    readings = {
        f"items/accident.paint-film/readings/film/{place}": {"typed": typed, "unit": "um"}
        for place, typed in films.items()
    }
    values = {**KNOWN, "about/depth": "thorough", **readings}
    magnet = assessed(bundled, values)["items"]["accident.magnet"]
    assert (magnet["state"], magnet["by"]) == ("done", "implied")


def test_items_of_a_bundle_follow_the_walk(bundled: dict[str, Any]) -> None:
    order = list(STAGES)
    stages = [order.index(item["stage"]) for item in bundled["items"]]
    assert stages == sorted(stages)
    assert [item["id"] for item in bundled["items"]] == walk(bundled["rules"])


# --- ten, twenty-five minutes: what a person alone has seen by then -------------------------------
# All minutes are our own assumptions (assumptions.yaml, `minutes` of the items), no source.


def seen_by(bundled: dict[str, Any], minutes: int) -> list[str]:
    """What of a usual visit is done by then, walked in order, setting up and typing included."""
    rules = bundled["rules"]
    chosen = asked(bundled, KNOWN)
    time, begun, seen = Fraction(0), set[str](), list[str]()
    for item in (name for name in walk(rules) if name in chosen):
        rule = rules["items"][item]
        time += Fraction(*minutes_alone(rule, rules))
        if rule["stage"] not in begun:
            time += Fraction(rules["attention"]["setup"].get(rule["stage"], "0"))
            begun.add(rule["stage"])
        if time > minutes:
            break
        seen.append(item)
    return seen


def test_the_first_ten_minutes_end_most_visits(bundled: dict[str, Any]) -> None:
    seen = seen_by(bundled, 10)
    assert seen[0] == "engine.cold-first"  # nobody can ask that later
    assert {
        *("fluids.ground", "fluids.fuel-leak", "accident.water"),  # under the car; smell
        *("papers.registration", "papers.title-brands", "papers.lien"),  # deal breakers
        *("papers.number-match", "papers.debts"),  # VIN against title; theft, loan, total loss
        *("rust.sills", "rodents.battery-lead"),  # the worst of rust and wires
    } <= set(seen)


def test_twenty_five_minutes_hold_what_the_drive_depends_on_and_needs_no_lifting(
    bundled: dict[str, Any],
) -> None:
    rules = bundled["rules"]["items"]
    standing = {
        item
        for item in asked(bundled, KNOWN)
        if rules[item].get("drive") == "essential"
        and rules[item]["stage"] not in ("underneath", "road", "hot")
        and "engine.start" not in rules[item].get("needs", [])
    } - {"lamps.stop"}
    assert len(standing) >= 20
    seen = seen_by(bundled, 25)
    assert standing <= set(seen)
    # and the engine was heard, which decides more of the price than anything else
    assert {"engine.start", "engine.noise", "engine.smoke-start"} <= set(seen)
    running = {item for item in asked(bundled, KNOWN) if rules[item].get("drive") == "essential"
               and rules[item]["stage"] == "start"}  # fmt: skip
    assert running <= set(seen_by(bundled, 30))


def test_what_wants_a_cold_engine_comes_before_the_engine_runs(bundled: dict[str, Any]) -> None:
    order = walk(bundled["rules"])
    running = order.index("engine.start")
    rules = bundled["rules"]["items"]
    assert [item for item in order[running:] if rules[item].get("cold")] == []


# --- what can hurt carries its caution (common practice, no source) --------------------------

MUST = [
    (lambda i: i.stage == "underneath", {"under-car", "jacking"}),
    (lambda i: i.stage == "road", {"road"}),
    (lambda i: "wheel off the ground" in words(i), {"jacking"}),
    (lambda i: i.id.startswith("fuel."), {"fuel", "fuel-pressure"}),
    (lambda i: i.id in ("fluids.fuel-leak", "rodents.hoses"), {"fuel"}),
    (lambda i: "airbag" in i.title.lower() or "pretensioner" in i.title.lower(), {"airbag"}),
    (
        lambda i: i.id.startswith("electrical.") and "battery" in i.where,
        {"battery", "live-wires"},
    ),
    (lambda i: i.id.startswith("cooling."), {"hot-coolant", "belts-fans"}),
    (lambda i: i.id in ("fluids.coolant", "fluids.coolant-leak"), {"hot-coolant"}),
    (lambda i: i.id.startswith("ignition.") and i.stage == "cold", {"ignition-voltage"}),
    (lambda i: "engine idling" in words(i) or "warm idle" in words(i), {"fumes"}),
    (lambda i: "spring" in i.title.lower() and i.stage == "underneath", {"springs"}),
    (lambda i: i.id == "interior.aircon", {"high-pressure"}),
]


def words(item: Item) -> str:
    return f"{item.look} {item.how}".lower()


@pytest.mark.parametrize("rule", range(len(MUST)))
def test_what_can_hurt_carries_a_caution(rule: int, checklist: Checklist) -> None:
    concerns, cautions = MUST[rule]
    found = [item for item in checklist.items if concerns(item)]
    assert found
    assert [item.id for item in found if not cautions & set(item.cautions)] == []


def test_every_caution_is_used(checklist: Checklist) -> None:
    used = {caution for item in checklist.items for caution in item.cautions}
    assert set(checklist.cautions) == used


def test_every_source_is_honest_about_how_far_it_was_read(checklist: Checklist) -> None:
    status = {key: source.status for key, source in checklist.sources.items()}
    # read in a stored copy of the text: the tables below; everything else of law is less than that
    assert {key for key, value in status.items() if value == "read"} == {
        *("cfr570.7.a", "cfr570.7.b", "cfr570.7.c", "cfr570.7.d", "cfr570.10.b", "cfr570.10.c"),
        "cfr570.59.c",
        *(
            "cfr574.5",
            "cfr565",
            "cfr580.17",
            "cfr85.2207",
            "astm-d610",
            "astm-d7091",
            "sspc-pa2",
            "eu2014-45.0",
            "faa-wire",
            "cfr183-wire",
        ),
    }
    assert status["practice"] == "practice"
    assert status["assumption"] == "assumption"


# --- the parts of an item fit one another ----------------------------------------------------


def test_no_limit_lies_where_no_reading_is_believed(checklist: Checklist) -> None:
    # Oracle for the units: pint.
    ureg: Any = pint.UnitRegistry()
    ureg.define("lbf_ft = force_pound * foot")
    names = {"um": "micrometer", "mil": "thousandth_inch", "1": ""}
    names |= {"%": "percent", "degC": "degC", "degF": "degF", "inHg": "inch_Hg", "yr": "year"}
    names |= {"ft": "foot", "in": "inch", "mm": "millimeter", "V": "volt", "min": "minute"}

    def base(figure: str, unit: str) -> float:
        number = sum(eval_fraction(part) for part in figure.split())
        if unit == "in/32":
            number, unit = number / 32, "in"
        quantity = ureg.Quantity(number, names.get(unit, unit))
        return float(quantity.to_base_units().magnitude)

    for item in checklist.items:
        for limit in item.limits:
            reading = next((r for r in item.readings if r.id == limit.of), None)
            if reading is None or reading.plausible is None:
                continue
            low, high = (base(figure, reading.units[0]) for figure in reading.plausible)
            for figure in (limit.below, limit.above, *(limit.outside or ())):
                if figure is not None:
                    inside = low <= base(figure, limit.unit or "") <= high
                    assert inside, (item.id, limit)


def test_what_is_usual_can_be_believed(checklist: Checklist) -> None:
    for item in checklist.items:
        for reading in item.readings:
            if reading.usual is None:
                continue
            assert reading.plausible is not None
            lowest, low = (eval_fraction(text[0]) for text in (reading.plausible, reading.usual))
            high, highest = (eval_fraction(text[1]) for text in (reading.usual, reading.plausible))
            assert lowest <= low < high <= highest, (item.id, reading.id)


def eval_fraction(text: str) -> float:
    top, _, bottom = text.partition("/")
    return float(top) / float(bottom or 1)


def test_every_fact_that_a_limit_names_is_a_fact_of_its_computation(
    checklist: Checklist, bundled: dict[str, Any]
) -> None:
    from pathlib import Path

    readme = Path(__file__).parents[3] / "server/bradawl/judge/README.md"
    table = {
        line.split("|")[1].strip(" `"): line
        for line in readme.read_text(encoding="utf-8").splitlines()
        if line.startswith("| `")
    }
    for item in checklist.items:
        readings = {reading.id for reading in item.readings}
        names = {limit.of for limit in item.limits} | set(item.settled_by)
        for name in names - readings:
            by_wire = "wires" in item.answers and name.startswith("wire")
            assert by_wire or item.compute is not None
            kind = "wires" if by_wire or item.compute is None else item.compute.kind
            facts = table[kind].split("|")[4]
            assert f"`{name}`" in facts or f"`{name}.<" in facts, (item.id, name)
        if item.compute is not None:
            assert item.compute.kind in table, item.id


def test_every_hint_is_one_that_is_read_at_arms_length(checklist: Checklist) -> None:
    for item in checklist.items:
        for text in (item.look, item.how):
            assert text.endswith((".", "?")), item.id
            assert "  " not in text, item.id
            assert len(text) <= 240, item.id
            assert max(len(sentence.split()) for sentence in text.split(". ")) <= 27, item.id


def test_every_item_can_be_bad_and_can_be_settled(checklist: Checklist) -> None:
    for item in checklist.items:
        graded = {choice.grade for choice in item.choices} - {None}
        assert "grade" in item.answers, item.id
        if graded:
            assert "none" in graded, item.id
            assert graded - {"none"}, item.id


# What these find is mended under another item, or is only evidence.
ONLY_EVIDENCE = {
    *("papers.number-tampering", "papers.receipts", "papers.service-book", "papers.odometer"),
    *(
        "papers.title-brands",
        "papers.bill-of-sale",
        "papers.debts",
        "papers.story",
        "accident.bolts",
        "accident.glass-dates",
        "accident.part-labels",
        "glass.view",
    ),
    *("interior.wear", "fluids.ground", "fluids.cardboard", "engine.cold-first"),
    "equipment.handbook",
}


def test_every_fault_has_a_remedy_with_cost_and_hours(checklist: Checklist) -> None:
    priced_by_baseline = {row.item for row in checklist.baseline}
    for item in checklist.items:
        if item.id in ONLY_EVIDENCE | priced_by_baseline:
            assert item.remedies == [], item.id
            continue
        covered = {grade for remedy in item.remedies for grade in remedy.for_}
        assert covered == {"minor", "major", "dangerous"}, item.id


def test_the_judge_walks_the_stages_that_checklists_name_in_their_order() -> None:
    assert tuple(STAGES) == WALKED
