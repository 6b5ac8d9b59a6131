"""Decides what of a visit an edition of the report may show: `edition_view`.

The condition edition is built by letting in, never by taking out: only the paths and judgment
keys named in `edition_filter` pass, and no page builder sees the snapshot itself.

The attached record proves what it shows and hides the rest: what is shown comes with path, stamp,
salt and the text that was recorded, from which anyone can make its leaf; what is left out with its
kind and a hash that tells neither path nor value. Both together are what the seal covers, so nobody
can leave out a grade, a reading, a choice or one side of a conflict, or call one a note.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, cast

from bradawl.inspection import cell_values
from bradawl.inspection.as_bought import Bought, bought_of, verdict_at_purchase
from bradawl.inspection.signed_verdict import Verdict, signed_verdict
from bradawl.judge import covered
from bradawl.language import argument, say, text
from bradawl.report.model.editions.choice import DEFAULT_CHOICE, EDITIONS, Choice, Edition
from bradawl.report.model.editions.disclosure import Passage
from bradawl.report.model.editions.edition_filter import EditionFilter
from bradawl.report.model.texts import day_of, zone_of

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Erased, Seal, Snapshot
    from bradawl.judge.values.types import Assessment, Bundle, Cells, Event, ItemJudgment, Money

__all__ = [
    "DEFAULT_CHOICE",
    "EDITIONS",
    "Choice",
    "Edition",
    "EditionView",
    "edition_view",
    "review",
]


@dataclass(frozen=True)
class EditionView:
    """All that a report may be built from.

    In a condition edition `bundle` and `assessment` lack the keys that may not pass. `shown` are
    the entries under the last seal (without a seal: all) that this edition shows, each [path,
    stamp, salt, recorded text]; `withheld` the others, each [kind, hash]; `set_aside` those whose
    kind may not be withheld unseen, and that the owner has fenced or that name a price or a person
    among the facts of the car: each [path, stamp, commitment].
    `left_out` counts what has no value here by the reason, a word: money, plan, choice, review,
    erased or fenced. `unconfirmed` counts entries of phones that the owner has not confirmed.
    `texts` are the rules of the checklist, whose titles and reasons the judge's sentences name.
    """

    edition: Edition
    choice: Choice
    visit: str
    cells: Cells
    sealed_cells: Cells | None
    bundle: Bundle
    assessment: Assessment
    seals: list[Seal]
    amendments: list[Event]
    photo: Callable[[str], bytes | None]
    shown: list[list[str]] = field(default_factory=list)
    withheld: list[list[str]] = field(default_factory=list)
    set_aside: list[list[str]] = field(default_factory=list)
    left_out: dict[str, int] = field(default_factory=dict)
    erased: tuple[Erased, ...] = ()
    unconfirmed: int = 0
    money: Money | None = None
    verdicts: tuple[str, str] | None = None  # as signed and as judged today, where they differ
    drives: tuple[str, ...] = ()  # of these two the answers to "may I drive it"
    devices: Mapping[str, str] = field(default_factory=dict)
    bought: Bought | None = None  # with money alone: the car as it was bought, which sets its price
    texts: Mapping[str, Any] = field(default_factory=dict)

    def said(self, holder: Mapping[str, Any]) -> str:
        """What the judge left unsaid in one of its answers; "" where it has nothing to say."""
        return say(holder["said"], self.texts) if "said" in holder else ""

    def title(self, row: Mapping[str, Any]) -> str:
        """What the judge calls one of its rows, in the reader's language."""
        return str(argument(row.get("title") or "", self.texts))

    def device_name(self, device: str) -> str:
        """Whose device that is: as the shop named it, else whoever sealed with it."""
        if device in self.devices:
            return self.devices[device]
        name = self.signer_with(device)
        if name:
            return text("report-device-of", name=name)
        return text("report-device", digits=device[:8])

    def signer_with(self, device: str) -> str:
        """Who sealed with that device; "" for nobody."""
        names = (
            cell_values.words(seal.value.get("name"))
            for seal in self.seals
            if seal.device == device
        )
        return next((name for name in names if name), "")

    def erased_by_day(self) -> dict[str, int]:
        """How many values were erased, by the day (UTC) on which that was ordered."""
        days = [day_of(erased.ordered_at) for erased in self.erased]
        return {day: days.count(day) for day in sorted(set(days))}

    @cached_property
    def zone(self) -> dt.tzinfo:
        """The zone in which the visit began; UTC where nobody said."""
        return zone_of(cell_values.moment(self.value("about/started")).zone)

    def judgment_of(self, item: str) -> ItemJudgment:
        """What the judge says of an item; empty for one that it does not know."""
        return self.assessment.get("items", {}).get(item) or cast("ItemJudgment", {})

    def value(self, path: str) -> Any:
        """The live value at a path, or None."""
        return cell_values.value(self.cells, path)


def edition_view(
    snapshot: Snapshot,
    edition: Edition,
    choice: Choice | None = None,
    devices: Mapping[str, str] | None = None,
    bought: Bought | None = None,
) -> EditionView:
    """What `edition` of the report on this snapshot may say; `devices` names devices by id.

    `bought` is the car as it was bought where the snapshot lacks the events to tell it from.
    """
    chosen = choice or DEFAULT_CHOICE[edition]
    allowed = EditionFilter(snapshot, edition, chosen)
    sealed = covered(snapshot.events, snapshot.through) if snapshot.seals else snapshot.events
    entries = allowed.entries(sealed)
    bought = bought or bought_of(snapshot)
    then = None
    if edition == "partner" and bought is not None:
        then = replace(bought, cells=allowed.cells(bought.cells))
    return EditionView(
        edition=edition,
        choice=chosen,
        visit=snapshot.visit,
        cells=allowed.cells(snapshot.cells),
        sealed_cells=None
        if snapshot.sealed_cells is None
        else allowed.cells(snapshot.sealed_cells),
        bundle=allowed.checklist(),
        assessment=allowed.assessment(then),
        seals=snapshot.seals,
        amendments=allowed.amendments(),
        photo=snapshot.photo,
        shown=sorted(entries.shown),
        withheld=sorted(entries.withheld),
        set_aside=sorted(entries.set_aside),
        left_out=entries.left_out,
        erased=snapshot.erased,
        unconfirmed=sum(
            event["device"] in snapshot.unconfirmed and not event.get("fenced")
            for event in snapshot.events
        ),
        money=_money(then.assessment if then else snapshot.assessment, snapshot.cells)
        if edition == "partner"
        else None,
        verdicts=_verdicts(snapshot, bought, with_money=edition == "partner"),
        drives=tuple(verdict.drive for verdict in _both_verdicts(snapshot, bought)),
        bought=then,
        devices=dict(devices or {}),
        texts=allowed.texts(),
    )


def review(snapshot: Snapshot, edition: Edition, choice: Choice) -> list[Passage]:
    """All that people wrote and this edition would show, with what it may give away."""
    return EditionFilter(snapshot, edition, choice).review


def _money(assessment: Mapping[str, Any], cells: Mapping[str, Any]) -> Money:
    money = cell_values.mapping(assessment.get("money"))
    return cast("Money", {**money, "currency": cell_values.currency(cells)})


def _verdicts(
    snapshot: Snapshot, bought: Bought | None, *, with_money: bool
) -> tuple[str, str] | None:
    """What was signed and what is judged today, in words, where they are not the same."""
    both = _both_verdicts(snapshot, bought)
    if not both:
        return None
    was, is_now = (verdict.sentences(with_money) for verdict in both)
    return (was, is_now) if was != is_now else None


def _both_verdicts(snapshot: Snapshot, bought: Bought | None) -> tuple[Verdict, ...]:
    """What was signed and what is judged today; nothing where either is missing."""
    signed = signed_verdict(snapshot.sealed_cells)
    now = verdict_at_purchase(snapshot.assessment, bought)
    return () if signed is None or now is None else (signed, now)
