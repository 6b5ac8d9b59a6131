"""The body: the car as found, its skin, lamps and glass, the soft top."""

from __future__ import annotations

import random

from PIL import Image, ImageChops

from demo.drawing import surface
from demo.drawing.order import Order
from demo.drawing.scene import (
    Point,
    Scene,
    around,
    box,
    crack,
    curve,
    dots,
    ellipse,
    lines,
    polygon,
    ring,
    stroke,
    union,
    within,
    without,
)


def wagon_found(order: Order) -> bytes:
    """The wagon as found: side on, beside a sheet-metal shed, leaves round its wheels."""
    s = Scene(order.seed, surface.paint(order.seed, (150, 154, 150), 0.1))
    ribs = [[(x, -20), (x, 900)] for x in range(20, 1620, 64)]
    s.darken(lines(ribs, 9), 3, 0.5)
    s.lighten(lines([[(a[0] + 12, a[1]), (b[0] + 12, b[1])] for a, b in ribs], 7), 4, 0.25)
    s.darken(surface.patches(s.name(), 0.3, 500, 2), 60, 0.25)
    s.rusty(within(box(-20, 700, 1620, 850), surface.patches(s.name(), 0.3, 160)), 60, 16)
    s.lay(surface.grime(s.name()), box(-20, 850, 1620, 1240))
    s.darken(ellipse(810, 980, 760, 70), 30, 0.8)
    body = _wagon_outline()
    s.lay(surface.paint(s.name(), order.paint, 0.6), body, bevel=40, shadow=10, depth=1.1)
    s.lighten(within(body, stroke([(120, 626), (520, 604), (1510, 600)], 9)), 8, 0.35)
    s.lay((96, 74, 48), within(body, box(60, 700, 1560, 742)), bevel=8)
    _wagon_glass(s, body)
    s.lay(surface.rubber(s.name(), 60), box(70, 776, 300, 824, 16), bevel=16, shadow=6)
    s.lay(surface.rubber(s.name(), 60), box(1380, 776, 1556, 824, 16), bevel=16, shadow=6)
    s.lay((214, 208, 180), polygon([(96, 694), (106, 646), (180, 630), (186, 690)]), bevel=8)
    s.lay((136, 30, 28), box(1516, 560, 1542, 730, 8), bevel=8)
    for x in (356, 1262):
        s.lay((10, 10, 12), ellipse(x, 856, 136, 132))
        s.lay(surface.rubber(s.name(), 42), ellipse(x, 880, 114, 112), bevel=18)
        s.lay(surface.steel(s.name(), 140), ellipse(x, 880, 74), bevel=14)
        s.lay(surface.steel(s.name(), 110), ellipse(x, 880, 40), bevel=12, depth=-1)
    s.rusty(within(body, surface.roughen(ring(1262, 856, 160, 132), s.name(), 22)), 40, 16)
    s.rusty(within(body, surface.roughen(ellipse(760, 860, 190, 14), s.name(), 14)), 40, 14)
    _leaves(s, random.Random(order.seed), 420, (0, 930, 1600, 1190))
    s.dust(0.16)
    return s.jpeg(focus=(800, 700), dim=0.5)


def _wagon_outline() -> Image.Image:
    return polygon(
        curve(
            [
                (84, 850),
                (76, 720),
                (104, 640),
                (280, 592),
                (450, 572),
                (560, 440),
                (640, 372),
                (820, 356),
                (1150, 358),
                (1420, 372),
                (1480, 420),
                (1536, 560),
                (1550, 720),
                (1540, 850),
                (1440, 890),
                (260, 892),
                (84, 850),
            ]
        )
    )


def _wagon_glass(s: Scene, body: Image.Image) -> None:
    glass = surface.ramp(surface.noise(s.name(), 500), [(0, (18, 24, 26)), (255, (120, 132, 130))])
    for pane in (
        [(560, 566), (654, 410), (792, 396), (796, 566)],
        [(824, 566), (818, 394), (1062, 394), (1066, 566)],
        [(1092, 566), (1090, 396), (1396, 404), (1470, 566)],
    ):
        s.lay(glass, polygon(pane), bevel=8, depth=-0.8)
    for x in (540, 810, 1080):
        s.darken(within(body, stroke([(x, 574), (x + 8, 700), (x + 6, 880)], 5)), 1, 0.7)
    for x in (742, 1010):
        s.lay(surface.steel(s.name(), 150), box(x, 616, x + 44, 630, 5), bevel=4, shadow=3)
    s.tube([(700, 344), (1420, 352)], 8, (150, 152, 154), shadow=6)


def _leaves(
    s: Scene, pick: random.Random, count: int, where: tuple[float, float, float, float]
) -> None:
    """Wet brown leaves, thicker toward the front."""
    tones: list[surface.Color] = [(74, 50, 30), (98, 66, 36), (56, 38, 26), (118, 90, 50)]
    for tone in tones:
        blades: list[Image.Image] = []
        for _ in range(count // len(tones)):
            x = pick.uniform(where[0], where[2])
            y = where[1] + (where[3] - where[1]) * pick.uniform(0, 1) ** 0.7
            turn, long = pick.uniform(0, 360), pick.uniform(12, 30)
            tip, tail = around(x, y, long, turn), around(x, y, long, turn + 180)
            side, other = around(x, y, long * 0.5, turn + 90), around(x, y, long * 0.5, turn - 90)
            blades.append(polygon([tip, side, tail, other]))
        s.lay(tone, union(*blades), bevel=5, shadow=4)


def tailgate_gap(order: Order) -> bytes:
    """Tailgate against the right quarter: the gap opens toward the bottom, a drill shank in it."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.9))
    quarter = polygon([(860, -20), (1620, -20), (1620, 1240), (950, 1240)])
    other = tuple(max(0, min(255, c + d)) for c, d in zip(order.paint, (9, 6, 2), strict=True))
    gap = polygon([(836, -20), (862, -20), (956, 1240), (868, 1240)])
    s.lay(surface.paint(s.name(), (other[0], other[1], other[2]), 0.6), quarter, bevel=24, shadow=4)
    s.darken(gap, 12, 0.85)
    s.lay((9, 9, 11), gap, bevel=14, depth=-1)
    lamp = polygon([(1010, 120), (1320, 96), (1340, 640), (1062, 660)])
    s.lay((120, 22, 22), lamp, bevel=24, shadow=10)
    ridges = [[(1020, y), (1334, y - 18)] for y in range(150, 660, 22)]
    s.lighten(within(lamp, lines(ridges, 5)), 2, 0.25)
    s.lay((214, 206, 196), within(lamp, box(1000, 430, 1350, 520)), bevel=8)
    s.darken(surface.roughen(stroke([(1010, 690), (1350, 668)], 8), s.name(), 8), 3, 0.5)
    for x, y in ((1120, 860), (1260, 930), (1060, 1010)):
        s.darken(stroke(crack(s.name(), (x, y), (x + 150, y - 70), 14), 3), 1, 0.6)
    s.tube([(470, 900), (1010, 900)], 21, (172, 174, 178), shadow=20, shine=0.9)
    flutes: list[list[Point]] = [[(472 + n * 34, 920), (506 + n * 34, 880)] for n in range(7)]
    s.darken(lines(flutes, 12), 3, 0.75)
    return s.jpeg(focus=(880, 700))


def arch_blister(order: Order) -> bytes:
    """Paint lifting in bubbles along a wheel-arch lip."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.8))
    dark = ellipse(820, 1420, 900, 760)
    s.darken(dark, 16, 1.0)
    s.lay(surface.rubber(s.name(), 26), ellipse(820, 1450, 840, 700))
    lip = without(ellipse(820, 1420, 940, 800), ellipse(820, 1420, 892, 752))
    s.lay(surface.paint(s.name(), order.paint, 0.5), lip, bevel=18, shadow=6, depth=1.3)
    pick = random.Random(order.seed)
    bubbles: dict[bool, list[tuple[float, float, float]]] = {True: [], False: []}
    for _ in range(46):
        reach = pick.uniform(0, 1) ** 2
        x, y = around(820, 1420, 830 + reach * 210, pick.gauss(6, 17))
        r = pick.uniform(8, 30) * (1.2 - reach * 0.6)
        bubbles[r > 16].append((x, y - 30, r))
    for large, found in bubbles.items():
        s.lay(
            surface.paint(s.name(), order.paint, 0.4),
            dots(found),
            bevel=14 if large else 7,
            depth=0.8,
        )
    for turn, r in ((-12, 62), (2, 110), (17, 78), (26, 36)):
        x, y = around(820, 1420, 838, turn)
        s.rusty(surface.roughen(ellipse(x, y - 36, r * 1.25, r * 0.62), s.name(), 26), 60, 30)
        s.streak(x, y, 90, 12)
    return s.jpeg(focus=(820, 560))


def windshield_crack(order: Order) -> bytes:
    """A long crack that climbs from the lower corner of the windshield."""
    sky = surface.ramp(
        surface.fractal(order.seed, 700, 4), [(0, (74, 84, 88)), (255, (186, 194, 196))]
    )
    s = Scene(order.seed, lambda size: sky.resize(size))
    s.darken(box(-20, 500, 1620, 1240), 200, 0.35)
    trees = [(x, 560 + 60 * ((x // 90) % 3), 90.0) for x in range(-40, 1700, 90)]
    s.darken(dots([(x, y, r) for x, y, r in trees]), 40, 0.5)
    path = crack(s.name(), (1290, 1030), (560, 260), 26, 16)
    s.darken(stroke([(x + 5, y + 7) for x, y in path], 6), 4, 0.6)
    s.lighten(stroke(path, 5), 1, 0.9)
    s.lighten(stroke([(x - 3, y - 2) for x, y in path], 12), 8, 0.35)
    for number in (5, 9, 12):
        x, y = path[number]
        side = crack(s.name(), (x, y), (x + 130, y - 100), 16, 6)
        s.lighten(stroke(side, 3), 1, 0.7)
    frame = polygon(
        [
            (-20, 1050),
            (1240, 1030),
            (1420, 940),
            (1470, -20),
            (1640, -20),
            (1640, 1240),
            (-20, 1240),
        ]
    )
    s.lay(surface.rubber(s.name(), 36), frame, bevel=26, shadow=12)
    paint = polygon(
        [
            (-20, 1150),
            (1300, 1120),
            (1530, 1000),
            (1570, -20),
            (1640, -20),
            (1640, 1240),
            (-20, 1240),
        ]
    )
    s.lay(surface.paint(s.name(), order.paint, 0.7), paint, bevel=20, shadow=10)
    s.tube([(120, 1010), (980, 980)], 15, (34, 34, 36), shadow=16, shine=0.3)
    s.lighten(polygon([(120, -20), (420, -20), (160, 1000), (-20, 1000)]), 70, 0.14)
    _drops(s, random.Random(order.seed), 110, (0, 0, 1440, 960))
    return s.jpeg(focus=(960, 660))


def _drops(
    s: Scene, pick: random.Random, count: int, where: tuple[float, float, float, float]
) -> None:
    """Rain on glass."""
    spots = [
        (pick.uniform(where[0], where[2]), pick.uniform(where[1], where[3]), pick.uniform(3, 9))
        for _ in range(count)
    ]
    s.darken(dots([(x + 2, y + 3, r) for x, y, r in spots]), 2, 0.4)
    s.lighten(dots([(x, y, r * 0.8) for x, y, r in spots]), 1, 0.3)
    s.lighten(dots([(x - r * 0.3, y - r * 0.3, r * 0.3) for x, y, r in spots]), 0, 0.8)


def headlight_haze(order: Order) -> bytes:
    """A plastic headlight, yellow and crazed, a wiped patch where a thumb went."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.6))
    s.lay(surface.rubber(s.name(), 40), box(-40, 930, 1640, 1240, 40), bevel=40, shadow=20)
    lens = polygon(
        curve(
            [
                (180, 360),
                (700, 280),
                (1330, 330),
                (1460, 560),
                (1400, 800),
                (800, 880),
                (230, 830),
                (140, 600),
                (180, 360),
            ]
        )
    )
    s.darken(ImageChops.offset(lens, 0, 6), 20, 0.8)
    s.lay((40, 40, 38), lens, bevel=16, depth=-1)
    for x, r in ((520, 190), (1080, 210)):
        bowl = within(lens, ellipse(x, 580, r))
        s.lay(surface.steel(s.name(), 190), bowl, bevel=60, depth=-1)
        s.lay((228, 224, 206), ellipse(x, 590, 56), bevel=30)
    haze = surface.ramp(
        surface.fractal(s.name(), 260, 7), [(0, (150, 134, 78)), (255, (224, 212, 160))]
    )
    s.image.paste(haze, mask=lens.point([v * 7 // 10 for v in range(256)]))
    pick = random.Random(order.seed)
    fine = []
    for _ in range(160):
        start = (pick.uniform(170, 1430), pick.uniform(300, 860))
        fine.append(crack(s.name(), start, around(*start, 40, pick.uniform(0, 360)), 7, 4))
    s.lighten(within(lens, lines(fine, 2)), 1, 0.35)
    wiped = surface.roughen(ellipse(1010, 520, 150, 60), s.name(), 26)
    s.lighten(within(lens, wiped), 14, 0.35)
    s.lighten(within(lens, stroke([(240, 420), (700, 340), (1290, 380)], 22)), 16, 0.5)
    amber = polygon([(1330, 340), (1456, 560), (1398, 796), (1300, 820)])
    s.image.paste(
        surface.flat((196, 104, 30)), mask=within(lens, amber).point([v // 2 for v in range(256)])
    )
    return s.jpeg(focus=(820, 580))


def top_window(order: Order) -> bytes:
    """A convertible's plastic rear window, clouded, split along its lower seam."""
    s = Scene(order.seed, surface.cloth(order.seed, (52, 50, 48)))
    window = box(250, 250, 1350, 860, 120)
    view = surface.ramp(
        surface.fractal(s.name(), 500, 5), [(0, (108, 100, 74)), (255, (206, 198, 166))]
    )
    s.lay(view, window, bevel=24, depth=-1)
    s.image.paste(
        surface.flat((226, 220, 196)),
        mask=within(window, surface.patches(s.name(), 0.5, 300, 1.4)).point(
            [v * 5 // 10 for v in range(256)]
        ),
    )
    folds = [curve([(250, y), (700, y + 40), (1350, y - 30)]) for y in (400, 560, 700)]
    s.darken(lines(folds, 6), 6, 0.35)
    s.lighten(lines([[(x, y - 10) for x, y in fold] for fold in folds], 5), 5, 0.5)
    hem = without(box(190, 190, 1410, 920, 160), box(262, 262, 1338, 848, 112))
    s.lay(surface.cloth(s.name(), (44, 42, 40)), hem, bevel=14, shadow=8)
    stitches = [[(x, 884), (x + 16, 884)] for x in range(330, 1280, 30)]
    s.image.paste(surface.flat((128, 122, 108)), mask=lines(stitches, 4))
    split = polygon(
        curve(
            [(520, 838), (700, 800), (880, 792), (1060, 812), (1180, 842), (900, 848), (520, 838)]
        )
    )
    s.lay((12, 12, 12), split, bevel=10, depth=-1)
    s.lighten(
        stroke(curve([(520, 836), (700, 796), (880, 786), (1060, 806), (1180, 838)]), 7), 2, 0.7
    )
    s.lay(
        surface.paint(s.name(), order.paint, 0.8),
        box(-40, 1040, 1640, 1240, 40),
        bevel=40,
        shadow=20,
    )
    s.tube([(-20, 1030), (1620, 1030)], 12, (190, 192, 194), shadow=10, shine=0.9)
    return s.jpeg(focus=(820, 700))
