"""Under the car: bushings, brakes, steering, tyres."""

from __future__ import annotations

import math
import random

from PIL import Image, ImageChops, ImageDraw

from demo.drawing import surface
from demo.drawing.order import Order
from demo.drawing.scene import (
    Point,
    Scene,
    around,
    box,
    crack,
    curve,
    ellipse,
    lettering,
    lines,
    polygon,
    ring,
    stroke,
    union,
    within,
    without,
)


def bushing(order: Order) -> bytes:
    """A control-arm bushing: rubber torn through on one side, sleeve off centre."""
    s = Scene(order.seed, surface.grime(order.seed))
    s.darken(box(0, 0, 1600, 1200), 0, 0.3)
    arm = polygon(
        curve(
            [
                (-40, 470),
                (300, 420),
                (620, 280),
                (1000, 240),
                (1290, 420),
                (1330, 700),
                (1140, 960),
                (800, 1010),
                (520, 930),
                (260, 800),
                (-40, 780),
            ]
        )
    )
    s.lay(surface.cast_iron(s.name(), 66), arm, bevel=40, shadow=30)
    s.rusty(within(arm, surface.patches(s.name(), 0.3, 180, 4)), 70, 16)
    s.lay(surface.steel(s.name(), 96), ellipse(900, 620, 312), bevel=18, shadow=12)
    s.lay(surface.rubber(s.name(), 50), ellipse(900, 620, 280), bevel=30, depth=-0.7)
    for turn in (40, 100, 155, 230, 290, 340):
        start, end = around(900, 620, 120, turn), around(900, 620, 272, turn + 22)
        s.darken(stroke(crack(s.name(), start, end, 10), 9), 2, 0.9)
        s.lighten(stroke([(x - 7, y - 7) for x, y in crack(s.name(), start, end, 10)], 3), 2, 0.2)
    tear = polygon(
        [around(908, 634, 168, a) for a in range(-40, 78, 8)]
        + [around(900, 620, 232, a) for a in range(72, -48, -8)]
    )
    s.lay((6, 6, 7), surface.roughen(tear, s.name(), 9), bevel=12, depth=-1)
    s.lay(surface.steel(s.name(), 128), ellipse(872, 660, 132), bevel=20, shadow=8)
    s.bolt(872, 660, 78, tone=120, rust=0.45)
    return s.jpeg(focus=(900, 620))


def drop_link(order: Order) -> bytes:
    """An anti-roll-bar link whose rubbers have shrunk away from their cups."""
    s = Scene(order.seed, surface.underseal(order.seed, 40))
    s.tube(
        curve([(-40, 300), (500, 330), (1000, 260), (1640, 300)]),
        66,
        (70, 66, 62),
        shadow=40,
        shine=0.3,
    )
    s.tube([(800, 60), (800, 1180)], 30, (122, 110, 100), shadow=30)
    for y, wide in ((160, 150), (420, 158), (760, 150), (1010, 160)):
        cup = box(800 - wide, y, 800 + wide, y + 30, 14)
        s.lay(surface.steel(s.name(), 118), cup, bevel=10, shadow=10)
        s.rusty(within(cup, surface.patches(s.name(), 0.4, 70)), 40, 8)
    for y in (200, 800):
        body = box(690, y, 910, y + 190, 70)
        s.lay(surface.rubber(s.name(), 48), body, bevel=50, shadow=16, depth=1.3)
        for row in range(5):
            line = crack(s.name(), (700, y + 30 + row * 34), (900, y + 40 + row * 32), 9)
            s.darken(within(body, stroke(line, 6)), 1, 0.85)
    s.bolt(800, 110, 64, tone=120, rust=0.6)
    s.dust(0.12)
    return s.jpeg()


def rack_mount(order: Order) -> bytes:
    """The rack housing in its clamp: bright bands where it slides to and fro."""
    s = Scene(order.seed, surface.underseal(order.seed, 40))
    s.lay(surface.cast_iron(s.name(), 60), box(-40, 720, 1640, 1040, 30), bevel=40, shadow=30)
    s.tube([(-40, 560), (1640, 560)], 150, (104, 104, 104), shadow=60, shine=0.35)
    dirt = without(
        box(-40, 410, 1640, 712), union(box(560, 410, 640, 712), box(960, 410, 1050, 712))
    )
    s.lay(surface.grime(s.name()), within(dirt, surface.patches(s.name(), 0.7, 200, 3)))
    for left, right in ((556, 644), (956, 1054)):
        s.lighten(box(left, 424, right, 690), 8, 0.32)
        s.lighten(box(left, 470, right, 520), 12, 0.5)
    s.lay(surface.rubber(s.name(), 36), box(640, 392, 960, 730, 40), bevel=30, shadow=12)
    s.lay(surface.steel(s.name(), 108), box(668, 372, 932, 750, 60), bevel=34, shadow=18, depth=1.2)
    s.rusty(within(box(668, 372, 932, 750, 60), surface.patches(s.name(), 0.35, 130)), 60, 12)
    for x in (590, 1010):
        s.lay(surface.steel(s.name(), 104), box(x - 90, 742, x + 90, 860, 20), bevel=16, shadow=12)
        s.bolt(x, 800, 48, tone=130, rust=0.5)
    for x in (600, 1004):
        arrow = stroke([(x - 60, 330), (x + 60, 330)], 9)
        heads = union(
            polygon([(x - 96, 330), (x - 54, 306), (x - 54, 354)]),
            polygon([(x + 96, 330), (x + 54, 306), (x + 54, 354)]),
        )
        s.image.paste(surface.flat((236, 226, 190)), mask=union(arrow, heads))
    return s.jpeg(focus=(800, 560))


def ball_joint(order: Order) -> bytes:
    """A ball joint with its boot torn and a feeler of rust at the stud."""
    s = Scene(order.seed, surface.grime(order.seed))
    s.tube([(-40, 980), (760, 760)], 110, (86, 82, 78), shadow=50, shine=0.25)
    s.lay(surface.cast_iron(s.name(), 74), ellipse(820, 730, 230, 210), bevel=60, shadow=30)
    s.lay(surface.rubber(s.name(), 46), ellipse(820, 520, 190, 130), bevel=60, shadow=16, depth=1.3)
    s.lay(surface.rubber(s.name(), 40), ellipse(820, 430, 140, 80), bevel=40, shadow=10)
    s.tube([(820, 400), (830, 120)], 62, (130, 122, 114), shadow=20)
    s.bolt(834, 110, 84, tone=126, rust=0.55)
    tear = polygon(curve([(870, 470), (950, 500), (990, 560), (920, 560), (880, 530), (870, 470)]))
    s.lay((8, 7, 7), surface.roughen(tear, s.name(), 8), bevel=8, depth=-1)
    s.rusty(within(tear, surface.patches(s.name(), 0.5, 40)), 30, 10)
    return s.jpeg(focus=(840, 540))


def brake_disc(order: Order) -> bytes:
    """A front disc: rust on the face, a lip at the edge, pads in the caliper."""
    s = Scene(order.seed, surface.rubber(order.seed, 24))
    s.lay(surface.cast_iron(s.name(), 92), ellipse(740, 620, 560), bevel=16, shadow=30)
    s.rusty(within(ring(740, 620, 560, 534), surface.patches(s.name(), 0.85, 120)), 50, 4)
    face = ring(740, 620, 532, 268)
    s.lay(_turned(s.name(), 740, 620), face, bevel=10, depth=-1.2)
    s.rusty(within(face, surface.patches(s.name(), 0.24, 200, 4)), 50, 6)
    s.lay(surface.cast_iron(s.name(), 84), ellipse(740, 620, 268), bevel=18, shadow=6)
    s.rusty(within(ellipse(740, 620, 262), surface.patches(s.name(), 0.6, 150)), 60, 8)
    s.lay(surface.cast_iron(s.name(), 60), ellipse(740, 620, 130), bevel=26, shadow=10)
    for turn in (0, 90, 180, 270):
        x, y = around(740, 620, 200, turn + 22)
        s.lay((16, 14, 13), ellipse(x, y, 32), bevel=8, depth=-1)
    caliper = polygon(
        curve(
            [
                (1010, 210),
                (1240, 260),
                (1400, 480),
                (1420, 760),
                (1260, 990),
                (1050, 1040),
                (1000, 930),
                (1130, 800),
                (1170, 620),
                (1120, 430),
                (990, 310),
                (1010, 210),
            ]
        )
    )
    s.lay(surface.cast_iron(s.name(), 104), caliper, bevel=40, shadow=34, depth=1.2)
    s.rusty(within(caliper, surface.patches(s.name(), 0.26, 150)), 60, 10)
    s.lay(
        surface.steel(s.name(), 112),
        polygon(
            [
                (1020, 380),
                (1108, 450),
                (1150, 620),
                (1110, 800),
                (1010, 880),
                (990, 850),
                (1078, 770),
                (1112, 620),
                (1076, 470),
                (996, 408),
            ]
        ),
        bevel=10,
        shadow=8,
    )
    s.bolt(1300, 430, 40, tone=130, rust=0.4)
    s.bolt(1310, 820, 40, tone=130, rust=0.4)
    return s.jpeg(focus=(820, 600))


def brake_hose(order: Order) -> bytes:
    """A flexible brake hose bent by hand: cracks open to the cords."""
    s = Scene(order.seed, surface.underseal(order.seed, 36))
    path = curve([(-60, 980), (300, 860), (620, 470), (900, 360), (1200, 500), (1660, 300)], 20)
    hose = s.tube(path, 84, (52, 52, 54), shadow=50, shine=0.35)
    slits: list[list[Point]] = []
    pick = random.Random(order.seed)
    for at in range(34, 78, 2):
        (x, y), (nx, ny) = path[at], path[at + 1]
        run = math.hypot(nx - x, ny - y) or 1
        ax, ay = -(ny - y) / run, (nx - x) / run
        reach, back = pick.uniform(30, 78), pick.uniform(10, 60)
        slits.append(
            crack(s.name(), (x + ax * reach, y + ay * reach), (x - ax * back, y - ay * back), 6, 5)
        )
    s.darken(within(hose, lines(slits, 9)), 2, 0.95)
    s.image.paste(surface.flat((150, 138, 112)), mask=within(hose, lines(slits[4:14], 3)))
    s.lay(
        surface.steel(s.name(), 130),
        polygon([(1330, 320), (1480, 270), (1540, 450), (1390, 500)]),
        bevel=20,
        shadow=14,
    )
    s.tube([(1500, 360), (1680, 300)], 44, (150, 126, 80), shadow=20)
    return s.jpeg(focus=(860, 440))


def brake_pipe(order: Order) -> bytes:
    """Steel brake pipe along the underside, scaled thin at a clip."""
    s = Scene(order.seed, surface.underseal(order.seed, 60))
    s.rusty(surface.roughen(ellipse(800, 400, 500, 120), s.name(), 60), 90, 40)
    scale = surface.rust(s.name(), 40)(surface.SIZE).convert("L")
    rough = Image.merge("RGB", (scale, scale, scale))
    s.tube(
        curve([(-40, 560), (500, 580), (1000, 540), (1640, 570)]),
        40,
        (120, 76, 48),
        shadow=30,
        shine=0.2,
        texture=rough,
    )
    s.tube(
        curve([(-40, 760), (500, 770), (1000, 750), (1640, 770)]), 40, (132, 126, 116), shadow=30
    )
    clip = box(720, 470, 880, 860, 30)
    s.lay(surface.rubber(s.name(), 50), clip, bevel=30, shadow=20)
    s.bolt(800, 660, 36, tone=120, rust=0.8)
    thin = surface.roughen(ellipse(950, 545, 90, 30), s.name(), 12)
    s.rusty(thin, 30, 14)
    s.darken(surface.roughen(ellipse(960, 560, 34, 12), s.name(), 6), 2, 0.8)
    s.specks(120, (110, 70, 48), 1, 5)
    return s.jpeg(focus=(860, 580))


def drum_wet(order: Order) -> bytes:
    """An open rear drum: a weeping wheel cylinder, one shoe stained."""
    s = Scene(order.seed, surface.grime(order.seed))
    s.lay(surface.cast_iron(s.name(), 70), ellipse(800, 620, 560), bevel=40, shadow=30)
    s.lay(surface.paint(s.name(), (52, 52, 54), 0.1), ellipse(800, 620, 500), bevel=20, depth=-1)
    for side in (-1, 1):
        outer = [around(800, 620, 470, side * a) for a in range(18, 163, 6)]
        inner = [around(800, 620, 400, side * a) for a in range(162, 17, -6)]
        s.lay(
            surface.ramp(surface.noise(s.name(), 8), [(0, (70, 62, 52)), (255, (132, 118, 98))]),
            polygon(outer + inner),
            bevel=10,
            shadow=8,
        )
        web = [around(800, 620, 398, side * a) for a in range(22, 159, 6)]
        hub = [around(800, 620, 330, side * a) for a in range(158, 21, -6)]
        s.lay(surface.steel(s.name(), 88), polygon(web + hub), bevel=12, shadow=6)
    s.lay(surface.cast_iron(s.name(), 118), box(650, 150, 950, 290, 50), bevel=34, shadow=18)
    for x in (640, 960):
        s.lay(surface.rubber(s.name(), 40), ellipse(x, 220, 50, 66), bevel=24, shadow=8)
    wet = surface.roughen(
        union(ellipse(1010, 330, 80, 120), ellipse(1080, 480, 60, 140)), s.name(), 30
    )
    s.darken(wet, 10, 0.55)
    s.lighten(within(wet, ellipse(1010, 330, 26, 70)), 14, 0.35)
    s.tube(curve([(470, 520), (800, 500), (1130, 520)]), 16, (150, 148, 140))
    coil = [(500 + step * 6.0, 560 + 22 * math.sin(step * 1.3)) for step in range(101)]
    s.tube(coil, 6, (142, 140, 136), shadow=8)
    s.lay(surface.cast_iron(s.name(), 80), ellipse(800, 640, 150), bevel=40, shadow=24)
    s.bolt(800, 640, 66, tone=120, rust=0.4)
    return s.jpeg(focus=(880, 420))


def tyre_tread(order: Order) -> bytes:
    """Tread with a depth gauge standing in the main groove."""
    s = Scene(order.seed, surface.rubber(order.seed, 50))
    for x in (250, 640, 1030, 1420):
        s.lay((10, 10, 11), box(x - 34, -40, x + 34, 1240), bevel=16, depth=-1)
    sipes: list[list[Point]] = []
    for row in range(-2, 16):
        y = row * 92
        for left in (-60, 284, 674, 1064, 1454):
            sipes.append([(left, y), (left + 100, y + 40), (left + 322, y + 24)])
    blocks = without(
        lines(sipes, 12), union(*[box(x - 30, -40, x + 30, 1240) for x in (250, 640, 1030, 1420)])
    )
    s.lay((12, 12, 13), blocks, bevel=6, depth=-1)
    shine = without(box(0, 0, 1600, 1200), box(420, -40, 1240, 1240))
    s.lighten(shine, 140, 0.08)
    s.lay(surface.steel(s.name(), 190), box(610, 640, 670, 1010, 10), bevel=14, shadow=20)
    s.lay(
        surface.paint(s.name(), (164, 120, 30), 0.4),
        box(470, 300, 810, 690, 40),
        bevel=30,
        shadow=34,
    )
    s.lay((228, 226, 216), box(590, 330, 690, 660, 10), bevel=6, depth=-1)
    s.image.paste(
        surface.flat((40, 40, 40)),
        mask=lines(
            [[(596, 350 + n * 22), (642 if n % 5 else 666, 350 + n * 22)] for n in range(14)], 3
        ),
    )
    s.lay((170, 30, 36), box(592, 470, 688, 480))
    s.dust(0.12)
    return s.jpeg(focus=(640, 560))


def tyre_code(order: Order) -> bytes:
    """The date code moulded into a sidewall, in its oval."""
    s = Scene(order.seed, surface.rubber(order.seed, 52))
    for radius in (700, 760, 1240, 1300):
        s.lay(
            surface.rubber(s.name(), 52), ring(800, 1560, radius + 16, radius), bevel=14, depth=1.2
        )
    plate = box(470, 430, 1130, 700, 130)
    s.lay(surface.rubber(s.name(), 44), plate, bevel=16, depth=-1.3)
    code = lettering(order.show, 800, 560, 190)
    s.lay(surface.rubber(s.name(), 78), code, bevel=9, shadow=3, depth=1.8)
    pick = random.Random(order.seed)
    cracks = []
    for _ in range(26):
        x, y = around(800, 1560, pick.uniform(770, 1230), pick.uniform(-42, 42))
        cracks.append(
            crack(s.name(), (x, y), (x + pick.uniform(40, 130), y + pick.uniform(-24, 24)), 8, 5)
        )
    s.darken(without(lines(cracks, 4), plate), 1, 0.8)
    s.dust(0.22)
    return s.jpeg(focus=(800, 560))


def exhaust(order: Order) -> bytes:
    """A silencer with rust along its seam, still whole."""
    s = Scene(order.seed, surface.underseal(order.seed, 40))
    can = box(180, 300, 1420, 900, 220)
    s.lay(surface.steel(s.name(), 120), can, bevel=130, shadow=50, depth=1.2)
    s.rusty(within(can, surface.patches(s.name(), 0.6, 240, 4)), 90, 10)
    s.darken(within(can, box(180, 640, 1420, 920)), 80, 0.5)
    s.tube([(-40, 600), (240, 600)], 70, (128, 96, 72), shadow=30)
    s.tube([(1380, 600), (1640, 620)], 70, (120, 92, 70), shadow=30)
    seam = surface.roughen(box(230, 700, 1370, 740), s.name(), 26)
    s.rusty(within(can, seam), 60, 16)
    return s.jpeg(focus=(860, 660))


def propshaft_joint(order: Order) -> bytes:
    """A rubber shaft coupling cracked between its bolts."""
    s = Scene(order.seed, surface.grime(order.seed))
    s.tube([(-60, 620), (420, 620)], 130, (86, 84, 80), shadow=60, shine=0.3)
    s.tube([(1200, 620), (1660, 620)], 130, (80, 78, 74), shadow=60, shine=0.3)
    s.lay(surface.rubber(s.name(), 48), ellipse(800, 620, 400), bevel=60, shadow=40, depth=1.1)
    s.lay((14, 13, 13), ellipse(800, 620, 120), bevel=30, depth=-1)
    for turn in range(0, 360, 60):
        x, y = around(800, 620, 268, turn)
        s.lay(surface.rubber(s.name(), 42), ellipse(x, y, 96), bevel=20, depth=-0.8)
        s.bolt(x, y, 54, tone=118, rust=0.4)
    for turn in (28, 92, 210, 330):
        path = crack(s.name(), around(800, 620, 130, turn), around(800, 620, 392, turn + 8), 14)
        s.darken(stroke(path, 12), 2, 0.92)
    return s.jpeg()


def _turned(seed: str, x: float, y: float) -> Image.Image:
    """Metal with the fine circles that pads leave."""
    base = surface.steel(seed, 140, 1)(surface.SIZE)
    pick = random.Random(seed)
    rings = Image.new("L", surface.SIZE, 128)
    pen = ImageDraw.Draw(rings)
    for radius in range(268, 534, 7):
        level = 128 + pick.randint(-34, 34)
        corners = (x - radius - 4, y - radius - 4, x + radius + 4, y + radius + 4)
        pen.ellipse(corners, outline=level, width=5)
    return ImageChops.overlay(base, Image.merge("RGB", (rings, rings, rings)))
