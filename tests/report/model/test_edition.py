"""What may reach an edition: no money in the condition report, and what a person chose to keep."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import hypothesis.strategies as st
import pikepdf
import pytest
from hypothesis import given

from bradawl.language import Reader, reading_as
from bradawl.language.checklist_texts import MARK
from bradawl.report.issue import write_report
from bradawl.report.model.edition import AMOUNT, BLANK, Choice, Edition, edition_view
from bradawl.report.printing import Printing
from bradawl.report.signing.keys import Signer
from tests.judge.saying import unsaid
from tests.report.tools import words
from tests.report.visits import ITEMS, TODAY, assessment, jpeg, puts, snapshot

# Artificial sums that occur nowhere else; any of them in a condition report is a leak.
SUMS = (987_654, 876_543, 765_432, 654_321, 543_219, 432_198, 321_987)


def _rich_snapshot() -> Any:
    """A visit with a sum in every place where money can stand, known keys and unknown ones."""
    judgement = assessment(
        money={
            "p50": SUMS[3],
            "said": unsaid(f"about {SUMS[3]} EUR"),
            "price": {"walk_away": SUMS[4]},
        },
        plan=[{"job": "weld", "cost": SUMS[5]}],
        brief={"value": SUMS[1], "said": unsaid(f"worth {SUMS[1]}")},
        next=[{"item": "brakes.hoses", "expected_cost": SUMS[6]}],
        something_new={"deep": [{"sum": SUMS[6]}]},
        baseline=[
            {"id": "oil", "title": "Engine oil", "evidence": "claimed", "due": True,
             "said": unsaid("Due."),
             "parts": [SUMS[5]], "cost": SUMS[6], "money": {"likely": SUMS[4]}},
        ],
    )  # fmt: skip
    for one in judgement["items"].values():
        one["cost"] = SUMS[3]
        one["remedies"] = [{"likely": SUMS[4]}]
    judgement["coverage"]["reserve"] = SUMS[5]
    judgement["drive_home"]["transport_cost"] = SUMS[6]
    items = [
        {**one, "unseen": {"cost": [SUMS[3]] * 3}, "remedies": [{"parts": [SUMS[4]] * 3}]}
        for one in ITEMS
    ]
    recorded = [
        *puts([jpeg(1)]),
        ("brief/margin", SUMS[6]),
        ("brief/reserve", SUMS[5]),
        ("money/anything", SUMS[4]),
        ("items/rodents.loom/note", f"Seller asks {SUMS[3]} €, would take EUR 543.219."),
        ("items/rodents.loom/bids/one", SUMS[5]),
    ]
    return snapshot(recorded, [jpeg(1)], items=items, judgement=judgement)


def _everything(file: Path) -> str:
    """All text of a PDF: pages, attachments, and every stream and string, decoded."""
    with pikepdf.open(file) as pdf:
        parts = []
        for one in pdf.objects:
            if isinstance(one, pikepdf.Stream):
                if one.get("/Subtype") == pikepdf.Name.Image:
                    continue
                parts.append(one.read_bytes().decode("latin-1"))
            parts.append(repr(one))
    return words(file) + "\n".join(parts)


@pytest.mark.parametrize("page", ["a4", "letter"])
def test_no_amount_price_or_reserve_reaches_the_condition_report(
    tmp_path: Path, shop: Signer, page: str
) -> None:
    file = tmp_path / "condition.pdf"
    write_report(
        _rich_snapshot(), file, "condition", shop, today=TODAY, printing=Printing.of(paper=page)
    )
    text = _everything(file)
    digits = re.sub(r"[ .,\u00a0'’]", "", text)
    for amount in SUMS:
        assert str(amount) not in digits


def test_the_same_sums_are_in_the_partner_edition_so_the_check_can_fail(
    tmp_path: Path, shop: Signer
) -> None:
    file = tmp_path / "partner.pdf"
    write_report(_rich_snapshot(), file, "partner", shop, today=TODAY)
    assert str(SUMS[0]) in _everything(file)


def _keys(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for key, one in value.items():
            yield str(key)
            yield from _keys(one)
    elif isinstance(value, list):
        for one in value:
            yield from _keys(one)


def test_no_key_of_money_reaches_the_pages_of_the_condition_report() -> None:
    view = edition_view(_rich_snapshot(), "condition")
    assert view.money is None
    found = {*_keys(view.assessment), *_keys(view.bundle)}
    assert not found & {
        "money", "plan", "next", "brief", "remedies", "unseen", "parts", "hours", "cost", "reserve",
        "something_new", "transport_cost", "total_cost",
    }  # fmt: skip


def test_a_report_reads_the_checklist_in_its_readers_language_and_by_its_visits_law() -> None:
    seen = snapshot()
    bundle: Any = seen.bundle
    item = next(one for one in bundle["items"] if one["id"] == "brakes.front-pads")
    limits = [
        {"of": "pad", "below": "2/32", "unit": "in", "grade": "major", "source": "a",
         "law": {"us": "a"}},
        {"of": "pad", "below": "1.6", "unit": "mm", "grade": "major", "source": "b",
         "law": {"eu": "b"}},
    ]  # fmt: skip
    items = [{**one, "limits": limits} if one is item else one for one in bundle["items"]]
    spanish = {"es-US": {"cautions/jacking/title": "Auto levantado"}}
    there = replace(seen, bundle={**bundle, "items": items, "locales": spanish})
    with reading_as(Reader(locale="es-US")):
        for edition in ("condition", "partner"):
            shown: Any = edition_view(there, edition).bundle
            assert shown["cautions"]["jacking"]["title"] == "Auto levantado"
            assert shown["cautions"]["jacking"]["text"].endswith(MARK)
            (pads,) = [one for one in shown["items"] if one["id"] == "brakes.front-pads"]
            assert [(one["below"], one["source"]) for one in pads["limits"]] == [("2/32", "a")]
    assert edition_view(there, "partner").bundle["cautions"] == bundle["cautions"]


def test_the_ratings_name_a_check_by_its_title_in_the_readers_language() -> None:
    seen = snapshot()
    bundle: dict[str, Any] = dict(seen.bundle)
    rules = {"items": {"brakes.hoses": {"title": "Brake hoses"}}, "areas": []}
    spanish = {"es-US": {"items/brakes.hoses/title": "Mangueras de freno"}}
    there = replace(seen, bundle={**bundle, "rules": rules, "locales": spanish})
    hoses = {"id": "judge-conflict", "args": {"reason": {"checklist": ["item", "brakes.hoses"]}}}
    for edition in ("condition", "partner"):
        with reading_as(Reader(locale="es-US")):
            assert edition_view(there, edition).said({"said": hoses}) == "Mangueras de freno"
        assert edition_view(there, edition).said({"said": hoses}) == "Brake hoses"


PLAIN = st.sampled_from(["Soft sill, ", "the probe went in 12 mm; ", "seen at 163 900 km. ", ""])


@given(
    before=PLAIN,
    amount=st.integers(min_value=1, max_value=9_999_999),
    shape=st.sampled_from(
        ["{} €", "€{}", "EUR {}", "{} EUR", "${}", "{} dollars", "asks {}", "price: {}", "CHF {}.-",
         "worth about {}", "£{}", "{} quid", "costs {}", "offered him {}"]
    ),
    grouped=st.sampled_from(["{}", "{:,}"]),
    after=PLAIN,
)  # fmt: skip
def test_a_sum_in_free_text_is_blanked(
    before: str, amount: int, shape: str, grouped: str, after: str
) -> None:
    sum_text = grouped.format(amount)
    blanked = AMOUNT.sub(BLANK, before + shape.format(sum_text) + " " + after)
    assert BLANK in blanked
    left = blanked.replace(before, "", 1)
    assert sum_text not in left.split(after)[0] if after else sum_text not in left


@pytest.mark.parametrize(
    "text",
    [
        "The probe went in 12 mm.",
        "163 900 km on the clock, service at 107 800.",
        "Pads 2.8 mm and 0,6 mm; disc 19.1 mm against 18.",
        "58 psi open, 51 psi at idle, 18 inHg of vacuum.",
        "Tire code 3416, VIN ends in 020733.",
    ],
)
def test_figures_that_are_no_sums_stay(text: str) -> None:
    assert AMOUNT.sub(BLANK, text) == text


def _record(file: Path) -> dict[str, Any]:
    with pikepdf.open(file) as pdf:
        loaded: dict[str, Any] = json.loads(pdf.attachments["record.json"].get_file().read_bytes())
    return loaded


def _paths(record: dict[str, Any]) -> set[str]:
    return {path for path, at, salt, text in record["shown"]}


@pytest.mark.parametrize("edition", ["condition", "partner"])
def test_place_seller_and_photos_are_left_out_when_a_person_says_so(
    tmp_path: Path, shop: Signer, edition: Edition
) -> None:
    file = tmp_path / "report.pdf"
    hidden = Choice(place=False, seller=False, photos=False, amendments=False)
    visit = snapshot(
        photos=[jpeg(1), jpeg(2)], amendments=[("items/rust.boot-floor/note", "Later words")]
    )
    write_report(visit, file, edition, shop, today=TODAY, choice=hidden)
    text = words(file)
    assert "Rufus Galtrove" not in text
    assert "Lindrach" not in text
    assert "Later words" not in text.partition("Amendments")[2]
    record = _record(file)
    assert not {"about/seller", "about/place"} & _paths(record)
    assert not [path for path in _paths(record) if "/photos/" in path]
    with pikepdf.open(file) as pdf:
        assert not [image for page in pdf.pages for image in page.get_images()]
    assert "Lindrach" not in _everything(file).replace(" ", "")


def test_the_seller_is_named_to_a_partner_and_not_to_a_stranger(
    condition: Path, partner: Path
) -> None:
    assert "Rufus Galtrove" in words(partner)
    assert "Rufus Galtrove" not in words(condition)
    record = _record(condition)
    assert "about/seller" not in _paths(record)
    # of what is left out the kind is said, and a hash that tells nothing
    assert record["left_out"] == {"choice": 1, "money": 4}
    kinds = sorted(kind for kind, _ in record["withheld"])
    assert kinds == ["money", "money", "name", "plan", "plan"]
    assert "about/seller" not in json.dumps(record)
    assert _record(partner)["left_out"] == {}
