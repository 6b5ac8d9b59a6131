"""Pages of the desk with 10, 100, 1,000 and 10,000 visits in the database, over HTTP.

Floor, in turns with each page: a page of the same server and the same look that reads nothing.
Growth is the figure over that with ten visits; `cpu_s` is what the server's process used for a
page, which other work on the machine changes less. `BRADAWL_VISITS=1000` stops at 1,000 visits.
"""

from __future__ import annotations

import random
import tempfile
import time
from pathlib import Path
from typing import Any

from bradawl.common import settings
from bradawl.serving.core import Bradawl
from tests.bench.measuring.figures import compared, count, write
from tests.bench.measuring.processes import Served, asked, bradawl, cpu_s
from tests.bench.measuring.visits import BOUGHT_EVERY, fill, keep_summaries, visit_id

SIZES = (10, 100, 1_000, 10_000)
RUNS = 9
GOAL_S = 0.2
FLOOR = "/desk/verify"
READ_LIMIT_S = 300
STILL_READING = b"fill.js"


def got(served: Served, path: str) -> tuple[float, bytes]:
    """Seconds until the whole page is here, and the page."""
    began = time.perf_counter()
    status, page, _ = asked(served.port, "GET", path)
    took = time.perf_counter() - began
    if status != 200:
        raise RuntimeError(f"{path}: {status} {page[:300]!r}")
    return took, page


def filled(served: Served, path: str) -> float:
    """Seconds until a list has read the visits that it shows."""
    began = time.perf_counter()
    while STILL_READING in got(served, path)[1]:
        if time.perf_counter() - began > READ_LIMIT_S:
            raise RuntimeError(f"{path} is not filled in after {READ_LIMIT_S} s.")
        time.sleep(0.2)
    return time.perf_counter() - began


def pages_of(visits: int) -> dict[str, str]:
    """Each page by its name, of a shop with so many visits."""
    one, owned = visit_id(visits - 1), visit_id((visits - 1) // BOUGHT_EVERY * BOUGHT_EVERY)
    return {
        "list": "/desk/",
        "last page of the list": f"/desk/?page={-(-visits // 100)}",
        "search": "/desk/?words=egret",
        "one visit": f"/desk/visits/{one}",
        "plan": f"/desk/visits/{one}/plan",
        "brief": f"/desk/visits/{one}/brief",
        "a bought car's money": f"/desk/visits/{owned}/money",
        "exports": f"/desk/visits/{owned}/exports",
        "compare": "/desk/compare",
        "board": "/desk/board",
        "the shop's money": "/desk/money",
        "estimates": "/desk/estimates",
    }


def first_list(data: Path, visits: int) -> dict[str, Any]:
    """The list of a server that has read none of its newest visits."""
    with bradawl(data) as served:
        cold, _ = got(served, "/desk/")
        return {
            "what": f"first list after a start, {visits} visits",
            "figure_s": round(cold, 4),
            "goal_s": GOAL_S,
            "filled_in_after_s": round(filled(served, "/desk/"), 2),
        }


def measured(data: Path, visits: int, first: dict[str, float]) -> list[dict[str, Any]]:
    """Rows for every page at one size; `first` holds the figures with the fewest visits."""
    rows: list[dict[str, Any]] = []
    with bradawl(data) as served:
        for name, path in pages_of(visits).items():
            if STILL_READING in got(served, path)[1]:
                raise RuntimeError(f"{path} judges visits that were judged before.")
            used = cpu_s(served.pid)
            for _ in range(RUNS):
                got(served, path)
            used = (cpu_s(served.pid) - used) / RUNS
            turns = [(got(served, path)[0], got(served, FLOOR)[0]) for _ in range(RUNS)]
            row = compared(f"{name}, {visits} visits", *map(list, zip(*turns, strict=True)))
            del row["goal"]
            row["slowest_s"] = round(max(figure for figure, _ in turns), 4)
            row["cpu_s"] = round(used, 4)
            row["goal_s"] = GOAL_S
            row["growth"] = round(row["figure_s"] / first.setdefault(name, row["figure_s"]), 2)
            row["bytes"] = len(got(served, path)[1])
            rows.append(row)
    return rows


def begun_again(data: Path, visits: int) -> list[dict[str, Any]]:
    """Each page over all visits as the first of a server that was begun anew."""
    rows = []
    for name in ("list", "search", "compare", "board", "the shop's money", "estimates"):
        took, used = [], []
        for _ in range(3):
            with bradawl(data) as served:
                got(served, FLOOR)  # what any page loads
                before = cpu_s(served.pid)
                seconds, page = got(served, pages_of(visits)[name])
                used.append(cpu_s(served.pid) - before)
            if STILL_READING in page:
                raise RuntimeError("A restart judged visits that it had judged before.")
            took.append(seconds)
        rows.append(
            {
                "what": f"{name}, first after a restart, {visits} visits",
                "figure_s": round(sorted(took)[1], 4),
                "slowest_s": round(max(took), 4),
                "cpu_s": round(sorted(used)[1], 4),
                "goal_s": GOAL_S,
            }
        )
    return rows


def measure(most: int) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    first: dict[str, float] = {}
    chance = random.Random(11)
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder)
        held = 0
        for visits in (size for size in SIZES if size <= most):
            core = Bradawl(settings.at(data))
            began = time.perf_counter()
            events = fill(core.log, core.checklists.value, held, visits - held, chance)
            took = time.perf_counter() - began
            held = visits
            more = [first_list(data, visits)]
            more[0]["events_pushed"] = events
            more[0]["pushed_in_s"] = round(took, 2)
            keep_summaries(core, visits)
            core.log.close()
            core.close()
            rows += [*more, *measured(data, visits, first), *begun_again(data, visits)]
    return rows


def main() -> None:
    write("desk", measure(count("BRADAWL_VISITS", SIZES[-1])))


if __name__ == "__main__":
    main()
