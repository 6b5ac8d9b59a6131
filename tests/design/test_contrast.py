"""Contrast of every theme, by WCAG's own formula.

Source: WCAG 2.2, definitions of relative luminance and contrast ratio (threshold 0.04045 as IEC
61966-2-1 has it), success criteria 1.4.6 (7:1 for text) and 1.4.11 (3:1 for marks and edges); from
memory.
"""

from __future__ import annotations

import numpy as np
import pytest

from bradawl import design
from tests.design.seen_otherwise import MATRICES, printed_gray, seen_color

THEMES: tuple[design.Theme, ...] = ("light", "dark", "outdoor", "print")
GROUNDS = ("paper", "sheet", "well", "ochre-wash")
TEXT = ("ink", "quiet", "oxide", "genuine")
SHAPES = ("edge", "zinc", "ochre", "oxide", "ink", "quiet")


def _luminance(color: str) -> float:
    shares = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def least(theme: design.Theme, fronts: tuple[str, ...]) -> tuple[float, str]:
    """The least contrast of these colors on every ground of a theme, and where that is."""
    values = design.colors(theme)
    return min(
        (contrast(values[front], values[ground]), f"{front} on {ground}")
        for front in fronts
        for ground in GROUNDS
    )


def test_the_formula_is_that_of_wcag() -> None:
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    # the usual example of a grey that just keeps 4.5:1 on white; from memory
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("theme", THEMES)
def test_text_keeps_seven_to_one(theme: design.Theme) -> None:
    figure, where = least(theme, TEXT)
    assert figure >= 7, where
    values = design.colors(theme)
    assert contrast(values["on-oxide"], values["oxide-plate"]) >= 7
    assert contrast(values["paper"], values["ink"]) >= 7
    assert contrast(values["sheet"], values["zinc"]) >= 7


@pytest.mark.parametrize("theme", THEMES)
def test_marks_and_edges_keep_three_to_one(theme: design.Theme) -> None:
    figure, where = least(theme, SHAPES)
    assert figure >= 3, where


@pytest.mark.parametrize("theme", THEMES)
def test_every_theme_has_the_same_colors(theme: design.Theme) -> None:
    assert list(design.colors(theme)) == list(design.colors("light"))


@pytest.mark.parametrize("kind", MATRICES)
@pytest.mark.parametrize("theme", THEMES)
def test_whoever_sees_colors_otherwise_reads_and_tells_marks(
    theme: design.Theme, kind: str
) -> None:
    """A kind of cone is missing: 4.5:1 for text (WCAG 2.2, 1.4.3), 3:1 for marks are left."""
    seen = {name: seen_color(value, kind) for name, value in design.colors(theme).items()}
    for fronts, least_contrast in ((TEXT, 4.5), (SHAPES, 3)):
        for front in fronts:
            for ground in GROUNDS:
                assert contrast(seen[front], seen[ground]) >= least_contrast, (front, ground)


def test_a_gray_print_keeps_the_contrast_of_its_colors() -> None:
    """What is gray has the luminance of what it was printed from, within a step of 8 bits."""
    for name, value in design.colors("print").items():
        pixel = np.array([int(value[at : at + 2], 16) for at in (1, 3, 5)])
        gray = "#" + "".join(f"{level:02X}" for level in printed_gray(pixel))
        assert contrast(value, gray) < 1.02, name


if __name__ == "__main__":
    for name in THEMES:
        for what, fronts in (("text", TEXT), ("marks", SHAPES)):
            figure, where = least(name, fronts)
            print(f"{name}: {what} at least {figure:.2f}:1 ({where})")
