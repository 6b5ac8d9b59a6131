"""Works out what can be drawn of an item: compression, fuel pressure, tread, paint.

Pure values: a figure exists only when the record has what it shows. Numbers become floats here
and nowhere before, for drawing alone; every text comes from the record or from the judge.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

from bradawl.judge.grading import limits
from bradawl.judge.record import readings
from bradawl.judge.values import exact, units

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cell, Fact, Item, ItemJudgment, Rule

__all__ = [
    "RIBS",
    "Compression",
    "Figure",
    "FuelPressure",
    "LimitLine",
    "Paint",
    "Tread",
    "figure_of",
    "panel_marks",
]

PANELS = (
    "bonnet", "roof", "boot-lid", "front-wing-left", "front-wing-right", "front-door-left",
    "front-door-right", "rear-door-left", "rear-door-right", "rear-wing-left", "rear-wing-right",
    "sill-left", "sill-right",
)  # fmt: skip
WHEELS = ("front-left", "front-right", "rear-left", "rear-right", "spare")
RIBS = ("outer", "middle", "inner")


@dataclass(frozen=True)
class LimitLine:
    """A limit drawn across a figure: where, in the figure's unit, and what it says."""

    at: float
    text: str


@dataclass(frozen=True)
class Bar:
    """One cylinder: pressures dry and with a little oil; `low` breaks the spread rule."""

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
    rule: LimitLine


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
    """The rail's pressure step by step, in the order of the test."""

    steps: tuple[Step, ...]
    unit: str


@dataclass(frozen=True)
class Tire:
    """Depths from the outer to the inner rib, None where nobody measured, and their texts."""

    name: str
    ribs: tuple[float | None, float | None, float | None]
    texts: tuple[str, str, str]
    pattern: str


@dataclass(frozen=True)
class Tread:
    """Tires with the limits on their depth."""

    tires: tuple[Tire, ...]
    unit: str
    lines: tuple[LimitLine, ...]


@dataclass(frozen=True)
class Panel:
    """One panel's paint film in words, and what it is taken for."""

    text: str
    finish: str


@dataclass(frozen=True)
class Paint:
    """Panels by name; `baseline` says what the car's own paint measures."""

    panels: Mapping[str, Panel]
    baseline: str


Figure = Compression | FuelPressure | Tread | Paint


def figure_of(item: Item, cells: Mapping[str, Cell], judged: ItemJudgment) -> Figure | None:
    """What can be drawn of one item: `cells` are its own, by whole path."""
    maker = _MAKERS.get(str(item.get("compute", {}).get("kind")))
    if maker is None:
        return None
    measures, _ = readings.read(item["id"], cast("Rule", item), dict(cells))
    return maker(_Measured(item, measures, judged.get("facts", {})))


#: The item whose readings are taps on the phone's body map: `dent`, `rust`, `repair` per panel.
PANEL_ITEM = "body.panels"
PANEL_MARKS = ("rust", "dent", "repair")


def panel_marks(cells: Mapping[str, Any]) -> dict[str, tuple[str, ...]]:
    """What was tapped on each panel, from all cells of a visit."""
    by_panel = {
        panel: tuple(
            mark
            for mark in PANEL_MARKS
            if (cells.get(f"items/{PANEL_ITEM}/readings/{mark}/{panel}") or {}).get("value")
        )
        for panel in PANELS
    }
    return {panel: marks for panel, marks in by_panel.items() if marks}


class _Measured:
    """One item's readings as numbers, and the facts that were worked out of them."""

    def __init__(
        self, item: Item, measures: Sequence[Mapping[str, Any]], facts: Mapping[str, Fact]
    ) -> None:
        self.item, self.facts = item, facts
        self._measures = [measure for measure in measures if measure["number"] is not None]
        self._units = {
            str(measure["of"]): str(measure["unit"])
            for measure in reversed(measures)
            if measure["unit"]
        }

    def unit_of(self, *readings: str) -> str:
        """The unit in which the first of these readings was typed."""
        return next((self._units[name] for name in readings if name in self._units), "1")

    def by_place(self, reading: str, unit: str) -> dict[str, float]:
        """A reading's figures in `unit`, by place."""
        return {
            str(measure["place"]): exact.as_float(units.from_base(measure["number"], unit))
            for measure in self._measures
            if measure["of"] == reading
        }

    def word(self, fact: str) -> str:
        """A fact's value in words; empty when there is none."""
        return self.facts[fact]["value"] if fact in self.facts else ""

    def figure(self, fact: str, unit: str) -> float | None:
        """A fact's figure in `unit`; None when it is missing or no number."""
        entry = self.facts.get(fact)
        return _in_unit(entry["value"], entry["unit"], unit) if entry else None


def _in_unit(value: str, stated_unit: str, unit: str) -> float | None:
    """A number that is stated in one unit, in another one; None when it is none."""
    number = exact.parse(value)
    if number is None or not units.known(stated_unit):
        return None
    return exact.as_float(units.from_base(units.to_base(number, stated_unit), unit))


def _figure_text(value: float, unit: str) -> str:
    """A figure with its unit, with as many digits as help."""
    figure = f"{value:.0f}" if abs(value) >= 100 else f"{value:.1f}".removesuffix(".0")
    return units.format_amount(figure, unit)


def _cylinder_order(name: str) -> tuple[int, str]:
    return (int(name), name) if name.isdigit() else (10**6, name)


def _compression(measured: _Measured) -> Compression | None:
    unit = measured.unit_of("dry")
    dry, wet = measured.by_place("dry", unit), measured.by_place("wet", unit)
    if len(dry) < 2:
        return None
    share = str(measured.item.get("compute", {}).get("low") or "75")
    number = exact.parse(share)
    rule = max(dry.values()) * (exact.as_float(number) if number is not None else 75.0) / 100
    return Compression(
        bars=tuple(
            Bar(
                name=name,
                dry=dry[name],
                wet=wet.get(name),
                text=_figure_text(dry[name], unit),
                low=dry[name] < rule,
            )
            for name in sorted(dry, key=_cylinder_order)
        ),
        unit=unit,
        rule=LimitLine(rule, f"{share} % of the highest: {_figure_text(rule, unit)}"),
    )


_FUEL_STEPS = {
    "open": "regulator hose off",
    "idle": "warm idle",
    "hold_start": "at key-off",
    "hold_end": "after holding",
    "clamp_return": "return clamped",
    "clamp_supply": "supply clamped",
}


def _fuel_pressure(measured: _Measured) -> FuelPressure | None:
    unit = measured.unit_of("open", "hold_start", "idle")
    steps = []
    for name, title in _FUEL_STEPS.items():
        values = list(measured.by_place(name, unit).values())
        if not values:
            continue
        expected = measured.figure("expected_idle", unit) if name == "idle" else None
        steps.append(
            Step(
                name=title,
                measured=values[0],
                text=_figure_text(values[0], unit),
                expected=expected,
                expected_text=(
                    "" if expected is None else f"expected {_figure_text(expected, unit)}"
                ),
            )
        )
    return FuelPressure(tuple(steps), unit) if len(steps) > 1 else None


def _tread(measured: _Measured) -> Tread | None:
    unit = measured.unit_of("tread")
    depths = measured.by_place("tread", unit)
    stems = (place.rpartition("-") for place in depths)
    names = {wheel for wheel, _, rib in stems if rib in RIBS}
    tires = [
        _tire(name, [depths.get(f"{name}-{rib}") for rib in RIBS], measured)
        for name in sorted(
            names, key=lambda name: (WHEELS.index(name) if name in WHEELS else 9, name)
        )
    ]
    return Tread(tuple(tires), unit, _lower_limits(measured.item, unit)) if tires else None


def _tire(name: str, depths: list[float | None], measured: _Measured) -> Tire:
    outer, middle, inner = depths
    texts = ["" if d is None else f"{d:.1f}".rstrip("0").rstrip(".") for d in depths]
    return Tire(
        name=name,
        ribs=(outer, middle, inner),
        texts=(texts[0], texts[1], texts[2]),
        pattern=measured.word(f"pattern.{name}"),
    )


def _lower_limits(item: Item, unit: str) -> tuple[LimitLine, ...]:
    """The item's lower limits on depth, as lines in `unit`."""
    lines = []
    for limit in item.get("limits", []):
        if limit["of"] in ("depth", "tread") and "below" in limit:
            at = _in_unit(limit["below"], limit.get("unit", ""), unit)
            if at is not None:
                lines.append(LimitLine(at, f"{limit['grade']} {limits.describe_limit(limit)}"))
    return tuple(lines)


def _paint(measured: _Measured) -> Paint | None:
    panels = {}
    for name in sorted(measured.facts):
        head, _, panel = name.partition(".")
        if head in ("panel", "finish") and panel:
            film = measured.facts.get(f"panel.{panel}")
            text = units.format_amount(film["value"], film["unit"] or "1") if film else ""
            panels[panel] = Panel(text, measured.word(f"finish.{panel}"))
    baseline = measured.facts.get("baseline")
    return Paint(panels, baseline["text"] if baseline else "") if panels else None


_MAKERS: dict[str, Callable[[_Measured], Figure | None]] = {
    "compression": _compression,
    "fuel_pressure": _fuel_pressure,
    "tread": _tread,
    "paint": _paint,
}
