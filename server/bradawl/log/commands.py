"""`bradawl doctor`: is everything that was acknowledged still there, whole?"""

from __future__ import annotations

import argparse


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add this part's commands."""
    parser = sub.add_parser(
        "doctor",
        help="check every event and every photo, and say what to do where one is damaged",
        description=(
            "Reads every event, its place in its device's chain, and every photo. Changes nothing "
            "unless told to. Ends with 0 when all is whole, 1 when something is damaged."
        ),
    )
    parser.add_argument(
        "--ask-again",
        action="store_true",
        help="take damaged or missing photos for not held, so that phones send them again",
    )
    parser.set_defaults(run=doctor)


def doctor(arguments: argparse.Namespace) -> int:
    from sqlalchemy.exc import DBAPIError

    from bradawl import settings
    from bradawl.database import open_engine
    from bradawl.log import Log, open_photo_store
    from bradawl.log.doctor import ask_again, examine
    from bradawl.log.finding import RESTORE

    chosen = settings.from_environment()
    if not chosen.data.is_dir():
        print(f"There is no data folder {chosen.data}; BRADAWL_DATA names another.")
        return 1
    try:
        log = Log(open_engine(chosen.database_url), open_photo_store(chosen.photo_store))
    except (DBAPIError, OSError) as error:
        print(f"The database or the photo store cannot be opened: {error}.\n{RESTORE}")
        return 1
    health = examine(log)
    asked = ask_again(log, health.findings) if arguments.ask_again else 0
    log.close()
    for finding in health.findings:
        print(f"{finding.what}\n    {finding.remedy}")
    print(
        f"{health.devices} devices, {health.events} events, {health.photos} photos read; "
        f"{health.waiting_photos} photos still on their phones; "
        + ("all whole." if not health.findings else f"{len(health.findings)} faults.")
    )
    if asked:
        print(f"{asked} photos are asked for again, once the server has been started anew.")
    return 1 if health.findings else 0
