"""The reasons to pay less in the judge's groups, each with its place on the car.

The phone does the same in `web/src/app/visit/paying-less.ts`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bradawl.inspection import cell_values
from bradawl.inspection.on_car import named_places
from bradawl.language import argument, place, text

__all__ = ["PriceGroup", "PriceReason", "groups", "where_of"]

#: These are shown with nothing in them too.
_ALWAYS = ("safety", "structure", "wear", "service")
#: More places than this are told by the check's own words.
FEW = 4


@dataclass(frozen=True)
class PriceReason:
    """A job, what was found and where ("" where nobody says), and what it is expected to cost.

    `id` is of the job's line, "" in a judgment of an older judge. `item` is the first finding that
    it puts right, "" for none; `said` all of it in one sentence.
    """

    title: str
    why: str
    where: str
    amount: int
    item: str
    said: str
    id: str = ""


@dataclass(frozen=True)
class PriceGroup:
    """The reasons of one group and their sum; all sums together are the expected work."""

    name: str
    amount: int
    reasons: list[PriceReason]

    @property
    def title(self) -> str:
        return text("phone-decide-group-" + self.name)


def where_of(
    item: str, reasons: object, cells: Mapping[str, Any], items: Iterable[Mapping[str, Any]]
) -> str:
    """Where a finding is: as it was measured or photographed, else where its check looks.

    `items` are a bundle's, in the reader's language.
    """
    start = f"items/{item}/photos/"
    pictured = [
        cell_values.words(cell_values.mapping(cell.get("value")).get("place"))
        for path, cell in sorted(cells.items())
        if path.startswith(start)
    ]
    places = list(dict.fromkeys(named_places(reasons))) or [one for one in pictured if one]
    places = list(dict.fromkeys(places))
    if 0 < len(places) <= FEW:
        return ", ".join(place(one) for one in places)
    check = next((one for one in items if one.get("id") == item), {})
    # what is looked at on paper is nowhere on the car
    return "" if check.get("on_car") == [] else str(check.get("where") or "")


def groups(
    money: Mapping[str, Any],
    texts: Mapping[str, Any],
    where: Callable[[str], str],
    said: Callable[[Mapping[str, Any]], str],
) -> list[PriceGroup]:
    """The groups of a judged sum of money; none where there is no reason, or none has a group.

    `where` says where a finding is, `said` what the judge left unsaid of one argument.
    """
    price = cell_values.mapping(money.get("price"))
    rows: Sequence[Mapping[str, Any]] = price.get("arguments") or []
    sums = {row["group"]: row["amount"] for row in price.get("groups") or []}
    if not rows or not sums:
        return []
    return [
        PriceGroup(
            name,
            sums.get(name, 0),
            [_reason(row, texts, where, said) for row in rows if row.get("group") == name],
        )
        for name in dict.fromkeys([*_ALWAYS, *sums])
    ]


def _reason(
    row: Mapping[str, Any],
    texts: Mapping[str, Any],
    where: Callable[[str], str],
    said: Callable[[Mapping[str, Any]], str],
) -> PriceReason:
    told = row["said"].get("args") or {}
    why = str(argument(told["why"], texts)) if "why" in told else ""
    covers = row.get("covers") or [item for item in [row["item"]] if item]
    places = list(dict.fromkeys(where(item) for item in covers))
    return PriceReason(
        title=str(argument(told.get("title") or "", texts)),
        why=why,
        where="; ".join(
            one
            for one in places
            if one
            and one.casefold() not in why.casefold()
            and not any(one in other for other in places if other != one)
        ),
        amount=row["amount"],
        item=covers[0] if covers else "",
        said=said(row),
        id=str(row.get("id") or ""),
    )
