"""Resident memory of the real server: at rest, while reports are made, while photos arrive.

At rest twice: after the app's page was fetched and nothing else, as on a server that waits for its
phones; and after a phone has synced a visit with photos and the desk has shown it.
Floors of the same run: a bare ASGI application under the same uvicorn, and the libraries that
Bradawl is made of around an application that does nothing. `anon_mb` is what no other process
could share (RssAnon); the rest is pages of files. Peaks are VmHWM, begun anew before each phase.
"""

from __future__ import annotations

import hashlib
import http.client
import json
import random
import statistics
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from bradawl.common.device_keys import DeviceKey
from tests.bench.bench_photos import drawn, in_turn, other
from tests.bench.bench_sync import pair
from tests.bench.measuring.figures import write
from tests.bench.measuring.processes import APP, Served, asked, bare, bradawl, memory_mb
from tests.log.writer import Writer

RUNS = 5
SETTLE_S = 2.0
GOAL_MB = 60
SYNCED_PHOTOS = 3
REPORT_PHOTOS = 60
PHOTOS = 100
LANES = 4
KEY = DeviceKey.derived(b"bench")
VISIT = "c1" * 16
JSON = {"content-type": "application/json"}


def at_rest(data: Path) -> list[dict[str, Any]]:
    """Memory after the first answer, or after some use; Bradawl and its floors in turns."""
    photos = some_photos(SYNCED_PHOTOS)
    used = "Bradawl at rest after a phone synced and the desk was opened"
    servers = {
        "Bradawl at rest before anybody asked the API": lambda: bradawl(data, APP),
        used: lambda: bradawl(data),
        "bare ASGI application": lambda: bare("tests.bench.floors.start", data),
        "its libraries alone": lambda: bare("tests.bench.floors.libraries", data),
    }
    seen: dict[str, list[tuple[float, float]]] = {name: [] for name in servers}
    for run in range(RUNS + 1):
        for name, server in servers.items():
            with server() as served:
                if name == used:
                    worked_with(served, photos)
                time.sleep(SETTLE_S)
                if run:  # the first prepares the data folder
                    seen[name].append(
                        (memory_mb(served.pid), memory_mb(served.pid, "RssAnon")),
                    )
    floor = statistics.median(total for total, _ in seen["bare ASGI application"])
    rows = []
    for name, figures in seen.items():
        total = statistics.median(figure for figure, _ in figures)
        rows.append(
            {
                "what": f"memory, {name}",
                "figure_mb": round(total, 1),
                "anon_mb": round(statistics.median(anon for _, anon in figures), 1),
                "floor_mb": round(floor, 1),
                "ratio": round(total / floor, 2),
                "runs": len(figures),
            }
        )
    rows[0]["goal_mb"] = GOAL_MB
    return rows


def some_photos(count: int) -> list[bytes]:
    chance = random.Random(3)
    base = drawn(chance)
    return [other(base, chance) for _ in range(count)]


def worked_with(served: Served, photos: Sequence[bytes]) -> None:
    """What an evening brings: a phone pairs, sends a visit, fetches it; the desk is opened."""
    cookie = pair(served.port, KEY)
    recorded(served, cookie, photos)
    sent(served.port, cookie, photos)
    served_copies_are_made(served, cookie, photos)
    have = json.dumps({"protocol": 2, "have": {}}).encode()
    for method, path, body in (
        ("POST", "/api/v1/sync/pull", have),
        ("GET", "/desk/", b""),
        ("GET", f"/desk/visits/{VISIT}", b""),
    ):
        status, answer, _ = asked(served.port, method, path, body, {**JSON, "cookie": cookie})
        assert status == 200, (path, answer[:300])


def sent(port: int, cookie: str, photos: Sequence[bytes]) -> None:
    """PUT photos over one connection."""
    connection = http.client.HTTPConnection("localhost", port)
    for photo in photos:
        name = hashlib.sha256(photo).hexdigest()
        connection.request(
            "PUT",
            f"/api/v1/blobs/{name}",
            photo,
            {"cookie": cookie, "content-type": "image/jpeg"},
        )
        got = connection.getresponse()
        answer = got.read()
        assert got.status in (200, 201), answer
    connection.close()


def recorded(served: Served, cookie: str, photos: Sequence[bytes]) -> None:
    """A visit whose findings have these photos, pushed as a phone would."""
    status, answer, _ = asked(served.port, "GET", "/api/v1/offline")
    assert status == 200
    address = json.loads(answer)["checklists"]
    bundle = json.loads(asked(served.port, "GET", address)[1])
    puts: list[tuple[str, Any]] = [
        ("about/bundle", bundle["hash"]),
        ("about/started", {"date": "2026-11-25", "time": "09:20", "zone": "+01:00"}),
        ("car/make", "Corvina"),
    ]
    for item, photo in zip(bundle["items"], photos, strict=False):
        name = hashlib.sha256(photo).hexdigest()
        puts.append((f"items/{item['id']}/grade", {"grade": "minor"}))
        puts.append((f"items/{item['id']}/why", "seen"))
        about = {"caption": item["title"], "bytes": len(photo), "type": "image/jpeg"}
        puts.append((f"items/{item['id']}/photos/{name}", about))
    writer = Writer(KEY, VISIT)
    for put, value in puts:
        writer.put(put, value)
    status, answer, _ = asked(
        served.port,
        "POST",
        "/api/v1/sync/push",
        json.dumps(writer.batch()).encode(),
        {**JSON, "cookie": cookie},
    )
    assert status == 200, answer


def peak(served: Served, what: str, before_mb: float, **more: Any) -> dict[str, Any]:
    return {
        "what": what,
        "peak_mb": round(memory_mb(served.pid, "VmHWM"), 1),
        "before_mb": round(before_mb, 1),
        "after_mb": round(memory_mb(served.pid), 1),
        **more,
    }


def forget_peak(served: Served) -> float:
    """Let VmHWM begin anew at what is held now, which is returned in MB."""
    Path(f"/proc/{served.pid}/clear_refs").write_text("5")
    return memory_mb(served.pid)


def served_copies_are_made(served: Served, cookie: str, photos: Sequence[bytes]) -> None:
    for photo in photos:
        name = hashlib.sha256(photo).hexdigest()
        status, _, _ = asked(
            served.port, "GET", f"/api/v1/blobs/{name}", headers={"cookie": cookie}
        )
        assert status == 200


def at_work(data: Path) -> list[dict[str, Any]]:
    """Peaks of one server while photos arrive and while reports with many photos are made."""
    photos = some_photos(PHOTOS)
    rows = []
    with bradawl(data) as served:
        cookie = pair(served.port, KEY)
        before = forget_peak(served)
        took = in_turn(lambda part: sent(served.port, cookie, part), photos, LANES)
        served_copies_are_made(served, cookie, photos)
        what = f"{PHOTOS} photos arrive, {LANES} at a time"
        rows.append(peak(served, what, before, bytes_each=len(photos[0]), sent_in_s=round(took, 2)))
    with bradawl(data) as served:
        recorded(served, cookie, photos[:REPORT_PHOTOS])
        before = forget_peak(served)
        path = f"/desk/visits/{VISIT}/report.pdf"
        for nth in ("first", "second"):
            began = time.perf_counter()
            status, pdf, _ = asked(served.port, "GET", path)
            took = time.perf_counter() - began
            assert status == 200, pdf[:300]
            what = f"{nth} report with {REPORT_PHOTOS} photos"
            rows.append(peak(served, what, before, bytes=len(pdf), seconds=round(took, 2)))
            before = forget_peak(served)
    return rows


def main() -> None:
    # a folder each: the same device sends other events in either
    with tempfile.TemporaryDirectory() as rested, tempfile.TemporaryDirectory() as worked:
        write("memory", [*at_rest(Path(rested)), *at_work(Path(worked))])


if __name__ == "__main__":
    main()
