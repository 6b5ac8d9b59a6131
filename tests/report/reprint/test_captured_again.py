"""A report that tells of what was captured on the spot is genuine, and prints the same again."""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.report.model.editions.edition import Choice
from bradawl.report.signing.keys import Signer
from tests.report.reprint.judged import PEDAL, recorded, visit_with
from tests.report.reprint.test_genuine import SAME, issued, said_of
from tests.report.visits import jpeg, sha256

PHOTO, LOOSE = jpeg(61), jpeg(62)
TOLD = {"taken": "2026-11-25T09:40:00-05:00", "near": {"item": PEDAL}, "caption": "The yard gate"}
CAPTURED: list[tuple[str, Any]] = [
    (f"media/{sha256(LOOSE)}", {**TOLD, "kind": "photo"}),
    (f"media/{'7' * 64}", {**TOLD, "kind": "engine", "length_ms": 28_400, "item": PEDAL}),
    ("notes/5e0c1a2b3d4f", {"text": "Spare wheel is missing", "taken": TOLD["taken"]}),
    ("notes/6e0c1a2b3d4f", {"text": "He would take 3,400 dollars", "taken": TOLD["taken"]}),
    ("about/voice", "agreed"),
]
#: Put with its check after the visit was signed.
SORTED: list[tuple[str, Any]] = [
    (f"items/{PEDAL}/photos/{sha256(LOOSE)}", {"caption": "The yard gate", "type": "image/jpeg"}),
    (f"media/{sha256(LOOSE)}", None),
    ("notes/7e0c1a2b3d4f", {"text": "Added at home", "taken": TOLD["taken"]}),
]


@pytest.mark.parametrize("amendments", [[], SORTED], ids=["as signed", "sorted since"])
@pytest.mark.parametrize("choice", [Choice(), Choice(photos=False)], ids=["whole", "no photos"])
def test_it_is_genuine_and_prints_the_same_again(
    shop: Signer, choice: Choice, amendments: list[tuple[str, Any]]
) -> None:
    visit = visit_with(
        recorded(*CAPTURED, photos=[PHOTO]), photos=[PHOTO, LOOSE], amendments=amendments
    )
    pdf = issued(visit, "condition", shop, choice=choice)
    assert SAME in said_of(pdf, shop)
