"""Reports by a forger who has this program and a key of their own, and touches no record.

What they draw, swap, hide, link or claim otherwise is found by printing the report again. The ways
are of our own making, after what a page may hold (ISO 32000-1, 7.7.3.3).
"""

from __future__ import annotations

import io
import json
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from pikepdf import Dictionary, Name

from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import assess
from bradawl.report.draft import Draft
from bradawl.report.model.editions.edition import EDITIONS
from bradawl.report.signing.keys import Signer, open_signer
from bradawl.report.signing.signatures import certify
from tests.checkout import checklist_bundle
from tests.report.reprint.judged import PEDAL, compared, recorded, visit_with
from tests.report.tampering.attacker import fit
from tests.report.tools import apart, build
from tests.report.visits import TODAY, jpeg

PHOTOS = [jpeg(1), jpeg(2)]
Edit = Callable[[pikepdf.Pdf], None]


@pytest.fixture(scope="module")
def forger(tmp_path_factory: pytest.TempPathFactory) -> Signer:
    return open_signer(tmp_path_factory.mktemp("forger"), name="Rita Farnwell")


@pytest.fixture(scope="module")
def visit() -> Snapshot:
    grades = [(f"items/{item['id']}/grade", {"grade": "minor"}) for item in _some_items()]
    return visit_with(recorded(*grades, photos=PHOTOS), photos=PHOTOS)


def _some_items() -> list[Any]:
    return [item for item in checklist_bundle()["items"] if item["area"] == "rust"][:5]


@pytest.fixture(scope="module")
def unsigned(visit: Snapshot, forger: Signer) -> bytes:
    """The forger's own report before it is signed."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Draft, "_certify", lambda *_: [])
        return build(visit, "condition", forger, today=TODAY)


def signed(
    unsigned: bytes,
    forger: Signer,
    edit: Edit = lambda pdf: None,
    *,
    record: Callable[[dict[str, Any]], None] | None = None,
    manifest: Callable[[dict[str, Any]], None] | None = None,
) -> bytes:
    """The report changed, its digests made to fit, and signed with the forger's key."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(unsigned)) as pdf:
        edit(pdf)
        made = json.loads(_attached(pdf, "manifest.json"))["made"]
        fit(pdf, record, manifest, made)
        pdf.save(
            out,
            min_version="1.7",
            compress_streams=False,
            stream_decode_level=pikepdf.StreamDecodeLevel.none,
            object_stream_mode=pikepdf.ObjectStreamMode.disable,
        )
    apart(lambda: certify(out, forger, reason="made"))
    return out.getvalue()


def _attached(pdf: pikepdf.Pdf, name: str) -> bytes:
    return next(entry.EF.F.read_bytes() for entry in pdf.Root.AF if str(entry.UF) == name)


def test_one_that_nothing_was_done_to_is_unknown_and_its_pages_follow(
    unsigned: bytes, forger: Signer
) -> None:
    verdict = compared(signed(unsigned, forger))
    assert verdict.kind == "unknown", verdict.lines
    assert "report-verify-pages-again" in {said.id for said in verdict.notes}


def _drawn(page: int, code: bytes) -> Edit:
    def edit(pdf: pikepdf.Pdf) -> None:
        content = pdf.pages[page].obj.Contents
        content.write(content.read_bytes() + code)

    return edit


def _word_less(pdf: pikepdf.Pdf) -> None:
    content = pdf.pages[0].obj.Contents
    before = content.read_bytes()
    at = before.rindex(b" Tj", 0, len(before) // 2)
    begin = before.rindex(b"BT", 0, at)
    end = before.index(b"ET", at) + 2
    content.write(before[:begin] + b" " * (end - begin) + before[end:])


def _letters_swapped(pdf: pikepdf.Pdf) -> None:
    """The same codes draw other letters: the program of a font is exchanged."""
    fonts = pdf.pages[0].obj.Resources.Font
    files = []
    for font in fonts.values():
        inside = font.DescendantFonts[0] if "/DescendantFonts" in font else font
        if "/FontDescriptor" in inside and "/FontFile2" in inside.FontDescriptor:
            files.append(inside.FontDescriptor)
    first, second = files[:2]
    first.FontFile2, second.FontFile2 = second.FontFile2, first.FontFile2


def _read_otherwise(pdf: pikepdf.Pdf) -> None:
    """What is copied out of the page, or read aloud, is another text than the one that is seen."""
    for font in pdf.pages[0].obj.Resources.Font.values():
        if "/ToUnicode" in font:
            font.ToUnicode.write(font.ToUnicode.read_bytes().replace(b"beginbf", b"beginbf "))


def _photo_swapped(pdf: pikepdf.Pdf) -> None:
    places = [
        (pictures, name)
        for page in pdf.pages
        if (pictures := page.obj.Resources.get("/XObject")) is not None
        for name in pictures
        if pictures[name].get("/Subtype") == Name.Image
    ]
    (first, one), (second, other) = places[0], places[-1]
    assert (first[one].read_raw_bytes()) != second[other].read_raw_bytes()
    first[one], second[other] = second[other], first[one]


def _cropped(pdf: pikepdf.Pdf) -> None:
    pdf.pages[0].obj.CropBox = [0, 400, 612, 792]


def _cropped_from_above(pdf: pikepdf.Pdf) -> None:
    pdf.Root.Pages.CropBox = [0, 400, 612, 792]


def _cropped_from_between(pdf: pikepdf.Pdf) -> None:
    """All pages below a node of their own, which hands the cropping down (ISO 32000-1, 7.7.3.4)."""
    root = pdf.Root.Pages
    between = pdf.make_indirect(
        Dictionary(
            Type=Name.Pages,
            Parent=root,
            Kids=root.Kids,
            Count=root.Count,
            CropBox=[0, 400, 612, 792],
        )
    )
    for page in root.Kids:
        page.Parent = between
    root.Kids = pikepdf.Array([between])


def _turned(pdf: pikepdf.Pdf) -> None:
    pdf.pages[1].obj.Rotate = 180


def _last_page_gone(pdf: pikepdf.Pdf) -> None:
    del pdf.pages[-1]


def _page_more(pdf: pikepdf.Pdf) -> None:
    pdf.add_blank_page()


def _pages_exchanged(pdf: pikepdf.Pdf) -> None:
    pdf.pages.insert(0, pdf.pages[1])
    del pdf.pages[2]


def _linked_elsewhere(pdf: pikepdf.Pdf) -> None:
    link = Dictionary(
        Type=Name.Annot,
        Subtype=Name.Link,
        Rect=[0, 0, 600, 700],
        F=4,
        A=Dictionary(S=Name.URI, URI=pikepdf.String("https://example.org/all-fine")),
    )
    page = pdf.pages[0].obj
    page.Annots = pikepdf.Array([*page.get("/Annots", []), pdf.make_indirect(link)])


def _own_link(pdf: pikepdf.Pdf) -> tuple[int, Any]:
    """The first link of the report, and the index of its page."""
    return next(
        (at, link)
        for at, page in enumerate(pdf.pages)
        for link in page.obj.get("/Annots", [])
        if link.get("/Subtype") == Name.Link
    )


def _link_bordered(pdf: pikepdf.Pdf) -> None:
    """A link of the report with a white border as wide as a page (ISO 32000-1, 12.5.4)."""
    _, link = _own_link(pdf)
    link.Border = pikepdf.Array([0, 0, 300])
    link.C = pikepdf.Array([1, 1, 1])


def _link_styled(pdf: pikepdf.Pdf) -> None:
    _, link = _own_link(pdf)
    link.BS = Dictionary(W=300, S=Name.S)


PAGES: dict[str, tuple[Edit, str]] = {
    "white over page 1, and other words": (
        _drawn(0, b"\nq 1 g 0 0 612 792 re f Q BT /F1 20 Tf 60 700 Td (Drive it home) Tj ET"),
        "1",
    ),
    "a stroke on page 2": (_drawn(1, b"\n0 0 m 9 9 l S"), "2"),
    "words gone from page 1": (_word_less, "1"),
    "a page cropped": (_cropped, "1"),
    "a page turned": (_turned, "2"),
    "a link over page 1": (_linked_elsewhere, "1"),
    "a link with a border over the page": (_link_bordered, "1"),
    "a link with a border of a style": (_link_styled, "1"),
    "letters that look otherwise": (_letters_swapped, ""),
    "letters that read otherwise": (_read_otherwise, ""),
    "all pages cropped": (_cropped_from_above, ""),
    "all pages cropped from a node between": (_cropped_from_between, ""),
    "two photos exchanged": (_photo_swapped, ""),
    "the last page gone": (_last_page_gone, ""),
    "a page more": (_page_more, ""),
    "two pages exchanged": (_pages_exchanged, ""),
}


@pytest.mark.parametrize("way", PAGES)
def test_a_page_that_does_not_follow_is_named(way: str, unsigned: bytes, forger: Signer) -> None:
    edit, page = PAGES[way]
    verdict = compared(signed(unsigned, forger, edit))
    assert verdict.kind == "changed", verdict.lines
    [problem] = verdict.problems
    assert problem.id == "report-verify-page-otherwise", verdict.lines
    if page:
        assert str(problem) == (
            f"Page {page} does not follow from the attached record: printed again, it is another"
            " one."
        )


def _field(**entries: Any) -> Edit:
    def edit(pdf: pikepdf.Pdf) -> None:
        for key, value in entries.items():
            pdf.Root.AcroForm.Fields[1]["/" + key] = value

    return edit


@pytest.mark.parametrize(
    "edit",
    [
        _field(Rect=pikepdf.Array([50, 300, 560, 700]), MK=Dictionary(BG=pikepdf.Array([1, 1, 1]))),
        _field(Rect=pikepdf.Array([50, 300, 560, 700])),
        _field(AA=Dictionary(E=Dictionary(S=Name.JavaScript, JS=pikepdf.String("app.alert(1)")))),
    ],
    ids=["white over the page", "over the page", "a script in it"],
)
def test_a_field_to_sign_in_has_no_place_and_does_nothing(
    edit: Edit, unsigned: bytes, forger: Signer
) -> None:
    """Readers draw a field's ground where it has a place (ISO 32000-1, 12.5.6.19; seen in poppler
    and MuPDF).
    """
    verdict = compared(signed(unsigned, forger, edit))
    assert verdict.kind == "changed"
    assert [said.id for said in verdict.problems] == ["report-verify-fields"]


def _bookmark(pdf: pikepdf.Pdf) -> None:
    pdf.Root.Outlines.First.Title = pikepdf.String("No dangerous fault")


def _title(pdf: pikepdf.Pdf) -> None:
    pdf.docinfo["/Title"] = "No dangerous fault"


def _metadata(pdf: pikepdf.Pdf) -> None:
    pdf.Root.Metadata.write(pdf.Root.Metadata.read_bytes().replace(b"Condition", b"Faultless"))


def _read_aloud(pdf: pikepdf.Pdf) -> None:
    """What a screen reader says in place of the page (ISO 32000-1, 14.9.4)."""
    element = pdf.Root.StructTreeRoot.K
    element = element.K[0] if "/K" in element else element[0]
    element.ActualText = pikepdf.String("No dangerous fault was found.")


@pytest.mark.parametrize("edit", [_bookmark, _title, _metadata, _read_aloud])
def test_what_is_said_beside_the_pages_is_compared_too(
    edit: Edit, unsigned: bytes, forger: Signer
) -> None:
    verdict = compared(signed(unsigned, forger, edit))
    assert [said.id for said in verdict.problems] == ["report-verify-beside-otherwise"]


def test_a_judgment_that_is_claimed_and_printed_but_does_not_follow(
    visit: Snapshot, forger: Signer
) -> None:
    """The pages are those of the claimed judgment: it is the judgment that is judged again."""
    lying = json.loads(json.dumps(visit.assessment))
    lying["items"][PEDAL]["grade"] = "none"
    lying["findings"].remove(PEDAL)
    lying["drive_home"] |= {"answer": "drive", "said": {"id": "judge-answer-drive"}}
    for edition in EDITIONS:
        pdf = build(replace(visit, assessment=lying), edition, forger, today=TODAY)
        verdict = compared(pdf)
        assert verdict.kind == "changed"
        [problem] = [one for one in verdict.problems if "judged" in one.id]
        assert problem.id == "report-verify-judged-otherwise"
        assert "the way home" in str(problem)


def test_a_value_put_beside_the_record_is_named(visit: Snapshot, forger: Signer) -> None:
    """The best that a forger can do who has this program: to claim what the record has not."""
    grade = f"items/{PEDAL}/grade"
    cells = {**visit.cells, grade: {**visit.cells[grade], "value": {"grade": "none"}}}
    judged = assess({"visit": visit.visit, "cells": cells}, visit.bundle["rules"], TODAY)
    lying = replace(visit, cells=cells, assessment=judged)
    pdf = build(lying, "condition", forger, today=TODAY)
    verdict = compared(pdf)
    assert verdict.kind == "unknown"
    [said] = [str(one) for one in verdict.notes if one.id == "report-verify-unproven"]
    title = next(item["title"] for item in visit.bundle["items"] if item["id"] == PEDAL)
    assert title in said
    assert "one entry that the attached record does not prove" in said


def _version(manifest: dict[str, Any]) -> None:
    manifest["bradawl"] = "9.1\x1b[8m"
    manifest["printed"]["printer"] = "0" * 32


def _nothing_said(manifest: dict[str, Any]) -> None:
    del manifest["printed"]


def _senseless(manifest: dict[str, Any]) -> None:
    manifest["printed"]["beside"] = 7


def _language(manifest: dict[str, Any]) -> None:
    manifest["language"] = "xx-XX"


def _gap(manifest: dict[str, Any]) -> None:
    manifest["photo_gaps"] = dict.fromkeys(manifest["photos"], "no dangerous fault was found")


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (_version, "printer"),
        (_nothing_said, "printer"),
        (_senseless, "failed"),
        (_language, "failed"),
        (_gap, "failed"),
    ],
)
def test_what_cannot_be_compared_is_said_and_calls_nothing_changed(
    change: Callable[[dict[str, Any]], None], why: str, unsigned: bytes, forger: Signer
) -> None:
    verdict = compared(signed(unsigned, forger, manifest=change), {forger.fingerprint: forger.name})
    assert verdict.kind == "genuine", verdict.lines
    said = {one.id: str(one) for one in verdict.notes}
    assert f"report-verify-not-compared-{why}" in said
    assert "report-verify-pages-again" not in said
    assert "report-verify-pages" not in said
    assert "\x1b" not in "".join(said.values())


def test_a_record_that_would_take_minutes_is_not_printed(unsigned: bytes, forger: Signer) -> None:
    """Amendments lie outside the seal: anybody may attach as many as they like."""

    def many(record: dict[str, Any]) -> None:
        one = {"put": "car/make", "device": "ee" * 16, "value": "x" * 6_000, "at": "1"}
        record["amendments"] = [{**one, "put": f"car/{at}"} for at in range(1_000)]

    began = time.process_time()
    verdict = compared(signed(unsigned, forger, record=many))
    assert "report-verify-not-compared-large" in {one.id for one in verdict.notes}, verdict.lines
    assert time.process_time() - began < 10


def test_without_the_checklist_nothing_is_compared(unsigned: bytes, forger: Signer) -> None:
    verdict = compared(signed(unsigned, forger), bundle=lambda _hash: None)
    assert verdict.kind == "unknown"
    assert "report-verify-not-compared-checklist" in {one.id for one in verdict.notes}


def test_a_photo_of_the_file_that_is_not_the_shops(
    visit: Snapshot, forger: Signer, tmp_path: Path
) -> None:
    """A forger cannot know that the shop still has the photo that was sealed."""
    other = replace(visit, photo=lambda name: jpeg(7) if visit.photo(name) else None)
    pdf = build(other, "condition", forger, today=TODAY)
    assert compared(pdf).kind == "unknown"
    assert "report-verify-photos-reduced" in {one.id for one in compared(pdf).notes}
    verdict = compared(pdf, photo=visit.photo)
    assert [said.id for said in verdict.problems] == ["report-verify-page-otherwise"]


def test_nobody_gains_by_noting_that_pages_cannot_be_compared(
    unsigned: bytes, forger: Signer
) -> None:
    """No more than by naming another program as the printer, which whoever forges may do."""
    for note in ({"prints_alike": False}, {"printer": "0" * 32}):

        def manifest(said: dict[str, Any], note: dict[str, Any] = note) -> None:
            said["printed"] |= note

        pdf = signed(unsigned, forger, _drawn(0, b" 40 40 500 700 re f"), manifest=manifest)
        verdict = compared(pdf)
        assert verdict.kind == "unknown", verdict.lines
        said = {one.id for one in verdict.notes}
        assert "report-verify-pages-again" not in said
        assert said & {"report-verify-not-compared-issuer", "report-verify-not-compared-printer"}


def test_what_was_noted_under_a_known_signature_cannot_be_noted_later(
    visit: Snapshot, shop: Signer
) -> None:
    genuine = build(visit, "condition", shop, today=TODAY)
    noted = genuine.replace(b'"prints_alike": true', b'"prints_alike": null')
    assert noted != genuine
    assert compared(noted, {shop.fingerprint: shop.name}).kind == "changed"
