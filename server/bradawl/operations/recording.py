"""Configures this process's log for the length of a command, and takes it away afterwards."""

from __future__ import annotations

import logging
import os
import pwd
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from bradawl.common.settings import Settings
from bradawl.operations import formats
from bradawl.operations.context import Operation, working_on
from bradawl.operations.files import LogFile, Terminal, holds_json, say
from bradawl.operations.notes import note
from bradawl.operations.repeats import Repeats

logger = logging.getLogger(__name__)

COMMAND_LINE = "the command line"


@contextmanager
def recording(
    settings: Settings, *, as_json: bool = False, terminal: bool = False, verbose: bool = False
) -> Iterator[None]:
    """Write the log of `settings` to its end of the block.

    Args:
        as_json: JSON lines; the settings may say so too.
        terminal: a short form on standard error as well. Whoever has it begins the log, in the
            form that was asked for; a command goes on in the form that it finds.
        verbose: every request is written, and the short form leaves nothing out.
    """
    as_json = as_json or settings.log.json
    file = LogFile(
        settings.log_file,
        max_bytes=settings.log.file_bytes,
        count=settings.log.files,
        complain=say,
    )
    begun_as_json = holds_json(file.path)
    if begun_as_json is not None and begun_as_json != as_json:
        if terminal:
            _turn_over(file)
        else:
            as_json = begun_as_json
    file.setFormatter(formats.JsonLines() if as_json else formats.Readable())
    targets: list[logging.Handler] = [file]
    if terminal:
        screen = Terminal(routine=verbose)
        screen.setFormatter(formats.Short())
        targets.append(screen)
    everything = Repeats(targets)
    root, ours = logging.getLogger(), logging.getLogger("bradawl")
    before = ours.level
    root.addHandler(everything)
    ours.setLevel(logging.DEBUG if verbose else logging.INFO)
    try:
        yield
    finally:
        ours.setLevel(before)
        root.removeHandler(everything)
        everything.close()


def settle() -> None:
    """Write what is only counted so far: this process may be ended at any moment."""
    for handler in logging.getLogger().handlers:
        if isinstance(handler, Repeats):
            handler.settle()


@dataclass
class Ended:
    """How a command ended: its exit code and, where it failed, the error or a sentence why."""

    code: int = 1
    why: object = ""


@contextmanager
def command(settings: Settings, name: str) -> Iterator[Ended]:
    """The log of one run of a command, which says at the end what became of it."""
    ended = Ended()
    began = time.monotonic()
    with recording(settings), working_on(Operation(who=COMMAND_LINE)):
        failed: Exception | None = None
        try:
            yield ended
        except Exception as error:
            failed = None if ended.why else error
            raise
        finally:
            more: dict[str, Any] = {"why": ended.why} if ended.why else {}
            note(
                logger,
                "command.ended",
                level=logging.ERROR if failed or ended.code else logging.INFO,
                error=failed,
                command=name,
                exit_code=ended.code,
                duration_ms=round((time.monotonic() - began) * 1000),
                os_user=_user(),
                **more,
            )


def _user() -> str:
    try:
        return pwd.getpwuid(os.getuid()).pw_name
    except KeyError:
        return str(os.getuid())


def _turn_over(file: LogFile) -> None:
    try:
        file.turn_over()
    except OSError as error:
        say(f"The log goes on in two forms in one file ({file.path}: {error.strerror}).")
