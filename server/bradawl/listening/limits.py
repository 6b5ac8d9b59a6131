"""Limits: how many connections a server holds, and how long it waits for the other end.

Every limit in time is on progress: whoever sends or takes something goes on for as long as it
needs. The figures are of the size that web servers commonly use (from memory, no standard sets
them): about 20 s for a head, and a body that has to move. RFC 9293 section 3.8.1 and RFC 6298 let
a lost segment be sent again after 1, 2, 4 and 8 s, which 20 s leave room for.
"""

from __future__ import annotations

import resource
from dataclasses import dataclass

__all__ = ["Limits", "for_this_process"]

#: Fewer files than this are asked to be more, where the system lets a process ask (macOS gives 256
#: to begin with).
WANTED_FILES = 1_024
#: Left to the server itself: 40 database connections of SQLite with three files each, a photo in
#: the hands of each of 40 threads, and what the interpreter has open.
RESERVED_FILES = 224
#: A TLS connection takes about 300 kB of memory, so more files do not mean more connections.
MOST_OPEN = 512
FEWEST_OPEN = 16


@dataclass(frozen=True)
class Limits:
    """The limits of one process.

    Attributes:
        open_in_all: connections at the same time.
        open_per_network: connections from one IPv4 address or one IPv6 network of 64 bits; None
            where a proxy asks for everybody.
        free_per_address: an address with no more connections than this that wait for it is not
            called greedy. A browser opens six.
        handshake_s: from the first moment to the end of the TLS handshake.
        head_s: from then, or from the first byte of a later request, to the end of its head.
        idle_s: between two requests on one connection.
        progress_s, progress_bytes: a body must bring, and an answer must be taken, by at least so
            many bytes in so long.
        slow_bytes_per_s: below this a body or an answer gives way where no room is left.
        closing_s: from our end of a connection to the other's.
        look_every_s: how often it is looked who is overdue.
    """

    open_in_all: int = MOST_OPEN
    open_per_network: int | None = MOST_OPEN // 8
    free_per_address: int = 8
    handshake_s: float = 20.0
    head_s: float = 20.0
    idle_s: float = 10.0
    progress_s: float = 60.0
    progress_bytes: int = 4_096
    slow_bytes_per_s: int = 2_048
    closing_s: float = 10.0
    look_every_s: float = 1.0


def for_files(files: int, *, behind_proxy: bool = False) -> Limits:
    """The limits of a process that may have `files` files open.

    Behind a proxy all connections come from one address, and how many there are is the proxy's to
    limit per client.
    """
    reserve = max(RESERVED_FILES, files // 4)
    in_all = max(FEWEST_OPEN, min(files - reserve, MOST_OPEN))
    return Limits(
        open_in_all=in_all,
        open_per_network=None if behind_proxy else max(Limits.free_per_address, in_all // 8),
    )


def for_this_process(*, behind_proxy: bool = False) -> Limits:
    """The limits that this process's own limit of open files allows (`ulimit -n`)."""
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    unlimited = resource.RLIM_INFINITY
    if soft != unlimited and soft < WANTED_FILES:
        wanted = WANTED_FILES if hard == unlimited else min(WANTED_FILES, hard)
        try:
            resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, hard))
            soft = wanted
        except (OSError, ValueError):
            pass  # then with what there is
    files = 4 * MOST_OPEN if soft == unlimited else soft
    return for_files(files, behind_proxy=behind_proxy)
