"""The first week at the desk: findings and unproven maintenance of a car in the checklist's order.

That what can hurt somebody comes before what makes a car run, that fluids without a receipt count
as never changed, and that a car that sat is turned by hand first: common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests.desk.conftest import PHONE
from tests.desk.whole_server import browser_of, whole_server

VISIT = "d" * 32
#: A day within every interval, whenever this runs.
LATELY = (datetime.now(UTC) - timedelta(days=60)).date().isoformat()
JOB = "fluids.fuel-leak/hose"
ORDER = ["sat", "wires", "brakes", "steering", "fuel", "oil-coolant", "belts-hoses", "drivetrain"]


@pytest.fixture(scope="module")
def core(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with whole_server(tmp_path_factory.mktemp("data")) as core:
        core.log.append(
            PHONE,
            VISIT,
            [
                ("about/bundle", core.checklists.hash),
                ("about/region", "us"),
                ("items/brakes.hoses/grade", {"grade": "major"}),
                ("items/fluids.fuel-leak/grade", {"grade": "minor"}),
                ("items/fluids.coolant-leak/grade", {"grade": "minor"}),
                ("items/upkeep.brake-fluid/choice", "unknown"),
                ("items/upkeep.coolant/choice", "documented"),
                ("items/upkeep.coolant/readings/done_on/one", {"typed": LATELY, "unit": ""}),
            ],
        )
        yield core


def steps(core: Any) -> dict[str, str]:
    """Each step on the page of the order of work."""
    client = browser_of(core, follow=True)
    answer = client.get(f"/desk/visits/{VISIT}/order")
    assert answer.status_code == 200, answer.text
    whole = re.search(r'<details class="first-week">.*?</ol>', answer.text, re.DOTALL)
    assert whole is not None
    parts = re.split(r'<li data-step="([^"]*)">', whole[0])
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def found(text: str) -> list[str]:
    """The findings that a step leads to."""
    return re.findall(r"#item-([^\"]*)", text)


def test_what_hurts_comes_first_and_each_finding_stands_once(core: Any) -> None:
    shown = steps(core)
    assert list(shown)[: len(ORDER)] == ORDER
    stands = {name: found(text) for name, text in shown.items() if found(text)}
    assert stands == {
        "brakes": ["brakes-hoses"],
        "fuel": ["fluids-fuel-leak"],
        "oil-coolant": ["fluids-coolant-leak"],
    }
    # no proof: never done; what a receipt proves is not there
    assert "never done: Brake fluid change" in shown["brakes"]
    assert "Coolant change" not in shown["oil-coolant"]
    assert "by hand" in shown["sat"]
    assert "Car in the air" in shown["brakes"]


def test_what_work_closed_with_proof_leaves_its_step(core: Any) -> None:
    core.log.append(
        PHONE,
        VISIT,
        [
            (f"work/{JOB}/photos/{'a' * 64}", {"caption": ""}),
            (f"work/{JOB}/after/fluids.fuel-leak/grade", {"grade": "none"}),
        ],
    )
    assert found(steps(core)["fuel"]) == []
    assert found(steps(core)["brakes"]) == ["brakes-hoses"]


def test_every_check_and_line_of_the_baseline_that_is_maintained_has_a_step(core: Any) -> None:
    bundle = core.checklists.value
    named = {name for step in bundle["week"] for name in step.get("upkeep", [])}
    assert named == {row["id"] for row in bundle["rules"]["baseline"]}
    for step in bundle["week"]:
        assert step["cautions"], step["id"]
