"""The car's own figures: what maker, sticker or stamp say, kept with the car and read into checks.

A figure stands at car/<fact>, of a place at car/<fact>_<place>, as a reading is recorded, with
`from`: where it was read. What was typed at the check itself counts before it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values.saying import edge, headed, measured, said, title
from . import readings

if TYPE_CHECKING:
    from ..values.types import (
        Json,
        Measure,
        Problem,
        Reading,
        Reason,
        Rule,
        Said,
        SaidArgument,
        VisitFacts,
    )

#: Where a figure may have been read; anything else says nothing of it.
WHERE = ("manual", "sticker", "part", "practice")


#: What practice says where a figure is not known, and where the maker's is found: the message
#: `judge-practice-<name>` by how a fact begins, and the figure that it tells in the unit it has.
PRACTICE = {
    "camber": ("1", "deg"),
    "caster": ("5", "deg"),
    "compression": ("100", "psi"),
    "drum": ("0.06", "in"),
    "fuel": ("35", "psi"),
    "oil": ("10", "psi"),
    "rotor": ("0.06", "in"),
    "sensor": ("2.5", "kohm"),
    "sticker": ("32", "psi"),
    "thermostat": ("195", "degF"),
    "timing": ("10", "deg"),
    "toe": ("1/8", "in"),
}


def key(fact: str, place: str) -> str:
    """The fact of the car under which a figure stands."""
    return fact + "_" + place if place else fact


def figures(
    item: str, rule: Rule, measures: list[Measure], visit: VisitFacts
) -> tuple[list[Measure], list[Problem], list[Reason]]:
    """What the car's own figures add to the readings of an item, and where each was read."""
    added: list[Measure] = []
    problems: list[Problem] = []
    reasons: list[Reason] = []
    have = [readings.key(measure) for measure in measures]
    for reading in rule.get("readings") or []:
        fact = reading.get("figure")
        if fact is None:
            continue
        name = title("reading", item, reading["id"])
        for place in reading.get("at") or [""]:
            own = key(fact, place)
            value = visit["car"].get(own)
            measure = readings.measure(reading["id"], place, name)
            if value is None or readings.key(measure) in have:
                continue
            measure["path"] = "car/" + own
            wrong = readings.check(reading, measure, value)
            if wrong is not None:
                problems.append(wrong)
                continue
            added.append(measure)
            reasons.append(_where(measure, value if isinstance(value, dict) else {}))
    return added, problems, reasons


def _where(measure: Measure, value: dict[str, Json]) -> Reason:
    """That a figure was read where the record says."""
    where, model = value.get("from"), value.get("model")
    args: dict[str, SaidArgument] = {"name": headed(measure), "value": measured(measure)}
    name = "reason-figure" + ("-" + str(where) if where in WHERE else "")
    sentence = said(name, args)
    if isinstance(model, str) and model:
        sentence["then"] = [said("more-of-model", {"model": model})]
    return {"code": "figure", "said": sentence, "source": ""}


def wanted(rule: Rule, measures: list[Measure]) -> list[Reading]:
    """The readings for the car's own figures that others which were taken tell nothing without."""
    have: dict[str, bool] = {}
    for measure in measures:
        have[measure["of"]] = have[readings.key(measure)] = True
    by_id = {}
    for reading in rule.get("readings") or []:
        by_id[reading["id"]] = reading
    missing: list[Reading] = []
    for measure in measures:
        if measure["of"] not in by_id or measure["number"] is None:
            continue
        for name in by_id[measure["of"]].get("wants") or []:
            reading = by_id[name]
            if reading not in missing and not _is_known(reading, measure["place"], have):
                missing.append(reading)
    return missing


def unknown(rule: Rule, measures: list[Measure]) -> list[Reading]:
    """The readings for the car's own figures that some reading of a check is held against and that
    nobody knows, whatever was measured.
    """
    have: dict[str, bool] = {}
    for measure in measures:
        have[measure["of"]] = have[readings.key(measure)] = True
    missing: list[Reading] = []
    wants: list[str] = []
    for reading in rule.get("readings") or []:
        wants.extend(reading.get("wants") or [])
    for reading in rule.get("readings") or []:
        if reading["id"] in wants and not _is_known(reading, "", have):
            missing.append(reading)
    return missing


def advice(missing: list[Reading]) -> list[Said]:
    """What practice says of figures that nobody knows, and where the maker's are found."""
    sentences: list[Said] = []
    for reading in missing:
        name = (reading.get("figure") or "").split("_")[0]
        sentence = said("practice-none")
        if name in PRACTICE:
            sentence = said("practice-" + name, {"figure": edge(*PRACTICE[name], None)})
        if sentence not in sentences:
            sentences.append(sentence)
    return sentences


def _is_known(reading: Reading, place: str, have: dict[str, bool]) -> bool:
    """Whether the figure is there that a reading at that place is compared with."""
    places = reading.get("at") or []
    for own in (place, place.split("-")[0]):
        if own in places:
            return reading["id"] + "." + own in have
    for own in places:
        if reading["id"] + "." + own not in have:
            return False
    return reading["id"] in have
