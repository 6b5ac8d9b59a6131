"""Desk pages with 10 to 10,000 visits, asked of the whole server: no page slower than 200 ms.

Floor, in turns with it: the smallest page of the same server (`/api/v1/offline`). A visit here has
40 events: what a list shows, some grades and readings. The first request after a start is told
apart from the later ones.
"""

from __future__ import annotations

import random
import statistics
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec

from bradawl import settings
from bradawl.database import migrate, open_engine
from bradawl.log import Log, open_photo_store
from tests.bench.figures import write
from tests.bench.processes import asked
from tests.log.kill_loop import Server

SIZES = (10, 100, 1_000, 10_000)
EVENTS = 40
RUNS = 15
GOAL_S = 0.2
GRADES = ("none", "minor", "major", "dangerous")
ITEMS = ("brakes.front-pads", "rust.sills", "steering.play", "fluids.coolant", "papers.service")


def puts_of(chance: random.Random, number: int) -> Iterator[tuple[str, Any]]:
    yield "about/bundle", "0" * 64
    yield "about/started", {"date": "2026-11-25", "time": "09:20", "zone": "+01:00"}
    yield "about/inspector", "Ada"
    yield "about/asking_price", 1_000 + number
    yield "about/currency", "EUR"
    yield "car/make", f"Invented {number % 40}"
    yield "car/model", f"Model {number}"
    yield "car/year", 1975 + number % 30
    for count in range(EVENTS - 8):
        item = ITEMS[count % len(ITEMS)]
        if count < len(ITEMS):
            yield f"items/{item}/grade", {"grade": chance.choice(GRADES)}
        else:
            yield f"items/{item}/note", f"note {count}"


def fill(data: Path, visits: int, chance: random.Random) -> str:
    """Put `visits` visits into a data folder; the last one's id."""
    chosen = settings.at(data)
    data.mkdir(parents=True, exist_ok=True)
    engine = open_engine(chosen.database_url)
    migrate(engine)
    log = Log(engine, open_photo_store(chosen.photo_store))
    ms = 1_764_052_703_000
    visit = ""
    for first in range(0, visits, 50):
        device = f"{chance.getrandbits(128):032x}"
        events = []
        for number in range(first, min(first + 50, visits)):
            visit = f"{chance.getrandbits(128):032x}"
            for put, value in puts_of(chance, number):
                ms += 1_000
                events.append(
                    {
                        "at": f"{ms:015d}-00000-{device}",
                        "visit": visit,
                        "put": put,
                        "value": value,
                        "over": [],
                    }
                )
        log.push_json(msgspec.json.encode(envelope(device, events)), received_ms=ms)
    log.close()
    return visit


def envelope(device: str, events: list[dict[str, Any]]) -> dict[str, Any]:
    from bradawl.log.events import Written, chain, hash_of

    full = chain(device, 1, "", msgspec.convert(events, list[Written]))
    return {
        "protocol": 1,
        "device": device,
        "from_seq": 1,
        "prev": "",
        "events": events,
        "head": hash_of(full[-1]),
    }


def seconds(port: int, path: str) -> float:
    began = time.perf_counter()
    status, body, _ = asked(port, "GET", path)
    took = time.perf_counter() - began
    assert status == 200, (path, status, body[:200])
    return took


def measure() -> list[dict[str, Any]]:
    rows = []
    for visits in SIZES:
        with tempfile.TemporaryDirectory() as folder:
            data = Path(folder)
            last = fill(data, visits, random.Random(visits))
            server = Server(data, whole=True)
            server.start()
            try:
                seconds(server.port, "/api/v1/offline")
                for name, path in (("list", "/desk/"), ("visit", f"/desk/visits/{last}")):
                    first = seconds(server.port, path)
                    later, floor = [], []
                    for _ in range(RUNS):
                        later.append(seconds(server.port, path))
                        floor.append(seconds(server.port, "/api/v1/offline"))
                    rows.append(
                        {
                            "what": f"{name} with {visits} visits",
                            "figure_s": round(statistics.median(later), 4),
                            "first_s": round(first, 4),
                            "slowest_s": round(max(later), 4),
                            "floor_s": round(statistics.median(floor), 4),
                            "goal_s": GOAL_S,
                            "runs": RUNS,
                        }
                    )
            finally:
                server.kill()
                server.buried()
    return rows


def main() -> None:
    write("desk", measure(), events_per_visit=EVENTS)


if __name__ == "__main__":
    main()
