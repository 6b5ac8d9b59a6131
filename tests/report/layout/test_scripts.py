"""Every script is printed as its writers write it, and read back as it was typed."""

from __future__ import annotations

import io
import re
import unicodedata
from pathlib import Path

import hypothesis.strategies as st
import pikepdf
import pytest
from bidi import get_display
from fontTools.ttLib import TTFont
from hypothesis import given

from bradawl.report.layout.text import shaping, typeface
from bradawl.report.pdf import faces
from tests.report.tools import run

typeface.register()

from bradawl.report.layout.page_templates import ReportDocument  # noqa: E402 (fonts come first)
from bradawl.report.layout.text.paragraphs import paragraph  # noqa: E402

# Ours, in the languages most often written in each script.
NOTES = {
    "Latin": "Škórpá Łódź, hơi ẩm; “freins à revoir” → ≤ 3,6 % ⅛ in ⌀ 4 ✓ X\u2011ray x\u0302\u0323",
    "Cyrillic": "Задний тормозной шланг треснул у наконечника.",
    "Greek": "Ο πίσω σωλήνας φρένου έχει ραγίσει.",
    "Hebrew": "צינור הבלם האחורי סדוק ליד המחבר",
    "Arabic": "خرطوم الفرامل الخلفي متشقق بجانب الوصلة",
    "Devanagari": "पिछला ब्रेक होज़ फ़ेरूल के पास फटा हुआ है; श्रृंखला ढीली है।",
    "Bengali": "পিছনের ব্রেক হোস ফেটে গেছে",
    "Tamil": "பின்புற பிரேக் குழாய் விரிசல்",
    "Georgian": "უკანა მუხრუჭის შლანგი",
    "Armenian": "Արգելակի խողովակը ճաքել է",
    "Ethiopic": "የኋላ ብሬክ ቱቦ ተሰንጥቋል",
    "Thai": "สายเบรกหลังแตกร้าวข้างข้อต่อน้ำมันเบรกรั่วได้ทุกเมื่อ",
    "Emoji": "runs great 👍🔧 smoke 🚗💨 👨\u200d🔧 ✅ 1\ufe0f\u20e3 🇺🇸",
    "Formulas": "𝗕𝗢𝗟𝗗 𝐚𝐝",
}


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One page with a note in every script, as a note of a record comes there."""
    out, ink = io.BytesIO(), typeface.PrintableText()
    document = ReportDocument(out, page="letter", title="Test", foot="Foot")
    document.lay_out([paragraph(ink.markup(note)) for note in NOTES.values()])
    assert not ink.lacking
    file = tmp_path_factory.mktemp("scripts") / "page.pdf"
    file.write_bytes(out.getvalue())
    return file


def _plain(said: str) -> str:
    """Without the marks of direction that a tool adds, runs of white space as one space."""
    said = "".join(letter for letter in said if unicodedata.bidirectional(letter) not in MARKS)
    return " ".join(said.split())


MARKS = ("LRE", "RLE", "PDF", "LRI", "RLI", "FSI", "PDI", "LRO", "RLO")


@pytest.mark.parametrize("script", NOTES)
def test_a_note_is_found_again_as_it_was_typed(page: Path, script: str) -> None:
    """Oracle: poppler, which looks where glyphs stand."""
    text = _plain(run("pdftotext", "-layout", "-enc", "UTF-8", page, "-"))
    assert unicodedata.normalize("NFC", NOTES[script]) in text


def test_other_readers_find_it_too(page: Path) -> None:
    """Oracle: MuPDF; what it makes of a pictogram of several letters is not looked at."""
    text = _plain(run("mutool", "draw", "-F", "txt", page))
    for script in NOTES.keys() - {"Emoji", "Formulas"}:
        assert unicodedata.normalize("NFC", NOTES[script]) in text, script


def test_no_box_stands_for_a_letter_and_every_glyph_for_a_text(page: Path) -> None:
    """ISO 14289-1, 7.21.7 and 7.21.8; ISO 19005-3, 6.2.11.5 and 6.2.11.7 (from memory)."""
    seen = 0
    with pikepdf.open(page) as pdf:
        for one in pdf.objects:
            if not isinstance(one, pikepdf.Dictionary) or one.get("/Subtype") != "/Type0":
                continue
            (descendant,) = one.DescendantFonts
            program = TTFont(io.BytesIO(descendant.FontDescriptor.FontFile2.read_bytes()))
            glyphs = descendant.CIDToGIDMap.read_bytes()
            order = [int.from_bytes(glyphs[at : at + 2], "big") for at in range(0, len(glyphs), 2)]
            assert order[0] == 0
            assert 0 not in order[1:]
            widths = [float(width) for width in descendant.W[1]]
            scale = 1000 / program["head"].unitsPerEm
            for number, width in zip(order, widths, strict=True):
                name = program.getGlyphName(number)
                assert abs(program["hmtx"][name][0] * scale - width) < 1
            listed = one.ToUnicode.read_bytes().decode("ascii")
            listed = listed.partition("endcodespacerange")[2]
            texts = re.findall(r"<([0-9A-F]{4})> <([0-9A-F]*)>", listed)
            assert [int(code, 16) for code, _ in texts] == list(range(1, len(order)))
            assert all(text and text not in ("0000", "FEFF", "FFFE") for _, text in texts)
            seen += len(texts)
    assert seen > 200


def _seen(said: str) -> str:
    """A text as its letters stand from left to right."""
    parts, _ = shaping.set_one(said, typeface.SANS, 10.0)
    out = ""
    for part in sorted(parts, key=lambda part: part.left):
        glyphs = sorted(part.glyphs, key=lambda glyph: glyph.across)
        out += "".join(glyph.stands_for for glyph in glyphs) or part.said
    return out


@given(
    st.text("אבגד xyz 12.,%-", max_size=30),
    st.sampled_from(["{}", "ab {} ג", "ד ({}) x", "x [{}]"]),
)
def test_letters_stand_where_the_bidirectional_algorithm_puts_them(said: str, around: str) -> None:
    """Oracle: the crate unicode-bidi, behind python-bidi's get_display; it swaps brackets."""
    text = around.format(said).strip()
    if not re.search("[א-ת]", text):
        return

    def loose(shown: str) -> str:
        return re.sub(r"[()\[\]]", "|", shown)

    assert loose(_seen(text)) == loose(get_display(text))


@given(st.text(max_size=40), st.integers(30, 300))
def test_lines_hold_every_letter_whatever_was_typed(said: str, width: int) -> None:
    printed = typeface.PrintableText().text(said)
    _, lines = shaping.set_lines([shaping.Piece(printed, typeface.SANS, 9.0)], float(width))
    set_there = "".join(part.said for line in lines for part in line)
    assert set_there.replace(" ", "") == printed.replace(" ", "")
    for part in (part for line in lines for part in line if part.glyphs):
        assert "".join(glyph.stands_for for glyph in part.glyphs) == part.said


def test_words_of_thai_are_not_broken_within() -> None:
    """Thai writes no spaces; these five words are such (a dictionary's entries, from memory)."""
    words = ["สายเบรก", "หลัง", "แตก", "ต้อง", "เปลี่ยน"]
    said = "".join(words)
    ends = {sum(map(len, words[:n])) for n in range(1, 6)}
    _, lines = shaping.set_lines([shaping.Piece(said, typeface.SANS, 10.0)], 45.0)
    at = 0
    assert len(lines) > 1
    for line in lines:
        at += sum(len(part.said) for part in line)
        assert at in ends


def test_letters_no_face_has_are_counted_and_stand_whole_in_the_file() -> None:
    ink = typeface.PrintableText()
    said = ink.text("ᚠᚢ")  # runes
    assert said == "ᚠᚢ"
    assert ink.lacking == {"Runic": 2}
    parts, _ = shaping.set_one(said, typeface.SANS, 10.0)
    assert [glyph.stands_for for part in parts for glyph in part.glyphs] == ["ᚠ", "ᚢ"]


def test_the_language_of_a_note_is_told_by_its_script() -> None:
    told = {script: faces.language_of(note) for script, note in NOTES.items()}
    assert (told["Hebrew"], told["Arabic"], told["Thai"], told["Latin"]) == ("he", "ar", "th", "")
