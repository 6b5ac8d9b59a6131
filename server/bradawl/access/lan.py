"""`bradawl serve --lan`: https in the workshop's network, and the page that makes it trusted."""

from __future__ import annotations

import asyncio
import io
import logging
import socket
import ssl
import sys
import textwrap
from collections.abc import Callable, Collection, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import segno
from starlette.types import ASGIApp

from bradawl.access.authority import certificates, lifecycle
from bradawl.access.authority.certificates import Authority
from bradawl.access.authority.lifecycle import ServerFiles, Standing
from bradawl.access.authority.names import Place, this_machine
from bradawl.access.web.onboarding import first_app
from bradawl.language import Message, date, text
from bradawl.listening import server
from bradawl.operations import note

logger = logging.getLogger(__name__)

#: How often names, addresses and the ends of certificates are looked at.
LOOK_EVERY_S = 60.0
#: So long a start reminds of an authority that was replaced.
REMINDED = timedelta(days=60)


class Lan:
    """What serving in a network needs: addresses, ports, certificates. It is as of now, always:
    what changes while the server runs changes here.
    """

    def __init__(self, keys: Path, port: int, first_port: int, place: Place) -> None:
        self._folder = lifecycle.folder_in(keys)
        self.port = port
        self.first_port = first_port
        self.place = place
        self.standing: Standing
        #: Sentences about what the last look changed.
        self.said: tuple[Message, ...] = ()
        self.files: ServerFiles
        self.context = _context()
        #: For whoever looks whether a phone trusts the next authority, while there is one.
        self.next_context: ssl.SSLContext | None = None
        self.hosts = _Hosts(self)
        self._next_files: ServerFiles | None = None
        self.look_again(place)
        self.take_up()

    def look_again(self, place: Place) -> bool:
        """Make or renew the files that are needed; whether there is something to say about it."""
        before = self.standing.authority.sha256 if hasattr(self, "standing") else None
        standing = lifecycle.look_after(self._folder, place)
        authority, following = standing.authority, standing.next
        self.files = lifecycle.server_files(self._folder, authority, place)
        self._next_files = (
            None
            if following is None
            else lifecycle.server_files(self._folder, following, place, prefix="next-")
        )
        self.place, self.standing = place, standing
        self.said = standing.said
        for sentence in self.said:
            note(logger, "authority.changed", authority=authority.name, why=sentence)
        return before != authority.sha256 or bool(self.said)

    def take_up(self) -> None:
        """Give connections to come what `look_again` found; where they are accepted, since a
        context must not change in the middle of a handshake.
        """
        self.context.load_cert_chain(self.files.certificate, self.files.key)
        following = self._next_files
        if following is None:
            self.next_context = None
        else:
            self.next_context = self.next_context or _context()
            self.next_context.load_cert_chain(following.certificate, following.key)

    @property
    def origins(self) -> list[str]:
        """https origins for phones: the name first, which stays when the address changes."""
        return self._origins(self.port, self.standing.authority)

    @property
    def next_origins(self) -> list[str]:
        """https origins that answer with a certificate of the next authority, if there is one."""
        following = self.standing.next
        return [] if following is None else self._origins(self.first_port, following)

    @property
    def first_address(self) -> str:
        """Where a phone begins, in plain http: by address, which every phone can reach."""
        hosts = self._address_hosts() or ["127.0.0.1"]
        return f"http://{hosts[0]}:{self.first_port}/"

    @property
    def unnamed(self) -> tuple[str, ...]:
        """Names of this machine for which the authority cannot vouch: it was made before them."""
        permitted = certificates.speaks_for(self.standing.authority.issuer)
        return tuple(name for name in self.place.names if name not in permitted)

    def _origins(self, port: int, authority: Authority) -> list[str]:
        permitted = certificates.speaks_for(authority.issuer)
        names = [name for name in self.place.names if name.endswith(".local") and name in permitted]
        return [f"https://{host}:{port}" for host in names + self._address_hosts()]

    def _address_hosts(self) -> list[str]:
        reachable = [
            address
            for address in self.place.addresses
            if not address.is_loopback and not address.is_link_local
        ]
        # IPv6 only where there is nothing else: those addresses change, and an installed app is
        # bound to the address it was installed from.
        plain = [str(address) for address in reachable if address.version == 4]
        return plain or [f"[{address}]" for address in reachable]


class _Hosts(Collection[str]):
    """Every name and address that the server answers to, as of now."""

    def __init__(self, lan: Lan) -> None:
        self._lan = lan

    def _all(self) -> set[str]:
        place = self._lan.place
        return {"localhost", *place.names, *(str(address) for address in place.addresses)}

    def __contains__(self, name: object) -> bool:
        return name in self._all()

    def __iter__(self) -> Iterator[str]:
        return iter(self._all())

    def __len__(self) -> int:
        return len(self._all())


def prepare(keys: Path, port: int, first_port: int, place: Place | None = None) -> Lan:
    """Make or renew what is needed below `keys`. Raises OSError."""
    return Lan(keys, port, first_port, place or this_machine())


def greeting(lan: Lan) -> str:
    """What the terminal shows: the code for phones, the fingerprint to compare, what is new."""
    authority = lan.standing.authority
    fingerprint = authority.fingerprint
    return "\n".join(
        [
            code(lan.first_address, colours=sys.stdout.isatty()),
            text("access-greeting-phone", address=lan.first_address),
            text("access-greeting-desk", address=(lan.origins or ["https://127.0.0.1"])[0]),
            text("access-greeting-print"),
            f"  {fingerprint[:39]}",
            f"  {fingerprint[40:]}",
            text("access-greeting-ends", day=lifecycle.day_of(authority.ends)),
            *_news(lan),
        ]
    )


def _news(lan: Lan) -> list[str]:
    sentences = [str(said) for said in lan.said]
    recently = (datetime.now(UTC) - REMINDED).date().isoformat()
    sentences += [
        text("access-greeting-former", name=authority.name, day=date(authority.until))
        for authority in lan.standing.former
        if authority.until >= recently
    ]
    if not lan.standing.said and lan.standing.next is not None:
        sentences.append(str(lifecycle.next_said(lan.standing.authority, lan.standing.next)))
    if lan.unnamed:
        sentences.append(text("access-greeting-renamed", name=lan.unnamed[0]))
    return ["", *(textwrap.fill(sentence, 96) for sentence in sentences), ""] if sentences else []


def code(address: str, *, colours: bool = False) -> str:
    """An address as a QR code in blocks; `colours` fixes white on black, also where the terminal's
    own paper is white and the code would stand in negative, which some cameras do not read.
    """
    picture = io.StringIO()
    segno.make(address, error="m").terminal(picture, compact=True, border=2)
    if not colours:
        return picture.getvalue()
    return "".join(f"\x1b[97;40m{line}\x1b[0m\n" for line in picture.getvalue().splitlines())


def tls_context(files: ServerFiles) -> ssl.SSLContext:
    """TLS 1.2 and 1.3 with the library's own choice of ciphers."""
    context = _context()
    context.load_cert_chain(files.certificate, files.key)
    return context


def _context() -> ssl.SSLContext:
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    return context


async def serve(
    app: ASGIApp,
    lan: Lan,
    main_socket: socket.socket,
    first_socket: socket.socket,
    *,
    here: Sequence[socket.socket] = (),
    started: Callable[[], None] = lambda: None,
    changed: Callable[[], None] = lambda: None,
    look_every_s: float = LOOK_EVERY_S,
) -> None:
    """Serve `app` over https and the first page in plain http until stopped.

    `here` are sockets of this machine alone, which need no encryption: a browser beside the server
    would be warned of a certificate that only phones have learned to trust. `changed` is called
    when there is something to say: another authority, or one to come.
    """
    admission = server.admission_of_this_process()
    main = server.Server(app, admission, context=lan.context)
    first = server.Server(first_app(lan), admission, also_secure=lambda: lan.next_context)
    renewing = asyncio.create_task(_renew(lan, changed, look_every_s))
    try:
        await server.serve(
            (
                (main, [main_socket]),
                (first, [first_socket]),
                *([(server.Server(app, admission), list(here))] if here else ()),
            ),
            started=started,
        )
    finally:
        renewing.cancel()


async def _renew(lan: Lan, changed: Callable[[], None], every_s: float) -> None:
    """Follow the calendar, the network and `bradawl authority`; connections to come see it."""
    while True:
        await asyncio.sleep(every_s)
        try:
            place = await asyncio.to_thread(this_machine)
            news = await asyncio.to_thread(lan.look_again, place)
            lan.take_up()
        except OSError as error:
            logger.error("The certificates could not be looked after: %s", error)
            continue
        if news:
            changed()
