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
from bradawl.report.model.texts import counted

__all__ = ["TrustStore", "check_record"]

SALT_BYTES = 16


@dataclass(frozen=True)
class TrustStore:
    """What this shop knows: names by certificate fingerprint, and its own seals by visit.

    `seals` gives the `leaves` of each seal of a visit that holds; None when the visit is not here.
    `newer` gives a sentence when a report number was replaced. `device` names a phone by its id,
    one that is not known here with an empty text.
    """

    certificates: Mapping[str, str] = field(default_factory=dict)
    seals: Callable[[str], Collection[str] | None] = lambda visit: None
    newer: Callable[[str], str] = lambda number: ""
    device: Callable[[str], str] = lambda device: ""


def check_record(record: Mapping[str, Any], trust: TrustStore) -> tuple[bool, list[str]]:
    """Whether a record (format 2) is what its last seal covers, with sentences.

    Raises KeyError, TypeError, ValueError and the like for a record of another shape.
    """
    leaves = [str(leaf) for leaf in record["leaves"]]
    known_leaves = frozenset(leaves)
    outside = [
        path
        for path, stamp, salt, text in record["shown"]
        if _leaf(path, stamp, salt, text) not in known_leaves
    ]
    if outside:
        entries = counted(len(outside), "1 entry shown is", "entries shown are")
        return False, [
            f"{entries} not among those that the record stands for, such as “{outside[0]}”."
        ]
    seals = record["seals"]
    if not seals:
        return True, ["The visit was not sealed when this report was made."]
    seal, device = seals[-1]["value"], str(seals[-1]["device"])
    if not is_signed(f"inspection/{record['visit']}", device, seal):
        return False, ["The seal is not signed with the key of the phone that it names."]
    if digest_of(leaves) != seal.get("leaves"):
        return False, ["The attached record is not what the inspector sealed."]
    own_seals = trust.seals(str(record["visit"]))
    if own_seals is not None and seal["leaves"] not in own_seals:
        return False, ["The seal is not one that this shop’s own record has for the visit."]
    lines = [_coverage_line(record, seal), _key_line(device, trust)]
    if own_seals is not None:
        lines.append("This shop’s own record of the visit has the same seal.")
    return True, lines


def _leaf(path: str, stamp: str, salt: str, text: str) -> str:
    """The leaf of an entry that is shown. Raises ValueError for a salt that is none."""
    raw_salt = decoded(salt, SALT_BYTES)
    if raw_salt is None:
        raise ValueError("A salt is 16 bytes in base64url.")
    commitment = encoded(hashlib.sha256(raw_salt + text.encode()).digest())
    return leaf_of(canonical([path, stamp, commitment]))


def _coverage_line(record: Mapping[str, Any], seal: Mapping[str, Any]) -> str:
    name = seal.get("name") or "the inspector"
    shown, sealed = len(record["shown"]), len(record["leaves"])
    if shown == sealed:
        return f"The attached record is what {name} sealed, and leaves nothing out."
    erased = int((record.get("left_out") or {}).get("erased", 0))
    why = f", {erased} of them because they were erased on request" if erased else ""
    return (
        f"All {shown} entries of the attached record are among the {sealed} that {name} sealed; "
        f"this edition leaves {sealed - shown} out{why}."
    )


def _key_line(device: str, trust: TrustStore) -> str:
    name = trust.device(device)
    digits = " ".join(device[at : at + 4] for at in range(0, 16, 4)).upper()
    owner = (
        f"the key of “{name}”, a phone that this shop knows"
        if name
        else "the key of a phone that is not known here"
    )
    return f"The seal is signed with {owner} ({digits})."
