"""Builds the facts at the head of a report: which car, who looked at it, when, where, for what."""

from __future__ import annotations

from bradawl.inspection import cell_values
from bradawl.inspection.said import clock_text, distance_text, named, vin_checked
from bradawl.judge.record.visit_facts import UNKNOWN
from bradawl.language import listed, plain, text
from bradawl.report.model.editions.edition import EditionView
from bradawl.report.model.texts import FACTS

__all__ = ["car", "identity", "visit_facts"]

#: Shown even where nobody recorded them.
_ALWAYS = ("car/vin", "car/registration", "car/odometer")
_BUILD = ("fuel", "fuelling", "gearbox", "drive", "structure")
_CONDITIONS = ("dark", "wet", "motorway")


def _label(path: str) -> str:
    return text("report-fact-" + FACTS[path])


def car(view: EditionView) -> str:
    """The car's year, make and model."""
    parts = [cell_values.words(view.value(f"car/{name}")) for name in ("year", "make", "model")]
    return " ".join(part for part in parts if part) or text("report-car-unnamed")


def identity(view: EditionView) -> tuple[tuple[str, str], ...]:
    """What tells this car from others, as labels and texts; what is missing says so."""
    shown = []
    for path in (*_ALWAYS, "car/colour"):
        recorded = distance_text(view.value(path))
        if recorded or path in _ALWAYS:
            shown.append((_label(path), recorded or text("report-not-recorded")))
    shown += [(text("report-fact-vin-check"), said) for said in _vin_check(view)]
    style = cell_values.words(view.value("car/body_style"))
    build = [named(f"body-style-{style}", style)]
    build += [_build(name, cell_values.words(view.value(f"car/{name}"))) for name in _BUILD]
    if any(build):
        shown.append((text("report-fact-build"), ", ".join(part for part in build if part)))
    return tuple(shown)


def _build(name: str, value: str) -> str:
    """What is built in; nothing where somebody was asked and did not know."""
    return "" if value == UNKNOWN else named(f"report-build-{name}-{value}", value)


def _vin_check(view: EditionView) -> list[str]:
    """What the number says of itself, or that nobody could check it."""
    said = vin_checked(view.bundle, view.judgment_of, view.texts)
    return [text("report-vin-check-none")] if said == [] else (said or [])[:1]


def visit_facts(view: EditionView) -> tuple[tuple[str, str], ...]:
    """Who looked, when, where and for what, as labels and texts."""
    uses = [
        named("use-" + use.replace("_", "-"), plain(use))
        for use in cell_values.texts(view.value("brief/uses"))
    ]
    nothing = text("report-not-recorded")
    rows = [
        ("about/inspector", cell_values.words(view.value("about/inspector")) or nothing),
        ("about/started", clock_text(cell_values.moment(view.value("about/started")), long=True)),
        ("brief/uses", listed(uses)),
        ("about/distance_home", _way_home(view)),
    ]
    if view.choice.seller:
        rows.insert(2, ("about/seller", cell_values.words(view.value("about/seller"))))
    if view.choice.place:
        rows.insert(2, ("about/place", cell_values.words(view.value("about/place")) or nothing))
    return tuple((_label(path), said) for path, said in rows if said)


def _way_home(view: EditionView) -> str:
    """How far, and what makes it harder."""
    distance = distance_text(view.value("about/distance_home"))
    conditions = [
        text("report-home-" + name) for name in _CONDITIONS if view.value(f"about/{name}") is True
    ]
    return ", ".join([distance, *conditions]) if distance else ""
