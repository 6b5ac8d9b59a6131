"""`bradawl doctor`: checks that everything that was acknowledged is still there, whole."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from bradawl.language import message, text
from bradawl.language.counts import counts

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy import Engine

    from bradawl.common.settings import Settings
    from bradawl.log.event_log import Log
    from bradawl.log.integrity.doctor import Health
    from bradawl.log.integrity.faults import Finding


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add this command."""
    parser = sub.add_parser(
        "doctor",
        help=text("cli-doctor"),
        description=text("cli-doctor-what"),
    )
    parser.add_argument("--ask-again", action="store_true", help=text("cli-doctor-ask"))
    parser.add_argument("--repair", action="store_true", help=text("cli-doctor-repair"))
    parser.set_defaults(run=doctor)


def doctor(args: argparse.Namespace) -> int:
    from bradawl.common.settings import from_environment
    from bradawl.log.photos.photos import RESERVE_BYTES
    from bradawl.serving.backups.places import examine_places

    settings = from_environment()
    findings = list(examine_places(settings, RESERVE_BYTES))
    if any(finding.code == "missing" for finding in findings):
        return _told(None, findings, settings)
    log, problem = _opened(settings)
    if log is None:
        return _told(None, [*findings, *problem], settings)
    try:
        return _examined(log, settings, findings, ask_again=args.ask_again, repair=args.repair)
    finally:
        log.close()


def _opened(settings: Settings) -> tuple[Log | None, list[Finding]]:
    """The log, or what stands in the way of opening it."""
    from sqlalchemy.exc import DBAPIError

    from bradawl.common import disk_errors
    from bradawl.common.file_swap import SwapError
    from bradawl.database.connection import open_engine, reading
    from bradawl.log.event_log import Log
    from bradawl.log.integrity.faults import Finding
    from bradawl.log.photos.storage import open_photo_store
    from bradawl.serving.backups.places import database_path

    place = database_path(settings) or settings.data
    engine: Engine | None = None
    try:
        engine = open_engine(settings.database_url)
        with reading(engine) as connection:
            connection.exec_driver_sql("SELECT 1").close()
        return Log(engine, open_photo_store(settings.photo_store)), []
    except SwapError as error:
        return None, [Finding("restoring", error.args[0], message("server-remedy-again"))]
    except (DBAPIError, OSError) as error:
        if engine is not None:
            engine.dispose()
        fault = disk_errors.fault_of(error, place)
        if fault is None:
            what = message("server-fault-open", why=str(error))
            return None, [Finding("unreadable", what, disk_errors.remedy_of("failing"))]
        return None, [Finding(fault.cause, fault.what, fault.remedy)]


def _examined(
    log: Log, settings: Settings, findings: list[Finding], *, ask_again: bool, repair: bool
) -> int:
    from bradawl.log.integrity import doctor as examination

    health = examination.examine(log)
    if repair and _repair(log, health.findings):
        health = examination.examine(log)
    everything = [*findings, *health.findings]
    asked_again = examination.ask_again(log, health.findings) if ask_again else 0
    code = _told(health, everything, settings)
    _say_missing_fonts()
    _summarize(health)
    if asked_again:
        print(text("cli-doctor-asked", count=asked_again))
    return code


def _repair(log: Log, findings: Sequence[Finding]) -> bool:
    """Whether anything was made anew."""
    from sqlalchemy.exc import DBAPIError

    from bradawl.database.connection import writing
    from bradawl.log.chains.repair import repair as repair_chains
    from bradawl.log.integrity.photo_checks import repair_copies

    copies = repair_copies(log, findings)
    if copies:
        print(text("cli-doctor-copies", count=copies))
    chains = any(finding.code in ("chain", "visit") for finding in findings)
    if chains:
        with writing(log.engine) as connection:
            for sentence in repair_chains(connection):
                print(sentence)
    indexes = any(
        finding.code == "pages" and "index" in finding.what.arguments.get("answers", "")
        for finding in findings
    )
    if indexes and log.engine.dialect.name == "sqlite":
        try:
            with writing(log.engine) as connection:
                connection.exec_driver_sql("REINDEX").close()
            print(text("cli-doctor-indexes"))
        except DBAPIError as error:
            print(text("cli-doctor-no-indexes", why=str(error.orig)))
    return bool(copies or chains or indexes)


def _told(health: Health | None, findings: Sequence[Finding], settings: Settings) -> int:
    """Say first whether all is well, then what is not; the exit code."""
    from bradawl.backup.history import moment_of
    from bradawl.log.integrity.faults import RESTORING
    from bradawl.serving.backups.health import standing_after
    from bradawl.serving.backups.state import history_of

    faults = [f"{finding.what}\n    {finding.remedy}" for finding in findings]
    standing = standing_after(settings, health, faults)
    print(standing.line, *standing.problems, sep="\n")
    history = history_of(settings)
    whole = None if history is None else next((run for run in history.runs() if run.whole), None)
    if whole is not None and any(finding.remedy.id in RESTORING for finding in findings):
        assert whole.proof is not None
        print(
            text(
                "cli-doctor-backup",
                file=str(whole.archive),
                made=moment_of(whole.proof.made),
                **counts(events=whole.proof.events, photos=whole.proof.photos),
            )
        )
    return 0 if standing.well else 1


def _say_missing_fonts() -> None:
    """Which scripts reports cannot print here; nothing is wrong with what is kept."""
    from bradawl.report.pdf.faces import not_installed

    for face in not_installed():
        print(text("cli-doctor-fonts", scripts=text(face.scripts), packages=face.package))


def _summarize(health: Health) -> None:
    print(
        text(
            "cli-doctor-read",
            **counts(
                devices=health.devices,
                events=health.events,
                photos=health.photos,
                waiting=health.waiting_photos,
            ),
        )
    )
