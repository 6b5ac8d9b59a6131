"""The page says what the plan does, and one press makes it a person's own choice."""

from __future__ import annotations

import random
from typing import Any

import pytest

from bradawl.desk.model.plan.assemblies import assembly_rows
from bradawl.desk.model.plan.build import plan_of
from tests.desk.conftest import VISIT, Workshop
from tests.desk.plan.test_plan import HARNESS, MEND, TIP, faults

__all__ = ["faults"]

SURE = [{"title": "plugs", "cost": [500, 600, 700], "count": 3, "chance_percent": 100}]


def row_of(workshop: Workshop) -> dict[str, Any]:
    snapshot = workshop.snapshot(VISIT)
    return assembly_rows(snapshot, plan_of(snapshot))[0]


def press(workshop: Workshop, way: str) -> None:
    data = {"remedy": HARNESS, "adopt": way}
    answer = workshop.client.post(f"{TIP}/choice", data=data, follow_redirects=False)
    assert answer.status_code == 303


def test_what_is_sure_to_fail_is_replaced_on_the_page_and_in_the_plan(faults: Workshop) -> None:
    """By hand: mending (35+4x65+130)/6 = 71, then 3 x 600; the harness (500+4x700+1100)/6 = 733."""
    assert "Mend it: New plug and crimps" in faults.client.get(TIP).text
    faults.write([(f"plan/further/{HARNESS}", SURE)])
    page = faults.client.get(TIP).text
    assert "Replace it: Whole engine harness" in page
    assert "The plan replaces it." in page
    row = row_of(faults)
    assert (row["mending_cost"], row["further_cost"], row["mending_in_all"]) == (71, 1800, 1871)
    assert row["tip"]["expected_assembly"] == 733
    assert row["tips_at_cost"] == 1871
    assert HARNESS in plan_of(faults.snapshot(VISIT)).chosen


def test_one_press_adopts_it_and_another_takes_it_back(faults: Workshop) -> None:
    faults.write([(f"plan/further/{HARNESS}", SURE)])
    press(faults, "mend")
    assert MEND in plan_of(faults.snapshot(VISIT)).chosen
    page = faults.client.get(TIP).text
    assert "You chose this. By cost, the answer would be the other one." in page
    assert "The plan fixes the pieces." in page
    press(faults, "none")
    assert HARNESS in plan_of(faults.snapshot(VISIT)).chosen
    press(faults, "replace")
    faults.write([(f"plan/further/{HARNESS}", None)])
    assert HARNESS in plan_of(faults.snapshot(VISIT)).chosen, "it stays as it was chosen"
    assert row_of(faults)["replace"] is False


def test_a_chart_is_drawn_only_where_it_tells_something(faults: Workshop) -> None:
    assert '<svg class="chart"' not in faults.client.get(TIP).text
    some = [{**SURE[0], "chance_percent": 10}]
    faults.write([(f"plan/further/{HARNESS}", some)])
    assert '<svg class="chart"' in faults.client.get(TIP).text


@pytest.mark.parametrize("seed", range(25))
def test_page_and_plan_never_contradict_one_another(faults: Workshop, seed: int) -> None:
    """Random prices, hours, quotes, counts, chances and lost originality; some picked by hand."""
    dice = random.Random(seed)
    for turn in range(4):
        parts = sorted(dice.sample(range(900), 3))
        hours = [str(h) for h in sorted(dice.sample(range(20), 3))]
        edited = {"parts": parts, "hours": hours, "loss": dice.choice([0, 0, 400])}
        kind = {"title": "T", "kind": dice.choice(["mend", "assembly"])}
        puts: list[tuple[str, Any]] = [
            (f"plan/remedies/{HARNESS}", {**edited, "title": "H", "kind": "assembly"}),
            ("plan/remedies/electrical.pigtails/own-1", {**edited, **kind, "also": ["rust.sill"]}),
            ("parts/p/job", dice.choice([MEND, HARNESS, None])),
            ("parts/p/quote_cents", dice.choice([4000, 70000, None])),
            (
                f"plan/further/{HARNESS}",
                [
                    {
                        "title": "",
                        "cost": sorted(dice.sample(range(400), 3)),
                        "count": dice.randint(0, 5),
                        "chance_percent": dice.randint(0, 100),
                    }
                ],
            ),
            ("plan/pick/electrical.pigtails", dice.choice([None, None, MEND, HARNESS])),
        ]
        faults.write(puts)
        snapshot = faults.snapshot(VISIT)
        plan = plan_of(snapshot)
        page = faults.client.get(TIP).text
        for row in assembly_rows(snapshot, plan):
            assert row["chosen"] == (row["remedy"].id in plan.chosen)
            if not row["picked"]:
                assert row["replace"] == row["chosen"], (seed, turn)
            elif row["replace"] != row["chosen"]:
                assert "By cost, the answer would be the other one." in page
            if row["tip"] and not row["picked"]:
                # the figures tell the same story, but for one unit of rounding
                gap = row["mending_in_all"] - row["tip"]["expected_assembly"]
                assert gap >= -1 if row["replace"] else gap <= 1, (seed, turn)
