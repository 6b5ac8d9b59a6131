"""`python -m bradawl.imaging.child SOCKET`: decodes pictures for the server, one after another.

Over the socket comes a line of JSON and the picture's open file, back goes a line of JSON and the
copy. The process may use `DECODING_BYTES` more memory than it has once its libraries are loaded:
the system itself refuses more, whatever a file says of itself or a decoder makes of it. It ends
when the server does, and when it was not asked anything for a while.
"""

from __future__ import annotations

import json
import os
import resource
import signal
import socket
import sys
from pathlib import Path
from typing import Any

from bradawl.imaging.errors import DECODING_BYTES

IDLE_S = 60.0
REQUEST_BYTES = 4_096


def bound_memory(more_bytes: int) -> None:
    """Let the system refuse memory beyond what is used now and `more_bytes`, where it can."""
    try:
        pages = int(Path("/proc/self/statm").read_text().split()[0])
    except OSError:
        return  # not Linux: what headers say is all there is to go by
    limit = pages * os.sysconf("SC_PAGE_SIZE") + more_bytes
    resource.setrlimit(resource.RLIMIT_AS, (limit, limit))


def answer(request: dict[str, Any], descriptor: int) -> tuple[dict[str, Any], bytes]:
    """What goes back for one request: an object, and the bytes of a copy."""
    from bradawl.imaging import reducing

    with open(descriptor, "rb") as file:
        try:
            if request["do"] == "size":
                width, height = reducing.heic_size(file)
                return {"width": width, "height": height}, b""
            copy = reducing.reduced(file, request["edge_px"], request["quality"])
        except reducing.Refused as refused:
            return {"refused": str(refused)}, b""
        except MemoryError:
            return {"refused": "too_large_to_show"}, b""
    return {"width": copy.width, "height": copy.height}, copy.data


def main() -> None:
    from bradawl.imaging import reducing  # noqa: F401 - loaded before memory is bounded

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # typed to end the server, which ends this
    bound_memory(DECODING_BYTES)
    with socket.socket(fileno=int(sys.argv[1])) as connection:
        while True:
            connection.settimeout(IDLE_S)
            try:
                message, descriptors, _, _ = socket.recv_fds(connection, REQUEST_BYTES, 1)
            except OSError:
                return
            if not message or not descriptors:
                return  # the server has ended
            connection.settimeout(None)
            answered, data = answer(json.loads(message), descriptors[0])
            head = json.dumps({**answered, "bytes": len(data)}).encode() + b"\n"
            try:
                connection.sendall(head)
                connection.sendall(data)
            except OSError:
                return  # the server has ended meanwhile


if __name__ == "__main__":
    main()
