"""Decides what of a visit an edition of the report may show: `edition_view`.

The condition edition is built by letting in, never by taking out: only the paths and judgment
keys named here pass, and no page builder sees the snapshot itself. What a person typed freely may
still name a sum; such sums are blanked wherever they stand, and the entry is kept out of the
attached record.

The attached record proves what it shows and hides the rest: what is shown comes with path, stamp,
salt and the text that was recorded, from which anyone can make its leaf; what is left out with its
kind and a hash that tells neither path nor value. Both together are what the seal covers, so nobody
can leave out a grade, a reading, a choice or one side of a conflict, or call one a note.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal, cast

from bradawl.inspection import cell_values
from bradawl.inspection.seals import as_written, hashed
from bradawl.inspection.signed_verdict import signed_verdict, verdict_of
from bradawl.judge import (
    WITHHELD_KINDS,
    canonical,
    covered,
    entry_kind,
    event_id,
    live_ids,
)
from bradawl.judge.record.regions import region_of, rule_in
from bradawl.language import argument, say, text
from bradawl.report.model.texts import day_of, zone_of

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Erased, Seal, Snapshot
    from bradawl.judge.values.types import (
        Assessment,
        Bundle,
        Cell,
        Cells,
        Event,
        ItemJudgment,
        Money,
    )

__all__ = ["DEFAULT_CHOICE", "EDITIONS", "Choice", "Edition", "EditionView", "edition_view"]

Edition = Literal["condition", "partner"]
EDITIONS: tuple[Edition, ...] = ("condition", "partner")

_ABOUT = frozenset(
    "about/" + name
    for name in (
        "bundle", "region", "started", "inspector", "place", "seller", "app", "distance_home",
        "dark", "wet", "motorway",
    )
)  # fmt: skip
_ITEM_PARTS = frozenset({"grade", "why", "readings", "choice", "text", "note", "photos"})
_ITEM_KEYS = (
    "applies", "state", "grade", "by", "measured", "overruled", "reasons", "facts", "problems",
    "conflict",
)  # fmt: skip
_JUDGED = {
    "areas": ("area", "title", "open", "done", "uninspected", "worst", "total"),
    "drive_home": ("answer", "said", "reasons"),
    "coverage": ("share_percent", "by_area", "not_reached"),
    "baseline": ("id", "title", "item", "evidence", "due", "said", "source"),
}
_TITLED = ("areas", "baseline")
_CHECKLIST_KEYS = (
    "id", "title", "area", "look", "how", "where", "stage", "cautions", "answers", "readings",
    "choices", "limits", "compute", "drive",
)  # fmt: skip

_NUMBER = r"\d[\d.,'\u2019\u00a0\u202f ]*\d(?:\s?k\b)?|\d"
_CURRENCY = (
    ""  # a pattern: not shown
    r"[$\u00a2-\u00a5\u20a0-\u20bf]|\b(?:EUR|USD|GBP|CHF|SEK|NOK|DKK|ISK|PLN|CZK|HUF|RON|BGN|UAH|"
    r"RUB|TRY|JPY|CNY|AUD|CAD|NZD|ZAR|INR|MXN|BRL)\b|\b(?:euros?|dollars?|francs?|quid|bucks|"
    r"pounds sterling)\b"
)
_DEAL = (
    r"\b(?:price[ds]?|asks?|asked|asking|costs?|worth|paid|pays?|offer(?:s|ed)?|budget|reserve|"
    r"walk[- ]away|knock(?:ed)? off|haggled?)\b"
)
AMOUNT = re.compile(
    rf"(?:{_CURRENCY})\s?(?:{_NUMBER})(?:\s?(?:{_CURRENCY}))?"
    rf"|(?:{_NUMBER})\s?(?:{_CURRENCY})"
    rf"|{_DEAL}(?:[^\d\n]{{0,24}})(?:{_NUMBER})",
    re.IGNORECASE,
)
_DIGIT = re.compile(r"\d")  # no amount is without one, and most texts are
#: Stands for a sum in a text, in every language: blacked out.
BLANK = "███"


@dataclass(frozen=True)
class Choice:
    """What a person lets a report say. Money is not among it: the edition decides that."""

    place: bool = True
    seller: bool = False
    photos: bool = True
    amendments: bool = True


DEFAULT_CHOICE: dict[Edition, Choice] = {
    "condition": Choice(),
    "partner": Choice(seller=True),
}


@dataclass(frozen=True)
class EditionView:
    """All that a report may be built from.

    In a condition edition `bundle` and `assessment` lack the keys that may not pass. `shown` are
    the entries under the last seal (without a seal: all) that this edition shows, each [path,
    stamp, salt, recorded text]; `withheld` the others, each [kind, hash]; `set_aside` those that
    the owner has fenced and whose kind may not be withheld, each [path, stamp, commitment].
    `left_out` counts what has no value here by the reason, a word: money, amount, choice, erased or
    fenced. `unconfirmed` counts entries of phones that the owner has not confirmed. `texts` are the
    rules of the checklist, whose titles and reasons the judge's sentences name.
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
    devices: Mapping[str, str] = field(default_factory=dict)
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
) -> EditionView:
    """What `edition` of the report on this snapshot may say; `devices` names devices by id."""
    chosen = choice or DEFAULT_CHOICE[edition]
    edition_filter = _EditionFilter(edition, chosen)
    sealed = covered(snapshot.events, snapshot.through) if snapshot.seals else snapshot.events
    entries = edition_filter.entries(sealed)
    return EditionView(
        edition=edition,
        choice=chosen,
        visit=snapshot.visit,
        cells=edition_filter.cells(snapshot.cells),
        sealed_cells=None
        if snapshot.sealed_cells is None
        else edition_filter.cells(snapshot.sealed_cells),
        bundle=edition_filter.checklist(snapshot),
        assessment=edition_filter.assessment(snapshot.assessment),
        seals=snapshot.seals,
        amendments=[
            cast("Event", {**event, "value": edition_filter.blanked(event["value"])})
            for event in (snapshot.amendments if chosen.amendments else [])
            if _is_fact(event["put"])
            and not event.get("fenced")
            and edition_filter.exclusion(event["put"], event["value"]) in ("", "amount")
        ],
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
        money=_money(snapshot.assessment, snapshot.cells) if edition == "partner" else None,
        verdicts=_verdicts(snapshot, with_money=edition == "partner"),
        devices=dict(devices or {}),
        texts=edition_filter.texts(snapshot),
    )


def _money(assessment: Mapping[str, Any], cells: Mapping[str, Any]) -> Money:
    money = cell_values.mapping(assessment.get("money"))
    return cast("Money", {**money, "currency": cell_values.currency(cells)})


def _verdicts(snapshot: Snapshot, *, with_money: bool) -> tuple[str, str] | None:
    """What was signed and what is judged today, in words, where they are not the same."""
    signed, now = signed_verdict(snapshot.sealed_cells), verdict_of(snapshot.assessment)
    if signed is None or now is None:
        return None
    was, is_now = signed.sentences(with_money), now.sentences(with_money)
    return (was, is_now) if was != is_now else None


@dataclass
class _Entries:
    """Entries under a seal, by what this edition tells of them: see EditionView."""

    shown: list[list[str]] = field(default_factory=list)
    withheld: list[list[str]] = field(default_factory=list)
    set_aside: list[list[str]] = field(default_factory=list)
    left_out: dict[str, int] = field(default_factory=dict)

    def add(self, event: Event, why: str) -> None:
        """Show the entry; with a reason `why` not, leave it out."""
        path, stamp = event["put"], event["at"]
        if not why:
            self.shown.append([path, stamp, event["salt"], event["text"]])
            return
        self.left_out[why] = self.left_out.get(why, 0) + 1
        kind = entry_kind(path)
        if kind in WITHHELD_KINDS:
            hidden = hashed(canonical([path, stamp, event["commit"]]))
            self.withheld.append([kind, hidden])
        else:
            self.set_aside.append([path, stamp, event["commit"]])


class _EditionFilter:
    """Lets through what an edition may show, and names the reason of what it leaves out."""

    def __init__(self, edition: Edition, choice: Choice) -> None:
        self._money = edition == "partner"
        self._choice = choice

    def exclusion(self, path: str, value: Any) -> str:
        """Why a path stays out: empty when it may pass whole."""
        parts = path.split("/")
        if (
            (path == "about/seller" and not self._choice.seller)
            or (path == "about/place" and not self._choice.place)
            or ("photos" in parts[2:-1] and not self._choice.photos)
        ):
            return "choice"
        if self._money:
            return ""
        if parts[0] == "work" and path.endswith("/done"):
            return "amount"  # a job passes without what it cost
        allowed = (
            path in _ABOUT
            or parts[0] in ("car", "seal", "work")
            or path == "brief/uses"
            or (parts[0] == "items" and len(parts) > 2 and parts[2] in _ITEM_PARTS)
        )
        if not allowed:
            return "money"
        return "amount" if _names_amount(value) else ""

    def cells(self, cells: Mapping[str, Cell]) -> Cells:
        """The cells that may be shown, sums in their texts blanked."""
        passed = {}
        for path, cell in cells.items():
            others = [other["value"] for other in cell["others"]]
            why = self.exclusion(path, [cell["value"], *others])
            if why in ("", "amount"):
                shown = cell if not why else self.blanked(_without_cost(path, cell))
                passed[path] = cast("Cell", shown)
        return passed

    def entries(self, events: Sequence[Event]) -> _Entries:
        """What is shown of the live events, and what stands for the rest."""
        live = {
            live_id
            for ids in live_ids([as_written(event) for event in events]).values()
            for live_id in ids
        }
        entries = _Entries()
        for event in events:
            if event_id(event) in live:
                why = "erased" if event.get("erased") else "fenced" if event.get("fenced") else ""
                entries.add(event, why or self.exclusion(event["put"], event["value"]))
        return entries

    def blanked(self, value: Any) -> Any:
        """The same value with every named sum blanked, in a condition edition."""
        if self._money:
            return value
        if isinstance(value, str):
            return AMOUNT.sub(BLANK, value) if _DIGIT.search(value) else value
        if isinstance(value, Mapping):
            return {key: self.blanked(inner) for key, inner in value.items()}
        if isinstance(value, (list, tuple)):
            return [self.blanked(inner) for inner in value]
        return value

    def assessment(self, assessment: Mapping[str, Any]) -> Assessment:
        """The judgment without money: `EditionView.money` has that."""
        if self._money:
            rest = {key: value for key, value in assessment.items() if key not in ("money", "plan")}
            return cast("Assessment", rest)
        passed: dict[str, Any] = {
            "items": {
                item: _only(judged, _ITEM_KEYS)
                for item, judged in assessment.get("items", {}).items()
            },
            "findings": list(assessment.get("findings", [])),
        }
        for key, inside in _JUDGED.items():
            value = assessment.get(key)
            if isinstance(value, list):
                passed[key] = [_only(row, inside) for row in value if isinstance(row, Mapping)]
            elif isinstance(value, Mapping):
                passed[key] = _only(value, inside)
        return cast("Assessment", self.blanked(passed))

    def texts(self, snapshot: Snapshot) -> Mapping[str, Any]:
        """The rules' titles and reasons in the reader's language, without what anything costs."""
        rules: Mapping[str, Any] = snapshot.texts.get("rules") or {}
        if self._money:
            return rules
        named = ("title", "readings", "choices", "whys")
        shown = {
            item: {**_only(rule, named), "remedies": _titles(rule.get("remedies"))}
            for item, rule in rules.get("items", {}).items()
        }
        tables = {name: _titles(rules.get(name)) for name in _TITLED}
        reasons = {name: rules.get(name, []) for name in ("combinations", "contradictions")}
        return {"items": shown, **reasons, **tables}

    def checklist(self, snapshot: Snapshot) -> Bundle:
        """The checklist in the reader's language, with the law of the visit's region.

        Without what its items may cost, unless this edition shows money.
        """
        bundle: Mapping[str, Any] = snapshot.texts
        region = region_of(snapshot.cells)
        items = [rule_in(item, region) for item in bundle.get("items", [])]
        if self._money:
            return cast("Bundle", {**bundle, "items": items})
        shown = {
            **{key: bundle.get(key) for key in ("format", "hash", "areas", "stages")},
            "items": [_only(item, _CHECKLIST_KEYS) for item in items],
            "sources": bundle.get("sources", {}),
            "cautions": bundle.get("cautions", {}),
        }
        return cast("Bundle", shown)


def _titles(rows: Any) -> list[dict[str, Any]]:
    return [_only(row, ("id", "title")) for row in rows or ()]


def _only(value: Mapping[str, Any], keys: Sequence[str]) -> dict[str, Any]:
    return {key: value[key] for key in keys if key in value}


_DONE_KEYS = ("title", "cause", "titles", "date", "by", "odometer", "parts", "note", "items")


def _without_cost(path: str, cell: Cell) -> Cell:
    value = cell["value"]
    if not path.startswith("work/") or not isinstance(value, Mapping):
        return cell
    return {"value": _only(value, _DONE_KEYS), "at": cell["at"], "others": []}


def _is_fact(path: str) -> bool:
    """Whether a path says something of the car or the visit, not of the buyer's plans."""
    return path.partition("/")[0] in ("about", "car", "items") and path not in (
        "about/asking_price",
        "about/currency",
    )


def _names_amount(value: Any) -> bool:
    if isinstance(value, str):
        return _DIGIT.search(value) is not None and AMOUNT.search(value) is not None
    if isinstance(value, Mapping):
        return any(_names_amount(inner) for inner in value.values())
    if isinstance(value, (list, tuple)):
        return any(_names_amount(inner) for inner in value)
    return False
