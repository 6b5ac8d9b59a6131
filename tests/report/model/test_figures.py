"""Pictures come from the real judge's facts, and only when the record has what they show."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pytest
from reportlab.pdfgen.canvas import Canvas

from bradawl import design
from bradawl.judge import assess
from bradawl.judge.costs import quantiles
from bradawl.judge.record.visit_facts import visit_facts
from bradawl.language import Reader, reading_as
from bradawl.report.issue import write_report
from bradawl.report.layout.style import DANGER, EDGE, GRADE_COLOR, INK, draw_plate
from bradawl.report.layout.text import typeface
from bradawl.report.model.figures import (
    PANELS,
    Compression,
    FuelPressure,
    Paint,
    Tread,
    figure_of,
    panel_marks,
)
from bradawl.report.model.work.plan import MendOrReplace, PlannedJob, WorkPlan
from bradawl.report.signing.keys import Signer
from tests.judge.saying import unsaid
from tests.report.tools import flowing, run
from tests.report.visits import ITEMS, TODAY, assessment, item, judged, puts, snapshot

WHEELS = ("front-left", "front-right", "rear-left", "rear-right")
MEASURED = [
    item(
        "engine.compression",
        "Compression",
        compute={"kind": "compression", "low": "75"},
        readings=[
            {"id": name, "title": name, "quantity": "pressure", "units": ["psi", "bar"],
             "at": ["1", "2", "3", "4"]}
            for name in ("dry", "wet")
        ],
        limits=[{"of": "low_share", "below": "75", "unit": "%", "grade": "major",
                 "source": "practice"}],
    ),
    item(
        "engine.rail",
        "Fuel pressure",
        compute={"kind": "fuel_pressure"},
        readings=[
            {"id": "open", "title": "Hose off", "quantity": "pressure", "units": ["psi"]},
            {"id": "idle", "title": "Idle", "quantity": "pressure", "units": ["psi"]},
            {"id": "vacuum", "title": "Vacuum", "quantity": "vacuum", "units": ["inHg"]},
        ],
    ),
    item(
        "engine.tread",
        "Tread",
        compute={"kind": "tread"},
        readings=[{"id": "tread", "title": "Tread", "quantity": "length", "units": ["mm"],
                   "at": [f"{wheel}-{rib}" for wheel in WHEELS
                          for rib in ("outer", "middle", "inner")]}],
        limits=[{"of": "depth", "below": "2/32", "unit": "in", "grade": "major",
                 "source": "cfr570.5.g"}],
    ),
    item(
        "engine.paint",
        "Paint",
        compute={"kind": "paint"},
        readings=[{"id": "film", "title": "Film", "quantity": "film", "units": ["um"],
                   "at": [f"{panel}-{spot}" for panel in PANELS for spot in (1, 2, 3)]}],
    ),
]  # fmt: skip


def _readings() -> list[tuple[str, Any]]:
    recorded: list[tuple[str, Any]] = []
    for cylinder, dry, wet in (("1", 150, 155), ("2", 148, 152), ("3", 98, 140), ("4", 151, 153)):
        for name, value in (("dry", dry), ("wet", wet)):
            path = f"items/engine.compression/readings/{name}/{cylinder}"
            recorded.append((path, {"typed": str(value), "unit": "psi"}))
    # Common practice, no source: 36 psi open and 16 inHg of vacuum give about 28 psi at idle.
    for name, typed, unit in (
        ("open", "36", "psi"),
        ("idle", "35", "psi"),
        ("vacuum", "16", "inHg"),
    ):
        recorded.append((f"items/engine.rail/readings/{name}/one", {"typed": typed, "unit": unit}))
    for wheel, ribs in zip(WHEELS, ((5, 5, 4), (5, 5, 5), (1.2, 3, 3), (4, 2, 4)), strict=True):
        for rib, depth in zip(("outer", "middle", "inner"), ribs, strict=True):
            path = f"items/engine.tread/readings/tread/{wheel}-{rib}"
            recorded.append((path, {"typed": str(depth), "unit": "mm"}))
    for panel in PANELS[:9]:
        for spot in (1, 2, 3):
            film = 900 if panel == "front-wing-left" else 250 if panel == "bonnet" else 118
            path = f"items/engine.paint/readings/film/{panel}-{spot}"
            recorded.append((path, {"typed": str(film + spot), "unit": "um"}))
    return recorded


def _judged(recorded: list[tuple[str, Any]]) -> tuple[dict[str, Any], dict[str, Any]]:
    cells = {path: {"value": value, "at": "1", "others": []} for path, value in recorded}
    rules = {"items": {one["id"]: one for one in MEASURED}, "areas": []}
    record = {"visit": "v", "cells": cells}
    return assess(record, rules, TODAY)["items"], cells  # type: ignore[return-value,arg-type]


def _picture(number: int, recorded: list[tuple[str, Any]], region: str = "us") -> Any:
    items, cells = _judged(recorded)
    one = MEASURED[number]
    own = {path: cell for path, cell in cells.items() if path.startswith(f"items/{one['id']}/")}
    # in the units in which these readings were typed
    with reading_as(Reader(region=region)):
        return figure_of(one, own, items[one["id"]], visit_facts(cells, TODAY))


def test_compression_against_the_spread_rule() -> None:
    picture = _picture(0, _readings())
    assert isinstance(picture, Compression)
    assert [bar.name for bar in picture.bars] == ["1", "2", "3", "4"]
    assert [bar.low for bar in picture.bars] == [False, False, True, False]
    assert picture.rule.at == pytest.approx(151 * 0.75)
    assert picture.bars[2].wet == pytest.approx(140)


def test_compression_in_another_unit_than_it_was_typed_in() -> None:
    """pint's psi per bar: 14.503773773 (from memory)."""
    recorded = _readings()
    recorded[2] = ("items/engine.compression/readings/dry/2", {"typed": "10", "unit": "bar"})
    picture = _picture(0, recorded)
    assert picture.bars[1].dry == pytest.approx(145.03773773)


def test_fuel_pressure_against_what_was_expected() -> None:
    picture = _picture(1, _readings())
    assert isinstance(picture, FuelPressure)
    idle = next(step for step in picture.steps if step.name == "warm idle")
    assert idle.expected == pytest.approx(28, abs=0.3)
    assert idle.measured == 35


def test_tread_across_each_tyre_with_the_laws_line() -> None:
    picture = _picture(2, _readings(), "eu")
    assert isinstance(picture, Tread)
    assert [tire.name for tire in picture.tires] == list(WHEELS)
    assert picture.tires[2].ribs == (1.2, 3, 3)
    assert picture.tires[2].pattern == "outer edge"
    assert picture.lines[0].at == pytest.approx(1.5875)  # 2/32 in


def test_paint_by_panel() -> None:
    picture = _picture(3, _readings(), "eu")
    assert isinstance(picture, Paint)
    assert picture.panels["front-wing-left"].finish == "filler"
    assert picture.panels["bonnet"].finish == "repainted"
    assert picture.panels["roof"].finish == "original"
    assert picture.panels["roof"].text == "120 µm"


@pytest.mark.parametrize("number", range(4))
def test_without_readings_there_is_no_picture(number: int) -> None:
    assert _picture(number, []) is None


def _luminance(color: str) -> float:
    """Relative luminance, WCAG 2.2, 'relative luminance'."""
    parts = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_grades_are_read_and_told_apart_on_a_copy_without_colour() -> None:
    for color in (*GRADE_COLOR.values(), INK, DANGER, EDGE):
        assert 1.05 / (_luminance(color) + 0.05) >= 4.5, color  # WCAG 2.2, 1.4.3, on white
    typeface.register()
    shapes = set()
    for mark in design.marks().values():
        canvas = Canvas(io.BytesIO(), initialFontName=typeface.SANS)
        draw_plate(canvas, 0, 0, mark)
        # what is drawn, without the operators that set a colour
        shapes.add(tuple(line for line in canvas._code if not line.endswith((" rg", " RG"))))
    assert len(shapes) == len(design.marks())


def test_taps_of_the_body_map_are_on_it(tmp_path: Path, shop: Signer) -> None:
    taps: list[tuple[str, Any]] = [
        ("items/body.panels/readings/rust/rear-wing-left", {"typed": "yes", "unit": ""}),
        ("items/body.panels/readings/dent/rear-wing-left", {"typed": "yes", "unit": ""}),
        ("items/body.panels/readings/repair/roof", {"typed": "yes", "unit": ""}),
        ("items/body.panels/readings/dent/bonnet", None),
    ]
    visit = snapshot([*puts(), *taps])
    assert panel_marks(visit.cells) == {"roof": ("repair",), "rear-wing-left": ("rust", "dent")}
    file = tmp_path / "taps.pdf"
    write_report(visit, file, "condition", shop, today=TODAY)
    text = flowing(file)
    for said in ("rust spot", "dent", "old repair"):
        assert said in text


def test_the_pictures_are_in_the_report_as_vectors_and_say_their_figures(
    tmp_path: Path, shop: Signer
) -> None:
    recorded = _readings()
    items, _ = _judged(recorded)
    grades = {
        **{one["id"]: judged("none") for one in ITEMS},
        "rust.sill-left": judged("major", "Soft."),
        **items,
    }
    visit = snapshot([*puts(), *recorded], items=[*ITEMS, *MEASURED], judgement=assessment(grades))
    file = tmp_path / "pictures.pdf"
    write_report(visit, file, "condition", shop, today=TODAY)
    text = flowing(file)
    for said in (
        "75% of the highest: 113 psi",
        "Low: cylinder 3.",
        "expect 28.1 psi",
        "outer edge",
        "filler",
        "left side",
    ):
        assert said in text, said
    assert run("pdfimages", "-list", file).count("image") <= 1  # the heading of the list


def test_an_empty_visit_draws_nothing_it_does_not_have(tmp_path: Path, shop: Signer) -> None:
    file = tmp_path / "bare.pdf"
    grades = {one["id"]: judged(None) for one in ITEMS}
    write_report(
        snapshot([], sealed=False, judgement=assessment(grades)), file, "condition", shop,
        today=TODAY,
    )  # fmt: skip
    text = flowing(file)
    for absent in ("Compression in", "Fuel pressure in", "Tread depth in", "left side"):
        assert absent not in text
    assert "0 of 9 checks were made" in text


MONEY = {
    "currency": "EUR", "rate": 60, "assumed": ["margin"], "unpriced": ["rodents.loom"],
    "lines": [
        {"id": "a", "item": "rust.sill-left", "covers": ["rust.sill-left"], "title": "Weld",
         "kind": "mend", "cost": [200, 400, 900], "expected": 450},
        {"id": "b", "item": "brakes.front-pads", "covers": ["brakes.front-pads"], "title": "Pads",
         "kind": "part", "cost": [60, 90, 150], "expected": 95},
    ],
    "totals": {"low": 260, "likely": 490, "high": 1050, "expected": 545, "p50": 537, "p80": 660,
               "p90": 723},
    "reserve": {"amount": 130, "items": [
        {"item": "brakes.hoses", "chance": "0.25", "cost": [40, 120, 300], "amount": 34,
         "source": "assumption"},
        {"item": "engine.mounts", "chance": "0.4", "cost": [100, 240, 400], "amount": 96,
         "source": "assumption"}]},
    "price": {"value": 4000, "worth": 3800, "margin": 300, "asking": 3200, "walk_away": 2825,
              "opening": 2647, "said": unsaid("Walk away above 2,825 EUR; open at 2,647 EUR."),
              "arguments": [
                  {"id": "a", "item": "rust.sill-left", "covers": ["rust.sill-left"],
                   "said": unsaid("Weld, about 450 EUR. Soft."), "amount": 450,
                   "group": "structure"},
                  {"id": "b", "item": "brakes.front-pads", "covers": ["brakes.front-pads"],
                   "said": unsaid("Pads, about 95 EUR."), "amount": 95, "group": "safety"}],
              "groups": [{"group": "safety", "amount": 95, "count": 1},
                         {"group": "structure", "amount": 450, "count": 1}]},
    "said": unsaid("Work about 537 EUR."),
}  # fmt: skip


def test_the_curve_passes_through_the_judges_own_p50_p80_and_p90() -> None:
    typeface.register()
    from bradawl.report.sections.costs import curve_points

    costs = [(200, 400, 900), (60, 90, 150), (300, 500, 1200)]
    said = quantiles.quantiles(
        costs, [50, 80, 90], 0.4
    )  # lines that move together, as the judge has
    points = curve_points({"together": "0.4", "lines": [{"cost": list(one)} for one in costs]})
    for amount, share in zip(said, (0.5, 0.8, 0.9), strict=True):
        assert (amount, share) in points
    assert max(amount for amount, _ in points) > said[-1]


def test_the_partners_price_shows_its_working(tmp_path: Path, shop: Signer) -> None:
    plan = WorkPlan(
        jobs=[PlannedJob("Pads", "danger", [60, 90, 150], True, "December")],
        assemblies=[
            MendOrReplace(
                "Loom", "Mending is cheaper today.", 900,
                [[0, 100, 100], [1, 140, 260], [2, 200, 950]],
            )
        ],
    )  # fmt: skip
    file = tmp_path / "partner.pdf"
    visit = snapshot(judgement=assessment(money=MONEY))
    write_report(visit, file, "partner", shop, today=TODAY, plan=plan)
    text = flowing(file)
    # 3800 - 545 - 130 - 300 = 2825, worked by hand
    for said in (
        "Value when done €4,000",
        "less what its history takes off -€200",
        "less repairs and papers, about -€545",
        "less what we set aside for what we didn't see -€130",
        "less cushion -€300",
        "Top price €2,825",
        "P50: €537", "P80: €660", "P90: €723",
        "Safety, €95 (1 reason): Pads, about 95 EUR.",
            "Rust and structure, €450 (1 reason): Weld, about 450 EUR. Soft.",
        "No price yet: Chewed loom.",
        "Assumed, because nobody said: the cushion.",
        "Engine mounts 40% €96",
        "1 Pads danger, December €90",
        "Dashed: the whole assembly, €900.",
    ):  # fmt: skip
        assert said in text, said


def test_the_plan_stays_out_of_a_condition_report(tmp_path: Path, shop: Signer) -> None:
    plan = WorkPlan([PlannedJob("Pads", "danger", [60, 98_765, 150], True)], [])
    file = tmp_path / "condition.pdf"
    visit = snapshot(judgement=assessment(money=MONEY))
    write_report(visit, file, "condition", shop, today=TODAY, plan=plan)
    text = flowing(file)
    assert "98,765" not in text
    assert "EUR" not in text
