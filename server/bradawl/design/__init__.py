"""The look, drawn once: colors, sizes and marks, read from the JSON files beside this module.

Phone and check page take the same files at build time (`web/tools/design.py`); templates and the
report call what stands here.
"""

from __future__ import annotations

import functools
import json
import re
from pathlib import Path
from typing import Any, Literal, NamedTuple, cast

__all__ = [
    "HEIGHT",
    "ICON_SIDE",
    "WIDTH",
    "Finish",
    "Mark",
    "MarkId",
    "Step",
    "Theme",
    "Tokens",
    "colors",
    "finishes",
    "icon_path",
    "mark",
    "mark_of_grade",
    "marks",
    "path_steps",
    "taps",
    "tokens",
]

Theme = Literal["light", "dark", "outdoor", "print"]
MarkId = Literal[
    "open", "not_checked", "fine", "minor", "major", "dangerous", "mended", "look_here"
]

_FOLDER = Path(__file__).parent
_STEP = re.compile(r"([MLCZ])([-\d. ]*)")
_DRAWN = re.compile(r'<path d="([^"]+)"')
_NUMBERS = {"M": 2, "L": 2, "C": 6, "Z": 0}


class Mark(NamedTuple):
    """One mark on a field of WIDTH x HEIGHT units, y downward.

    `shape` is one path, filled by the even-odd rule and never stroked; what is cut out of it shows
    the ground. `ground` is the whole tag without its cuts, for marks that lie on a picture. `color`
    names a color of `colors(theme)`; `says` tells a contributor what is drawn. `word` is the id of
    the message beside it, `grade` what of the judge it shows, "" for none.
    """

    id: MarkId
    word: str
    grade: str
    color: str
    shape: str
    ground: str
    says: str


class Step(NamedTuple):
    """One step of a path: `M`, `L`, `C` or `Z` with its points, all absolute."""

    command: str
    numbers: tuple[float, ...]


class Finish(NamedTuple):
    """How a paint finish is patterned: strokes of a width on a square tile, in centimeters."""

    tile: float
    width: float
    strokes: str


class Tokens(NamedTuple):
    """Sizes by what they are for: `rem` and `px` on screens, `pt` on paper.

    `axes` and `ranges` are what `web/tools/fonts.ts` cuts the variable font to; `cut` is raised
    with them, since browsers keep a file of that number for good.
    """

    family: str
    fallback: list[str]
    cut: int
    axes: dict[str, list[int]]
    ranges: dict[str, str]
    weight: dict[str, int]
    width_percent: dict[str, int]
    size_rem: dict[str, float]
    size_pt: dict[str, float]
    leading_pt: dict[str, float]
    stroke_px: dict[str, float]
    stroke_outdoor_px: dict[str, float]
    stroke_pt: dict[str, float]
    space_px: dict[str, float]
    target_px: dict[str, float]


@functools.cache
def _json(name: str) -> dict[str, object]:
    text = (_FOLDER / f"{name}.json").read_text(encoding="utf-8")
    return cast(dict[str, object], json.loads(text))


_MARKS = cast(dict[str, dict[str, str]], _json("marks")["marks"])
WIDTH = cast(int, _json("marks")["width"])
ICON_SIDE = 512
HEIGHT = cast(int, _json("marks")["height"])


@functools.cache
def marks() -> dict[MarkId, Mark]:
    """Every mark by its id."""
    ground = cast(str, _json("marks")["ground"])
    return {
        cast(MarkId, name): Mark(
            cast(MarkId, name),
            entry["word"],
            entry.get("grade", ""),
            entry["color"],
            entry["shape"],
            ground,
            entry["says"],
        )
        for name, entry in _MARKS.items()
    }


def mark(mark_id: MarkId) -> Mark:
    """A mark. Raises KeyError where there is none of that id."""
    return marks()[mark_id]


def mark_of_grade(grade: str | None) -> Mark:
    """The mark of a grade of the judge; None, "" and what nobody knows is a blank tag."""
    return _of_grades().get(grade or "", mark("open"))


@functools.cache
def _of_grades() -> dict[str, Mark]:
    return {one.grade: one for one in marks().values() if one.grade}


def colors(theme: Theme) -> dict[str, str]:
    """The colors of a theme by name, each `#RRGGBB`."""
    return cast(dict[str, dict[str, str]], _json("tokens")["colors"])[theme]


@functools.cache
def icon_path() -> str:
    """The sign of the house on a field of ICON_SIDE units a side: one path, even-odd rule.

    Its first outline is the plate; the others are the awl, cut out of it.
    """
    found = _DRAWN.search((_FOLDER / "icon.svg").read_text(encoding="utf-8"))
    if found is None:
        raise ValueError("icon.svg has no path.")
    return found[1]


@functools.cache
def finishes() -> dict[str, Finish]:
    """The pattern of every paint finish that has one, by its id."""
    found = cast(dict[str, dict[str, Any]], _json("finishes")["finishes"])
    return {name: Finish(**drawn) for name, drawn in found.items()}


@functools.cache
def taps() -> dict[str, str]:
    """The path of every sign that is tapped on a panel, about its middle, in centimeters."""
    return cast(dict[str, str], _json("finishes")["taps"])


@functools.cache
def tokens() -> Tokens:
    """Type, strokes and room."""
    data = _json("tokens")
    kind = cast(dict[str, object], data["type"])
    rest = {key: value for key, value in data.items() if key not in ("about", "colors", "type")}
    return Tokens(**{**kind, **rest})  # type: ignore[arg-type]


@functools.cache
def path_steps(path: str) -> tuple[Step, ...]:
    """The steps of a path of these files. Raises ValueError for any other command or count."""
    steps = tuple(
        Step(command, tuple(float(number) for number in numbers.split()))
        for command, numbers in _STEP.findall(path)
    )
    is_whole = _STEP.sub("", path) == ""
    if not is_whole or any(len(step.numbers) != _NUMBERS[step.command] for step in steps):
        raise ValueError(f"{path!r} is no path of absolute M, L, C and Z commands.")
    return steps
