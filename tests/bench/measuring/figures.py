"""How a benchmark writes down what it saw: figure, floor and ratio of the same run."""

from __future__ import annotations

import json
import os
import statistics
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

_BEGAN = time.monotonic()
FOLDER = Path(__file__).resolve().parents[3] / "build" / "bench"


def count(variable: str, usual: int) -> int:
    """How many are wanted: what the environment says in `variable`, or the usual number."""
    return int(os.environ.get(variable, usual))


def compared(
    what: str, figures: Sequence[float], floors: Sequence[float], *, goal: float | None = None
) -> dict[str, Any]:
    """Medians in seconds of runs that took turns, and the median of their ratios."""
    ratios = [figure / floor for figure, floor in zip(figures, floors, strict=True)]
    return {
        "what": what,
        "figure_s": round(statistics.median(figures), 5),
        "floor_s": round(statistics.median(floors), 5),
        "ratio": round(statistics.median(ratios), 2),
        "goal": goal,
        "runs": len(ratios),
        "lowest_ratio": round(min(ratios), 2),
        "highest_ratio": round(max(ratios), 2),
    }


def write(name: str, rows: Sequence[dict[str, Any]], **more: Any) -> None:
    """Write `build/bench/NAME.json` and print a line for each row."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    took_s = round(time.monotonic() - _BEGAN)
    (FOLDER / f"{name}.json").write_text(
        json.dumps({"name": name, "rows": list(rows), **more, "took_s": took_s}, indent=2) + "\n"
    )
    for row in rows:
        print(name, "|", ", ".join(f"{key} {value}" for key, value in row.items()))
