"""One report from snapshot to signed file.

Pages are laid out into a temporary file, photos are appended to it one by one, the whole becomes
an archival PDF, and that is signed in place: memory does not grow with the photos.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import os
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from bradawl import __version__
from bradawl.common.display_text import as_json, for_line
from bradawl.inspection import cell_values
from bradawl.report.layout import typeface
from bradawl.report.model.edition import Choice, Edition, Shared, share
from bradawl.report.signing.ledger import Entry, Ledger

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Snapshot
    from bradawl.report.model.work_plan import Workplan
    from bradawl.report.signing.signatures import Signer

#: Called with a step's name and how far it is, from 0 to 1.
Progress = Callable[[str, float], None]


@dataclass(frozen=True)
class Issued:
    """A report that was written: its number, size, pages, and sentences about what it lacks."""

    number: str
    bytes: int
    pages: int
    photos: int
    notes: tuple[str, ...]


def build(
    snapshot: Snapshot,
    edition: Edition,
    signer: Signer | None,
    *,
    page: str = "A4",
    today: str,
    choice: Choice | None = None,
    devices: Mapping[str, str] | None = None,
    ledger: Ledger | None = None,
    plan: Workplan | None = None,
) -> bytes:
    """The report as bytes; `write_report` says the rest."""
    with tempfile.TemporaryDirectory(prefix="bradawl-report-") as folder:
        out = Path(folder) / "report.pdf"
        write_report(
            snapshot, out, edition, signer, page=page, today=today, choice=choice, devices=devices,
            ledger=ledger, plan=plan,
        )  # fmt: skip
        return out.read_bytes()


def write_report(
    snapshot: Snapshot,
    out: Path,
    edition: Edition,
    signer: Signer | None,
    *,
    page: str = "A4",
    today: str,
    choice: Choice | None = None,
    devices: Mapping[str, str] | None = None,
    ledger: Ledger | None = None,
    plan: Workplan | None = None,
    progress: Progress | None = None,
) -> Issued:
    """Write the report on `snapshot` to `out`, signed when there is a signer.

    `page` is "A4" or "Letter", `today` YYYY-MM-DD, `choice` what a person lets the report say,
    `devices` names of devices by id. With a `ledger` the report names the one that it replaces
    (the last of the same visit and edition) and is entered there. A `plan` of work is printed in
    a partner's edition only. `out` appears whole or not at all. Call it from a worker thread: it
    computes, and signing must not run inside an event loop. Raises OSError when `out` cannot be
    written, ValueError for an unknown edition or page.
    """
    if edition not in ("condition", "partner"):
        raise ValueError(f"There is no edition “{edition}”: choose condition or partner.")
    if page not in ("A4", "Letter"):
        raise ValueError(f"There is no page size “{page}”: choose A4 or Letter.")
    said = progress or (lambda step, share: None)
    typeface.register()
    shared = share(snapshot, edition, choice, devices)
    made = dt.datetime.now(dt.UTC).replace(microsecond=0).isoformat()
    record, digest = _record(shared)
    entry = _entry(ledger, shared, digest, today=today, made=made)
    earlier = ledger.find(entry.replaces) if ledger is not None and entry.replaces else None
    replaces = f"{earlier.number} of {earlier.made[:10]}" if earlier is not None else ""
    with tempfile.TemporaryDirectory(prefix="bradawl-report-", dir=out.parent) as folder:
        draft = Path(folder) / "report.pdf"
        issued = _write(
            shared, record, Path(folder), draft, signer, page=page, today=today, made=made,
            number=entry.number, replaces=replaces, plan=plan, progress=said,
        )  # fmt: skip
        os.replace(draft, out)
    if ledger is not None and ledger.find(entry.number) is None:
        ledger.add(entry)
    said("done", 1.0)
    return issued


def _entry(ledger: Ledger | None, shared: Shared, digest: str, *, today: str, made: str) -> Entry:
    """The number of this report: the last one's when nothing changed since, else a new one."""
    last = ledger.last(shared.visit, shared.edition) if ledger is not None else None
    if last is not None and last.digest == digest:
        return last
    number = f"{today.replace('-', '')}-{digest[:6].upper()}"
    return Entry(
        number, shared.visit, shared.edition, made, digest, "" if last is None else last.number
    )


def _write(
    shared: Shared,
    record: bytes,
    folder: Path,
    draft: Path,
    signer: Signer | None,
    *,
    page: str,
    today: str,
    made: str,
    number: str,
    replaces: str,
    plan: Workplan | None,
    progress: Progress,
) -> Issued:
    from bradawl.report.layout.context import Desk, Issue
    from bradawl.report.layout.page_templates import TITLE_LIMIT, Paper
    from bradawl.report.model.build import unfold
    from bradawl.report.pdf.archival import Description, finish
    from bradawl.report.pdf.assembly import HEADER
    from bradawl.report.pdf.photos import Shelf
    from bradawl.report.sections import appendix, areas, costs, summary
    from bradawl.report.sections import seal as sealing

    contents = unfold(shared)
    ink = typeface.Ink()
    kind = "Condition report" if shared.edition == "condition" else "Partner report"
    title = ink.text(f"{kind}: {contents.car}", TITLE_LIMIT)
    inspector = cell_values.words(shared.value("about/inspector"))
    laid_out = io.BytesIO()
    with draft.open("w+b") as file, Shelf(file, _counted(shared, progress)) as shelf:
        file.write(HEADER)
        paper = Paper(
            laid_out,
            page=page,
            title=title,
            head=ink.text(f"{for_line(contents.car, TITLE_LIMIT)} · {kind} {number}"),
            foot=ink.text(f"Visit {shared.visit[:8]} · {today}"),
        )
        desk = Desk(
            shared,
            contents,
            shelf,
            ink,
            Issue(number=number, made=made, today=today, replaces=replaces),
            width=paper.text_width,
            height=paper.text_height,
        )
        flowables = [
            *summary.first_page(desk, costs.in_brief(desk)),
            *areas.areas(desk),
            *summary.way_home(desk),
            *appendix.work_done(desk),
            *appendix.evidence(desk),
            *costs.money(desk, plan if shared.edition == "partner" else None),
            *appendix.not_inspected(desk),
            *appendix.amendments(desk),
            *appendix.cautions(desk),
            *appendix.in_full(desk),
            *appendix.method(desk),
            *sealing.seal(desk, signer),
        ]
        shelf.sync()
        progress("pages", 0.5)
        paper.lay_out(flowables)
        progress("archive", 0.8)
        complete = finish(
            laid_out,
            file,
            shelf=shelf,
            record=record,
            manifest={
                "format": 1,
                "report": number,
                "edition": shared.edition,
                "visit": shared.visit,
                "made": made,
                "today": today,
                "replaces": replaces,
                "bradawl": __version__,
                "photo_gaps": shelf.gaps,
            },
            description=Description(
                title=title,
                author=ink.text(inspector, TITLE_LIMIT).strip() or "Bradawl",
                subject=ink.text(f"Inspection {shared.visit}"),
                made=made,
            ),
        )
        count = len(shelf.gaps)
        said = "One photo" if count == 1 else f"{count} photos"
        notes = [f"{said} could not be printed."] if count else []
        if signer is not None:
            from bradawl.report.signing.signatures import certify

            progress("signature", 0.9)
            notes += certify(
                file,
                signer,
                reason="Issued as the report on this inspection",
                later=paper.boxes,
            )
        file.flush()
        os.fsync(file.fileno())
    return Issued(
        number=number,
        bytes=draft.stat().st_size,
        pages=len(complete["pages"]),
        photos=len(shelf.placed),
        notes=tuple(notes),
    )


def _counted(shared: Shared, progress: Progress) -> Callable[[str], bytes | None]:
    """The way to a photo's bytes, which says how far the photos are."""
    total = sum("/photos/" in path for path in shared.cells) or 1
    asked = 0

    def photo(sha256: str) -> bytes | None:
        nonlocal asked
        asked += 1
        progress("photos", 0.1 + 0.4 * min(asked / total, 1.0))
        return shared.photo(sha256)

    progress("photos", 0.1)
    return photo


def _record(shared: Shared) -> tuple[bytes, str]:
    """The attached record, which proves itself by the leaves of the seal; and its digest."""
    known = {path.split("/")[1] for path in shared.cells if path.startswith("items/")}
    value: dict[str, Any] = {
        "format": 2,
        "edition": shared.edition,
        "visit": shared.visit,
        "leaves": shared.leaves,
        "shown": shared.shown,
        "left_out": shared.left_out,
        "erased": shared.erased_by_day(),
        "unconfirmed": shared.unconfirmed,
        "seals": [
            {
                "n": seal.n,
                "at": seal.at,
                "device": seal.device,
                "by": shared.device_name(seal.device),
                "value": seal.value,
                "held": seal.holds,
            }
            for seal in shared.seals
        ],
        "amendments": [
            {
                **{key: event[key] for key in ("put", "device", "value")},
                "at": event.get("rank") or event["at"],
            }
            for event in shared.amendments
        ],
        "bundle": shared.bundle.get("hash", ""),
        "titles": {
            str(item["id"]): str(item["title"])
            for item in shared.bundle.get("items", [])
            if item["id"] in known
        },
        "assessment": shared.assessment,
    }
    # the standard library indents slowly
    record = msgspec.json.format(as_json(value, sort_keys=True), indent=1)
    return record, hashlib.sha256(record).hexdigest()
