"""The desk as its pages see it: one value from the wiring, and who may do what with it.

A route asks for `DeskHere`; one that changes anything asks for `Writer` or `Owner` as well.
"""

# No postponed annotations here: FastAPI reads those of the dependencies.
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Annotated, Any, Literal, Protocol, cast

from fastapi import Depends, Request

from bradawl.common.clock import now_ms
from bradawl.common.errors import ApiError
from bradawl.desk.model.checklists.versions import ChecklistVersions
from bradawl.desk.model.log import DeskLog
from bradawl.desk.model.records.waiting_files import WaitingFiles
from bradawl.desk.model.visits.summaries import Summaries
from bradawl.inspection.snapshot import Snapshot, UnknownVisit
from bradawl.language import message

__all__ = ["Desk", "DeskHere", "OnlyOwner", "Owner", "Person", "Verdict", "Writer", "provide"]


class Verdict(Protocol):
    """What the report's verification says of a PDF."""

    @property
    def kind(self) -> Literal["genuine", "unknown", "changed"]: ...
    @property
    def lines(self) -> list[str]: ...


class Health(Protocol):
    """Whether all is well, in one line, and each thing that needs a look in a sentence."""

    @property
    def line(self) -> str: ...
    @property
    def problems(self) -> Sequence[str]: ...


#: Keeps in the trail that a person did something at the desk: (request, person, act, about).
Note = Callable[[Request, Any, str, str], None]


def _no_note(_request: Request, _person: Any, _act: str, _about: str) -> None:
    return None


def _today() -> str:
    return date.today().isoformat()  # noqa: DTZ011 - the workshop's own calendar day


@dataclass(frozen=True, kw_only=True)
class Desk:
    """Everything that the pages may use.

    `person` gives who signed in and asks (it raises ApiError for anybody else), `owner` the same
    for what only an owner may decide, and `is_owner` tells owners from others; `device_of` gives
    the device id under which a person's acts at the desk are logged, `name_of` the name of any
    device. `photos_missing` names those photos that have not arrived, `health` says
    whether all is well, `note` keeps the trail. `waiting` holds files that an
    owner has to look at, `checklists` the adapted ones; without them the desk has no pages for
    checklists; `bundle` is today's as the reader reads it. `clock` gives Unix milliseconds, `today`
    a day as YYYY-MM-DD.
    """

    snapshots: Callable[[str], Snapshot]
    log: DeskLog
    summaries: Summaries
    person: Callable[[Request], Any]
    owner: Callable[[Request], Any]
    is_owner: Callable[[Any], bool]
    device_of: Callable[[Any], str]
    name_of: Callable[[str], str]
    verify: Callable[[bytes], Verdict]
    photos_missing: Callable[[Sequence[str]], Collection[str]]
    checklists: ChecklistVersions | None = None
    note: Note = _no_note
    health: Callable[[], Health | None] = lambda: None
    waiting: WaitingFiles = field(default_factory=WaitingFiles)
    bundle: Callable[[], Mapping[str, Any]] = dict
    clock: Callable[[], int] = now_ms
    today: Callable[[], str] = _today

    def snapshot(self, visit: str) -> Snapshot:
        """The snapshot of a visit. Raises ApiError 404 when there is none."""
        try:
            return self.snapshots(visit)
        except UnknownVisit as unknown:
            raise ApiError("unknown_visit", message("desk-car-unknown"), 404) from unknown


def provide(desk: Desk) -> Callable[[Request], Any]:
    """A router's dependency that lets every route below it find `desk`."""

    async def attach(request: Request) -> None:
        request.state.desk = desk

    return attach


async def current_desk(request: Request) -> Desk:
    """The desk that `provide` attached."""
    return cast(Desk, request.state.desk)


DeskHere = Annotated[Desk, Depends(current_desk)]


def require_person(request: Request, desk: DeskHere) -> Any:
    """Somebody who signed in and may use the desk."""
    return desk.person(request)


Person = Annotated[Any, Depends(require_person)]


def require_writer(desk: DeskHere, person: Person) -> str:
    """The device id under which this person's changes are logged."""
    return desk.device_of(person)


Writer = Annotated[str, Depends(require_writer)]


def require_owner(request: Request, desk: DeskHere) -> Any:
    """An owner, as sure as the wiring wants it for what only an owner may decide."""
    return desk.owner(request)


Owner = Annotated[Any, Depends(require_owner)]


def only_owner(desk: DeskHere, person: Person) -> None:
    """A page's guard: raises ApiError 403 for anybody but an owner."""
    if not desk.is_owner(person):
        raise ApiError("owners_only", message("desk-chains-owners-only"), 403)


OnlyOwner = Depends(only_owner)
