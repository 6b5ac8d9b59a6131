"""Lets through what an edition may show, and names the reason of what it leaves out.

By letting in, never by taking out: only the kinds of entry and the keys of the judgment that are
named here pass. Nothing is cut out of what the judge computed. What people wrote goes out whole or
not at all: a text that may give something away (`disclosure`) only after a person read it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, Any, cast

from bradawl.inspection import cell_values
from bradawl.inspection.seals import as_written, digest_of, former_kind, leaves
from bradawl.judge import entry_kind, event_id, live_ids
from bradawl.judge.record.own_findings import short
from bradawl.judge.record.regions import region_of, rule_in
from bradawl.report.model.editions.choice import Choice, Edition, Entries, is_told
from bradawl.report.model.editions.disclosure import Clue, Passage, passages

if TYPE_CHECKING:
    from bradawl.inspection.as_bought import Bought
    from bradawl.inspection.snapshot import Snapshot
    from bradawl.judge.values.types import Assessment, Bundle, Cell, Cells, Event

__all__ = ["BLANK", "EditionFilter"]


#: Stands for a text that is left out, in every language: blacked out.
BLANK = "\u2588\u2588\u2588"

_ITEM_KEYS = (
    "applies", "state", "grade", "by", "measured", "overruled", "reasons", "facts", "problems",
    "conflict",
)  # fmt: skip
_JUDGED = {
    "areas": ("area", "title", "open", "done", "uninspected", "worst", "total"),
    "drive_home": ("answer", "said", "reasons"),
    "now": ("mended", "dangerous", "grades", "drive_home"),
    "claims": ("id", "kind", "title", "standing", "said", "suggests", "items", "item"),
    "coverage": ("share_percent", "by_area", "not_reached"),
    "baseline": ("id", "title", "item", "evidence", "due", "said", "source"),
}
_TITLED = ("areas", "baseline", "claims")
_CHECKLIST_KEYS = (
    "id", "title", "area", "look", "how", "where", "stage", "cautions", "answers", "readings",
    "choices", "limits", "compute", "drive",
)  # fmt: skip
_DONE_KEYS = ("title", "cause", "titles", "date", "by", "odometer", "parts", "note", "items")


def _names_teller(path: str) -> bool:
    """Whether a path says who sells the car, or who said something of it."""
    return path.startswith("about/seller") or (
        path.startswith("claims/") and path.split("/")[2:3] == ["who"]
    )


def _of_no_buyer(judged: dict[str, Any]) -> dict[str, Any]:
    """A judgment without what its buyer wants of the car."""
    reasons = judged.get("reasons")
    if isinstance(reasons, list):
        judged["reasons"] = [row for row in reasons if row.get("code") != "want"]
    return judged


class EditionFilter:
    """What `edition` may show of a snapshot."""

    def __init__(self, snapshot: Snapshot, edition: Edition, choice: Choice) -> None:
        self._snapshot = snapshot
        self._money = edition == "partner"
        self._choice = choice

    @cached_property
    def review(self) -> list[Passage]:
        """What people wrote, and of it what may give away something that this edition leaves out.

        A clue counts where its like is left out: a price where money is, a name where the seller's
        is, an address where the place is.
        """
        hides = self._hidden_clues
        if not hides:
            return []
        return [
            Passage(
                passage.id,
                passage.path,
                passage.text,
                tuple(clue for clue in passage.clues if clue in hides),
            )
            for passage in (*self._passages(), *self._photos_of_papers())
        ]

    @cached_property
    def withheld(self) -> dict[str, str]:
        """Paths whose entries stay out because of what they may give away, with their kinds."""
        return {
            passage.path: entry_kind(passage.path)
            for passage in self.review
            if passage.clues and passage.id not in self._choice.reviewed
        }

    def exclusion(self, path: str) -> str:
        """Why a path stays out: empty when it may pass whole."""
        return self._excluded_by_kind(path) or ("review" if path in self.withheld else "")

    def _excluded_by_kind(self, path: str) -> str:
        kind = entry_kind(path)
        if (
            (_names_teller(path) and not self._choice.seller)
            or (path.startswith("about/place") and not self._choice.place)
            or (kind == "photo" and not self._choice.photos)
        ):
            return "choice"
        if self._money or path == "brief/uses" or self._is_told(path):
            return ""
        return kind if kind in ("money", "plan") else ""

    @property
    def _hidden_clues(self) -> frozenset[Clue]:
        hidden: set[Clue] = set()
        if not self._money:
            hidden |= {"price", "other"}
        if not self._choice.seller:
            hidden |= {"name", "number", "address", "other"}
        if not self._choice.place:
            hidden |= {"address", "other"}
        return frozenset(hidden)

    def _passages(self) -> Iterator[Passage]:
        shown = {
            event_id(event): self._shown_part(event["put"], event["value"])
            for event in self._live
            if not self._excluded_by_kind(event["put"]) or self._is_partly_shown(event["put"])
        }
        names = [
            cell_values.words(cell_values.value(self._snapshot.cells, path))
            for path, is_shown in (
                ("about/seller", self._choice.seller),
                ("about/place", self._choice.place),
            )
            if not is_shown
        ]
        return passages(self._live, shown, names, self._vocabulary)

    def _photos_of_papers(self) -> Iterator[Passage]:
        """Photos of papers and receipts: names and addresses stand on them."""
        items = self._snapshot.texts.get("items", [])
        papers = {item["id"] for item in items if item["area"] == "papers"}
        for event in self._live:
            parts = event["put"].split("/")
            if (
                len(parts) == 4
                and parts[2] == "photos"
                and (parts[1] in papers or parts[0] == "claims")
                and event["value"] is not None
                and not self._excluded_by_kind(event["put"])
            ):
                yield Passage(event_id(event), event["put"], "", ("name",))

    @cached_property
    def _live(self) -> list[Event]:
        """Live entries that have a value and that the owner has not set aside."""
        events = [
            event
            for event in self._snapshot.events
            if not event.get("erased") and not event.get("fenced")
        ]
        live = {live_id for ids in live_ids(events).values() for live_id in ids}
        return [event for event in events if event_id(event) in live]

    @cached_property
    def _vocabulary(self) -> frozenset[str]:
        """Words (folded) that name nobody: the checklist's titles, and what the car is called."""
        texts = [str(item.get("title", "")) for item in self._snapshot.bundle.get("items", [])]
        texts += [
            cell_values.words(cell.get("value"))
            for path, cell in self._snapshot.cells.items()
            if path.startswith("car/")
        ]
        texts.append(cell_values.words(cell_values.value(self._snapshot.cells, "about/inspector")))
        words = (text.casefold().replace("-", " ").split() for text in texts)
        return frozenset(word for parts in words for word in parts)

    def _is_told(self, path: str) -> bool:
        """What was left for later passes where somebody said that a buyer is told."""
        return is_told(path, cell_values.value(self._snapshot.cells, path))

    def _is_partly_shown(self, path: str) -> bool:
        """A finished job passes without what it cost."""
        return not self._money and path.startswith("work/") and path.endswith("/done")

    def _shown_part(self, path: str, value: Any) -> Any:
        if self._is_partly_shown(path):
            return _only(value, _DONE_KEYS) if isinstance(value, Mapping) else None
        return value

    def cells(self, cells: Mapping[str, Cell]) -> Cells:
        """The cells that may be shown; a text that is left out is blacked out, a photo marked."""
        passed: dict[str, Any] = {}
        for path, cell in cells.items():
            if path.startswith("work/") and (path.endswith("/done") or "/done/" in path):
                shown = self._without_withheld(self._shown_part(path, cell["value"]))
                passed[path] = {"value": shown, "at": cell["at"], "others": []}
            elif path in self.withheld:
                shown = None if self.withheld[path] == "photo" else BLANK
                passed[path] = {"value": shown, "at": cell["at"], "others": [], "withheld": True}
            elif not self._excluded_by_kind(path):
                passed[path] = cell
            else:
                passed |= self._behind_work(path, cell, cells)
        return cast("Cells", passed)

    def _behind_work(
        self, path: str, cell: Cell, cells: Mapping[str, Cell]
    ) -> dict[str, dict[str, Any]]:
        """What stands for a proof of a repair, or a temporary fix, that is left out.

        That there is one decides what the repair has closed, and whether a claim is proven; what it
        is stays out.
        """
        parts = path.split("/")
        hidden: dict[str, Any] = {"value": None, "at": cell["at"], "others": [], "withheld": True}
        if cell["value"] is None:
            return {}
        if path.startswith("plan/temporary/") or (
            parts[0] in ("claims", "work") and "photos" in parts
        ):
            return {path: hidden}
        if parts[0] == "ledger" and parts[2:3] == ["photos"]:
            entry = cell_values.mapping(cell_values.value(cells, f"ledger/{parts[1]}"))
            jobs = cell_values.texts(entry.get("jobs"))
            return {f"work/{job}/photos/{parts[-1]}": hidden for job in jobs}
        return {}

    def entries(self, events: Sequence[Event]) -> Entries:
        """What is shown of the live events, and what stands for the rest."""
        sealed = [as_written(event) for event in events]
        live = {live_id for ids in live_ids(sealed).values() for live_id in ids}
        entries = Entries()
        for event in events:
            if event_id(event) in live:
                why = "erased" if event.get("erased") else "fenced" if event.get("fenced") else ""
                path = event["put"]
                is_own = former_kind(path) != entry_kind(path) and self._is_former(sealed)
                entries.add(event, why or self.exclusion(path), is_own)
        return entries

    def _is_former(self, sealed: Sequence[Event]) -> bool:
        """Whether the last seal over these entries has them under the kinds of before."""
        seals = self._snapshot.seals
        return bool(seals) and seals[-1].value.get("leaves") != digest_of(leaves(sealed))

    def amendments(self) -> list[Event]:
        """What was recorded after the seal, as far as it says something of car or visit."""
        return [
            cast("Event", {**event, "value": BLANK} if event["put"] in self.withheld else event)
            for event in (self._snapshot.amendments if self._choice.amendments else [])
            if event["put"].partition("/")[0] in ("about", "car", "items", "media", "notes")
            and not event.get("fenced")
            and not self._excluded_by_kind(event["put"])
        ]

    def _without_withheld(self, value: Any) -> Any:
        """The same value, with every text that is left out blacked out where it is quoted."""
        if isinstance(value, str):
            return BLANK if value.strip() in self._withheld_texts else value
        if isinstance(value, Mapping):
            return {key: self._without_withheld(inner) for key, inner in value.items()}
        if isinstance(value, (list, tuple)):
            return [self._without_withheld(inner) for inner in value]
        return value

    @cached_property
    def _withheld_texts(self) -> frozenset[str]:
        texts = [
            passage.text.strip()
            for passage in self.review
            if passage.path in self.withheld and passage.clues and passage.text.strip()
        ]
        # a finding in somebody's own words is called by as much of them as a sentence has room for
        return frozenset([*texts, *(short(text) for text in texts)])

    def assessment(self, bought: Bought | None = None) -> Assessment:
        """The judgment without money (`EditionView.money` has that) and without withheld texts.

        The decision stays that of the car as it was bought.
        """
        assessment: Mapping[str, Any] = self._snapshot.assessment
        if bought is not None and "decision" in assessment:
            assessment = {**assessment, "decision": bought.assessment["decision"]}
        if self._money:
            rest = {key: value for key, value in assessment.items() if key not in ("money", "plan")}
            return cast("Assessment", self._without_withheld(rest) if self.withheld else rest)
        passed: dict[str, Any] = {
            "items": {
                item: _of_no_buyer(_only(judged, _ITEM_KEYS))
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
        return cast("Assessment", self._without_withheld(passed) if self.withheld else passed)

    def texts(self) -> Mapping[str, Any]:
        """The rules' titles and reasons in the reader's language, without what anything costs."""
        rules: Mapping[str, Any] = self._snapshot.texts.get("rules") or {}
        items = {
            item: self._without_withheld(rule) if rule.get("own") else rule
            for item, rule in rules.get("items", {}).items()
        }
        if self._money:
            return {**rules, "items": items}
        named = ("title", "readings", "choices", "whys")
        shown = {
            item: {**_only(rule, named), "remedies": _titles(rule.get("remedies"))}
            for item, rule in items.items()
        }
        tables = {name: _titles(rules.get(name)) for name in _TITLED}
        reasons = {name: rules.get(name, []) for name in ("combinations", "contradictions")}
        more = {name: rules.get(name, {}) for name in ("symptoms", "wires")}
        return {"items": shown, **reasons, **tables, **more}

    def checklist(self) -> Bundle:
        """The checklist in the reader's language, with the law of the visit's region.

        Without what its items may cost, unless this edition shows money.
        """
        bundle: Mapping[str, Any] = self._snapshot.texts
        region = region_of(self._snapshot.cells)
        items = [
            self._without_withheld(item) if item.get("own") else rule_in(item, region)
            for item in bundle.get("items", [])
        ]
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
