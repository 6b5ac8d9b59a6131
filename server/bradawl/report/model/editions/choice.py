"""Which edition a report is, what a person lets it say, and its entries told or left out."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

from bradawl.inspection import cell_values
from bradawl.inspection.seals import hashed
from bradawl.judge import WITHHELD_KINDS, canonical, entry_kind

if TYPE_CHECKING:
    from bradawl.judge.values.types import Event


#: Below it stands by job what the desk left for later.
LEFT = "plan/left/"
#: A buyer's copy before the repair, one after it, and the shop's own with money.
Edition = Literal["condition", "repaired", "partner"]
EDITIONS: tuple[Edition, ...] = ("condition", "repaired", "partner")


@dataclass(frozen=True)
class Choice:
    """What a person lets a report say. Money is not among it: the edition decides that.

    `reviewed` are the ids of entries that may give away what is left out (`EditionFilter.review`),
    and that a person read and lets out as they are written; all others of them stay out.
    """

    place: bool = True
    seller: bool = False
    photos: bool = True
    amendments: bool = True
    reviewed: frozenset[str] = frozenset()


DEFAULT_CHOICE: dict[Edition, Choice] = {
    "condition": Choice(),
    "repaired": Choice(),
    "partner": Choice(seller=True),
}


@dataclass
class Entries:
    """Entries under a seal, by what this edition tells of them: see `EditionView`."""

    shown: list[list[str]] = field(default_factory=list)
    withheld: list[list[str]] = field(default_factory=list)
    set_aside: list[list[str]] = field(default_factory=list)
    left_out: dict[str, int] = field(default_factory=dict)

    def add(self, event: Event, why: str, is_former: bool = False) -> None:
        """Show the entry; with a reason `why` not, leave it out.

        `is_former`: the seal has it under the kind of that time, so it is set aside by its path.
        """
        path, stamp = event["put"], event["at"]
        if not why:
            self.shown.append([path, stamp, event["salt"], event["text"]])
            return
        self.left_out[why] = self.left_out.get(why, 0) + 1
        kind = entry_kind(path)
        if kind in WITHHELD_KINDS and not is_former:
            hidden = hashed(canonical([path, stamp, event["commit"]]))
            self.withheld.append([kind, hidden])
        else:
            self.set_aside.append([path, stamp, event["commit"]])


def is_told(path: str, value: Any) -> bool:
    """Whether a job was left for later there, and a buyer is to be told."""
    return path.startswith(LEFT) and cell_values.mapping(value).get("told") is True
