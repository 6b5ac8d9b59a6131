"""What every section of a report needs at hand.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from reportlab.platypus import CondPageBreak

from bradawl.common.display_text import for_line
from bradawl.report.layout.flowables import Anchor
from bradawl.report.layout.paragraphs import prose
from bradawl.report.layout.style import MM
from bradawl.report.layout.typeface import Ink
from bradawl.report.model.contents import Contents
from bradawl.report.model.edition import Shared
from bradawl.report.pdf.photos import Shelf

HEAD_LIMIT = 120  # letters of one fact on the first page


@dataclass(frozen=True)
class Issue:
    """What identifies one printing of a report; `replaces` is empty or names an earlier one."""

    number: str
    made: str
    today: str
    replaces: str = ""


class Desk:
    """What every section needs: the shared visit, its contents, the ink, the photos, the width."""

    def __init__(
        self,
        shared: Shared,
        contents: Contents,
        shelf: Shelf,
        ink: Ink,
        issue: Issue,
        *,
        width: float,
        height: float,
    ) -> None:
        self.shared, self.contents, self.shelf = shared, contents, shelf
        self.ink, self.issue = ink, issue
        self.width, self.height = width, height
        #: labels and texts that the first page had to cut
        self.in_full: list[tuple[str, str]] = []
        self._titles = {
            str(item["id"]): str(item["title"]) for item in shared.bundle.get("items", [])
        }

    def p(self, markup: str, style: str = "body") -> Any:
        """A paragraph of markup; recorded text must have gone through the ink."""
        return prose(markup, style)

    def short(self, label: str, text: str) -> str:
        """A fact as the first page has room for it; what is longer stands in full further on."""
        shown = for_line(text, HEAD_LIMIT)
        if shown.endswith("…") and not text.endswith("…"):
            self.in_full.append((label, text))
        return shown

    def heading(self, key: str, title: str) -> list[Any]:
        return [
            CondPageBreak(46 * MM),
            Anchor(key, self.ink.text(title)),
            self.p(self.ink.markup(title), "h1"),
        ]

    def title_of(self, item: str) -> str:
        """An item's title, or its id when the checklist does not know it."""
        return self._titles.get(item, item)

    def subheading(self, title: str) -> list[Any]:
        """A small heading over something that may break across pages."""
        return [CondPageBreak(30 * MM), self.p(self.ink.markup(title), "h2-loose")]

    def columns(self, *shares: float) -> list[float]:
        return [self.width * share for share in shares]
