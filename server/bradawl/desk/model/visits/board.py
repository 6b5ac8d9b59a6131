"""The life of each car, from looking at it to having sold it, as a board of the shop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bradawl.common.display_text import for_line
from bradawl.desk.model import findings, photo_views
from bradawl.desk.model.labels import NAME_LIMIT
from bradawl.desk.model.plan.build import plan_of
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.ledger import life, parts_list
from bradawl.language import argument

STATE = life.PATH
#: The states in the order of a car's life (`desk-life-…`).
STATES = life.STATES
#: Of a car in these, work is still to come.
WORKED_ON = ("bought", "in_shop", "waiting", "on_road", "for_sale")
#: At these something was paid.
PRICED = ("bought", "sold")
#: Of cars that nobody bought, a board shows so many; the list has all.
MOST_SHOWN = 12
NEXT_JOBS = 3


@dataclass(frozen=True)
class BoardLine:
    """What the board says of a car beside its summary; kept with it, in no language but its own."""

    state: str = "looking"
    date: str = ""
    price_cents: int | None = None
    danger: int = 0
    jobs: int = 0
    next_jobs: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()  # ordered and not here yet
    photo: str = ""
    open_jobs: tuple[tuple[str, str], ...] = ()  # id and title of what is to be done


def board_line(snapshot: Snapshot) -> BoardLine:
    """One car's line. Its plan is worked out only where somebody means to do it.

    Of any other car the work that its price counts has to do.
    """
    step = life.now(snapshot.cells)
    state = step["state"]
    plan = plan_of(snapshot).jobs if state in WORKED_ON else []
    jobs = [(job.id, str(job.title)) for job in plan]
    jobs_priced = [
        (line["id"], str(argument(line["title"], snapshot.texts["rules"])))
        for line in (snapshot.assessment.get("money") or {}).get("lines", ())
    ]
    awaited = [
        for_line(line["what"] or line["number"], NAME_LIMIT)
        for line in parts_list.lines(snapshot.cells)
        if line["state"] == "ordered" and not line["removed"]
    ]
    return BoardLine(
        state=state,
        date=step["date"],
        price_cents=step["price_cents"],
        danger=findings.tally(snapshot)["dangerous"],
        jobs=len(jobs),
        next_jobs=tuple(for_line(title, 80) for _, title in jobs[:NEXT_JOBS]),
        parts=tuple(awaited),
        photo=_newest_photo(snapshot.cells),
        open_jobs=tuple((name, for_line(title, 80)) for name, title in jobs or jobs_priced),
    )


def _newest_photo(cells: Mapping[str, Mapping[str, Any]]) -> str:
    """The photo that was recorded last; of a car in work that is how it looks by now."""
    taken = [
        (str(cell["at"]), path.rsplit("/", 1)[1])
        for path, cell in cells.items()
        if "/photos/" in path and not path.startswith("ledger/") and cell["value"] is not None
    ]
    named = [pair for pair in taken if photo_views.SHA256.fullmatch(pair[1])]
    return max(named)[1] if named else ""
