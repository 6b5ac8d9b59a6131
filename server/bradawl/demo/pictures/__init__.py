"""The photos of the demo, drawn: every subject by its name.

`draw("sill-probe", Order(...))` gives a JPEG of 1280 x 960 pixels and at most 350 kB; the same
order gives the same picture.
"""

from __future__ import annotations

from collections.abc import Callable

from bradawl.demo.pictures import body, cabin, engine, running_gear
from bradawl.demo.pictures.order import Order
from bradawl.demo.pictures.scene import PHOTO

PICTURES: dict[str, Callable[[Order], bytes]] = {
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

WIDTH, HEIGHT = PHOTO


def draw(picture: str, order: Order) -> bytes:
    """The JPEG of one subject. Raises KeyError for a subject that nobody drew."""
    return PICTURES[picture](order)
