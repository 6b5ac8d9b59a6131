"""Which entries of the published lists the items cover, which are excused, which are lost."""

from __future__ import annotations

from dataclasses import dataclass

from bradawl.checklists.files import Checklist
from bradawl.language import text


@dataclass(frozen=True)
class Coverage:
    """One published list: entry ids covered by items, excused with a reason, or lost."""

    published: str
    title: str
    covered: dict[str, tuple[str, ...]]
    excused: dict[str, str]
    lost: tuple[str, ...]

    @property
    def total(self) -> int:
        return len(self.covered) + len(self.excused) + len(self.lost)

    def __str__(self) -> str:
        lines = [
            text(
                "checklists-covered",
                list=self.published,
                covered=len(self.covered),
                excused=len(self.excused),
                lost=len(self.lost),
                count=self.total,
                title=self.title,
            )
        ]
        lines += [
            text("checklists-excused", entry=entry, reason=reason)
            for entry, reason in self.excused.items()
        ]
        lines += [text("checklists-lost", entry=entry, list=self.published) for entry in self.lost]
        return "\n".join(lines)


def coverage(checklist: Checklist) -> list[Coverage]:
    """Coverage of every published list.  An entry that is covered needs no excuse."""
    by_entry: dict[str, list[str]] = {}
    for item in checklist.items:
        for cover in item.covers:
            by_entry.setdefault(cover, []).append(item.id)
    result = []
    for published in checklist.published:
        covered: dict[str, tuple[str, ...]] = {}
        excused: dict[str, str] = {}
        lost: list[str] = []
        for entry in published.entries:
            items = by_entry.get(f"{published.published}:{entry.id}")
            if items:
                covered[entry.id] = tuple(items)
            elif entry.excused:
                excused[entry.id] = entry.excused
            else:
                lost.append(entry.id)
        result.append(Coverage(published.published, published.title, covered, excused, tuple(lost)))
    return result
