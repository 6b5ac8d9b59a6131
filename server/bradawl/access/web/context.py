"""What a page of access gets: `Parts` that the wiring handed in, and the `User` who asks.

Routes are functions of a module. Who may open one stands in its signature: `AnyUser`, `Insider`,
`Owner`, `ConfirmedOwner` (typed the passphrase a moment ago) or `ConfirmedUser`; `Here` gives the
parts alone, to pages that need no sign-in.
"""

# No postponed annotations here: FastAPI reads them.
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Annotated, Any, Protocol, cast

from fastapi import Depends, Form, Request, Response
from fastapi.responses import RedirectResponse

from bradawl.access.core.client import address_of
from bradawl.access.core.models import Person
from bradawl.access.people.sessions import SignedIn
from bradawl.access.people.turns import Turns
from bradawl.access.personal_data.forgetting import Forgetting
from bradawl.access.web.auth import Access
from bradawl.access.web.rendering import render
from bradawl.common.errors import ApiError
from bradawl.common.settings import Settings, at
from bradawl.language import message

__all__ = [
    "AnyUser",
    "ConfirmedOwner",
    "ConfirmedUser",
    "Here",
    "Insider",
    "Owner",
    "Parts",
    "Text",
    "User",
    "page_of",
    "provide",
    "see",
]

Text = Annotated[str, Form()]


class Certificate(Protocol):
    """What is shown of a signer's certificate."""

    @property
    def name(self) -> str: ...
    @property
    def fingerprint(self) -> str: ...
    @property
    def pem(self) -> str: ...


class KnownSigner(Protocol):
    """A signer under the name that this workshop gave them."""

    @property
    def name(self) -> str: ...


class Signers(Protocol):
    """What the page of keys needs of the part that signs; its refusals are ApiErrors."""

    def shop(self) -> Certificate: ...
    def known(self) -> Sequence[KnownSigner]: ...
    def find(self, fingerprint: str) -> Certificate | None: ...
    def look(self, data: bytes) -> Sequence[Certificate]: ...
    def know(self, pem: str, name: str) -> KnownSigner: ...
    def published(self) -> Sequence[Mapping[str, str]]: ...
    def declare_lost(self, fingerprint: str, since: str) -> str: ...
    def forget(self, fingerprint: str) -> str | None: ...
    def replace_shop_key(self, name: str) -> Certificate: ...


class BackupContents(Protocol):
    """What a backup holds; `faults` are sentences about what is not whole in it."""

    @property
    def photos(self) -> int: ...
    @property
    def faults(self) -> Sequence[str]: ...


class Health(Protocol):
    """Whether all is well, in one line, and each thing that needs a look in a sentence."""

    @property
    def line(self) -> str: ...
    @property
    def problems(self) -> Sequence[str]: ...


@dataclass(frozen=True)
class Parts:
    """What the pages use of the other parts.

    `title_of` gives a visit's car in words, None for an unknown visit; `report` the PDF of (visit,
    edition); `held` up to which entry each device is here; `backup` a backup in a temporary file,
    and what it holds; `backup_state` what the page shows of those that the server makes by
    itself, `health` whether all is well; `keys` is the folder of private keys, of which only
    certificates are shown. `phones_begin` is the address at which a phone begins and the
    fingerprint that it compares, empty where none can; `sample` the shop to play with, None where
    there is none.
    `letterhead` has the shop's lines by their names; `keep_letterhead` records others for a person
    (ApiError for what is no address).
    """

    access: Access
    title_of: Callable[[str], str | None]
    report: Callable[[str, str], bytes]
    forgetting: Forgetting
    held: Callable[[], Mapping[str, int]]
    backup: Callable[[], tuple[IO[bytes], BackupContents]]
    backup_state: Callable[[], object]
    signers: Signers
    keys: Path
    letterhead: Callable[[], Mapping[str, str]] = dict
    health: Callable[[], Health | None] = lambda: None
    settings: Settings = field(default_factory=lambda: at(Path("nowhere")))
    phones_begin: Callable[[], tuple[str, str]] = lambda: ("", "")
    sample: Any = None
    keep_letterhead: Callable[[Person, Mapping[str, str]], None] = lambda _person, _given: None
    #: Who opens a link again and again costs the others a wait at most.
    laying_out: Turns = field(default_factory=lambda: Turns(at_once=1, each=2, waiting=100))

    def title(self, visit: str) -> str:
        """As `title_of`; raises ApiError 404 "unknown_visit"."""
        title = self.title_of(visit)
        if title is None:
            raise ApiError("unknown_visit", message("access-unknown-visit"), 404)
        return title


def provide(parts: Parts) -> Callable[[Request], Any]:
    """A router's dependency that lets every route below it find `parts`."""

    async def attach(request: Request) -> None:
        request.state.access_parts = parts

    return attach


async def _parts(request: Request) -> Parts:
    return cast(Parts, request.state.access_parts)


Here = Annotated[Parts, Depends(_parts)]


@dataclass(frozen=True)
class User:
    """Somebody who is signed in and asks for a page; `session` is empty where the desk is open."""

    request: Request
    parts: Parts
    person: Person
    session: str = ""

    @property
    def access(self) -> Access:
        return self.parts.access

    def page(self, template: str, error: ApiError | None = None, **values: Any) -> Response:
        """As `page_of`, with the user's own name in it."""
        return page_of(self.request, template, error, me=self.person, **values)

    def record(self, act: str, about: str = "", **named: Any) -> None:
        """Add a line to the audit trail, as `Audit.record` does."""
        address = address_of(self.request)
        self.access.audit.record(self.person.name, act, about, address, **named)

    def record_about(self, act: str, person: Person) -> None:
        """The same about a person."""
        self.record(act, person.name, subject=person.name, subject_id=person.id)


def page_of(
    request: Request, template: str, error: ApiError | None = None, **values: Any
) -> Response:
    """A page; `error` gives its status and the sentence on top of it."""
    if error is None:
        return render(request, template, **values)
    values = {"problem": error.message, "headers": error.headers, **values}
    return render(request, template, error.status, **values)


def see(place: str) -> Response:
    """On to another page, after a form was carried out."""
    return RedirectResponse(place, 303)


def _any_user(request: Request, parts: Here) -> User:
    return _of(request, parts, parts.access.signed_in(request))


def _confirmed_user(request: Request, parts: Here) -> User:
    return _of(request, parts, parts.access.confirmed(request))


def _of(request: Request, parts: Parts, who: SignedIn) -> User:
    return User(request, parts, who.person, who.session)


def _insider(request: Request, parts: Here) -> User:
    return User(request, parts, parts.access.person(request))


def _owner(request: Request, parts: Here) -> User:
    return User(request, parts, parts.access.owner(request))


def _confirmed_owner(request: Request, parts: Here) -> User:
    return User(request, parts, parts.access.confirmed_owner(request))


AnyUser = Annotated[User, Depends(_any_user)]
ConfirmedUser = Annotated[User, Depends(_confirmed_user)]
Insider = Annotated[User, Depends(_insider)]
Owner = Annotated[User, Depends(_owner)]
ConfirmedOwner = Annotated[User, Depends(_confirmed_owner)]
