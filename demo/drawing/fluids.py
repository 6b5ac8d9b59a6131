"""Fluids: levels, leaks, stains and samples."""

from __future__ import annotations

import random

from demo.drawing import surface
from demo.drawing.order import Order
from demo.drawing.scene import (
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


def reservoir_low(order: Order) -> bytes:
    """The brake reservoir: black fluid a finger below the MIN line."""
    s = Scene(order.seed, surface.cast_iron(order.seed, 58))
    s.tube([(-40, 1010), (1640, 1010)], 130, (96, 96, 94), shadow=50, shine=0.4)
    tank = box(320, 300, 1280, 930, 70)
    s.lay(surface.paint(s.name(), (222, 212, 178), 0.3), tank, bevel=50, shadow=46)
    s.lay((44, 30, 18), within(tank, box(320, 800, 1280, 940)), bevel=16)
    s.lighten(within(tank, box(320, 790, 1280, 806)), 4, 0.4)
    for y, word in ((470, "MAX"), (690, "MIN")):
        s.darken(lines([[(400, y), (760, y)]], 10), 1, 0.55)
        s.darken(s.text(word, 900, y, 84, (120, 112, 92)), 1, 0.4)
    s.lay(surface.rubber(s.name(), 38), box(560, 190, 1040, 330, 30), bevel=30, shadow=26)
    grips = [[(x, 200), (x, 322)] for x in range(590, 1030, 32)]
    s.darken(lines(grips, 9), 3, 0.6)
    s.darken(within(tank, surface.patches(s.name(), 0.25, 200, 2)), 20, 0.35)
    s.lighten(within(tank, box(350, 330, 400, 900, 24)), 20, 0.45)
    s.tube(curve([(1280, 860), (1420, 880), (1660, 800)]), 22, (120, 84, 60), shadow=20)
    s.dust(0.18)
    return s.jpeg(focus=(800, 680))


def atf_towel(order: Order) -> bytes:
    """The transmission stick wiped on a paper towel: brown, a ring of red at the edge."""
    s = Scene(order.seed, surface.paper(order.seed, 236))
    quilt = [(x, y, 12.0) for x in range(20, 1640, 84) for y in range(20, 1240, 84)]
    s.lay(surface.paper(s.name(), 222), dots(quilt), bevel=10, depth=-0.7)
    for x, y, r in ((620, 640, 250), (860, 760, 130)):
        edge = surface.roughen(ellipse(x, y, r * 1.25, r * 0.95), s.name(), 60)
        s.image.paste(
            surface.flat((178, 92, 74)), mask=edge.point([v * 5 // 10 for v in range(256)])
        )
        core = surface.roughen(ellipse(x, y, r, r * 0.72), s.name(), 50)
        s.image.paste(
            surface.flat((96, 56, 32)), mask=core.point([v * 8 // 10 for v in range(256)])
        )
    blade = polygon([(330, 700), (1640, 330), (1640, 366), (340, 742)])
    s.lay(surface.steel(s.name(), 172), blade, bevel=8, shadow=22)
    s.image.paste(
        surface.flat((108, 60, 36)),
        mask=within(blade, box(0, 0, 820, 1200)).point([v * 6 // 10 for v in range(256)]),
    )
    holes = [(470 + n * 60, 688 - n * 17, 11.0) for n in range(4)]
    s.lay((30, 26, 22), dots(holes), bevel=5, depth=-1)
    s.text("FULL HOT", 940, 552, 32, (70, 70, 74), turn=15.5)
    return s.jpeg(focus=(640, 660))


def fuel_jar(order: Order) -> bytes:
    """A jar of what came out of the tank: dark amber over a finger of water."""
    s = Scene(order.seed, surface.boards(order.seed))
    s.lay(surface.concrete(s.name(), 104), box(-20, 980, 1620, 1240))
    s.darken(ellipse(830, 1050, 400, 60), 26, 0.7)
    jar = box(500, 210, 1100, 1050, 90)
    s.lay((196, 190, 172), jar, bevel=40, shadow=26)
    amber = surface.ramp(surface.noise(s.name(), 500), [(0, (92, 42, 10)), (255, (182, 96, 26))])
    fuel = within(jar, box(520, 380, 1080, 900))
    s.lay(amber, fuel, bevel=40)
    water = within(jar, box(520, 890, 1080, 1036, 50))
    s.lay((186, 176, 146), water, bevel=26)
    s.darken(within(jar, box(520, 880, 1080, 904)), 6, 0.5)
    s.lighten(within(jar, box(520, 374, 1080, 390)), 5, 0.6)
    pick = random.Random(order.seed)
    flecks = [
        (pick.uniform(560, 1040), pick.gauss(1010, 14), pick.uniform(3, 9)) for _ in range(70)
    ]
    s.lay(surface.rust(s.name(), 30), within(dots(flecks), water), bevel=3)
    s.lighten(within(jar, stroke([(560, 300), (566, 980)], 34)), 14, 0.55)
    s.lighten(within(jar, stroke([(1046, 320), (1040, 960)], 12)), 8, 0.4)
    s.lay(surface.steel(s.name(), 158), box(540, 120, 1060, 230, 16), bevel=24, shadow=18)
    s.darken(lines([[(546, y), (1054, y)] for y in (150, 176, 202)], 5), 2, 0.4)
    return s.jpeg(focus=(800, 660))


def pump_trail(order: Order) -> bytes:
    """A water pump: a trail of dried coolant from its weep hole."""
    s = Scene(order.seed, surface.cast_iron(order.seed, 88))
    s.lay(surface.cast_iron(s.name(), 104), ellipse(760, 520, 430, 400), bevel=50, shadow=36)
    s.lay(surface.steel(s.name(), 124), ellipse(760, 440, 260), bevel=30, shadow=30)
    s.lay(surface.steel(s.name(), 96), ellipse(760, 440, 200), bevel=20, depth=-1)
    for turn in range(45, 405, 90):
        x, y = around(760, 440, 120, turn)
        s.bolt(x, y, 34, tone=130, rust=0.4)
    s.lay((12, 12, 12), ellipse(760, 780, 26), bevel=10, depth=-1)
    crust = surface.ramp(
        surface.fractal(s.name(), 70, 6),
        [(0, (120, 62, 26)), (150, (196, 120, 62)), (255, (236, 214, 180))],
    )
    trail = surface.roughen(
        union(
            ellipse(760, 800, 60, 44),
            stroke(curve([(760, 800), (740, 920), (770, 1060), (750, 1240)]), 84),
            stroke(curve([(770, 880), (860, 1020), (870, 1240)]), 34),
        ),
        s.name(),
        26,
    )
    s.lay(crust, within(trail, surface.patches(s.name(), 0.75, 80)), bevel=12, shadow=4)
    s.tube(curve([(1640, 760), (1330, 700), (1120, 580)]), 100, (42, 42, 44), shadow=50, shine=0.35)
    s.lay(
        surface.steel(s.name(), 150),
        polygon([(1150, 490), (1210, 470), (1290, 680), (1226, 720)]),
        bevel=14,
        shadow=12,
    )
    return s.jpeg(focus=(800, 820))


def carb_stain(order: Order) -> bytes:
    """A carburetor on its manifold, brown stain of fuel below the throttle shaft."""
    s = Scene(order.seed, surface.paint(order.seed, (70, 92, 116), 0.2))
    s.lay(surface.cast_iron(s.name(), 92), box(200, 930, 1400, 1240, 30), bevel=44, shadow=30)
    body = polygon([(360, 420), (1240, 420), (1270, 640), (1200, 930), (400, 930), (330, 640)])
    s.lay(surface.cast_iron(s.name(), 138), body, bevel=44, shadow=36)
    s.lay(surface.cast_iron(s.name(), 150), box(310, 300, 1290, 440, 30), bevel=34, shadow=20)
    s.lay(surface.steel(s.name(), 120), ellipse(800, 300, 330, 90), bevel=30, shadow=14)
    s.lay((14, 14, 14), ellipse(800, 290, 250, 58), bevel=22, depth=-1)
    s.tube([(800, 240), (800, 340)], 12, (160, 142, 90), shadow=10)
    stain = surface.roughen(
        union(ellipse(860, 800, 200, 90), box(760, 780, 960, 1120), ellipse(1000, 960, 70, 90)),
        s.name(),
        40,
    )
    s.image.paste(surface.flat((112, 66, 28)), mask=stain.point([v * 6 // 10 for v in range(256)]))
    s.lighten(within(stain, surface.patches(s.name(), 0.2, 90)), 10, 0.15)
    s.tube([(220, 760), (1400, 760)], 22, (168, 166, 160), shadow=16, shine=0.8)
    s.lay(
        surface.steel(s.name(), 150),
        polygon([(1240, 640), (1330, 640), (1400, 930), (1320, 950), (1230, 800)]),
        bevel=12,
        shadow=16,
    )
    s.bolt(1300, 760, 34, tone=150, rust=0.2)
    s.lay(surface.steel(s.name(), 160), ellipse(1360, 900, 24), bevel=10, shadow=8)
    for x, y in ((390, 370), (1210, 370), (420, 900), (1180, 900)):
        s.bolt(x, y, 28, tone=160, rust=0.15)
    s.tube(curve([(-40, 520), (180, 560), (350, 560)]), 34, (44, 44, 46), shadow=20)
    s.lay(surface.steel(s.name(), 170), box(250, 520, 300, 604, 8), bevel=10, shadow=8)
    return s.jpeg(focus=(860, 740))
