"""Whatever is written where, every flowable finds its place: no text is taller than its page."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest

from bradawl.report.issue import write_report
from bradawl.report.printing import Printing
from tests.amount import amount
from tests.judge.saying import unsaid
from tests.report.tools import flowing
from tests.report.visits import ITEMS, TODAY, assessment, jpeg, judged, puts, sha256, snapshot

LENGTHS = (1, 60, 130, 300, 900, 3_000, 20_000)
LETTERS = ("m", "W", "Mm ", "word ", "א", "a\n", "車x")
HEAD = (
    "car/make", "car/model", "car/vin", "car/registration", "car/colour", "car/fuel",
    "about/place", "about/inspector", "about/seller", "about/distance_home", "about/currency",
)  # fmt: skip
MONEY = {
    "currency": "EUR", "rate": 60, "assumed": [], "unpriced": [], "together": "0.5",
    "lines": [{"id": "rust.sill-left/mend", "item": "rust.sill-left", "covers": [],
               "title": "Mend it", "kind": "mend", "cost": [25, 50, 120], "expected": 60}],
    "totals": {"low": 25, "likely": 50, "high": 120, "expected": 60, "p50": 55, "p80": 80,
               "p90": 95},
    "reserve": {"amount": 90, "items": []},
    "price": {"value": 900, "margin": 300, "asking": 700, "walk_away": 430, "opening": 400,
              "said": unsaid("Walk away above 430 EUR."), "arguments": []},
    "said": unsaid("Work about 55 EUR."),
}  # fmt: skip


def long_text(chance: random.Random) -> str:
    length = chance.choice(LENGTHS)
    return (chance.choice(LETTERS) * length)[:length]


def written(chance: random.Random) -> tuple[list[tuple[str, Any]], dict[str, Any]]:
    """What is recorded and judged: as usual, with long texts in some places."""
    recorded = puts()
    recorded += [(path, long_text(chance)) for path in HEAD if chance.random() < 0.5]
    grades = {}
    for item in ITEMS:
        name = item["id"]
        grade = chance.choice(["none", "minor", "major", "dangerous", "uninspected", None])
        grades[name] = judged(grade, long_text(chance), facts={})
        for part in ("note", "text", "choice"):
            if chance.random() < 0.3:
                recorded.append((f"items/{name}/{part}", long_text(chance)))
        for number in range(chance.choice((0, 0, 1, 4))):
            photo = {"caption": long_text(chance)}
            recorded.append((f"items/{name}/photos/{number:064d}", photo))
        if chance.random() < 0.2:
            recorded.append((f"items/{name}/grade", {"grade": "minor", "why": long_text(chance)}))
        if chance.random() < 0.3:
            done = {"title": long_text(chance), "by": long_text(chance), "note": long_text(chance)}
            recorded.append((f"work/{name}/mend/done", {**done, "items": [name], "cost": 5}))
    home = assessment()["drive_home"] | {"said": unsaid(long_text(chance))}
    return recorded, assessment(grades, drive_home=home, money=MONEY)


@pytest.mark.parametrize("seed", range(amount(12, short=6)))
def test_texts_of_any_length_are_laid_out(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    recorded, judgement = written(chance)
    amendments = [("items/rust.sill-left/note", long_text(chance)), ("car/make", long_text(chance))]
    visit = snapshot(
        recorded,
        sealed=chance.random() < 0.7,
        amendments=amendments,
        judgement=judgement,
        seal={"name": long_text(chance), "place": long_text(chance)},
    )
    for edition, page in (("condition", "a4"), ("partner", "letter")):
        issued = write_report(
            visit, tmp_path / "x.pdf", edition, None, printing=Printing.of(paper=page), today=TODAY
        )
        assert issued.pages >= 4


def test_a_fact_too_long_for_the_head_stands_in_full_further_on(tmp_path: Path) -> None:
    place = "Lane " * 40 + "the last words"
    file = tmp_path / "x.pdf"
    write_report(snapshot([*puts(), ("about/place", place)]), file, "condition", None, today=TODAY)
    text = flowing(file)
    assert "First page, in full" in text
    assert text.count("the last words") == 1
    head = text.partition("First page, in full")[0]
    assert "Lane Lane" in head
    assert "…" in head


def test_a_text_too_long_for_paper_is_cut_there_and_said(tmp_path: Path) -> None:
    note = "word " * 10_000 + "the last words"
    file = tmp_path / "x.pdf"
    visit = snapshot([*puts(), ("items/rust.sill-left/note", note)])
    issued = write_report(visit, file, "condition", None, today=TODAY)
    text = flowing(file)
    assert "too long for paper and was cut" in text
    assert "the last words" not in text
    assert issued.pages < 20


def test_values_of_no_use_are_said_in_words_or_left_out(tmp_path: Path) -> None:
    recorded: list[tuple[str, Any]] = [
        *puts(photos=[jpeg(1)]),
        ("car/make", ["Cor", "vane"]),
        ("car/model", {"name": "Tilda"}),
        ("about/inspector", True),
        ("about/started", "yesterday"),
        ("items/rust.sill-left/note", {"a": [1, None]}),
        (f"items/rust.sill-left/photos/{sha256(jpeg(1))}", {"caption": 7, "taken": []}),
        ("work/x/y/done", {"items": 5, "cost": "9", "odometer": 4, "by": ["Ada"]}),
    ]
    seal = {"at": 5, "strokes": "none", "photos": [], "name": None, "place": ["x"], "record": 1}
    file = tmp_path / "x.pdf"
    write_report(snapshot(recorded, seal=seal), file, "partner", None, today=TODAY)
    text = flowing(file)
    assert "Cor, vane name: Tilda" in text
    assert "a person without a name" in text
    assert "{" not in text.partition("Method")[0]
