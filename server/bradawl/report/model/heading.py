"""Which car, who looked at it, when, where and for what: the facts at the head of a report."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from bradawl.inspection import cell_values
from bradawl.report.model.contents import number_text
from bradawl.report.model.edition import Shared


def _text(shared: Shared, path: str) -> str:
    value = shared.value(path)
    reading = cell_values.reading(value)
    if reading is not None:
        return number_text(reading.typed, reading.unit)
    return cell_values.words(value)


def car(shared: Shared) -> str:
    """The car's year, make and model."""
    parts = [_text(shared, f"car/{name}") for name in ("year", "make", "model")]
    return " ".join(part for part in parts if part) or "Car without a recorded make"


def identity(shared: Shared) -> tuple[tuple[str, str], ...]:
    """What tells this car from others, as labels and texts; what is missing says so."""
    rows = [
        ("VIN or chassis", "car/vin"),
        ("Registration", "car/registration"),
        ("Odometer", "car/odometer"),
        ("Colour", "car/colour"),
    ]
    shown = []
    for label, path in rows:
        text = _text(shared, path)
        if text or path in ("car/vin", "car/registration", "car/odometer"):
            shown.append((label, text or "not recorded"))
    shown += [("Identity check", text) for text in _identity_check(shared)]
    build = [
        f"{value}{said}"
        for path, said in (
            ("car/fuel", ""),
            ("car/fuelling", ""),
            ("car/gearbox", " gearbox"),
            ("car/drive", "-wheel drive"),
            ("car/structure", ""),
        )
        if (value := _text(shared, path))
    ]
    if build:
        shown.append(("Build", ", ".join(build)))
    return tuple(shown)


def _identity_check(shared: Shared) -> Iterable[str]:
    """What the number says of itself, or that nobody could check it."""
    judged = shared.assessment.get("items", {})
    for item in shared.bundle.get("items", []):
        if (item.get("compute") or {}).get("kind") != "vin":
            continue
        facts = judged.get(item["id"], {}).get("facts", {})
        fact = facts.get("vin")
        said = str(fact.get("text") or "") if isinstance(fact, Mapping) else ""
        yield said.partition(": ")[2] or said or "not possible: no number was recorded"
        return


_USES = {
    "everyday": "everyday", "long_trips": "long trips", "track": "track", "show": "show",
    "family": "family", "load": "carrying loads", "resale": "resale", "project": "project",
}  # fmt: skip


def visit_facts(shared: Shared) -> tuple[tuple[str, str], ...]:
    """Who looked, when, where and for what, as labels and texts."""
    rows = [("Looked at by", _text(shared, "about/inspector") or "not recorded")]
    when = str(cell_values.moment(shared.value("about/started")))
    if when:
        rows.append(("When", when))
    if shared.choice.place:
        rows.append(("Where", _text(shared, "about/place") or "not recorded"))
    if shared.choice.seller and _text(shared, "about/seller"):
        rows.append(("Seller", _text(shared, "about/seller")))
    uses = cell_values.texts(shared.value("brief/uses"))
    if uses:
        rows.append(("For what use", ", ".join(_USES.get(use, use) for use in uses)))
    distance = _text(shared, "about/distance_home")
    if distance:
        conditions = [
            word
            for path, word in (
                ("about/dark", "in the dark"),
                ("about/wet", "in the wet"),
                ("about/motorway", "on motorways"),
            )
            if shared.value(path) is True
        ]
        rows.append(("The way home", ", ".join([distance, *conditions])))
    return tuple(rows)
