"""Checks the record attached to a report against the seal that it carries; anyone may.

The seal names the hash of all its leaves and is signed by the phone that took the record; each
entry that is shown comes with what its leaf is made of. So nothing of the workshop's is needed,
and an edition that leaves entries out proves the rest as well as a whole one.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any

from bradawl.common.device_keys import decoded, encoded
from bradawl.common.display_text import quoted
from bradawl.inspection.seals import digest_of, former_kind, hashed, is_signed, leaf_of
from bradawl.judge import WITHHELD_KINDS, canonical, entry_kind
from bradawl.language import Message, message, text
from bradawl.report.signing.certificates import grouped
from bradawl.report.signing.trust_store import TrustStore

__all__ = ["check_record"]

SALT_BYTES = 16


def check_record(record: Mapping[str, Any], trust: TrustStore) -> tuple[bool, list[Message]]:
    """Whether a record (format 3) is what its last seal covers, with sentences.

    Raises KeyError, TypeError, ValueError and the like for a record of another shape.
    """
    forbidden = sorted({str(kind) for kind, _ in record["withheld"]} - set(WITHHELD_KINDS))
    if forbidden:
        return False, [message("report-verify-withheld", kind=quoted(forbidden[0]))]
    # an older seal has some entries under the kind that they had then
    leaves = [_leaves(record, entry_kind), _leaves(record, former_kind)]
    seals = record["seals"]
    if not seals:
        return True, [message("report-verify-look-unsigned")]
    seal, device = seals[-1]["value"], str(seals[-1]["device"])
    if not is_signed(f"inspection/{record['visit']}", device, seal):
        return False, [message("report-verify-seal-key")]
    if seal.get("leaves") not in map(digest_of, leaves):
        return False, [message("report-verify-seal-record")]
    own_seals = trust.seals(str(record["visit"]))
    if own_seals is not None and seal["leaves"] not in own_seals:
        return False, [message("report-verify-seal-other")]
    lines = [*_coverage_lines(record, seal), _key_line(device, trust)]
    if own_seals is not None:
        lines.append(message("report-verify-seal-same"))
    return True, lines


def _leaves(record: Mapping[str, Any], kind_of: Callable[[str], str]) -> list[str]:
    """The sorted leaves of all that a record shows, sets aside and withholds."""
    shown = [
        (path, stamp, _commitment(salt, recorded))
        for path, stamp, salt, recorded in record["shown"]
    ]
    named = [
        leaf_of(kind_of(path), hashed(canonical([path, stamp, commitment])))
        for path, stamp, commitment in (*shown, *record["set_aside"])
    ]
    return sorted([*named, *(leaf_of(kind, hidden) for kind, hidden in record["withheld"])])


def _commitment(salt: str, recorded: str) -> str:
    """The commitment of a value that is shown. Raises ValueError for a salt that is none."""
    raw_salt = decoded(salt, SALT_BYTES)
    if raw_salt is None:
        raise ValueError("A salt is 16 bytes in base64url.")
    return encoded(hashlib.sha256(raw_salt + recorded.encode()).digest())


def _coverage_lines(record: Mapping[str, Any], seal: Mapping[str, Any]) -> list[Message]:
    """How much of what was signed is shown, and of which kinds the rest is."""
    said = str(seal.get("name") or "")
    name = quoted(said) if said else text("report-verify-inspector")
    kinds = Counter(str(kind) for kind, _ in record["withheld"])
    hidden = kinds.total() + len(record["set_aside"])
    if not hidden:
        return [message("report-verify-all-shown", name=name)]
    erased = int((record.get("left_out") or {}).get("erased", 0))
    shown = len(record["shown"])
    counts = {"shown": shown, "sealed": shown + hidden, "left": hidden}
    line = (
        message("report-verify-part-erased", name=name, erased=erased, **counts)
        if erased
        else message("report-verify-part-shown", name=name, **counts)
    )
    parts = [text("report-verify-kind-" + kind, count=kinds[kind]) for kind in sorted(kinds)]
    if record["set_aside"]:
        parts.append(text("report-verify-kind-fenced", count=len(record["set_aside"])))
    return [line, message("report-verify-kinds", parts=", ".join(parts))]


def _key_line(device: str, trust: TrustStore) -> Message:
    name = trust.device(device)
    digits = grouped(device[:16])
    if name:
        return message("report-verify-phone-known", name=quoted(name), digits=digits)
    return message("report-verify-phone-unknown", digits=digits)
