"""What may have happened to the car: a partner reads it with its signs, a stranger does not."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.report.tools import build, flowing
from tests.report.visits import ITEMS, TODAY, assessment, snapshot

FIRST, SECOND, THIRD = (item["id"] for item in ITEMS[:3])


def history(name: str, standing: str, **more: Any) -> dict[str, Any]:
    args = {"title": {"checklist": ["history", name]}, "done": 3, "total": 9}
    return {
        "id": name,
        "standing": standing,
        "speak_for": [],
        "speak_against": [],
        "looked_at": 3,
        "signs": 9,
        "next": None,
        "said": {"id": "judge-history-" + standing.replace("_", "-"), "args": args},
        **more,
    }


def sign(item: str) -> dict[str, Any]:
    return {"item": item, "said": {"id": "judge-history-looked-at"}}


def pages(folder: Path, edition: Any, *rows: dict[str, Any]) -> str:
    there = snapshot(judgement=assessment(histories=list(rows)))
    there.bundle["rules"] = {  # type: ignore[typeddict-item]
        **there.bundle.get("rules", {}),
        "histories": [{"id": "flood", "title": "Flood"}, {"id": "crash", "title": "Crash damage"}],
    }
    file = folder / "report.pdf"
    file.write_bytes(build(there, edition, None, today=TODAY))
    return flowing(file)


ROWS = (
    history(
        "flood", "suspected", speak_for=[sign(FIRST)], speak_against=[sign(SECOND)], next=THIRD
    ),
    history("crash", "not_excluded", speak_against=[sign(SECOND)], next=THIRD),
)


def test_a_partner_reads_each_history_and_the_signs_of_what_is_suspected(tmp_path: Path) -> None:
    told = pages(tmp_path, "partner", *ROWS)
    titles = {item["id"]: item["title"] for item in ITEMS}
    chapter = told[told.rindex("Flood: suspected.") :]
    for expected in (
        "Flood: suspected. 3 of 9 signs looked at.",
        "Speaks for it",
        f"• {titles[FIRST]}: Looked at.",
        "Speaks against it",
        f"• {titles[SECOND]}: Looked at.",
        f"Look here · {titles[THIRD]}",
        "Crash damage: can't be ruled out. 3 of 9 signs looked at.",
    ):
        at = chapter.index(expected)  # one after the other
        chapter = chapter[at + len(expected) :]
    assert "Speaks against it" not in chapter


@pytest.mark.parametrize(("edition", "rows"), [("condition", ROWS), ("partner", ())])
def test_a_stranger_and_a_record_without_histories_read_nothing_of_it(
    tmp_path: Path, edition: str, rows: tuple[dict[str, Any], ...]
) -> None:
    assert "What may have happened to it" not in pages(tmp_path, edition, *rows)
