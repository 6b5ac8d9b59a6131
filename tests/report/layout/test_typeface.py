"""Scripts that the fonts have are printed; what they lack is said, never an empty box."""

from __future__ import annotations

import xml.sax.saxutils
from pathlib import Path

import hypothesis.strategies as st
import pytest
from hypothesis import given

from bradawl.report.issue import write_report
from bradawl.report.layout.typeface import PrintableText, register
from bradawl.report.signing.keys import Signer
from tests.report.tools import flowing, run
from tests.report.visits import TODAY, puts, snapshot

# Letters of official languages written in these scripts (alphabets: Unicode CLDR, from memory).
LATIN = "ÅåÆæØøÇçÑñÖöÜüßŁłŐőŰűČčŠšŽžĐđȘșȚțĞğİıÞþÐð"
GREEK = "Ξεσκουριασμένο πλαίσιο, άγκιστρο, ΐ ΰ Ώ"
CYRILLIC = "Ржавчина порога, Ґґ Її Єє Ђђ Љљ Њњ Ћћ Џџ Ѓѓ Ўў"


@pytest.mark.parametrize(
    "text", [LATIN, GREEK, CYRILLIC, "½ ⅛ ± µ Ω ° × – — “ ” ‘ ’ … € ✓ → ≤ ≥ ≈ ⌀ █ ₂ X‑Y"]
)
def test_latin_greek_and_cyrillic_are_printed_as_they_are(text: str) -> None:
    ink = PrintableText()
    assert ink.text(text) == text
    assert not ink.gaps


def test_accents_typed_apart_are_composed() -> None:
    assert PrintableText().text("Z\u030cizkov u\u0308ber") == "Žizkov über"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("سيارة", "5 Arabic letters"),
        ("מכונית", "6 Hebrew letters"),
        ("锈蚀", "2 Chinese or Japanese letters"),
        ("さび", "2 Hiragana letters"),
        ("녹", "1 Hangul letter"),
        ("जंग", "Devanagari letters"),
        ("🚗🔧", "2 symbols"),
    ],
)
def test_a_script_the_font_lacks_is_named(text: str, said: str) -> None:
    ink = PrintableText()
    assert said in ink.text(f"Note: {text}, end")
    assert ink.text(f"Note: {text}, end").startswith("Note: [")
    assert ink.gaps


def test_words_of_one_foreign_run_make_one_remark() -> None:
    assert PrintableText().text("a 锈蚀 的 车 b").count("[") == 1


def test_direction_tricks_and_control_characters_vanish() -> None:
    assert PrintableText().text("ab\u202ecd\u2066e\x00f\x1b[1mg\u200b") == "abcdef[1mg"


@given(st.text(max_size=60))
def test_whatever_was_typed_ends_in_letters_that_the_font_has(text: str) -> None:
    covered = register()
    printed = PrintableText().text(text)
    assert all(ord(letter) in covered for letter in printed)


@given(st.text(alphabet="<>&\"'/abr biu#=", max_size=40))
def test_markup_in_a_text_comes_out_as_text(text: str) -> None:
    marked = PrintableText().markup(text)
    assert "<" not in marked
    assert xml.sax.saxutils.unescape(marked) == PrintableText().text(text)


def test_other_scripts_read_back_from_the_pages_and_gaps_are_stated(
    tmp_path: Path, shop: Signer
) -> None:
    file = tmp_path / "scripts.pdf"
    recorded = [
        *puts(),
        ("car/make", "Škórpá Łódź"),
        ("items/rust.boot-floor/note", f"{CYRILLIC}\n{GREEK}\n锈蚀"),
    ]
    write_report(snapshot(recorded), file, "condition", shop, today=TODAY)
    text = flowing(file)
    assert "Škórpá Łódź" in text
    assert "Ржавчина порога" in text
    assert "Ξεσκουριασμένο" in text
    assert "2 Chinese or Japanese letters this font cannot print" in text
    assert "in a script that this report's font cannot print" in text
    assert "no emb" not in run("pdffonts", file)
