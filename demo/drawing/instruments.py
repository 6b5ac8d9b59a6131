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
    without,
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
}


def vacuum_gauge(order: Order) -> bytes:
    """A vacuum gauge, 0 to 30 inHg."""
    return _dial(order, 0, 30, 5, (24, 64, 44))


def compression_gauge(order: Order) -> bytes:
    """A compression tester held in a plug hole, 0 to 300 psi."""
    return _dial(order, 0, 300, 50, (140, 30, 30))


def paint_gauge(order: Order) -> bytes:
    """A paint-film gauge held against a panel, in mils."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.9))
    s.lay(
        surface.paint(s.name(), (40, 42, 46), 0.4),
        box(460, 60, 1140, 1030, 90),
        bevel=60,
        shadow=50,
    )
    screen = box(540, 160, 1060, 470, 20)
    s.lay((150, 166, 142), screen, bevel=16, depth=-1.2)
    figures = _digits(order.show, 570, 210, 1030, 400)
    s.image.paste(surface.flat((26, 32, 28)), mask=within(screen, figures))
    s.image.paste(surface.flat((26, 32, 28)), mask=lettering("mil", 1000, 436, 44))
    for row in range(2):
        for column in range(3):
            x, y = 620 + column * 180, 620 + row * 150
            s.lay((188, 98, 30), box(x - 56, y - 42, x + 56, y + 42, 20), bevel=18, shadow=10)
    s.lay(surface.paint(s.name(), (40, 42, 46), 0.3), ellipse(800, 890, 60), bevel=24, shadow=10)
    s.lighten(polygon([(560, 160), (760, 160), (640, 470), (540, 470)]), 40, 0.2)
    return s.jpeg(focus=(800, 420))


def odometer(order: Order) -> bytes:
    """A wide speedometer in miles an hour, its drum counter below."""
    s = Scene(order.seed, surface.rubber(order.seed, 40))
    s.lay((16, 16, 18), box(110, 160, 1490, 1010, 60), bevel=34, depth=-1)
    long: list[list[Point]] = []
    short: list[list[Point]] = []
    for step in range(41):
        turn = -44 + step * 2.2
        inner = 830 if step % 5 == 0 else 866
        path = [around(800, 1250, 900, turn), around(800, 1250, inner, turn)]
        (long if step % 5 == 0 else short).append(path)
    s.image.paste(surface.flat((232, 226, 206)), mask=union(lines(long, 10), lines(short, 5)))
    for number in range(9):
        x, y = around(800, 1250, 766, -44 + number * 11)
        s.text(str(number * 10), x, y, 64, (232, 226, 206))
    s.text("MPH", 800, 640, 54, (200, 120, 70))
    for place, digit in enumerate(order.show.rjust(6, "0")):
        x = 540 + place * 88
        drum = box(x, 780, x + 80, 900, 6)
        s.lay((26, 26, 28), drum, bevel=24, depth=1.2)
        figure = lettering(digit, x + 40, 842 - (8 if place == 5 else 0), 92)
        s.image.paste(surface.flat((236, 232, 220)), mask=within(drum, figure))
        s.darken(union(box(x, 780, x + 80, 796), box(x, 884, x + 80, 900)), 8, 0.5)
    needle = [around(800, 1250, 910, -44), around(800, 1250, 500, -43), around(800, 1250, 500, -45)]
    s.lay((208, 84, 36), within(polygon(needle), box(110, 160, 1490, 1010)), bevel=5, shadow=12)
    s.lighten(polygon([(200, 160), (520, 160), (300, 1010), (110, 1010)]), 90, 0.12)
    s.dust(0.12)
    return s.jpeg(focus=(800, 760))


def airbag_lamp(order: Order) -> bytes:
    """A row of warning lamps, one of them lit."""
    s = Scene(order.seed, surface.rubber(order.seed, 38))
    s.lay((14, 14, 16), box(90, 340, 1510, 830, 50), bevel=30, depth=-1)
    words = ("BELTS", "BRAKE", "AIR BAG", "CHECK")
    for number, word in enumerate(words):
        left = 130 + number * 345
        lit = word == "AIR BAG"
        window = box(left, 440, left + 305, 720, 20)
        s.lay((150, 34, 20) if lit else (34, 30, 28), window, bevel=14, depth=-1)
        if lit:
            glow = ellipse(left + 152, 580, 220, 170).filter(ImageFilter.GaussianBlur(60))
            s.image.paste(
                surface.flat((255, 70, 40)), mask=glow.point([v * 4 // 10 for v in range(256)])
            )
        s.text(word, left + 152, 580, 66, (255, 226, 200) if lit else (84, 78, 72))
    s.lighten(polygon([(160, 340), (520, 340), (320, 830), (90, 830)]), 80, 0.1)
    s.lay(surface.rubber(s.name(), 46), box(-40, 950, 1640, 1240, 60), bevel=50, shadow=30)
    s.dust(0.16)
    return s.jpeg(focus=(980, 580), dim=0.4)


def cert_label(order: Order) -> bytes:
    """The certification label in the driver's door opening, with the vehicle's number."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.3))
    s.lay(surface.paint(s.name(), order.paint, 0.3), box(-40, -40, 230, 1240), bevel=40, shadow=20)
    label = polygon([(310, 290), (1480, 260), (1490, 890), (316, 920)])
    s.lay(surface.paper(s.name(), 226), label, bevel=6, shadow=6)
    rows = (
        ("MFD BY BRASTHORN MOTORS          04/93", 366, 42),
        ("GVWR 4795 LB    GAWR FR 2480  RR 2390", 434, 44),
        ("THIS VEHICLE CONFORMS TO ALL APPLICABLE FEDERAL", 502, 34),
        ("STANDARDS IN EFFECT ON THE DATE OF MANUFACTURE", 556, 34),
    )
    for words, y, size in rows:
        s.text(words, 895, y, size, (44, 46, 52), turn=1.5)
    s.text(order.show, 900, 676, 108, (24, 26, 30), turn=1.5)
    pick = random.Random(order.seed)
    bars: list[list[Point]] = []
    x = 480.0
    while x < 1320:
        bars.append([(x, 762), (x + 2, 846)])
        x += pick.choice((9, 9, 14, 20))
    s.image.paste(surface.flat((30, 32, 36)), mask=lines(bars, 6))
    s.lay(surface.steel(s.name(), 150), ellipse(140, 560, 60), bevel=20, shadow=14)
    s.darken(within(label, surface.patches(s.name(), 0.2, 220, 2)), 12, 0.2)
    s.dust(0.2)
    return s.jpeg(focus=(860, 620))


def title(order: Order) -> bytes:
    """A certificate of title with its engraved border, no lien, the name covered."""
    s = Scene(order.seed, surface.boards(order.seed))
    sheet = polygon([(190, 120), (1440, 150), (1420, 1120), (170, 1080)])
    s.lay(surface.paint(s.name(), (206, 218, 204), 0.1), sheet, bevel=6, shadow=30)
    edge = without(
        polygon([(220, 150), (1410, 180), (1392, 1090), (202, 1052)]),
        polygon([(270, 198), (1362, 226), (1344, 1044), (252, 1006)]),
    )
    s.image.paste(surface.flat((74, 120, 96)), mask=ImageChops.multiply(edge, _guilloche()))
    s.text("CERTIFICATE OF TITLE", 810, 300, 84, (42, 74, 60), turn=-1.4)
    rows = []
    pick = random.Random(order.seed)
    for row in range(7):
        y = 400 + row * 84
        rows.append([(330, y), (330 + pick.uniform(160, 330), y + 6)])
        if row < 5:
            rows.append([(820, y + 12), (820 + pick.uniform(160, 420), y + 20)])
    s.image.paste(surface.flat((92, 100, 100)), mask=lines(rows, 9))
    s.text("LIENS: NONE", 1130, 862, 44, (60, 72, 70), turn=-1.4)
    seal = union(ring(440, 890, 96, 84), ring(440, 890, 60, 54))
    s.lay(surface.paint(s.name(), (206, 218, 204), 0.1), seal, bevel=8, depth=1.4)
    thumb = polygon(
        curve(
            [
                (900, 1260),
                (900, 1120),
                (960, 1010),
                (1060, 1000),
                (1130, 1090),
                (1150, 1260),
                (1020, 1280),
                (900, 1260),
            ]
        )
    )
    s.lay(surface.cloth(s.name(), (66, 72, 84)), thumb, bevel=44, shadow=26)
    return s.jpeg(focus=(800, 560))


def invoices(order: Order) -> bytes:
    """Shop invoices in yellow and pink, held by a binder clip."""
    s = Scene(order.seed, surface.concrete(order.seed, 92))
    pick = random.Random(order.seed)
    _invoice(s, pick, (760, 690), 9, (226, 190, 186))
    _invoice(s, pick, (840, 660), -6, (236, 222, 152))
    _invoice(s, pick, (790, 650), 2, (236, 234, 224))
    clip = polygon([(610, 130), (950, 130), (930, 270), (630, 270)])
    s.lay(surface.rubber(s.name(), 36), clip, bevel=30, shadow=24)
    for left in (660, 840):
        loop = curve([(left, 140), (left + 4, 40), (left + 60, 40), (left + 66, 140)])
        s.tube(loop, 9, (176, 178, 182), shadow=10)
    thumb = surface.roughen(ellipse(1180, 1040, 70, 90), s.name(), 30)
    s.image.paste(surface.flat((60, 46, 30)), mask=thumb.point([v * 3 // 10 for v in range(256)]))
    return s.jpeg(focus=(800, 640))


def _invoice(
    s: Scene, pick: random.Random, middle: Point, turn: float, tone: surface.Color
) -> None:
    """One sheet with its frame, its lines and a column of sums."""
    down, across = around(0, 0, 1, turn + 180), around(0, 0, 1, turn + 90)

    def at(right: float, below: float) -> Point:
        return (
            middle[0] + across[0] * right + down[0] * below,
            middle[1] + across[1] * right + down[1] * below,
        )

    corners = [around(*middle, 560, turn + corner) for corner in (-36, 36, 144, 216)]
    s.lay(surface.paint(s.name(), tone, 0.05), polygon(corners), bevel=5, shadow=20)
    heights = range(-230, 350, 58)
    rules = [[at(-270, y), at(-270 + pick.uniform(150, 360), y)] for y in heights]
    sums = [[at(200, y), at(270, y)] for y in heights]
    s.image.paste(surface.flat((86, 88, 108)), mask=lines(rules + sums, 8))
    frame = [at(-300, -280), at(300, -280), at(300, 370), at(-300, 370), at(-300, -280)]
    column = [at(170, -280), at(170, 370)]
    s.image.paste(surface.flat((120, 124, 140)), mask=lines([frame, column], 4))


def _guilloche() -> Image.Image:
    """Fine waves across each other, as papers of value have them."""
    waves: list[list[Point]] = []
    for y in range(100, 1200, 16):
        waves.append([(x, y + 14 * (1 if (x // 40) % 2 else -1)) for x in range(0, 1640, 40)])
    for x in range(100, 1600, 16):
        waves.append([(x + 14 * (1 if (y // 40) % 2 else -1), y) for y in range(0, 1240, 40)])
    return lines(waves, 5)


def _dial(order: Order, low: int, high: int, step: int, needle: surface.Color) -> bytes:
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
    turn = -135 + sweep * (float(order.show) - low) / (high - low)
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
