"""What of a visit may reach an edition of the report.

The condition edition is built by letting in, never by taking out: only the paths and judgement
keys named here pass, and no page builder sees the dossier itself. What a person typed freely may
still name a sum; such sums are blanked wherever they stand, and the cell is kept out of the
attached record.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Literal

from bradawl import recorded

if TYPE_CHECKING:
    from bradawl.dossier import Dossier, Seal

Edition = Literal["condition", "partner"]
EDITIONS: tuple[Edition, ...] = ("condition", "partner")

_ABOUT = frozenset(
    "about/" + name
    for name in (
        "bundle", "started", "inspector", "place", "seller", "app", "distance_home", "dark",
        "wet", "motorway",
    )
)  # fmt: skip
_ITEM_PARTS = frozenset({"grade", "readings", "choice", "text", "note", "photos"})
_ITEM_KEYS = (
    "applies", "state", "grade", "by", "measured", "overruled", "reasons", "facts", "problems",
    "conflict",
)  # fmt: skip
_JUDGED = {
    "areas": ("area", "title", "open", "done", "uninspected", "worst", "total"),
    "drive_home": ("answer", "text", "reasons", "caution"),
    "coverage": ("share_percent", "by_area", "not_reached"),
}
_CHECKLIST_KEYS = (
    "id", "title", "area", "look", "how", "where", "stage", "cautions", "answers", "readings",
    "choices", "limits", "compute", "drive",
)  # fmt: skip

_NUMBER = r"\d[\d.,'\u2019\u00a0\u202f ]*\d(?:\s?k\b)?|\d"
_CURRENCY = (
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
BLANK = "[amount left out]"


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
class Withheld:
    """A path of the record that this edition leaves out, and why, as a word.

    money, amount, choice or forgotten.
    """

    path: str
    why: str


@dataclass(frozen=True)
class Shared:
    """All that a report may be built from."""

    edition: Edition
    choice: Choice
    visit: str
    cells: dict[str, dict[str, Any]]
    sealed_cells: dict[str, dict[str, Any]] | None
    bundle: dict[str, Any]
    assessment: dict[str, Any]
    seals: list[Seal]
    amendments: list[dict[str, Any]]
    photo: Callable[[str], bytes | None]
    withheld: list[Withheld] = field(default_factory=list)
    money: dict[str, Any] | None = None
    devices: Mapping[str, str] = field(default_factory=dict)

    def device_name(self, device: str) -> str:
        """Whose device that is: as the shop named it, else whoever sealed with it."""
        if device in self.devices:
            return self.devices[device]
        for seal in self.seals:
            name = recorded.words(seal.value.get("name"))
            if seal.device == device and name:
                return f"device of {name}"
        return f"device {device[:8]}"

    def value(self, path: str) -> Any:
        """The live value at a path, or None."""
        return recorded.value(self.cells, path)


def share(
    dossier: Dossier,
    edition: Edition,
    choice: Choice | None = None,
    devices: Mapping[str, str] | None = None,
) -> Shared:
    """What `edition` of the report on this dossier may say; `devices` names devices by id."""
    chosen = choice or DEFAULT_CHOICE[edition]
    door = _Door(edition, chosen, dossier.forgotten)
    assessment = dossier.assessment
    return Shared(
        edition=edition,
        choice=chosen,
        visit=dossier.visit,
        cells=door.cells(dossier.cells),
        sealed_cells=None if dossier.sealed_cells is None else door.cells(dossier.sealed_cells),
        bundle=door.checklist(dossier.bundle),
        assessment=door.judgement(assessment),
        seals=[replace(seal, value=door.seal(seal.value)) for seal in dossier.seals],
        amendments=[
            {**event, "value": door.blanked(event["value"])}
            for event in (dossier.amendments if chosen.amendments else [])
            if _is_fact(event["put"])
            and door.reason(event["put"], event["value"]) in ("", "amount")
        ],
        photo=dossier.photo,
        withheld=sorted(door.withheld.values(), key=lambda one: one.path),
        money=_money(assessment, dossier.cells) if edition == "partner" else None,
        devices=dict(devices or {}),
    )


def _money(assessment: Mapping[str, Any], cells: Mapping[str, Any]) -> dict[str, Any]:
    money = assessment.get("money")
    return {
        **(money if isinstance(money, dict) else {}),
        "currency": recorded.currency(cells),
    }


class _Door:
    def __init__(
        self, edition: Edition, choice: Choice, forgotten: frozenset[str] = frozenset()
    ) -> None:
        self._money = edition == "partner"
        self._forgotten = forgotten
        self._choice = choice
        self.withheld: dict[str, Withheld] = {}

    def reason(self, path: str, value: Any) -> str:
        """Why a path stays out: empty when it may pass whole."""
        parts = path.split("/")
        if path in self._forgotten:
            return "forgotten"
        if path == "about/seller" and not self._choice.seller:
            return "choice"
        if (path == "about/place" or parts[0] == "seal") and not self._choice.place:
            return "choice"
        if "photos" in parts[2:-1] and not self._choice.photos:
            return "choice"
        if self._money:
            return ""
        allowed = (
            path in _ABOUT
            or parts[0] in ("car", "seal")
            or path == "brief/uses"
            or (parts[0] == "items" and len(parts) > 2 and parts[2] in _ITEM_PARTS)
            or (parts[0] == "work" and not path.endswith("/done"))
        )
        if parts[0] == "work" and path.endswith("/done"):
            return "amount"  # a job passes without what it cost
        if not allowed:
            return "money"
        return "amount" if _names_amount(value) else ""

    def cells(self, cells: Mapping[str, dict[str, Any]]) -> dict[str, dict[str, Any]]:
        passed = {}
        for path, cell in cells.items():
            values = [cell.get("value"), *(one.get("value") for one in cell.get("others", []))]
            why = self.reason(path, values)
            if why:
                self.withheld[path] = Withheld(path, why)
            if why in ("", "amount"):
                passed[path] = cell if not why else self.blanked(_without_cost(path, cell))
        return passed

    def blanked(self, value: Any) -> Any:
        """The same value with every named sum blanked, in a condition edition."""
        if self._money:
            return value
        if isinstance(value, str):
            return AMOUNT.sub(BLANK, value) if _DIGIT.search(value) else value
        if isinstance(value, Mapping):
            return {key: self.blanked(one) for key, one in value.items()}
        if isinstance(value, (list, tuple)):
            return [self.blanked(one) for one in value]
        return value

    def seal(self, value: Mapping[str, Any]) -> dict[str, Any]:
        """A seal's value; it names the place too."""
        kept = {key: one for key, one in value.items() if key != "place" or self._choice.place}
        blanked: dict[str, Any] = self.blanked(kept)
        return blanked

    def judgement(self, assessment: Mapping[str, Any]) -> dict[str, Any]:
        if self._money:
            return {key: value for key, value in assessment.items() if key not in ("money", "plan")}
        passed: dict[str, Any] = {
            "items": {
                item: {key: one[key] for key in _ITEM_KEYS if key in one}
                for item, one in assessment.get("items", {}).items()
            },
            "findings": list(assessment.get("findings", [])),
        }
        for key, inside in _JUDGED.items():
            value = assessment.get(key)
            if isinstance(value, list):
                passed[key] = [{name: one[name] for name in inside if name in one} for one in value]
            elif isinstance(value, Mapping):
                passed[key] = {name: value[name] for name in inside if name in value}
        if "baseline" in assessment:
            passed["baseline"] = _baseline(assessment["baseline"])
        blanked: dict[str, Any] = self.blanked(passed)
        return blanked

    def checklist(self, bundle: Mapping[str, Any]) -> dict[str, Any]:
        if self._money:
            return dict(bundle)
        return {
            **{key: bundle.get(key) for key in ("format", "hash", "areas", "stages")},
            "items": [
                {key: item[key] for key in _CHECKLIST_KEYS if key in item}
                for item in bundle.get("items", [])
            ],
            "sources": bundle.get("sources", {}),
            "cautions": bundle.get("cautions", {}),
        }


_BASELINE_KEYS = ("id", "title", "item", "evidence", "due", "text", "source")


def _baseline(value: Any) -> list[dict[str, Any]]:
    return [
        {key: one[key] for key in _BASELINE_KEYS if key in one}
        for one in (value if isinstance(value, list) else [])
        if isinstance(one, Mapping)
    ]


_DONE_KEYS = ("title", "date", "by", "odometer", "parts", "note", "items")


def _without_cost(path: str, cell: dict[str, Any]) -> dict[str, Any]:
    value = cell.get("value")
    if not path.startswith("work/") or not isinstance(value, Mapping):
        return cell
    kept = {key: value[key] for key in _DONE_KEYS if key in value}
    return {"value": kept, "at": cell.get("at"), "others": []}


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
        return any(_names_amount(one) for one in value.values())
    if isinstance(value, (list, tuple)):
        return any(_names_amount(one) for one in value)
    return False
