"""Cold start: from the command to the first answer.

The first thing that a phone or a browser asks for is the app's page, which the server answers by
itself; what the API answers first waits until the application is put together. Both are measured.
Floors, in turns with it: a bare ASGI application under the same uvicorn, and the libraries that
Bradawl is made of around an application that does nothing. The data folder exists and is up to
date, as on every start but the first; modules are compiled, the operating system has the files
in memory. `cpu_s` is the processor's time of the same starts: it does not wait for other work.
"""

from __future__ import annotations

import os
import statistics
import tempfile
from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

from tests.bench.measuring.figures import compared, write
from tests.bench.measuring.processes import API, APP, Served, bare, bradawl

RUNS = 9


def started(server: Callable[[Path], AbstractContextManager[Served]], data: Path) -> list[float]:
    """Seconds to the first answer, and of the processor until then."""
    with server(data) as served:
        fields = Path(f"/proc/{served.pid}/stat").read_text().rpartition(")")[2].split()
        ticks = int(fields[11]) + int(fields[12])
        return [served.started_s, ticks / os.sysconf("SC_CLK_TCK")]


def measure() -> list[dict[str, Any]]:
    servers: dict[str, Callable[[Path], AbstractContextManager[Served]]] = {
        "app": lambda data: bradawl(data, APP),
        "api": lambda data: bradawl(data, API),
        "raw": lambda data: bare("tests.bench.floors.start", data),
        "libraries": lambda data: bare("tests.bench.floors.libraries", data),
    }
    seen: dict[str, list[list[float]]] = {name: [] for name in servers}
    with tempfile.TemporaryDirectory() as folder:
        for run in range(RUNS + 1):
            for name, server in servers.items():
                figures = started(server, Path(folder))
                if run:  # the first compiles and migrates
                    seen[name].append(figures)

    def column(name: str, which: int) -> list[float]:
        return [figures[which] for figures in seen[name]]

    rows = []
    for what, figure, floor, goal in (
        ("command to the app's page / bare ASGI application", "app", "raw", 3.0),
        ("command to the API's first answer / bare ASGI application", "api", "raw", None),
        ("command to the API's first answer / its libraries alone", "api", "libraries", None),
    ):
        row = compared(what, column(figure, 0), column(floor, 0), goal=goal)
        row["cpu_s"] = round(statistics.median(column(figure, 1)), 3)
        row["floor_cpu_s"] = round(statistics.median(column(floor, 1)), 3)
        row["cpu_ratio"] = round(row["cpu_s"] / row["floor_cpu_s"], 2)
        rows.append(row)
    return rows


def main() -> None:
    write("start", measure())


if __name__ == "__main__":
    main()
