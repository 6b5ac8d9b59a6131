"""What one workshop knows when it checks a report: its keys, its visits, what it issued."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from bradawl.common.errors import ApiError
from bradawl.report.signing.keys import read_known
from bradawl.report.signing.ledger import Ledger
from bradawl.report.signing.record_proof import Known
from bradawl.report.signing.signatures import known_certificates

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Snapshot

LEDGER_NAME = "reports.jsonl"


def ledger_in(data: Path) -> Ledger:
    """The ledger of issued reports in a data folder."""
    return Ledger(data / LEDGER_NAME)


def known_in(
    data: Path,
    keys: Path,
    snapshots: Callable[[str], Snapshot] | None = None,
    name_of: Callable[[str], str] = lambda _device: "",
) -> Known:
    """What the workshop with this data folder and this folder of keys knows.

    `snapshots` gives a visit's snapshot and raises LookupError for one that is not here; `name_of`
    names a phone that is known here, others with an empty text.
    """

    def seals(visit: str) -> frozenset[str] | None:
        if snapshots is None:
            return None
        try:
            snapshot = snapshots(visit)
        except LookupError:
            return None
        return frozenset(str(seal.value.get("leaves")) for seal in snapshot.seals if seal.holds)

    try:
        known = read_known(data)
    except ApiError:
        known = {}  # strangers then; the desk's page about keys says what is wrong with the list
    return Known(
        certificates={**known, **known_certificates(keys)},
        seals=seals,
        newer=ledger_in(data).newer,
        device=name_of,
    )
