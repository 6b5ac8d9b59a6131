"""Leaves out of a finding what another of its lines says already, word for word."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bradawl.report.model.contents import Finding, Reading, Reason

__all__ = ["Told", "told_once"]


@dataclass(frozen=True)
class Told:
    """What is left to say of a finding: reasons, other lines, what is asked, readings."""

    reasons: tuple[Reason, ...]
    lines: tuple[str, ...]
    asked: tuple[str, ...]
    readings: tuple[Reading, ...]


def told_once(finding: Finding) -> Told:
    """The finding's reasons, choice, facts, problems and readings, none inside another.

    A reason with a source stays, and so does a reading with several limits: what stands beside
    them would be lost.
    """
    sourced = [reason.text for reason in finding.reasons if reason.source]
    figures = [_labeled(reading) for reading in finding.readings]
    lines = list(_unsaid(finding.facts, [*sourced, *figures]))
    asked = tuple(_unsaid(finding.problems, [*sourced, *figures, *lines]))
    reasons = tuple(
        reason
        for at, reason in enumerate(finding.reasons)
        if reason.source
        or not _is_in(
            reason.text,
            [*lines, *asked, *(other.text for other in finding.reasons[:at]), *sourced],
        )
    )
    told = [*(reason.text for reason in reasons), *lines, *asked]
    if finding.choice and not _is_in(finding.choice, told):
        lines.insert(0, finding.choice)
    readings = tuple(
        reading
        for reading, figure in zip(finding.readings, figures, strict=True)
        if len(reading.limits) > 1
        or any(source for _, source in reading.limits)
        or not _is_in(figure, [reason.text for reason in reasons])
    )
    return Told(reasons, tuple(lines), asked, readings)


def _labeled(reading: Reading) -> str:
    return f"{reading.title}: {reading.measured}"


def _unsaid(texts: Iterable[str], told: list[str]) -> Iterable[str]:
    """The texts that no other says, each once."""
    before: list[str] = []
    for said in texts:
        if not _is_in(said, [*told, *before]):
            before.append(said)
            yield said


def _is_in(said: str, texts: Iterable[str]) -> bool:
    """Whether one of the texts holds this one between its words."""
    wanted = said.strip().rstrip(".").casefold()
    if not wanted:
        return True
    return any(_holds(text.casefold(), wanted) for text in texts)


def _holds(text: str, wanted: str) -> bool:
    at = text.find(wanted)
    while at >= 0:
        before, behind = text[:at], text[at + len(wanted) :]
        # 3.6 is not in 13.61, nor "worn" in "unworn"
        if not before[-1:].isalnum() and not (behind[:1].isalnum() or _goes_on(behind)):
            return True
        at = text.find(wanted, at + 1)
    return False


def _goes_on(behind: str) -> bool:
    """Whether a figure goes on behind a point or comma."""
    return behind[:1] in ".,/" and behind[1:2].isdigit()
