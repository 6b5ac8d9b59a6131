"""The fonts that the build makes: the letters they must tell apart, and figures in columns."""

from __future__ import annotations

import pytest
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont

from bradawl.common.resources import path_of
from bradawl.report.layout.text import typeface

CUTS = [
    typeface.SANS,
    typeface.BOLD,
    typeface.ITALIC,
    typeface.NARROW,
    typeface.NARROW_BOLD,
]


@pytest.fixture(scope="module", params=CUTS)
def face(request: pytest.FixtureRequest) -> TTFont:
    return TTFont(path_of("fonts") / f"{request.param}.ttf")


def test_figures_stand_in_columns(face: TTFont) -> None:
    letters, widths = face.getBestCmap(), face["hmtx"]
    assert len({widths[letters[ord(figure)]][0] for figure in "0123456789"}) == 1


def test_a_vehicle_number_cannot_be_misread(face: TTFont) -> None:
    # ISO 3779 leaves I, O and Q out of a vehicle identification number because they are read as
    # 1 and 0 (from memory); a shop types part numbers too, which have all of them.
    letters, glyphs = face.getBestCmap(), face.getGlyphSet()

    def drawing(letter: str) -> str:
        pen = DecomposingRecordingPen(glyphs)
        glyphs[letters[ord(letter)]].draw(pen)
        return repr(pen.value)

    assert len({drawing(letter) for letter in "Il1|0OQo"}) == 8


def test_the_italic_is_drawn_and_not_slanted() -> None:
    # A slanted letter has its points moved sideways, as many of them as the upright one.
    upright, italic = (
        TTFont(path_of("fonts") / f"{cut}.ttf") for cut in (typeface.SANS, typeface.ITALIC)
    )
    contours = [
        font["glyf"][font.getBestCmap()[ord("e")]].endPtsOfContours[-1]
        for font in (upright, italic)
    ]
    assert italic["post"].italicAngle < 0
    assert contours[0] != contours[1]


def test_narrow_is_narrower_by_a_fifth() -> None:
    said = "Brake fluid, water content"
    normal, narrow = (
        sum(font["hmtx"][font.getBestCmap()[ord(letter)]][0] for letter in said)
        for font in (
            TTFont(path_of("fonts") / f"{cut}.ttf") for cut in (typeface.SANS, typeface.NARROW)
        )
    )
    assert narrow < 0.85 * normal


def test_all_faces_may_be_embedded_and_passed_on() -> None:
    # OpenType 1.9, OS/2 fsType: 0 is installable embedding, without which ISO 19005-3, 6.2.11.4.1
    # forbids the file.
    for file in path_of("fonts").glob("*.ttf"):
        with TTFont(file) as font:
            assert font["OS/2"].fsType == 0, file.name
            assert "glyf" in font, file.name
