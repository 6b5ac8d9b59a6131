"""`python -m tests.listening.flooder PORT COUNT KIND SOURCES`: opens connections and holds them.

KIND is what is sent on each of them, see `BEGUN`. Says "ready" when all have been tried, and how
many are still open when a line is read.
"""

from __future__ import annotations

import contextlib
import socket
import ssl
import struct
import sys
import time

IP_BIND_ADDRESS_NO_PORT = 24  # linux/in.h; Python 3.11 has no name for it

BEGUN = {
    "silent": b"",
    "head": b"GET /app/ HTTP/1.1\r\nHost: localhost\r\nX-Long: ",
    "body": b"POST /api/v1/sync/push HTTP/1.1\r\nHost: localhost\r\nContent-Length: 99999\r\n\r\n{",
    "idle": b"GET /app/ HTTP/1.1\r\nHost: localhost\r\n\r\n",
    # the head of a TLS record with a ClientHello of 512 bytes, and little of that
    "handshake": b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
    # after a whole handshake
    "secure head": b"GET /app/ HTTP/1.1\r\nHost: localhost\r\nX-Long: ",
}


def main() -> None:
    port, count, kind, addresses = int(sys.argv[1]), int(sys.argv[2]), sys.argv[3], sys.argv[4:]
    sockets: list[socket.socket] = []
    if kind == "secure head":
        sockets = secured(port, count, addresses)
        count = 0
    for number in range(count):
        one = bound(addresses[number % len(addresses)])
        one.setblocking(False)
        with contextlib.suppress(BlockingIOError):
            one.connect(("127.0.0.1", port))
        sockets.append(one)
    waiting = list(sockets)
    limit = time.monotonic() + 120
    while waiting and time.monotonic() < limit:
        still = []
        for one in waiting:
            try:
                one.send(BEGUN[kind] or b"")
            except BlockingIOError:
                still.append(one)
            except OSError:
                pass
        waiting = still
        time.sleep(0.01)
    print("ready", flush=True)
    sys.stdin.readline()
    print(sum(is_open(one) for one in sockets), flush=True)


def bound(address: str) -> socket.socket:
    """A socket that leaves nothing behind: other tests need the ports of this machine."""
    one = socket.socket()
    one.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    one.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    one.setsockopt(socket.IPPROTO_IP, IP_BIND_ADDRESS_NO_PORT, 1)
    one.bind((address, 0))
    return one


def secured(port: int, count: int, addresses: list[str]) -> list[socket.socket]:
    """The same, with a handshake each; those that are cut in the middle of it are left out."""
    trusting = ssl.create_default_context()
    trusting.check_hostname, trusting.verify_mode = False, ssl.CERT_NONE
    sockets: list[socket.socket] = []
    for number in range(count):
        with contextlib.suppress(OSError):
            plain = bound(addresses[number % len(addresses)])
            plain.settimeout(30)
            plain.connect(("127.0.0.1", port))
            sockets.append(trusting.wrap_socket(plain))
            sockets[-1].setblocking(False)
    return sockets


def is_open(one: socket.socket) -> bool:
    try:
        while part := one.recv(65_536):
            assert part
    except (BlockingIOError, ssl.SSLWantReadError):
        return True
    except OSError:
        return False
    return False


if __name__ == "__main__":
    main()
