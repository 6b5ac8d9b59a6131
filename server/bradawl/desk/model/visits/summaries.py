"""Summaries of visits for lists, kept until the visit, the day or the checklist changes.

Judging a visit takes tens of milliseconds and a list shows hundreds, so a summary is made once per
last stamp and kept on the disk (`summary_cache.py`). A page waits for a bounded time; what is still
missing is made in the background (`summary_queue.py`), and the page says which it lacks. One of an
earlier day is shown until that day's judgment has been renewed. Pages over all visits look through
what is kept of each in memory, and read whole summaries only of those that they show.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass

from bradawl.desk.model.diagnosis.turned_out import Outcome
from bradawl.desk.model.log import DeskLog, VisitLine
from bradawl.desk.model.money.learning import Experience, experience_of, setting_in
from bradawl.desk.model.money.lessons import Lesson
from bradawl.desk.model.visits.summary import Summary, summarize
from bradawl.desk.model.visits.summary_cache import Entry, Key, SummaryCache, entry_of
from bradawl.desk.model.visits.summary_queue import SummaryQueue
from bradawl.inspection.cell_values import value
from bradawl.inspection.snapshot import Snapshot
from bradawl.language import text

__all__ = ["ON_A_PAGE", "Row", "Summaries"]

logger = logging.getLogger(__name__)
ASK_AT_ONCE = 500
ON_A_PAGE = 100
SHOP = "shop"


@dataclass(frozen=True)
class Row:
    """A list's line: the summary, or None while it is being made."""

    visit: str
    first_at: str
    last_at: str
    events: int
    summary: Summary | None
    photos_missing: int


@dataclass(frozen=True)
class _Overview:
    """Every visit, the last changed first: read or not, and what is not of these events and day."""

    state: object  # of what it was made
    read: Mapping[str, Entry]
    unread: Mapping[str, Key]
    lacking: Mapping[str, Key]


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
        self._cache = cache or SummaryCache()
        self._known: dict[str, Entry] = {}
        self._is_loaded = False
        self._loading = threading.Lock()
        self._version = 0  # changes with what is known
        self._lines: tuple[object, Sequence[VisitLine]] = (None, ())
        self._seen: _Overview | None = None
        self._lessons: dict[str, tuple[Lesson, ...]] = {}
        self._experience: Experience | None = None
        self._arrived: set[str] = set()
        self._broken: dict[str, Key] = {}
        self._queue = SummaryQueue(self._make, self._lacks, patience_s)

    # what pages ask for

    def rows(self, first: int = 0, count: int = ON_A_PAGE) -> list[Row]:
        """`count` visits of the lists from the `first` on, the newest at 0.

        Within the patience of a page; what was put away is left out as soon as it was read.
        """
        shelved = self._shelved()
        if not shelved:
            return self._rows(self._log.visits(first, count))
        listed = [line.visit for line in self._lines[1] if line.visit not in shelved]
        return self.of(listed[first : first + count])

    def _shelved(self) -> set[str]:
        """The visits that were put away, of those that were read."""
        self._load()
        return {visit for visit, entry in self._overview().read.items() if entry.shelf}

    def shelved(self) -> tuple[dict[str, list[Summary]], list[str]]:
        """What was put away, by its shelf, the newest first, and the visits not read yet."""
        found: dict[str, list[Summary]] = {}
        for summary in self._those(lambda entry: bool(entry.shelf))[0]:
            found.setdefault(summary.shelf, []).append(summary)
        return found, list(self._overview().unread)

    def find(self, words: str, first: int = 0) -> tuple[list[Row], int, int]:
        """A page of visits whose car, registration, inspector or date has all the words.

        The newest come first, from the `first` on. Beside them, how many match in all, and how many
        visits were not read yet: they are read in the background and found the next time.
        """
        wanted = words.casefold().split()
        overview = self._overview()
        self._queue.ask_for(overview.unread, ahead=False)
        matches = [
            visit
            for visit, entry in overview.read.items()
            if entry.shelf in ("", "archived") and all(word in entry.words for word in wanted)
        ]
        rows = self.of(matches[first : first + ON_A_PAGE])
        again = sum(row.summary is None and not self.unreadable(row) for row in rows)
        return rows, len(matches), len(overview.unread) + again

    def of(self, visits: Collection[str]) -> list[Row]:
        """The rows of some visits, the last changed first."""
        return self._rows(self._log.visits_named(visits))

    def names(self, count: int = ON_A_PAGE) -> list[tuple[str, str]]:
        """(visit, its car's name) of the newest that were read, at most `count`."""
        read = self._overview().read.items()
        named = [
            (visit, entry.car or text("desk-car-unnamed"))
            for visit, entry in read
            if not entry.shelf
        ]
        return named[:count]

    def by_state(self) -> tuple[dict[str, list[str]], list[str]]:
        """Every car that was read by its state, the newest first, and those not read yet."""
        overview = self._overview_in_patience()
        found: dict[str, list[str]] = {}
        for visit, entry in overview.read.items():
            if not entry.shelf:
                found.setdefault(entry.state, []).append(visit)
        return found, list(overview.unread)

    def read(self, visits: Collection[str]) -> dict[str, Summary]:
        """The summaries of some visits as they were last made; what is not kept is left out."""
        return {visit: summary for visit, (_, summary) in self._kept(visits).items()}

    def all_of_money(self) -> tuple[list[Summary], int]:
        """The summaries of every car that is the shop's, or on which somebody spent.

        Beside them, how many visits were not read yet.
        """
        return self._those(lambda entry: entry.counts)

    def confirmed(self) -> tuple[list[tuple[str, tuple[Outcome, ...]]], int]:
        """(model, what its complaints turned out to be) of every car of which something is known.

        Beside them, how many visits were not read yet.
        """
        found, unread = self._those(lambda entry: entry.turned_out)
        return [(one.model, one.turned_out) for one in found], unread

    def lessons(self) -> tuple[list[tuple[Summary, Lesson]], int]:
        """Every finished job with its estimate and its cost, left out or not, with its car.

        Beside them, how many visits were not read yet.
        """
        found, unread = self._those(lambda entry: entry.teaches)
        return [(one, lesson) for one in found for lesson in one.lessons], unread

    def experience(self) -> Experience:
        """What jobs came to in this shop, of every car as it was last read."""
        self._load()
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
        self._queue.wait_for(self._lacking(self._log.visits_named([visit])))

    def count(self) -> int:
        """How many visits the lists have."""
        return self._log.count_visits() - self.count_shelved()

    def count_shelved(self) -> int:
        """How many were put away, of those that were read."""
        return len(self._shelved())

    def unreadable(self, row: Row) -> bool:
        """Whether a row has no summary because its visit cannot be judged at all."""
        return row.summary is None and row.visit in self._broken

    def forget(self, visit: str) -> None:
        """Keep no summary of a visit of which something was erased; made anew when asked for."""
        self._queue.drop(visit)
        self._drop(visit)
        self._teach(visit, ())
        self._cache.forget(visit)

    # what is known

    def _load(self) -> None:
        """Take into memory what is kept of every visit, once."""
        if self._is_loaded:
            return
        with self._loading:
            if not self._is_loaded:
                self._known = self._cache.entries()
                teaching = [visit for visit, entry in self._known.items() if entry.teaches]
                for visit, summary in self.read(teaching).items():
                    self._lessons[visit] = summary.lessons
                self._is_loaded = True

    def _take(self, visit: str, entry: Entry, lessons: tuple[Lesson, ...]) -> None:
        self._known[visit] = entry
        self._version += 1
        self._teach(visit, lessons)

    def _drop(self, visit: str) -> None:
        self._known.pop(visit, None)
        self._version += 1

    def _teach(self, visit: str, lessons: tuple[Lesson, ...]) -> None:
        if self._lessons.get(visit, ()) != lessons:
            self._lessons[visit] = lessons
            self._experience = None

    def _day(self) -> str:
        shifts = self.experience().digest  # prices follow what the shop's jobs came to
        return f"{self._today()} {shifts}" if shifts else self._today()

    def keys(self, lines: Sequence[VisitLine]) -> dict[str, Key]:
        """For what a summary of each visit has to be made, to be of its events and of today."""
        day, ordered = self._day(), self._log.ordered()
        return {
            line.visit: (line.last_at, line.events, ordered.get(line.visit, ""), day)
            for line in lines
        }

    def _lacking(self, lines: Sequence[VisitLine]) -> dict[str, Key]:
        return {v: key for v, key in self.keys(lines).items() if self._lacks(v, key)}

    def _is_read(self, visit: str, key: Key) -> bool:
        """Whether exactly these events were read, on this or on an earlier day."""
        entry = self._known.get(visit)
        return entry is not None and entry.key[:3] == key[:3]

    def _lacks(self, visit: str, key: Key) -> bool:
        entry = self._known.get(visit)
        return (entry is None or entry.key != key) and self._broken.get(visit) != key

    def _overview(self) -> _Overview:
        """Every visit as it is known now; made anew only when something changed."""
        pulse = self._log.pulse()
        day, ordered = self._day(), self._log.ordered()
        # what comes to be known while this is made is seen the next time
        state = (pulse, day, ordered, self._version)
        seen = self._seen
        if seen is not None and seen.state == state:
            return seen
        if self._lines[0] != pulse:
            self._lines = (pulse, self._log.visits())
        read: dict[str, Entry] = {}
        unread: dict[str, Key] = {}
        lacking: dict[str, Key] = {}
        known, broken = self._known, self._broken
        for line in self._lines[1]:
            visit = line.visit
            key = (line.last_at, line.events, ordered.get(visit, ""), day)
            entry = known.get(visit)
            is_read = entry is not None and entry.key[:3] == key[:3]
            if entry is not None and is_read:
                read[visit] = entry
                if entry.key == key:
                    continue
            if broken.get(visit) != key:
                lacking[visit] = key
                if not is_read:
                    unread[visit] = key
        seen = self._seen = _Overview(state, read, unread, lacking)
        return seen

    def _overview_in_patience(self) -> _Overview:
        """The same, once the first that are not read yet had the patience of a page."""
        overview = self._overview()
        if overview.unread:
            self._queue.wait_for(dict(list(overview.unread.items())[:ON_A_PAGE]))
            overview = self._overview()
        self._queue.ask_for(overview.lacking, ahead=False)
        return overview

    def _those(self, wanted: Callable[[Entry], bool]) -> tuple[list[Summary], int]:
        """The summaries of the visits of whose entry `wanted` holds, the newest first."""
        overview = self._overview_in_patience()
        visits = [visit for visit, entry in overview.read.items() if wanted(entry)]
        found = self.read(visits)
        return [found[visit] for visit in visits if visit in found], len(overview.unread)

    def _rows(self, lines: Sequence[VisitLine]) -> list[Row]:
        self._load()
        keys = self.keys(lines)
        kept = self._kept(keys)
        lacking = {visit: key for visit, key in keys.items() if self._lacks(visit, key)}
        self._queue.wait_for({v: key for v, key in lacking.items() if not self._is_read(v, key)})
        self._queue.ask_for(lacking, ahead=True)
        kept |= self._kept([visit for visit in lacking if visit in self._known])
        shown = {
            visit: summary for visit, (key, summary) in kept.items() if key[:3] == keys[visit][:3]
        }
        missing = self._missing(sorted({sha for one in shown.values() for sha in one.photos}))
        return [
            Row(
                visit=line.visit,
                first_at=line.first_at,
                last_at=line.last_at,
                events=line.events,
                summary=shown.get(line.visit),
                photos_missing=sum(sha in missing for sha in shown[line.visit].photos)
                if line.visit in shown
                else 0,
            )
            for line in lines
        ]

    def _kept(self, visits: Collection[str]) -> dict[str, tuple[Key, Summary]]:
        """What is kept of some visits; of one whose file was begun again nothing is known."""
        kept = self._cache.read(visits)
        for visit in visits:
            if visit not in kept and visit in self._known:
                self._drop(visit)
        return kept

    def _missing(self, photos: Sequence[str]) -> set[str]:
        unsure = [sha256 for sha256 in photos if sha256 not in self._arrived]
        missing: set[str] = set()
        for first in range(0, len(unsure), ASK_AT_ONCE):
            missing.update(self._ask_missing(unsure[first : first + ASK_AT_ONCE]))
        self._arrived.update(set(unsure) - missing)
        return missing

    # what is made

    def _make(self, visit: str, key: Key) -> None:
        self._load()
        try:
            snapshot = self._snapshots(visit)
            summary = summarize(snapshot, key[0])
        except Exception:
            # One visit that cannot be judged must not take the whole list away.
            logger.exception("The visit %s cannot be summarised", visit)
            self._broken[visit] = key
            self._version += 1
            return
        if self._log.ordered().get(visit, "") != key[2]:
            return  # made of what was erased meanwhile
        # judged by a checklist that stands in for its own, it is judged anew after a restart
        began_with = value(snapshot.cells, "about/bundle")
        lasting = snapshot.bundle.get("hash") == began_with
        self._cache.keep(visit, key, summary, lasting=lasting)
        self._take(visit, entry_of(key, summary), summary.lessons)
