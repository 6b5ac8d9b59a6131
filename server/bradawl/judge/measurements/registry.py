"""The compute kinds by name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import readings
from ..values import words
from . import bodywork, electrical, engine, fluids, identity, running_gear, tires
from .context import Workings

if TYPE_CHECKING:
    from ..values.types.loose import Json, Measure, Rule

KINDS = {
    "battery": electrical.battery,
    "brake_fluid": running_gear.brake_fluid,
    "brake_force": running_gear.brake_force,
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
    "tread": tires.tread,
    "tyre_age": tires.tyre_age,
    "vacuum": engine.vacuum,
    "vin": identity.vin,
}
# these say something of the car before anything was read on it
OF_THE_CAR = ("vin",)


def compute(
    rule: Rule, measures: list[Measure], choices: list[str], visit: Json
) -> tuple[list[Measure], list[Json]]:
    """The facts that an item's computation makes of its readings, and what stood in its way.

    Values written unseen make facts of their own (`unseen` 1, 2, ...), where they come out
    otherwise: the second value of all that is contested together, then the third.
    """
    wanted = rule.get("compute")
    if not wanted:
        return [], []
    kind = KINDS.get(wanted["kind"])
    if kind is None:
        text = "The judge knows no computation “%s”." % wanted["kind"]
        return [], [{"code": "compute", "text": text, "path": ""}]
    holding = [found for found in measures if not found.get("unseen")]
    work = Workings(holding, wanted, choices[0] if choices else "", visit)
    kind(work)
    found, problems = work.facts, work.problems
    most = len(choices) - 1
    for one in measures:
        most = max(most, one.get("unseen", 0))
    for turn in range(1, most + 1):
        other = _other(turn, measures)
        work = Workings(other, wanted, _at(choices, turn), visit)
        kind(work)
        _mark(turn, work.facts, found, measures, choices)
        found = found + [one for one in work.facts if one.get("unseen")]
        problems.extend([one for one in work.problems if one not in problems])
    return found, problems


def _at(choices: list[str], turn: int) -> str:
    if turn < len(choices):
        return choices[turn]
    return choices[0] if choices else ""


def _other(turn: int, measures: list[Measure]) -> list[Measure]:
    """The readings with every contested one's value of that turn in its place."""
    contested = {}
    for one in measures:
        if one.get("unseen") == turn:
            contested[readings.key(one)] = True
    return [
        one
        for one in measures
        if one.get("unseen", 0) == (turn if readings.key(one) in contested else 0)
    ]


def _mark(
    turn: int,
    other: list[Measure],
    found: list[Measure],
    measures: list[Measure],
    choices: list[str],
) -> None:
    """Tell the facts of other values from those that hold, and say what each comes from."""
    holds: dict[str, Measure] = {}
    for one in found:
        if not one.get("unseen"):
            holds[readings.key(one)] = one
    shown = []
    keys = []
    for one in measures:
        if one.get("unseen") == turn:
            shown.append(readings.typed(one))
            keys.append(readings.key(one))
    now = []
    for one in measures:
        if not one.get("unseen") and readings.key(one) in keys:
            now.append(readings.typed(one))
    if 0 < turn < len(choices):
        shown.append(words.plain(choices[turn]))
        now = [words.plain(choices[0])] + now
    for one in other:
        beside = holds.get(readings.key(one))
        if beside is not None:
            if (beside["number"], beside["word"]) == (one["number"], one["word"]):
                continue
            if len(shown) == 1 and now and not beside.get("torn"):
                beside["torn"] = True
                beside["more"] = _said(beside.get("more"), "from " + now[0])
        one["unseen"] = turn
        source = shown[0] if len(shown) == 1 else "the other values"
        one["more"] = _said(one.get("more"), "from %s, written unseen" % source)


def _said(more: str | None, text: str) -> str:
    return more + "; " + text if more else text
