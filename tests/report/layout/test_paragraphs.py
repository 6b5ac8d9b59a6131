"""Paragraphs and cells: nothing is lost, nothing runs over an edge, nothing stands alone."""

from __future__ import annotations

import io
import re
from html import escape
from pathlib import Path
from typing import Any

import hypothesis.strategies as st
import pytest
from hypothesis import given
from reportlab.pdfbase.pdfmetrics import stringWidth

from bradawl.report.layout.text import typeface
from tests.report.tools import flowing, run

typeface.register()

from bradawl.report.layout.flowables import KeptTogether, table  # noqa: E402 (fonts come first)
from bradawl.report.layout.page_templates import ReportDocument  # noqa: E402
from bradawl.report.layout.style import styles  # noqa: E402
from bradawl.report.layout.text.paragraphs import Paragraph, paragraph  # noqa: E402

WORDS = st.text("abcdefgh ÄßЖΩ<&>\"'()\\\\-0123456789", max_size=120)


def _lines(paragraph: Paragraph) -> list[str]:
    return ["".join(run.text for run in line.runs) for line in paragraph._lines or ()]


@given(st.lists(st.tuples(WORDS, st.sampled_from(["", "b", "font size=\"7\""])), max_size=5),
       st.integers(40, 500))  # fmt: skip
def test_lines_hold_every_letter_and_are_no_wider_than_they_may(
    parts: list[tuple[str, str]], width: int
) -> None:
    markup = "".join(
        f"<{mark}>{escape(text)}</{mark.split(' ')[0]}>" if mark else escape(text)
        for text, mark in parts
    )
    block = paragraph(markup)
    block.wrap(float(width), 1e6)
    plain = "".join(text for text, _ in parts)
    assert "".join(_lines(block)).replace(" ", "") == plain.replace(" ", "")
    for line in block._lines or ():
        # oracle: reportlab's own measure of a text
        measured = sum(stringWidth(run.text, run.look.font, run.look.size) for run in line.runs)
        assert measured <= width + 0.01
        assert measured == pytest.approx(line.width, abs=0.01)


@given(WORDS, st.integers(60, 300), st.integers(1, 200))
def test_a_divided_paragraph_leaves_no_line_alone(text: str, width: int, room: int) -> None:
    block = paragraph(escape(text * 4))
    block.wrap(float(width), 1e6)
    whole = _lines(block)
    parts = block.split(float(width), float(room))
    for part in parts:
        part.wrap(float(width), 1e6)
    if parts:
        assert [line for part in parts for line in _lines(part)] == whole
        assert parts[0].height <= room + 0.01
    if len(parts) > 1:
        assert min(len(_lines(part)) for part in parts) >= 2  # neither widow nor orphan


def _laid_out(tmp_path: Path, flowables: list[Any]) -> tuple[Path, int]:
    file, out = tmp_path / "pages.pdf", io.BytesIO()
    ReportDocument(out, page="a4", title="Test", foot="Foot").lay_out(flowables)
    file.write_bytes(out.getvalue())
    return file, int(re.findall(r"Pages:\s+(\d+)", run("pdfinfo", file))[0])


def test_a_heading_before_a_table_longer_than_a_page_ends(tmp_path: Path) -> None:
    """It once went round for ever: what keeps with the next was kept again and again."""
    rows = [[f"row {number}", "said"] for number in range(150)]
    content = [
        paragraph("Heading", "h1"),
        KeptTogether([paragraph("Under it", "h2"), table([], rows, [99, 99])]),
    ]
    file, pages = _laid_out(tmp_path, content)
    text = flowing(file)
    assert pages < 6
    assert all(f"row {number} " in text for number in range(150))


def test_a_row_taller_than_a_page_is_divided_and_whole(tmp_path: Path) -> None:
    long = " ".join(f"word{number}" for number in range(3000))
    rows = [["first", "short"], ["long", long], ["last", "short"]]
    file, pages = _laid_out(tmp_path, [table(["What", "Said"], rows, [90, 300])])
    text = flowing(file)
    assert pages >= 3
    assert all(f"word{number} " in text for number in range(3000))
    assert text.count("What Said") == pages  # the head stands on every page


@pytest.mark.parametrize("before", range(20, 60))
def test_no_row_stands_alone_between_a_head_and_the_pages_edge(tmp_path: Path, before: int) -> None:
    rows = [[f"row {number}", "said"] for number in range(12)]
    filler = [paragraph(f"filler {number}") for number in range(before)]
    out = io.BytesIO()
    ReportDocument(out, page="a4", title="Test", foot="").lay_out(
        [*filler, table(["What", "Said"], rows, [99, 99])]
    )
    file = tmp_path / "pages.pdf"
    file.write_bytes(out.getvalue())
    said = run("pdftotext", "-raw", file, "-").split("\f")
    counts = [len(re.findall(r"row \d+", page)) for page in said]
    assert sum(counts) == 12
    assert 1 not in counts
    # the head stands above the first row, and again only at the top of a page
    assert all(page.strip().startswith("What Said") for page in said[1:] if "row" in page)


def test_styles_set_their_size_below_their_leading() -> None:
    assert all(style.size < style.leading for style in styles().values())
