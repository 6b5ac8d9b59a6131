"""What one workshop knows when it checks a report: its keys, its visits, what it issued."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bradawl.errors import ApiError
from bradawl.judgement import covered, fold
from bradawl.report.ledger import Ledger
from bradawl.report.signers import read_known
from bradawl.report.signing import known_certificates
from bradawl.report.verifying import Known

if TYPE_CHECKING:
    from bradawl.dossier import Dossier

LEDGER_NAME = "reports.jsonl"


def ledger_in(data: Path) -> Ledger:
    """The ledger of issued reports in a data folder."""
    return Ledger(data / LEDGER_NAME)


def known_in(data: Path, keys: Path, dossiers: Callable[[str], Dossier] | None = None) -> Known:
    """What the workshop with this data folder and this folder of keys knows.

    `dossiers` gives a visit's dossier and raises LookupError for one that is not here.
    """

    def sealed(visit: str, digest: str) -> Mapping[str, Mapping[str, Any] | None] | None:
        if dossiers is None:
            return None
        try:
            dossier = dossiers(visit)
        except LookupError:
            return None
        for seal in dossier.seals:
            if seal.holds and seal.value.get("record") == digest:
                return {
                    path: None if path in dossier.forgotten else cell
                    for path, cell in fold(
                        covered(dossier.events, seal.value.get("through"))
                    ).items()
                }
        return {}

    try:
        known = read_known(data)
    except ApiError:
        known = {}  # strangers then; the desk's page about keys says what is wrong with the list
    return Known(
        certificates={**known, **known_certificates(keys)},
        sealed=sealed,
        newer=ledger_in(data).newer,
    )
