"""Paths, values and authors of a record as words that a person at the desk can read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bradawl.common.display_text import for_line
from bradawl.desk.web.rendering import GRADE_WORDS, money
from bradawl.inspection import cell_values

ABOUT = {
    "bundle": "Checklist",
    "started": "Started",
    "inspector": "Inspector",
    "place": "Place",
    "seller": "Seller",
    "app": "Version of the app",
    "distance_home": "Distance home",
    "dark": "In the dark",
    "wet": "In the wet",
    "motorway": "By motorway",
    "asking_price": "Asking price",
    "currency": "Currency",
}
CAR = {
    "id": "Car",
    "make": "Make",
    "model": "Model",
    "year": "Year",
    "vin": "Chassis number",
    "registration": "Registration",
    "colour": "Colour",
    "odometer": "Odometer",
    "fuel": "Fuel",
    "fuelling": "Fuelling",
    "front_brakes": "Front brakes",
    "rear_brakes": "Rear brakes",
    "structure": "Structure",
    "gearbox": "Gearbox",
    "drive": "Driven wheels",
    "steering": "Steering",
    "assist": "Steering assist",
    "airbags": "Airbags",
    "catalyst": "Catalyst",
    "aircon": "Air conditioning",
    "cylinders": "Cylinders",
}
BRIEF = {
    "uses": "Uses wanted",
    "value_good": "Value when it meets the brief",
    "hourly_rate": "Hourly rate",
    "margin": "Margin",
    "budget": "Budget",
    "deadline": "Deadline",
    "musts": "Must have",
    "originality": "Lost originality counts, %",
}
UNIT_WORDS = {
    "um": "µm",
    "degC": "°C",
    "degF": "°F",
    "ohm": "Ω",
    "kohm": "kΩ",
    "Nm": "N·m",
    "lbf.ft": "lbf·ft",
    "deg": "°",
    "in/32": "/32 in",
    "1": "",
}
PLAIN_SOURCES = {
    "practice": "common practice, no source",
    "assumption": "our own assumption",
}
NAME_LIMIT = 60  # of a make or a model within a heading; the car's own page has it whole
USES = {
    "everyday": "everyday",
    "long_trips": "long trips",
    "track": "track",
    "show": "show",
    "family": "family",
    "load": "load carrying",
    "resale": "resale",
    "project": "project",
}


def words_of(name: str) -> str:
    """`front-left` or `front_left` as `front left`."""
    return name.replace("-", " ").replace("_", " ")


def label(path: str, bundle: Mapping[str, Any]) -> str:
    """What a path of a record is about: `Front pad thickness: pad thickness, front left`."""
    parts = path.split("/")
    for head, names in (("about", ABOUT), ("car", CAR), ("brief", BRIEF)):
        if parts[0] == head and len(parts) == 2:
            return names.get(parts[1], words_of(parts[1]).capitalize())
    if parts[0] == "seal":
        return f"Seal {parts[-1]}"
    if parts[0] in ("work", "plan", "trouble") and len(parts) >= 2:
        head = {"work": "Job", "plan": "Plan", "trouble": "Trouble"}[parts[0]]
        return f"{head}: {', '.join(words_of(part) for part in parts[1:])}"
    if parts[0] == "items" and len(parts) >= 3:
        item = item_of(bundle, parts[1])
        return f"{item_title(bundle, parts[1])}: {_item_part(parts[2:], item)}"
    return path


#: Items by id for the bundles seen last; a bundle never changes under its hash.
_INDEXES: dict[str, dict[str, Mapping[str, Any]]] = {}
_INDEXES_KEPT = 8


def item_of(bundle: Mapping[str, Any], item: str) -> Mapping[str, Any] | None:
    """The full item of a bundle, or None for one that its checklist does not know."""
    name = str(bundle.get("hash", ""))
    index = _INDEXES.get(name)
    if index is None:
        index = {one["id"]: one for one in bundle.get("items", ())}
        if name:
            while len(_INDEXES) >= _INDEXES_KEPT:
                _INDEXES.pop(next(iter(_INDEXES)), None)
            _INDEXES[name] = index
    return index.get(item)


def item_title(bundle: Mapping[str, Any], item: str) -> str:
    """The item's title; an item that the checklist does not know keeps its id."""
    found = item_of(bundle, item)
    return str(found["title"]) if found else item


def reading_title(item: Mapping[str, Any] | None, reading: str) -> str:
    for one in (item or {}).get("readings", ()):
        if one["id"] == reading:
            return str(one["title"])
    return words_of(reading)


def choice_title(item: Mapping[str, Any] | None, choice: str) -> str:
    for one in (item or {}).get("choices", ()):
        if one["id"] == choice:
            return str(one["title"])
    return words_of(choice)


def _item_part(parts: list[str], item: Mapping[str, Any] | None) -> str:
    if parts[0] == "readings" and len(parts) == 3:
        title = reading_title(item, parts[1]).lower()
        return title if parts[2] == "one" else f"{title}, {words_of(parts[2])}"
    if parts[0] == "photos":
        return "photo"
    known = {"grade": "grade", "why": "reason", "choice": "answer", "text": "text", "note": "note"}
    return known.get(parts[0], words_of(" ".join(parts)))


def value_text(path: str, value: Any, bundle: Mapping[str, Any]) -> str:
    """A recorded value in words; `taken back` for null."""
    if value is None:
        return "taken back"
    if value is True or value is False:
        return "yes" if value else "no"
    parts = path.split("/")
    if isinstance(value, Mapping):
        return _object_text(value)
    if path == "brief/uses":
        return ", ".join(USES.get(one, one) for one in cell_values.texts(value)) or "none"
    if isinstance(value, str) and parts[0] == "items" and parts[-1] == "choice":
        return choice_title(item_of(bundle, parts[1]), value)
    if isinstance(value, int) and parts[-1] in ("asking_price", "budget", "value_good", "margin"):
        return money(value)
    if isinstance(value, str) and parts[-1] == "bundle":
        return value[:12]
    return cell_values.words(value) or "none"


def _object_text(value: Mapping[str, Any]) -> str:
    if "typed" in value:
        return reading_text(value)
    if "grade" in value:
        grade = cell_values.words(value["grade"])
        return GRADE_WORDS.get(grade, grade)
    if "date" in value and "time" in value:
        when = cell_values.moment(value)
        return f"{when.date} {when.time}".strip() or "at an unknown time"
    if "caption" in value:
        caption = cell_values.photo(value).caption
        return f"photo “{caption}”" if caption else "photo without a caption"
    if "strokes" in value:
        return f"signed by {cell_values.words(value.get('name')) or 'nobody'}"
    return cell_values.words(value)


def reading_text(value: Any) -> str:
    """A reading as it was typed, with its unit: `2,5 mm`."""
    held = cell_values.reading(value)
    if held is None:
        return cell_values.words(value)
    shown = UNIT_WORDS.get(held.unit, held.unit)
    gap = "" if shown in ("°", "/32 in") else "\u00a0"
    return f"{held.typed}{gap}{shown}".strip()


def car_name(cells: Mapping[str, Mapping[str, Any]]) -> str:
    """`Make Model (year)` from what was recorded; says so when nothing was."""
    make, model, year, registration = (
        for_line(cell_values.words(cell_values.value(cells, f"car/{key}")), NAME_LIMIT).strip()
        for key in ("make", "model", "year", "registration")
    )
    name = f"{make} {model}".strip() or registration or "A car without a name"
    return f"{name} ({year})" if year else name


def source_text(bundle: Mapping[str, Any], name: str) -> str:
    """A source in words, with how we know it: `49 CFR 570.5, section (g) (from memory)`."""
    if not name:
        return ""
    if name in PLAIN_SOURCES:
        return PLAIN_SOURCES[name]
    source = bundle.get("sources", {}).get(name)
    if source is None:
        return name
    text = str(source.get("title", name))
    if source.get("section"):
        text += f", {source['section']}"
    status = {
        "read-secondary": "read in a second source",
        "memory": "from memory",
        "practice": "common practice",
        "assumption": "our assumption",
    }.get(str(source.get("status", "")))
    return f"{text} ({status})" if status else text
