"""A report after a repair: what holds now, what was found, what proves it; and still provable.

The measure is the checker: whoever prints the report again from its record finds the same pages and
the same judgment. No source for the words: they are what the report promises.
"""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from bradawl.inspection.as_bought import bought_of
from bradawl.inspection.snapshot import Snapshot
from bradawl.report.model.editions.edition import EDITIONS, Choice, Edition
from bradawl.report.signing.keys import Signer
from tests.amount import amount
from tests.checkout import checklist_bundle
from tests.report.reprint.judged import PEDAL, compared, recorded, visit_with
from tests.report.reprint.test_genuine import SAME, issued, said_of
from tests.report.tools import flowing
from tests.report.visits import jpeg, sha256

JOB = f"{PEDAL}/bleed"
PHOTO = jpeg(7)
FOUND = "At the inspection on Nov 25, 2026: Trailer it."
SHOWN = (f"work/{JOB}/photos/{sha256(PHOTO)}", {"caption": "Firm pedal"})
DONE: list[tuple[str, Any]] = [
    (f"work/{JOB}/done/{1:012x}",
     {"title": "Bleed the brakes", "items": [PEDAL], "date": "2026-11-28", "by": "Oda Rell"}),
    (f"work/{JOB}/after/{PEDAL}/grade", {"grade": "none"}),
]  # fmt: skip
RECEIPT: list[tuple[str, Any]] = [
    (f"ledger/{2:012x}", {"kind": "part", "amount_cents": 98_765, "jobs": [JOB]}),
    (f"ledger/{2:012x}/photos/{sha256(PHOTO)}", {"caption": "Receipt", "bytes": 9}),
]
MEASURED = (f"work/{JOB}/after/{PEDAL}/readings/rest/one", {"typed": "6", "unit": "in"})


def all_fine() -> list[tuple[str, Any]]:
    """Everything else that the checklist asks for is in order, and the way home is easy."""
    items = checklist_bundle()["rules"]["items"]
    return [
        ("about/dark", False),
        ("about/wet", False),
        ("about/motorway", False),
        ("about/distance_home", {"typed": "20", "unit": "km"}),
        *((f"items/{item}/grade", {"grade": "none"}) for item in items if item != PEDAL),
    ]


def visit(*later: tuple[str, Any]) -> Snapshot:
    return visit_with(recorded(*all_fine()), photos=[PHOTO], amendments=later)


def read(pdf: bytes, folder: Path) -> str:
    file = folder / "report.pdf"
    file.write_bytes(pdf)
    return flowing(file)


@pytest.mark.parametrize("edition", EDITIONS)
def test_before_and_after_a_repair_the_pages_follow_from_the_record(
    edition: Edition, shop: Signer, tmp_path: Path
) -> None:
    before = issued(visit(), edition, shop)
    assert SAME in said_of(before, shop)
    assert "At the inspection on" not in read(before, tmp_path)
    after = issued(visit(*DONE, SHOWN), edition, shop)
    assert SAME in said_of(after, shop)
    told = read(after, tmp_path)
    first = told.partition("How much of the car was checked")[0]
    assert "Drive it home" in first
    assert FOUND in first
    assert first.index("Drive it home") < first.index(FOUND)  # what holds now comes first
    assert "Unsafe: nothing found" in first  # the six areas and the lists follow
    assert "Fixed since it was found: 1" in first
    assert "One fault was found, and is fixed." in first
    chapter = told.partition("What became of what was found")[2]
    assert "found Unsafe on November 25, 2026" in chapter
    assert "Bleed the brakes, November 28, 2026, by Oda Rell." in chapter
    assert "Proof: checked again: OK and one photo." in chapter


#: What comes after the inspection, what the copy shows, and whether that proves the repair.
COPIES: dict[str, tuple[list[tuple[str, Any]], Choice, bool]] = {
    "photos out": ([*DONE, SHOWN], Choice(photos=False), True),
    "receipt": ([*DONE, *RECEIPT], Choice(), True),
    "receipt, photos out": ([*DONE, *RECEIPT], Choice(photos=False), True),
    "figure": ([MEASURED, *DONE], Choice(), True),
    "word alone": (DONE, Choice(), False),
    "temporary": (
        [*DONE, SHOWN, (f"plan/temporary/{JOB}", {"what": "pumped up"})], Choice(), False
    ),
    "temporary again": (
        [*DONE, SHOWN, (f"plan/temporary/{PEDAL}/other", {"what": "pumped up"})], Choice(), False
    ),
    "found again": (
        [*DONE, SHOWN, (f"items/{PEDAL}/grade", {"grade": "dangerous"})], Choice(), False
    ),
    "worse again": (
        [*DONE, SHOWN, (f"work/{JOB}/after/{PEDAL}/grade", {"grade": "major"})], Choice(), False
    ),
}  # fmt: skip
#: In `make test` each in one edition, the first of a kind in another than the next; in `make proof`
#: each in all of them.
IN_EDITIONS = [
    (edition, name)
    for at, name in enumerate(COPIES)
    for edition in [*EDITIONS[at % len(EDITIONS) :], *EDITIONS][: amount(len(EDITIONS), short=1)]
]


@pytest.mark.parametrize(("edition", "name"), IN_EDITIONS)
def test_what_a_copy_leaves_out_changes_no_answer_and_no_verdict_of_a_checker(
    edition: Edition, name: str, shop: Signer, tmp_path: Path
) -> None:
    later, choice, closes = COPIES[name]
    pdf = issued(visit(*later), edition, shop, choice=choice)
    assert SAME in said_of(pdf, shop)
    told = read(pdf, tmp_path)
    assert (FOUND in told) is closes
    assert ("Not proven fixed." in told) is not closes
    if edition != "partner":
        assert "$987" not in told  # no sum of the receipt
        assert ("a photo or receipt that this copy leaves out" in told) is (
            closes and MEASURED not in later and not (SHOWN in later and choice.photos)
        )


def test_after_the_purchase_the_price_is_the_one_of_the_purchase(
    shop: Signer, tmp_path: Path
) -> None:
    curb = visit()
    price = curb.assessment["money"]["price"]["walk_away"]
    bought = ("life/state", {"state": "bought", "date": "2026-11-26", "price_cents": 345_600})
    later = ("items/engine.mounts/grade", {"grade": "major"})
    owned = visit(bought, ("brief/value_good", 20_000), later, *DONE, SHOWN)
    assert owned.assessment["money"]["price"]["walk_away"] != price  # as it is now
    then = bought_of(owned)
    assert then is not None
    assert then.assessment["money"]["price"]["walk_away"] == price
    pdf = issued(owned, "partner", shop)
    assert SAME in said_of(pdf, shop)
    told = read(pdf, tmp_path)
    assert "as it was bought on November 26, 2026" in told
    assert "As it was bought on November 26, 2026: Trailer it." in told
    assert "Price paid $3,456" in told
    if price is not None:
        assert f"Top price ${price:,}" in told
    assert "$20,000" not in told


def test_a_forged_answer_of_today_is_a_changed_report(shop: Signer) -> None:
    """Whoever claims a repair that the record does not bear out is told of."""
    from dataclasses import replace

    honest = visit(*DONE)  # a word alone
    now = {
        "mended": [PEDAL],
        "dangerous": [],
        "grades": {PEDAL: "none"},
        "drive_home": {
            "answer": "drive",
            "said": {"id": "judge-answer-drive"},
            "reasons": [],
        },
    }
    judged: Any = {**honest.assessment, "now": now}
    for edition in EDITIONS:
        pdf = issued(replace(honest, assessment=judged), edition, shop)
        verdict = compared(pdf, {shop.fingerprint: shop.name})
        assert verdict.kind == "changed", edition


def test_what_was_changed_after_the_purchase_is_let_out_by_nobody(shop: Signer) -> None:
    """Of the time of the purchase the file has what the price follows from, and no older text."""
    owned = visit(
        ("life/state", {"state": "bought", "date": "2026-11-26", "price_cents": 345_600}),
        (f"items/{PEDAL}/note", "Bled since."),
        ("about/seller", "Somebody else"),
        *DONE,
        SHOWN,
    )
    pdf = issued(owned, "partner", shop, choice=Choice(seller=False))
    said_of(pdf, shop)
    with pikepdf.open(io.BytesIO(pdf)) as file:
        told = b"".join(
            attached.get_file().read_bytes()
            for name, attached in file.attachments.items()
            if name != "record.json"
        ).decode()
    assert '"price_cents":345600' in told.replace(" ", "")
    for older in ("It sinks under the foot", "Rufus Galtrove", "Somebody else"):
        assert older not in told
