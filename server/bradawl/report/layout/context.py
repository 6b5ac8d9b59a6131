"""Page context passed to every section: contents, photos, text preparation, measures.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from typing import Any

from markupsafe import Markup
from reportlab.platypus import Flowable

from bradawl import language
from bradawl.common.display_text import for_line
from bradawl.inspection.standing import drive_now
from bradawl.report.layout.flowables import Anchor, bold
from bradawl.report.layout.style import GREY
from bradawl.report.layout.text.paragraphs import Paragraph, paragraph
from bradawl.report.layout.text.typeface import LONGEST, PrintableText
from bradawl.report.model.contents import Contents, ReportIdentity
from bradawl.report.model.editions.edition import EditionView
from bradawl.report.pdf.photos import EmbeddedPhotos

__all__ = ["PageContext"]

HEAD_LIMIT = 120  # letters of one fact on the first page


class PageContext:
    """What every section needs; `width`, `column` and `height` of the text are points."""

    def __init__(
        self,
        view: EditionView,
        contents: Contents,
        photos: EmbeddedPhotos,
        printable: PrintableText,
        identity: ReportIdentity,
        *,
        width: float,
        column: float,
        height: float,
    ) -> None:
        self.view, self.contents, self.photos = view, contents, photos
        self.printable, self.identity = printable, identity
        self.width, self.column, self.height = width, column, height
        self._sources = {title: at for at, (title, _) in enumerate(contents.sources, 1)}
        #: photos that stand on the first pages, by the digests of their originals
        self.in_front: frozenset[str] = frozenset()
        #: items nobody checked that the first pages name, and those the drive home depends on
        self.named_unseen: frozenset[str] = frozenset()
        self.drive_unseen = _drive_unseen(view)
        #: labels and texts that the first page had to cut
        self.in_full: list[tuple[str, str]] = []
        items = view.bundle.get("items", [])
        self._titles = {str(item["id"]): str(item["title"]) for item in items}
        self._choices = {
            (str(item["id"]), str(choice["id"])): str(choice["title"])
            for item in items
            for choice in item.get("choices", [])
        }
        self._reading_titles = {
            (str(item["id"]), str(reading["id"])): str(reading["title"])
            for item in items
            for reading in item.get("readings", [])
        }

    def text(self, value: object) -> str:
        """One line of printable text, without markup."""
        return self.printable.text(value)

    def markup(self, value: object, limit: int = LONGEST) -> str:
        """Printable text with markup escaped; every recorded text goes through here."""
        return self.printable.markup(value, limit)

    def lines(self, value: object) -> str:
        """`markup` that keeps the line ends of a note."""
        return self.printable.lines(value)

    def paragraph(self, markup: str, style: str = "body") -> Paragraph:
        """A paragraph of markup, in which recorded text was made ready by `markup`."""
        return paragraph(str(markup), style)

    def say(self, message_id: str, /, **arguments: Any) -> Markup:
        """A message of the catalogue as markup: texts that were recorded are made printable,
        Markup is kept.
        """
        ready = {
            name: Markup(self.markup(value))
            if isinstance(value, str) and not isinstance(value, Markup)
            else value
            for name, value in arguments.items()
        }
        return language.markup(message_id, **ready)

    def sentence(self, message_id: str, /, style: str = "body", **arguments: Any) -> Paragraph:
        """A paragraph of one message."""
        return paragraph(str(self.say(message_id, **arguments)), style)

    def plain(self, value: object, style: str = "body") -> Paragraph:
        """A paragraph of one recorded text."""
        return paragraph(self.markup(value), style)

    def short(self, label: str, text: str) -> str:
        """A fact as the first page has room for it; what is longer stands in full further on."""
        shown = for_line(text, HEAD_LIMIT)
        if shown.endswith("…") and not text.endswith("…"):
            self.in_full.append((label, text))
        return shown

    def heading(self, key: str, title: str) -> list[Flowable]:
        """A chapter's heading: link target and title."""
        return [Anchor(key, self.text(title)), self.plain(title, "h1")]

    def cited(self, source: str) -> Markup:
        """`[3]`: where a source stands in the list of sources; nothing where there is none."""
        number = self._sources.get(source)
        if number is None:
            return Markup("")
        sign = Markup(' <font size="6.4" color="%s">[%s]</font>')  # markup: not shown
        return sign % (GREY, number)

    def title_of(self, item: str) -> str:
        """An item's title, or its id when the checklist does not know it."""
        return self._titles.get(item, item)

    def reading_title(self, item: str, reading: str) -> str:
        """A reading's title, or its id when the checklist does not know it."""
        return self._reading_titles.get((item, reading), reading)

    def choice_title(self, path: str, choice: str) -> str:
        """The title of what was chosen at a path; any other text as it stands."""
        parts = path.split("/")
        if parts[0] != "items" or parts[2:] != ["choice"]:
            return choice
        return self._choices.get((parts[1], choice), choice)

    def unseen_title(self, item: str, title: str) -> Markup:
        """An item nobody checked, in bold where the drive home depends on it."""
        said = Markup(self.markup(title))
        return bold(said) if item in self.drive_unseen else said

    def head(self, *columns: str) -> list[str]:
        """The heads of columns by their names; `>` before a name sets figures below it right."""
        return [
            column[: column.startswith(">")] + str(self.say("report-column-" + column.lstrip(">")))
            for column in columns
        ]

    def columns(self, *shares: float) -> list[float]:
        """Widths of columns in points, as shares of the text column."""
        return [self.column * share for share in shares]


def _drive_unseen(view: EditionView) -> frozenset[str]:
    """The items nobody checked that the drive home depends on."""
    judged = drive_now(view.assessment)
    return frozenset(
        str(reason.get("item", ""))
        for reason in judged.get("reasons", [])
        if reason.get("seen") is False and reason["said"]["id"] == "judge-drive-unseen"
    )
