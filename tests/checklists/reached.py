"""Which computation is reached how: one record for each, and what must be read of it.

Used twice: through `assess` (tests/judge/test_reached.py) and in the app with the server
stopped (tests/phone/screens/walk/test_computations.py). The figures themselves are checked against
law, tables and reference libraries in tests/vectors and tests/checklists/content/test_figures.py;
here only that a person who stands at the car gets to read them.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Measured:
    """A computation of `readings` {"pad/front-left": ("1", "in/32")} on the card of an item."""

    id: str
    item: str
    readings: dict[str, tuple[str, str]]
    says: tuple[str, ...]
    choice: str = ""
    car: dict[str, int] = field(default_factory=dict)


def each(name: str, places: str, typed: str, unit: str) -> dict[str, tuple[str, str]]:
    return {f"{name}/{place}": (typed, unit) for place in places.split()}


WHEELS = "front-left front-right rear-left rear-right"
PANELS = "roof bonnet front-wing-left front-wing-right front-door-left front-door-right"

MEASURED = [
    Measured("C1", "brakes.front-pads", {"pad/front-left": ("1", "in/32")}, ("1/32 in",)),
    Measured(
        "C2", "papers.number-match", {"vin/body": ("1M8GDM9AXKP042787", "")}, ("check digit",)
    ),
    Measured("C3", "tyres.age", each("dot", WHEELS, "4016", ""), ("years is over 10 years",)),
    Measured(
        "C4",
        "tyres.tread",
        {
            "tread/front-left-outer": ("3", "mm"),
            "tread/front-left-middle": ("6", "mm"),
            "tread/front-left-inner": ("3", "mm"),
        },
        ("Wear pattern, front left: both edges", "Usually run low on air"),
    ),
    Measured(
        "C5",
        "accident.paint-film",
        {
            **each("film", " ".join(f"{one}-1" for one in PANELS.split()), "110", "um"),
            "film/rear-wing-left-1": ("260", "um"),
        },
        ("Finish, left quarter panel: repainted", "The car's own paint: "),
    ),
    Measured(
        "C6",
        "rust.sills",
        {"extent/left": ("45", "%"), "extent/right": ("0", "%")},
        ("Soft when probed", "Rust degree by area (Ri 0 to 5)"),
        choice="soft",
    ),
    Measured(
        "C7",
        "accident.gaps",
        {"gap/bonnet-left": ("4", "mm"), "gap/bonnet-right": ("7", "mm")},
        ("Left against right, hood: ",),
    ),
    Measured(
        "C7 diagonals",
        "accident.diagonals",
        {"diagonal/floor-a": ("2400", "mm"), "diagonal/floor-b": ("2408", "mm")},
        ("Out of square, floor: ",),
    ),
    Measured(
        "C8",
        "steering.free-play",
        {"play": ("60", "mm"), "wheel": ("380", "mm")},
        ("Free play over what the law allows: ", "Free play as an angle"),
    ),
    Measured(
        "C8 rack",
        "bushings.steering-rack",
        {"slide": ("4", "mm")},
        ("Rack movement in its mounts: ",),
    ),
    Measured(
        "C9 pedal",
        "brakes.pedal-reserve",
        {"rest": ("150", "mm"), "pressed": ("25", "mm")},
        ("Pedal travel used: 83.3%", "Pedal travel left: 16.7%"),
    ),
    Measured(
        "C9 disc",
        "brakes.front-discs",
        {"thickness/front-left": ("20.3", "mm"), "minimum": ("20", "mm")},
        ("Thickness over the stamped minimum, front left: ",),
    ),
    Measured(
        "C9 lining",
        "brakes.front-pads",
        each("pad", "front-left front-right", "6", "mm"),
        ("Wear left, front left: 46.8%",),
    ),
    Measured(
        "C9 fluid",
        "brakes.fluid-water",
        {"boiling": ("154", "degC")},
        ("Boiling point under its class's wet minimum: ",),
        choice="dot4",
    ),
    Measured(
        "C9 tester",
        "brakes.tester-print",
        {"force/front-left": ("800", "N"), "force/front-right": ("500", "N")},
        ("Brakes, left against right, front: 37.5%",),
    ),
    Measured("C10", "electrical.rest-voltage", {"rest": ("12.24", "V")}, ("State of charge: 50",)),
    Measured(
        "C10 drain",
        "electrical.drain",
        {"drain": ("50", "mA")},
        ("Until the battery is half empty: 25 days",),
    ),
    Measured(
        "C11",
        "engine.compression",
        {
            **{f"dry/{n}": ("150", "psi") for n in (1, 2, 3)},
            "dry/4": ("100", "psi"),
            "wet/4": ("145", "psi"),
        },
        ("Lowest cylinder, share of the highest: 66.7%", "Leaks past, cylinder 4: the rings"),
        car={"cylinders": 4},
    ),
    Measured(
        "C12",
        "engine.vacuum",
        {"idle": ("15", "inHg"), "altitude": ("0", "m")},
        ("Weaker than expected by: 2 inHg", "Expected at least: 17 inHg"),
    ),
    Measured(
        "C13",
        "fuel.regulator",
        {"open": ("36", "psi"), "idle": ("36", "psi")},
        ("Regulator's vacuum line: no vacuum", "Expected at idle"),
    ),
    Measured(
        "C13 clamps",
        "fuel.pressure-hold",
        {
            "hold_start": ("36", "psi"),
            "hold_end": ("10", "psi"),
            "hold_time": ("5", "min"),
            "clamp_return": ("35", "psi"),
            "clamp_supply": ("10", "psi"),
        },
        ("Pressure lost in five minutes: 26 psi", "Pressure lost through: the regulator"),
    ),
    Measured(
        "C14",
        "cooling.sensor",
        {"resistance": ("open", "ohm")},
        ("Sensor circuit: open", "cold"),
    ),
    Measured(
        "C15",
        "fluids.coolant-mix",
        {"mix": ("40", "%"), "cap": ("15", "psi")},
        ("Coolant freezing point: -", "Coolant boiling point"),
    ),
    Measured(
        "C15 oil",
        "engine.oil-pressure",
        {"pressure": ("20", "psi"), "rpm": ("3000", "1")},
        ("Short of expected by: 10 psi", "Expected: 30 psi"),
    ),
]
