"""What erasing in one inspection cannot reach, as far as this server knows: names and days."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from bradawl.access.personal_data.remains import Remains
from bradawl.access.web.rendering import day_and_time, who
from bradawl.language import date, text
from bradawl.report.signing.trust import ledger_in

if TYPE_CHECKING:
    from bradawl.access.web.auth import Access
    from bradawl.common.settings import Settings
    from bradawl.desk.model.records.waiting_files import WaitingFiles
    from bradawl.log.event_log import Log

BACKUPS = "backups"  # a folder below the data folder that people put backups into
ASIDE = "before-restore-*"
#: Acts in the trail by which a backup left this server.
DOWNLOADED = "backup downloaded"  # stored: not shown
WRITTEN = "backup written"  # stored: not shown


def remains_of(
    visit: str, settings: Settings, log: Log, access: Access, waiting: WaitingFiles
) -> Remains:
    """What is known of copies that erasing in an inspection does not reach."""
    data = settings.data
    since_ms = _last_order_ms(log, visit)
    phones = [
        phone
        for phone in access.devices.all()
        if phone.revoked_ms is None and phone.seen_ms <= since_ms
    ]
    return Remains(
        backups=(*_noted(access), *_backups(data / BACKUPS, settings.now().backups)),
        phones=tuple(
            text("access-remains-phone", name=phone.name, when=day_and_time(phone.seen_ms))
            for phone in phones
        ),
        revoked=tuple(
            text(
                "access-remains-phone-revoked",
                name=phone.name,
                when=day_and_time(phone.revoked_ms),
            )
            for phone in access.devices.all()
            if phone.revoked_ms is not None
        ),
        reports=tuple(
            text(
                f"access-remains-report-{report.edition}",
                number=report.number,
                day=date(report.made[:10]),
            )
            for report in ledger_in(data).entries()
            if report.visit == visit
        ),
        copies=_files(data, ASIDE),
        files=tuple(waiting.mentions(visit)),
    )


def _last_order_ms(log: Log, visit: str) -> int:
    """When something was last erased in the inspection; where nothing was, no phone has heard."""
    erased = {event["commit"] for event in log.events_of(visit) if event.get("erased")}
    stamps = [order["at"] for order in log.orders()["erase"] if order["commit"] in erased]
    return int(max(stamps)[:15]) if stamps else 2**53


def _noted(access: Access) -> list[str]:
    """Backups that the trail tells of, the newest first."""
    return [
        text(
            "access-remains-written" if line.act == WRITTEN else "access-remains-downloaded",
            when=day_and_time(line.at_ms),
            who=who(line.who),
            file=line.about,
        )
        for line in access.audit.acts((DOWNLOADED, WRITTEN))
    ]


def _backups(*folders: Path | None) -> Iterator[str]:
    """The files of the folders of backups, but what tells of a backup and holds none."""
    for folder in dict.fromkeys(folder for folder in folders if folder is not None):
        yield from _files(folder, "[!.]*", but=".json")


def _files(folder: Path, pattern: str, but: str = "/") -> tuple[str, ...]:
    """Files of a folder, each with the day of its last change, without those of one ending."""
    files = []
    for path in sorted(folder.glob(pattern)):
        try:
            changed = datetime.fromtimestamp(path.stat().st_mtime, UTC)
        except OSError:
            continue
        if path.is_file() and path.suffix != but:
            day = date(f"{changed:%Y-%m-%d}")
            files.append(text("access-remains-file", file=str(path), day=day))
    return tuple(files)
