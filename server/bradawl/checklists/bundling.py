"""A checklist as one JSON value, named by the hash of its content.

A visit keeps the bundle it began with, so a bundle holds everything that the phone, the judge
and the report need to read an old record again: texts, limits, sources, cautions, tables.
"""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any, cast

from pydantic import BaseModel

from bradawl.checklists.complaints.bundling import complaints
from bradawl.checklists.files import Checklist
from bradawl.checklists.overlays import holding
from bradawl.checklists.shapes.items import Item
from bradawl.checklists.shapes.tables import Claims, History, ProfileGroup, Wires
from bradawl.checklists.shapes.vocabulary import STAGES
from bradawl.design import outlines
from bradawl.language.checklist_texts import is_recorded, texts

if TYPE_CHECKING:
    from bradawl.judge.values.types import Bundle

FORMAT = 1
# What the judge reads of an item; texts stay with the screens.
SLIM = (
    "stage",
    "minutes",
    "tools",
    "cold",
    "depth",
    "applies",
    "answers",
    "readings",
    "limits",
    "compute",
    "settled_by",
    "separate",
    "weight",
    "drive",
    "drive_if",
    "danger",
    "effects",
    "places",
    "hold_group",
    "needs",
    "stopped_by",
    "implied_by",
    "missing_if",
)
# What only the judge reads of an item.
UNSHOWN = {"order", "tools", "effects", "places", "hold_group"}
# What a figure of the profile takes from the reading that it fills.
SHAPE = ("quantity", "units", "at", "optional", "plausible", "usual")
LAST = 10**6  # behind all items of a stage that say their place
FIGURES = ("hourly_rate", "margin")
# What the judge takes a remedy and its price to be when they do not say otherwise.
USUAL: dict[str, Any] = {"need": True, "loss": 0, "source": "assumption", "also": [], "choices": []}


def bundle(checklist: Checklist) -> Bundle:
    """The checklist as plain values: whole numbers and text only, hash included."""
    items = [_full(item, checklist) for item in sorted(checklist.items, key=_walked)]
    rest: dict[str, Any] = {
        "format": FORMAT,
        "areas": [
            {"id": area.area, "title": area.title, "report_order": area.report_order}
            for area in checklist.areas
        ],
        "stages": [{"id": stage, "title": title} for stage, title in STAGES.items()],
        "items": [{key: item[key] for key in item if key not in UNSHOWN} for item in items],
        "sources": {
            key: source.model_dump(mode="json", exclude_none=True)
            for key, source in checklist.sources.items()
        },
        "cautions": {
            key: caution.model_dump(mode="json") for key, caution in checklist.cautions.items()
        },
        "profile": [_group(group, items) for group in checklist.profile],
        "rules": {
            "items": {item["id"]: _slim(n, item, checklist) for n, item in enumerate(items)},
            "areas": [{"id": area.area, "title": area.title} for area in checklist.areas],
            **_tables(checklist),
        },
    }
    if checklist.calls:
        rest["calls"] = [_plain(row) for row in checklist.calls]
    if checklist.closing:
        rest["closing"] = [_plain(row) for row in checklist.closing]
    if checklist.driving is not None:
        rest["driving"] = _plain(checklist.driving)
    if checklist.load:
        rest["load"] = [_plain(row) for row in checklist.load]
    if checklist.haul is not None:
        rest["haul"] = _plain(checklist.haul)
    if checklist.week:
        rest["week"] = [_plain(row) for row in checklist.week]
    if checklist.symptoms:
        rest["symptoms"] = complaints(checklist)
    written = texts(rest)
    rest["locales"] = {
        locale: holding(overlay, written) for locale, overlay in sorted(checklist.locales.items())
    }
    recorded = {name: text for name, text in checklist.desk.items() if is_recorded(name)}
    named = {
        locale: {
            name: {recorded[name]: text}
            for name, text in holding(overlay, recorded).items()
            if text
        }
        for locale, overlay in sorted(checklist.locales.items())
    }
    if any(named.values()):
        rest["recorded"] = {locale: said for locale, said in named.items() if said}
    return cast("Bundle", {"hash": _hash(rest), **rest})


def _walked(item: Item) -> tuple[int, int]:
    """Where an item stands in the walk; what stands alike stays as it is written."""
    return list(STAGES).index(item.stage), item.order or LAST


def _tables(checklist: Checklist) -> dict[str, Any]:
    """The lists beside the items, as the judge reads them."""
    tables: dict[str, Any] = {
        "combinations": [_plain(row) for row in checklist.combinations],
        "contradictions": [_plain(row) for row in checklist.contradictions],
        "conflicts": [_plain(row) for row in checklist.conflicts],
        "histories": [_history(row) for row in checklist.histories],
        "baseline": [
            {**_plain(row), **_by_region(checklist, "upkeep", row.id)} for row in checklist.baseline
        ],
        "prices": {
            region: {
                "currency": prices.currency,
                "year": prices.year,
                **{name: getattr(prices, name).amount for name in FIGURES},
            }
            for region, prices in sorted(checklist.prices.items())
        },
        "bodies": {style: list(outlines.panels_of(style)) for style in outlines.STYLES},
    }
    if checklist.claims is not None:
        tables.update(_claims(checklist.claims))
    if checklist.lookups:
        tables["lookups"] = [_plain(row) for row in checklist.lookups]
    if checklist.wants is not None:
        tables["wants"] = [_plain(row) for row in checklist.wants.wants]
        tables["conflicts"] += [
            {"uses": row.wants, "reason": row.reason, "source": row.source}
            for row in checklist.wants.opposed
        ]
    if checklist.wires is not None:
        tables["wires"] = _wires(checklist.wires)
    if checklist.assumptions is not None:
        tables.update(_plain(checklist.assumptions))
        del tables["assumptions"]
    return tables


def _claims(claims: Claims) -> dict[str, Any]:
    """The claims, and the words that turn one around; a reader of ads asks for no language."""
    rows = _plain(claims)["claims"]
    for row in rows:
        row["words"] = [said for words in row["words"].values() for said in words]
    turned = {
        name: [said for words in spoken.values() for said in words]
        for name, spoken in (("before", claims.not_), ("behind", claims.ends))
    }
    return {"claims": rows, "turned": turned}


def _wires(wires: Wires) -> dict[str, Any]:
    """The wire table; its limits stand with the items."""
    table = _plain(wires)
    del table["limits"]
    return table


def _history(row: History) -> dict[str, Any]:
    """A history with its signs, without the lists that are empty."""
    plain = _plain(row)
    for sign in plain["signs"]:
        if not sign["unclear"]:
            del sign["unclear"]
    return plain


def _by_region(checklist: Checklist, table: str, name: str) -> dict[str, Any]:
    """What something costs, by region; the judge takes that of the visit's region."""
    found = {
        region: getattr(prices, table)[name]
        for region, prices in sorted(checklist.prices.items())
        if name in getattr(prices, table)
    }
    return {"prices": {region: _unusual(_plain(price)) for region, price in found.items()}}


def _unusual(row: dict[str, Any]) -> dict[str, Any]:
    """A row without what the judge takes it to be when it does not say otherwise."""
    return {key: value for key, value in row.items() if value != USUAL.get(key)}


def _plain(model: BaseModel) -> dict[str, Any]:
    return model.model_dump(mode="json", by_alias=True, exclude_none=True)


def _full(item: Item, checklist: Checklist) -> dict[str, Any]:
    full = {"area": item.id.split(".")[0], **_plain(item)}
    filled = {name: fact.id for fact in checklist.facts for name in fact.fills}
    for reading in full["readings"]:
        figure = filled.get(f"{item.id}/{reading['id']}")
        if figure is not None:
            reading["figure"] = figure
        if not reading["wants"]:
            del reading["wants"]
    if "wires" in item.answers and checklist.wires is not None:
        own = [(limit.of, limit.is_) for limit in item.limits]
        # before the item's own: which wire it is says more than how many there are
        full["limits"] = [
            *(
                _plain(limit)
                for limit in checklist.wires.limits
                if (limit.of, limit.is_) not in own
            ),
            *full["limits"],
        ]
    for row in [*full["limits"], *full["choices"]]:
        for key in row.pop("source"):
            row.setdefault("source", key)
            region = checklist.sources[key].region
            if region is not None:
                row.setdefault("law", {})[region] = key
    return full


def _group(group: ProfileGroup, items: list[dict[str, Any]]) -> dict[str, Any]:
    """A group of the profile; a figure is asked as the first reading that it fills."""
    shapes = {f"{item['id']}/{row['id']}": row for item in items for row in item["readings"]}
    facts = []
    for fact in group.facts:
        row = {key: value for key, value in _plain(fact).items() if value not in ([], {})}
        if fact.fills:
            shape = shapes[fact.fills[0]]
            row["reading"] = {key: shape[key] for key in SHAPE if key in shape}
        facts.append(row)
    return {"id": group.id, "title": group.title, "facts": facts}


def _slim(order: int, item: dict[str, Any], checklist: Checklist) -> dict[str, Any]:
    # The judge's engines do not keep the order of a JSON object, so each item carries its place.
    slim: dict[str, Any] = {"area": item["area"], "title": item["title"], "order": order}
    for key in SLIM:
        # Empty means absent, so that the phone loads no thousand empty lists.
        if item.get(key) not in (None, [], {}):
            slim[key] = item[key]
    if item["remedies"]:
        slim["remedies"] = [
            {
                **_unusual(remedy),
                **_by_region(checklist, "work", f"{item['id']}/{remedy['id']}"),
            }
            for remedy in item["remedies"]
        ]
    if item["effects"]:
        slim["effects"] = [{key: e[key] for key in e if e[key] != []} for e in item["effects"]]
    if item.get("unseen"):
        slim["unseen"] = {**item["unseen"], **_by_region(checklist, "unseen", item["id"])}
    if item["choices"]:
        slim["choices"] = [
            {key: choice[key] for key in ("id", "title", "grade", "source", "law") if key in choice}
            for choice in item["choices"]
        ]
    return slim


def _hash(value: Any) -> str:
    """SHA-256 of RFC 8785 JSON.

    Keys are ASCII and numbers whole, so the standard library's sorted, compact form is that form.
    """
    text = json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()
