"""What was found that no check asks for, as items of the checklist that desk and report read."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from bradawl.judge.record.own_findings import UNTITLED, with_own
from bradawl.language import plain, text

if TYPE_CHECKING:
    from bradawl.judge.values.types import Bundle, Cells

_EMPTY_TEXTS = ("look", "how", "where", "stage")
_EMPTY_LISTS = ("readings", "choices", "limits", "covers", "cautions", "needs", "stopped_by")
_LAST_AREA = 99


def beside(bundle: Bundle, cells: Cells) -> Bundle:
    """The checklist with an item for each such finding; itself where there is none."""
    rules = with_own(bundle["rules"], cells)
    if rules is bundle["rules"]:
        return bundle
    found: dict[str, Any] = {
        item: {**rule, "id": item, "title": rule["title"] or text(UNTITLED["term"])}
        for item, rule in rules["items"].items()
        if rule.get("own")
    }
    full = [
        {**dict.fromkeys(_EMPTY_TEXTS, ""), **{name: [] for name in _EMPTY_LISTS}, **rule}
        for rule in found.values()
    ]
    known = {area["id"] for area in bundle["areas"]}
    missing = sorted({rule["area"] for rule in found.values()} - known)
    areas: list[Any] = [
        {"id": area, "title": plain(area), "report_order": _LAST_AREA} for area in missing
    ]
    own: Any = {
        **bundle,
        "areas": [*bundle["areas"], *areas],
        "items": [*bundle["items"], *full],
        "rules": {**rules, "items": {**rules["items"], **found}},
    }
    return cast("Bundle", own)
