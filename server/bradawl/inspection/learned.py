"""What such jobs came to in this shop, put into the checklist's figures as a per cent of them.

Whatever rose before rises after, since all three figures take the same per cent.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, cast

from bradawl.judge.costs.estimates import hundredths
from bradawl.judge.values.exact import half_up

if TYPE_CHECKING:
    from bradawl.judge.values.types import Rules, Shift

FULL = 100


def shifted(parts: list[int], hours: list[str], shift: Shift) -> tuple[list[int], list[str]]:
    """Parts and hours at their per cents, half up; hours that stay are as they were typed."""
    moved = [half_up((amount * shift["parts"], FULL), 0) for amount in parts]
    if shift["hours"] == FULL:
        return moved, hours
    totals = [half_up((hundredths(typed) * shift["hours"], FULL), 0) for typed in hours]
    return moved, [f"{total // 100}.{total % 100:02d}" for total in totals]


def rules_with(rules: Rules, shifts: Mapping[str, Shift]) -> Rules:
    """The rules of a region with their remedies and maintenance at what they came to."""
    if not shifts:
        return rules
    local: Any = dict(rules)
    local["items"] = dict(rules["items"])
    for item in {name.partition("/")[0] for name in shifts} & set(local["items"]):
        rule = local["items"][item]
        ways = [_shifted(way, shifts.get(f"{item}/{way['id']}")) for way in rule["remedies"] or ()]
        local["items"][item] = {**rule, "remedies": ways}
    local["baseline"] = [
        _shifted(row, shifts.get(f"baseline/{row['id']}")) for row in rules.get("baseline") or ()
    ]
    return cast("Rules", local)


def _shifted(row: Any, shift: Shift | None) -> Any:
    """A remedy, with what each further piece or a kind of wire takes on top."""
    if shift is None:
        return row
    moved = dict(row)
    if "parts" in row and "hours" in row:
        moved["parts"], moved["hours"] = shifted(row["parts"], row["hours"], shift)
    if row.get("each"):
        moved["each"] = _shifted(row["each"], shift)
    if row.get("kinds"):
        moved["kinds"] = {kind: _shifted(price, shift) for kind, price in row["kinds"].items()}
    return moved
