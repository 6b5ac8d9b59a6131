"""Trust for `bradawl verify`: known certificates, sealed records, newer editions."""

from __future__ import annotations

import logging
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from bradawl.common.errors import ApiError
from bradawl.operations import note
from bradawl.report.signing.keys import SHOP_FILE, SigningError, open_signer
from bradawl.report.signing.known_signers import known_keys
from bradawl.report.signing.ledger import Ledger
from bradawl.report.signing.trust_store import KnownKey, TrustStore

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Snapshot

__all__ = ["ledger_in", "trust_for"]

logger = logging.getLogger(__name__)

LEDGER_NAME = "reports.jsonl"


def ledger_in(data: Path) -> Ledger:
    """The ledger of issued reports in a data folder."""
    return Ledger(data / LEDGER_NAME)


def trust_for(
    data: Path,
    keys: Path,
    snapshots: Callable[[str], Snapshot] | None = None,
    name_of: Callable[[str], str] = lambda _device: "",
) -> TrustStore:
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
        known = known_keys(data)
    except ApiError as error:
        # strangers then; the desk's page about keys says what is wrong with the list
        note(logger, "signers.unreadable", level=logging.WARNING, why=error.message)
        known = {}
    if (keys / SHOP_FILE).exists():
        try:
            shop = open_signer(keys)
            lost = known[shop.fingerprint].lost if shop.fingerprint in known else ""
            known[shop.fingerprint] = KnownKey(shop.name, own=True, lost=lost)
        except (SigningError, OSError) as error:
            note(logger, "signers.unreadable", level=logging.WARNING, why=str(error))
    ledger = ledger_in(data)
    return TrustStore(
        keys=known,
        seals=seals,
        issued=ledger.find,
        newer=ledger.newer,
        device=name_of,
    )
