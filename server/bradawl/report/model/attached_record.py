"""The record attached to a report: what was shown, and the leaves by which it proves itself.

Read again by `signing/record_proof.py`; holds nothing that the edition leaves out.
"""

from __future__ import annotations

import msgspec

from bradawl.common.display_text import as_json
from bradawl.language import spoken
from bradawl.report.model.edition import EditionView

__all__ = ["attached_record"]


def attached_record(view: EditionView) -> bytes:
    """The record (format 2) as indented JSON."""
    recorded_items = {path.split("/")[1] for path in view.cells if path.startswith("items/")}
    record: dict[str, object] = {
        "format": 2,
        "edition": view.edition,
        "visit": view.visit,
        "leaves": view.leaves,
        "shown": view.shown,
        "left_out": view.left_out,
        "erased": view.erased_by_day(),
        "unconfirmed": view.unconfirmed,
        "seals": [
            {
                "n": seal.n,
                "at": seal.at,
                "device": seal.device,
                "by": view.devices.get(seal.device) or view.signer_with(seal.device),
                "value": seal.value,
                "held": seal.holds,
            }
            for seal in view.seals
        ],
        "amendments": [
            {
                **{key: event[key] for key in ("put", "device", "value")},
                "at": event.get("rank") or event["at"],
            }
            for event in view.amendments
        ],
        "bundle": view.bundle.get("hash", ""),
        "titles": {
            str(item["id"]): str(item["title"])
            for item in view.bundle.get("items", [])
            if item["id"] in recorded_items
        },
        "assessment": spoken(view.assessment, view.texts),
    }
    # the standard library indents slowly
    return msgspec.json.format(as_json(record, sort_keys=True), indent=1)
