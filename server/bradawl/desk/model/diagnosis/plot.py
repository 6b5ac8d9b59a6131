"""Readings of a complaint before and after the fix, and where they lie on a small plot."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bradawl.inspection.said import named, typed_text
from bradawl.language import text

if TYPE_CHECKING:
    from bradawl.judge.values.types import ReadingPoint, ReadingSeries

WIDTH, HEIGHT = 320, 150
LEFT, RIGHT, TOP, BOTTOM = 64, 14, 12, 24


def series_view(series: ReadingSeries) -> dict[str, Any]:
    """The points said, and drawn: across by their minute where each has one, else as taken."""
    points = series["points"]
    is_timed = all(point["minute"] for point in points)
    across = [float(point["minute"]) if is_timed else float(n) for n, point in enumerate(points)]
    up = [float(point["number"]) for point in points]
    first, last = (0.0 if is_timed else min(across)), max(across)
    low, high = min(0.0, *up), max(0.0, *up)
    wide, tall = WIDTH - LEFT - RIGHT, HEIGHT - TOP - BOTTOM
    dots = [
        (
            round(LEFT + wide * (x - first) / ((last - first) or 1), 1),
            round(TOP + tall * (1 - (y - low) / ((high - low) or 1)), 1),
        )
        for x, y in zip(across, up, strict=True)
    ]
    top = points[up.index(max(up))]
    return {
        "points": [{**point, "said": point_text(point)} for point in points],
        "lines": {
            phase: [dot for dot, point in zip(dots, points, strict=True) if point["phase"] == phase]
            for phase in ("before", "after")
        },
        "top": typed_text(top["typed"], top["unit"]),
        "minutes": points[across.index(last)]["minute"] if is_timed else "",
        "label": {
            phase: ", ".join(point_text(point) for point in points if point["phase"] == phase)
            or text("trouble-plot-none")
            for phase in ("before", "after")
        },
    }


def point_text(point: ReadingPoint) -> str:
    """A reading as it was typed, with its minute and its conditions."""
    parts = [typed_text(point["typed"], point["unit"])]
    if point["minute"]:
        parts.append(text("trouble-minutes", minutes=point["minute"]))
    for name, word in point["conditions"].items():
        title = named(f"trouble-condition-{name}", name)
        parts.append(f"{title} {named(f'trouble-condition-{name}-{word}', word)}")
    return " · ".join(parts)
