"""The page on which a person reads what a report may give away, before it is made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bradawl.language import listed, text
from bradawl.report.model.editions.edition import Choice, Edition, review
from bradawl.report.model.texts import path_text

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Snapshot
    from bradawl.report.model.editions.disclosure import Passage

__all__ = ["Entry", "Review", "review_of"]

SHOW, LEAVE = "show", "leave"
_FIELD = "entry "  # in front of an entry's id, as the page's fields are called


@dataclass(frozen=True)
class Entry:
    """An entry of the record as the page shows it; `answer` is show, leave or "" for none yet."""

    id: str
    where: str
    texts: tuple[str, ...]
    clues: str
    sha256: str
    answer: str


@dataclass(frozen=True)
class Review:
    """`flagged` may give something away, `others` seem harmless."""

    flagged: tuple[Entry, ...]
    others: tuple[Entry, ...]

    @property
    def pending(self) -> frozenset[str]:
        """Entries of which nobody has said what becomes of them."""
        return frozenset(entry.id for entry in self.flagged if entry.answer not in (SHOW, LEAVE))

    @property
    def let_out(self) -> frozenset[str]:
        """Entries that a person read and lets out."""
        return frozenset(entry.id for entry in self.flagged if entry.answer == SHOW)


def review_of(
    snapshot: Snapshot, edition: Edition, choice: Choice, posted: Mapping[str, str]
) -> Review:
    """What people wrote that this report would show, with what was answered on the page."""
    by_entry: dict[str, list[Passage]] = {}
    for passage in review(snapshot, edition, choice):
        by_entry.setdefault(passage.id, []).append(passage)
    titles = {str(item["id"]): str(item["title"]) for item in snapshot.texts.get("items", [])}
    entries = [_entry(passages, titles, posted) for passages in by_entry.values()]
    return Review(
        flagged=tuple(entry for entry in entries if entry.clues),
        others=tuple(entry for entry in entries if not entry.clues),
    )


def _entry(
    passages: Sequence[Passage], titles: Mapping[str, str], posted: Mapping[str, str]
) -> Entry:
    first = passages[0]
    parts = first.path.split("/")
    clues = sorted({clue for passage in passages for clue in passage.clues})
    answer = posted.get(_FIELD + first.id, "")
    if not answer and posted.get("rest") == LEAVE:
        answer = LEAVE
    return Entry(
        id=first.id,
        where=path_text(first.path, lambda item: titles.get(item, item)),
        texts=tuple(passage.text for passage in passages if passage.text),
        clues=text("report-review-clues", clues=listed([text(f"report-clue-{c}") for c in clues]))
        if clues
        else "",
        sha256=parts[-1] if parts[-2:-1] in (["photos"], ["media"]) else "",
        answer=answer,
    )
