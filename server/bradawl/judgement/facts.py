"""The compute kinds by name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import bodywork, electrical, engine, fluids, identity, running_gear, tyres
from .workings import Workings

if TYPE_CHECKING:
    from .shapes import Json, Measure, Rule

KINDS = {
    "battery": electrical.battery,
    "brake_fluid": running_gear.brake_fluid,
    "compression": engine.compression,
    "coolant": fluids.coolant,
    "coolant_sensor": engine.coolant_sensor,
    "diagonals": bodywork.diagonals,
    "disc": running_gear.disc,
    "drum": running_gear.drum,
    "fuel_pressure": engine.fuel_pressure,
    "interval": identity.interval,
    "left_right": bodywork.left_right,
    "lining": running_gear.lining,
    "oil_pressure": engine.oil_pressure,
    "paint": bodywork.paint,
    "pedal": running_gear.pedal,
    "rust": bodywork.rust,
    "steering_play": running_gear.steering_play,
    "toe": running_gear.toe,
    "tread": tyres.tread,
    "tyre_age": tyres.tyre_age,
    "vacuum": engine.vacuum,
    "vin": identity.vin,
}
# these say something of the car before anything was read on it
OF_THE_CAR = ("vin",)


def compute(
    rule: Rule, measures: list[Measure], choice: str, visit: Json
) -> tuple[list[Measure], list[Json]]:
    """The facts that an item's computation makes of its readings, and what stood in its way."""
    wanted = rule.get("compute")
    if not wanted:
        return [], []
    kind = KINDS.get(wanted["kind"])
    if kind is None:
        text = "The judge knows no computation “%s”." % wanted["kind"]
        return [], [{"code": "compute", "text": text, "path": ""}]
    work = Workings(measures, wanted, choice, visit)
    kind(work)
    return work.facts, work.problems
