"""The report: pages for a stranger, signed, and checked again later.

Heavy libraries (reportlab, pikepdf, pyHanko) are imported when a report is made or checked.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from bradawl.deferred import deferred

if TYPE_CHECKING:
    from bradawl.report.issue import Issued, build, write_report
    from bradawl.report.known import known_in, ledger_in
    from bradawl.report.proving import Known
    from bradawl.report.sharing import EDITIONS, Choice, Edition
    from bradawl.report.signers import KNOWN_NAME, Signers
    from bradawl.report.signing import Signer, SigningError, countersign, open_signer
    from bradawl.report.verifying import Verdict, verify

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
        "known": ("known_in", "ledger_in"),
        "sharing": ("EDITIONS", "Choice", "Edition"),
        "signers": ("KNOWN_NAME", "Signers"),
        "signing": ("Signer", "SigningError", "countersign", "open_signer"),
        "proving": ("Known",),
        "verifying": ("Verdict", "verify"),
    },
)
