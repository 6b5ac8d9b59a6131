"""A report for readers who do not see it: what ISO 14289-1 (PDF/UA-1) asks of its structure.

Clauses of ISO 14289-1:2014 and numbers of the Matterhorn Protocol 1.02 are from memory. A validator
that knows all of them is in no registry here; server/bradawl/report/README.md says when one was
built by hand. This looks at a signed report, and at the same one after somebody else signed it too.
"""

from __future__ import annotations

import itertools
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from bradawl.report.signing.keys import Signer, open_signer
from bradawl.report.signing.signatures import countersign
from tests.report.tools import run


@pytest.fixture(scope="module")
def twice_signed(partner: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("twice")
    file = Path(shutil.copy(partner, folder / "report.pdf"))
    with file.open("r+b") as opened:
        countersign(opened, _other(folder))
    return file


def _other(folder: Path) -> Signer:
    return open_signer(folder / "keys")


@pytest.fixture(scope="module", params=["signed", "signed twice"])
def pdf(request: pytest.FixtureRequest, partner: Path, twice_signed: Path) -> Iterator[Any]:
    with pikepdf.open(partner if request.param == "signed" else twice_signed) as opened:
        yield opened


def _elements(pdf: Any) -> Iterator[Any]:
    """All elements in reading order."""
    waiting = [pdf.Root.StructTreeRoot.K]
    while waiting:
        one = waiting.pop()
        if not isinstance(one, pikepdf.Dictionary) or "/S" not in one:
            continue
        yield one
        waiting += reversed(_parts(one))


def _parts(element: Any) -> list[Any]:
    parts = element.get("/K")
    if parts is None:
        return []
    return list(parts) if isinstance(parts, pikepdf.Array) else [parts]


def _of(pdf: Any, role: str) -> list[Any]:
    return [one for one in _elements(pdf) if str(one.S) == f"/{role}"]


def test_all_content_is_claimed_or_decoration(pdf: Any) -> None:
    """7.1; Matterhorn 01-005: nothing is shown outside of a marked sequence, none is nested."""
    shown = {"Tj", "TJ", "f", "F", "f*", "S", "s", "B", "B*", "b", "b*", "Do", "sh", "'", '"'}
    seen = 0
    for page in pdf.pages:
        depth = 0
        for operands, operator in pikepdf.parse_content_stream(page):
            name = str(operator)
            if name in ("BMC", "BDC"):
                depth += 1
                assert depth == 1
                assert name == "BDC" or operands[0] == "/Artifact"
            elif name == "EMC":
                depth -= 1
                assert depth == 0
            elif name in shown:
                assert depth == 1, name
                seen += 1
        assert depth == 0
    assert seen > 300


def test_the_parent_tree_is_complete(pdf: Any) -> None:
    """ISO 32000-1, 14.7.4.4: from each marked sequence and annotation to its element and back."""
    numbers = pdf.Root.StructTreeRoot.ParentTree.Nums
    tree = {int(numbers[at]): numbers[at + 1] for at in range(0, len(numbers), 2)}
    assert int(pdf.Root.StructTreeRoot.ParentTreeNextKey) > max(tree)
    claimed: dict[tuple[int, int], Any] = {}
    for element in _elements(pdf):
        assert "/P" in element
        for part in _parts(element):
            if isinstance(part, int):
                claimed[element.Pg.objgen[0], int(part)] = element
            elif part.get("/Type") == "/MCR":
                claimed[part.Pg.objgen[0], int(part.MCID)] = element
            elif part.get("/Type") == "/OBJR":
                assert tree[int(part.Obj.StructParent)] == element
    marked = 0
    for page in pdf.pages:
        row = tree[int(page.obj.StructParents)]
        found = [
            int(operands[1].MCID)
            for operands, operator in pikepdf.parse_content_stream(page)
            if str(operator) == "BDC"
        ]
        assert found == list(range(len(row)))
        for number in found:
            assert claimed.pop((page.obj.objgen[0], number)) == row[number]
        marked += len(found)
    assert not claimed
    assert marked > 100


def test_roles_are_standard_ones_and_stand_where_they_may(pdf: Any) -> None:
    """7.1, 7.2 and 7.6; Matterhorn 02-001, 09-004 to 09-006: rows in tables, items in lists."""
    above = {"TR": {"Table"}, "TH": {"TR"}, "TD": {"TR"}, "LI": {"L"}, "LBody": {"LI"}}
    below = {"Table": {"TR"}, "TR": {"TH", "TD"}, "L": {"LI"}}
    known = {"Document", "P", "Figure", "Link", "Form", *above, *below}
    known |= {f"H{level}" for level in range(1, 7)}
    for element in _elements(pdf):
        role = str(element.S)[1:]
        assert role in known
        if role in above:
            assert str(element.P.S)[1:] in above[role]
        for part in _parts(element):
            if isinstance(part, pikepdf.Dictionary) and "/S" in part and role in below:
                assert str(part.S)[1:] in below[role]


def test_headings_begin_at_the_first_level_and_skip_none(pdf: Any) -> None:
    """7.4.2; Matterhorn 14-002 and 14-003."""
    levels = [int(str(one.S)[2:]) for one in _elements(pdf) if re.fullmatch(r"/H\d", str(one.S))]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(level <= before + 1 for before, level in itertools.pairwise(levels))
    assert {2, 3} <= set(levels)


def test_every_picture_has_words_and_a_place(pdf: Any) -> None:
    """7.3; Matterhorn 13-004; ISO 32000-1, 14.8.5.4.3."""
    pictures = _of(pdf, "Figure")
    assert len(pictures) > 5
    for picture in pictures:
        assert str(picture.Alt).strip()
        left, bottom, right, top = (float(edge) for edge in picture.A.BBox)
        page = picture.Pg.MediaBox
        assert 0 <= left < right <= float(page[2])
        assert 0 <= bottom < top <= float(page[3])


def test_tables_have_head_cells_that_say_what_they_head(pdf: Any) -> None:
    """7.5; Matterhorn 15-003; and rows of one length (Matterhorn 15-004, from memory)."""
    tables = _of(pdf, "Table")
    assert tables
    for table in tables:
        rows = [part for part in _parts(table) if part.get("/S") == "/TR"]
        assert len({len(_parts(row)) for row in rows}) == 1
        heads = [cell for row in rows for cell in _parts(row) if cell.S == "/TH"]
        assert heads
        assert all(cell.A.Scope in ("/Column", "/Row") for cell in heads)


def test_links_and_fields_are_told_apart_by_words(pdf: Any) -> None:
    """7.18.1, 7.18.3, 7.18.4 and 7.18.5; Matterhorn 28-002 to 28-012."""
    kinds = set()
    for page in pdf.pages:
        assert page.obj.Tabs == "/S"
        for note in page.obj.get("/Annots", []):
            assert "/StructParent" in note
            assert str(note.Contents).strip()
            if note.Subtype == "/Widget":
                assert str(note.TU).strip()
            kinds.add(str(note.Subtype))
    assert kinds == {"/Link", "/Widget"}
    assert len(_of(pdf, "Form")) == 3
    fields = {str(field.T) for field in pdf.Root.AcroForm.Fields}
    assert fields == {"Workshop", "Second-signature", "Third-signature"}


def test_the_file_says_its_language_its_title_and_that_it_is_tagged(pdf: Any) -> None:
    """7.1 and 7.2; Matterhorn 06-002 to 07-002 and 11-001; ISO 19005-3, 6.6.4 and 6.7.2."""
    assert pdf.Root.MarkInfo.Marked is True
    assert pdf.Root.Lang == "en-US"
    assert pdf.Root.ViewerPreferences.DisplayDocTitle is True
    assert "/Outlines" in pdf.Root
    with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as described:
        assert described["pdfuaid:part"] == "1"
        assert described["pdfaid:conformance"] == "A"
        assert described["dc:title"]


def test_no_font_is_missing_and_none_draws_the_sign_for_a_missing_letter(
    twice_signed: Path,
) -> None:
    """7.21.4 and 7.21.8; Matterhorn 31-009 and 31-027. The signature's own drawing counts too."""
    with pikepdf.open(twice_signed) as opened:
        fonts = [
            one
            for one in opened.objects
            if isinstance(one, pikepdf.Dictionary) and one.get("/Type") == "/Font"
        ]
        for font in fonts:
            own = font.DescendantFonts[0] if font.Subtype == "/Type0" else font
            if "/FontDescriptor" in own:
                assert "/FontFile2" in own.FontDescriptor
                assert own is not font or "/ToUnicode" in font
            else:
                raise AssertionError(f"{font.BaseFont} is not embedded")
    text = run("pdftotext", "-enc", "UTF-8", twice_signed, "-")
    assert "\ufffd" not in text


def test_another_reader_walks_the_structure(partner: Path) -> None:
    """Oracle: poppler; words of the pages are found in the order of the elements."""
    said = run("pdfinfo", "-struct-text", partner)
    assert "Syntax" not in said
    places = [said.index(words) for words in ("Condition report", "VIN", "Area", "Brakes")]
    assert places == sorted(places)
