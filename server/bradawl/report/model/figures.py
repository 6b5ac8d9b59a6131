"""Works out what can be drawn of an item: compression, fuel pressure, tread, paint.

Pure values: a figure exists only when the record has what it shows. Numbers become floats here
and nowhere before, for drawing alone; every text comes from the record or from the judge.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

from bradawl.design import outlines
from bradawl.inspection.said import named
from bradawl.judge.record import readings
from bradawl.judge.values import exact, units
from bradawl.language import formats, measure, say, text, unit_for, unit_name
from bradawl.report.model.limits import limits_of
from bradawl.report.model.texts import figure_text

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cell, Exact, Fact, Item, ItemJudgment, Rule, VisitFacts

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

#: Every panel of any body style.
PANELS = tuple(dict.fromkeys(p for style in outlines.STYLES for p in outlines.panels_of(style)))
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
    wet_text: str
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


def figure_of(
    item: Item, cells: Mapping[str, Cell], judged: ItemJudgment, visit: VisitFacts
) -> Figure | None:
    """What can be drawn of one item: `cells` are its own, by whole path."""
    maker = _MAKERS.get(str(item.get("compute", {}).get("kind")))
    if maker is None:
        return None
    measures, _ = readings.read(item["id"], cast("Rule", item), dict(cells))
    return maker(_Measured(item, measures, judged.get("facts", {}), visit))


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
        self,
        item: Item,
        measures: Sequence[Mapping[str, Any]],
        facts: Mapping[str, Fact],
        visit: VisitFacts,
    ) -> None:
        self.item, self.facts, self.visit = item, facts, visit
        self._measures = [measure for measure in measures if measure["number"] is not None]
        self._units = {
            str(measure["of"]): str(measure["unit"])
            for measure in reversed(measures)
            if measure["unit"]
        }

    def unit_of(self, *readings: str) -> str:
        """The reader's unit for the first of these readings that was typed."""
        name = next((name for name in readings if name in self._units), "")
        if not name:
            return "1"
        offered = next(
            reading["units"] for reading in self.item["readings"] if reading["id"] == name
        )
        return unit_for(self._units[name], offered)

    def by_place(self, reading: str) -> dict[str, Exact]:
        """A reading's figures in base units, by place."""
        return {
            str(measure["place"]): measure["number"]
            for measure in self._measures
            if measure["of"] == reading
        }

    def word(self, fact: str) -> str:
        """A fact's value in words; empty when there is none."""
        return self.facts[fact]["value"] if fact in self.facts else ""

    def figure(self, fact: str) -> Exact | None:
        """A fact's figure in base units; None when it is missing or no number."""
        entry = self.facts.get(fact)
        return _base(entry["value"], entry["unit"]) if entry else None


def _base(value: str, unit: str) -> Exact | None:
    """A number that is stated in a unit, in base units; None when it is none."""
    number = exact.parse(value)
    return None if number is None or not units.is_known(unit) else units.to_base(number, unit)


def _float(number: Exact, unit: str) -> float:
    """A figure in base units as a length to draw, in `unit`."""
    return exact.as_float(units.from_base(number, unit))


def _with_unit(number: Exact, unit: str) -> str:
    """A figure in base units as a drawing has room for it, with `unit`."""
    figure = figure_text(number, unit)
    return formats.with_unit(figure, unit, is_one=figure == "1")


def _cylinder_order(name: str) -> tuple[int, str]:
    return (int(name), name) if name.isdigit() else (10**6, name)


def _compression(measured: _Measured) -> Compression | None:
    unit = measured.unit_of("dry")
    dry, wet = measured.by_place("dry"), measured.by_place("wet")
    if len(dry) < 2:
        return None
    share = exact.parse(str(measured.item.get("compute", {}).get("low") or "75")) or (75, 1)
    rule = exact.divide(exact.multiply(exact.largest(list(dry.values())), share), (100, 1))
    return Compression(
        bars=tuple(
            Bar(
                name=name,
                dry=_float(dry[name], unit),
                wet=_float(wet[name], unit) if name in wet else None,
                text=figure_text(dry[name], unit),
                wet_text=figure_text(wet[name], unit) if name in wet else "",
                low=exact.less(dry[name], rule),
            )
            for name in sorted(dry, key=_cylinder_order)
        ),
        unit=unit_name(unit),
        rule=LimitLine(
            _float(rule, unit),
            text(
                "report-chart-compression-rule",
                share=measure(share, "%"),
                figure=_with_unit(rule, unit),
            ),
        ),
    )


#: The steps of the test, in their order.
_FUEL_STEPS = ("open", "idle", "hold_start", "hold_end", "clamp_return", "clamp_supply")


def _fuel_pressure(measured: _Measured) -> FuelPressure | None:
    unit = measured.unit_of("open", "hold_start", "idle")
    steps = []
    for name in _FUEL_STEPS:
        values = list(measured.by_place(name).values())
        if not values:
            continue
        expected = measured.figure("expected_idle") if name == "idle" else None
        steps.append(
            Step(
                name=text("report-chart-fuel-" + name.replace("_", "-")),
                measured=_float(values[0], unit),
                text=_with_unit(values[0], unit),
                expected=None if expected is None else _float(expected, unit),
                expected_text=""
                if expected is None
                else text("report-chart-fuel-expected", figure=_with_unit(expected, unit)),
            )
        )
    return FuelPressure(tuple(steps), unit_name(unit)) if len(steps) > 1 else None


def _tread(measured: _Measured) -> Tread | None:
    unit = measured.unit_of("tread")
    depths = measured.by_place("tread")
    stems = (place.rpartition("-") for place in depths)
    names = {wheel for wheel, _, rib in stems if rib in RIBS}
    tires = [
        _tire(name, [depths.get(f"{name}-{rib}") for rib in RIBS], unit, measured)
        for name in sorted(
            names, key=lambda name: (WHEELS.index(name) if name in WHEELS else 9, name)
        )
    ]
    if not tires:
        return None
    return Tread(tuple(tires), unit_name(unit), _lower_limits(measured, unit))


def _tire(name: str, depths: list[Exact | None], unit: str, measured: _Measured) -> Tire:
    outer, middle, inner = (None if depth is None else _float(depth, unit) for depth in depths)
    texts = ["" if depth is None else figure_text(depth, unit) for depth in depths]
    pattern = measured.word(f"pattern.{name}")
    return Tire(
        name=name,
        ribs=(outer, middle, inner),
        texts=(texts[0], texts[1], texts[2]),
        pattern=named(f"judge-word-pattern-{pattern}", pattern),
    )


def _lower_limits(measured: _Measured, unit: str) -> tuple[LimitLine, ...]:
    """The lower limits on depth, as lines in `unit`."""
    return tuple(
        LimitLine(_float(limit.edge, unit), limit.text)
        for name in ("depth", "tread")
        for limit in limits_of(measured.item, name, measured.visit)
        if limit.kind == "below"
    )


def _paint(measured: _Measured) -> Paint | None:
    panels = {}
    for name in sorted(measured.facts):
        head, _, panel = name.partition(".")
        if head in ("panel", "finish") and panel:
            film = measured.facts.get(f"panel.{panel}")
            number = measured.figure(f"panel.{panel}")
            said = measure(number, film["unit"]) if film and number is not None else ""
            panels[panel] = Panel(said, measured.word(f"finish.{panel}"))
    baseline = measured.facts.get("baseline")
    return Paint(panels, say(baseline["said"], {}) if baseline else "") if panels else None


_MAKERS: dict[str, Callable[[_Measured], Figure | None]] = {
    "compression": _compression,
    "fuel_pressure": _fuel_pressure,
    "tread": _tread,
    "paint": _paint,
}
