"""Chooses a free port once and keeps to it: what a browser holds belongs to the address."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from socket import socket

from bradawl.common.settings import DEFAULT_PORT, StartError
from bradawl.language import message
from bradawl.listening import ports

FILE = "port"
#: In steps of two: the first page for phones is on the next port.
TRIED = range(DEFAULT_PORT, DEFAULT_PORT + 80, 2)


def chosen(data: Path, *, network: bool) -> tuple[int, int | None]:
    """The port to listen on, and the one that was kept but is another program's now, else None.

    The first choice is written into the data folder. `network` needs the next port too.
    Raises StartError where none is free, OSError where the folder can't be written.
    """
    kept = _kept(data)
    free = _free_on_network if network else _free_here
    if kept is not None and free(kept):
        return kept, None
    for port in TRIED:
        if port != kept and free(port):
            if kept is None:
                data.mkdir(parents=True, exist_ok=True, mode=0o700)
                (data / FILE).write_text(f"{port}\n")
            return port, kept
    raise StartError(message("cli-open-no-port", first=str(TRIED[0]), last=str(TRIED[-1])))


def _kept(data: Path) -> int | None:
    try:
        return ports.port_number((data / FILE).read_text().strip()) or None
    except Exception:
        return None


def _free_here(port: int) -> bool:
    return _opens(lambda: ports.open_local_port(port, as_localhost=True))


def _free_on_network(port: int) -> bool:
    return _opens(lambda: list(ports.open_neighboring_ports(port)))


def _opens(open_ports: Callable[[], list[socket]]) -> bool:
    try:
        sockets = open_ports()
    except StartError:
        return False
    for listening in sockets:
        listening.close()
    return True
