"""`python -m tests.bench.floors.photos DATA PORT`: bytes from a socket to a disk, and no more.

Per photo: a line with its length, its bytes; a file, fsync, rename, fsync of the folder, without
which the name may be gone after a power cut; a line in answer.
"""

from __future__ import annotations

import itertools
import os
import socketserver
import sys
from pathlib import Path

NUMBERS = itertools.count()


class Photos(socketserver.StreamRequestHandler):
    def handle(self) -> None:
        folder = Path(sys.argv[1])
        while line := self.rfile.readline():
            name = next(NUMBERS)
            left = int(line)
            part = folder / f"{name}.part"
            with part.open("wb") as file:
                while left:
                    chunk = self.rfile.read1(min(left, 65_536))
                    file.write(chunk)
                    left -= len(chunk)
                file.flush()
                os.fsync(file.fileno())
            os.replace(part, folder / f"{name}.jpg")
            descriptor = os.open(folder, os.O_RDONLY)
            os.fsync(descriptor)
            os.close(descriptor)
            self.wfile.write(b"held\n")


if __name__ == "__main__":
    with socketserver.ThreadingTCPServer(("127.0.0.1", int(sys.argv[2])), Photos) as server:
        server.daemon_threads = True
        server.serve_forever()
