"""The drawn car with a visit's findings as SVG: numbered tags that lead to the finding.

The page says the same in words below; the drawing is the way in.
"""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from typing import Any

from markupsafe import Markup

from bradawl import design
from bradawl.design import outlines
from bradawl.design.marked_car import Marked, Size, lay_out
from bradawl.design.outlines import BodyStyle, View
from bradawl.desk.model.labels import grade_word
from bradawl.inspection.on_car import body_style, places_of_finding
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs.remedies import recorded
from bradawl.judge.values import exact, units
from bradawl.language import listed, measure, text, unit_name
from bradawl.language.formats import unit_for

__all__ = ["car_map", "drawn_car"]

#: In centimeters of the outlines: type of a figure, a tag, its number (`pages.css` has the same).
TYPE = 19.0
TAG = Size(30.0, 22.0)
_VIEWS = {"left": "report-map-left", "plan": "report-map-top", "right": "report-map-right"}


def car_map(snapshot: Snapshot, areas: Sequence[Mapping[str, Any]]) -> Markup:
    """The three views, one SVG each; empty where nothing was found that has a place on the car."""
    style = body_style(snapshot.cells)
    judged: Mapping[str, Any] = snapshot.assessment.get("items", {})
    items = {item["id"]: item for item in snapshot.texts["items"]}
    at: dict[str, list[tuple[int, Mapping[str, Any]]]] = {}
    found = [finding for area in areas for finding in area["findings"]]
    for number, finding in enumerate(found, start=1):
        reasons = judged.get(finding["id"], {}).get("reasons", [])
        for place in places_of_finding(items.get(finding["id"], {}), reasons, (), style)[:2]:
            at.setdefault(place, []).append((number, finding))
    figures, finishes = _paint(snapshot, judged)
    if not at and not figures:
        return Markup("")
    return drawn_car(style, at, figures, finishes, recorded(snapshot.cells)["closed"])


def drawn_car(
    style: BodyStyle,
    at: Mapping[str, Sequence[tuple[int, Mapping[str, Any]]]],
    figures: Mapping[str, str],
    finishes: Mapping[str, str],
    mended: Container[str],
) -> Markup:
    """The three views of a style: at each place its numbered findings, on each panel its paint."""
    views = [_view(view, at, figures, finishes, mended) for view in outlines.outline(style).views]
    return Markup('<div class="car-map">{}{}</div>{}').format(
        _patterns(), Markup("").join(views), _key(figures, finishes)
    )


def _key(figures: Mapping[str, str], finishes: Mapping[str, str]) -> Markup:
    """What figures and patterns mean; empty where there are none."""
    seen = [name for name in ("original", *design.finishes()) if name in finishes.values()]
    entry = Markup(
        '<li><svg viewBox="0 0 36 22" aria-hidden="true"><rect class="panel" width="36" height="22"'
        '/><rect class="finish" fill="url(#finish-{})" width="36" height="22"/></svg>{}</li>'
    )
    rows = [entry.format(name, text("report-map-finish-" + name)) for name in seen]
    if figures:
        unit = unit_name(unit_for("um"))
        rows.insert(0, Markup("<li>{}</li>").format(text("desk-map-figures", unit=unit)))
    return Markup('<ul class="car-key">{}</ul>').format(Markup("").join(rows)) if rows else Markup()


def _paint(snapshot: Snapshot, judged: Mapping[str, Any]) -> tuple[dict[str, str], dict[str, str]]:
    """What was measured on each panel, and what it is taken for."""
    figures: dict[str, str] = {}
    finishes: dict[str, str] = {}
    for item in snapshot.bundle["items"]:
        on_map = item.get("body_map")
        if not on_map or on_map["show"] != "film":
            continue
        facts: Mapping[str, Any] = judged[item["id"]]["facts"] if item["id"] in judged else {}
        for name, fact in facts.items():
            head, _, panel = name.partition(".")
            number = exact.parse(str(fact.get("value"))) if head == "panel" else None
            if number is not None:
                said = measure(units.to_base(number, fact["unit"]), fact["unit"])
                # a panel has no room for the unit, which the key says
                figures[panel] = said.split()[0]
            elif head == "finish" and panel:
                finishes[panel] = str(fact.get("value"))
    return figures, finishes


def _patterns() -> Markup:
    drawn = [
        Markup(
            '<pattern id="finish-{}" width="{}" height="{}" patternUnits="userSpaceOnUse">'
            '<path d="{}" stroke-width="{}"/></pattern>'
        ).format(name, finish.tile, finish.tile, finish.strokes, finish.width)
        for name, finish in design.finishes().items()
    ]
    return Markup('<svg class="car-patterns" aria-hidden="true"><defs>{}</defs></svg>').format(
        Markup("").join(drawn)
    )


def _view(
    view: View,
    at: Mapping[str, Sequence[tuple[int, Mapping[str, Any]]]],
    figures: Mapping[str, str],
    finishes: Mapping[str, str],
    mended: Container[str],
) -> Markup:
    counts = {place: len(marks) for place, marks in at.items()}
    if view.name == "right":
        for place in view.places:
            counts.pop(place, None)  # marked on the left view
    laid = lay_out(view, figures, counts, TAG, _size_of)
    flip = f"translate({view.length} 0) scale(-1 1)" if view.is_mirrored else ""
    high = laid.above + view.high + laid.below
    return Markup(
        '<figure><figcaption>{}</figcaption><svg viewBox="-4 {} {} {}" role="group"'
        ' aria-label="{}"><g aria-hidden="true"><g transform="{}">{}</g>{}</g>{}</svg></figure>'
    ).format(
        text(_VIEWS[view.name]),
        -laid.above,
        view.wide + 8,
        high,
        text(_VIEWS[view.name]),
        flip,
        _car(view, finishes),
        _written(laid),
        _tags(laid, at, mended),
    )


def _size_of(said: str) -> Size:
    return Size(len(said) * TYPE * 0.56 + 2, TYPE)


def _car(view: View, finishes: Mapping[str, str]) -> Markup:
    path = Markup('<path class="{}" d="{}"/>')
    parts = [path.format("shell", view.shell)]
    for x, y, radius in _wheels(view):
        circle = Markup('<circle class="{}" cx="{}" cy="{}" r="{}"/>')
        parts += [circle.format("tire", x, y, radius), circle.format("rim", x, y, radius * 0.62)]
    for panel in view.panels:
        parts.append(path.format("panel", panel.path))
        if finishes.get(panel.id) in design.finishes():
            parts.append(
                Markup('<path class="finish" fill="url(#finish-{})" d="{}"/>').format(
                    finishes[panel.id], panel.path
                )
            )
    parts += [path.format("glass", view.glass), path.format("trim", view.trim)]
    return Markup("").join(parts)


def _wheels(view: View) -> list[tuple[float, float, float]]:
    """The wheels as the unflipped side has them."""
    return [
        (view.length - x if view.is_mirrored else x, y, radius)
        for x, y, radius in view.wheels.values()
    ]


def _written(laid: Marked) -> Markup:
    """Lines to piles of tags, and figures."""
    parts = [
        Markup('<path class="lead" d="{}"/>').format(
            "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in line.points)
        )
        for line in laid.lines
    ]
    parts += [
        Markup('<text class="figure" x="{:.1f}" y="{:.1f}">{}</text>').format(
            figure.box.x + figure.box.wide / 2, figure.box.y + figure.box.high * 0.82, figure.text
        )
        for figure in laid.figures
    ]
    return Markup("").join(parts)


def _tags(
    laid: Marked,
    at: Mapping[str, Sequence[tuple[int, Mapping[str, Any]]]],
    mended: Container[str],
) -> Markup:
    """The numbered tags, each a link to its finding; that of a repaired one is torn at its edge."""
    parts = []
    for mark in laid.marks:
        number, finding = at[mark.place][mark.number]
        x, y, wide, high = mark.box
        cut = high * 0.25
        is_mended = finding["id"] in mended
        edge = f"H{x + wide - 6:.1f}l4 4l-4 3l5 3" if is_mended else f"H{x + wide - 1:.1f}"
        word = grade_word(finding["grade"])
        outline = (
            f"M{x + cut:.1f} {y + 1:.1f}{edge}V{y + high - cut:.1f}"
            f"L{x + wide - cut:.1f} {y + high - 1:.1f}H{x + 1:.1f}V{y + cut:.1f}Z"
        )
        parts.append(
            Markup(
                '<a href="#item-{}" class="car-tag car-tag-{}" aria-label="{}"><path d="{}"/>'
                '<text x="{:.1f}" y="{:.1f}">{}</text></a>'
            ).format(
                finding["id"].replace(".", "-"),
                "mended" if is_mended else finding["grade"],
                text(
                    "report-map-key",
                    number=number,
                    grade=listed([word, text(design.mark("mended").word)]) if is_mended else word,
                    title=finding["title"],
                ),
                outline,
                x + wide / 2,
                y + high * 0.74,
                number,
            )
        )
    return Markup("").join(parts)
