"""Prints a stranger's report again from the record inside, and compares the pages.

What cannot be compared is said, with the reason: a checklist that is not here, another version of
this program, a judgment that rests on what is left out. It never makes a report a changed one.
"""

from __future__ import annotations

import hashlib
import json
import logging
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from bradawl.common.display_text import for_line, quoted
from bradawl.imaging.errors import BY_CODE
from bradawl.language import Message, listed, message, reading_as, text
from bradawl.operations import note
from bradawl.report.checking.inventory import Parts, read_parts
from bradawl.report.checking.pdf_syntax import Stream
from bradawl.report.checking.revisions import Document, revisions_of
from bradawl.report.checking.same_pages import other_pages, says_otherwise
from bradawl.report.draft import Draft
from bradawl.report.layout.text import typeface
from bradawl.report.letterhead import LONGEST
from bradawl.report.model.contents import ReportIdentity
from bradawl.report.model.editions.edition import EDITIONS
from bradawl.report.model.rebuild.circumstances import Circumstances
from bradawl.report.model.rebuild.rebuilt import Rebuilt, rebuilt
from bradawl.report.model.rebuild.shown_cells import cells_of
from bradawl.report.model.texts import path_text
from bradawl.report.pdf.photos import PhotoError
from bradawl.report.printer import printer
from bradawl.report.printing import Printing, PrintingError
from bradawl.report.signing.keys import Signer

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Snapshot
    from bradawl.judge.values.types import Bundle
    from bradawl.report.checking.signers_check import SignatureCheck
    from bradawl.report.model.work.plan import WorkPlan
    from bradawl.report.pdf.print_copies import PrintCopies

__all__ = ["Reprint"]

logger = logging.getLogger(__name__)

#: Of what is printed, as JSON: more letters take minutes, and a forger adds as many as they like.
_MOST_LETTERS = 3_000_000
_LISTED = 6  # entries or items that are named
#: Of a file that is printed again before it is signed: it is held in memory twice.
_MOST_BYTES = 32_000_000


class _Impossible(Exception):
    """Why the pages cannot be compared; `reason` ends the name of a message."""

    def __init__(self, reason: str, **arguments: Any) -> None:
        super().__init__(reason)
        self.said = message("report-verify-not-compared-" + reason, **arguments)


@dataclass(frozen=True)
class Reprint:
    """Compares pages: a `Compare` of `checking/verification.py`.

    `bundle` gives a checklist by its hash, None for one that is not here; `plan` the plan of work
    of a visit for the reader that is set; `photo` the bytes of a photo that this shop has, by its
    digest (photos that are not here are taken from the file), and `copies` those that were reduced.
    """

    bundle: Callable[[str], Bundle | None]
    plan: Callable[[Snapshot], WorkPlan]
    photo: Callable[[str], bytes | None] = lambda _sha256: None
    copies: PrintCopies | None = None

    def __call__(
        self, document: Document, parts: Parts, issuer: SignatureCheck
    ) -> tuple[list[Message], list[Message]]:
        """What is wrong with the pages, and what else is to say of them. Raises nothing."""
        return self._tried(document, parts, Signer(issuer.claimed, issuer.fingerprint, b""))

    def prints_alike(self, file: Path, signer: Signer) -> bool:
        """Whether a report that is about to be signed would stand the comparison. Raises OSError.

        What cannot be compared stands it: nobody would call it changed.
        """
        if file.stat().st_size > _MOST_BYTES:
            return True
        pdf = file.read_bytes()
        document = Document(pdf, revisions_of(pdf))
        parts, _ = read_parts(document)
        return parts is None or not self._tried(document, parts, signer)[0]

    def _tried(
        self, document: Document, parts: Parts, issuer: Signer
    ) -> tuple[list[Message], list[Message]]:
        try:
            return self._compared(document, parts, issuer)
        except _Impossible as why:
            return [], [why.said]
        except Exception as problem:  # a record made to confuse, or a fault of our own
            note(logger, "report.not_compared", level=logging.WARNING, why=type(problem).__name__)
            return [], [message("report-verify-not-compared-failed")]

    def _compared(
        self, document: Document, parts: Parts, issuer: Signer
    ) -> tuple[list[Message], list[Message]]:
        record, manifest = parts.record, parts.manifest
        printed = manifest.get("printed")
        if not isinstance(printed, Mapping) or printed.get("printer") != _own_printer(
            [record, printed.get("letterhead"), printed.get("devices"), issuer.name]
        ):
            raise _Impossible("printer", version=quoted(str(manifest.get("bradawl") or "?"), 20))
        if printed.get("prints_alike") is False:
            raise _Impossible("issuer")
        if record["edition"] not in EDITIONS:
            raise _Impossible("failed")
        size = len(json.dumps([record["shown"], record["amendments"], record["seals"], printed]))
        if size > _MOST_LETTERS:
            raise _Impossible("large")
        bundle = self.bundle(str(record["bundle"]))
        if bundle is None:
            raise _Impossible("checklist")
        try:
            printing = Printing.of(*(str(manifest[key]) for key in ("language", "units", "paper")))
        except PrintingError:
            raise _Impossible("failed") from None
        stated = cast("Circumstances", printed)
        photos = _Photos(document, manifest, self.photo)
        with reading_as(printing.reader):
            report = rebuilt(record, stated, bundle, today=str(manifest["today"]), photo=photos.get)
            pdf = self._printed(report, parts, stated, printing, issuer)
        wrong, said = _judged_otherwise(report, record, stated)
        again = Document(pdf, revisions_of(pdf))
        pages = other_pages(document, again)
        problems = list(wrong)
        if pages:
            shown = listed([str(page) for page in pages])
            problems.append(message("report-verify-page-otherwise", count=len(pages), pages=shown))
        elif says_otherwise(document, again):
            problems.append(message("report-verify-beside-otherwise"))
        notes = [] if problems else [message("report-verify-pages-again")]
        return problems, [*notes, *said, *_unproven(record, stated), *photos.notes()]

    def _printed(
        self,
        report: Rebuilt,
        parts: Parts,
        stated: Circumstances,
        printing: Printing,
        issuer: Signer,
    ) -> bytes:
        """The unsigned file, printed again as the one that is checked says it was."""
        manifest = parts.manifest
        typeface.register()
        replaces = (
            (str(manifest["replaces"]), stated["replaced_made"]) if manifest["replaces"] else None
        )
        identity = ReportIdentity(
            number=str(manifest["report"]),
            made=str(manifest["made"]),
            today=str(manifest["today"]),
            replaces=replaces,
            record_sha256=parts.record_sha256,
            letterhead=tuple(
                for_line(str(line), LONGEST["address"]) for line in stated["letterhead"][:4]
            ),
            check_page=for_line(stated["check_page"], LONGEST["check_page"]),
        )
        draft = Draft(
            report.view,
            identity,
            printing,
            issuer,
            self.plan(report.snapshot) if stated["with_plan"] else None,
            str(manifest.get("judge") or ""),
            lambda step, share: None,
            self.copies,
            stated,
        )
        with tempfile.TemporaryDirectory(prefix="bradawl-compare-") as folder:
            file = Path(folder) / "report.pdf"
            draft.write(file, b"", sign=False)
            return file.read_bytes()


def _own_printer(texts: list[Any]) -> str:
    """The name of what prints these texts here: all that stands on the pages and is not ours."""
    try:
        return printer(json.dumps(texts, ensure_ascii=False))
    except FileNotFoundError:
        raise _Impossible("failed") from None


def _judged_otherwise(
    report: Rebuilt, record: Mapping[str, Any], stated: Circumstances
) -> tuple[list[Message], list[Message]]:
    """What is wrong with the judgment that a report claims, and what else is to say of it.

    Raises where the pages cannot be printed without knowing more.
    """
    lacks_facts = record["set_aside"] or (record["left_out"] or {}).get("erased")
    if report.graver and not lacks_facts:
        return [message("report-verify-judged-otherwise", **_parts(record, report.graver))], []
    if not report.otherwise:
        return [], []
    about = _parts(record, report.otherwise)
    if not (record["withheld"] or lacks_facts or stated["beside"]):
        return [message("report-verify-judged-otherwise", **about)], []
    if report.view.money is not None:  # its sums are judged here
        raise _Impossible("left-out")
    return [], [message("report-verify-not-judged", **about)]


def _parts(record: Mapping[str, Any], parts: Sequence[str]) -> dict[str, str]:
    """Parts of a judgment by what people call them."""
    titles = record.get("titles") or {}
    ours = {
        "drive_home": text("report-verify-part-drive"),
        "findings": text("report-verify-part-findings"),
    }
    named = [ours.get(part) or quoted(str(titles.get(part, part))) for part in parts[:_LISTED]]
    return {"parts": listed(named)}


def _unproven(record: Mapping[str, Any], stated: Circumstances) -> list[Message]:
    """A sentence on what the pages show and the record does not prove."""
    cells, _ = cells_of(record["shown"], record["amendments"], record["seals"])
    titles = record.get("titles") or {}
    paths = [path for path, cell in stated["beside"].items() if _is_new(cell, cells.get(path))]
    if not paths:
        return []
    names = dict.fromkeys(
        text("report-verify-part-work")
        if path.startswith("work/")
        else quoted(path_text(path, lambda item: str(titles.get(item, item))))
        for path in paths
    )
    entries = listed([*names][:_LISTED])
    return [message("report-verify-unproven", count=len(paths), entries=entries)]


def _is_new(cell: Any, proven: Any) -> bool:
    """Whether a cell says what is not among what a record proves of its path."""
    if not cell or cell.get("withheld") or cell.get("erased"):
        return False
    known = (
        [] if proven is None else [proven["value"], *(other["value"] for other in proven["others"])]
    )
    told = [cell.get("value"), *(one["value"] for one in cell.get("others") or ())]
    return any(value is not None and value not in known for value in told)


class _Photos:
    """The photos of a file by the digests of their originals; this shop's own where it has them."""

    def __init__(
        self,
        document: Document,
        manifest: Mapping[str, Any],
        own: Callable[[str], bytes | None],
    ) -> None:
        self._document, self._own = document, own
        self._printed: Mapping[str, str] = manifest.get("photos") or {}
        self._gaps: Mapping[str, str] = manifest.get("photo_gaps") or {}
        self._embedded = _embedded(document)
        self._reduced = 0

    def get(self, sha256: str) -> bytes | None:
        """A photo's bytes, or None. Raises PhotoError for one that was not printed."""
        if sha256 in self._gaps:
            raise PhotoError(_clause(self._gaps[sha256]))
        own = self._own(sha256)
        if own is not None:
            return own
        number = self._embedded.get(self._printed.get(sha256, ""))
        if number is None:
            return None
        data = self._document.raw(self._document.object(number))
        self._reduced += hashlib.sha256(data).hexdigest() != sha256
        return data

    def notes(self) -> list[Message]:
        """A sentence on photos that are printed smaller than they were sealed."""
        if not self._reduced:
            return []
        return [message("report-verify-photos-reduced", count=self._reduced)]


def _embedded(document: Document) -> dict[str, int]:
    """The numbers of the file's photos by the digests of their bytes."""
    found = {}
    for number in document.offsets:
        stream = document.object(number)
        if isinstance(stream, Stream) and stream.dictionary.get("Filter") == "DCTDecode":
            found[hashlib.sha256(document.raw(stream)).hexdigest()] = number
    return found


def _clause(said: str) -> str:
    """Why a photo was not printed, if that is one of our reasons. Raises _Impossible."""
    ours = {text("report-photo-not-here"), text("report-photo-unreadable")}
    ours |= {str(refused().clause) for refused in BY_CODE.values()}
    if said not in ours:
        raise _Impossible("failed")
    return said
