"""Invented visits for the report's tests: events, a small checklist, a judgement, photos.

The judgement is written by hand in the contract's shape, so that these tests do not depend on
what the judge decides; tests/spine walks the real way.
"""

from __future__ import annotations

import datetime as dt
import functools
import hashlib
import io
from collections.abc import Mapping, Sequence
from typing import Any

from PIL import Image, ImageDraw

from bradawl.inspection.snapshot import Seal, Snapshot
from bradawl.judge import fold
from tests.judge.saying import unsaid
from tests.log.writer import Writer
from tests.writing import key_of, plain, seal_value, write

VISIT = "5e" * 16
PHONE_KEY = key_of("report")
PHONE = PHONE_KEY.device
DESK = "d3" * 16
TODAY = "2026-11-25"
START_MS = 1_764_052_703_000

AREAS = [
    {"id": "rust", "title": "Rust", "report_order": 1},
    {"id": "accident", "title": "Accident signs", "report_order": 2},
    {"id": "bushings", "title": "Bushings and joints", "report_order": 3},
    {"id": "brakes", "title": "Brakes", "report_order": 4},
    {"id": "rodents", "title": "Rodent damage", "report_order": 5},
    {"id": "fluids", "title": "Fluids", "report_order": 6},
    {"id": "engine", "title": "Engine", "report_order": 10},
]
SOURCES = {
    "cfr570.5.g": {"title": "49 CFR 570.5", "section": "(g)", "status": "memory"},
    "practice": {"title": "Common practice", "section": "", "status": "practice"},
}
CAUTIONS = {
    "jacking": {"title": "Jacking", "text": "Never go under a car that stands on a jack alone."}
}
STROKES = [[10, 40, 20, 10, 35, 44, 60, 12], [70, 30, 90, 18, 120, 36, 150, 20], [155, 12]]


@functools.cache
def jpeg(seed: int, width: int = 640, height: int = 480) -> bytes:
    """A drawn picture, different for each seed."""
    image = Image.new("RGB", (width, height), (180 + seed % 60, 150, 120 + seed * 7 % 90))
    draw = ImageDraw.Draw(image)
    for at in range(12):
        x = (seed * 37 + at * 61) % width
        draw.ellipse((x, at * 35, x + 40 + at * 3, at * 35 + 60), outline=(40, 40, 60), width=4)
    draw.text((20, 20), f"photo {seed}", fill=(0, 0, 0))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=80)
    return out.getvalue()


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def item(item_id: str, title: str, **more: Any) -> dict[str, Any]:
    area = item_id.partition(".")[0]
    return {
        "id": item_id, "title": title, "area": area, "look": "Look closely.", "how": "By eye.",
        "where": "underneath", "stage": "underneath", "cautions": [], "answers": ["grade"],
        "readings": [], "choices": [], "limits": [], "drive": "no",
        "unseen": {"chance": "0.25", "cost": [40, 120, 300], "source": "assumption"},
        "remedies": [{"id": "mend", "title": "Mend it", "kind": "mend", "parts": [25, 50, 120],
                      "hours": ["1", "2", "4"], "for": ["minor", "major", "dangerous"]}],
        **more,
    }  # fmt: skip


ITEMS = [
    item("rust.sill-left", "Left sill", where="left side"),
    item("rust.boot-floor", "Boot floor"),
    item("accident.panel-gaps", "Panel gaps"),
    item("bushings.lower-arm-rear", "Rear bush of the lower arm"),
    item(
        "brakes.front-pads",
        "Front pad thickness",
        cautions=["jacking"],
        readings=[
            {"id": "pad", "title": "Pad thickness", "quantity": "length", "units": ["mm", "in/32"],
             "at": ["front-left", "front-right"], "plausible": ["0", "30"]},
        ],
        limits=[
            {"of": "pad", "below": "1/32", "unit": "in", "grade": "dangerous",
             "source": "cfr570.5.g"},
            {"of": "pad", "below": "3", "unit": "mm", "grade": "minor", "source": "practice"},
        ],
    ),
    item("brakes.hoses", "Brake hoses"),
    item("rodents.loom", "Chewed loom"),
    item(
        "fluids.oil-level",
        "Engine oil level",
        choices=[{"id": "between", "title": "Between the marks", "grade": "none"}],
    ),
    item("engine.mounts", "Engine mounts"),
]  # fmt: skip


def judged(
    grade: str | None, text: str = "", *, source: str = "practice", **more: Any
) -> dict[str, Any]:
    """One item's judgement in the contract's shape."""
    return {
        "applies": True,
        "state": "open" if grade is None else "uninspected" if grade == "uninspected" else "done",
        "grade": grade,
        "by": "person" if grade else None,
        "measured": None,
        "overruled": False,
        "reasons": [{"code": "x", "said": unsaid(text), "source": source}] if text else [],
        "facts": {},
        "problems": [],
        "conflict": False,
        **more,
    }


GRADES: dict[str, dict[str, Any]] = {
    "rust.sill-left": judged("major", "The sill is soft under the probe beside the jacking point."),
    "rust.boot-floor": judged("minor", "Surface rust under the carpet."),
    "accident.panel-gaps": judged("none"),
    "bushings.lower-arm-rear": judged("major", "The rubber has come away from its sleeve."),
    "brakes.front-pads": judged(
        "dangerous",
        "Pad thickness front left is 0.6 mm, below 1/32 in.",
        source="cfr570.5.g",
        by="reading",
        measured="dangerous",
    ),
    "brakes.hoses": judged("uninspected"),
    "rodents.loom": judged("minor", "Tape and two wires are chewed."),
    "fluids.oil-level": judged("none"),
    "engine.mounts": judged(None),
}


def puts(photos: Sequence[bytes] = ()) -> list[tuple[str, Any]]:
    """What the phone recorded, in order."""
    recorded: list[tuple[str, Any]] = [
        ("about/bundle", "b" * 64),
        ("about/started", {"date": "2026-11-25", "time": "09:20", "zone": "+01:00"}),
        ("about/inspector", "Ada Fernack"),
        ("about/place", "Lindrach"),
        ("about/seller", "Rufus Galtrove"),
        ("about/distance_home", {"typed": "180", "unit": "km"}),
        ("about/asking_price", 987_654),
        ("about/currency", "EUR"),
        ("car/make", "Corvane"),
        ("car/model", "Tilda 16"),
        ("car/year", 1989),
        ("car/odometer", {"typed": "163 900", "unit": "km"}),
        ("brief/uses", ["everyday", "long_trips"]),
        ("brief/value_good", 876_543),
        ("brief/hourly_rate", 765_432),
        ("items/rust.sill-left/grade", {"grade": "major"}),
        ("items/rust.sill-left/note", "Soft over a hand’s width; the probe goes in 12 mm."),
        ("items/rust.boot-floor/grade", {"grade": "minor"}),
        ("items/accident.panel-gaps/grade", {"grade": "none"}),
        ("items/bushings.lower-arm-rear/grade", {"grade": "major"}),
        ("items/brakes.front-pads/readings/pad/front-left", {"typed": "0,6", "unit": "mm"}),
        ("items/brakes.front-pads/readings/pad/front-right", {"typed": "2,8", "unit": "mm"}),
        ("items/brakes.hoses/grade", {"grade": "uninspected"}),
        ("items/brakes.hoses/why", "could not get underneath"),
        ("items/rodents.loom/grade", {"grade": "minor"}),
        ("items/fluids.oil-level/choice", "between"),
    ]
    homes = ("rust.sill-left", "brakes.front-pads", "rodents.loom")
    for at, photo in enumerate(photos):
        recorded.append(
            (
                f"items/{homes[at % len(homes)]}/photos/{sha256(photo)}",
                {
                    "caption": f"What was seen, {at + 1}",
                    "taken": f"2026-11-25T09:{31 + at % 28:02d}:00+01:00",
                    "width": 640,
                    "height": 480,
                    "bytes": len(photo),
                    "type": "image/jpeg",
                },
            )
        )
    return recorded


def seal_of(events: Sequence[dict[str, Any]], **more: Any) -> dict[str, Any]:
    """A true seal over all of `events`, signed by the phone."""
    return seal_value(
        PHONE_KEY,
        VISIT,
        events,
        **{
            "name": "Ada Fernack",
            "at": {"date": "2026-11-25", "time": "10:35", "zone": "+01:00"},
            "strokes": STROKES,
            "box": [160, 50],
            **more,
        },
    )


def assessment(
    grades: Mapping[str, Mapping[str, Any]] | None = None,
    items: Sequence[Mapping[str, Any]] = ITEMS,
    **more: Any,
) -> dict[str, Any]:
    grades = GRADES if grades is None else grades
    order = ("dangerous", "major", "minor")
    return {
        "items": dict(grades),
        "areas": [],
        "findings": sorted(
            (one for one, said in grades.items() if said["grade"] in order),
            key=lambda one: (order.index(str(grades[one]["grade"])), one),
        ),
        "drive_home": {
            "answer": "trailer",
            "said": {
                "id": "judge-answer-trailer-dangerous",
                "args": {
                    "items": {"list": [{"checklist": ["item", "brakes.front-pads"]}], "last": "and"}
                },
            },
            "reasons": [
                {
                    "item": "brakes.front-pads",
                    "said": unsaid("Front pad thickness: 0.6 mm is below 1/32 in."),
                }
            ],
        },
        "coverage": {
            "share_percent": 83,
            "by_area": {},
            "not_reached": [
                {"item": "brakes.hoses", "said": unsaid("could not get underneath")},
                {"item": "engine.mounts", "said": unsaid("not reached in the time there was")},
            ],
        },
        **more,
    }


def snapshot(
    recorded: Sequence[tuple[str, Any]] | None = None,
    photos: Sequence[bytes] = (),
    *,
    sealed: bool = True,
    amendments: Sequence[tuple[str, Any]] = (),
    items: Sequence[Mapping[str, Any]] = ITEMS,
    judgement: Mapping[str, Any] | None = None,
    seal: Mapping[str, Any] | None = None,
) -> Snapshot:
    """A whole invented visit, sealed unless told otherwise."""
    writer = Writer(PHONE_KEY, VISIT, START_MS)
    write(writer, puts(photos) if recorded is None else recorded)
    covered = [plain(event) for event in writer.events]
    seals = []
    if sealed:
        event = plain(writer.put("seal/1", seal_of(covered, **(seal or {}))))
        seals = [Seal(1, event["value"], event["at"], event["device"], True, "")]
    write(writer, amendments)
    events = [plain(event) for event in writer.events]
    after = events[len(covered) + sealed :]
    cells = fold(events)
    stored = {sha256(photo): photo for photo in photos}
    return Snapshot(
        visit=VISIT,
        events=events,
        cells=cells,
        bundle={
            "format": 1,
            "hash": "b" * 64,
            "areas": AREAS,
            "stages": [],
            "items": [dict(one) for one in items],
            "sources": SOURCES,
            "cautions": CAUTIONS,
            "rules": {
                "items": {one["id"]: {"title": one["title"], "area": one["area"]} for one in ITEMS},
                "areas": AREAS,
            },
        },
        assessment=dict(judgement) if judgement is not None else assessment(items=items),
        seals=seals,
        amendments=after,
        sealed_cells=fold(covered) if sealed else None,
        photo=stored.get,
    )


def at_text(moment: dt.datetime) -> str:
    return moment.isoformat()
