"""Under the car: springs, dampers, brakes, drive, exhaust, and the tires."""

from __future__ import annotations

import math
import random

from PIL import Image

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


def spring_broken(order: Order) -> bytes:
    """A coil spring whose last half turn has broken off and lies in the pan."""
    s = Scene(order.seed, surface.underseal(order.seed, 42))
    for number in range(4):
        y = 60 + number * 190
        back = [(1120, y + 10), (1000, y - 50), (800, y - 90), (600, y - 90), (480, y - 60)]
        s.tube(curve(back), 40, (44, 45, 47), shadow=14, shine=0.2)
    s.tube([(800, -40), (800, 980)], 120, (70, 72, 74), shadow=40, shine=0.4)
    s.lay(surface.cast_iron(s.name(), 84), ellipse(800, 1020, 470, 120), bevel=40, shadow=30)
    s.rusty(within(ellipse(800, 1020, 460, 110), surface.patches(s.name(), 0.5, 160)), 60, 12)
    for number in range(4):
        y = 60 + number * 190
        front = [(480, y + 130), (600, y + 150), (800, y + 120), (1000, y + 70), (1120, y + 10)]
        mask = s.tube(curve(front), 42, (78, 80, 82), shadow=30, shine=0.45)
        s.rusty(within(mask, surface.patches(s.name(), 0.35, 90)), 40, 6)
    s.lay(surface.steel(s.name(), 150), ellipse(486, 762, 34, 44), bevel=12)
    s.rusty(within(ellipse(486, 762, 34, 44), surface.patches(s.name(), 0.5, 30)), 20, 4)
    piece = curve([(430, 960), (560, 1040), (800, 1070), (1030, 1040), (1120, 990)])
    mask = s.tube(piece, 42, (84, 80, 76), shadow=26, shine=0.4)
    s.rusty(within(mask, surface.patches(s.name(), 0.5, 90)), 40, 6)
    s.lay(surface.steel(s.name(), 168), ellipse(430, 958, 36, 42), bevel=12)
    return s.jpeg(focus=(700, 860))


def strut_leak(order: Order) -> bytes:
    """A strut wet with its own oil from the seal down, dust stuck to it."""
    s = Scene(order.seed, surface.underseal(order.seed, 44))
    s.tube([(800, -40), (800, 330)], 46, (182, 184, 190), shadow=30, shine=0.9)
    s.tube([(800, 320), (800, 1260)], 170, (74, 76, 80), shadow=60, shine=0.4)
    s.lay(surface.rubber(s.name(), 42), box(620, 290, 980, 400, 40), bevel=30, shadow=16)
    wet = surface.roughen(
        union(box(650, 400, 950, 780), box(690, 740, 840, 1180), ellipse(860, 820, 70, 160)),
        s.name(),
        40,
    )
    tube = box(636, 400, 964, 1260)
    s.darken(within(tube, wet), 10, 0.75)
    s.lay(surface.grime(s.name()), within(within(tube, wet), surface.patches(s.name(), 0.4, 90)))
    runs = [curve([(x, 410), (x + 10, 600), (x - 8, 780), (x, 900)], 6) for x in (700, 760, 830)]
    s.darken(lines(runs, 26), 8, 0.5)
    s.lighten(lines([[(x - 6, y) for x, y in run] for run in runs], 4), 3, 0.35)
    s.lay(surface.cast_iron(s.name(), 78), box(500, 900, 1100, 960, 20), bevel=16, shadow=14)
    for x in (548, 1052):
        s.bolt(x, 930, 30, tone=130, rust=0.6)
    s.tube(curve([(1640, 420), (1240, 470), (980, 640)]), 34, (44, 44, 46), shadow=24)
    s.dust(0.12)
    return s.jpeg(focus=(800, 620))


def rotor_caliper(order: Order) -> bytes:
    """A digital caliper across a worn brake rotor, seen from its edge."""
    s = Scene(order.seed, surface.rubber(order.seed, 26))
    s.darken(box(300, -40, 1100, 1240), 90, 0.6)
    s.lay((10, 9, 9), box(500, -40, 800, 1240))
    for y in range(-20, 1240, 96):
        s.lay(surface.cast_iron(s.name(), 70), box(560, y, 740, y + 40, 14), bevel=14, shadow=6)
    s.rusty(within(box(560, -40, 740, 1240), surface.patches(s.name(), 0.5, 120)), 50, 8)
    for left, right in ((500, 580), (720, 800)):
        plate = box(left, -40, right, 1240)
        s.lay(surface.steel(s.name(), 132, 2), plate, bevel=16, shadow=20)
        s.rusty(within(plate, surface.patches(s.name(), 0.55, 160, 4)), 60, 6)
    s.rusty(within(box(470, -40, 520, 1240), surface.patches(s.name(), 0.7, 90)), 40, 8)
    s.lay(surface.steel(s.name(), 176), box(330, 170, 1640, 280, 8), bevel=10, shadow=30)
    marks = [[(1300 + n * 17, 180), (1300 + n * 17, 212 if n % 5 else 240)] for n in range(20)]
    s.image.paste(surface.flat((40, 40, 44)), mask=lines(marks, 3))
    for jaw in (
        [(380, 260), (500, 260), (500, 640), (470, 640)],
        [(800, 260), (930, 260), (830, 640), (800, 640)],
    ):
        s.lay(surface.steel(s.name(), 168), polygon(jaw), bevel=12, shadow=24)
    shell = box(800, 60, 1270, 380, 26)
    s.lay(surface.paint(s.name(), (46, 48, 52), 0.4), shell, bevel=26, shadow=26)
    screen = box(850, 110, 1220, 250, 12)
    s.lay((162, 176, 152), screen, bevel=10, depth=-1)
    s.image.paste(surface.flat((24, 30, 26)), mask=lettering(order.show, 1010, 180, 108))
    s.image.paste(surface.flat((24, 30, 26)), mask=lettering("in", 1186, 212, 42))
    for x in (910, 1035, 1160):
        s.lay((176, 120, 40), ellipse(x, 318, 32, 24), bevel=10, shadow=6)
    return s.jpeg(focus=(780, 380))


def brake_line(order: Order) -> bytes:
    """Two steel brake lines over the tank, swollen with rust at their clip."""
    s = Scene(order.seed, surface.underseal(order.seed, 58))
    s.lay(surface.underseal(s.name(), 40), box(-40, 800, 1640, 1240, 60), bevel=50, shadow=30)
    scale = surface.rust(s.name(), 34)(surface.SIZE).convert("L")
    rough = Image.merge("RGB", (scale, scale, scale))
    for y, tone in ((470, (130, 78, 46)), (600, (116, 72, 44))):
        path = curve([(-40, y - 60), (420, y), (800, y + 14), (1200, y - 10), (1660, y + 60)])
        s.tube(path, 32, tone, shadow=26, shine=0.2, texture=rough)
        swell = surface.roughen(stroke([(560, y + 4), (1040, y + 6)], 92), s.name(), 20)
        s.rusty(within(swell, surface.patches(s.name(), 0.8, 80)), 36, 14)
        thin = surface.roughen(ellipse(980, y + 14, 50, 18), s.name(), 8)
        s.darken(thin, 3, 0.8)
    s.lay(surface.rubber(s.name(), 46), box(700, 400, 850, 690, 30), bevel=30, shadow=22)
    s.bolt(775, 545, 34, tone=120, rust=0.85)
    s.specks(220, (116, 70, 44), 1, 6)
    return s.jpeg(focus=(860, 540))


def muffler_split(order: Order) -> bytes:
    """A muffler opened along its seam, soot on the metal about the slit."""
    s = Scene(order.seed, surface.underseal(order.seed, 40))
    can = box(170, 280, 1430, 920, 300)
    s.lay(surface.steel(s.name(), 112), can, bevel=130, shadow=50, depth=1.2)
    s.rusty(within(can, surface.patches(s.name(), 0.7, 240, 4)), 90, 10)
    s.darken(within(can, box(170, 660, 1430, 940)), 80, 0.5)
    s.tube([(-40, 640), (230, 610)], 66, (124, 92, 70), shadow=30)
    s.tube([(1390, 600), (1640, 560)], 66, (118, 90, 68), shadow=30)
    s.lay(surface.rust(s.name(), 60), within(can, box(200, 560, 1400, 610)), bevel=14, shadow=6)
    soot = surface.roughen(ellipse(830, 580, 380, 130), s.name(), 60)
    s.darken(within(can, soot), 40, 0.75)
    slit = polygon(
        curve(
            [(520, 590), (680, 560), (850, 548), (1020, 560), (1140, 592), (840, 616), (520, 590)]
        )
    )
    s.lay((6, 6, 7), surface.roughen(slit, s.name(), 12), bevel=12, depth=-1)
    s.lay(
        surface.rust(s.name(), 40),
        stroke([(540, 628), (840, 650), (1120, 626)], 22),
        bevel=10,
        shadow=14,
    )
    hanger = curve([(420, -40), (430, 120), (410, 260), (450, 330)])
    s.tube(hanger, 16, (120, 116, 110), shadow=18)
    return s.jpeg(focus=(840, 600))


def cv_boot(order: Order) -> bytes:
    """The outer boot of a drive shaft, split in a fold, grease thrown over the knuckle."""
    s = Scene(order.seed, surface.cast_iron(order.seed, 60))
    s.rusty(surface.patches(s.name(), 0.25, 200, 4), 70, 16)
    s.tube([(-60, 620), (380, 620)], 74, (92, 88, 84), shadow=40, shine=0.4)
    s.lay(surface.cast_iron(s.name(), 90), box(1180, 240, 1640, 1000, 60), bevel=50, shadow=40)
    for number, (x, tall) in enumerate(
        ((340, 150), (500, 210), (670, 260), (850, 300), (1030, 320))
    ):
        fold = box(x, 620 - tall, x + 190, 620 + tall, 90)
        s.lay(surface.rubber(s.name(), 40 + number * 2), fold, bevel=60, shadow=18, depth=1.2)
    s.lay(surface.steel(s.name(), 150), box(1190, 310, 1226, 930, 10), bevel=10, shadow=8)
    tear = polygon(
        curve([(838, 330), (864, 420), (874, 560), (862, 720), (842, 820), (828, 620), (838, 330)])
    )
    s.lay((10, 9, 8), surface.roughen(tear, s.name(), 9), bevel=10, depth=-1)
    grease = surface.ramp(
        surface.fractal(s.name(), 90, 6), [(0, (22, 17, 12)), (255, (104, 84, 48))]
    )
    pick = random.Random(order.seed)
    blobs = [ellipse(866, 520, 70, 130), ellipse(880, 700, 60, 110), ellipse(940, 860, 110, 60)]
    for _ in range(34):
        right, below = pick.gauss(900, 190), pick.gauss(980, 110)
        blobs.append(ellipse(right, below, pick.uniform(8, 46), pick.uniform(6, 26)))
    smear = surface.roughen(union(*blobs), s.name(), 14)
    s.lay(grease, smear, bevel=14, shadow=5, depth=1.3)
    s.lighten(within(smear, surface.patches(s.name(), 0.1, 30)), 2, 0.5)
    s.lay((8, 8, 8), within(tear, ellipse(858, 560, 12, 160)), bevel=4, depth=-1)
    return s.jpeg(focus=(880, 640))


def shackle(order: Order) -> bytes:
    """A leaf-spring shackle rusted through on one side, a U-bolt without its nut."""
    s = Scene(order.seed, surface.grime(order.seed))
    for number in range(4):
        y = 620 + number * 66
        leaf = polygon(
            curve([(-40, y + 90), (500, y + 60), (1000, y), (1180 - number * 210, y - 20)])
            + curve([(1180 - number * 210, y + 34), (1000, y + 54), (500, y + 114), (-40, y + 144)])
        )
        s.lay(surface.steel(s.name(), 84), leaf, bevel=16, shadow=14)
        s.rusty(within(leaf, surface.patches(s.name(), 0.5, 150)), 70, 8)
    s.lay(surface.cast_iron(s.name(), 70), ellipse(1210, 630, 120), bevel=30, shadow=20)
    s.bolt(1210, 630, 70, tone=110, rust=0.8)
    plate = polygon([(1130, 80), (1290, 80), (1300, 640), (1120, 640)])
    s.lay(surface.steel(s.name(), 96), plate, bevel=18, shadow=26)
    s.rusty(within(plate, surface.patches(s.name(), 0.7, 120)), 60, 8)
    gone = surface.roughen(
        union(ellipse(1130, 360, 90, 120), ellipse(1180, 420, 50, 60)), s.name(), 24
    )
    s.lay((12, 10, 9), gone, bevel=12, depth=-1)
    s.bolt(1210, 140, 62, tone=110, rust=0.8)
    for x in (330, 560):
        s.tube([(x, 400), (x, 1110)], 28, (112, 92, 76), shadow=24, shine=0.3)
        threads = [[(x - 30, y), (x + 30, y + 8)] for y in range(990, 1110, 16)]
        s.darken(lines(threads, 5), 1, 0.7)
    s.lay(surface.steel(s.name(), 90), box(240, 930, 660, 986, 10), bevel=14, shadow=18)
    s.bolt(330, 1010, 54, tone=116, rust=0.7)
    s.specks(200, (104, 62, 38), 1, 6)
    return s.jpeg(focus=(940, 620))


def shoe_rule(order: Order) -> bytes:
    """A front drum off: a steel rule in 32nds against the lining of the trailing shoe."""
    s = Scene(order.seed, surface.grime(order.seed))
    s.lay(surface.cast_iron(s.name(), 76), ellipse(760, 620, 560), bevel=40, shadow=30)
    s.lay(surface.paint(s.name(), (60, 58, 56), 0.1), ellipse(760, 620, 500), bevel=20, depth=-1)
    lining = surface.ramp(surface.noise(s.name(), 8), [(0, (66, 58, 50)), (255, (136, 120, 98))])
    for side in (-1, 1):
        outer = [around(760, 620, 470, side * a) for a in range(18, 163, 6)]
        inner = [around(760, 620, 410, side * a) for a in range(162, 17, -6)]
        s.lay(lining, polygon(outer + inner), bevel=10, shadow=8)
        web = [around(760, 620, 408, side * a) for a in range(20, 161, 6)]
        hub = [around(760, 620, 336, side * a) for a in range(160, 19, -6)]
        s.lay(surface.steel(s.name(), 92), polygon(web + hub), bevel=12, shadow=6)
    s.lay(surface.cast_iron(s.name(), 122), box(610, 150, 910, 290, 50), bevel=34, shadow=18)
    for y, half in ((420, 300), (860, 310)):
        coil = [
            (760 - half + step * half / 50, y + 20 * math.sin(step * 1.3)) for step in range(101)
        ]
        s.tube(coil, 6, (142, 60, 48), shadow=8)
    s.lay(surface.cast_iron(s.name(), 84), ellipse(760, 640, 150), bevel=40, shadow=24)
    s.tube([(760, 640), (764, 646)], 66, (150, 148, 144), shadow=16)
    rule = polygon([(1120, 560), (1640, 470), (1656, 560), (1136, 650)])
    s.lay(surface.steel(s.name(), 190), rule, bevel=6, shadow=24)
    marks = [
        [
            (1130 + n * 15, 562 - n * 2.6),
            (1130 + n * 15 + 3, 562 - n * 2.6 + (54 if n % 4 == 0 else 30)),
        ]
        for n in range(34)
    ]
    s.image.paste(surface.flat((28, 28, 32)), mask=lines(marks, 3))
    return s.jpeg(focus=(1080, 600))


def tire_cord(order: Order) -> bytes:
    """A sidewall cracked round and round, cord showing in the deepest crack."""
    s = Scene(order.seed, surface.rubber(order.seed, 54))
    for radius in (760, 800, 1290):
        s.lay(
            surface.rubber(s.name(), 52), ring(800, 1620, radius + 20, radius), bevel=16, depth=1.2
        )
    pick = random.Random(order.seed)
    fine: list[list[Point]] = []
    for _ in range(120):
        reach, turn = pick.uniform(820, 1280), pick.uniform(-44, 44)
        arc = [
            around(800, 1620, reach + pick.uniform(-7, 7), turn + step) for step in range(0, 9, 2)
        ]
        fine.append(arc)
    s.darken(lines(fine, 4), 1, 0.85)
    deep = [around(800, 1620, 1040 + 10 * math.sin(step * 1.9), step) for step in range(-20, 19, 2)]
    under = [
        around(800, 1620, 1000 + 8 * math.sin(step * 1.3), step) for step in range(18, -21, -2)
    ]
    slit = surface.roughen(polygon(deep + under), s.name(), 10)
    s.lay((12, 11, 11), slit, bevel=12, depth=-1)
    cords = [
        [around(800, 1620, 1000, step / 4), around(800, 1620, 1044, step / 4 + 0.7)]
        for step in range(-76, 74, 3)
    ]
    s.lay((176, 164, 136), within(slit, lines(cords, 6)), bevel=4)
    s.dust(0.2)
    return s.jpeg(focus=(800, 620))


def tread_gauge(order: Order) -> bytes:
    """A pen gauge in 32nds standing in a front tire's outer groove."""
    s = Scene(order.seed, surface.rubber(order.seed, 50))
    grooves = (330, 800, 1270)
    for x in grooves:
        s.lay((12, 12, 13), box(x - 40, -40, x + 40, 1240), bevel=14, depth=-0.8)
    sipes: list[list[Point]] = []
    for row in range(-2, 15):
        for left in (-80, 380, 850, 1320):
            sipes.append(
                [(left, row * 104), (left + 180, row * 104 + 46), (left + 360, row * 104 - 10)]
            )
    apart = union(*[box(x - 36, -40, x + 36, 1240) for x in grooves])
    s.lay((14, 14, 15), without(lines(sipes, 10), apart), bevel=6, depth=-1)
    s.lighten(box(-40, -40, 280, 1240), 80, 0.12)
    s.lay((34, 34, 35), box(292, 880, 368, 950, 10), bevel=12)
    s.tube([(330, 560), (330, 720)], 9, (190, 192, 196), shadow=14, shine=0.9)
    s.lay(surface.steel(s.name(), 170), box(236, 470, 424, 570, 20), bevel=20, shadow=26)
    s.lay(
        surface.paint(s.name(), (208, 204, 190), 0.4),
        box(270, -40, 390, 480, 30),
        bevel=30,
        shadow=30,
    )
    marks = [[(286, 60 + n * 26), (330 if n % 2 else 352, 60 + n * 26)] for n in range(15)]
    s.image.paste(surface.flat((30, 30, 34)), mask=lines(marks, 3))
    s.lay((178, 36, 36), box(280, 372, 382, 384))
    s.dust(0.14)
    return s.jpeg(focus=(420, 520))


def tire_code(order: Order) -> bytes:
    """The week and year molded into a sidewall, in their oval."""
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
    for _ in range(12):
        x, y = around(800, 1560, pick.uniform(770, 1230), pick.uniform(-42, 42))
        cracks.append(
            crack(s.name(), (x, y), (x + pick.uniform(40, 110), y + pick.uniform(-20, 20)), 8, 5)
        )
    s.darken(without(lines(cracks, 3), plate), 1, 0.7)
    s.dust(0.22)
    return s.jpeg(focus=(800, 560))
