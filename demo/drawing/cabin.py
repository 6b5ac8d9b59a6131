"""Instruments in the hand, the dashboard, and papers."""

from __future__ import annotations

import random

from PIL import Image, ImageChops, ImageFilter

from demo.drawing import surface
from demo.drawing.order import Order
from demo.drawing.scene import (
    Point,
    Scene,
    around,
    box,
    curve,
    dots,
    ellipse,
    lettering,
    lines,
    polygon,
    ring,
    union,
    within,
)

_SEGMENTS = {
    "0": "abcdef",
    "1": "bc",
    "2": "abged",
    "3": "abgcd",
    "4": "fgbc",
    "5": "afgcd",
    "6": "afgedc",
    "7": "abc",
    "8": "abcdefg",
    "9": "abcdfg",
    "-": "g",
    "O": "abcdef",
    "L": "def",
}


def pressure_gauge(order: Order) -> bytes:
    """A fuel-pressure gauge teed into the rail; 0 to 100 psi round the dial."""
    return _dial(order, 0, 100, 20, (30, 30, 34))


def vacuum_gauge(order: Order) -> bytes:
    """A vacuum gauge, 0 to 30 inHg."""
    return _dial(order, 0, 30, 5, (24, 64, 44))


def compression_gauge(order: Order) -> bytes:
    """A compression tester held in a plug hole, 0 to 300 psi."""
    return _dial(order, 0, 300, 50, (140, 30, 30))


def paint_gauge(order: Order) -> bytes:
    """A paint-film gauge held against a panel."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.9))
    return _meter(s, order.show, (40, 42, 46), (188, 98, 30))


def multimeter(order: Order) -> bytes:
    """A meter reading volts or ohms, its leads out of the picture."""
    s = Scene(order.seed, surface.cast_iron(order.seed, 74))
    s.tube(curve([(720, 1000), (640, 1120), (300, 1240)]), 18, (150, 30, 30))
    s.tube(curve([(880, 1000), (980, 1130), (1300, 1240)]), 18, (30, 30, 32))
    return _meter(s, order.show, (176, 140, 40), (34, 34, 36))


def fluid_tester(order: Order) -> bytes:
    """A brake-fluid tester dipped in the reservoir, its last lamp lit."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.1))
    s.lay(
        surface.paint(s.name(), (212, 200, 164), 0.2),
        box(300, 640, 1300, 1240, 80),
        bevel=60,
        shadow=40,
    )
    s.lay((64, 40, 18), ellipse(800, 700, 230, 60), bevel=26, depth=-1)
    s.tube([(800, 470), (800, 720)], 16, (180, 180, 184), shadow=10)
    body = box(640, -60, 960, 500, 90)
    s.lay(surface.paint(s.name(), (46, 50, 56), 0.4), body, bevel=60, shadow=34)
    shades = [(40, 80, 50), (84, 80, 30), (84, 80, 30), (90, 34, 30), (255, 70, 52)]
    for number, shade in enumerate(shades):
        y = 80 + number * 76
        s.lay(shade, ellipse(800, y, 26), bevel=10, depth=-1)
        if number == 4:
            s.lay((255, 84, 60), ellipse(800, y, 24), bevel=8)
            s.lighten(ellipse(800, y, 16), 8, 0.6)
            glow = ellipse(800, y, 80).filter(ImageFilter.GaussianBlur(30))
            s.image.paste(
                surface.flat((255, 80, 60)), mask=glow.point([v * 4 // 10 for v in range(256)])
            )
    return s.jpeg(focus=(800, 460))


def odometer(order: Order) -> bytes:
    """The speedometer with its drum counter."""
    s = Scene(order.seed, surface.rubber(order.seed, 34))
    s.lay((14, 14, 16), ellipse(800, 640, 560), bevel=30, depth=-1)
    s.lay(surface.steel(s.name(), 120), ring(800, 640, 570, 540), bevel=14)
    marks: list[list[Point]] = []
    small: list[list[Point]] = []
    for step in range(45):
        turn = -132 + step * 6
        target = marks if step % 4 == 0 else small
        target.append(
            [around(800, 640, 500, turn), around(800, 640, 440 if step % 4 == 0 else 470, turn)]
        )
    s.image.paste(surface.flat((226, 222, 208)), mask=union(lines(marks, 9), lines(small, 4)))
    for number in range(12):
        x, y = around(800, 640, 376, -132 + number * 24)
        s.text(str(number * 20), x, y, 58, (226, 222, 208))
    digits = order.show.rjust(6, "0")
    for place, digit in enumerate(digits):
        x = 545 + place * 88
        tone: tuple[int, int, int] = (26, 26, 28)
        drum = box(x, 770, x + 80, 890, 6)
        s.lay(tone, drum, bevel=24, depth=1.2)
        s.image.paste(
            surface.flat((236, 232, 220)),
            mask=within(drum, lettering(digit, x + 40, 832 - (7 if place == 5 else 0), 92)),
        )
        s.darken(union(box(x, 770, x + 80, 786), box(x, 874, x + 80, 890)), 8, 0.5)
    tip, tail = around(800, 640, 430, -132), around(800, 640, 70, 48)
    s.lay(
        (208, 74, 36),
        polygon([tip, around(800, 640, 16, -42), tail, around(800, 640, 16, 138)]),
        bevel=6,
        shadow=14,
    )
    s.lay(surface.rubber(s.name(), 40), ellipse(800, 640, 56), bevel=24, shadow=10)
    s.lighten(polygon([(300, 60), (640, 20), (420, 700), (180, 640)]), 90, 0.14)
    s.dust(0.1)
    return s.jpeg(focus=(800, 700))


def vin_plate(order: Order) -> bytes:
    """A riveted plate with the car's number, scratched at one rivet."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.2))
    plate = box(170, 380, 1430, 830, 26)
    s.lay(surface.steel(s.name(), 172), plate, bevel=12, shadow=22)
    s.lay(surface.steel(s.name(), 158), box(220, 560, 1380, 700, 8), bevel=8, depth=-1)
    for row in (450, 500, 750):
        s.darken(lines([[(240, row), (1000 if row == 500 else 860, row)]], 12), 2, 0.35)
    s.darken(lettering(order.show, 800, 628, 104), 1, 0.75)
    s.lighten(ImageChops.offset(lettering(order.show, 800, 628, 104), 2, 3), 1, 0.25)
    for x, y in ((226, 436), (1374, 436), (226, 776), (1374, 776)):
        s.lay(surface.steel(s.name(), 140), ellipse(x, y, 28), bevel=16, shadow=6, depth=1.4)
    s.lighten(
        lines(
            [[(1300, 700), (1368, 790)], [(1330, 690), (1396, 760)], [(1290, 740), (1350, 800)]], 4
        ),
        1,
        0.5,
    )
    s.rusty(within(ring(226, 776, 46, 26), surface.patches(s.name(), 0.6, 40)), 30, 12)
    s.dust(0.22)
    return s.jpeg(focus=(800, 620))


def service_book(order: Order) -> bytes:
    """The service booklet: the first pages stamped, the rest empty."""
    s = Scene(order.seed, surface.boards(order.seed))
    for left, right, tilt in ((120, 800, 14), (800, 1480, -14)):
        page = polygon(
            [(left, 160 + tilt), (right, 160 - tilt), (right, 1080 - tilt), (left, 1080 + tilt)]
        )
        s.lay(surface.paper(s.name()), page, bevel=12, shadow=30)
    s.darken(box(780, 150, 820, 1090), 22, 0.4)
    pick = random.Random(order.seed)
    for column in range(2):
        for row in range(3):
            x, y = 190 + column * 680, 230 + row * 280
            s.image.paste(surface.flat((92, 96, 110)), mask=_frame(x, y, x + 540, y + 240, 4))
            rules = [[(x + 24, y + 60 + n * 44), (x + 300, y + 60 + n * 44)] for n in range(4)]
            s.image.paste(surface.flat((150, 152, 160)), mask=lines(rules, 3))
            if column == 0 and row < 2:
                stamp = union(
                    ring(x + 420, y + 120, 92, 84),
                    ring(x + 420, y + 120, 66, 62),
                    lines(
                        [
                            [(x + 372, y + 110 + n * 18), (x + 466, y + 104 + n * 18)]
                            for n in range(2)
                        ],
                        6,
                    ),
                )
                faded = ImageChops.multiply(stamp, surface.patches(s.name(), 0.8, 30))
                s.image.paste(surface.flat((66, 58, 128)), mask=faded)
                scrawl: list[Point] = [(x + 40, y + 96)]
                for _ in range(16):
                    scrawl.append(
                        (scrawl[-1][0] + pick.uniform(6, 24), y + 92 + pick.uniform(-26, 26))
                    )
                s.image.paste(surface.flat((30, 40, 92)), mask=lines([curve(scrawl, 5)], 4))
    s.dust(0.14)
    return s.jpeg()


def receipts(order: Order) -> bytes:
    """Three receipts on a bench, a tyre bill on top."""
    s = Scene(order.seed, surface.boards(order.seed))
    pick = random.Random(order.seed)
    for x, y, turn in ((500, 640, -9), (1000, 560, 8), (780, 640, -2)):
        corners = [around(x, y, 520, turn + a) for a in (-28, 28, 152, 208)]
        s.lay(surface.paper(s.name(), 240), polygon(corners), bevel=6, shadow=26)
        down = around(0, 0, 1, turn + 180)
        across = around(0, 0, 1, turn + 90)
        rules = []
        for row in range(12):
            start = (
                x - across[0] * 200 + down[0] * (-340 + row * 56),
                y - across[1] * 200 + down[1] * (-340 + row * 56),
            )
            long = pick.uniform(120, 390)
            rules.append([start, (start[0] + across[0] * long, start[1] + across[1] * long)])
        s.image.paste(surface.flat((88, 88, 96)), mask=lines(rules, 9))
    stain = ring(1010, 840, 120, 104)
    s.image.paste(surface.flat((120, 82, 44)), mask=stain.point([v * 5 // 10 for v in range(256)]))
    s.tube(curve([(200, 1060), (420, 1000), (560, 1080)]), 20, (176, 178, 182))
    return s.jpeg()


def _frame(x0: float, y0: float, x1: float, y1: float, width: float) -> Image.Image:
    """A rectangle's outline as a mask."""
    return ImageChops.subtract(
        box(x0, y0, x1, y1), box(x0 + width, y0 + width, x1 - width, y1 - width)
    )


def _dial(order: Order, low: int, high: int, step: int, needle: surface.Colour) -> bytes:
    s = Scene(order.seed, surface.cast_iron(order.seed, 78))
    s.tube(curve([(800, 1000), (820, 1120), (760, 1240)]), 52, (38, 38, 40), shadow=30)
    s.lay(surface.steel(s.name(), 150), box(740, 960, 860, 1090, 10), bevel=20, shadow=16)
    s.lay(surface.steel(s.name(), 120), ellipse(800, 560, 470), bevel=30, shadow=40)
    s.lay((238, 236, 226), ellipse(800, 560, 420), bevel=14, depth=-1)
    sweep = 270
    marks: list[list[Point]] = []
    small: list[list[Point]] = []
    for tick in range(51):
        turn = -135 + sweep * tick / 50
        big = tick % 5 == 0
        (marks if big else small).append(
            [around(800, 560, 396, turn), around(800, 560, 340 if big else 366, turn)]
        )
    s.image.paste(surface.flat((26, 26, 30)), mask=union(lines(marks, 9), lines(small, 4)))
    for value in range(low, high + 1, step):
        x, y = around(800, 560, 282, -135 + sweep * (value - low) / (high - low))
        s.text(str(value), x, y, 62, (26, 26, 30))
    reads = float(order.show.replace(",", "."))
    turn = -135 + sweep * (reads - low) / (high - low)
    hand = polygon(
        [
            around(800, 560, 372, turn),
            around(800, 560, 15, turn + 90),
            around(800, 560, 100, turn + 180),
            around(800, 560, 15, turn - 90),
        ]
    )
    s.lay(needle, hand, bevel=6, shadow=16)
    s.lay(surface.steel(s.name(), 110), ellipse(800, 560, 40), bevel=18, shadow=10)
    s.lighten(polygon([(420, 300), (700, 150), (560, 520), (400, 560)]), 60, 0.3)
    s.specks(60, (60, 52, 44), 1, 3)
    return s.jpeg(focus=(800, 560), dim=0.34)


def _meter(s: Scene, show: str, shell: surface.Colour, key: surface.Colour) -> bytes:
    s.lay(surface.paint(s.name(), shell, 0.4), box(460, 60, 1140, 1030, 90), bevel=60, shadow=50)
    screen = box(540, 160, 1060, 470, 20)
    s.lay((150, 166, 142), screen, bevel=16, depth=-1.2)
    s.image.paste(
        surface.flat((26, 32, 28)), mask=within(screen, _digits(show, 570, 210, 1030, 430))
    )
    for row in range(2):
        for column in range(3):
            x, y = 620 + column * 180, 620 + row * 150
            s.lay(key, box(x - 56, y - 42, x + 56, y + 42, 20), bevel=18, shadow=10)
    s.lay(surface.paint(s.name(), shell, 0.3), ellipse(800, 890, 60), bevel=24, shadow=10)
    s.lighten(polygon([(560, 160), (760, 160), (640, 470), (540, 470)]), 40, 0.2)
    return s.jpeg(focus=(800, 420))


def _digits(show: str, x0: float, y0: float, x1: float, y1: float) -> Image.Image:
    """Seven-segment figures, right-aligned in a box."""
    places = [c for c in show if c not in ".,"]
    width = min(130.0, (x1 - x0) / max(1, len(places)))
    w, h, t = width * 0.62, y1 - y0, width * 0.13
    bars: list[list[Point]] = []
    points: list[tuple[float, float, float]] = []
    x = x1 - width * len(places)
    for character in show:
        if character in ".,":
            points.append((x - width * 0.16, y1 - t / 2, t * 0.7))
            continue
        ends: dict[str, list[Point]] = {
            "a": [(x, y0), (x + w, y0)],
            "b": [(x + w, y0), (x + w, y0 + h / 2)],
            "c": [(x + w, y0 + h / 2), (x + w, y1)],
            "d": [(x, y1), (x + w, y1)],
            "e": [(x, y0 + h / 2), (x, y1)],
            "f": [(x, y0), (x, y0 + h / 2)],
            "g": [(x, y0 + h / 2), (x + w, y0 + h / 2)],
        }
        for segment in _SEGMENTS.get(character, ""):
            (ax, ay), (bx, by) = ends[segment]
            gap = t * 0.75
            across = gap if ay == by else 0.0
            down = gap if ax == bx else 0.0
            bars.append([(ax + across, ay + down), (bx - across, by - down)])
        x += width
    return union(lines(bars, t), dots(points))
