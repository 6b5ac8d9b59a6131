"""One snapshot in words: findings by area, what nobody inspected, conflicts, all checks.

Reads values at their paths; computes no grade and no figure.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from bradawl.desk.model.labels import (
    car_name,
    choice_title,
    item_of,
    item_title,
    label,
    reading_text,
    reading_title,
    units_of,
)
from bradawl.desk.model.photo_views import NameOf, in_order, photo_view, photos_beside
from bradawl.desk.model.recorded import author_of, said_value, value, zone_of
from bradawl.inspection import cell_values
from bradawl.inspection.said import place_text, recorded_text, vin_checked
from bradawl.inspection.snapshot import Snapshot
from bradawl.inspection.standing import grade_now
from bradawl.inspection.wires import wires_of
from bradawl.judge import graded
from bradawl.judge.costs.remedies import recorded
from bradawl.judge.grading.items import CONTRADICTION
from bradawl.judge.record.own_findings import is_own
from bradawl.judge.values.grades import FAULTS, GRADES, SEVERITY
from bradawl.language import argument, plain, say, source, text

if TYPE_CHECKING:
    from bradawl.judge.values.types import OtherValue

MENDED = "mended"


def severity_order(grade: str | None) -> int:
    """A sort key that puts the worst grade first, and what has none last."""
    return -SEVERITY.index(grade) if grade in SEVERITY else 1


def heading(snapshot: Snapshot) -> dict[str, Any]:
    """Who, what, when and where, as (label, text) pairs beside the car's name."""
    facts = []
    for path in (
        "car/registration",
        "car/vin",
        "car/odometer",
        "car/colour",
        "about/started",
        "about/place",
        "about/inspector",
        "about/seller",
        "about/asking_price",
        "brief/uses",
    ):
        recorded = value(snapshot, path)
        if recorded in (None, "", []):
            continue
        facts.append((label(path, snapshot.texts), said_value(snapshot, path, recorded)))
        if path == "car/vin":
            facts += [(text("desk-vin-check"), said) for said in _vin_checked(snapshot)]
    return {"car": car_name(snapshot.cells), "facts": facts}


def _vin_checked(snapshot: Snapshot) -> list[str]:
    judged: Mapping[str, Mapping[str, Any]] = snapshot.assessment.get("items", {})
    said = vin_checked(snapshot.bundle, lambda item: judged.get(item, {}), snapshot.texts["rules"])
    return said or []


def areas(snapshot: Snapshot) -> list[dict[str, Any]]:
    """Areas in the report's order, each with its findings (worst first) and what was in order."""
    order = {area["id"]: area.get("report_order", 99) for area in snapshot.texts.get("areas", ())}
    titles = {area["id"]: area["title"] for area in snapshot.texts.get("areas", ())}
    judged = snapshot.assessment.get("items", {})
    own = cells_by_item(snapshot)
    by_area: dict[str, list[dict[str, Any]]] = {}
    for item, judgment in judged.items():
        if judgment.get("applies", True) and judgment.get("state") == "done":
            by_area.setdefault(_area_of(snapshot, item), []).append(
                item_view(snapshot, item, own.get(item, {}))
            )
    shown = []
    for area in sorted(by_area, key=lambda area: (int(order.get(area, 99)), area)):
        items = sorted(by_area[area], key=lambda row: (severity_order(row["grade"]), row["id"]))
        shown.append(
            {
                "id": area,
                "title": titles.get(area, plain(area)),
                "findings": [row for row in items if row["grade"] in FAULTS],
                "in_order": [row for row in items if row["grade"] not in FAULTS],
            }
        )
    return shown


def _area_of(snapshot: Snapshot, item: str) -> str:
    rule = item_of(snapshot.texts, item) or {}
    return str(rule.get("area", item.partition(".")[0]))


def cells_by_item(snapshot: Snapshot) -> dict[str, dict[str, Any]]:
    """The standing cells below `items/`, grouped: {item: {rest of the path: cell}}."""
    grouped: dict[str, dict[str, Any]] = {}
    for path, cell in sorted(snapshot.cells.items()):
        if path.startswith("items/") and cell["value"] is not None:
            item, _, rest = path.removeprefix("items/").partition("/")
            grouped.setdefault(item, {})[rest] = cell
    return grouped


def _recorded_of(
    snapshot: Snapshot, full: Mapping[str, Any] | None, own: Mapping[str, Any]
) -> tuple[list[dict[str, str]], list[dict[str, Any]], dict[str, str]]:
    """Readings and photos among an item's cells, and its choice, text and note in words."""
    readings: list[dict[str, str]] = []
    photos: list[dict[str, Any]] = []
    texts: dict[str, str] = {}
    for path, cell in own.items():
        parts = path.split("/")
        if parts[0] == "readings" and len(parts) == 3:
            readings.append(
                {
                    "title": reading_title(full, parts[1]),
                    "place": "" if parts[2] == "one" else place_text(parts[2]),
                    "text": reading_text(cell["value"], units_of(full, parts[1])),
                }
            )
        elif parts[0] == "photos" and len(parts) == 2:
            photos.append(photo_view(parts[1], cell["value"], snapshot))
        elif parts[0] == "choice":
            texts["choice"] = choice_title(full, cell_values.words(cell["value"]))
        elif parts[0] in ("text", "note"):
            texts[parts[0]] = recorded_text(cell["value"], snapshot.texts["rules"])
    return readings, photos, texts


def item_view(
    snapshot: Snapshot, item: str, own: Mapping[str, Any] | None = None
) -> dict[str, Any]:
    """One item as the page shows it: grade and reasons, readings, photos, notes, remarks.

    `own` are the item's cells when the caller has them from `cells_by_item`.
    """
    if own is None:
        own = cells_by_item(snapshot).get(item, {})
    judgment: Any = snapshot.assessment["items"].get(item) or {}
    full = item_of(snapshot.texts, item)
    cautions = snapshot.texts["cautions"]
    rules = snapshot.texts["rules"]
    readings, photos, texts = _recorded_of(snapshot, full, own)
    # a reading's own fact says the reading again
    own_readings = {
        path.removeprefix("readings/").removesuffix("/one").replace("/", ".") for path in own
    }
    title = item_title(snapshot.texts, item)
    if is_own(item) and texts.get("text") == title:
        texts.pop("text")
    return {
        "id": item,
        "title": title,
        "own": is_own(item),
        "where": str((full or {}).get("where", "")),
        "grade": judgment.get("grade"),
        "by": judgment.get("by"),
        "measured": judgment.get("measured"),
        "overruled": bool(judgment.get("overruled")),
        "reasons": [_reason(snapshot, reason) for reason in judgment.get("reasons", ())],
        "facts": [
            say(fact["said"], rules)
            for name, fact in sorted(judgment.get("facts", {}).items())
            if name not in own_readings and not name.startswith("wire_")
        ],
        "wires": wires_of(own, judgment or None, rules),
        "problems": [say(problem["said"], rules) for problem in judgment.get("problems", ())],
        "cautions": [
            cautions[caution]["text"] if caution in cautions else caution
            for caution in (full or {}).get("cautions", ())
        ],
        "readings": readings,
        "photos": in_order(photos),
        **{key: texts.get(key, "") for key in ("choice", "text", "note")},
        "unconfirmed": any(author_of(cell["at"]) in snapshot.unconfirmed for cell in own.values()),
    }


def _reason(snapshot: Snapshot, reason: Mapping[str, Any]) -> dict[str, str]:
    return {
        "text": say(reason["said"], snapshot.texts["rules"]),
        "source": source(reason["source"], snapshot.texts.get("sources", {})),
    }


def not_inspected(snapshot: Snapshot) -> list[dict[str, str]]:
    """What nobody inspected: said so with a reason, or simply not reached; by area and title."""
    listed: dict[str, str] = {}
    doubts: dict[str, str] = {}  # what somebody has to settle: a reading's meaning, which is right
    for missed in snapshot.assessment.get("coverage", {}).get("not_reached", ()):
        listed[missed["item"]] = say(missed["said"], snapshot.texts["rules"])
    for item, judgment in snapshot.assessment.get("items", {}).items():
        if judgment.get("applies", True) and judgment.get("state") in ("open", "uninspected"):
            why = str(argument(graded(item, snapshot.cells)[1], snapshot.texts["rules"]))
            listed[item] = why or listed.get(item) or ""
            doubts[item] = " ".join(
                say(problem["said"], snapshot.texts["rules"])
                for problem in judgment.get("problems", ())
                if problem["code"] in ("doubt", CONTRADICTION)
            )
    titles = {area["id"]: area["title"] for area in snapshot.texts.get("areas", ())}
    rows = []
    for item, why in listed.items():
        area = _area_of(snapshot, item)
        rows.append(
            {
                "item": item,
                "area": titles.get(area, area),
                "title": item_title(snapshot.texts, item),
                "why": doubts.get(item) or why or text("desk-unseen-not-reached"),
            }
        )
    return sorted(rows, key=lambda row: (row["area"], row["title"]))


def conflicts(snapshot: Snapshot, name_of: NameOf) -> list[dict[str, Any]]:
    """Paths where two people wrote without seeing each other, each value with author and time."""
    zone = zone_of(snapshot)
    rows = []
    for path, cell in sorted(snapshot.cells.items()):
        if not cell["others"]:
            continue
        winner: OtherValue = {"value": cell["value"], "at": cell["at"]}
        both = [winner, *cell["others"]]
        rows.append(
            {
                "path": path,
                "label": label(path, snapshot.texts),
                "photos": photos_beside(snapshot, path, name_of),
                "written": [
                    {
                        "at": written["at"],
                        "text": said_value(snapshot, path, written["value"]),
                        "author": name_of(author_of(written["at"])),
                        "unconfirmed": author_of(written["at"]) in snapshot.unconfirmed,
                        "zone": zone,
                        "standing": n == 0,
                    }
                    for n, written in enumerate(both)
                ],
            }
        )
    return rows


def tally(snapshot: Snapshot) -> dict[str, int]:
    """How many items stand at each grade; what work has closed since is no fault: `mended`."""
    counts: dict[str, int] = dict.fromkeys((*GRADES, MENDED), 0)
    closed = recorded(snapshot.cells)["closed"]
    for item, judgment in snapshot.assessment["items"].items():
        found, grade = judgment["grade"], grade_now(snapshot.assessment, item)
        if judgment["applies"] and grade is not None:
            counts[MENDED if found in FAULTS and item in closed else grade] += 1
    return counts


def checks(snapshot: Snapshot) -> list[dict[str, Any]]:
    """What a person can choose from: [{"title", "rows": [{"id", "title"}]}].

    First what was found that nobody asked for, then every check of the checklist by its area.
    """
    own = [
        {"id": name, "title": item_title(snapshot.texts, name)} for name in own_findings(snapshot)
    ]
    groups = [
        {
            "title": area["title"],
            "rows": [
                {"id": rule["id"], "title": rule["title"]}
                for rule in snapshot.texts["items"]
                if rule["area"] == area["id"] and not is_own(rule["id"])
            ],
        }
        for area in snapshot.texts.get("areas", ())
    ]
    groups.insert(0, {"title": text("desk-own-tag"), "rows": own})
    return [group for group in groups if group["rows"]]


def items_by_area(snapshot: Snapshot) -> list[tuple[str, list[str]]]:
    """Every check of which anything is recorded, whatever its grade: (area's title, ids)."""
    order = {area["id"]: area.get("report_order", 99) for area in snapshot.texts.get("areas", ())}
    titles = {area["id"]: area["title"] for area in snapshot.texts.get("areas", ())}
    found: dict[str, list[str]] = {}
    named = set(cells_by_item(snapshot)) | {
        cell_values.text(cell_values.mapping(cell["value"]).get("item"))
        for path, cell in snapshot.cells.items()
        if path.startswith("media/")
    }
    for item in sorted(named - {""}):
        found.setdefault(_area_of(snapshot, item), []).append(item)
    areas_in_order = sorted(found, key=lambda area: (int(order.get(area, 99)), area))
    return [(titles.get(area, plain(area)), found[area]) for area in areas_in_order]


def own_findings(snapshot: Snapshot) -> dict[str, dict[str, Any]]:
    """What was found that no check of the checklist asks for: `items/<area>.own-…/…`."""
    return {item: own for item, own in cells_by_item(snapshot).items() if is_own(item)}
