"""Answers that contradict one another are an open point of the report, and never one that is OK."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from bradawl.report.model.build import build_contents
from bradawl.report.model.editions.edition import edition_view
from tests.report.visits import snapshot

ASKED = "Dry, and low. Where did it go?"


def test_a_contradicted_answer_stands_among_what_is_open_with_its_question() -> None:
    seen = snapshot()
    judged: Any = {key: dict(one) for key, one in seen.assessment["items"].items()}
    said = {"id": "judge-question", "args": {"question": {"checklist": ["contradiction", "dry"]}}}
    judged["fluids.oil-level"] |= {
        "state": "open",
        "grade": None,
        "problems": [{"code": "contradiction", "said": said, "path": "items/fluids.oil-level"}],
    }
    rules: Any = {"items": {}, "areas": [], "contradictions": [{"id": "dry", "question": ASKED}]}
    bundle: Any = {**seen.bundle, "rules": rules}
    assessed: Any = {**seen.assessment, "items": judged}
    there = replace(seen, bundle=bundle, assessment=assessed)
    for edition in ("condition", "partner"):
        contents = build_contents(edition_view(there, edition))
        (fluids,) = [area for area in contents.areas if area.id == "fluids"]
        assert ("Engine oil level", ASKED) in [(one.title, one.why) for one in fluids.unseen]
        (shown,) = fluids.sound
        assert (shown.grade, shown.problems) == ("uninspected", (ASKED,))
