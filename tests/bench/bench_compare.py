"""The same 10,000 edits through general-purpose sync libraries, for the ratio.

From one device to a durable server and on to a second device: Bradawl's log (bench_sync), a Yjs
array of the events and a Yjs map of final values (pycrdt), and PouchDB against its own server.
Floor of the same run: one POST into one executemany transaction, and one GET. What is compared is
moving and storing: neither library checks a field, a chain or who sends, and a Yjs update is one
blob that its server need not look into. The libraries are dependencies of this script only; npm
fetches PouchDB into build/.
"""

from __future__ import annotations

import json
import random
import shutil
import statistics
import subprocess
import tempfile
import time
from pathlib import Path
from typing import Any

from pycrdt import Array, Doc, Map

from bradawl.common.device_keys import DeviceKey
from tests.bench import bench_sync
from tests.bench.measuring.figures import FOLDER, write
from tests.bench.measuring.processes import asked, serving

HERE = Path(__file__).parent / "compare"
RUNS = 3


def events_of(seed: int) -> list[dict[str, Any]]:
    chance = random.Random(seed)
    key = DeviceKey.derived(f"compared {seed}".encode())
    return [e for batch in bench_sync.batches_of(key, chance) for e in batch["events"]]


def yjs(events: list[dict[str, Any]], *, log: bool) -> tuple[float, float, float, int]:
    """Seconds to edit, push and pull; bytes pushed. `log`: every event is kept, else the last."""
    source: Doc[Any] = Doc()
    kept: Any = Array() if log else Map()
    source["events"] = kept
    began = time.perf_counter()
    for event in events:  # one edit, one transaction, as one tap
        if log:
            kept.append(json.dumps(event))
        else:
            kept[event["put"]] = json.dumps(event["value"])
    edit = time.perf_counter() - began
    with (
        tempfile.TemporaryDirectory() as folder,
        serving("tests.bench.compare.yjs", Path(folder)) as (port, _, _),
    ):
        began = time.perf_counter()
        update = source.get_update()
        asked(port, "POST", "/push", update)
        push = time.perf_counter() - began
        target: Doc[Any] = Doc()
        got: Any = Array() if log else Map()
        target["events"] = got
        began = time.perf_counter()
        _, answer, _ = asked(port, "POST", "/pull", target.get_state())
        target.apply_update(answer)
        pull = time.perf_counter() - began
    assert len(got) == len(kept)
    return edit, push, pull, len(update)


def pouchdb(events: list[dict[str, Any]]) -> tuple[float, float]:
    place = FOLDER / "compare"
    if not (place / "node_modules" / "pouchdb").is_dir():
        place.mkdir(parents=True, exist_ok=True)
        for name in ("package.json", "package-lock.json", ".npmrc"):
            shutil.copyfile(HERE / name, place / name)
        subprocess.run(["npm", "ci", "--silent"], cwd=place, check=True)
    shutil.copyfile(HERE / "pouchdb.mjs", place / "pouchdb.mjs")
    with tempfile.TemporaryDirectory() as folder:
        listed = Path(folder) / "events.json"
        listed.write_text(json.dumps(events))
        ended = subprocess.run(
            ["node", "pouchdb.mjs", folder, str(listed)],
            cwd=place,
            check=True,
            capture_output=True,
            text=True,
        )
    told = json.loads(ended.stdout.splitlines()[-1])
    return told["push_s"], told["pull_s"]


def main() -> None:
    ours = {row["what"]: row for row in bench_sync.measure()}
    both = ours["push and pull / one POST and one GET"]
    floor = both["floor_s"]
    log_s, whole_s, map_s, pouch_s, sizes = [], [], [], [], []
    for run in range(RUNS):
        events = events_of(run)
        edit, push, pull, size = yjs(events, log=True)
        log_s.append(push + pull)
        whole_s.append(edit + push + pull)
        sizes.append(size)
        _, push, pull, _ = yjs(events, log=False)
        map_s.append(push + pull)
        push, pull = pouchdb(events)
        pouch_s.append(push + pull)

    def row(what: str, figures: list[float]) -> dict[str, Any]:
        median = statistics.median(figures)
        return {
            "what": what,
            "figure_s": round(median, 4),
            "floor_s": floor,
            "ratio": round(median / floor, 1),
            "runs": len(figures),
        }

    write(
        "compare",
        [
            {**both, "what": "Bradawl: checked, chained, signed in, gzipped"},
            row("Yjs array: every event kept", log_s),
            row("Yjs array: the same and the 10,000 edits before", whole_s),
            row("Yjs map: final values only", map_s),
            row("PouchDB and its own server", pouch_s),
        ],
        yjs_bytes_pushed=statistics.median(sizes),
    )


if __name__ == "__main__":
    main()
