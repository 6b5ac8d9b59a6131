"""What carries the car: sills, floors, frame and mounts, and what rust and a blow did to them."""

from __future__ import annotations

import random

from PIL import ImageChops

from demo.drawing import surface
from demo.drawing.order import Order
from demo.drawing.scene import (
    Point,
    Scene,
    box,
    crack,
    curve,
    dots,
    ellipse,
    lines,
    polygon,
    stroke,
    union,
    within,
    without,
)


def awl(s: Scene, tip: Point, handle: Point) -> None:
    """An awl that stands in the metal: a thin blade, a wooden handle with its ferrule."""
    x, y = handle[0] - tip[0], handle[1] - tip[1]
    neck, end = (tip[0] + x * 0.5, tip[1] + y * 0.5), handle
    s.tube([tip, neck], 12, (180, 182, 188), shadow=24, shine=0.9)
    s.tube([neck, end], 52, (156, 92, 42), shadow=34, shine=0.6)
    ferrule = (neck[0] + x * 0.05, neck[1] + y * 0.05)
    s.tube([neck, ferrule], 40, (196, 166, 86), shadow=0, shine=0.9)


def cargo_hole(order: Order) -> bytes:
    """The cargo floor with its mat turned back: a rusty hole, gravel and the muffler below."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.15))
    for x in (160, 560, 960, 1360):
        rib = box(x, -60, x + 150, 1260, 60)
        s.lay(surface.paint(s.name(), order.paint, 0.15), rib, bevel=30, shadow=8)
    s.rusty(surface.roughen(ellipse(880, 640, 470, 330), s.name(), 80), 110, 60)
    hole = surface.roughen(ellipse(880, 640, 290, 190), s.name(), 50)
    s.darken(hole, 20, 0.9)
    s.lay(surface.concrete(s.name(), 120), hole, bevel=20, depth=-1)
    s.image.paste(
        surface.rust(s.name(), 80)(surface.SIZE),
        mask=within(hole, stroke([(500, 860), (1300, 620)], 150)),
    )
    s.darken(within(hole, stroke([(480, 800), (1300, 540)], 30)), 12, 0.7)
    s.darken(without(hole, ImageChops.offset(hole, 22, 30)), 10, 0.7)
    s.specks(220, (104, 60, 36), 1, 5)
    mat = polygon(
        [(-20, -20), (1620, -20), (1620, 120), (1180, 210), (640, 160), (260, 420), (-20, 520)]
    )
    s.lay(surface.cloth(s.name(), (58, 56, 58)), mat, bevel=40, shadow=36)
    return s.jpeg(focus=(880, 640))


def spare_well(order: Order) -> bytes:
    """The spare well: a wrinkle in its wall, weld beads along the rear panel, brushed sealer."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.2))
    s.lay(
        surface.paint(s.name(), order.paint, 0.2), ellipse(620, 820, 620, 460), bevel=50, depth=-1
    )
    s.darken(ellipse(600, 800, 560, 400), 120, 0.35)
    for left, low in ((760, 620), (900, 800), (1040, 900)):
        pleat = polygon(
            curve(
                [
                    (left, 400),
                    (left + 60, 390),
                    (left + 200, low),
                    (left + 130, low - 10),
                    (left, 400),
                ]
            )
        )
        s.lay(surface.paint(s.name(), order.paint, 0.3), pleat, bevel=40, shadow=10, depth=1.1)
        s.darken(stroke([(left + 70, 400), (left + 206, low)], 14), 12, 0.6)
    s.lay(surface.paint(s.name(), order.paint, 0.2), box(-40, -40, 1640, 250), bevel=30, shadow=20)
    pick = random.Random(order.seed)
    beads = [(x, 256 + pick.uniform(-9, 9), pick.uniform(15, 25)) for x in range(520, 1640, 20)]
    s.lay(surface.grime(s.name()), dots(beads), bevel=14, shadow=6, depth=1.3)
    s.rusty(within(dots(beads), surface.patches(s.name(), 0.3, 120)), 40, 12)
    smear = surface.roughen(
        stroke(curve([(440, 330), (800, 310), (1200, 340), (1640, 316)]), 84), s.name(), 26
    )
    s.lay(surface.paint(s.name(), (168, 160, 138), 0.1), smear, bevel=14, shadow=4)
    hairs = [
        [(x, 290 + pick.uniform(-16, 30)), (x + 120, 300 + pick.uniform(-12, 40))]
        for x in range(440, 1560, 26)
    ]
    s.darken(within(smear, lines(hairs, 3)), 1, 0.35)
    s.bolt(560, 800, 60, tone=130, rust=0.7)
    s.tube([(560, 800), (560, 640)], 22, (126, 92, 66), shadow=18)
    s.dust(0.2)
    return s.jpeg(focus=(900, 520))


def pinch_weld(order: Order) -> bytes:
    """The lower seam of a rocker panel, swollen into layers by the rust between its sheets."""
    s = Scene(order.seed, surface.paint(order.seed, order.paint, 0.3))
    s.lay(surface.underseal(s.name(), 56), box(-40, 430, 1640, 640), bevel=40, shadow=16)
    s.rusty(surface.roughen(stroke([(60, 640), (1540, 620)], 120), s.name(), 50), 100, 40)
    s.darken(box(-20, 760, 1620, 1240), 60, 0.7)
    for number, lift in enumerate((0, 26, 52)):
        y = 640 + number * 46
        edge: list[Point] = [(-30, y)]
        edge += [(x, y + lift * 0.4 + (14 if (x // 140) % 2 else -8)) for x in range(40, 1640, 110)]
        back: list[Point] = [(1640, y + 60), (-30, y + 60)]
        sheet = surface.roughen(polygon([*edge, *back]), s.name(), 14)
        s.lay(surface.rust(s.name(), 70), sheet, bevel=12, shadow=14, depth=1.3)
        s.darken(stroke([(x, y + 62) for x in range(-20, 1640, 60)], 9), 4, 0.8)
    flakes = [
        surface.roughen(
            polygon([(x, y), (x + r, y - 30), (x + r * 1.6, y + 40), (x + 20, y + r * 0.6)]),
            s.name(),
            14,
        )
        for x, y, r in ((240, 850, 150), (720, 900, 110), (840, 1010, 70), (1150, 860, 190))
    ]
    s.lay(surface.rust(s.name(), 50), union(*flakes), bevel=10, shadow=22, depth=1.3)
    s.specks(160, (110, 66, 40), 1, 6)
    for x in (420, 980, 1300):
        s.streak(x, 700, 150, 14)
    return s.jpeg(focus=(800, 700))


def arm_mount(order: Order) -> bytes:
    """The body where a rear arm bolts on: an awl stands in the rust beside the bracket."""
    s = Scene(order.seed, surface.underseal(order.seed, 52))
    s.rusty(surface.roughen(ellipse(960, 500, 470, 330), s.name(), 80), 110, 60)
    s.tube([(-60, 1000), (760, 700)], 92, (76, 74, 70), shadow=50, shine=0.25)
    bracket = polygon([(480, 380), (840, 340), (900, 860), (620, 900), (500, 700)])
    s.lay(surface.cast_iron(s.name(), 82), bracket, bevel=34, shadow=26, depth=1.2)
    s.rusty(within(bracket, surface.patches(s.name(), 0.5, 160)), 70, 14)
    s.lay(surface.rubber(s.name(), 44), ellipse(700, 700, 120), bevel=40, shadow=10)
    s.bolt(700, 700, 66, tone=116, rust=0.7)
    hole = surface.roughen(ellipse(1060, 480, 110, 66), s.name(), 26)
    s.darken(hole, 14, 0.9)
    s.lay((12, 10, 9), hole, bevel=12, depth=-1)
    seam = crack(s.name(), (860, 360), (1330, 640), 26, 12)
    s.darken(stroke(seam, 8), 2, 0.85)
    awl(s, (1070, 486), (1480, 60))
    s.specks(140, (104, 60, 38), 1, 5)
    return s.jpeg(focus=(960, 540))


def floor_probe(order: Order) -> bytes:
    """The driver's floor with the pad pulled aside, an awl pressed into brown metal."""
    s = Scene(order.seed, surface.paint(order.seed, (86, 88, 84), 0.1))
    for y in (330, 560, 790):
        s.lay(surface.paint(s.name(), (90, 92, 88), 0.1), box(200, y, 1640, y + 90, 44), bevel=26)
    brown = surface.roughen(ellipse(980, 600, 620, 420), s.name(), 120)
    s.rusty(within(surface.patches(s.name(), 0.55, 200, 4), brown), 80, 30)
    s.rusty(surface.roughen(ellipse(920, 620, 200, 130), s.name(), 50), 60, 40)
    dent = surface.roughen(ellipse(920, 640, 60, 34), s.name(), 16)
    s.lay((30, 20, 15), dent, bevel=12, depth=-1)
    riser = polygon([(1180, -20), (1640, -20), (1640, 330), (1240, 300)])
    s.lay(surface.paint(s.name(), order.paint, 0.3), riser, bevel=30, shadow=24)
    s.bolt(1400, 210, 50, tone=130, rust=0.5)
    pad = polygon([(-20, -20), (560, -20), (420, 380), (240, 720), (330, 1240), (-20, 1240)])
    s.lay(
        surface.cloth(s.name(), (116, 104, 84)),
        surface.roughen(pad, s.name(), 14),
        bevel=40,
        shadow=34,
    )
    awl(s, (922, 640), (1240, 1130))
    return s.jpeg(focus=(900, 640))


def frame_plate(order: Order) -> bytes:
    """A ladder frame behind the cab, rusted open, a steel plate screwed over one side."""
    s = Scene(order.seed, surface.grime(order.seed))
    s.lay(surface.paint(s.name(), order.paint, 0.2), box(-40, -40, 1640, 190), bevel=30, shadow=30)
    rail = box(-40, 430, 1640, 860)
    s.lay(surface.underseal(s.name(), 50), rail, bevel=34, shadow=36, depth=1.2)
    s.rusty(within(rail, surface.patches(s.name(), 0.75, 260, 3)), 110, 20)
    gone = surface.roughen(
        union(ellipse(560, 760, 330, 110), ellipse(330, 600, 150, 90), box(60, 790, 900, 900)),
        s.name(),
        44,
    )
    s.darken(gone, 18, 0.9)
    s.lay((14, 11, 10), gone, bevel=20, depth=-1.2)
    layer = surface.roughen(stroke([(260, 640), (700, 690)], 30), s.name(), 16)
    s.lay(surface.rust(s.name(), 40), layer, bevel=10, shadow=10)
    plate = polygon([(880, 400), (1420, 420), (1410, 810), (890, 790)])
    s.lay(surface.steel(s.name(), 138), plate, bevel=10, shadow=24)
    s.rusty(within(plate, surface.patches(s.name(), 0.22, 140)), 50, 12)
    for x, y in ((950, 470), (1340, 480), (950, 730), (1340, 740), (1150, 600)):
        s.bolt(x, y, 34, tone=150, rust=0.25)
    s.specks(260, (104, 62, 38), 1, 6)
    return s.jpeg(focus=(760, 640))
