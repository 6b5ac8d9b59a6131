"""Issues a report: one visit's snapshot becomes a signed PDF file.

Here a report gets its number, and is entered in the ledger; `draft.py` writes the file. What the
pages say is decided in `model/`.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import logging
import os
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from bradawl.language import message, reading_as
from bradawl.operations import note
from bradawl.report.draft import Draft, Issued, Progress
from bradawl.report.layout.text import typeface
from bradawl.report.letterhead import Letterhead
from bradawl.report.model.attached_record import attached_record, record_digest
from bradawl.report.model.contents import ReportIdentity
from bradawl.report.model.editions.edition import (
    EDITIONS,
    Choice,
    Edition,
    EditionView,
    edition_view,
)
from bradawl.report.model.rebuild.circumstances import circumstances_of
from bradawl.report.printer import printer
from bradawl.report.printing import Printing
from bradawl.report.signing.ledger import Entry, Ledger

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Snapshot
    from bradawl.report.model.work.plan import WorkPlan
    from bradawl.report.pdf.print_copies import PrintCopies
    from bradawl.report.reprint import Reprint
    from bradawl.report.signing.keys import Signer

__all__ = ["Issued", "Progress", "write_report"]

logger = logging.getLogger(__name__)


def write_report(
    snapshot: Snapshot,
    out: Path,
    edition: Edition,
    signer: Signer | None,
    *,
    printing: Printing | None = None,
    today: str,
    choice: Choice | None = None,
    devices: Mapping[str, str] | None = None,
    ledger: Ledger | None = None,
    plan: WorkPlan | None = None,
    judge: str = "",
    letterhead: Letterhead | None = None,
    progress: Progress | None = None,
    copies: PrintCopies | None = None,
    again: Reprint | None = None,
) -> Issued:
    """Write the report on `snapshot` to `out`, signed when there is a signer.

    `printing` is how (by default as the shop usually prints), `today` YYYY-MM-DD, `choice` what a
    person lets the report say, `devices` names of devices by id. With a `ledger` the report names
    the one that it replaces (the last of the same visit and edition) and is entered there. A `plan`
    of work is printed in a partner's edition only. `judge` is the hash of the judge's files, by
    which a check page knows whether it has the same. `letterhead` is the shop's. `copies` keeps
    reduced photos for the next report. With `again` a signed report is printed again from its
    record first, and one that comes out otherwise says so. `out` appears whole or not at all. Call
    it from a worker thread: it computes, and signing must not run inside an event loop. Raises
    OSError when `out` cannot be written, ValueError for an unknown edition.
    """
    if edition not in EDITIONS:
        raise ValueError(f"no edition {edition!r}")
    printing = printing or Printing.of()
    with reading_as(printing.reader):
        return _written(
            snapshot,
            out,
            edition,
            _Asked(
                *(signer, printing, today, choice, devices, ledger, plan, judge),
                *(letterhead or Letterhead(), progress, copies, again),
            ),
        )


@dataclass(frozen=True)
class _Asked:
    """What `write_report` was asked for beside the visit and the edition."""

    signer: Signer | None
    printing: Printing
    today: str
    choice: Choice | None
    devices: Mapping[str, str] | None
    ledger: Ledger | None
    plan: WorkPlan | None
    judge: str
    letterhead: Letterhead
    progress: Progress | None
    copies: PrintCopies | None
    again: Reprint | None


def _written(snapshot: Snapshot, out: Path, edition: Edition, asked: _Asked) -> Issued:
    """The report, for the reader that is set."""
    report_progress = asked.progress or (lambda step, share: None)
    ledger = asked.ledger
    typeface.register()
    view = edition_view(snapshot, edition, asked.choice, asked.devices)
    made = dt.datetime.now(dt.UTC).replace(microsecond=0).isoformat()
    record = attached_record(view)
    entry = _entry(ledger, view, record_digest(view), today=asked.today, made=made)
    earlier = ledger.find(entry.replaces) if ledger is not None and entry.replaces else None
    replaces = (earlier.number, earlier.made) if earlier is not None else None
    identity = ReportIdentity(
        *(entry.number, made, asked.today, replaces),
        record_sha256=hashlib.sha256(record).hexdigest(),
        letterhead=tuple(asked.letterhead.lines),
        check_page=asked.letterhead.check_page,
    )
    with tempfile.TemporaryDirectory(prefix="bradawl-report-", dir=out.parent) as folder:
        file = Path(folder) / "report.pdf"
        draft = Draft(
            view,
            identity,
            asked.printing,
            asked.signer,
            asked.plan,
            asked.judge,
            report_progress,
            asked.copies,
            circumstances_of(
                view,
                identity,
                printer=printer(record.decode() + _beside_the_record(view, asked)),
                with_plan=asked.plan is not None,
            ),
        )
        if asked.again is None or asked.signer is None:
            issued = draft.write(file, record)
        else:
            issued = _signed_as_it_prints(draft, file, record, asked.again, asked.signer)
        os.replace(file, out)
    if ledger is not None and ledger.find(entry.number) is None:
        ledger.add(entry)
    report_progress("done", 1.0)
    return issued


def _signed_as_it_prints(
    draft: Draft, file: Path, record: bytes, again: Reprint, signer: Signer
) -> Issued:
    """The report, printed again from its record before it is signed.

    A fault of ours that prints other pages the second time would have every checker call a genuine
    report a changed one: then it says, signed, that its pages cannot be compared.
    """
    issued, faults = draft.write(file, record, sign=False), []
    if not again.prints_alike(file, signer):
        visit, number = draft.view.visit, draft.identity.number
        note(logger, "report.prints_otherwise", level=logging.ERROR, visit=visit, number=number)
        faults.append(message("report-prints-otherwise"))
        draft = replace(draft, circumstances={**draft.circumstances, "prints_alike": False})
        issued = draft.write(file, record, sign=False)
    notes = draft.sign(file)
    return replace(issued, size_bytes=file.stat().st_size, notes=(*issued.notes, *notes, *faults))


def _beside_the_record(view: EditionView, asked: _Asked) -> str:
    """Texts of the shop's on the pages that are not in the record: they, too, need fonts."""
    signer = asked.signer.name if asked.signer else ""
    return "\n".join([*asked.letterhead.lines, *view.devices.values(), signer])


def _entry(
    ledger: Ledger | None, view: EditionView, digest: str, *, today: str, made: str
) -> Entry:
    """The number of this report: the last one's when nothing changed since, else a new one."""
    last = ledger.last(view.visit, view.edition) if ledger is not None else None
    if last is not None and last.digest == digest:
        return last
    number = f"{today.replace('-', '')}-{digest[:6].upper()}"
    return Entry(
        number, view.visit, view.edition, made, digest, "" if last is None else last.number
    )
