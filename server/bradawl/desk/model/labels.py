"""Paths, values, readings and amounts of a record as words that a person at the desk can read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from bradawl.common.display_text import for_line
from bradawl.inspection import cell_values
from bradawl.judge.record.visit_facts import USES as ALL_USES
from bradawl.judge.values import units
from bradawl.judge.values.amounts import money_text
from bradawl.judge.values.words import GRADE_WORDS, plain

#: Paths whose last word does not say what they are about.
TITLES = {
    "about/bundle": "Checklist",
    "about/app": "Version of the app",
    "about/dark": "In the dark",
    "about/wet": "In the wet",
    "about/motorway": "By motorway",
    "car/id": "Car",
    "car/vin": "Chassis number",
    "car/drive": "Driven wheels",
    "car/assist": "Steering assist",
    "car/aircon": "Air conditioning",
    "brief/uses": "Uses wanted",
    "brief/value_good": "Value when it meets the brief",
    "brief/musts": "Must have",
    "brief/originality": "Lost originality counts, %",
}
USES = {use: plain(use) for use in ALL_USES} | {"load": "load carrying"}
NAME_LIMIT = 60  # of a make or a model within a heading; the car's own page has it whole


def money(amount: int | None, currency: str = "") -> str:
    """`2,400 EUR` on one line; a dash when nobody said."""
    return "–" if amount is None else money_text(amount, currency).replace(" ", "\u00a0")


def label(path: str, bundle: Mapping[str, Any]) -> str:
    """What a path of a record is about: `Front pad thickness: pad thickness, front left`."""
    parts = path.split("/")
    if parts[0] in ("about", "car", "brief") and len(parts) == 2:
        return TITLES.get(path, plain(parts[1]).capitalize())
    if parts[0] == "seal":
        return f"Seal {parts[-1]}"
    if parts[0] in ("work", "plan", "trouble") and len(parts) >= 2:
        head = {"work": "Job", "plan": "Plan", "trouble": "Trouble"}[parts[0]]
        return f"{head}: {', '.join(plain(part) for part in parts[1:])}"
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
        index = {rule["id"]: rule for rule in bundle.get("items", ())}
        if name:
            while len(_INDEXES) >= _INDEXES_KEPT:
                _INDEXES.pop(next(iter(_INDEXES)), None)
            _INDEXES[name] = index
    return index.get(item)


def item_title(bundle: Mapping[str, Any], item: str) -> str:
    """The item's title; an item that the checklist does not know keeps its id."""
    rule = item_of(bundle, item)
    return str(rule["title"]) if rule else item


def reading_title(item: Mapping[str, Any] | None, reading: str) -> str:
    return _title_in(item, "readings", reading)


def choice_title(item: Mapping[str, Any] | None, choice: str) -> str:
    return _title_in(item, "choices", choice)


def _title_in(item: Mapping[str, Any] | None, kind: str, name: str) -> str:
    for entry in (item or {}).get(kind, ()):
        if entry["id"] == name:
            return str(entry["title"])
    return plain(name)


def placed(title: str, place: str) -> str:
    """A reading's title with the place where it is taken: `Tread depth, front left`."""
    return title if place == "one" else f"{title}, {plain(place)}"


def reading_fields(rule: Mapping[str, Any], prefix: str) -> list[dict[str, Any]]:
    """An item's readings as fields of a form, one for each place: [{"name", "title", "units"}]."""
    return [
        {
            "name": f"{prefix}/readings/{reading['id']}/{place}",
            "title": placed(reading["title"], place),
            "units": reading.get("units", []),
        }
        for reading in rule.get("readings", ())
        for place in (reading.get("at") or ["one"])
    ]


def caution_texts(bundle: Mapping[str, Any], names: Iterable[str]) -> dict[str, str]:
    """Cautions in words, by name."""
    texts = bundle.get("cautions", {})
    return {name: str(texts.get(name, {}).get("text", plain(name))) for name in names}


def _item_part(parts: list[str], item: Mapping[str, Any] | None) -> str:
    if parts[0] == "readings" and len(parts) == 3:
        return placed(reading_title(item, parts[1]).lower(), parts[2])
    if parts[0] == "photos":
        return "photo"
    names = {"why": "reason", "choice": "answer"}
    return names.get(parts[0], plain(" ".join(parts)))


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
        return ", ".join(USES.get(use, use) for use in cell_values.texts(value)) or "none"
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
    reading = cell_values.reading(value)
    if reading is None:
        return cell_values.words(value)
    return units.format_amount(reading.typed, reading.unit or "1").replace(" ", "\u00a0")


def car_name(cells: Mapping[str, Mapping[str, Any]]) -> str:
    """`Make Model (year)` from what was recorded; says so when nothing was."""
    make, model, year, registration = (
        for_line(cell_values.words(cell_values.value(cells, f"car/{key}")), NAME_LIMIT).strip()
        for key in ("make", "model", "year", "registration")
    )
    name = f"{make} {model}".strip() or registration or "A car without a name"
    return f"{name} ({year})" if year else name
