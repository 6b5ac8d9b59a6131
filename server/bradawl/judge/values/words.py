"""Words that phone, desk and paper share: grades and their order, facts, sources, lists.

No figure lives here (those are in amounts.py) and no rule but the order of the grades.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .ascii_text import upper

if TYPE_CHECKING:
    from .types import Fault, Grade, Source

#: Every grade, in the order in which a person is offered them.
GRADES: tuple[Grade, ...] = ("none", "minor", "major", "dangerous", "uninspected")

#: What a person reads for each grade.
GRADE_WORDS: dict[str, str] = {
    "none": "no fault",
    "minor": "minor",
    "major": "major",
    "dangerous": "dangerous",
    "uninspected": "not inspected",
}

#: Every grade, the mildest first. What nobody inspected is worse than no fault: unknown is never
#: fine.
SEVERITY: tuple[Grade, ...] = ("none", "uninspected", "minor", "major", "dangerous")

#: The grades that are faults, the mildest first.
FAULTS: tuple[Fault, ...] = ("minor", "major", "dangerous")

#: How well we know a source, by its `status`; "read" needs no word.
SOURCE_STATUS_WORDS = {
    "read-secondary": "read in a secondary source",
    "memory": "from memory",
    "practice": "common practice",
    "assumption": "our assumption",
}
_NO_SOURCE = {"practice": "common practice, no source", "assumption": "our own assumption"}

#: Stands for the reason of a grade that was erased: it was given, and is kept no longer.
ERASED_REASON = "the reason was erased on request"

# what a computed fact is called in front of its figure
FACTS = {
    "above_minimum": "Thickness above the stamped minimum",
    "above_wet": "Boiling point above the wet minimum of its class",
    "age": "Age",
    "age_gap": "Difference in age across the axle",
    "allowed": "Free play the law's table allows",
    "axle_gap": "Difference across the axle",
    "baseline": "Paint of the car as a whole",
    "believed": "Temperature the control unit believes",
    "below_dry": "Boiling point below the dry minimum of its class",
    "below_maximum": "Diameter below the stamped maximum",
    "boils": "Coolant boils at",
    "charge": "State of charge",
    "circuit": "Sensor circuit",
    "confidence": "Confidence",
    "d610": "Rust grade by area (10 clean to 0)",
    "days_to_half": "Days until the battery is half empty",
    "depth": "Depth",
    "deviation": "Away from the car's own paint",
    "difference": "Left against right",
    "expected": "Expected",
    "expected_high": "Expected at most",
    "expected_idle": "Expected at idle",
    "expected_low": "Expected at least",
    "filled": "Panels with filler suspected",
    "finish": "Finish",
    "freezes": "Coolant freezes at",
    "highest": "Highest cylinder",
    "idle_off": "Away from the expected idle pressure",
    "imbalance": "Left against right on the brake tester",
    "implied_vacuum": "Vacuum that the regulator sees",
    "km_since": "Driven since",
    "leak": "Pressure is lost through",
    "life": "Wear left",
    "loss": "Pressure lost in five minutes",
    "low_share": "Lowest cylinder as a share of the highest",
    "lowest": "Lowest cylinder",
    "mean": "Mean of the cylinders",
    "neighbours": "Two neighbours low",
    "off": "Away from the curve",
    "off_mean": "Away from the mean",
    "out_of_square": "Out of square",
    "panel": "Paint",
    "pattern": "Wear pattern",
    "pedal_reserve": "Pedal travel in reserve",
    "pedal_travel": "Pedal travel used",
    "play_angle": "Free play as an angle",
    "play_over": "Free play beyond the law's table",
    "play_share": "Free play as a share of the wheel's diameter",
    "reference": "Regulator's reference",
    "repainted": "Panels that look repainted",
    "ri": "Rust degree by area (Ri 0 to 5)",
    "rise": "Rise when charging",
    "seat": "The loss sits in",
    "serial": "Serial positions",
    "short": "Less than expected by",
    "spare_age": "Age of the spare wheel's tyre",
    "spread": "Spread of the car's paint",
    "steered_imbalance": "Left against right at the steered wheels",
    "toe_share": "Toe as a share of the maker's value",
    "vacuum_below": "Weaker than expected by",
    "vin": "Vehicle number",
    "vin_same": "The same in every place",
    "wet_rise": "Rise with oil",
    "year_agrees": "Model year agrees",
    "year_code": "Model year code",
    "years_since": "Time since",
}


def plain(name: str) -> str:
    """front-left, front_left -> front left"""
    return name.replace("-", " ").replace("_", " ")


def capital(text: str) -> str:
    return upper(text[:1]) + text[1:]


def listed(names: list[str], last: str = "and") -> str:
    """a, b and c"""
    if len(names) < 2:
        return "".join(names)
    return ", ".join(names[:-1]) + " " + last + " " + names[-1]


def counted(count: int, singular: str, plural: str) -> str:
    return "%d %s" % (count, singular if count == 1 else plural)


def minutes(figure: str) -> str:
    return figure + (" minute" if figure == "1" else " minutes")


def source_text(name: str, sources: dict[str, Source]) -> str:
    """A source without its status: `49 CFR 570.5, section (g)`.

    `sources` is the bundle's table of sources by id; a name that is not in it stands for itself.
    """
    source = sources.get(name)
    if source is None:
        return _NO_SOURCE.get(name, name)
    title = str(source.get("title") or name)
    section = str(source.get("section") or "")
    return title + ", " + section if section and section not in title else title


def source_line(name: str, sources: dict[str, Source]) -> str:
    """A source and how well we know it: `49 CFR 570.5, section (g) (from memory)`."""
    text = source_text(name, sources)
    source = sources.get(name)
    status = SOURCE_STATUS_WORDS.get(str(source.get("status"))) if source is not None else None
    return text + " (" + status + ")" if status else text
