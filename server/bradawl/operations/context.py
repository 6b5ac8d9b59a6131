"""Which request or command is being worked on, and for whom."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field

#: Nobody paired or signed in has been recognised (yet).
NOBODY = "nobody"


def new_id() -> str:
    """48 random bits as 12 lower-case hex characters: short enough to be read out."""
    return secrets.token_hex(6)


@dataclass
class Operation:
    """One request or one run of a command: what its lines in the log have in common.

    One object for all threads that work on it, so whoever recognises the sender in a worker thread
    tells everybody. `address` is the client's, empty for a command. `error` is the status and the
    code of the last ApiError.
    """

    id: str = field(default_factory=new_id)
    who: str = NOBODY
    device_id: str = ""
    person: str = ""
    person_id: str = ""
    address: str = ""
    method: str = ""
    path: str = ""
    error: tuple[int, str] = (0, "")

    def fields(self) -> dict[str, str]:
        """What is known of it, by the names that the log uses; the id as `request_id`."""
        fields = {
            "who": self.who,
            "device_id": self.device_id,
            "person": self.person if self.person != self.who else "",
            "person_id": self.person_id,
            "address": self.address,
            "request_id": self.id,
        }
        return {name: value for name, value in fields.items() if value}


_current: ContextVar[Operation | None] = ContextVar("bradawl_operation", default=None)


def current() -> Operation | None:
    """What is being worked on in this thread or task, if anything."""
    return _current.get()


@contextmanager
def working_on(operation: Operation) -> Iterator[Operation]:
    """`operation` is the current one in the block, also in the threads and tasks it begins."""
    before = _current.set(operation)
    try:
        yield operation
    finally:
        _current.reset(before)


def request_id() -> str:
    """The id of the current request, for a person to quote; empty outside of one."""
    operation = _current.get()
    return operation.id if operation is not None else ""


def identify(person_id: str, person: str, *, device_id: str = "", device: str = "") -> None:
    """Say who sends the current request: a person, or that person's device."""
    operation = _current.get()
    if operation is None:
        return
    operation.person_id, operation.person = person_id, person
    operation.device_id, operation.who = device_id, device or person
