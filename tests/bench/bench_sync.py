"""Push and pull of 10,000 events, checked, chained, authenticated and gzipped.

Floor, in turns with it: one POST of the same events, plain, into one executemany transaction with
synchronous=FULL; and one GET that reads them back. Client and server are two processes.
"""

from __future__ import annotations

import gzip
import json
import random
import tempfile
import time
from pathlib import Path
from typing import Any

import msgspec

from bradawl.common.device_keys import DeviceKey
from tests.bench.measuring.figures import compared, write
from tests.bench.measuring.processes import asked, memory_mb, serving
from tests.log.writer import Writer
from tests.writing import pairing_wish

EVENTS = 10_000
BATCH = 2_000
RUNS = 9


def batches_of(key: DeviceKey, chance: random.Random) -> list[dict[str, Any]]:
    """A device's 10,000 events, about 250 bytes each, in batches."""
    writer = Writer(key, f"{chance.getrandbits(128):032x}", ms=1_764_052_703_000)
    for _ in range(EVENTS):
        writer.put(
            f"items/brakes.item-{chance.randrange(150)}/readings/pad/front-left",
            {"typed": f"{chance.randrange(99)},{chance.randrange(99)}", "unit": "mm"},
        )
    return [writer.batch(first, first + BATCH - 1) for first in range(1, EVENTS + 1, BATCH)]


def pair(port: int, key: DeviceKey) -> str:
    body = json.dumps(pairing_wish(key, "bench")).encode()
    _, _, headers = asked(
        port, "POST", "/api/v1/pairing", body, {"content-type": "application/json"}
    )
    return str(headers["set-cookie"]).partition(";")[0]


def measure() -> list[dict[str, Any]]:
    chance = random.Random(1)
    push_s, pull_s, post_s, get_s = [], [], [], []
    wire = 0
    with (
        tempfile.TemporaryDirectory() as place,
        tempfile.TemporaryDirectory() as floor_place,
        serving("tests.log.process", Path(place)) as (port, pid, _),
        serving("tests.bench.floors.writing", Path(floor_place)) as (floor_port, _, _),
    ):
        held: dict[str, list[Any]] = {}
        for run in range(RUNS + 1):
            key = DeviceKey.derived(f"bench {run}".encode())
            device = key.device
            batches = batches_of(key, chance)
            packed = [gzip.compress(msgspec.json.encode(one), 1) for one in batches]
            whole = msgspec.json.encode(
                {"device": device, "events": [e for one in batches for e in one["events"]]}
            )
            headers = {
                "cookie": pair(port, key),
                "content-type": "application/json",
                "content-encoding": "gzip",
            }

            began = time.perf_counter()
            status, _, _ = asked(floor_port, "POST", "/events", whole)
            post = time.perf_counter() - began
            assert status == 200

            began = time.perf_counter()
            for body in packed:
                status, answer, _ = asked(port, "POST", "/api/v1/sync/push", body, headers)
                assert status == 200, answer
            push = time.perf_counter() - began

            began = time.perf_counter()
            status, plain, _ = asked(floor_port, "GET", f"/events?{device}")
            json.loads(plain)  # as the other client has to, to know whether there is more
            get = time.perf_counter() - began
            assert status == 200

            began = time.perf_counter()
            got, have = [], dict(held)
            while True:
                question = json.dumps({"protocol": 2, "have": have}).encode()
                status, answer, _ = asked(
                    port,
                    "POST",
                    "/api/v1/sync/pull",
                    question,
                    {"cookie": headers["cookie"], "accept-encoding": "gzip"},
                )
                assert status == 200
                got.append(answer)
                page = json.loads(gzip.decompress(answer))
                for batch in page["batches"]:
                    have[device] = [batch["from_seq"] + len(batch["events"]) - 1, batch["head"]]
                if not page["more"]:
                    break
            pull = time.perf_counter() - began
            assert have[device][0] == EVENTS
            held[device] = have[device]
            wire = sum(map(len, packed)) + sum(map(len, got))
            if run:  # the first warms both up
                push_s.append(push)
                pull_s.append(pull)
                post_s.append(post)
                get_s.append(get)
        peak = memory_mb(pid, "VmHWM")
    both = [a + b for a, b in zip(push_s, pull_s, strict=True)]
    floors = [a + b for a, b in zip(post_s, get_s, strict=True)]
    return [
        compared("push 10,000 events / one POST", push_s, post_s, goal=1.8),
        compared("pull 10,000 events / one GET", pull_s, get_s),
        compared("push and pull / one POST and one GET", both, floors, goal=1.8),
        {"what": "bytes on the wire, push and pull", "figure": wire, "floor": len(whole) * 2},
        {"what": "peak memory of log and access, MB", "figure_mb": round(peak, 1)},
    ]


def main() -> None:
    write("sync", measure(), events=EVENTS, batch=BATCH)


if __name__ == "__main__":
    main()
