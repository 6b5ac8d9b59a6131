"""`bradawl doctor`: checks that everything that was acknowledged is still there, whole."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

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
        help="check every event, photo and row, and say what to do where one is damaged",
        description=(
            "Looks at disk and rights, reads every event, its place in its device's chain, every "
            "photo, checklist and row. Changes nothing unless told to. Ends with 0 when all is "
            "whole, 1 when something is not."
        ),
    )
    parser.add_argument(
        "--ask-again",
        action="store_true",
        help="take damaged or missing photos for not held, so that phones send them again",
    )
    parser.add_argument(
        "--repair",
        action="store_true",
        help="make anew what can be made of something else: copies of photos, lists, indexes; ask "
        "phones for damaged entries",
    )
    parser.set_defaults(run=doctor)


def doctor(args: argparse.Namespace) -> int:
    from bradawl.admin.places import examine_places
    from bradawl.common.settings import from_environment
    from bradawl.log.photos.photos import RESERVE_BYTES

    settings = from_environment()
    findings = list(examine_places(settings, RESERVE_BYTES))
    if any(finding.code == "missing" for finding in findings):
        _print(findings, settings)
        return 1
    log, problem = _opened(settings)
    if log is None:
        _print([*findings, *problem], settings)
        return 1
    try:
        return _examined(log, settings, findings, ask_again=args.ask_again, repair=args.repair)
    finally:
        log.close()


def _opened(settings: Settings) -> tuple[Log | None, list[Finding]]:
    """The log, or what stands in the way of opening it."""
    from sqlalchemy.exc import DBAPIError

    from bradawl.admin.places import database_path
    from bradawl.common import disk_errors
    from bradawl.common.file_swap import SwapError
    from bradawl.database.connection import open_engine, reading
    from bradawl.log.event_log import Log
    from bradawl.log.integrity.faults import Finding
    from bradawl.log.photos.storage import open_photo_store

    place = database_path(settings) or settings.data
    engine: Engine | None = None
    try:
        engine = open_engine(settings.database_url)
        with reading(engine) as connection:
            connection.exec_driver_sql("SELECT 1").close()
        return Log(engine, open_photo_store(settings.photo_store)), []
    except SwapError as error:
        return None, [Finding("restoring", str(error), "Then run this again.")]
    except (DBAPIError, OSError) as error:
        if engine is not None:
            engine.dispose()
        fault = disk_errors.fault_of(error, place)
        if fault is None:
            what = f"The database or the photo store cannot be opened: {error}."
            return None, [Finding("unreadable", what, disk_errors.fault("failing", place).remedy)]
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
    _print(everything, settings)
    _summarize(health, len(everything))
    if asked_again:
        print(f"{asked_again} photos are asked for again, once the server has been started anew.")
    return 1 if everything else 0


def _repair(log: Log, findings: Sequence[Finding]) -> bool:
    """Whether anything was made anew."""
    from sqlalchemy.exc import DBAPIError

    from bradawl.database.connection import writing
    from bradawl.log.chains.repair import repair as repair_chains
    from bradawl.log.integrity.photo_checks import repair_copies

    copies = repair_copies(log, findings)
    if copies:
        print(f"{copies} copies of photos were made again.")
    chains = any(finding.code in ("chain", "visit") for finding in findings)
    if chains:
        with writing(log.engine) as connection:
            for sentence in repair_chains(connection):
                print(sentence)
    indexes = any(finding.code == "pages" and "index" in finding.what for finding in findings)
    if indexes and log.engine.dialect.name == "sqlite":
        try:
            with writing(log.engine) as connection:
                connection.exec_driver_sql("REINDEX").close()
            print("The indexes of the database were made again.")
        except DBAPIError as error:
            print(f"The indexes cannot be made again: {error.orig}.")
    return bool(copies or chains or indexes)


def _print(findings: Sequence[Finding], settings: Settings) -> None:
    """The faults, and what the daily backups have to say to them."""
    from bradawl.backup.history import now, warnings
    from bradawl.serving.backups.state import history_of

    for finding in findings:
        print(f"{finding.what}\n    {finding.remedy}")
    history = history_of(settings)
    if history is None:
        return
    for warning in warnings(history, now()):
        print(warning)
    whole = next((run for run in history.runs() if run.whole), None)
    if whole is not None and any(
        "restore the latest backup" in finding.remedy for finding in findings
    ):
        assert whole.proof is not None
        print(
            f"The latest backup that is whole: {whole.archive}, of {whole.proof.made}, with "
            f"{whole.proof.events} events and {whole.proof.photos} photos. To restore it: bradawl "
            f"restore {whole.archive} --replace"
        )


def _summarize(health: Health, faults: int) -> None:
    print(
        f"{health.devices} devices, {health.events} events, {health.photos} photos read; "
        f"{health.waiting_photos} photos still on their phones; "
        + ("all whole." if not faults else f"{faults} {'fault' if faults == 1 else 'faults'}.")
    )
