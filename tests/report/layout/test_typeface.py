"""Texts are made ready for the fonts: composed, without what steers a line, markup escaped."""

from __future__ import annotations

import xml.sax.saxutils

import hypothesis.strategies as st
import pytest
from hypothesis import given

from bradawl.report.layout.text.typeface import PrintableText

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
    assert not ink.lacking


def test_accents_typed_apart_are_composed() -> None:
    assert PrintableText().text("Z\u030cizkov u\u0308ber") == "Žizkov über"


def test_direction_tricks_and_control_characters_vanish() -> None:
    assert PrintableText().text("ab\u202ecd\u2066e\x00f\x1b[1mg\u200b") == "abcdef[1mg"


@given(st.text(alphabet="<>&\"'/abr biu#=", max_size=40))
def test_markup_in_a_text_comes_out_as_text(text: str) -> None:
    marked = PrintableText().markup(text)
    assert "<" not in marked
    assert xml.sax.saxutils.unescape(marked) == PrintableText().text(text)


def test_what_runs_from_right_to_left_is_set_apart_from_the_sentence_around_it() -> None:
    # UAX 9, 2.4: a first strong isolate, U+2068, and its end, U+2069
    assert PrintableText().markup("צינור 12") == "\u2068צינור 12\u2069"
    assert PrintableText().text("צינור 12") == "צינור 12"


def test_halves_of_characters_and_what_is_none_become_the_sign_for_that() -> None:
    assert PrintableText().text("a\ud83d \ufdd0 b") == "a\ufffd \ufffd b"
