"""At which places of the drawn car a finding lies: where its fault was seen, else its item's.

The phone does the same in `web/src/app/visit/body/car-places.ts`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from bradawl.design import outlines
from bradawl.design.outlines import BodyStyle
from bradawl.inspection import cell_values

__all__ = ["body_style", "named_places", "places_of_finding"]

#: More places than this do not say where.
TELLING = 4


def body_style(cells: Mapping[str, Any]) -> BodyStyle:
    """The style of a visit's car; that of an unknown car where none was recorded."""
    cell = cells.get("car/body_style") or {}
    return outlines.style_of(cell_values.words(cell.get("value")))


def places_of_finding(
    item: Mapping[str, Any],
    reasons: object,
    photographed: Sequence[str],
    style: BodyStyle,
) -> tuple[str, ...]:
    """Panels and places of `style`, those first that the judge's reasons or photos name.

    `item` is one of a bundle, `reasons` those of its judgment. Empty: at no place of the car.
    """
    known = {*outlines.panels_of(style), *outlines.places_of(style)}
    named = [*named_places(reasons), *photographed]
    told = dict.fromkeys(at for place in named for at in _drawn(item, place, known))
    if told:
        return tuple(told)
    lies = [place for place in item.get("on_car") or [] if place in known]
    on_map = item.get("body_map") or {}
    lies += [panel for panel in on_map.get("panels") or [] if panel in known]
    lies += [
        panel
        for panels in (on_map.get("places") or {}).values()
        for panel in panels
        if panel in known
    ]
    lies = list(dict.fromkeys(lies))
    return tuple(lies[:1] if len(lies) > TELLING else lies)


def named_places(said: object) -> Iterator[str]:
    """Every place that is named within what the judge says."""
    if isinstance(said, Mapping):
        for key, value in said.items():
            if key in ("at", "place") and isinstance(value, str):
                yield value
            else:
                yield from named_places(value)
    elif isinstance(said, Sequence) and not isinstance(said, str):
        for value in said:
            yield from named_places(value)


def _drawn(item: Mapping[str, Any], place: str, known: set[str]) -> list[str]:
    """The drawn places of one that was recorded: its own, or those of which it is a part."""
    told = ((item.get("body_map") or {}).get("places") or {}).get(place)
    if told:
        return [panel for panel in told if panel in known]
    parts = place.split("-")
    for count in range(len(parts), 0, -1):
        name = "-".join(parts[:count])
        if name in known:
            return [name]
    return []
