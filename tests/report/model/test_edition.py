"""What may reach an edition: no money in the condition report, and what a person chose to keep."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from bradawl.language import Reader, reading_as
from bradawl.language.checklist_texts import MARK
from bradawl.report.checking.record_proof import check_record
from bradawl.report.issue import write_report
from bradawl.report.model.attached_record import attached_record
from bradawl.report.model.editions.edition import Choice, Edition, edition_view, review
from bradawl.report.printing import Printing
from bradawl.report.signing.keys import Signer
from bradawl.report.signing.trust_store import TrustStore
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
    assert record["left_out"] == {"choice": 1, "money": 2, "plan": 2}
    kinds = sorted(kind for kind, _ in record["withheld"])
    assert kinds == ["money", "money", "name", "plan", "plan"]
    assert "about/seller" not in json.dumps(record)
    assert _record(partner)["left_out"] == {}


NOTE = "items/rodents.loom/note"
GIVING_AWAY = "Seller wants 75310 firm. Call Wendel Abernook 555-0134"


def _ids(visit: Any, edition: Edition, path: str) -> frozenset[str]:
    choice = Choice()
    return frozenset(one.id for one in review(visit, edition, choice) if one.path == path)


def test_a_note_that_may_give_something_away_stays_out_until_a_person_lets_it_out(
    tmp_path: Path, shop: Signer
) -> None:
    visit = snapshot([*puts([]), (NOTE, GIVING_AWAY)])
    out = tmp_path / "out.pdf"
    write_report(visit, out, "condition", shop, today=TODAY)
    everything = _everything(out)
    for told in ("75310", "Wendel", "Abernook", "555-0134"):
        assert told not in everything
    assert "[Left out of this copy.]" in words(out)
    record = _record(out)
    assert record["left_out"]["review"] == 1
    assert "note" in [kind for kind, _ in record["withheld"]]
    read = Choice(reviewed=_ids(visit, "condition", NOTE))
    write_report(visit, out, "condition", shop, today=TODAY, choice=read)
    assert "Call Wendel Abernook 555-0134" in words(out)
    assert NOTE in _paths(_record(out))


def test_a_reason_that_the_judge_quotes_is_left_out_there_too(tmp_path: Path, shop: Signer) -> None:
    """Found by a reader of the first reports: the price stood on page 1, as a grade's reason."""
    judged = assessment()
    judged["items"]["rust.sill-left"]["reasons"] = [
        {"said": {"id": "judge-reason-unseen-why", "args": {"why": GIVING_AWAY}}}
    ]
    recorded = [*puts([]), ("items/rust.sill-left/why", GIVING_AWAY)]
    view = edition_view(snapshot(recorded, judgement=judged), "condition")
    assert "75310" not in json.dumps(view.assessment)
    assert GIVING_AWAY in json.dumps(
        edition_view(snapshot(recorded, judgement=judged), "partner").assessment
    )


def test_what_was_judged_is_never_cut() -> None:
    judged = assessment()
    said = unsaid("Pedal travel in 40 %, asks 12 V at pin 30")
    judged["items"]["rust.sill-left"]["reasons"] = [{"said": said}]
    view = edition_view(snapshot(judgement=judged), "condition")
    assert view.assessment["items"]["rust.sill-left"]["reasons"] == [{"said": said}]


def test_a_grade_reading_choice_and_conflict_pass_whatever_is_chosen() -> None:
    nothing = Choice(place=False, seller=False, photos=False, amendments=False)
    visit = snapshot([*puts([jpeg(1)]), (NOTE, GIVING_AWAY)], [jpeg(1)])
    shown = {row[0] for row in edition_view(visit, "condition", nothing).shown}
    judged = {
        path
        for path in visit.cells
        if path.endswith(("/grade", "/choice")) or "/readings/" in path or path.startswith("car/")
    }
    assert judged
    assert judged <= shown


def test_a_photo_of_papers_stays_out_where_the_sellers_name_does() -> None:
    papers = {**ITEMS[0], "id": "papers.title", "area": "papers"}
    recorded = [*puts([]), ("items/papers.title/photos/" + "a" * 64, {"taken": ""})]
    visit = snapshot(recorded, items=[*ITEMS, papers])
    view = edition_view(visit, "condition")
    path = "items/papers.title/photos/" + "a" * 64
    assert view.cells[path]["value"] is None
    assert path not in {row[0] for row in view.shown}
    assert edition_view(visit, "partner").cells[path]["value"] is not None


def test_a_fact_that_gives_a_price_away_is_blacked_out_and_its_place_named() -> None:
    visit = snapshot([*puts([]), ("car/model", "Tilda 16, $75,310 firm")])
    view = edition_view(visit, "condition")
    assert view.cells["car/model"]["value"] == "███"
    assert [row[0] for row in view.set_aside] == ["car/model"]
    assert "75,310" not in attached_record(view).decode()
    assert check_record(json.loads(attached_record(view)), TrustStore())[0]
    read = Choice(reviewed=_ids(visit, "condition", "car/model"))
    assert edition_view(visit, "condition", read).cells["car/model"]["value"].startswith("Tilda")
    assert edition_view(visit, "partner").money is not None


def test_nothing_needs_review_where_nothing_is_hidden() -> None:
    visit = snapshot([*puts([]), (NOTE, GIVING_AWAY)])
    assert review(visit, "partner", Choice(seller=True)) == []
    flagged = review(visit, "partner", Choice(seller=False))
    assert next(one.clues for one in flagged if one.path == NOTE) == ("name", "number")
