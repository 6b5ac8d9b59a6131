"""Builds the facts at the head of a report: which car, who looked at it, when, where, for what."""

from __future__ import annotations

from collections.abc import Iterable

from bradawl.inspection import cell_values
from bradawl.report.model.edition import EditionView
from bradawl.report.model.texts import measured_text

__all__ = ["car", "identity", "visit_facts"]


def _text(view: EditionView, path: str) -> str:
    value = view.value(path)
    reading = cell_values.reading(value)
    if reading is not None:
        return measured_text(reading.typed, reading.unit)
    return cell_values.words(value)


def car(view: EditionView) -> str:
    """The car's year, make and model."""
    parts = [_text(view, f"car/{name}") for name in ("year", "make", "model")]
    return " ".join(part for part in parts if part) or "Car without a recorded make"


def identity(view: EditionView) -> tuple[tuple[str, str], ...]:
    """What tells this car from others, as labels and texts; what is missing says so."""
    rows = [
        ("VIN or chassis", "car/vin"),
        ("Registration", "car/registration"),
        ("Odometer", "car/odometer"),
        ("Colour", "car/colour"),
    ]
    shown = []
    for label, path in rows:
        text = _text(view, path)
        if text or path in ("car/vin", "car/registration", "car/odometer"):
            shown.append((label, text or "not recorded"))
    shown += [("Identity check", text) for text in _identity_check(view)]
    build = [
        f"{value}{suffix}"
        for path, suffix in (
            ("car/fuel", ""),
            ("car/fuelling", ""),
            ("car/gearbox", " gearbox"),
            ("car/drive", "-wheel drive"),
            ("car/structure", ""),
        )
        if (value := _text(view, path))
    ]
    if build:
        shown.append(("Build", ", ".join(build)))
    return tuple(shown)


def _identity_check(view: EditionView) -> Iterable[str]:
    """What the number says of itself, or that nobody could check it."""
    for item in view.bundle["items"]:
        if item.get("compute", {}).get("kind") != "vin":
            continue
        fact = view.judgment_of(item["id"]).get("facts", {}).get("vin")
        text = fact["text"] if fact else ""
        yield text.partition(": ")[2] or text or "not possible: no number was recorded"
        return


_USES = {
    "everyday": "everyday", "long_trips": "long trips", "track": "track", "show": "show",
    "family": "family", "load": "carrying loads", "resale": "resale", "project": "project",
}  # fmt: skip


def visit_facts(view: EditionView) -> tuple[tuple[str, str], ...]:
    """Who looked, when, where and for what, as labels and texts."""
    rows = [("Looked at by", _text(view, "about/inspector") or "not recorded")]
    when = str(cell_values.moment(view.value("about/started")))
    if when:
        rows.append(("When", when))
    if view.choice.place:
        rows.append(("Where", _text(view, "about/place") or "not recorded"))
    if view.choice.seller and _text(view, "about/seller"):
        rows.append(("Seller", _text(view, "about/seller")))
    uses = cell_values.texts(view.value("brief/uses"))
    if uses:
        rows.append(("For what use", ", ".join(_USES.get(use, use) for use in uses)))
    distance = _text(view, "about/distance_home")
    if distance:
        conditions = [
            word
            for path, word in (
                ("about/dark", "in the dark"),
                ("about/wet", "in the wet"),
                ("about/motorway", "on motorways"),
            )
            if view.value(path) is True
        ]
        rows.append(("The way home", ", ".join([distance, *conditions])))
    return tuple(rows)
