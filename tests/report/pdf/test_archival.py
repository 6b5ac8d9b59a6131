"""Structure for long keeping: what ISO 19005-3 asks, as far as the tools here can see.

pikepdf's validator runs here; it knows neither attached files nor signatures, which are checked
one by one. server/bradawl/report/README.md says what a validator that knows them found on the day
it was built by hand. Clause numbers are of ISO 19005-3:2012, from memory.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from fontTools.ttLib import TTFont
from pikepdf import pdfa
from PIL import Image, ImageCms

from bradawl.report.issue import write_report
from bradawl.report.model.editions.edition import Edition
from bradawl.report.pdf import color_profile
from tests.report.tools import run
from tests.report.visits import TODAY, VISIT, jpeg, puts, snapshot


@pytest.fixture
def opened(condition: Path) -> Any:
    with pikepdf.open(condition) as pdf:
        yield pdf


def test_qpdf_and_mutool_find_nothing_wrong(condition: Path, tmp_path: Path) -> None:
    assert "No syntax or stream encoding errors found" in run("qpdf", "--check", condition)
    assert run("mutool", "clean", "-s", condition, tmp_path / "cleaned.pdf").strip() == ""
    said = run("pdftoppm", "-r", "20", "-png", condition, tmp_path / "page")
    assert said.strip() == ""
    assert len(list(tmp_path.glob("page*.png"))) >= 2


def _approval(change: Callable[[pikepdf.Pdf], None], made: Path) -> pdfa.Report:
    """What the validator says of an unsigned report as one of level B, after a change.

    Without what it does not know: attachments, level A and the description of PDF/UA's own name.
    """
    out = io.BytesIO()
    with pikepdf.open(made) as pdf:
        del pdf.Root.AF, pdf.Root.Names.EmbeddedFiles
        described = pdf.Root.Metadata.read_bytes().decode()
        described = described.replace("<pdfaid:conformance>A<", "<pdfaid:conformance>B<")
        extension = r"<rdf:Description [^>]*pdfaExtension[^>]*>.*?</rdf:Description>"
        described = re.sub(extension, "", described, flags=re.DOTALL)
        described = re.sub(
            r'\s*xmlns:pdfuaid="[^"]*"|<pdfuaid:part>1</pdfuaid:part>', "", described
        )
        pdf.Root.Metadata.write(described.encode())
        change(pdf)
        pdf.save(
            out,
            stream_decode_level=pikepdf.StreamDecodeLevel.none,
            compress_streams=False,
            object_stream_mode=pikepdf.ObjectStreamMode.disable,
        )
    return pdfa.validate_written(out, "3b")


@pytest.mark.parametrize("edition", ["condition", "partner"])
def test_a_validator_approves_what_it_knows_of_a_report(tmp_path: Path, edition: Edition) -> None:
    """It refuses what it has not been taught, so an approval is one of all that is there."""
    made = tmp_path / "unsigned.pdf"
    recorded = [*puts([jpeg(1), jpeg(2)]), ("items/rodents.loom/note", "Мыши, ποντίκια, mīļie")]
    visit = snapshot(recorded, [jpeg(1), jpeg(2)])
    write_report(visit, made, edition, None, today=TODAY)
    report = _approval(lambda _: None, made)
    assert report.passed, report.findings

    def without_intent(pdf: pikepdf.Pdf) -> None:
        del pdf.Root.OutputIntents

    def without_font_program(pdf: pikepdf.Pdf) -> None:
        for one in pdf.objects:
            if isinstance(one, pikepdf.Dictionary) and "/FontFile2" in one:
                del one["/FontFile2"]

    assert not _approval(without_intent, made).passed
    assert not _approval(without_font_program, made).passed


def test_the_header_says_pdf_1_7_and_nothing_later_is_claimed(condition: Path, opened: Any) -> None:
    assert condition.read_bytes().startswith(b"%PDF-1.7\n%")
    assert "/Version" not in opened.Root
    assert "/ID" in opened.trailer  # 6.1.3
    assert "/Encrypt" not in opened.trailer


def test_the_metadata_names_part_and_level_and_agrees_with_the_information_dictionary(
    opened: Any,
) -> None:
    assert opened.Root.Metadata.get("/Filter") is None  # 6.6.2.1: readable as plain text
    created = str(opened.docinfo["/CreationDate"])
    with opened.open_metadata(update_docinfo=False) as meta:
        assert meta["pdfaid:part"] == "3"
        assert meta["pdfaid:conformance"] == "A"
        assert meta["pdfuaid:part"] == "1"
        assert meta["dc:title"] == str(opened.docinfo["/Title"])
        assert meta["pdf:Producer"] == str(opened.docinfo["/Producer"])
        assert meta["xmp:CreatorTool"] == str(opened.docinfo["/Creator"])
        assert list(meta["dc:creator"]) == [str(opened.docinfo["/Author"])]
    xmp = opened.Root.Metadata.read_bytes().decode()
    made = re.search(r"<xmp:CreateDate>(.*?)<", xmp)
    assert made is not None
    digits = re.sub(r"\D", "", made.group(1))[:14]
    assert created == f"D:{digits}Z"


def test_the_output_intent_holds_an_rgb_profile(opened: Any) -> None:
    (intent,) = opened.Root.OutputIntents
    assert intent.S == "/GTS_PDFA1"
    assert intent.DestOutputProfile.N == 3
    assert intent.DestOutputProfile.read_bytes() == color_profile.profile()


def test_the_profile_is_srgb_by_the_word_of_little_cms() -> None:
    """Oracle: LittleCMS's own sRGB, through Pillow."""
    ours = ImageCms.ImageCmsProfile(io.BytesIO(color_profile.profile()))
    theirs = ImageCms.createProfile("sRGB")
    ramp = Image.new("RGB", (32, 24))
    ramp.putdata([(x * 8, y * 10, (x * y) % 256) for y in range(24) for x in range(32)])
    to_lab = ImageCms.createProfile("LAB")
    lab = [
        ImageCms.applyTransform(
            ramp, ImageCms.buildTransform(profile, to_lab, "RGB", "LAB", renderingIntent=1)
        )
        for profile in (ours, theirs)
    ]
    differences = [abs(a - b) for a, b in zip(*(one.tobytes() for one in lab), strict=True)]
    assert max(differences) <= 1


def test_the_profile_never_changes() -> None:
    assert len(color_profile.profile()) == int.from_bytes(color_profile.profile()[:4], "big")
    color_profile.profile.cache_clear()
    first = color_profile.profile()
    color_profile.profile.cache_clear()
    assert color_profile.profile() == first


def test_every_font_is_embedded_and_maps_back_to_unicode(condition: Path) -> None:
    lines = run("pdffonts", condition).splitlines()[2:]
    assert lines
    for line in lines:
        embedded, subset, unicode = line.split()[-5:-2]
        assert (embedded, subset, unicode) == ("yes", "yes", "yes")


def test_the_widths_of_every_glyph_are_those_of_the_embedded_font(opened: Any) -> None:
    """6.2.11.5; oracle: fontTools reads the embedded program."""
    seen = 0
    for one in opened.objects:
        if not isinstance(one, pikepdf.Dictionary) or one.get("/Type") != "/Font":
            continue
        assert "/Encoding" not in one  # 6.2.11.6: a symbolic TrueType font has none
        assert int(one.FontDescriptor.Flags) & 4
        font = TTFont(io.BytesIO(one.FontDescriptor.FontFile2.read_bytes()))
        (table,) = font["cmap"].tables  # and one cmap
        for code, glyph in table.cmap.items():
            if code < len(one.Widths):
                seen += 1
                width = font["hmtx"][glyph][0] * 1000 / font["head"].unitsPerEm
                assert abs(float(one.Widths[code]) - width) < 1
    assert seen > 150


def test_nothing_forbidden_is_in_the_file(opened: Any) -> None:
    for one in opened.objects:
        if not isinstance(one, (pikepdf.Dictionary, pikepdf.Stream)):
            continue
        for key in ("/JS", "/JavaScript", "/AA", "/Launch", "/OpenAction", "/URI", "/PS", "/OPI"):
            assert key not in one, key
        assert one.get("/Filter") != pikepdf.Name.LZWDecode
        assert one.get("/S") not in ("/JavaScript", "/Launch", "/URI", "/GoToR", "/SubmitForm")
        if one.get("/Subtype") == "/Image":
            assert "/Interpolate" not in one or one.Interpolate is False
            assert one.ColorSpace in ("/DeviceRGB", "/DeviceGray")


def test_annotations_are_printed_and_have_an_appearance_where_they_have_a_size(opened: Any) -> None:
    seen = 0
    for page in opened.pages:
        for note in page.obj.get("/Annots", []):
            seen += 1
            assert int(note.F) & 4  # 6.3.2: print
            assert not int(note.F) & (1 | 2 | 32)  # not invisible, hidden or no view
            left, bottom, right, top = (float(edge) for edge in note.Rect)
            if note.Subtype == "/Widget" and right > left and top > bottom:
                assert "/N" in note.AP
            if note.Subtype == "/Link":
                assert "/A" not in note  # inside the document only
    assert seen > 3


def test_record_and_manifest_are_associated_files_with_a_type_and_a_relation(opened: Any) -> None:
    names = []
    for entry in opened.Root.AF:
        names.append(str(entry.UF))
        assert entry.AFRelationship in ("/Source", "/Data")  # 6.8
        assert entry.EF.F.Subtype == "/application/json"
        assert "/ModDate" in entry.EF.F.Params
    assert sorted(names) == ["manifest.json", "record.json"]
    assert set(opened.attachments) == set(names)
    record = json.loads(opened.attachments["record.json"].get_file().read_bytes())
    assert record["visit"] == VISIT
    manifest = json.loads(opened.attachments["manifest.json"].get_file().read_bytes())
    raw = opened.attachments["record.json"].get_file().read_bytes()
    assert manifest["record_sha256"] == hashlib.sha256(raw).hexdigest()
    assert len(manifest["pages"]) == len(opened.pages)


def test_poppler_reads_the_attachments(condition: Path, tmp_path: Path) -> None:
    run("pdfdetach", "-saveall", "-o", tmp_path, condition)
    assert json.loads((tmp_path / "record.json").read_text())["format"] == 3
