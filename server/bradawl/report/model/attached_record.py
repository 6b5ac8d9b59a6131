"""The record attached to a report: what is shown, and the hashes of what is not.

Read again by `checking/record_proof.py`; holds nothing that the edition leaves out.
"""

from __future__ import annotations

import hashlib

import msgspec

from bradawl.common.display_text import as_json
from bradawl.language import spoken
from bradawl.report.model.editions.edition import EditionView

__all__ = ["attached_record", "record_digest"]


def attached_record(view: EditionView) -> bytes:
    """The record (format 3) as indented JSON; what the judge left unsaid has its text beside it."""
    recorded_items = {path.split("/")[1] for path in view.cells if path.startswith("items/")}
    record = {
        **_record(view),
        "titles": {
            str(item["id"]): str(item["title"])
            for item in view.bundle.get("items", [])
            if item["id"] in recorded_items
        },
        "assessment": spoken(view.assessment, view.texts),
    }
    # the standard library indents slowly
    return msgspec.json.format(as_json(record, sort_keys=True), indent=1)


def record_digest(view: EditionView) -> str:
    """The SHA-256 of what a report says, the same in every language."""
    return hashlib.sha256(as_json(_record(view), sort_keys=True)).hexdigest()


def _record(view: EditionView) -> dict[str, object]:
    """What is the same in every language."""
    return {
        "format": 3,
        "edition": view.edition,
        "visit": view.visit,
        "shown": view.shown,
        "withheld": view.withheld,
        "set_aside": view.set_aside,
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
                **({"erased": True} if event.get("erased") else {}),
            }
            for event in view.amendments
        ],
        "bundle": view.bundle.get("hash", ""),
        "assessment": view.assessment,
        # a checker that judges all of it is told that the price is of another day
        **({"bought": view.bought.day} if view.bought and view.bought.day else {}),
    }
