"""What the shop's finished jobs teach about its estimates: by kind, and how far they are shifted.

From ten jobs of a kind on, its figures are multiplied by the median of what was paid by what was
expected, in whole per cent and between 50 and 200; cash and own hours each by their own.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from statistics import median
from typing import TYPE_CHECKING

from bradawl.desk.model.money.lessons import Lesson, Three
from bradawl.judge import fold
from bradawl.judge.values.exact import half_up

if TYPE_CHECKING:
    from bradawl.judge.values.types import Event, Shift

ENOUGH = 10
LEAST_PERCENT, MOST_PERCENT = 50, 200
#: Where the shop says, in its own scope, whether its estimates are shifted: false, or anything.
SETTING = "estimates/shift"


@dataclass(frozen=True)
class Half:
    """One half of some estimates, cash or hours: medians; within is of those with a figure."""

    jobs: int = 0
    expected: int = 0
    came_to: int = 0
    within: int = 0
    ratio_percent: int = 100

    @property
    def within_percent(self) -> int:
        return half_up((100 * self.within, self.jobs), 0) if self.jobs else 0

    @property
    def shift_percent(self) -> int:
        """What figures of this kind are multiplied by; 100 while there are fewer than ten jobs."""
        if self.jobs < ENOUGH:
            return 100
        return min(max(self.ratio_percent, LEAST_PERCENT), MOST_PERCENT)


@dataclass(frozen=True)
class Kind:
    """What some jobs came to: cash, and own hours."""

    jobs: int
    cash: Half
    hours: Half


@dataclass(frozen=True)
class Experience:
    """What is known of each kind of job, a currency at a time; whether estimates follow it."""

    by_currency: Mapping[str, Mapping[str, Kind]] = field(default_factory=dict)
    is_on: bool = True

    def of(self, currency: str) -> Mapping[str, Kind]:
        """What is known by kind of job, for whoever pays in a currency."""
        return self.by_currency.get(currency, {})

    def shifts(self, currency: str) -> dict[str, Shift]:
        """The kinds whose estimates are shifted, each with its per cents."""
        found: dict[str, Shift] = {}
        for job, kind in self.of(currency).items() if self.is_on else ():
            parts, hours = kind.cash.shift_percent, kind.hours.shift_percent
            if (parts, hours) != (100, 100):
                found[job] = {"parts": parts, "hours": hours}
        return found

    @property
    def digest(self) -> str:
        """Another text for other shifts; "" for none."""
        shifts = {name: self.shifts(name) for name in sorted(self.by_currency)}
        told = [
            f"{currency} {job} {shift['parts']} {shift['hours']}"
            for currency, of in shifts.items()
            for job, shift in sorted(of.items())
        ]
        return hashlib.sha256("\n".join(told).encode()).hexdigest()[:12] if told else ""


def experience_of(lessons: Iterable[Lesson], *, is_on: bool = True) -> Experience:
    """What some lessons teach; one that was left out teaches nothing."""
    found: dict[str, dict[str, list[Lesson]]] = {}
    for lesson in lessons:
        if not lesson.is_left_out:
            found.setdefault(lesson.currency, {}).setdefault(lesson.job, []).append(lesson)
    kinds = {
        currency: {job: kind_of(of_kind) for job, of_kind in sorted(by_job.items())}
        for currency, by_job in found.items()
    }
    return Experience(kinds, is_on)


def kind_of(lessons: Sequence[Lesson]) -> Kind:
    """What some jobs of one currency came to together."""
    cash = [(lesson.said_cents, lesson.base_cents, lesson.paid_cents) for lesson in lessons]
    hours = [(lesson.said_hours, lesson.base_hours, lesson.hours) for lesson in lessons]
    return Kind(len(lessons), _half(cash), _half(hours))


def _half(rows: Sequence[tuple[Three, Three, int]]) -> Half:
    """Of jobs as (said, estimate, what it came to): those that have both figures."""
    known = [row for row in rows if expected(row[1]) > 0 and row[2] > 0]
    if not known:
        return Half()
    return Half(
        jobs=len(known),
        expected=_whole(median(expected(base) for _, base, _ in known)),
        came_to=_whole(median(Fraction(paid) for _, _, paid in known)),
        within=sum(said[0] <= paid <= said[2] for said, _, paid in known),
        ratio_percent=_whole(100 * median(paid / expected(base) for _, base, paid in known)),
    )


def expected(three: Three) -> Fraction:
    """What low, likely and high come to (PERT mean), as everywhere in the plan."""
    return Fraction(three[0] + 4 * three[1] + three[2], 6)


def _whole(number: Fraction) -> int:
    return half_up((number.numerator, number.denominator), 0)


def setting_in(events: list[Event]) -> bool:
    """Whether the shop lets its estimates be shifted; it does unless told not to."""
    cell = fold(events).get(SETTING)
    return cell is None or cell["value"] is not False
