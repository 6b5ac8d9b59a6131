"""A visit in one line, as lists, the board, Compare and the shop's sums show it; it is kept."""

from __future__ import annotations

from dataclasses import dataclass

from bradawl.common.display_text import for_line
from bradawl.desk.model import findings, photo_views, recorded, seals
from bradawl.desk.model.diagnosis.turned_out import Outcome, outcomes
from bradawl.desk.model.labels import NAME_LIMIT, car_title
from bradawl.desk.model.money.lessons import Lesson, lessons_of
from bradawl.desk.model.money.summary import MoneyLine, money_line
from bradawl.desk.model.visits.board import BoardLine, board_line
from bradawl.desk.model.visits.candidates import Candidate, candidate_of
from bradawl.inspection import cell_values
from bradawl.inspection.said import clock_text
from bradawl.inspection.shelf import shelf_of
from bradawl.inspection.snapshot import Snapshot
from bradawl.inspection.standing import answer_found, answer_now, found_line
from bradawl.judge.measurements import identity
from bradawl.language import text

__all__ = ["Summary", "model_of", "summarize"]


@dataclass(frozen=True)
class Summary:
    """A visit in one line, in no language: it is kept for whoever reads it next.

    Money is in whole units of `currency`; None where nobody said.
    """

    visit: str
    car: str
    registration: str
    started: str
    inspector: str
    worst: str | None
    tally: dict[str, int]
    coverage_percent: int | None
    answer: str  # as it stands now
    sealed: str  # "no", "whole" or "broken"
    amendments: int
    conflicts: int
    photos: tuple[str, ...]
    zone: str
    last_at: str
    candidate: Candidate
    board: BoardLine
    money: MoneyLine
    #: make and model; what its complaints turned out to be, as (symptom, cause)
    model: str = ""
    turned_out: tuple[Outcome, ...] = ()
    lessons: tuple[Lesson, ...] = ()
    shelf: str = ""  # where it stands beside the lists (`inspection/shelf.py`)
    found: str = ""  # the answer at the inspection, where work has mended something since
    vin: str = ""  # as it is compared: upper case, without blanks

    @property
    def found_line(self) -> str:
        return found_line(self.found, self.started[:10])

    @property
    def name(self) -> str:
        return self.car or text("desk-car-unnamed")

    @property
    def when(self) -> str:
        """When the car was looked over, said; "" where nobody recorded it."""
        day, _, time = self.started.partition(" ")
        return clock_text(cell_values.Moment(day, time, self.zone))

    @property
    def words(self) -> str:
        """What a search looks through."""
        told = (self.car, self.registration, self.inspector, self.started, self.vin)
        return " ".join(told).casefold()


def summarize(snapshot: Snapshot, last_at: str) -> Summary:
    """The summary of one snapshot."""
    counts = findings.tally(snapshot)
    worst = next(
        (grade for grade in ("dangerous", "major", "minor", "none") if counts[grade]), None
    )
    started = cell_values.moment(recorded.value(snapshot, "about/started"))
    share = snapshot.assessment.get("coverage", {}).get("share_percent")
    sealed = "no"
    if snapshot.seals:
        sealed = "whole" if snapshot.seals[-1].holds else "broken"
    money = money_line(snapshot)
    return Summary(
        visit=snapshot.visit,
        car=car_title(snapshot.cells),
        registration=_named(snapshot, "car/registration"),
        started=for_line(f"{started.date} {started.time}".strip(), NAME_LIMIT),
        inspector=_named(snapshot, "about/inspector"),
        worst=worst,
        tally=counts,
        coverage_percent=share if isinstance(share, int) else None,
        answer=answer_now(snapshot.assessment),
        found=answer_found(snapshot.assessment),
        vin=identity.normal(_named(snapshot, "car/vin")),
        shelf=shelf_of(snapshot.cells),
        sealed=sealed,
        amendments=len(seals.amendments(snapshot, str)),
        conflicts=len(findings.conflicts(snapshot, str)),
        photos=tuple(photo_views.photos_of(snapshot)),
        zone=recorded.zone_of(snapshot),
        last_at=last_at,
        candidate=candidate_of(snapshot, money),
        board=board_line(snapshot),
        money=money,
        model=model_of(snapshot),
        turned_out=outcomes(snapshot),
        lessons=lessons_of(snapshot),
    )


def model_of(snapshot: Snapshot) -> str:
    """Make and model, by which cars of a kind are counted."""
    return f"{_named(snapshot, 'car/make')} {_named(snapshot, 'car/model')}".strip()


def _named(snapshot: Snapshot, path: str) -> str:
    """A name as a list shows it; the car's own page has it whole."""
    return for_line(cell_values.words(recorded.value(snapshot, path)), NAME_LIMIT)
