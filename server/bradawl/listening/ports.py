"""Opens the ports to listen on, before their address is printed."""

from __future__ import annotations

import argparse
import errno
import socket
from collections.abc import Iterator
from contextlib import contextmanager

from bradawl.common.settings import StartError
from bradawl.language import message

__all__ = ["BACKLOG", "number_of", "open_local_port", "open_neighboring_ports", "port_number"]

#: Connections that the system keeps until they are let in; it may cut this down (somaxconn).
BACKLOG = 1_024
HIGHEST_PORT = 65_535


def port_number(typed: str) -> int:
    """A port as typed; 0 lets the system choose one. Raises argparse.ArgumentTypeError."""
    if not typed.isascii() or not typed.isdigit() or int(typed) > HIGHEST_PORT:
        raise argparse.ArgumentTypeError(
            str(message("cli-port-number", given=typed, most=str(HIGHEST_PORT)))
        )
    return int(typed)


def open_port(port: int) -> socket.socket:
    """A listening socket on every address of this machine. Raises StartError."""
    with _explained(port):
        if socket.has_dualstack_ipv6():
            return socket.create_server(
                ("", port), family=socket.AF_INET6, backlog=BACKLOG, dualstack_ipv6=True
            )
        return socket.create_server(("", port), backlog=BACKLOG)


def open_neighboring_ports(port: int) -> tuple[socket.socket, socket.socket]:
    """A port and the next, as `open_port`; 0 lets the system choose both. Raises StartError."""
    if port == HIGHEST_PORT:
        raise StartError(message("cli-port-last", port=str(port)))
    for _ in range(20):
        first = open_port(port)
        try:
            return first, open_port(number_of(first) + 1)
        except StartError:
            first.close()
            if port:
                raise
    raise StartError(message("cli-port-none"))


def open_local_port(port: int, *, as_localhost: bool) -> list[socket.socket]:
    """Listening sockets for this machine alone: 127.0.0.1 first. Raises StartError.

    `as_localhost` adds what else that name stands for: browsers try ::1 first (RFC 6724), and
    whoever else listened there would be asked in our place.
    """
    with _explained(port):
        first = socket.create_server(("127.0.0.1", port), backlog=BACKLOG)
    if not as_localhost:
        return [first]
    number = number_of(first)
    try:
        second = socket.create_server(("::1", number), family=socket.AF_INET6, backlog=BACKLOG)
    except OSError as error:
        if error.errno != errno.EADDRINUSE:
            return [first]  # a machine without IPv6
        first.close()
        raise _sentence(number, error) from error
    return [first, second]


def number_of(listening: socket.socket) -> int:
    """The port that a socket listens on."""
    number: int = listening.getsockname()[1]
    return number


@contextmanager
def _explained(port: int) -> Iterator[None]:
    """Turn the system's errors about a port into sentences."""
    try:
        yield
    except OSError as error:
        raise _sentence(port, error) from error


def _sentence(port: int, error: OSError) -> StartError:
    why = "other"
    if error.errno == errno.EADDRINUSE:
        why = "taken"
    elif error.errno in (errno.EACCES, errno.EPERM):
        why = "forbidden"
    return StartError(message("cli-port-" + why, port=str(port), why=str(error.strerror)))
