"""The photos of the demo, drawn: every subject by its name.

`draw("sill-probe", Order(...))` gives a JPEG of 1600 x 1200 pixels and at most 350 kB; the same
order gives the same picture.
"""

from __future__ import annotations

from collections.abc import Callable

from bradawl.demo.pictures import body, cabin, engine, running_gear
from bradawl.demo.pictures.order import Order

PICTURES: dict[str, Callable[[Order], bytes]] = {
    "arch-blister": body.arch_blister,
    "ball-joint": running_gear.ball_joint,
    "barn-car": body.barn_car,
    "battery-lead": engine.battery_lead,
    "brake-disc": running_gear.brake_disc,
    "brake-hose": running_gear.brake_hose,
    "brake-pipe": running_gear.brake_pipe,
    "brake-reservoir": engine.brake_reservoir,
    "bushing": running_gear.bushing,
    "chassis-leg": body.chassis_leg,
    "chewed-loom": engine.chewed_loom,
    "compression-gauge": cabin.compression_gauge,
    "coolant-tank": engine.coolant_tank,
    "dipstick": engine.dipstick,
    "drive-belt": engine.drive_belt,
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
    "overspray": body.overspray,
    "paint-gauge": cabin.paint_gauge,
    "panel-gap": body.panel_gap,
    "pressure-gauge": cabin.pressure_gauge,
    "propshaft-joint": running_gear.propshaft_joint,
    "rack-gaiter": running_gear.rack_gaiter,
    "rack-mount": running_gear.rack_mount,
    "radiator": engine.radiator,
    "receipts": cabin.receipts,
    "seam-rust": body.seam_rust,
    "seat-belt": body.seat_belt,
    "service-book": cabin.service_book,
    "sill-probe": body.sill_probe,
    "spark-plugs": engine.spark_plugs,
    "strut-tower": body.strut_tower,
    "tyre-code": running_gear.tyre_code,
    "tyre-tread": running_gear.tyre_tread,
    "vacuum-gauge": cabin.vacuum_gauge,
    "vin-plate": cabin.vin_plate,
    "warning-lamps": cabin.warning_lamps,
    "wet-carpet": body.wet_carpet,
    "wing-bolts": body.wing_bolts,
}

WIDTH, HEIGHT = 1600, 1200


def draw(picture: str, order: Order) -> bytes:
    """The JPEG of one subject. Raises KeyError for a subject that nobody drew."""
    return PICTURES[picture](order)
