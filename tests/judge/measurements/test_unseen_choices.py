"""Two answers given on two phones without seeing one another: what each makes of a reading.

DOT 3 brake fluid boils at 205 °C dry and 140 °C wet, DOT 5.1 at 260 and 180 (49 CFR 571.116,
S5.1.1 and S5.1.2; the figures of 5.1 from memory).
"""

from __future__ import annotations

from typing import Any

from bradawl.judge import assess
from tests.judge.records import TODAY, item, record, rules
from tests.judge.saying import said

FLUID = "brakes.fluid"
CLASSES = [
    {"id": "dot3", "title": "DOT 3", "grade": "none"},
    {"id": "dot4", "title": "DOT 4", "grade": "none"},
    {"id": "dot5-1", "title": "DOT 5.1", "grade": "none"},
]
READING = {"id": "boiling", "title": "Boiling", "quantity": "temperature", "units": ["degC"]}
RULES = rules(
    {
        FLUID: item(
            title="Brake fluid",
            choices=CLASSES,
            readings=[{**READING, "at": []}],
            compute={"kind": "brake_fluid", "reading": "boiling"},
        )
    }
)


def facts() -> Any:
    """DOT 3 was tapped last, DOT 5.1 on another phone that had not heard of it; 185 °C."""
    visit = record(
        {FLUID: {"readings/boiling/one": {"typed": "185", "unit": "degC"}, "choice": "dot3"}}
    )
    chosen = visit["cells"][f"items/{FLUID}/choice"]
    chosen["at"] = f"{2:015}-00000-" + "a" * 32
    chosen["others"] = [{"value": "dot5-1", "at": f"{1:015}-00000-" + "b" * 32}]
    return assess(visit, RULES, TODAY)["items"][FLUID]["facts"]


def test_each_answer_is_named_at_what_it_makes_of_the_reading() -> None:
    found = facts()
    assert (found["above_wet"]["value"], found["below_dry"]["value"]) == ("45", "20")
    assert (found["above_wet.other"]["value"], found["below_dry.other"]["value"]) == ("5", "75")
    for name in ("above_wet", "below_dry"):
        holds, other = (said(found[key]["said"], RULES, "us") for key in (name, f"{name}.other"))
        assert "DOT 3" in holds
        assert "5.1" not in holds
        assert "DOT 5.1" in other
        assert "another phone" in other
