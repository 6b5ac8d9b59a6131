"""Every medium shows any text harmlessly, and an ordinary text as it is."""

from __future__ import annotations

import io
import json
import re
import unicodedata
from xml.etree import ElementTree
from xml.sax.saxutils import escape

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from bradawl.common import display_text
from bradawl.common.errors import ApiError
from tests.nasty.values import TEXTS

ANYTHING = st.one_of(
    st.text(st.characters(codec=None), max_size=80),
    st.sampled_from(sorted(TEXTS.values())),
    st.text(st.sampled_from("a\u0301\u0338\u202e\u2066\0\x1b\ud800\uffff\n\t ="), max_size=80),
)
ORDINARY = (
    "Soft over a hand’s width; the probe goes in 12 mm.",
    "προσοχή, осторожно, שלום, مرحبا, 車が錆びている",
    "👩🏽‍🔧 and 👨‍👩‍👧 looked\nat it\ttwice",
    "a\u0301 e\u0323\u0302 \u0e01\u0e33\u0e48",
    "<b>&amp;</b> {{ 7 }}",
)


@pytest.mark.parametrize("text", ORDINARY)
def test_an_ordinary_text_is_shown_as_it_is(text: str) -> None:
    assert display_text.for_page(text) == text
    assert display_text.for_line(text) == text.replace("\n", " ").replace("\t", " ")
    assert display_text.for_cell(text) == text
    assert display_text.for_line(text, 1_000) == display_text.for_line(text)


@given(ANYTHING)
def test_a_page_holds_no_control_half_character_or_steering(text: str) -> None:
    shown = display_text.for_page(text)
    shown.encode()
    for one in shown:
        point = ord(one)
        # HTML 13.1.4 and 13.2.3.5: neither noncharacters nor controls other than white space
        assert unicodedata.category(one) not in ("Cc", "Cs") or one in "\n\t"
        assert not 0xFDD0 <= point <= 0xFDEF
        assert point & 0xFFFE != 0xFFFE
        # Unicode Standard Annex 9: embeddings, overrides, isolates
        assert unicodedata.bidirectional(one) not in (
            "LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI",
        )  # fmt: skip
    assert display_text.for_page(shown) == shown


@given(ANYTHING, st.integers(2, 60))
def test_a_line_is_one_line_and_no_longer_than_asked(text: str, limit: int) -> None:
    line = display_text.for_line(text, limit)
    assert len(line) <= limit
    assert len(line.splitlines()) <= 1
    assert "\t" not in line
    whole = display_text.for_line(text)
    if len(whole) <= limit:
        assert line == whole
    else:
        assert line.endswith("…")
        assert whole.startswith(line[:-1])


def test_long_texts_are_cut_in_no_time_whatever_they_are_made_of() -> None:
    for text in ("e" + "\u0338\u0323" * 30_000, "W" * 60_000, "\t\n" * 30_000, "\0" * 60_000):
        line = display_text.for_line(text, 40)
        assert len(line) <= 40
    assert len(display_text.for_page("e" + "\u0338\u0323" * 30_000)) == 1 + display_text.MOST_MARKS


@given(ANYTHING)
def test_a_cell_is_legal_xml_of_no_more_than_a_cell_s_length(text: str) -> None:
    cell = display_text.for_cell(text)
    # XML 1.0, 2.2: a parser of the standard library takes it
    ElementTree.fromstring(f"<t>{escape(cell)}</t>")
    shown = cell.replace("_x005F_", "_")
    assert len(shown.encode("utf-16-le")) // 2 <= display_text.CELL_LIMIT


def test_a_workbook_is_written_and_read_back_with_any_text() -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row, text in enumerate(TEXTS.values(), start=1):
        sheet.cell(row, 1, display_text.for_cell(text)).data_type = "s"
    out = io.BytesIO()
    book.save(out)
    back = load_workbook(io.BytesIO(out.getvalue())).active
    assert back is not None
    assert back.max_row == len(TEXTS)


@given(ANYTHING)
def test_a_file_name_is_letters_digits_and_dashes(text: str) -> None:
    name = display_text.for_file_name(text, ".pdf")
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*\.pdf", name)
    assert len(name) <= display_text.FILE_NAME_LIMIT


@given(ANYTHING)
def test_json_keeps_every_text_exactly(text: str) -> None:
    assert json.loads(display_text.as_json({text: [text]})) == {text: [text]}
    assert json.loads(display_text.as_json(text, indent=1)) == text


@given(ANYTHING)
def test_what_is_encodable_differs_in_halves_of_characters_alone(text: str) -> None:
    shown = display_text.encodable(text)
    shown.encode()
    assert len(shown) == len(text)
    assert all(
        one == other or (0xD800 <= ord(other) <= 0xDFFF and one == "\ufffd")
        for one, other in zip(shown, text, strict=True)
    )


def test_an_error_that_quotes_half_a_character_can_be_answered() -> None:
    error = ApiError("odd", "“a\ud800b” is no name.", 422)
    assert json.loads(bytes(error.response().body))["error"]["message"] == "“a\ufffdb” is no name."
