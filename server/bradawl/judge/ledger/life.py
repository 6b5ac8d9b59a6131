"""The life of a car: looking, bought, sold; one cell at life/state, whose history the log keeps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import fields

if TYPE_CHECKING:
    from ..values.types import Cells, Event, Json, LifeState, LifeStep

STATES: tuple[LifeState, ...] = (
    "looking",
    "passed",
    "bought",
    "in_shop",
    "waiting",
    "on_road",
    "for_sale",
    "sold",
    "parts_car",
)
#: States of a car that is the shop's own.
OWNED = ("bought", "in_shop", "waiting", "on_road", "for_sale", "parts_car")
PATH = "life/state"


def read(value: Json, at: str = "") -> LifeStep:
    """One step as it was recorded; a car of which nobody said anything is looked at."""
    told = value if isinstance(value, dict) else {}
    state: LifeState = "looking"
    for known in STATES:
        if told.get("state") == known:
            state = known
    price = fields.cents(told.get("price_cents"))
    return {"state": state, "date": fields.day(told.get("date")), "price_cents": price, "at": at}


def now(cells: Cells) -> LifeStep:
    """Where the car stands."""
    cell = cells.get(PATH)
    return read(cell["value"], cell["at"]) if cell is not None else read(None)


def steps(events: list[Event]) -> list[LifeStep]:
    """Every step that was recorded, the oldest first."""
    found: dict[tuple[str, str], Json] = {}
    for event in events:
        if event["put"] == PATH and not event.get("fenced") and not event.get("erased"):
            found[(event.get("rank") or event["at"], event["commit"])] = event["value"]
    return [read(found[key], key[0]) for key in sorted(found) if found[key] is not None]


def _since(listed: list[LifeStep]) -> list[LifeStep]:
    """The steps since the car was last said to be looked at or passed: of one purchase."""
    own: list[LifeStep] = []
    for step in listed:
        own = [] if step["state"] in ("looking", "passed") else own + [step]
    return own


def bought(listed: list[LifeStep]) -> LifeStep | None:
    """The step at which the car became the shop's, with the price as it was last put right."""
    own = _since(listed)
    if not own:
        return None
    first = own[0].copy()
    for step in own:
        if step["state"] == "bought":
            if step["price_cents"] is not None:
                first["price_cents"] = step["price_cents"]
            first["date"] = step["date"] or first["date"]
    if first["state"] == "sold":
        first["price_cents"] = None
    return first


def sold(listed: list[LifeStep]) -> LifeStep | None:
    """The step at which it was sold; None where it is not, or no longer."""
    own = _since(listed)
    return own[-1] if own and own[-1]["state"] == "sold" else None
