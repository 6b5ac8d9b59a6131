"""Cold start: from the command to the first answer, and the memory held when nothing happens.

Floor, in turns with it: a bare ASGI application under the same uvicorn. The data folder exists
and is up to date, as on every start but the first; the operating system has the files in memory.
"""

from __future__ import annotations

import http.client
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from tests.bench.figures import compared, write
from tests.bench.processes import memory_mb
from tests.log.kill_loop import free_port

RUNS = 9
SETTLE_S = 2.0
LIMIT_S = 60


def start(command: Sequence[str], port: int, data: Path) -> tuple[float, float]:
    """Seconds to the first answer, and MB of memory after a while."""
    began = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, *command],
        env={**os.environ, "BRADAWL_DATA": str(data)},
        stdout=subprocess.DEVNULL,
    )
    try:
        while True:
            try:
                connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
                connection.request("GET", "/api/v1/offline")
                connection.getresponse().read()
                connection.close()
                break
            except OSError:
                if time.perf_counter() - began > LIMIT_S or process.poll() is not None:
                    raise RuntimeError(f"{command} did not start.") from None
                time.sleep(0.002)
        seconds = time.perf_counter() - began
        time.sleep(SETTLE_S)
        return seconds, memory_mb(process.pid)
    finally:
        process.kill()
        process.wait()


def measure() -> list[dict[str, Any]]:
    figures, floors, memory = [], [], []
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder)
        for run in range(RUNS + 1):
            port = free_port()
            floor, _ = start(["-m", "tests.bench.floor_start", folder, str(port)], port, data)
            port = free_port()
            figure, resident = start(
                ["-m", "bradawl.cli", "serve", "--port", str(port)], port, data
            )
            if run:
                figures.append(figure)
                floors.append(floor)
                memory.append(resident)
    return [
        compared("command to first answer / bare ASGI application", figures, floors, goal=3.0),
        {
            "what": "memory at rest, MB",
            "figure_mb": round(sorted(memory)[len(memory) // 2], 1),
            "goal": 60,
        },
    ]


def main() -> None:
    write("start", measure())


if __name__ == "__main__":
    main()
