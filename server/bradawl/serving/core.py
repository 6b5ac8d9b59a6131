"""One server's collaborators, opened over a data folder: for the application and all commands."""

from __future__ import annotations

import logging
import tempfile
import time
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy.exc import DBAPIError

from bradawl.access.core.models import Person, desk_device
from bradawl.access.core.private_files import make_private
from bradawl.access.personal_data.forgetting import Forgetting
from bradawl.access.web.auth import Access
from bradawl.common import resources
from bradawl.common.errors import ApiError
from bradawl.common.settings import Settings
from bradawl.database.connection import migrate, open_engine
from bradawl.desk.model.checklists.versions import ChecklistVersions
from bradawl.desk.model.labels import car_name, label
from bradawl.desk.model.records.waiting_files import WaitingFiles
from bradawl.desk.model.visits.summary_cache import SummaryCache, code_hash
from bradawl.inspection.snapshot import Snapshot, gather
from bradawl.judge import fold, may_be_erased
from bradawl.language import reading_as
from bradawl.log.chains.own_chains import SERVER
from bradawl.log.chains.own_keys import OwnKeys
from bradawl.log.event_log import Log
from bradawl.log.format.events import SHOP
from bradawl.log.photos.storage import open_photo_store
from bradawl.operations import note
from bradawl.report.checking.names import look_alikes
from bradawl.report.checking.verification import Verdict, verify
from bradawl.report.issue import Issued, Progress, write_report
from bradawl.report.letterhead import PATH as LETTERHEAD
from bradawl.report.letterhead import Letterhead, checked, letterhead_in
from bradawl.report.model.editions.edition import EDITIONS, Choice, Edition
from bradawl.report.pdf.print_copies import PrintCopies
from bradawl.report.printing import Printing
from bradawl.report.signing.keys import Signer, open_signer
from bradawl.report.signing.known_signers import Signers
from bradawl.report.signing.trust import ledger_in, trust_for
from bradawl.serving import build_cache
from bradawl.serving.backups import before_update
from bradawl.serving.backups.server_backups import ServerBackups
from bradawl.serving.check_page import CheckPage, ShopSigner
from bradawl.serving.first_run.sample import Sample
from bradawl.serving.remains import remains_of
from bradawl.serving.reports.compare_pages import reprint
from bradawl.serving.reports.plan_for_report import workplan_of
from bradawl.serving.startup import explained

if TYPE_CHECKING:
    from bradawl.access.lan import Lan  # its libraries are slow to load
    from bradawl.judge.values.types import Bundle, Shift


logger = logging.getLogger(__name__)


SUMMARIES = "lines.sqlite3"  # below the folder of what is prepared


#: What the check page calls a signer, by why the shop knows them.
_STANDINGS = {"met": "met", "replaced": "replaced", "own": "own"}


REPORTS = "reports"  # below the data folder: those in the making


def today() -> str:
    """The workshop's own calendar day, YYYY-MM-DD."""
    return date.today().isoformat()  # noqa: DTZ011


def compiled(folder: Path) -> tuple[Bundle | None, list[tuple[str, int, str]]]:
    """The bundle of a folder of checklists, or its faults as (file, line, what is wrong)."""
    from bradawl.checklists.bundling import bundle
    from bradawl.checklists.files import ChecklistError
    from bradawl.checklists.loader import load

    try:
        return bundle(load(folder)), []
    except ChecklistError as error:
        return None, [(fault.file, fault.line, fault.wrong) for fault in error.faults]


class ErasingLog:
    """What forgetting needs of the log."""

    def __init__(self, kept: Log) -> None:
        self.events_of = kept.events_of
        self.append = kept.append
        self.erase = kept.erasures.erase


class Bradawl:
    """One server's collaborators, for the web application and for the commands alike."""

    def __init__(self, settings: Settings, lan: Lan | None = None) -> None:
        """Open all that is in a data folder, and bring it up to date. Raises StartError."""
        with explained(settings):
            self._open(settings, lan)

    def _open(self, settings: Settings, lan: Lan | None) -> None:
        settings.data.mkdir(parents=True, exist_ok=True, mode=0o700)
        self.settings = settings
        self.engine = open_engine(settings.database_url)
        before_update.keep_backup(settings, self.engine)
        migrate(self.engine)
        self.access = Access(
            self.engine,
            settings.mode,
            hosts=lan.hosts if lan else None,
            recorded=lambda device: device in self.log.held(),
            named=self._record_name,
        )
        self.log = Log(
            self.engine,
            open_photo_store(settings.photo_store, settings.data / "incoming"),
            keys=OwnKeys(settings.chain_keys, settings.chain_notes),
            registered=self.access.is_paired,
            on_pull=self.access.missing.note,
            erased=settings.erased_list,
        )
        self.log.erasures.obey()  # a database that was restored may have it all again
        #: Told each visit of which something was erased: whoever keeps something made of it.
        self.on_erased: list[Callable[[str], None]] = [self._drop_derived]
        self.forgetting = Forgetting(
            ErasingLog(self.log),
            may_be_erased,
            named=self._labels,
            remains=lambda visit: remains_of(visit, settings, self.log, self.access, self.waiting),
            after=self._tell_erased,
        )
        self.checklists = build_cache.checklists(
            resources.path_of("checklists"), settings.data / build_cache.FOLDER
        )
        if not self.log.has_bundle(self.checklists.hash):
            self.log.put_bundle(self.checklists.value)
        self.adapted_checklists = ChecklistVersions(
            resources.path_of("checklists"),
            settings.data / "checklists",
            compiled,
            self.log.put_bundle,
        )
        self.waiting = WaitingFiles(settings.data / "waiting")
        self.signers = Signers(settings.data, settings.keys, today)
        make_private(settings)  # `bradawl serve` says what cannot be made so
        self.backups = ServerBackups(settings, self.log, self.signers)
        self.backups.ask_for_damaged()
        self.sample = Sample(settings.data, settings.region, build_cache.FOLDER)
        self._adapted: dict[str, build_cache.Document] = {}
        # in the reports' folder, which is emptied whenever a server starts
        self.print_copies = PrintCopies(settings.data / REPORTS / "photos")

    def _labels(self, visit: str) -> Callable[[str], str]:
        """Words for the paths of a visit."""
        bundle = self.snapshot(visit).texts
        return lambda path: label(path, bundle)

    def _tell_erased(self, visit: str) -> None:
        for drop in self.on_erased:
            drop(visit)

    def _drop_derived(self, visit: str) -> None:
        """Delete what the disk keeps of a visit beside the log: summary, reports, small photos."""
        cache = self.summary_cache()
        cache.forget(visit)
        cache.close()
        for file in (self.settings.data / REPORTS).glob(f"{visit}-*"):
            file.unlink(missing_ok=True)
        self.print_copies.clear()  # nobody notes whose they are

    def summary_cache(self) -> SummaryCache:
        """What the disk keeps of the desk's list of visits."""
        path = self.settings.data / build_cache.FOLDER / SUMMARIES
        return SummaryCache(path, code_hash)

    def _record_name(self, device: str, name: str) -> None:
        """Record what a phone is called, for the other phones; not twice the same."""
        path, value = f"devices/{device}", {"name": name}
        try:
            cells = fold(self.log.events_in(SHOP))
            if path not in cells or cells[path]["value"] != value:
                self.log.append_in(SERVER, [(SHOP, path, value)])
        except (ApiError, DBAPIError, OSError) as error:
            # it is paired all the same; other phones show its number instead
            logger.warning("The name of phone %s could not be recorded: %s", device, error)

    def checklists_in_use(self) -> build_cache.Document:
        """The checklist that new visits begin with: an adapted one, or Bradawl's own."""
        in_use = self.adapted_checklists.in_use()
        if in_use is None:
            return self.checklists
        name = in_use[1]
        if name not in self._adapted:
            bundle = self.log.bundle(name)
            if bundle is None:  # its database was replaced by an older one
                return self.checklists
            self._adapted[name] = build_cache.Document.of(name, bundle)
        return self._adapted[name]

    def snapshot(
        self, visit: str, learned: Callable[[str], Mapping[str, Shift]] | None = None
    ) -> Snapshot:
        """One visit as of today, with what the shop has `learned`, if any. Raises UnknownVisit."""
        return gather(
            self.log,
            visit,
            today=today(),
            current_bundle=lambda: self.checklists.shared_value,
            learned=learned,
        )

    def title_of(self, visit: str) -> str | None:
        """The visit's car in words, None for an unknown visit."""
        events = self.log.events_of(visit)
        return car_name(fold(events)) if events else None

    def shared_report(self, visit: str, edition: str) -> bytes:
        """The report behind a link. Raises UnknownVisit."""
        wanted: Edition = edition if edition in EDITIONS else "condition"
        return self.report(self.snapshot(visit), wanted, Printing.of())

    def verify(self, pdf: bytes) -> Verdict:
        """What a PDF is, held against this shop's keys and its own record."""
        known = trust_for(
            self.settings.data, self.settings.keys, self.snapshot, self.access.name_of_phone
        )
        return verify(
            pdf, known, compare=reprint(self.log.bundle, self.log.photo, self.print_copies)
        )

    def report(self, snapshot: Snapshot, edition: Edition, printing: Printing) -> bytes:
        """The signed PDF of a visit."""
        with tempfile.TemporaryDirectory(prefix="bradawl-report-") as folder:
            out = Path(folder) / "report.pdf"
            self.write_report(snapshot, out, edition, printing)
            return out.read_bytes()

    def write_report(
        self,
        snapshot: Snapshot,
        out: Path,
        edition: Edition,
        printing: Printing,
        choice: Choice | None = None,
        progress: Progress | None = None,
    ) -> Issued:
        """The signed PDF of a visit, into a file; what is not chosen is the edition's usual."""
        began = time.monotonic()
        with reading_as(printing.reader):
            plan = workplan_of(snapshot) if edition == "partner" else None
        issued = write_report(
            snapshot,
            out,
            edition,
            self.signer(),
            printing=printing,
            today=today(),
            choice=choice,
            devices={
                event["device"]: self.access.name_of_device(event["device"])
                for event in snapshot.amendments
            },
            ledger=ledger_in(self.settings.data),
            plan=plan,
            judge=build_cache.judge(self.settings.data / build_cache.FOLDER).hash,
            letterhead=self.letterhead(),
            progress=progress,
            copies=self.print_copies,
            # as a stranger prints it again: with the photos in the file
            again=reprint(self.log.bundle),
        )
        note(
            logger,
            "report.made",
            visit=snapshot.visit,
            edition=edition,
            number=issued.number,
            pages=issued.pages,
            size_bytes=issued.size_bytes,
            duration_ms=round((time.monotonic() - began) * 1000),
        )
        return issued

    def letterhead(self) -> Letterhead:
        """The shop's letterhead, as somebody set it at the desk."""
        return letterhead_in(self.log.events_in(SHOP), self.log.own_devices())

    def keep_letterhead(self, person: Person, given: Mapping[str, str]) -> None:
        """Record another letterhead, as its person. Raises ApiError for what is no address."""
        value = checked(given).as_value()
        self.log.append_in(desk_device(person.id), [(SHOP, LETTERHEAD, value)])

    def shop_signers(self) -> list[ShopSigner]:
        """The keys that this shop's check page knows."""
        shop = self.signers.shop()
        others = [
            ShopSigner(
                one.certificate.fingerprint,
                one.name,
                "lost" if one.lost else _STANDINGS[one.why],
                one.lost or one.until,
            )
            for one in self.signers.known()
        ]
        return [ShopSigner(shop.fingerprint, shop.name, "own"), *others]

    def check_page(self) -> CheckPage:
        """The page with which strangers check this shop's reports."""
        return CheckPage(
            resources.path_of("web"),
            build_cache.judge(self.settings.data / build_cache.FOLDER),
            checklist=self.checklists_in_use,
            letterhead=self.letterhead,
            signers=self.shop_signers,
            confusables=look_alikes,
            today=today,
        )

    def signer(self) -> Signer:
        """The workshop's key."""
        return open_signer(self.settings.keys, timestamp_url=self.settings.timestamp_url)

    def close(self) -> None:
        self.sample.stop()
        self.log.close()
