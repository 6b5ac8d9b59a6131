"""One visit gathered for the desk and the report: events, fold, checklist, assessment, seals."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from typing import TYPE_CHECKING, Any, Protocol, cast

from bradawl.inspection import cell_values, own_texts
from bradawl.inspection.learned import rules_with
from bradawl.inspection.seals import as_written, covers, is_signed
from bradawl.judge import amendments, assess, covered, fold, photos_text
from bradawl.judge.record.own_findings import with_own
from bradawl.judge.record.regions import region_of, rules_in
from bradawl.language import Message, current, message
from bradawl.language.checklist_texts import WRITTEN_IN, texts_for

if TYPE_CHECKING:
    from bradawl.judge.values.types import Assessment, Bundle, Cells, Event, Orders, Rules, Shift


class EventSource(Protocol):
    """What a snapshot needs of the log."""

    def events_of(self, visit: str) -> list[Event]: ...
    def orders(self) -> Orders: ...
    def held(self) -> Mapping[str, int]: ...
    def marked(self) -> Mapping[str, str]: ...
    def bundle(self, bundle_hash: str) -> Bundle | None: ...
    def photo(self, sha256: str) -> bytes | None: ...


@dataclass(frozen=True)
class Seal:
    """A seal event; `holds` says whether its device signed it and what it covers is unchanged."""

    n: int
    value: dict[str, Any]
    at: str
    device: str
    holds: bool
    problem: Message | None


@dataclass(frozen=True)
class Erased:
    """A value that was erased: its path, and the stamp of the order."""

    put: str
    ordered_at: str


@dataclass(frozen=True)
class Snapshot:
    """Everything that is known of one visit, at one moment.

    `cells` is the fold of all events; `sealed_cells` the fold of those the last seal covers;
    `amendments` the events that came after it. `photo` gives the served copy of a photo, or
    None when it has not arrived. `unconfirmed` says of devices why the owner should look at what
    they wrote here. `today` gives the checklist of today, which may say what the desk's tables
    call things in more languages.
    """

    visit: str
    events: list[Event]
    cells: Cells
    bundle: Bundle
    assessment: Assessment
    seals: list[Seal]
    amendments: list[Event]
    sealed_cells: Cells | None
    photo: Callable[[str], bytes | None]
    erased: tuple[Erased, ...] = ()
    unconfirmed: Mapping[str, str] = field(default_factory=dict)
    today: Callable[[], Bundle | None] = lambda: None
    day: str = ""  # on which it was judged
    #: what jobs came to in this shop, by kind; reports rest on the record alone and have none
    learned: Mapping[str, Shift] = field(default_factory=dict)
    _texts: dict[str, Bundle] = field(default_factory=dict, repr=False, compare=False)

    @property
    def through(self) -> Any:
        """Up to which event of each device the last seal covers; None without a seal."""
        return self.seals[-1].value.get("through") if self.seals else None

    @cached_property
    def rules(self) -> Rules:
        """The checklist's rules with the law and the prices of the visit's region."""
        rules = rules_in(self.bundle["rules"], region_of(self.cells))
        return with_own(rules_with(rules, self.learned), self.cells)

    @property
    def texts(self) -> Bundle:
        """The checklist as whoever reads now reads it; the judge and the record take `bundle`.

        What was found that no check asks for stands among its items, in the words of who found it.
        """
        locale = current().locale
        if locale not in self._texts:
            today = None if locale == WRITTEN_IN else self.today()
            read = cast("Bundle", texts_for(self.bundle, locale, today).bundle)
            self._texts[locale] = own_texts.beside(read, self.cells)
        return self._texts[locale]


class UnknownVisit(LookupError):
    """No event names that visit."""


def gather(
    log: EventSource,
    visit: str,
    *,
    today: str,
    current_bundle: Callable[[], Bundle],
    learned: Callable[[str], Mapping[str, Shift]] | None = None,
) -> Snapshot:
    """The snapshot of `visit` as of `today` (YYYY-MM-DD).

    `current_bundle` is asked only for a visit whose own checklist never reached this server,
    `learned` (currency) says by how much the shop's estimates are shifted. Raises UnknownVisit.
    """
    events = log.events_of(visit)
    if not events:
        raise UnknownVisit(message("server-unknown-visit"))
    cells = fold(events)
    began_with = cells["about/bundle"]["value"] if "about/bundle" in cells else None
    kept = log.bundle(began_with) if isinstance(began_with, str) else None
    bundle = kept or current_bundle()
    seals = _seals(visit, events, log)
    through = seals[-1].value.get("through") if seals else None
    sealed_events = covered(events, through) if seals else None
    authors = {event["device"] for event in events}
    shifts = dict(learned(cell_values.currency(cells))) if learned else {}
    rules = rules_with(rules_in(bundle["rules"], region_of(cells)), shifts)
    return Snapshot(
        visit=visit,
        events=events,
        cells=cells,
        bundle=bundle,
        assessment=assess({"visit": visit, "cells": cells}, rules, today),
        seals=seals,
        amendments=amendments(events, through) if seals else [],
        sealed_cells=None if sealed_events is None else fold(sealed_events),
        photo=log.photo,
        erased=_erased(events, log),
        unconfirmed={device: why for device, why in log.marked().items() if device in authors},
        day=today,
        learned=shifts,
        today=cache(current_bundle),  # what it is called in a language is kept by which one it is
    )


def _erased(events: Sequence[Event], log: EventSource) -> tuple[Erased, ...]:
    gone = [event for event in events if event.get("erased")]
    if not gone:
        return ()
    ordered = {order["commit"]: order["at"] for order in log.orders()["erase"]}
    return tuple(Erased(event["put"], ordered.get(event["commit"], "")) for event in gone)


def _seals(visit: str, events: list[Event], log: EventSource) -> list[Seal]:
    there = [
        event
        for event in events
        if event["put"].startswith("seal/")
        and isinstance(event["value"], Mapping)
        and not event.get("fenced")
    ]
    if not there:
        return []
    there.sort(key=lambda event: event.get("rank") or event["at"])
    top_seqs = log.held()
    # what the shop ordered later changes nothing of what was signed
    recorded = [as_written(event) for event in events]
    seals = []
    for event in there:
        value = cell_values.mapping(event["value"])
        problem = _problem(f"inspection/{visit}", event["device"], value, recorded, top_seqs)
        number = event["put"].partition("/")[2]
        seals.append(
            Seal(
                n=int(number) if number.isdigit() and len(number) < 10 else 0,
                value=dict(value),
                at=event.get("rank") or event["at"],
                device=event["device"],
                holds=not problem,
                problem=problem,
            )
        )
    return seals


def _problem(
    scope: str,
    device: str,
    value: Mapping[str, Any],
    events: list[Event],
    top_seqs: Mapping[str, int],
) -> Message | None:
    """What is wrong with a device's seal; None when it holds."""
    if not is_signed(scope, device, value):
        return message("server-seal-key")
    through = value.get("through")
    beyond = [
        author
        for author, seq in (through.items() if isinstance(through, Mapping) else ())
        if isinstance(seq, int) and seq > top_seqs.get(author, 0)
    ]
    if beyond:
        return message("server-seal-waiting")
    under = covered(events, through)
    if not covers(under, value):
        return message("server-seal-findings")
    photos = value.get("photos")
    if not isinstance(photos, Mapping) or _sha256(photos_text(fold(under))) != photos.get("hash"):
        return message("server-seal-photos")
    return None


def _sha256(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()
