"""The figures behind the pictures: what a judged item's readings and facts give to draw.

Pure values: a picture exists only when the record has what it shows. Numbers become floats here
and nowhere before, for drawing alone; every text comes from the record or from the judge.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bradawl.judge.grading import limits
from bradawl.judge.record import readings
from bradawl.judge.values import exact, units

PANELS = (
    "bonnet", "roof", "boot-lid", "front-wing-left", "front-wing-right", "front-door-left",
    "front-door-right", "rear-door-left", "rear-door-right", "rear-wing-left", "rear-wing-right",
    "sill-left", "sill-right",
)  # fmt: skip
WHEELS = ("front-left", "front-right", "rear-left", "rear-right", "spare")
RIBS = ("outer", "middle", "inner")


@dataclass(frozen=True)
class Line:
    """A limit drawn across a picture: its figure in the picture's unit and what it says."""

    at: float
    text: str


@dataclass(frozen=True)
class Bar:
    name: str
    dry: float
    wet: float | None
    text: str
    low: bool


@dataclass(frozen=True)
class Compression:
    """Cylinders against the spread rule: below `rule`, a share of the highest, one is low."""

    bars: tuple[Bar, ...]
    unit: str
    rule: Line
    mean: float


@dataclass(frozen=True)
class Step:
    """One pressure of the fuel rail: measured, and what it should be where that is known."""

    name: str
    measured: float
    text: str
    expected: float | None = None
    expected_text: str = ""


@dataclass(frozen=True)
class FuelPressure:
    steps: tuple[Step, ...]
    unit: str
    conclusions: tuple[str, ...]


@dataclass(frozen=True)
class Tyre:
    name: str
    ribs: tuple[float | None, float | None, float | None]
    texts: tuple[str, str, str]
    pattern: str


@dataclass(frozen=True)
class Tread:
    tyres: tuple[Tyre, ...]
    unit: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Panel:
    text: str
    finish: str


@dataclass(frozen=True)
class Paint:
    panels: Mapping[str, Panel]
    baseline: str


Picture = Compression | FuelPressure | Tread | Paint


def picture_of(
    item: Mapping[str, Any], cells: Mapping[str, Any], judged: Mapping[str, Any]
) -> Picture | None:
    """What can be drawn of one item: `cells` are its own, by whole path."""
    kind = str((item.get("compute") or {}).get("kind") or "")
    maker = _MAKERS.get(kind)
    if maker is None:
        return None
    measures, _ = readings.read(str(item["id"]), dict(item), dict(cells))
    facts = judged.get("facts")
    drawn: Picture | None = maker(item, measures, facts if isinstance(facts, Mapping) else {})
    return drawn


#: The item whose readings are taps on the phone's body map: `dent`, `rust`, `repair` per panel.
PANEL_ITEM = "body.panels"
PANEL_MARKS = ("rust", "dent", "repair")


def panel_marks(cells: Mapping[str, Any]) -> dict[str, tuple[str, ...]]:
    """What was tapped on each panel, from all cells of a visit."""
    found = {}
    for panel in PANELS:
        marks = tuple(
            mark
            for mark in PANEL_MARKS
            if (cells.get(f"items/{PANEL_ITEM}/readings/{mark}/{panel}") or {}).get("value")
        )
        if marks:
            found[panel] = marks
    return found


def _by_place(measures: list[dict[str, Any]], of: str) -> dict[str, dict[str, Any]]:
    return {
        str(one["place"]): one for one in measures if one["of"] == of and one["number"] is not None
    }


def _unit(measures: list[dict[str, Any]], *names: str) -> str:
    for name in names:
        for one in measures:
            if one["of"] == name and one["unit"]:
                return str(one["unit"])
    return "1"


def _float(one: Mapping[str, Any], unit: str) -> float:
    return exact.as_float(units.from_base(one["number"], unit))


def _fact(facts: Mapping[str, Any], name: str, unit: str) -> float | None:
    """A fact's figure in `unit`; None when it is missing or no number."""
    fact = facts.get(name)
    if not isinstance(fact, Mapping):
        return None
    number = exact.parse(str(fact.get("value")))
    if number is None or not units.known(str(fact.get("unit"))):
        return None
    return exact.as_float(units.from_base(units.to_base(number, str(fact["unit"])), unit))


def _word(facts: Mapping[str, Any], name: str) -> str:
    fact = facts.get(name)
    return str(fact.get("value") or "") if isinstance(fact, Mapping) else ""


def _said(value: float, unit: str) -> str:
    """A figure of a picture with its unit, with as many digits as help."""
    figure = f"{value:.0f}" if abs(value) >= 100 else f"{value:.1f}".removesuffix(".0")
    return units.said(figure, unit)


def _cylinder_key(name: str) -> tuple[int, str]:
    return (int(name), name) if name.isdigit() else (10**6, name)


def _compression(
    item: Mapping[str, Any], measures: list[dict[str, Any]], facts: Mapping[str, Any]
) -> Compression | None:
    unit = _unit(measures, "dry")
    dry, wet = _by_place(measures, "dry"), _by_place(measures, "wet")
    if len(dry) < 2:
        return None
    highest = max(_float(one, unit) for one in dry.values())
    share = str((item.get("compute") or {}).get("low") or "75")
    number = exact.parse(share)
    rule = highest * (exact.as_float(number) if number is not None else 75.0) / 100
    bars = []
    for name in sorted(dry, key=_cylinder_key):
        value = _float(dry[name], unit)
        bars.append(
            Bar(
                name=name,
                dry=value,
                wet=_float(wet[name], unit) if name in wet else None,
                text=_said(value, unit),
                low=value < rule,
            )
        )
    return Compression(
        bars=tuple(bars),
        unit=unit,
        rule=Line(rule, f"{share} % of the highest: {_said(rule, unit)}"),
        mean=sum(bar.dry for bar in bars) / len(bars),
    )


def _fuel_pressure(
    item: Mapping[str, Any], measures: list[dict[str, Any]], facts: Mapping[str, Any]
) -> FuelPressure | None:
    unit = _unit(measures, "open", "hold_start", "idle")
    steps = []
    for name, title, expected_fact in (
        ("open", "regulator hose off", ""),
        ("idle", "warm idle", "expected_idle"),
        ("hold_start", "at key-off", ""),
        ("hold_end", "after holding", ""),
        ("clamp_return", "return clamped", ""),
        ("clamp_supply", "supply clamped", ""),
    ):
        found = next(
            (one for one in measures if one["of"] == name and one["number"] is not None), None
        )
        if found is None:
            continue
        expected = _fact(facts, expected_fact, unit) if expected_fact else None
        value = _float(found, unit)
        steps.append(
            Step(
                name=title,
                measured=value,
                text=_said(value, unit),
                expected=expected,
                expected_text="" if expected is None else f"expected {_said(expected, unit)}",
            )
        )
    if len(steps) < 2:
        return None
    conclusions = tuple(
        str(facts[name]["text"])
        for name in ("reference", "loss", "leak")
        if isinstance(facts.get(name), Mapping) and facts[name].get("text")
    )
    return FuelPressure(tuple(steps), unit, conclusions)


def _tread(
    item: Mapping[str, Any], measures: list[dict[str, Any]], facts: Mapping[str, Any]
) -> Tread | None:
    unit = _unit(measures, "tread")
    found = _by_place(measures, "tread")
    tyres = []
    names = sorted(
        {place.rpartition("-")[0] for place in found if place.rpartition("-")[2] in RIBS}
    )
    for name in sorted(names, key=lambda one: (WHEELS.index(one) if one in WHEELS else 9, one)):
        ribs = [found.get(f"{name}-{rib}") for rib in RIBS]
        values = [None if one is None else _float(one, unit) for one in ribs]
        tyres.append(
            Tyre(
                name=name,
                ribs=(values[0], values[1], values[2]),
                texts=tuple(  # type: ignore[arg-type]
                    "" if value is None else f"{value:.1f}".rstrip("0").rstrip(".")
                    for value in values
                ),
                pattern=_word(facts, f"pattern.{name}"),
            )
        )
    if not tyres:
        return None
    return Tread(tuple(tyres), unit, _lines(item, ("depth", "tread"), unit))


def _lines(item: Mapping[str, Any], of: tuple[str, ...], unit: str) -> tuple[Line, ...]:
    """The item's lower limits on these names, as lines in `unit`."""
    found = []
    for limit in item.get("limits", []):
        number = exact.parse(str(limit.get("below"))) if limit.get("below") is not None else None
        if limit.get("of") not in of or number is None or not units.known(str(limit.get("unit"))):
            continue
        at = exact.as_float(units.from_base(units.to_base(number, str(limit["unit"])), unit))
        found.append(Line(at, f"{limit.get('grade')} {limits.said(limit)}"))
    return tuple(found)


def _paint(
    item: Mapping[str, Any], measures: list[dict[str, Any]], facts: Mapping[str, Any]
) -> Paint | None:
    panels = {}
    for name, fact in sorted(facts.items()):
        head, _, panel = name.partition(".")
        if head in ("panel", "finish") and panel and isinstance(fact, Mapping):
            figure = facts.get(f"panel.{panel}")
            text = ""
            if isinstance(figure, Mapping):
                text = units.said(str(figure.get("value")), str(figure.get("unit") or "1"))
            panels[panel] = Panel(text, _word(facts, f"finish.{panel}"))
    if not panels:
        return None
    baseline = facts.get("baseline")
    return Paint(panels, str(baseline["text"]) if isinstance(baseline, Mapping) else "")


_MAKERS: dict[str, Any] = {
    "compression": _compression,
    "fuel_pressure": _fuel_pressure,
    "tread": _tread,
    "paint": _paint,
}
