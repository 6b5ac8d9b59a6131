"""The compute kinds by name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import readings
from ..values.saying import measured, said, term, title
from . import (
    bodywork,
    electrical,
    engine,
    fluids,
    identity,
    ignition,
    odometer,
    running_gear,
    tires,
)
from .context import Context

if TYPE_CHECKING:
    from ..values.types import Measure, Problem, Rule, Said, SaidArgument, VisitFacts

KINDS = {
    "against": lambda _: None,  # what every computation does besides: running_gear.against
    "battery": electrical.battery,
    "brake_fluid": running_gear.brake_fluid,
    "brake_force": running_gear.brake_force,
    "compression": engine.compression,
    "coolant": fluids.coolant,
    "coolant_sensor": engine.coolant_sensor,
    "diagonals": bodywork.diagonals,
    "disc": running_gear.disc,
    "drum": running_gear.drum,
    "firing_order": ignition.firing_order,
    "fuel_pressure": engine.fuel_pressure,
    "interval": identity.interval,
    "left_right": bodywork.left_right,
    "lining": running_gear.lining,
    "odometer": odometer.odometer,
    "oil_pressure": engine.oil_pressure,
    "paint": bodywork.paint,
    "pedal": running_gear.pedal,
    "polarity": electrical.polarity,
    "rust": bodywork.rust,
    "steering_play": running_gear.steering_play,
    "tire_pressure": tires.tire_pressure,
    "toe": running_gear.toe,
    "tread": tires.tread,
    "tyre_age": tires.tire_age,
    "vacuum": engine.vacuum,
    "vin": identity.vin,
}
# these say something of the car before anything was read on it
OF_THE_CAR = ("odometer", "vin")


def compute(
    item: str, rule: Rule, measures: list[Measure], choices: list[str], visit: VisitFacts
) -> tuple[list[Measure], list[Problem]]:
    """The facts that an item's computation makes of its readings, and what stood in its way.

    Values written unseen make facts of their own (`unseen` 1, 2, ...), where they come out
    otherwise: the second value of all that is contested together, then the third.
    """
    parameters = rule.get("compute")
    if not parameters:
        return [], []
    kind = KINDS.get(str(parameters["kind"]))
    if kind is None:
        args: dict[str, SaidArgument] = {"kind": str(parameters["kind"])}
        return [], [readings.problem("compute", "compute", args, "")]
    holding = [measure for measure in measures if not measure.get("unseen")]
    context = Context(item, holding, parameters, choices[0] if choices else "", visit)
    kind(context)
    running_gear.against(context)
    facts, problems = context.facts, context.problems
    most = len(choices) - 1
    for measure in measures:
        most = max(most, measure.get("unseen", 0))
    for turn in range(1, most + 1):
        context = Context(item, _other(turn, measures), parameters, _at(choices, turn), visit)
        kind(context)
        running_gear.against(context)
        _mark(item, turn, context.facts, facts, measures, choices)
        facts = facts + [fact for fact in context.facts if fact.get("unseen")]
        problems.extend([problem for problem in context.problems if problem not in problems])
    return facts, problems


def _at(choices: list[str], turn: int) -> str:
    if turn < len(choices):
        return choices[turn]
    return choices[0] if choices else ""


def _other(turn: int, measures: list[Measure]) -> list[Measure]:
    """The readings with every contested one's value of that turn in its place."""
    contested = {}
    for measure in measures:
        if measure.get("unseen") == turn:
            contested[readings.key(measure)] = True
    return [
        measure
        for measure in measures
        if measure.get("unseen", 0) == (turn if readings.key(measure) in contested else 0)
    ]


def _mark(
    item: str,
    turn: int,
    others: list[Measure],
    facts: list[Measure],
    measures: list[Measure],
    choices: list[str],
) -> None:
    """Tell the facts of other values from those that hold, and say what each comes from."""
    holding: dict[str, Measure] = {}
    for fact in facts:
        if not fact.get("unseen"):
            holding[readings.key(fact)] = fact
    contested = [measure for measure in measures if measure.get("unseen") == turn]
    keys = [readings.key(measure) for measure in contested]
    sources = [measured(measure) for measure in contested]
    now = [
        measured(measure)
        for measure in measures
        if not measure.get("unseen") and readings.key(measure) in keys
    ]
    if 0 < turn < len(choices):
        sources.append(title("choice", item, choices[turn]))
        now.insert(0, title("choice", item, choices[0]))
    source = sources[0] if len(sources) == 1 else term("word-others")
    for other in others:
        beside = holding.get(readings.key(other))
        if beside is not None:
            if (beside["number"], beside["word"]) == (other["number"], other["word"]):
                continue
            if len(sources) == 1 and now and not beside.get("torn"):
                beside["torn"] = True
                _add(beside, said("more-from", {"value": now[0]}))
        other["unseen"] = turn
        _add(other, said("more-from-unseen", {"value": source}))


def _add(measure: Measure, sentence: Said) -> None:
    measure["more"] = (measure.get("more") or []) + [sentence]
