"""Checks the record attached to a report against the seal that it carries; anyone may.

The seal names the hash of all its leaves and is signed by the phone that took the record; each
entry that is shown comes with what its leaf is made of. So nothing of the workshop's is needed,
and an edition that leaves entries out proves the rest as well as a whole one.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

from bradawl.common.device_keys import decoded, encoded
from bradawl.inspection.seals import digest_of, is_signed, leaf_of
from bradawl.judge import canonical
from bradawl.language import text
from bradawl.report.signing.certificates import grouped
from bradawl.report.signing.ledger import Entry

__all__ = ["TrustStore", "check_record"]

SALT_BYTES = 16


@dataclass(frozen=True)
class TrustStore:
    """What this shop knows: names by certificate fingerprint, and its own seals by visit.

    `seals` gives the `leaves` of each seal of a visit that holds; None when the visit is not here.
    `newer` gives the report that replaced the one of a number, None where none did. `device` names
    a phone by its id, one that is not known here with an empty text.
    """

    certificates: Mapping[str, str] = field(default_factory=dict)
    seals: Callable[[str], Collection[str] | None] = lambda visit: None
    newer: Callable[[str], Entry | None] = lambda number: None
    device: Callable[[str], str] = lambda device: ""


def check_record(record: Mapping[str, Any], trust: TrustStore) -> tuple[bool, list[str]]:
    """Whether a record (format 2) is what its last seal covers, with sentences.

    Raises KeyError, TypeError, ValueError and the like for a record of another shape.
    """
    leaves = [str(leaf) for leaf in record["leaves"]]
    known_leaves = frozenset(leaves)
    outside = [
        path
        for path, stamp, salt, recorded in record["shown"]
        if _leaf(path, stamp, salt, recorded) not in known_leaves
    ]
    if outside:
        said = text("report-verify-outside", count=len(outside), example=str(outside[0]))
        return False, [said]
    seals = record["seals"]
    if not seals:
        return True, [text("report-verify-look-unsigned")]
    seal, device = seals[-1]["value"], str(seals[-1]["device"])
    if not is_signed(f"inspection/{record['visit']}", device, seal):
        return False, [text("report-verify-seal-key")]
    if digest_of(leaves) != seal.get("leaves"):
        return False, [text("report-verify-seal-record")]
    own_seals = trust.seals(str(record["visit"]))
    if own_seals is not None and seal["leaves"] not in own_seals:
        return False, [text("report-verify-seal-other")]
    lines = [_coverage_line(record, seal), _key_line(device, trust)]
    if own_seals is not None:
        lines.append(text("report-verify-seal-same"))
    return True, lines


def _leaf(path: str, stamp: str, salt: str, recorded: str) -> str:
    """The leaf of an entry that is shown. Raises ValueError for a salt that is none."""
    raw_salt = decoded(salt, SALT_BYTES)
    if raw_salt is None:
        raise ValueError("A salt is 16 bytes in base64url.")
    commitment = encoded(hashlib.sha256(raw_salt + recorded.encode()).digest())
    return leaf_of(canonical([path, stamp, commitment]))


def _coverage_line(record: Mapping[str, Any], seal: Mapping[str, Any]) -> str:
    name = str(seal.get("name") or text("report-verify-inspector"))
    shown, sealed = len(record["shown"]), len(record["leaves"])
    if shown == sealed:
        return text("report-verify-all-shown", name=name)
    erased = int((record.get("left_out") or {}).get("erased", 0))
    counts = {"shown": shown, "sealed": sealed, "left": sealed - shown}
    if erased:
        return text("report-verify-part-erased", name=name, erased=erased, **counts)
    return text("report-verify-part-shown", name=name, **counts)


def _key_line(device: str, trust: TrustStore) -> str:
    name = trust.device(device)
    digits = grouped(device[:16])
    if name:
        return text("report-verify-phone-known", name=name, digits=digits)
    return text("report-verify-phone-unknown", digits=digits)
