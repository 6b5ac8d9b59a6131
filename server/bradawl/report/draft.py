"""One report on its way into a file: laid out, made archival, signed where there is a signer.

Pages are laid out in memory, photos go straight into the file, the whole becomes an archival PDF
and is signed in place: memory does not grow with the photos. Libraries that draw or sign are
imported when a report is made.
"""

from __future__ import annotations

import io
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, BinaryIO

from bradawl import __version__
from bradawl.common.display_text import for_line
from bradawl.inspection import cell_values
from bradawl.language import Message, date, message, text
from bradawl.report.layout.text import typeface
from bradawl.report.model.contents import Contents, ReportIdentity
from bradawl.report.model.editions.edition import EditionView
from bradawl.report.printing import Printing

if TYPE_CHECKING:
    from bradawl.report.layout.context import PageContext
    from bradawl.report.layout.page_templates import ReportDocument
    from bradawl.report.model.rebuild.circumstances import Circumstances
    from bradawl.report.model.work.plan import WorkPlan
    from bradawl.report.pdf.archival import Description, Manifest
    from bradawl.report.pdf.form_fields import EmptyField
    from bradawl.report.pdf.photos import EmbeddedPhotos
    from bradawl.report.pdf.print_copies import PrintCopies
    from bradawl.report.signing.keys import Signer

__all__ = ["Draft", "Issued", "Progress"]

#: Called with a step's name and how far it is, from 0 to 1.
Progress = Callable[[str, float], None]

TITLE_LIMIT = 160  # letters of the file's title, and of the car in a running head


@dataclass(frozen=True)
class Issued:
    """A report that was written: its number, size, pages, and sentences about what it lacks."""

    number: str
    size_bytes: int
    pages: int
    photos: int
    notes: tuple[Message, ...]


def _lacking(letters: Mapping[str, int]) -> list[Message]:
    """A sentence on letters that no font here has, by script."""
    if not letters:
        return []
    scripts = [
        text("report-letters-of", script=script, count=count)
        for script, count in sorted(letters.items())
    ]
    return [message("report-letters-lacking", scripts=", ".join(scripts))]


@dataclass(frozen=True)
class Draft:
    """One report on its way into a file."""

    view: EditionView
    identity: ReportIdentity
    printing: Printing
    signer: Signer | None
    plan: WorkPlan | None
    judge: str
    progress: Progress
    copies: PrintCopies | None
    circumstances: Circumstances

    def write(self, draft: Path, record: bytes, *, sign: bool = True) -> Issued:
        """Write the whole file, signed and on the disk when this returns.

        Unless `sign`, the same for the same signer without the signature: to be compared first.
        """
        from bradawl.report.model.build import build_contents
        from bradawl.report.pdf.archival import write_archival_file
        from bradawl.report.pdf.assembly import HEADER
        from bradawl.report.pdf.photos import EmbeddedPhotos

        printable = typeface.PrintableText()
        contents = build_contents(self.view)
        named = text("report-title", kind=self._kind, car=contents.car)
        title = printable.text(named, TITLE_LIMIT)
        pages = io.BytesIO()
        with (
            draft.open("w+b") as file,
            EmbeddedPhotos(file, self._photo_reader(), self.copies) as photos,
        ):
            file.write(HEADER)
            document = self._lay_out(pages, title, contents, photos, printable)
            self.progress("archive", 0.8)
            manifest = write_archival_file(
                pages,
                file,
                photos=photos,
                record=record,
                manifest=self._manifest(photos),
                description=self._description(title, printable),
                structure=document.structure,
                links=document.link_owners,
                fields=self._fields(),
            )
            gaps = len(photos.gaps)
            notes = [message("report-photos-left-out", count=gaps)] if gaps else []
            notes += _lacking(printable.lacking)
            if sign:
                notes += self._certify(file)
                file.flush()
                os.fsync(file.fileno())
        return Issued(
            number=self.identity.number,
            size_bytes=draft.stat().st_size,
            pages=len(manifest["pages"]),
            photos=len(photos.embedded),
            notes=tuple(notes),
        )

    def sign(self, written: Path) -> list[Message]:
        """Sign a file that was written without; it is on the disk when this returns."""
        with written.open("r+b") as file:
            notes = self._certify(file)
            file.flush()
            os.fsync(file.fileno())
        return notes

    @property
    def _kind(self) -> str:
        return text("report-kind", edition=self.view.edition)

    def _lay_out(
        self,
        out: BinaryIO,
        title: str,
        contents: Contents,
        photos: EmbeddedPhotos,
        printable: typeface.PrintableText,
    ) -> ReportDocument:
        """Set the pages into `out`; photos are embedded on the way."""
        from bradawl.report.layout.context import PageContext
        from bradawl.report.layout.page_templates import ReportDocument
        from bradawl.report.layout.style import COLUMN_WIDTH

        car, number = for_line(contents.car, TITLE_LIMIT), self.identity.number
        foot = text(
            "report-running-foot",
            car=car,
            kind=self._kind,
            number=number,
            visit=self.view.visit[:8],
            date=date(self.identity.today, long=True),
        )
        document = ReportDocument(
            out, page=self.printing.paper, title=title, foot=printable.text(foot)
        )
        context = PageContext(
            self.view,
            contents,
            photos,
            printable,
            self.identity,
            width=document.text_width,
            column=COLUMN_WIDTH,
            height=document.text_height,
        )
        flowables = self._sections(context)
        photos.sync()
        self.progress("pages", 0.5)
        document.lay_out(flowables)
        return document

    def _sections(self, page: PageContext) -> list[Any]:
        """All flowables in reading order."""
        from bradawl.report.layout.page_templates import InColumns, RoomForNotes
        from bradawl.report.sections import (
            appendix,
            areas,
            check_box,
            claims,
            costs,
            drive_home,
            front_pictures,
            histories,
            repairs,
            seal,
            summary,
            wants,
        )

        return [
            *summary.first_page(page),
            *costs.in_brief(page),
            *summary.not_checked(page),
            *front_pictures.pictures(page),
            *seal.seal(page, self.signer),
            InColumns(),
            *repairs.repairs(page),
            *areas.areas(page),
            *drive_home.reasons(page),
            *claims.claims(page),
            *wants.wants(page),
            *histories.histories(page),
            *appendix.captured(page),
            *repairs.left_alone(page),
            *appendix.work_done(page),
            *appendix.evidence(page),
            *costs.money(page, self.plan if self.view.edition == "partner" else None),
            *appendix.not_inspected(page),
            *appendix.amendments(page),
            *appendix.cautions(page),
            *appendix.in_full(page),
            *appendix.method(page),
            *check_box.check_box(page, self.signer),
            RoomForNotes(str(page.say("report-notes-room"))),
        ]

    def _manifest(self, photos: EmbeddedPhotos) -> Manifest:
        return {
            "format": 1,
            "report": self.identity.number,
            "edition": self.view.edition,
            "visit": self.view.visit,
            "made": self.identity.made,
            "today": self.identity.today,
            "replaces": self.identity.replaces[0] if self.identity.replaces else "",
            "language": self.printing.locale,
            "units": self.printing.units,
            "paper": self.printing.paper,
            "bradawl": __version__,
            "judge": self.judge,
            "photo_gaps": photos.gaps,
            "printed": self.circumstances,
        }

    def _description(self, title: str, printable: typeface.PrintableText) -> Description:
        from bradawl.report.pdf.archival import Description

        inspector = cell_values.words(self.view.value("about/inspector"))
        return Description(
            title=title,
            author=printable.text(inspector, TITLE_LIMIT).strip() or "Bradawl",
            subject=printable.text(text("report-file-subject", visit=self.view.visit)),
            made=self.identity.made,
            language=self.printing.locale,
        )

    def _certify(self, file: IO[bytes]) -> list[Message]:
        """Sign the file where there is a signer; sentences about what was not as asked."""
        if self.signer is None:
            return []
        from bradawl.report.signing.signatures import certify

        self.progress("signature", 0.9)
        return certify(file, self.signer, reason=text("report-file-reason"))

    def _fields(self) -> list[EmptyField]:
        """What is signed now, and what others may sign later; nothing where nobody signs."""
        if self.signer is None:
            return []
        from bradawl.report.pdf.form_fields import EmptyField
        from bradawl.report.signing.signatures import LATER_FIELDS, SHOP_FIELD

        purpose = text("report-file-field")
        reasons = (text("report-file-received"), text("report-file-handed-over"))
        return [
            EmptyField(SHOP_FIELD, text("report-field-shop")),
            *(EmptyField(name, purpose, reasons) for name in LATER_FIELDS),
        ]

    def _photo_reader(self) -> Callable[[str], bytes | None]:
        """The snapshot's photo reader, which also reports how far the photos are."""
        total = (
            sum("/photos/" in path or path.startswith("media/") for path in self.view.cells) or 1
        )
        count = 0

        def photo(sha256: str) -> bytes | None:
            nonlocal count
            count += 1
            self.progress("photos", 0.1 + 0.4 * min(count / total, 1.0))
            return self.view.photo(sha256)

        self.progress("photos", 0.1)
        return photo
