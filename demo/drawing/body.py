"""Rust and old accidents: panels, sills, floors, seams."""

from __future__ import annotations

import random

from demo.drawing import surface
from demo.drawing.order import Order
from demo.drawing.scene import (
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
    within,
    without,
)


def sill_probe(order: Order) -> bytes:
    """A bradawl standing in a sill that let it through."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.3))
    s.lay(surface.underseal(s.name()), box(-40, 760, 1640, 1240), bevel=34, shadow=20)
    s.lay(surface.underseal(s.name(), 62), box(-40, 700, 1640, 800), bevel=26, depth=1.2)
    s.rusty(surface.roughen(ellipse(760, 800, 420, 170), s.name(), 60), 110, 50)
    hole = surface.roughen(ellipse(770, 810, 130, 62), s.name(), 26)
    s.darken(hole, 14, 0.9)
    s.lay((14, 10, 9), hole, bevel=14, depth=-1)
    s.rusty(surface.roughen(ellipse(1270, 730, 110, 46), s.name(), 26), 60)
    s.streak(620, 900, 240, 22)
    s.streak(960, 880, 300, 16)
    s.tube([(1130, 430), (800, 800)], 13, (176, 178, 184), shadow=26, shine=0.9)
    s.tube([(1420, 100), (1130, 430)], 56, (150, 92, 44), shadow=34, shine=0.6)
    s.tube([(1152, 404), (1122, 440)], 40, (196, 164, 84), shadow=0, shine=0.9)
    s.specks(90, (92, 54, 34), 1, 4)
    return s.jpeg(focus=(800, 740))


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
            bevel=16 if large else 8,
            depth=1.6,
        )
    for turn, r in ((-12, 62), (2, 110), (17, 78), (26, 36)):
        x, y = around(820, 1420, 838, turn)
        s.rusty(surface.roughen(ellipse(x, y - 36, r * 1.25, r * 0.62), s.name(), 26), 60, 30)
        s.streak(x, y, 90, 12)
    return s.jpeg(focus=(820, 560))


def floor_surface(order: Order) -> bytes:
    """Underside of the floor: pressed ribs, surface rust, a plugged drain."""
    s = Scene(order.seed, surface.underseal(order.seed, 70))
    for x in (120, 480, 840, 1200):
        s.lay(surface.underseal(s.name(), 74), box(x, -60, x + 170, 1260, 60), bevel=36, shadow=10)
    s.rusty(within(surface.patches(s.name(), 0.34, 220, 4), box(60, 60, 1540, 1140, 200)), 90, 20)
    s.lay(surface.rubber(s.name(), 36), ellipse(1030, 520, 92), bevel=22, shadow=12)
    s.lay(surface.rubber(s.name(), 30), ellipse(1030, 520, 56), bevel=14, depth=-1)
    s.tube(curve([(-20, 980), (400, 960), (900, 1000), (1620, 950)]), 16, (112, 84, 66))
    s.tube(curve([(-20, 1040), (400, 1016), (900, 1060), (1620, 1010)]), 16, (96, 92, 90))
    for x in (330, 1130):
        s.lay(surface.steel(s.name(), 110), box(x, 930, x + 60, 1080, 10), bevel=10, shadow=10)
    return s.jpeg()


def wet_carpet(order: Order) -> bytes:
    """Carpet folded back from a footwell floor with a brown puddle."""
    s = Scene(order.seed, surface.paint(order.seed, (96, 98, 96), 0.1))
    s.rusty(within(surface.patches(s.name(), 0.4, 180, 4), box(0, 300, 1600, 1200)), 70, 30)
    puddle = surface.roughen(ellipse(900, 800, 470, 230), s.name(), 50)
    s.lay(
        surface.ramp(surface.fractal(s.name(), 400, 4), [(0, (30, 22, 14)), (255, (92, 74, 50))]),
        puddle,
        bevel=10,
    )
    s.lighten(within(puddle, ellipse(760, 720, 200, 40)), 30, 0.5)
    s.lighten(within(puddle, ellipse(1060, 860, 120, 22)), 20, 0.35)
    fold = polygon([(0, 0), (1600, 0), (1600, 240), (1180, 380), (700, 330), (260, 560), (0, 860)])
    s.lay(surface.cloth(s.name(), (66, 64, 70)), fold, bevel=44, shadow=40)
    felt = polygon(
        [
            (0, 800),
            (270, 520),
            (700, 300),
            (1180, 350),
            (1600, 210),
            (1600, 270),
            (1180, 410),
            (700, 362),
            (300, 590),
            (0, 900),
        ]
    )
    s.lay(surface.cloth(s.name(), (128, 112, 88)), surface.roughen(felt, s.name(), 12), bevel=14)
    return s.jpeg(focus=(860, 700))


def inner_wing_patch(order: Order) -> bytes:
    """A plate welded over the left inner wing, lumpy bead, paint that does not match."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.2))
    s.lay(surface.paint(s.name(), order.paint, 0.2), box(-50, 820, 1650, 930), bevel=40, shadow=10)
    corners = [(420, 250), (1180, 220), (1240, 800), (380, 840)]
    off = tuple(min(255, round(c * 0.8 + 34)) for c in order.paint)
    s.lay(
        surface.paint(s.name(), (off[0], off[1], off[2]), 0.1), polygon(corners), bevel=10, shadow=8
    )
    pick = random.Random(order.seed)
    drops = []
    for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
        for step in range(34):
            x = start[0] + (end[0] - start[0]) * step / 34 + pick.uniform(-5, 5)
            y = start[1] + (end[1] - start[1]) * step / 34 + pick.uniform(-5, 5)
            drops.append((x, y, pick.uniform(12, 19)))
    bead = dots(drops)
    s.lay(surface.grime(s.name()), bead, bevel=13, shadow=5, depth=1.3)
    s.rusty(
        within(surface.roughen(bead, s.name(), 14), surface.patches(s.name(), 0.4, 160)), 50, 14
    )
    s.specks(140, (70, 66, 64), 2, 6)
    s.bolt(240, 1060, 46, tone=150, rust=0.1)
    s.bolt(1360, 1060, 46, tone=150, rust=0.5)
    return s.jpeg(focus=(800, 540))


def panel_gap(order: Order) -> bytes:
    """Bonnet against wing: the gap opens towards the front, a steel rule across it."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.9))
    other = tuple(max(0, min(255, c + d)) for c, d in zip(order.paint, (5, 4, -5), strict=True))
    gap = polygon([(740, -20), (764, -20), (842, 1220), (716, 1220)])
    right = polygon([(764, -20), (1620, -20), (1620, 1220), (842, 1220)])
    s.lay(surface.paint(s.name(), (other[0], other[1], other[2]), 0.7), right, bevel=26)
    s.darken(gap, 10, 0.85)
    s.lay((9, 9, 11), gap, bevel=14, depth=-1)
    rule = polygon([(220, 690), (1330, 640), (1340, 800), (226, 850)])
    s.lay(surface.steel(s.name(), 178), rule, bevel=8, shadow=26)
    marks = []
    for mark in range(45):
        x = 260 + mark * 23.4
        tall = 62 if mark % 10 == 0 else 44 if mark % 5 == 0 else 28
        y = 690 - (x - 220) * 50 / 1110
        marks.append([(x, y + 6), (x + 2, y + 6 + tall)])
    s.image.paste(surface.flat((30, 30, 34)), mask=lines(marks, 3))
    for number in range(5):
        x = 260 + number * 234
        s.text(str(number), x + 26, 690 - (x - 220) * 50 / 1110 + 96, 44, (34, 34, 38), turn=2.6)
    return s.jpeg(focus=(790, 700))


def wing_bolts(order: Order) -> bytes:
    """Wing bolts with their paint broken by a spanner."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.3))
    s.darken(box(-20, -20, 1620, 250), 30, 0.8)
    s.lay(surface.paint(s.name(), order.paint, 0.4), box(-30, 250, 1630, 820), bevel=30, shadow=20)
    s.lay(surface.paint(s.name(), order.paint, 0.2), box(-30, 800, 1630, 880), bevel=20, depth=-1)
    for x in (300, 800, 1300):
        washer = ellipse(x, 540, 120)
        s.lay(surface.paint(s.name(), order.paint, 0.2), washer, bevel=12, shadow=10)
        s.bolt(x, 540, 74, tone=150, rust=0.12)
        head = polygon([around(x, 540, 70, 12 + 60 * corner) for corner in range(6)])
        cover = without(head, surface.patches(s.name(), 0.45, 60))
        s.lay(surface.paint(s.name(), order.paint, 0.3), cover, bevel=8)
        s.lighten(ring(x, 540, 122, 112), 2, 0.35)
    pick = random.Random(order.seed)
    scratches = []
    for _ in range(12):
        at = pick.choice((300, 800, 1300)) + pick.uniform(-150, 150)
        y = 540 + pick.uniform(-140, 140)
        scratches.append([(at, y), (at + pick.uniform(-60, 60), y + pick.uniform(-50, 50))])
    s.lay(surface.steel(s.name(), 170), lines(scratches, 3))
    return s.jpeg(focus=(800, 540))


def jacking_point(order: Order) -> bytes:
    """A jacking point crushed into the sill."""
    s = Scene(order.seed, surface.underseal(order.seed, 58))
    s.lay(surface.paint(s.name(), order.paint, 0.2), box(-40, -40, 1640, 330), bevel=40, shadow=16)
    flange = polygon(
        [
            (-20, 640),
            (560, 640),
            (640, 560),
            (960, 548),
            (1040, 640),
            (1620, 640),
            (1620, 760),
            (1030, 770),
            (950, 690),
            (660, 700),
            (560, 770),
            (-20, 760),
        ]
    )
    s.lay(surface.underseal(s.name(), 74), flange, bevel=24, shadow=18, depth=1.3)
    s.rusty(surface.roughen(ellipse(800, 640, 260, 90), s.name(), 40), 80, 50)
    s.lay(
        surface.steel(s.name(), 120),
        within(stroke([(650, 600), (960, 590)], 20), surface.patches(s.name(), 0.5, 60)),
    )
    s.streak(740, 720, 240)
    s.lay((12, 10, 9), surface.roughen(ellipse(900, 650, 46, 24), s.name(), 12), bevel=10, depth=-1)
    s.specks(80, (96, 60, 40))
    return s.jpeg(focus=(800, 640))


def seam_rust(order: Order) -> bytes:
    """A spot-welded seam rusting from inside, sealer lifting."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.2))
    s.lay(surface.paint(s.name(), order.paint, 0.2), box(-40, 560, 1640, 1240), bevel=18, shadow=14)
    for x in range(120, 1600, 190):
        s.lay(surface.paint(s.name(), order.paint, 0.1), ellipse(x, 660, 30), bevel=12, depth=-1.2)
    seam = stroke([(-20, 556), (1620, 556)], 46)
    s.lay(
        surface.paint(s.name(), (150, 146, 134), 0.1), surface.roughen(seam, s.name(), 14), bevel=18
    )
    for line in range(7):
        x = 240 + line * 190
        path = crack(s.name(), (x, 548), (x + 160, 562), 10)
        s.image.paste(surface.flat((24, 17, 14)), mask=stroke(path, 6))
    band = without(stroke([(250, 580), (1350, 574)], 70), surface.patches(s.name(), 0.45, 150))
    s.rusty(surface.roughen(band, s.name(), 18), 60, 26)
    for x in (380, 700, 1090):
        s.streak(x, 590, 330, 14)
    return s.jpeg(focus=(800, 600))


def seat_belt(order: Order) -> bytes:
    """Belt webbing frayed along one edge."""
    s = Scene(order.seed, surface.cloth(order.seed, (88, 86, 92)))
    belt = polygon([(180, -20), (760, -20), (1280, 1220), (660, 1220)])
    weave = surface.cloth(s.name(), (38, 38, 42))
    s.lay(weave, belt, bevel=14, shadow=30)
    rows = [[(80, y + 160), (800, y - 40), (1500, y - 180)] for y in range(-240, 1540, 24)]
    s.image.paste(surface.flat((74, 74, 80)), mask=within(belt, lines(rows, 3)))
    pick = random.Random(order.seed)
    threads = []
    for _ in range(120):
        share = pick.gauss(0.52, 0.13)
        x, y = 760 + 520 * share, -20 + 1240 * share
        threads.append(
            curve(
                [
                    (x - 30, y),
                    (x + pick.uniform(4, 30), y + pick.uniform(-18, 18)),
                    (x + pick.uniform(20, 92), y + pick.uniform(-50, 50)),
                ],
                6,
            )
        )
    s.image.paste(surface.flat((104, 102, 106)), mask=lines(threads, 2.4))
    return s.jpeg(focus=(1000, 620))


def barn_car(order: Order) -> bytes:
    """The car as found: side on, dusty, in front of boards, one tyre low."""
    s = Scene(order.seed, surface.boards(order.seed))
    s.lay(surface.concrete(s.name(), 96), box(-20, 860, 1620, 1240))
    s.darken(box(-20, 820, 1620, 900), 30, 0.55)
    s.darken(ellipse(800, 960, 720, 60), 26, 0.8)
    body = polygon(
        curve(
            [
                (112, 830),
                (96, 700),
                (130, 620),
                (300, 574),
                (470, 556),
                (560, 470),
                (650, 404),
                (800, 386),
                (980, 390),
                (1100, 430),
                (1190, 536),
                (1330, 556),
                (1470, 586),
                (1500, 700),
                (1490, 830),
                (1400, 872),
                (300, 876),
                (112, 830),
            ]
        )
    )
    s.lay(surface.paint(s.name(), order.paint, 0.6), body, bevel=46, shadow=10, depth=1.1)
    s.lighten(within(body, stroke([(130, 640), (500, 610), (1480, 622)], 10)), 8, 0.4)
    s.darken(within(body, stroke([(110, 760), (1490, 770)], 60)), 30, 0.4)
    glass = surface.ramp(surface.noise(s.name(), 500), [(0, (20, 26, 30)), (255, (112, 122, 122))])
    for pane in (
        [(592, 550), (676, 436), (802, 420), (806, 556)],
        [(832, 556), (828, 418), (968, 424), (1010, 554)],
        [(1034, 554), (1000, 428), (1074, 452), (1142, 548)],
    ):
        s.lay(glass, polygon(pane), bevel=8, depth=-0.8)
    for x in (570, 818, 1022):
        s.darken(within(body, stroke([(x, 566), (x + 6, 860)], 5)), 1, 0.7)
    for x in (770, 976):
        s.lay(surface.steel(s.name(), 150), box(x, 606, x + 36, 618, 5), bevel=4, shadow=3)
    s.lay(
        surface.ramp(surface.noise(s.name(), 60), [(0, (140, 146, 150)), (255, (232, 232, 222))]),
        polygon([(104, 690), (112, 644), (196, 622), (206, 680)]),
        bevel=8,
    )
    s.lay((140, 34, 30), polygon([(1470, 620), (1500, 640), (1506, 708), (1474, 704)]), bevel=8)
    s.lay(surface.rubber(s.name(), 56), box(84, 752, 330, 800, 16), bevel=16, shadow=6)
    s.lay(surface.rubber(s.name(), 56), box(1350, 752, 1520, 800, 16), bevel=16, shadow=6)
    s.rusty(within(body, surface.roughen(ellipse(560, 836, 130, 18), s.name(), 14)), 40, 18)
    for x, low in ((380, 0), (1262, 16)):
        s.lay((10, 10, 12), ellipse(x, 846, 138, 132))
        s.lay(surface.rubber(s.name(), 40), ellipse(x, 866 + low, 118, 114 - low), bevel=18)
        s.lay(surface.steel(s.name(), 128), ellipse(x, 866, 74), bevel=12)
        for spoke in range(8):
            sx, sy = around(x, 866, 48, spoke * 45)
            s.lay((26, 26, 28), ellipse(sx, sy, 11), bevel=4, depth=-1)
        s.lay(surface.steel(s.name(), 160), ellipse(x, 866, 20), bevel=8)
    s.rusty(within(body, surface.roughen(ellipse(1180, 748, 60, 24), s.name(), 18)), 40, 18)
    s.dust(0.42)
    beam = polygon([(1120, -20), (1420, -20), (820, 1220), (260, 1220)])
    s.lighten(beam, 70, 0.16)
    return s.jpeg(focus=(800, 700), dim=0.55)


def filler(order: Order) -> bytes:
    """Filler showing where old paint has flaked from a repaired wing."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.7))
    s.lighten(stroke([(-20, 330), (1620, 250)], 40), 36, 0.35)
    flake = surface.roughen(ellipse(800, 660, 360, 230), s.name(), 60)
    s.lay(surface.paint(s.name(), (182, 178, 172), 0.1), flake, bevel=7, depth=-1.2)
    core = surface.roughen(ellipse(790, 670, 240, 140), s.name(), 44)
    s.lay(surface.paint(s.name(), (196, 176, 128), 0.1), core, bevel=5, depth=-1)
    for turn in range(0, 360, 28):
        x, y = around(800, 660, 230, turn)
        ex, ey = around(800, 660, 480, turn + 14)
        s.image.paste(
            surface.flat((40, 38, 36)), mask=stroke(crack(s.name(), (x, y), (ex, ey), 24), 2.5)
        )
    s.rusty(surface.roughen(ellipse(880, 740, 90, 40), s.name(), 22), 40, 20)
    return s.jpeg(focus=(800, 650))
