"""The entries of one inspection in words, the newest first, and what became of each."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bradawl.desk.model import recorded
from bradawl.desk.model.labels import label
from bradawl.desk.model.photo_views import NameOf
from bradawl.desk.model.records.chains import fence_of
from bradawl.inspection.snapshot import Snapshot


def history_rows(
    snapshot: Snapshot, first: int, count: int, name_of: NameOf, orders: Mapping[str, Any]
) -> list[dict[str, Any]]:
    """`count` entries from the `first` on, the newest at 0; `orders` are the shop's."""
    events = sorted(snapshot.events, key=recorded.rank_of, reverse=True)[first : first + count]
    names = {device: name_of(device) for device in {event["device"] for event in events}}
    return [
        {
            "device": event["device"],
            "seq": event["seq"],
            "author": names[event["device"]],
            "at": recorded.rank_of(event),
            "corrected": "rank" in event,
            "label": label(event["put"], snapshot.texts),
            "text": recorded.event_text(event, snapshot),
            "unconfirmed": event["device"] in snapshot.unconfirmed,
            "fence": fence_of(orders, event["device"], event["seq"]),
        }
        for event in events
    ]
