"""The marks: paths that can be read, holes that count, told apart small and without color."""

from __future__ import annotations

import itertools

import pytest
from PIL import Image, ImageChops, ImageDraw

from bradawl import design

HEIGHT_PX = 14
FINER = 8
#: Of the pixels of a tag of 14 px: what two marks differ by at least, were both black on white.
LEAST_DIFFERENCE = 0.04


def _outlines(path: str) -> list[list[tuple[float, float]]]:
    """A path's closed outlines as points, curves in ten pieces (Bernstein's form)."""
    outlines: list[list[tuple[float, float]]] = []
    for command, numbers in design.path_steps(path):
        points = list(zip(numbers[::2], numbers[1::2], strict=True))
        if command == "M":
            outlines.append(points)
        elif command == "L":
            outlines[-1] += points
        elif command == "C":
            four = [outlines[-1][-1], *points]
            for step in range(1, 11):
                t = step / 10
                weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
                outlines[-1].append(
                    (
                        sum(w * x for w, (x, _) in zip(weights, four, strict=True)),
                        sum(w * y for w, (_, y) in zip(weights, four, strict=True)),
                    )
                )
    return outlines


def _picture(mark: design.Mark) -> Image.Image:
    """The mark as grey pixels, 14 high, painted by the even-odd rule."""
    scale = HEIGHT_PX * FINER / design.HEIGHT
    size = (round(design.WIDTH * scale), HEIGHT_PX * FINER)
    whole = Image.new("1", size)
    for outline in _outlines(mark.shape):
        one = Image.new("1", size)
        ImageDraw.Draw(one).polygon([(x * scale, y * scale) for x, y in outline], fill=1)
        whole = ImageChops.logical_xor(whole, one)
    return whole.convert("L").resize((size[0] // FINER, HEIGHT_PX), Image.Resampling.BOX)


PICTURES = {name: _picture(mark) for name, mark in design.marks().items()}


@pytest.mark.parametrize("name", design.marks())
def test_a_mark_lies_within_its_field(name: design.MarkId) -> None:
    points = [point for outline in _outlines(design.mark(name).shape) for point in outline]
    assert all(0 <= x <= design.WIDTH and 0 <= y <= design.HEIGHT for x, y in points)


def test_a_grave_fault_has_more_holes() -> None:
    holes = {name: len(_outlines(design.mark(name).shape)) - 1 for name in design.marks()}
    assert (holes["fine"], holes["minor"], holes["major"], holes["dangerous"]) == (0, 1, 2, 3)


@pytest.mark.parametrize(("one", "other"), list(itertools.combinations(design.marks(), 2)))
def test_marks_are_told_apart_at_14_px_without_color(one: str, other: str) -> None:
    difference = ImageChops.difference(PICTURES[one], PICTURES[other])
    share = sum(value * count for value, count in enumerate(difference.histogram())) / 255
    assert share / (difference.width * difference.height) > LEAST_DIFFERENCE


def test_a_grade_has_its_mark() -> None:
    grades = ("none", "minor", "major", "dangerous", "uninspected", None, "", "of a later version")
    assert [design.mark_of_grade(grade).id for grade in grades] == [
        *("fine", "minor", "major", "dangerous", "not_checked", "open", "open", "open"),
    ]


@pytest.mark.parametrize("theme", ["light", "dark", "outdoor", "print"])
def test_a_mark_has_a_color_of_the_theme(theme: design.Theme) -> None:
    assert {mark.color for mark in design.marks().values()} <= design.colors(theme).keys()


@pytest.mark.parametrize("path", ["M1 1l2 2Z", "M1 1L2", "M1 1H3Z", "m1 1L2 2Z"])
def test_another_path_is_refused(path: str) -> None:
    with pytest.raises(ValueError, match="absolute M, L, C and Z"):
        design.path_steps(path)


@pytest.mark.parametrize("tap", design.taps())
def test_a_sign_on_a_panel_keeps_within_the_room_of_a_mark(tap: str) -> None:
    """The room is what `tests/design/test_outlines.py` finds on each panel: 20 by 18 cm."""
    points = [point for outline in _outlines(design.taps()[tap]) for point in outline]
    assert all(abs(x) <= 10 and abs(y) <= 9 for x, y in points)


def test_signs_on_a_panel_are_told_apart_by_shape() -> None:
    pictures = []
    for path in design.taps().values():
        whole = Image.new("1", (180, 180))
        for outline in _outlines(path):
            one = Image.new("1", whole.size)
            ImageDraw.Draw(one).polygon([(90 + x * 9, 90 + y * 9) for x, y in outline], fill=1)
            whole = ImageChops.logical_xor(whole, one)
        pictures.append(whole.convert("L").resize((10, 10), Image.Resampling.BOX))
    for one, other in itertools.combinations(pictures, 2):
        difference = ImageChops.difference(one, other)
        share = sum(value * count for value, count in enumerate(difference.histogram())) / 255
        assert share / 100 > LEAST_DIFFERENCE
