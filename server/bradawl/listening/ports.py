"""Opens the ports to listen on, before their address is printed."""

from __future__ import annotations

import argparse
import errno
import socket
from collections.abc import Iterator
from contextlib import contextmanager

from bradawl.common.startup_errors import StartError

__all__ = ["BACKLOG", "number_of", "open_local_port", "open_neighboring_ports", "port_number"]

#: Connections that the system keeps until they are let in; it may cut this down (somaxconn).
BACKLOG = 1_024
HIGHEST_PORT = 65_535


def port_number(text: str) -> int:
    """A port as typed; 0 lets the system choose one. Raises argparse.ArgumentTypeError."""
    if not text.isascii() or not text.isdigit() or int(text) > HIGHEST_PORT:
        raise argparse.ArgumentTypeError(
            f"{text!r} is no port: that would be a number from 1 to {HIGHEST_PORT}"
        )
    return int(text)


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
        raise StartError(
            f"Port {port} has no next one, which the page for the first meeting needs. Choose "
            "another with --port."
        )
    for _ in range(20):
        first = open_port(port)
        try:
            return first, open_port(number_of(first) + 1)
        except StartError:
            first.close()
            if port:
                raise
    raise StartError("No two neighbouring ports are free. Name one with --port.")


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
    if error.errno == errno.EADDRINUSE:
        return StartError(
            f"Port {port} cannot be used: another program has it, perhaps a Bradawl that is "
            "running already. Stop that one, or choose another port with --port."
        )
    if error.errno in (errno.EACCES, errno.EPERM):
        return StartError(
            f"Port {port} cannot be used: this user may not listen there (ports below 1024 are "
            "the administrator's). Choose another with --port."
        )
    return StartError(f"Port {port} cannot be used ({error.strerror}). Choose another with --port.")
