"""200 kills of the server in the middle of sync, 50 of the browser in the middle of saving.

A proof, not a speed. `BRADAWL_KILLS` and `BRADAWL_BROWSER_KILLS` ask for fewer or more.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from tests.bench.figures import count, write
from tests.log import kill_loop as server
from tests.phone import kill_loop as browser

SEED = 11


def survived(run: Callable[[int, int], str], kills: int) -> dict[str, Any]:
    """The closing line of a loop and its time. Raises AssertionError with what was lost."""
    began = time.monotonic()
    closing = run(kills, SEED)
    return {"what": closing, "kills": kills, "seconds": round(time.monotonic() - began)}


def main() -> None:
    write(
        "kills",
        [
            survived(server.run, count("BRADAWL_KILLS", 200)),
            survived(browser.run, count("BRADAWL_BROWSER_KILLS", 50)),
        ],
    )


if __name__ == "__main__":
    main()
