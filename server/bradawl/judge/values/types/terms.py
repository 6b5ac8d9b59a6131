"""The words of the contract: grades, effects, places of the car, regions, kinds of wire."""

from typing import Literal

Grade = Literal["none", "minor", "major", "dangerous", "uninspected"]
Fault = Literal["minor", "major", "dangerous"]
Role = Literal["no", "matters", "essential"]
Circumstance = Literal["dark", "wet", "motorway", "far"]
# what a drive home must leave out: darkness, rain, the highway, distance, speed, a passenger
# behind, a trailer in tow, a load
DriveLimit = Literal["dark", "wet", "motorway", "far", "fast", "rear_seat", "towing", "load"]
EffectKind = Literal["hurts", "immobilizes", "limits", "stops_deal", "ends_deal", "lowers_value"]
WantSide = Literal["must", "leave"]
Place = Literal["front", "middle", "rear"]  # of the car, from bumper to bumper
Answer = Literal["grade", "choice", "text", "photo", "wires"]
Panel = Literal[
    "bonnet",
    "roof",
    "soft-top",
    "boot-lid",
    "tailgate",
    "back-door-left",
    "back-door-right",
    "front-wing-left",
    "front-door-left",
    "rear-door-left",
    "side-panel-left",
    "cab-corner-left",
    "rear-wing-left",
    "bed-left",
    "sill-left",
    "front-wing-right",
    "front-door-right",
    "rear-door-right",
    "side-panel-right",
    "cab-corner-right",
    "rear-wing-right",
    "bed-right",
    "sill-right",
]
# what lies on the drawn car and is no panel; `body`: anywhere on its sheet metal
CarPlace = Literal[
    "body",
    "front",
    "rear",
    "glass",
    "engine-bay",
    "cabin",
    "cargo",
    "underside-front",
    "underside-middle",
    "underside-rear",
    "front-left",
    "front-right",
    "rear-left",
    "rear-right",
]
BodyStyle = Literal["sedan", "coupe", "hatchback", "wagon", "convertible", "pickup", "van", "suv"]
Region = Literal["us", "eu"]  # whose law and whose prices
SourceStatus = Literal["read", "read-secondary", "memory", "practice", "assumption"]
WireKind = Literal["cable", "feed", "signal", "safety"]
WireCount = Literal["feed", "safety", "fuse"]  # kinds that take more than any other wire

Exact = tuple[int, int]  # numerator, denominator above 0
