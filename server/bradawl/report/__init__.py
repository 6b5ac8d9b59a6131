"""The report: pages for a stranger, signed, and checked again later.

Heavy libraries (reportlab, pikepdf, pyHanko) are imported when a report is made or checked.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from bradawl.common.lazy_imports import deferred

if TYPE_CHECKING:
    from bradawl.report.issue import Issued, build, write_report
    from bradawl.report.model.edition import EDITIONS, Choice, Edition
    from bradawl.report.signing.keys import KNOWN_NAME, Signers
    from bradawl.report.signing.record_proof import Known
    from bradawl.report.signing.signatures import Signer, SigningError, countersign, open_signer
    from bradawl.report.signing.trust import known_in, ledger_in
    from bradawl.report.signing.verification import Verdict, verify

__all__ = [
    "EDITIONS",
    "KNOWN_NAME",
    "Choice",
    "Edition",
    "Issued",
    "Known",
    "Signer",
    "Signers",
    "SigningError",
    "Verdict",
    "build",
    "countersign",
    "known_in",
    "ledger_in",
    "open_signer",
    "verify",
    "write_report",
]

__getattr__ = deferred(
    __name__,
    {
        "issue": ("Issued", "build", "write_report"),
        "signing.trust": ("known_in", "ledger_in"),
        "model.edition": ("EDITIONS", "Choice", "Edition"),
        "signing.keys": ("KNOWN_NAME", "Signers"),
        "signing.signatures": ("Signer", "SigningError", "countersign", "open_signer"),
        "signing.record_proof": ("Known",),
        "signing.verification": ("Verdict", "verify"),
    },
)
