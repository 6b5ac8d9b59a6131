"""What was captured on the spot, in the report: named, told, and left out where it may not be."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bradawl.report.issue import write_report
from bradawl.report.model.build import build_contents
from bradawl.report.model.editions.edition import Choice, edition_view
from bradawl.report.signing.keys import Signer
from tests.report.tools import flowing
from tests.report.visits import TODAY, jpeg, puts, sha256, snapshot

SOUND = "7" * 64
TOLD = {"caption": "", "taken": "2026-11-25T10:14:00+01:00", "near": {"item": "engine.mounts"}}
BARE, TOLD_OF = jpeg(91), jpeg(92)


def visit(**more: Any) -> Any:
    return snapshot(
        [
            *puts(),
            (f"media/{sha256(BARE)}", {**TOLD, "kind": "photo"}),
            (f"media/{sha256(TOLD_OF)}", {**TOLD, "kind": "photo", "caption": "The yard gate"}),
            (
                f"media/{SOUND}",
                {
                    **TOLD,
                    "kind": "engine",
                    "length_ms": 28_400,
                    "item": "engine.mounts",
                    "caption": "Knocks when cold",
                },
            ),
            (f"media/{'8' * 64}", {**TOLD, "kind": "voice", "length_ms": 61_000}),
            ("notes/5e0c1a2b3d4f", {"text": "Spare wheel is missing", "taken": TOLD["taken"]}),
        ],
        photos=[BARE, TOLD_OF],
        **more,
    )


def test_a_report_names_recordings_tells_notes_and_shows_photos_that_have_a_caption(
    tmp_path: Path, shop: Signer
) -> None:
    file = tmp_path / "captured.pdf"
    issued = write_report(visit(), file, "condition", shop, today=TODAY)
    text = flowing(file).partition("Also recorded on the spot")[2]
    assert "Spare wheel is missing" in text
    assert "Engine sound, 0:28, November 25, 2026, 10:14" in text
    assert "Engine mounts. Knocks when cold" in text
    assert "Voice note, 1:01, November 25, 2026, 10:14" in text
    assert "this file names them and does not hold them" in text
    assert "The yard gate" in text
    assert issued.photos == 1  # the one that nobody sorted or captioned is not in it


@pytest.mark.parametrize("reader", [Choice(), Choice(photos=False)])
def test_without_photos_there_are_no_recordings_either(reader: Choice) -> None:
    shown = build_contents(edition_view(visit(), "condition", reader)).captured
    expected = reader.photos
    assert [bool(shown.photos), bool(shown.recordings)] == [expected, expected]
    assert [text for _, text in shown.notes] == ["Spare wheel is missing"]


def test_a_note_that_may_give_a_price_away_is_blacked_out() -> None:
    recorded = [*puts(), ("notes/a1", {"text": "He would take 3,400 dollars", "taken": ""})]
    shown = build_contents(edition_view(snapshot(recorded), "condition", Choice())).captured
    assert [text for _, text in shown.notes] == ["███"]
    partner = build_contents(edition_view(snapshot(recorded), "partner", Choice())).captured
    assert [text for _, text in partner.notes] == ["He would take 3,400 dollars"]
