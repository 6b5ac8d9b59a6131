"""Summaries of visits for lists, kept until the visit, the day or the checklist changes.

Judging a visit takes tens of milliseconds and a list shows hundreds, so a summary is made once
per last stamp and kept on the disk. A page waits for a bounded time; what is still missing is made
by one background thread, and the page says which it lacks. One of an earlier day is shown until
that day's judgment has been renewed.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from bradawl.common.display_text import for_line
from bradawl.desk.model import findings
from bradawl.desk.model.diagnosis.turned_out import Outcome, outcomes
from bradawl.desk.model.labels import NAME_LIMIT, car_title
from bradawl.desk.model.log import DeskLog, VisitLine
from bradawl.desk.model.money.learning import Experience, experience_of, setting_in
from bradawl.desk.model.money.lessons import Lesson, lessons_of
from bradawl.desk.model.money.summary import MoneyLine, money_line
from bradawl.desk.model.visits.board import BoardLine, board_line
from bradawl.desk.model.visits.candidates import Candidate, candidate_of
from bradawl.desk.model.visits.summary_cache import Key, SummaryCache
from bradawl.inspection import cell_values
from bradawl.inspection.said import clock_text
from bradawl.inspection.snapshot import Snapshot
from bradawl.inspection.standing import answer_found, answer_now, found_line
from bradawl.language import text

logger = logging.getLogger(__name__)
ASK_AT_ONCE = 500
ON_A_PAGE = 100
SHOP = "shop"


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
    found: str = ""  # the answer at the inspection, where work has mended something since

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

    @cached_property
    def words(self) -> str:
        """What a search looks through."""
        return f"{self.car} {self.registration} {self.inspector} {self.started}".casefold()


@dataclass(frozen=True)
class Row:
    """A list's line: the summary, or None while it is being made."""

    visit: str
    first_at: str
    last_at: str
    events: int
    summary: Summary | None
    photos_missing: int


def summarize(snapshot: Snapshot, last_at: str) -> Summary:
    """The summary of one snapshot."""
    counts = findings.tally(snapshot)
    worst = next(
        (grade for grade in ("dangerous", "major", "minor", "none") if counts[grade]), None
    )
    started = cell_values.moment(findings.value(snapshot, "about/started"))
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
        sealed=sealed,
        amendments=len(findings.amendments(snapshot, str)),
        conflicts=len(findings.conflicts(snapshot, str)),
        photos=tuple(findings.photos_of(snapshot)),
        zone=findings.zone_of(snapshot),
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
    return for_line(cell_values.words(findings.value(snapshot, path)), NAME_LIMIT)


class Summaries:
    """The summaries of every visit, made once and kept by last stamp, events, orders and day.

    `photos_missing` names those of some photos that have not arrived; a photo that is here is not
    asked for again. What the shop ordered of a visit's events (the log's `ordered`) changes what
    they say. `cache` keeps summaries over a restart; without it they are kept in memory alone.
    """

    def __init__(
        self,
        log: DeskLog,
        snapshots: Callable[[str], Snapshot],
        today: Callable[[], str],
        photos_missing: Callable[[Sequence[str]], Collection[str]],
        *,
        patience_s: float = 0.05,
        cache: SummaryCache | None = None,
    ) -> None:
        self._log = log
        self._snapshots = snapshots
        self._today = today
        self._ask_missing = photos_missing
        self._patience_s = patience_s
        self._cache = cache
        self._kept: dict[str, tuple[Key, Summary]] = {}
        self._lessons: dict[str, tuple[Lesson, ...]] = {}
        self._experience: Experience | None = None
        self._is_recalled = False
        self._arrived: set[str] = set()
        self._broken: dict[str, Key] = {}
        self._changed = threading.Condition()
        self._queue: dict[str, Key] = {}
        self._working = False
        self._waiting = 0

    def rows(self, first: int = 0, count: int = ON_A_PAGE) -> list[Row]:
        """`count` visits from the `first` on, the newest at 0, within the patience of a page."""
        return self._rows(self._log.visits(first, count))

    def find(self, words: str) -> tuple[list[Row], int]:
        """A page of visits whose car, registration, inspector or date has all the words.

        The newest come first. Beside them, how many visits were not read yet: they are read in
        the background and found the next time.
        """
        wanted = words.casefold().split()
        matches: list[VisitLine] = []
        unread: dict[str, Key] = {}
        lines = self._log.visits()
        for line, key in zip(lines, self._keys(lines), strict=True):
            summary = self._summary(line.visit, key)
            if summary is not None:
                if all(word in summary.words for word in wanted):
                    matches.append(line)
            elif self._lacks(line.visit, key):
                unread[line.visit] = key
        self._ask_for(unread, ahead=False)
        rows = self._rows(matches[:ON_A_PAGE])
        again = sum(row.summary is None and not self.unreadable(row) for row in rows)
        return rows, len(unread) + again

    def of(self, visits: Collection[str]) -> list[Row]:
        """The rows of some visits."""
        return self._rows(self._log.visits_named(visits))

    def for_board(self) -> tuple[list[Row], list[str]]:
        """Every car that was read, the newest first, and those that were not read yet.

        What the disk keeps is taken into memory; photos are not asked for.
        """
        lines = self._log.visits()
        keys = self._keys(lines)
        self._recall([line.visit for line in lines if line.visit not in self._kept])
        pairs = list(zip(lines, keys, strict=True))
        lacking = [(line.visit, key) for line, key in pairs if self._lacks(line.visit, key)]
        self._wait_for(dict(lacking[:ON_A_PAGE]))
        self._ask_for(dict(lacking), ahead=False)
        rows = []
        unread = []
        for line, key in pairs:
            summary = self._summary(line.visit, key)
            if summary is not None:
                rows.append(Row(line.visit, line.first_at, line.last_at, line.events, summary, 0))
            elif self._lacks(line.visit, key):
                unread.append(line.visit)
        return rows, unread

    def all_of_money(self) -> tuple[list[Summary], int]:
        """The summaries of every car that is the shop's, or on which somebody spent.

        Beside them, how many visits were not read yet.
        """
        rows, unread = self.for_board()
        read = [row.summary for row in rows if row.summary is not None]
        return [one for one in read if one.money.is_of_interest], len(unread)

    def confirmed(self) -> tuple[list[tuple[str, tuple[Outcome, ...]]], int]:
        """(model, what its complaints turned out to be) of every car of which something is known.

        Beside them, how many visits were not read yet.
        """
        lines = self._log.visits()
        keys = self._keys(lines)
        self._recall([line.visit for line in lines if line.visit not in self._kept])
        found = []
        unread: dict[str, Key] = {}
        for line, key in zip(lines, keys, strict=True):
            summary = self._summary(line.visit, key)
            if summary is None:
                if self._lacks(line.visit, key):
                    unread[line.visit] = key
            elif summary.turned_out:
                found.append((summary.model, summary.turned_out))
        self._ask_for(unread, ahead=False)
        return found, len(unread)

    def lessons(self) -> tuple[list[tuple[Summary, Lesson]], int]:
        """Every finished job with its estimate and its cost, left out or not, with its car.

        Beside them, how many visits were not read yet.
        """
        rows, unread = self.for_board()
        read = [row.summary for row in rows if row.summary is not None]
        return [(one, lesson) for one in read for lesson in one.lessons], len(unread)

    def experience(self) -> Experience:
        """What jobs came to in this shop, of every car as it was last read."""
        if not self._is_recalled:
            self._is_recalled = True
            self._recall([line.visit for line in self._log.visits()])
        known = self._experience
        if known is None:
            is_on = setting_in(self._log.events_in(SHOP))
            read = [lesson for of_car in list(self._lessons.values()) for lesson in of_car]
            known = self._experience = experience_of(read, is_on=is_on)
        return known

    def settle(self) -> None:
        """Read the shop's setting anew."""
        self._experience = None

    def refresh(self, visit: str) -> None:
        """Have one visit's summary made anew, since it was written to."""
        lines = self._log.visits_named([visit])
        self._wait_for(
            {
                line.visit: key
                for line, key in zip(lines, self._keys(lines), strict=True)
                if self._lacks(line.visit, key)
            }
        )

    def _take(self, kept: Mapping[str, tuple[Key, Summary]]) -> None:
        """Keep summaries in memory, and what they teach."""
        self._kept.update(kept)
        for visit, (_, summary) in kept.items():
            self._teach(visit, summary.lessons)

    def _teach(self, visit: str, lessons: tuple[Lesson, ...]) -> None:
        if self._lessons.get(visit, ()) != lessons:
            self._lessons[visit] = lessons
            self._experience = None

    def count(self) -> int:
        """How many visits there are."""
        return self._log.count_visits()

    def _keys(self, lines: Sequence[VisitLine]) -> list[Key]:
        day, ordered = self._today(), self._log.ordered()
        shifts = self.experience().digest  # prices follow what the shop's jobs came to
        day = f"{day} {shifts}" if shifts else day
        return [(line.last_at, line.events, ordered.get(line.visit, ""), day) for line in lines]

    def forget(self, visit: str) -> None:
        """Keep no summary of a visit of which something was erased; made anew when asked for."""
        with self._changed:
            self._queue.pop(visit, None)
            self._kept.pop(visit, None)
            self._teach(visit, ())
        if self._cache is not None:
            self._cache.forget(visit)

    def _rows(self, lines: Sequence[VisitLine]) -> list[Row]:
        keys = {line.visit: key for line, key in zip(lines, self._keys(lines), strict=True)}
        self._recall([visit for visit, key in keys.items() if self._lacks(visit, key)])
        lacking = {visit: key for visit, key in keys.items() if self._lacks(visit, key)}
        self._wait_for(
            {visit: key for visit, key in lacking.items() if self._summary(visit, key) is None}
        )
        self._ask_for(lacking, ahead=True)
        pairs = [(line, self._summary(line.visit, keys[line.visit])) for line in lines]
        shown = [summary for _, summary in pairs if summary is not None]
        missing = self._missing(sorted({sha for summary in shown for sha in summary.photos}))
        return [
            Row(
                visit=line.visit,
                first_at=line.first_at,
                last_at=line.last_at,
                events=line.events,
                summary=summary,
                photos_missing=sum(sha in missing for sha in summary.photos) if summary else 0,
            )
            for line, summary in pairs
        ]

    def _summary(self, visit: str, key: Key) -> Summary | None:
        """The summary of exactly these events, as of this or of an earlier day."""
        kept = self._kept.get(visit)
        return kept[1] if kept and kept[0][:3] == key[:3] else None

    def _recall(self, visits: Sequence[str]) -> None:
        """Take into memory what the disk keeps of these visits."""
        if self._cache is not None and visits:
            self._take(self._cache.read(visits))

    def _make(self, visit: str, key: Key) -> None:
        self._recall([visit])
        if not self._lacks(visit, key):
            return
        try:
            snapshot = self._snapshots(visit)
            summary = summarize(snapshot, key[0])
        except Exception:
            # One visit that cannot be judged must not take the whole list away.
            logger.exception("The visit %s cannot be summarised", visit)
            self._broken[visit] = key
            return
        if self._log.ordered().get(visit, "") != key[2]:
            return  # made of what was erased meanwhile
        self._take({visit: (key, summary)})
        began_with = findings.value(snapshot, "about/bundle")
        # judged by a checklist that stands in for its own, it is judged anew after a restart
        if self._cache is not None and snapshot.bundle.get("hash") == began_with:
            self._cache.keep(visit, key, summary)

    def unreadable(self, row: Row) -> bool:
        """Whether a row has no summary because its visit cannot be judged at all."""
        return row.summary is None and row.visit in self._broken

    def _missing(self, photos: Sequence[str]) -> set[str]:
        unsure = [sha256 for sha256 in photos if sha256 not in self._arrived]
        missing: set[str] = set()
        for first in range(0, len(unsure), ASK_AT_ONCE):
            missing.update(self._ask_missing(unsure[first : first + ASK_AT_ONCE]))
        self._arrived.update(set(unsure) - missing)
        return missing

    def _lacks(self, visit: str, key: Key) -> bool:
        kept = self._kept.get(visit)
        return (kept is None or kept[0] != key) and self._broken.get(visit) != key

    def _wait_for(self, wanted: Mapping[str, Key]) -> None:
        """Have these summaries made before any asked for earlier; wait no longer than patience.

        The thread works alone, so a page never waits for one slow visit to the end.
        """
        if not wanted:
            return
        until = time.monotonic() + self._patience_s
        self._ask_for(wanted, ahead=True)
        with self._changed:
            self._waiting += 1
            while any(self._lacks(visit, key) for visit, key in wanted.items()):
                left = until - time.monotonic()
                if left <= 0:
                    break
                self._changed.wait(left)
            self._waiting -= 1

    def _ask_for(self, wanted: Mapping[str, Key], *, ahead: bool) -> None:
        """Have these summaries made, ahead of those asked for before or after them."""
        if not wanted:
            return
        with self._changed:
            parts = (wanted, self._queue) if ahead else (self._queue, wanted)
            self._queue = {**parts[0], **{v: k for v, k in parts[1].items() if v not in parts[0]}}
            if not self._working:
                self._working = True
                threading.Thread(target=self._work, name="desk-summaries", daemon=True).start()

    def _work(self) -> None:
        while True:
            with self._changed:
                if not self._queue:
                    self._working = False
                    return
                visit = next(iter(self._queue))
                key = self._queue.pop(visit)
            began = time.monotonic()
            if self._lacks(visit, key):
                self._make(visit, key)
            with self._changed:
                self._changed.notify_all()
                waiting = self._waiting
            if not waiting:  # leave half of the processor to the pages that are read meanwhile
                time.sleep(time.monotonic() - began)
