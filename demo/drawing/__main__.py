"""Draws the demo's photos into demo/pictures/: `python -m demo.drawing [NAME …]`, else all anew.

A photo is called CAR-SUBJECT, as `picture: SUBJECT` in demo/CAR.yaml names it. The same version of
Pillow gives the same bytes. Draw only what must change: a photo's hash is in the demo's record.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from demo.drawing import body, cabin, engine, running_gear
from demo.drawing.order import Order
from demo.drawing.surface import Colour

FOLDER = Path(__file__).resolve().parents[1] / "pictures"

SUBJECTS: dict[str, Callable[[Order], bytes]] = {
    "arch-blister": body.arch_blister,
    "ball-joint": running_gear.ball_joint,
    "barn-car": body.barn_car,
    "battery-lead": engine.battery_lead,
    "brake-disc": running_gear.brake_disc,
    "brake-hose": running_gear.brake_hose,
    "brake-pipe": running_gear.brake_pipe,
    "bushing": running_gear.bushing,
    "chewed-loom": engine.chewed_loom,
    "compression-gauge": cabin.compression_gauge,
    "dipstick": engine.dipstick,
    "drop-link": running_gear.drop_link,
    "drum-wet": running_gear.drum_wet,
    "exhaust": running_gear.exhaust,
    "filler": body.filler,
    "floor-surface": body.floor_surface,
    "fluid-tester": cabin.fluid_tester,
    "fuel-hose": engine.fuel_hose,
    "inner-wing-patch": body.inner_wing_patch,
    "jacking-point": body.jacking_point,
    "multimeter": cabin.multimeter,
    "nest": engine.nest,
    "odometer": cabin.odometer,
    "oil-leak": engine.oil_leak,
    "paint-gauge": cabin.paint_gauge,
    "panel-gap": body.panel_gap,
    "pressure-gauge": cabin.pressure_gauge,
    "propshaft-joint": running_gear.propshaft_joint,
    "rack-mount": running_gear.rack_mount,
    "radiator": engine.radiator,
    "receipts": cabin.receipts,
    "seam-rust": body.seam_rust,
    "seat-belt": body.seat_belt,
    "service-book": cabin.service_book,
    "sill-probe": body.sill_probe,
    "spark-plugs": engine.spark_plugs,
    "tyre-code": running_gear.tyre_code,
    "tyre-tread": running_gear.tyre_tread,
    "vacuum-gauge": cabin.vacuum_gauge,
    "vin-plate": cabin.vin_plate,
    "wet-carpet": body.wet_carpet,
    "wing-bolts": body.wing_bolts,
}

PAINT: dict[str, Colour] = {
    "dunlin": (58, 84, 92),
    "fennick": (168, 158, 132),
    "pipit": (132, 44, 38),
}

#: What a dial, a display or a stamped plate reads.
SHOWN = {
    "dunlin-compression-gauge": "149",
    "dunlin-multimeter": "12.21",
    "dunlin-odometer": "182400",
    "dunlin-paint-gauge": "890",
    "dunlin-pressure-gauge": "36",
    "dunlin-tyre-code": "2309",
    "dunlin-vacuum-gauge": "16",
    "dunlin-vin-plate": "ZZZDN23C2MT004217",
    "fennick-paint-gauge": "211",
}


def draw(photo: str) -> bytes:
    """The JPEG of one photo: 800 x 600 pixels, at most 40 kB."""
    car, _, subject = photo.partition("-")
    return SUBJECTS[subject](Order(photo, PAINT[car], SHOWN.get(photo, "")))


def main() -> None:
    for photo in sys.argv[1:] or [file.stem for file in FOLDER.glob("*.jpg")]:
        (FOLDER / f"{photo}.jpg").write_bytes(draw(photo))


if __name__ == "__main__":
    main()
