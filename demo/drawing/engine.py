"""Under the hood: belts, mounts, wires, and what a squirrel left."""

from __future__ import annotations

import random

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
    lines,
    polygon,
    ring,
    stroke,
    union,
    within,
    without,
)
from demo.drawing.surface import Color


def acorns(order: Order) -> bytes:
    """An air box full of acorns on the pleats of its filter."""
    s = Scene(order.seed, surface.rubber(order.seed, 54))
    tray = box(120, 100, 1480, 1100, 80)
    s.lay(surface.rubber(s.name(), 42), tray, bevel=40, depth=-1)
    for left in range(170, 1440, 66):
        pleat = box(left, 150, left + 44, 1050, 18)
        s.lay(surface.paint(s.name(), (190, 160, 104), 0.1), pleat, bevel=16, depth=1.2)
    s.dust(0.25)
    pick = random.Random(order.seed)
    spots: list[Point] = []
    while len(spots) < 74:
        x, y = pick.gauss(820, 250), pick.gauss(680, 170)
        if 210 < x < 1390 and 240 < y < 1000:
            spots.append((x, y))
    for x, y in sorted(spots, key=lambda spot: spot[1]):
        turn = pick.uniform(0, 360)
        tone: Color = pick.choice([(98, 62, 30), (112, 74, 36), (84, 56, 28), (96, 82, 40)])
        nut = stroke([around(x, y, 16, turn), around(x, y, 16, turn + 180)], 58)
        s.lay(surface.paint(s.name(), tone, 0.7), nut, bevel=24, shadow=14, depth=1.4)
        tip = around(x, y, 52, turn + 180)
        s.lay((70, 46, 24), ellipse(tip[0], tip[1], 6), bevel=4)
        if pick.random() < 0.8:
            cap = ellipse(*around(x, y, 24, turn), 35, 33)
            s.lay(surface.rubber(s.name(), 70), cap, bevel=16, shadow=5, depth=1.3)
            s.image.paste(surface.flat((92, 66, 40)), mask=cap.point([v // 2 for v in range(256)]))
    shells = [
        surface.roughen(
            ellipse(pick.uniform(230, 1380), pick.uniform(180, 1030), 22, 14), s.name(), 6
        )
        for _ in range(14)
    ]
    s.lay((88, 58, 30), union(*shells), bevel=6, shadow=5)
    return s.jpeg(focus=(820, 660))


def hood_mat(order: Order) -> bytes:
    """The insulation under the hood torn away in mouthfuls, bare ribs behind it."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.2))
    for rib in (
        polygon([(300, -20), (420, -20), (900, 1240), (760, 1240)]),
        polygon([(1300, -20), (1420, -20), (960, 1240), (840, 1240)]),
    ):
        s.lay(surface.paint(s.name(), order.paint, 0.2), rib, bevel=30, shadow=10)
    whole = box(-40, -40, 1640, 1240)
    bites = surface.roughen(
        union(
            ellipse(880, 700, 360, 240),
            ellipse(1180, 560, 200, 160),
            ellipse(640, 880, 210, 130),
            ellipse(330, 260, 120, 80),
        ),
        s.name(),
        60,
    )
    mat = without(whole, bites)
    s.lay(surface.cloth(s.name(), (92, 88, 78)), mat, bevel=34, shadow=22)
    quilt = [[(x, -20), (x + 620, 1240)] for x in range(-700, 1640, 230)]
    quilt += [[(x, -20), (x - 620, 1240)] for x in range(0, 2300, 230)]
    s.darken(within(mat, lines(quilt, 10)), 6, 0.55)
    pick = random.Random(order.seed)
    edge = within(mat, surface.blurred(bites, 22).point([255 if v > 70 else 0 for v in range(256)]))
    hairs: list[list[Point]] = []
    for _ in range(900):
        x, y = pick.uniform(180, 1420), pick.uniform(160, 1060)
        hairs.append(
            curve(
                [
                    (x, y),
                    around(x, y, 20, pick.uniform(0, 360)),
                    around(x, y, 40, pick.uniform(0, 360)),
                ],
                4,
            )
        )
    s.lay((172, 164, 142), within(edge, lines(hairs, 4)), bevel=3)
    s.lay(surface.rubber(s.name(), 40), ellipse(330, 980, 34), bevel=16, shadow=10)
    s.dust(0.2)
    return s.jpeg(focus=(900, 680))


def belt_ribs(order: Order) -> bytes:
    """A ribbed belt bent over a pulley, cracked across its ribs."""
    s = Scene(order.seed, surface.cast_iron(order.seed, 62))
    s.lay(surface.steel(s.name(), 132), ellipse(800, 1380, 900), bevel=30, shadow=30)
    s.lay(surface.rubber(s.name(), 40), ellipse(800, 1340, 930), bevel=24, shadow=24)
    for number in range(6):
        radius = 900 - number * 66
        rib = ring(800, 1340, radius, radius - 46)
        s.lay(surface.rubber(s.name(), 54), rib, bevel=22, shadow=6, depth=1.2)
    pick = random.Random(order.seed)
    cuts: list[list[Point]] = []
    for turn in range(-46, 47, 5):
        lean = turn + pick.uniform(-1.4, 1.4)
        reach = pick.choice((904, 840, 774))
        cuts.append(
            crack(
                s.name(),
                around(800, 1340, reach, lean),
                around(800, 1340, reach - pick.choice((120, 190, 330)), lean + 0.6),
                7,
                7,
            )
        )
    s.darken(lines(cuts, 8), 1, 0.95)
    s.lay(surface.steel(s.name(), 120), ellipse(800, 1340, 500), bevel=30, depth=-1)
    chip = surface.roughen(
        polygon([(1010, 560), (1110, 590), (1090, 650), (990, 620)]), s.name(), 12
    )
    s.lay((14, 14, 15), chip, bevel=10, depth=-1)
    return s.jpeg(focus=(840, 640))


def engine_mount(order: Order) -> bytes:
    """A front engine mount: the rubber torn off its plate, daylight between."""
    s = Scene(order.seed, surface.grime(order.seed))
    arm = polygon([(-40, 60), (1100, 120), (1240, 420), (-40, 470)])
    s.lay(surface.cast_iron(s.name(), 96), arm, bevel=44, shadow=36)
    s.lay(surface.cast_iron(s.name(), 70), box(300, 900, 1640, 1240, 30), bevel=40, shadow=30)
    s.lay(surface.steel(s.name(), 110), box(420, 850, 1240, 910, 12), bevel=14, shadow=16)
    ends: list[Point] = [(470, 850), (520, 700), (640, 640), (900, 630), (1080, 690), (1180, 850)]
    block = polygon(curve([*ends, (820, 860), (470, 850)]))
    lower = surface.roughen(block, s.name(), 16)
    s.lay(surface.rubber(s.name(), 46), lower, bevel=50, shadow=20, depth=1.1)
    ends = [(480, 470), (560, 560), (700, 590), (940, 580), (1090, 540), (1150, 450)]
    upper = surface.roughen(polygon(curve([*ends, (800, 440), (480, 470)])), s.name(), 16)
    s.lay(surface.rubber(s.name(), 42), upper, bevel=40, shadow=20, depth=1.1)
    s.lighten(stroke(curve([(560, 640), (760, 610), (1040, 640)]), 10), 6, 0.35)
    for x in (600, 760, 960):
        strand = curve([(x, 560), (x + 24, 620), (x + 6, 660)])
        s.lay(surface.rubber(s.name(), 52), stroke(strand, 14), bevel=6)
    s.lay(surface.steel(s.name(), 104), box(430, 400, 1190, 462, 12), bevel=14, shadow=14)
    s.bolt(500, 960, 54, tone=120, rust=0.6)
    s.bolt(1150, 960, 54, tone=120, rust=0.6)
    s.bolt(810, 330, 64, tone=126, rust=0.4)
    return s.jpeg(focus=(820, 640))


def trailer_splice(order: Order) -> bytes:
    """Trailer wires twisted into the tail-light wires with twist caps, tape coming off."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.15))
    s.lay(
        surface.paint(s.name(), order.paint, 0.15),
        box(-40, 900, 1640, 1240, 40),
        bevel=40,
        shadow=20,
    )
    hues: list[Color] = [(150, 40, 36), (60, 104, 58), (176, 152, 60), (118, 78, 48)]
    for number, hue in enumerate(hues):
        y = 250 + number * 150
        wire = curve([(-40, y), (420, y + 30), (760, y + 10), (1200, y + 60), (1660, y + 20)])
        s.tube(wire, 20, hue, shadow=14, shine=0.6)
        if number < 3:
            _splice(
                s, (700 + number * 110, y + 14), (208, 204, 196) if number == 1 else (56, 56, 60)
            )
    tape = polygon(
        [
            (1120, 700),
            (1420, 660),
            (1440, 740),
            (1300, 770),
            (1330, 900),
            (1250, 920),
            (1220, 790),
            (1130, 790),
        ]
    )
    s.lay(surface.rubber(s.name(), 34), tape, bevel=12, shadow=18)
    s.dust(0.16)
    return s.jpeg(focus=(820, 520))


def _splice(s: Scene, joint: Point, tone: Color) -> None:
    """Another wire twisted in, its end in a twist cap."""
    x, y = joint
    tail = curve([joint, (x + 120, y + 190), (x + 60, y + 420), (x + 220, 1260)])
    s.tube(tail, 18, tone, shadow=14, shine=0.5)
    copper = surface.ramp(surface.noise(s.name(), 4), [(0, (112, 62, 34)), (255, (232, 160, 100))])
    s.lay(copper, stroke([(x - 70, y), joint], 26), bevel=6)
    cap = polygon([(x - 34, y + 20), (x + 34, y + 16), (x + 22, y - 92), (x - 20, y - 90)])
    s.lay(surface.paint(s.name(), (216, 120, 36), 0.4), cap, bevel=18, shadow=16, depth=1.3)
    flutes: list[list[Point]] = [
        [(x + lean, y + 14), (x + lean * 0.6, y - 84)] for lean in (-18, 0, 18)
    ]
    s.darken(lines(flutes, 5), 2, 0.5)
