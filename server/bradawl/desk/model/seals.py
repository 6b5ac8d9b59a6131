"""Who signed, what was written afterwards, and entries of phones that nobody confirmed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from bradawl.desk.model.labels import label
from bradawl.desk.model.photo_views import NameOf
from bradawl.desk.model.recorded import event_text, rank_of, said_value, value
from bradawl.inspection import cell_values
from bradawl.inspection.said import clock_text
from bradawl.inspection.seals import open_at_lock
from bradawl.inspection.snapshot import Snapshot
from bradawl.language import text


def amendments(snapshot: Snapshot, name_of: NameOf) -> list[dict[str, Any]]:
    """What was recorded after the seal, newest last; the workshop's own pages are left out."""
    return [
        {
            "label": label(event["put"], snapshot.texts),
            "text": event_text(event, snapshot),
            "before": _sealed_text(snapshot, event["put"]),
            "author": name_of(event["device"]),
            "unconfirmed": event["device"] in snapshot.unconfirmed,
            "at": rank_of(event),
            "why": reason_of(snapshot, event["put"]),
        }
        for event in snapshot.amendments
        if not event["put"].startswith(
            ("work/", "plan/", "trouble/", "ledger/", "life/", "parts/", "amend/", "settled/")
        )
    ]


def reason_of(snapshot: Snapshot, path: str) -> str:
    """Why what stands at a path was corrected at the desk; "" where nobody said."""
    given = cell_values.mapping(value(snapshot, f"amend/{path}"))
    return cell_values.words(given.get("why"))


def _sealed_text(snapshot: Snapshot, path: str) -> str:
    cell = (snapshot.sealed_cells or {}).get(path)
    if cell is None:
        return ""
    if cell.get("erased"):
        return text("desk-value-erased")
    return said_value(snapshot, path, cell["value"])


def unconfirmed(snapshot: Snapshot, name_of: NameOf) -> list[dict[str, Any]]:
    """Per device whose entries wait for the owner: its name, and how many count here."""
    return [
        {
            "device": device,
            "name": name_of(device),
            "count": sum(
                event["device"] == device and not event.get("fenced") for event in snapshot.events
            ),
        }
        for device in sorted(snapshot.unconfirmed)
    ]


def seals(snapshot: Snapshot, name_of: NameOf) -> list[dict[str, Any]]:
    """Each seal: whether it holds, who signed and when, and the drawn signature as SVG paths."""
    rows = []
    for seal in snapshot.seals:
        wide, high = cell_values.box(seal.value.get("box"))
        when = cell_values.moment(seal.value.get("at"))
        rows.append(
            {
                "n": seal.n,
                "holds": seal.holds,
                "problem": seal.problem,
                "name": cell_values.words(seal.value.get("name")),
                "when": clock_text(when),
                "device": name_of(seal.device),
                "open": open_at_lock(seal.value),
                "digest": cell_values.text(seal.value.get("leaves")),
                "view_box": f"0 0 {wide} {high}",
                "strokes": list(stroke_paths(seal.value.get("strokes"))),
            }
        )
    return rows


def stroke_paths(strokes: Any) -> Iterable[str]:
    """Path data of a drawn signature."""
    for stroke in cell_values.strokes(strokes):
        points = [f"{x} {y}" for x, y in zip(stroke[::2], stroke[1::2], strict=True)]
        # a dot is a stroke too: drawn to itself, its round cap shows
        yield "M" + "L".join(points if len(points) > 1 else points * 2)
