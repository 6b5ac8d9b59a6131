"""The words and scalars that checklist files are written in.

Every scalar arrives as text (the YAML is read that way), so whole numbers are parsed here and
measured figures stay text: a bundle is hashed, and text has one spelling.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, WithJsonSchema

Stage = Literal[
    "arrival",
    "round",
    "cold",
    "start",
    "inside",
    "underneath",
    "warm",
    "road",
    "hot",
    "outside",
    "papers",
]
#: In the order of the walk, which the judge has too (`judge/assessment.py`).
STAGES: dict[Stage, str] = {
    "arrival": "When you pull up",  # a checklist's text: not shown
    "round": "Once around, nothing lifted",  # a checklist's text: not shown
    "cold": "Under the hood, cold",  # a checklist's text: not shown
    "start": "Cold start",  # a checklist's text: not shown
    "inside": "Inside and trunk",  # a checklist's text: not shown
    "underneath": "Underneath",
    "warm": "Warm, standing",  # a checklist's text: not shown
    "road": "Test drive",  # a checklist's text: not shown
    "hot": "Back, hot",  # a checklist's text: not shown
    "outside": "Outside",
    "papers": "Paperwork",
}
Grade = Literal["none", "minor", "major", "dangerous"]
Use = Literal["everyday", "long_trips", "track", "show", "family", "load", "resale", "project"]
#: What a check is done with, and how its text ("how") names it; named on screens by `judge-tool-…`.
TOOLS: dict[str, str] = {
    "block-tester": "",
    "angle-gauge": r"camber gauge|caster gauge",  # a pattern: not shown
    "brake-fluid-tester": r"tester pen",  # a pattern: not shown
    "caliper": "",
    "cardboard": r"cardboard",
    "chocks": r"chock(s|ed)?",
    "compression-tester": "",
    "coolant-tester": r"refractometer",
    "depth-gauge": "",
    "dial-gauge": r"pointer on a stand",  # a pattern: not shown
    "feeler-gauge": "",
    "flashlight": r"flashlight",
    "fuel-gauge": "",
    "gloves": r"gloves|gloved",
    "hammer": r"hammer",
    "hand-pump": r"hand pump",  # a pattern: not shown
    "hose-clamp": r"proper clamp",  # a pattern: not shown
    "leak-down-tester": "",
    "lug-wrench": r"lug wrench by",  # a pattern: not shown
    "magnet": "",
    "meter": r"(ohm)?meter",
    "mirror": r"with a mirror|and mirror|mirror for",  # a pattern: not shown
    "oil-gauge": "",
    "paint-gauge": "",
    "plastic-blade": r"plastic blade",  # a pattern: not shown
    "plug-wrench": "",
    "plumb-line": r"plumb line",  # a pattern: not shown
    "probe": r"probe",
    "pry-bar": r"(?<!don't )pry",
    "respirator": r"respirator",
    "scan-tool": r"scan tool",  # a pattern: not shown
    "spark-tester": "",
    "stands": r"on stands|front raised|wheel off the ground|lift in the right spot",  # not shown
    "stick": r"with a stick",  # a pattern: not shown
    "tape-measure": "",
    "thermometer": r"thermometer",
    "timing-light": r"timing light",  # a pattern: not shown
    "tire-gauge": "",
    "towel": r"rag|paper towel|with paper|paper (on|under|behind)",  # a pattern: not shown
    "trailer-tester": r"trailer light tester",  # a pattern: not shown
    "vacuum-gauge": "",
}
#: What takes an instrument to read.
MEASURED: tuple[str, ...] = (
    *("length", "film", "pressure", "vacuum", "temperature", "voltage", "current"),
    "resistance",
)
Quantity = Literal[
    "length",
    "film",
    "pressure",
    "vacuum",
    "temperature",
    "voltage",
    "current",
    "resistance",
    "force",
    "torque",
    "distance",
    "angle",
    "percent",
    "count",
    "duration",
    "date",
    "code",
]
UNITS_OF: dict[str, tuple[str, ...]] = {
    "length": ("mm", "in", "in/32"),
    "film": ("um", "mil"),
    "pressure": ("kPa", "psi", "bar", "inHg"),
    "vacuum": ("inHg", "kPa", "psi", "bar"),
    "temperature": ("degC", "degF"),
    "voltage": ("V", "mV"),
    "current": ("A", "mA"),
    "resistance": ("ohm", "kohm"),
    "force": ("N", "daN", "kN", "kgf", "lbf"),
    "torque": ("Nm", "lbf.ft"),
    "distance": ("km", "mi", "m", "ft"),
    "angle": ("deg",),
    "percent": ("%",),
    "count": ("1",),
    "duration": ("s", "min", "d", "yr"),
    "date": (),
    "code": (),
}

Word = Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")]
# Names of readings and facts may carry underscores, as the judge's facts do.
Name = Annotated[str, Field(pattern=r"^[a-z0-9]+([-_][a-z0-9]+)*$")]
ItemId = Annotated[str, Field(pattern=r"^[a-z]+(-[a-z]+)*\.[a-z0-9]+(-[a-z0-9]+)*$")]
RemedyId = Annotated[
    str, Field(pattern=r"^[a-z]+(-[a-z]+)*\.[a-z0-9]+(-[a-z0-9]+)*/[a-z0-9]+(-[a-z0-9]+)*$")
]
Sentence = Annotated[str, Field(min_length=8, max_length=420)]
Chip = Annotated[str, Field(min_length=3, max_length=40)]
Figure = Annotated[
    str,
    Field(pattern=r"^-?(\d+(\.\d+)?|\d+/\d+|\d+ \d+/\d+)$"),
    WithJsonSchema({"type": ["string", "number"]}),
]
Decimal = Annotated[
    str, Field(pattern=r"^\d+(\.\d+)?$"), WithJsonSchema({"type": ["string", "number"]})
]
Text = Annotated[str, WithJsonSchema({"type": ["string", "number"]})]
Amount = Annotated[int, Field(ge=0)]
Money = tuple[Amount, Amount, Amount]
