"""Under the bonnet: wires, rodents, fluids, leaks."""

from __future__ import annotations

import random

from PIL import ImageChops

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
    lines,
    polygon,
    stroke,
    union,
    within,
)
from demo.drawing.surface import Colour


def chewed_loom(order: Order) -> bytes:
    """Engine loom with its tape gnawed off and two wires bare to the strands."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.1))
    s.lay(surface.cast_iron(s.name(), 70), box(-40, 860, 1640, 1240, 60), bevel=50, shadow=20)
    s.dust(0.3)
    pick = random.Random(order.seed)
    colours: list[Colour] = [
        (150, 36, 34),
        (36, 92, 52),
        (196, 168, 52),
        (58, 66, 132),
        (120, 76, 44),
    ]
    for number, colour in enumerate(colours):
        y = 420 + number * 62
        path = curve(
            [
                (-40, 560 + number * 14),
                (300, 540 + number * 18),
                (620, y),
                (1000, y + 30),
                (1300, 560 + number * 16),
                (1660, 600 + number * 12),
            ]
        )
        s.tube(path, 23, colour, shadow=14, shine=0.6)
        if number in (1, 3):
            strands: list[list[Point]] = []
            for _ in range(22):
                lift = pick.uniform(-17, 17)
                strands.append(
                    curve(
                        [
                            (660, y + 4),
                            (740, y + lift * 0.8 + 10),
                            (830, y + lift + 14),
                            (930, y + 20),
                        ],
                        6,
                    )
                )
            if number == 3:
                strands += [
                    curve([(760, y + 10), (820, y + 60), (850, y + 120)], 6),
                    curve([(770, y + 12), (800, y + 70), (790, y + 130)], 6),
                ]
            s.darken(stroke([(660, y + 4), (930, y + 22)], 52), 4, 0.85)
            s.lay(
                surface.ramp(
                    surface.noise(s.name(), 4), [(0, (112, 62, 34)), (255, (232, 160, 100))]
                ),
                lines(strands, 5),
                bevel=4,
            )
            for x in (652, 938):
                s.lay(colour, surface.roughen(ellipse(x, y + 10, 26, 30), s.name(), 7), bevel=8)
    for left, right in ((-60, 470), (1180, 1680)):
        sleeve = polygon(
            [
                (left, 500),
                (right, 470),
                (right - 14, 560),
                (right + 20, 640),
                (right - 24, 720),
                (left, 720),
            ]
        )
        s.lay(
            surface.rubber(s.name(), 40), surface.roughen(sleeve, s.name(), 9), bevel=44, shadow=18
        )
        folds = [[(x, 488), (x + 40, 720)] for x in range(left, right - 40, 58)]
        s.darken(lines(folds, 5), 2, 0.5)
    _droppings(s, pick, 46, (500, 900, 1300, 1140))
    s.specks(150, (70, 60, 48), 1, 4)
    return s.jpeg(focus=(800, 560))


def nest(order: Order) -> bytes:
    """A nest of felt and straw in the air-filter box, droppings round it."""
    s = Scene(order.seed, surface.rubber(order.seed, 56))
    tray = box(140, 110, 1460, 1090, 70)
    s.lay(surface.rubber(s.name(), 44), tray, bevel=40, depth=-1)
    for left in range(190, 1440, 74):
        pleat = box(left, 160, left + 50, 620, 20)
        s.lay(surface.paint(s.name(), (176, 142, 84), 0.1), pleat, bevel=18, depth=1.2)
    s.dust(0.3)
    pick = random.Random(order.seed)
    mound = surface.roughen(ellipse(800, 760, 470, 270), s.name(), 70)
    s.darken(ImageChops.offset(mound, 12, 18), 30, 0.7)
    tones: list[Colour] = [
        (92, 84, 78),
        (140, 128, 112),
        (168, 142, 96),
        (118, 104, 98),
        (186, 172, 146),
    ]
    s.lay(surface.cloth(s.name(), (112, 102, 92)), mound, bevel=60)
    for tone in tones:
        hairs: list[list[Point]] = []
        for _ in range(190):
            x, y = around(800, 760, 400 * pick.uniform(0, 1) ** 0.6, pick.uniform(0, 360))
            y = 760 + (y - 760) * 0.6
            turn = pick.uniform(0, 360)
            mid, end = around(x, y, 46, turn), around(x, y, 96, turn + pick.uniform(-60, 60))
            hairs.append(curve([(x, y), mid, end], 5))
        mask = lines(hairs, pick.uniform(3, 6))
        s.darken(ImageChops.offset(mask, 3, 5), 2, 0.5)
        s.lay(tone, mask, bevel=4)
    s.darken(surface.roughen(ellipse(800, 740, 150, 80), s.name(), 26), 24, 0.6)
    _droppings(s, pick, 60, (200, 640, 1400, 1060))
    return s.jpeg(focus=(800, 700))


def battery_lead(order: Order) -> bytes:
    """The heavy battery lead chewed beside the bare edge of the inner wing."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.15))
    edge = polygon([(-40, 700), (1640, 620), (1640, 760), (-40, 850)])
    s.lay(surface.paint(s.name(), order.paint, 0.2), edge, bevel=26, shadow=20, depth=1.3)
    s.rusty(
        within(
            surface.roughen(stroke([(500, 760), (1200, 730)], 40), s.name(), 18),
            surface.patches(s.name(), 0.7, 90),
        ),
        40,
    )
    s.lay(surface.rubber(s.name(), 40), box(-40, -40, 620, 330, 30), bevel=30, shadow=24)
    s.lay(surface.cast_iron(s.name(), 150), ellipse(430, 170, 74), bevel=30, shadow=14)
    s.lay(surface.cast_iron(s.name(), 140), box(370, 120, 600, 230, 30), bevel=24, shadow=12)
    bloom = surface.roughen(ellipse(410, 150, 110, 70), s.name(), 26)
    s.lay(
        surface.ramp(
            surface.fractal(s.name(), 40, 5), [(0, (120, 150, 150)), (255, (222, 236, 230))]
        ),
        within(bloom, surface.patches(s.name(), 0.6, 60)),
        bevel=10,
    )
    path = curve([(560, 180), (820, 260), (900, 480), (960, 660), (1160, 800), (1660, 900)], 20)
    s.tube(path, 58, (150, 34, 34), shadow=36, shine=0.5)
    pick = random.Random(order.seed)
    core = path[44:66]
    bare = surface.roughen(stroke(core, 96), s.name(), 12)
    s.darken(bare, 4, 0.9)
    strands = []
    for _ in range(46):
        shift = pick.uniform(-36, 36)
        strands.append([(x + shift * 0.8 + pick.uniform(-3, 3), y - shift * 0.5) for x, y in core])
    s.lay(
        surface.ramp(surface.noise(s.name(), 5), [(0, (104, 58, 30)), (255, (236, 168, 106))]),
        lines(strands, 6),
        bevel=5,
    )
    for x, y in (core[0], core[-1]):
        marks = [
            [
                (x + pick.uniform(-60, 60), y + pick.uniform(-60, 60)),
                (x + pick.uniform(-60, 60), y + pick.uniform(-60, 60)),
            ]
            for _ in range(7)
        ]
        s.darken(within(lines(marks, 6), stroke(path, 112)), 1, 0.6)
    _droppings(s, pick, 20, (100, 900, 900, 1140))
    s.dust(0.16)
    return s.jpeg(focus=(940, 560))


def dipstick(order: Order) -> bytes:
    """A dipstick on a rag: dark oil just above the lower mark."""
    s = Scene(order.seed, surface.cloth(order.seed, (176, 168, 152)))
    for x, y, r in ((480, 860, 180), (700, 930, 120), (250, 760, 90)):
        stain = surface.roughen(ellipse(x, y, r, r * 0.7), s.name(), 50)
        s.image.paste(
            surface.flat((44, 32, 20)), mask=stain.point([v * 7 // 10 for v in range(256)])
        )
    blade = polygon([(180, 792), (1640, 300), (1640, 344), (196, 838)])
    s.lay(surface.steel(s.name(), 176), blade, bevel=10, shadow=26)
    wet = within(blade, box(0, 0, 700, 1200))
    s.lay(
        surface.ramp(surface.noise(s.name(), 60), [(0, (14, 9, 6)), (255, (52, 34, 18))]),
        wet,
        bevel=10,
    )
    s.lighten(within(wet, stroke([(200, 800), (700, 631)], 8)), 3, 0.5)
    for x in (640, 900):
        edge = 792 - (x - 180) * 492 / 1460
        s.darken(stroke([(x - 8, edge + 2), (x + 8, edge + 44)], 9), 1, 0.8)
    hatch = [
        [(x, 792 - (x - 180) * 492 / 1460 + 6), (x + 26, 792 - (x - 180) * 492 / 1460 + 32)]
        for x in range(660, 890, 22)
    ]
    s.darken(lines(hatch, 4), 1, 0.6)
    s.lay(
        surface.ramp(surface.noise(s.name(), 30), [(0, (16, 10, 7)), (255, (60, 40, 22))]),
        ellipse(190, 850, 20, 34),
        bevel=10,
        shadow=6,
    )
    return s.jpeg(focus=(600, 660))


def oil_leak(order: Order) -> bytes:
    """Sump and block wet with oil, a drop about to fall."""
    s = Scene(order.seed, surface.cast_iron(order.seed, 84))
    s.lay(surface.cast_iron(s.name(), 100), box(-40, 560, 1640, 640), bevel=24, shadow=20)
    s.lay(surface.cast_iron(s.name(), 62), box(-40, 640, 1640, 1000, 30), bevel=50, shadow=20)
    for x in range(160, 1600, 320):
        s.bolt(x, 600, 38, tone=120, rust=0.3)
    wet = union(
        surface.roughen(ellipse(820, 560, 380, 150), s.name(), 60),
        surface.roughen(box(560, 600, 1090, 1000), s.name(), 60),
    )
    s.lay(surface.grime(s.name()), within(wet, surface.patches(s.name(), 0.8, 200)))
    s.darken(wet, 20, 0.5)
    runs = [
        curve([(x, 640), (x + 8, 780), (x - 6, 900), (x, 1000)], 6)
        for x in (640, 760, 830, 960, 1040)
    ]
    s.darken(lines(runs, 20), 8, 0.5)
    s.lighten(lines([[(x - 5, y) for x, y in run] for run in runs], 4), 3, 0.5)
    for x, y, r in ((832, 1030, 24), (640, 1016, 15)):
        s.lay(
            (58, 40, 20),
            union(
                ellipse(x, y, r, r * 1.2),
                polygon([(x - r * 0.8, y - 8), (x, y - r * 2.4), (x + r * 0.8, y - 8)]),
            ),
            bevel=r * 0.6,
            depth=1.4,
        )
        s.lighten(ellipse(x - 6, y - 6, 5), 2, 0.9)
    return s.jpeg(focus=(800, 700))


def fuel_hose(order: Order) -> bytes:
    """Fuel hose on the rail, perished and damp under its clip."""
    s = Scene(order.seed, surface.cast_iron(order.seed, 96))
    s.tube([(-40, 860), (1640, 820)], 86, (150, 150, 152), shadow=40, shine=0.6)
    for stem in (260, 640, 1020, 1400):
        body = box(stem - 56, 880, stem + 56, 1240, 20)
        s.lay(surface.rubber(s.name(), 50), body, bevel=30, shadow=16)
        plug = box(stem - 44, 960, stem + 44, 1080, 10)
        s.lay(surface.paint(s.name(), (44, 74, 56), 0.2), plug, bevel=18)
    path = curve([(860, 840), (840, 600), (640, 430), (300, 300), (-60, 330)], 18)
    hose = s.tube(path, 58, (48, 48, 50), shadow=34, shine=0.3)
    pick = random.Random(order.seed)
    cracks = []
    for at in range(4, 60, 3):
        x, y = path[at]
        cracks.append(
            [
                (x - 40, y + pick.uniform(-18, 18)),
                (x + pick.uniform(-8, 8), y),
                (x + 40, y + pick.uniform(-18, 18)),
            ]
        )
    s.darken(within(hose, lines(cracks, 5)), 1, 0.85)
    s.lay(
        surface.steel(s.name(), 160),
        polygon([(770, 700), (912, 680), (920, 738), (778, 760)]),
        bevel=10,
        shadow=10,
    )
    s.bolt(930, 700, 30, tone=160, rust=0.3)
    damp = surface.roughen(ellipse(860, 830, 130, 70), s.name(), 30)
    s.darken(damp, 12, 0.5)
    s.lighten(within(damp, ellipse(840, 800, 50, 12)), 8, 0.6)
    return s.jpeg(focus=(840, 660))


def spark_plugs(order: Order) -> bytes:
    """Four plugs in a row on a rag, black with soot."""
    s = Scene(order.seed, surface.cloth(order.seed, (120, 124, 128)))
    for number in range(4):
        x = 280 + number * 350
        s.lay((222, 216, 204), box(x - 44, 120, x + 44, 470, 26), bevel=30, shadow=30)
        s.darken(lines([[(x - 44, y), (x + 44, y)] for y in (190, 240, 290)], 6), 2, 0.4)
        s.lay(surface.steel(s.name(), 150), box(x - 22, 60, x + 22, 130, 8), bevel=12, shadow=10)
        s.lay(
            surface.steel(s.name(), 140),
            polygon([(x - 84, 470), (x + 84, 470), (x + 84, 600), (x - 84, 600)]),
            bevel=22,
            shadow=24,
        )
        s.darken(box(x - 30, 470, x + 30, 600), 8, 0.18)
        s.lay(surface.steel(s.name(), 120), box(x - 62, 600, x + 62, 880, 8), bevel=30, shadow=20)
        s.darken(lines([[(x - 62, y), (x + 62, y + 8)] for y in range(620, 860, 22)], 8), 2, 0.5)
        soot = surface.rubber(s.name(), 22)
        s.lay(soot, box(x - 58, 850, x + 58, 910, 12), bevel=14, shadow=10)
        s.lay(soot, box(x - 14, 900, x + 14, 960, 6), bevel=8, shadow=6)
        s.lay(soot, lines([[(x + 44, 890), (x + 46, 990), (x - 10, 996)]], 20), bevel=8, shadow=6)
    return s.jpeg()


def radiator(order: Order) -> bytes:
    """Radiator fins crumbling in one corner, green and white crust."""
    s = Scene(order.seed, surface.rubber(order.seed, 40))
    rows: list[list[Point]] = []
    for y in range(150, 1200, 15):
        rows.append([(x, y + (8 if (x // 18) % 2 else -4)) for x in range(-20, 1640, 18)])
    s.lay(surface.steel(s.name(), 120), lines(rows, 5), bevel=4)
    for y in range(190, 1200, 90):
        s.lay(surface.steel(s.name(), 104), box(-20, y, 1620, y + 20), bevel=8, shadow=4)
    gone = surface.roughen(ellipse(1180, 840, 360, 230), s.name(), 60)
    s.lay(surface.rubber(s.name(), 30), within(gone, surface.patches(s.name(), 0.6, 90)), bevel=6)
    crust = surface.roughen(ellipse(1080, 560, 190, 120), s.name(), 40)
    s.lay(
        surface.ramp(
            surface.fractal(s.name(), 50, 5), [(0, (70, 130, 100)), (255, (214, 230, 214))]
        ),
        within(crust, surface.patches(s.name(), 0.6, 90)),
        bevel=8,
    )
    s.lay(surface.rubber(s.name(), 46), box(-40, -40, 1640, 130, 20), bevel=40, shadow=24)
    return s.jpeg(focus=(1000, 640))


def _droppings(s: Scene, pick: random.Random, count: int, where: tuple[int, int, int, int]) -> None:
    paths: list[list[Point]] = []
    for _ in range(count):
        x, y = pick.uniform(where[0], where[2]), pick.uniform(where[1], where[3])
        paths.append([(x, y), around(x, y, pick.uniform(10, 22), pick.uniform(0, 360))])
    grains = union(lines(paths, 11), dots([(p[0][0], p[0][1], 5) for p in paths]))
    s.lay((34, 28, 24), grains, bevel=5, shadow=5, depth=1.2)
