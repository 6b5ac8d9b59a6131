"""100 photos of 400 kB, one and four at a time: paired, counted, hashed, looked at, fsynced.

Floor, in turns with it: the same bytes over a bare socket into a file with fsync, rename and
fsync of its folder. Every connection is kept open, as a browser does, and both ends are asked by
the same thin client: what is measured is the server.
"""

from __future__ import annotations

import hashlib
import io
import json
import random
import socket
import tempfile
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, BinaryIO

from PIL import Image

from bradawl.common.device_keys import DeviceKey
from tests.bench.bench_sync import pair
from tests.bench.measuring.figures import compared, write
from tests.bench.measuring.processes import asked, memory_mb, serving

PHOTOS = 100
BYTES = 400_000
RUNS = 5


def drawn(chance: random.Random) -> bytes:
    """A JPEG of 1600 x 1200 with enough grain to have about 400 kB."""
    image = Image.effect_noise((1600, 1200), 22).convert("RGB")
    for quality in range(90, 10, -2):
        out = io.BytesIO()
        image.save(out, "JPEG", quality=quality)
        if len(out.getvalue()) <= BYTES:
            break
    return out.getvalue()


def other(photo: bytes, chance: random.Random) -> bytes:
    """The same picture with a comment of its own, so that it has another name."""
    return photo[:2] + b"\xff\xfe\x00\x12" + chance.randbytes(16) + photo[2:]


def in_turn(send: Callable[[Sequence[bytes]], None], photos: Sequence[bytes], lanes: int) -> float:
    """Seconds until `photos` are sent over `lanes` connections."""
    parts = [photos[lane::lanes] for lane in range(lanes)]
    began = time.perf_counter()
    with ThreadPoolExecutor(lanes) as pool:
        for done in [pool.submit(send, part) for part in parts]:
            done.result()
    return time.perf_counter() - began


def answered(answers: BinaryIO) -> int:
    """The status of the next answer, read to its end."""
    status = int(answers.readline().split()[1])
    length = 0
    while (line := answers.readline().lower()) != b"\r\n":
        if line.startswith(b"content-length:"):
            length = int(line.split(b":")[1])
    answers.read(length)
    return status


def measure() -> list[dict[str, Any]]:
    chance = random.Random(3)
    base = drawn(chance)
    rows = []
    with (
        tempfile.TemporaryDirectory() as place,
        tempfile.TemporaryDirectory() as floor_place,
        serving("tests.log.process", Path(place)) as (port, pid, _),
        serving("tests.bench.floors.photos", Path(floor_place)) as (floor_port, _, _),
    ):
        cookie = pair(port, DeviceKey.derived(b"bench"))

        def to_bradawl(photos: Sequence[bytes]) -> None:
            names = [hashlib.sha256(photo).hexdigest() for photo in photos]
            _, answer, _ = asked(
                port,
                "POST",
                "/api/v1/blobs/missing",
                json.dumps({"sha256": names}).encode(),
                {"cookie": cookie},
            )
            assert json.loads(answer)["missing"] == names
            with socket.create_connection(("127.0.0.1", port)) as connection:
                answers = connection.makefile("rb")
                for photo in photos:
                    name = hashlib.sha256(photo).hexdigest()
                    head = (
                        f"PUT /api/v1/blobs/{name} HTTP/1.1\r\nhost: localhost:{port}\r\n"
                        f"cookie: {cookie}\r\ncontent-type: image/jpeg\r\n"
                        f"content-length: {len(photo)}\r\n\r\n"
                    )
                    connection.sendall(head.encode() + photo)
                    assert answered(answers) == 201

        def to_floor(photos: Sequence[bytes]) -> None:
            with socket.create_connection(("127.0.0.1", floor_port)) as connection:
                answers = connection.makefile("rb")
                for photo in photos:
                    hashlib.sha256(photo).hexdigest()  # the phone hashes either way
                    connection.sendall(f"{len(photo)}\n".encode() + photo)
                    assert answers.readline() == b"held\n"

        for lanes, goal in ((1, 1.75), (4, 2.0)):
            figures, floors = [], []
            for run in range(RUNS + 1):
                photos = [other(base, chance) for _ in range(PHOTOS)]
                floor = in_turn(to_floor, photos, lanes)
                figure = in_turn(to_bradawl, photos, lanes)
                if run:
                    figures.append(figure)
                    floors.append(floor)
                time.sleep(4)  # the served copies are made meanwhile, as between two visits
            rows.append(compared(f"100 photos, {lanes} at a time", figures, floors, goal=goal))
        peak = memory_mb(pid, "VmHWM")
    return [
        *rows,
        {"what": "bytes of one photo", "figure": len(base)},
        {"what": "peak memory of log and access, MB", "figure_mb": round(peak, 1)},
    ]


def main() -> None:
    write("photos", measure())


if __name__ == "__main__":
    main()
