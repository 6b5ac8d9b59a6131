"""`bradawl serve --lan`: https in the workshop's network, and the page that makes it trusted."""

from __future__ import annotations

import asyncio
import io
import socket
import ssl
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import segno
from starlette.types import ASGIApp

from bradawl.access.certificates import (
    Authority,
    Place,
    ServerFiles,
    open_authority,
    server_files,
    this_machine,
)
from bradawl.access.hello import first_app
from bradawl.listening import server as listening

#: How often names, addresses and the end of the certificate are looked at.
LOOK_EVERY_S = 60.0


@dataclass(frozen=True)
class Lan:
    """What serving in a network needs: certificate files, addresses, ports."""

    keys: Path
    authority: Authority
    files: ServerFiles
    place: Place
    port: int
    first_port: int

    @property
    def origins(self) -> list[str]:
        """https origins for phones: the name first, which stays when the address changes."""
        hosts = [name for name in self.place.names if name.endswith(".local")]
        return [f"https://{host}:{self.port}" for host in hosts + self._address_hosts()]

    @property
    def first_address(self) -> str:
        """Where a phone begins, in plain http: by address, which every phone can reach."""
        hosts = self._address_hosts() or [self.place.names[0]]
        return f"http://{hosts[0]}:{self.first_port}/"

    @property
    def hosts(self) -> set[str]:
        """Every name and address that the server answers to."""
        return {*self.place.names, *(str(one) for one in self.place.addresses)}

    def _address_hosts(self) -> list[str]:
        reachable = [
            one for one in self.place.addresses if not one.is_loopback and not one.is_link_local
        ]
        # IPv6 only where there is nothing else: those addresses change, and an installed app is
        # bound to the address it was installed from.
        plain = [str(one) for one in reachable if one.version == 4]
        return plain or [f"[{one}]" for one in reachable]


def prepare(keys: Path, port: int, first_port: int, place: Place | None = None) -> Lan:
    """Make or renew what is needed below `keys`."""
    place = place or this_machine()
    authority = open_authority(keys, place)
    return Lan(keys, authority, server_files(keys, authority, place), place, port, first_port)


def greeting(lan: Lan) -> str:
    """What the terminal shows: the code for phones and the fingerprint to compare."""
    fingerprint = lan.authority.fingerprint
    return (
        f"{code(lan.first_address, colours=sys.stdout.isatty())}\n"
        f"A phone begins here: {lan.first_address}\n"
        f"Desk and phone app:  {lan.origins[0] if lan.origins else 'https://localhost'}\n"
        "The certificate that the phone installs must have this SHA-256 fingerprint:\n"
        f"  {fingerprint[:39]}\n  {fingerprint[40:]}\n"
        f"The server's own certificate ends on {lan.files.ends:%Y-%m-%d} and renews itself."
    )


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
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.load_cert_chain(files.certificate, files.key)
    return context


async def serve(
    app: ASGIApp,
    lan: Lan,
    main_socket: socket.socket,
    first_socket: socket.socket,
    *,
    started: Callable[[], None] = lambda: None,
    look_every_s: float = LOOK_EVERY_S,
) -> None:
    """Serve `app` over https and the first page in plain http until stopped."""
    context = tls_context(lan.files)
    door = listening.door_of_this_process()
    main = listening.Server(app, door, context=context)
    first = listening.Server(first_app(lan.authority, lan.origins), door)
    renewing = asyncio.create_task(_renew(lan, context, look_every_s))
    try:
        await listening.serve(((main, [main_socket]), (first, [first_socket])), started=started)
    finally:
        renewing.cancel()


async def _renew(lan: Lan, context: ssl.SSLContext, every_s: float) -> None:
    """Give new connections a new certificate when the old one ends or the machine has moved."""
    while True:
        await asyncio.sleep(every_s)
        place = await asyncio.to_thread(this_machine)
        files = await asyncio.to_thread(server_files, lan.keys, lan.authority, place)
        if files.renewed:
            context.load_cert_chain(files.certificate, files.key)
