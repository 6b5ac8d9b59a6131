"""Charts as SVG, drawn on the server: no script, legible in black and white and when printed.

A chart never stands alone: the page gives the same figures in words or in a table.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from bradawl.desk.model.labels import money
from bradawl.language import decimal, formats, text

if TYPE_CHECKING:
    from bradawl.desk.model.plan.types import Plan
    from bradawl.desk.model.visits.candidates import Candidate

WIDTH, HEIGHT = 640, 300
NEAR = 24  # so near, a line's name would lie on the other line
LEFT, RIGHT, TOP, BOTTOM = 76, 36, 22, 56
#: The style sheet fills the other bars; a pattern of the page is not found from there.
BAR = '<rect class="{}" fill="url(#hatch)" x="{}" y="{}" width="{}" height="{}"/>'


def ticks(highest: int) -> list[int]:
    """Round figures from 0 to at least `highest`, four to eight of them."""
    step = 1
    while True:
        for times in (1, 2, 5):
            if times * step * 7 >= highest:
                return list(range(0, highest + times * step, times * step))
        step *= 10


class Frame:
    """A plot area: whole-number axes from 0, y upwards."""

    def __init__(self, x_highest: int, y_highest: int, label: str, currency: str) -> None:
        self.y_ticks = ticks(max(y_highest, 1))
        self.x_highest = max(x_highest, 1)
        self.label = label
        self.parts: list[Markup] = []
        for tick in self.y_ticks:
            y = self.y(tick)
            self.add('<path class="grid" d="M{} {}H{}"/>', LEFT, y, WIDTH - RIGHT)
            self.add(
                '<text class="tick" x="{}" y="{}" text-anchor="end">{}</text>',
                LEFT - 8,
                y + 4,
                money(tick, currency),
            )

    def x(self, value: float) -> float:
        return round(LEFT + value / self.x_highest * (WIDTH - LEFT - RIGHT), 1)

    def y(self, value: float) -> float:
        return round(HEIGHT - BOTTOM - value / self.y_ticks[-1] * (HEIGHT - TOP - BOTTOM), 1)

    def add(self, markup: str, *values: Any) -> None:
        self.parts.append(Markup(markup).format(*values))

    def line(self, name: str, points: Sequence[tuple[float, float]]) -> None:
        path = "L".join(f"{self.x(x)} {self.y(y)}" for x, y in points)
        self.add('<path class="{}" d="M{}"/>', name, path)

    def x_axis(self, values: Sequence[tuple[float, str]], title: str) -> None:
        self.add('<path class="axis" d="M{} {}H{}"/>', LEFT, self.y(0), WIDTH - RIGHT)
        for value, said in values:
            self.add(
                '<text class="tick" x="{}" y="{}" text-anchor="middle">{}</text>',
                self.x(value),
                HEIGHT - BOTTOM + 20,
                said,
            )
        self.add(
            '<text class="name" x="{}" y="{}" text-anchor="middle">{}</text>',
            (LEFT + WIDTH - RIGHT) / 2,
            HEIGHT - 6,
            title,
        )

    def name(
        self, x: float, y: float, said: str, anchor: str = "start", *, below: bool = False
    ) -> None:
        self.add(
            '<text class="name" x="{}" y="{}" text-anchor="{}">{}</text>',
            self.x(x),
            self.y(y) + (18 if below else -6),
            anchor,
            said,
        )

    def svg(self) -> Markup:
        return Markup(
            '<svg class="chart" viewBox="0 0 {} {}" role="img" aria-label="{}">{}</svg>'
        ).format(WIDTH, HEIGHT, self.label, Markup("").join(self.parts))


def tip_over(tip: dict[str, Any], currency: str) -> Markup:
    """Expected cost of mending over the chance that each further piece fails, and the assembly."""
    assembly = tip["expected_assembly"]
    points = [(percent, cost) for percent, cost in tip["by_chance"]]
    label = text(
        "desk-pieces-chart",
        low=money(points[0][1], currency),
        high=money(points[-1][1], currency),
        assembly=money(assembly, currency),
    )
    frame = Frame(100, max(assembly, *(cost for _, cost in points)), label, currency)
    frame.line("line-assembly", [(0, assembly), (100, assembly)])
    frame.line("line-mend", points)
    if tip["chance_percent"] is not None and tip["gap"] > 0:
        at = float(tip["chance_percent"])
        frame.line("line-mark", [(at, 0), (at, assembly)])
        frame.add('<circle class="mark" cx="{}" cy="{}" r="5"/>', frame.x(at), frame.y(assembly))
    mending_at = points[-1] if points[-1][1] < assembly else points[12]
    # the lower of two near lines is named below itself
    near = abs(frame.y(points[0][1]) - frame.y(assembly)) < NEAR
    frame.name(
        0.5, assembly, text("desk-pieces-replacing"), below=near and points[0][1] >= assembly
    )
    near = abs(frame.y(mending_at[1]) - frame.y(assembly)) < NEAR
    below = near and mending_at[1] < assembly
    frame.name(*mending_at, text("desk-pieces-fixing-one-by-one"), "end", below=below)
    chances = [(n, formats.with_unit(str(n), "%")) for n in range(0, 101, 20)]
    frame.x_axis(chances, text("desk-pieces-chart-chance"))
    return frame.svg()


def ranges(cars: Sequence[Candidate]) -> Markup:
    """Per candidate: the work from low to high with P50 and P80, the reserve, the asking price.

    All of it counts from 0, so that what a car may come to can be read off in one line.
    """
    row = 64
    top = 34
    bottom = top + row * len(cars) + 26
    highest = max(*(max(car.high + car.reserve, car.asking or 0) for car in cars), 1)
    scale = ticks(highest)
    label = "; ".join(
        text(
            "desk-compare-bar",
            car=car.name,
            low=money(car.low, car.currency),
            high=money(car.high, car.currency),
            sure=money(car.p80, car.currency),
            reserve=money(car.reserve, car.currency),
            asking=money(car.asking, car.currency),
        )
        for car in cars
    )
    # of different currencies, the axis says none
    currency = cars[0].currency if len({car.currency for car in cars}) == 1 else None
    left, right = 24, 40

    def x(value: float) -> float:
        return round(left + value / scale[-1] * (WIDTH - left - right), 1)

    parts = []

    def draw(markup: str, *values: Any) -> None:
        parts.append(Markup(markup).format(*values))

    for tick in scale:
        draw('<path class="grid" d="M{} {}V{}"/>', x(tick), top - 14, bottom - 28)
        draw(
            '<text class="tick" x="{}" y="{}" text-anchor="middle">{}</text>',
            x(tick),
            bottom - 9,
            decimal(str(tick)) if currency is None else money(tick, currency),
        )
    for n, car in enumerate(cars):
        y = top + n * row
        draw('<text class="name" x="{}" y="{}">{}</text>', left, y, car.name)
        for kind, start, end, below, height in (
            ("bar-range", car.low, car.high, 10, 16),
            ("bar-spent", car.p50, car.p80, 10, 16),
            ("bar-reserve", car.expected, car.expected + car.reserve, 30, 8),
        ):
            width = max(round(x(end) - x(start), 1), 2 if kind == "bar-spent" else 0)
            draw(BAR, kind, x(start), y + below, width, height)
        if car.asking is not None:
            draw('<path class="mark-asking" d="M{} {}v36"/>', x(car.asking), y + 6)
    return Markup(
        '<svg class="chart" viewBox="0 0 {} {}" role="img" aria-label="{}">'
        '<defs><pattern id="hatch" width="5" height="5" patternUnits="userSpaceOnUse">'
        '<path d="M0 5L5 0"/></pattern></defs>{}</svg>'
    ).format(WIDTH, bottom, label, Markup("").join(parts))


def periods(plan: Plan) -> Markup:
    """Per budget period a bar of what is spent, outlined by what there is to spend."""
    budget = 0
    rows = []
    for n, period in enumerate(plan.periods):
        budget += period["budget"]
        rows.append((period["name"], budget, plan.spread["spent"][n]))
        budget = plan.spread["carried"][n]
    label = "; ".join(
        text(
            "desk-order-bar",
            period=name,
            cost=money(spent, plan.currency),
            budget=money(there, plan.currency),
        )
        for name, there, spent in rows
    )
    highest = max(there for _, there, _ in rows)
    frame = Frame(len(rows), highest, label, plan.currency)
    width = (WIDTH - LEFT - RIGHT) / len(rows)
    for n, (_, there, spent) in enumerate(rows):
        for kind, value in (("bar-there", there), ("bar-spent", spent)):
            frame.add(
                '<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>',
                kind,
                round(LEFT + n * width + width * 0.15, 1),
                frame.y(value),
                round(width * 0.7, 1),
                round(frame.y(0) - frame.y(value), 1),
            )
    every = -(-len(rows) // 8)
    frame.x_axis(
        [(n + 0.5, name[:12]) for n, (name, _, _) in enumerate(rows) if n % every == 0],
        text("desk-order-legend"),
    )
    return frame.svg()
