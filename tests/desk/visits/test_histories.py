"""What may have happened to the car stands at the desk in words, with its signs."""

from __future__ import annotations

import hashlib
import re
from html import unescape
from typing import Any

from bradawl.judge import canonical
from tests.desk.conftest import VISIT, Workshop

HISTORY = {
    "id": "flood",
    "title": "Flood",
    "base_percent": 30,
    "factor": "0.5",
    "source": "assumption",
    "signs": [
        {"item": "rust.sill", "on": ["minor"], "with_percent": 80, "without_percent": 10},
        {"item": "trim.seats", "on": ["minor"], "with_percent": 80, "without_percent": 10},
        {"item": "brakes.hoses", "on": ["minor"], "with_percent": 40, "without_percent": 20},
        {"item": "brakes.pads", "on": ["minor"], "with_percent": 40, "without_percent": 30},
    ],
}


def section(workshop: Workshop) -> str:
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    found = re.search(r'<section aria-labelledby="histories".*?</section>', page, re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", found[0])).split()) if found else ""


def begin(workshop: Workshop, *histories: dict[str, Any]) -> None:
    body = {key: value for key, value in workshop.bundle.items() if key != "hash"}
    body["rules"] = {**body["rules"], "histories": list(histories)}
    workshop.bundle = {**body, "hash": hashlib.sha256(canonical(body).encode()).hexdigest()}
    workshop.log.put_bundle(workshop.bundle)
    workshop.real = True
    workshop.begin()


def test_a_history_is_told_with_the_signs_for_and_against_and_the_next_look(
    workshop: Workshop,
) -> None:
    begin(workshop, HISTORY)
    assert section(workshop).startswith(
        "What may have happened to it Flood: can't be ruled out. 0 of 4 signs looked at. Look here "
    )
    workshop.write(
        [
            ("items/rust.sill/grade", {"grade": "major"}),
            ("items/trim.seats/grade", {"grade": "minor"}),
            ("items/brakes.pads/grade", {"grade": "none"}),
        ]
    )
    told = section(workshop)
    assert "Flood: strong signs of it. 3 of 4 signs looked at." in told
    assert "Speaks for it Sills: Needs fixing. Seats: " in told
    assert "Speaks against it Pad thickness: OK." in told
    assert told.endswith("Look here Brake hoses")


def test_without_histories_nothing_is_told(workshop: Workshop) -> None:
    begin(workshop)
    assert section(workshop) == ""
