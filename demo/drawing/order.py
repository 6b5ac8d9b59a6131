"""What a picture is asked to show."""

from __future__ import annotations

from dataclasses import dataclass

from demo.drawing.surface import Color


@dataclass(frozen=True)
class Order:
    """`seed` makes two pictures of one subject differ, `paint` is the car's color, `show` what a
    dial, a display or a stamped plate reads."""

    seed: str
    paint: Color
    show: str = ""
