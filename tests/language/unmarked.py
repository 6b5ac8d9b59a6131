"""What a page shows and reads out, and which of its words nothing marked."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from html.parser import HTMLParser

READ_OUT = {"aria-label", "title", "placeholder", "alt", "label", "data-label", "data-no-answer"}


class _Seen(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self._hidden = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("script", "style", "textarea"):  # the last holds what a person types
            self._hidden = tag
        values = dict(attrs)
        self.texts += [value or "" for name, value in attrs if name in READ_OUT]
        if tag == "input" and values.get("type", "text") == "text":
            self.texts.append(values.get("value") or "")

    def handle_endtag(self, tag: str) -> None:
        if tag == self._hidden:
            self._hidden = ""

    def handle_data(self, data: str) -> None:
        if not self._hidden:
            self.texts.append(data)


def texts_of(page: str) -> list[str]:
    """What a page of HTML shows and reads out."""
    seen = _Seen()
    seen.feed(page)
    return seen.texts


def unmarked(texts: Iterable[str], allowed: Collection[str]) -> list[str]:
    """Texts with a word of two letters or more that nothing marked; hashes are no words."""
    known = set(allowed)
    return [
        text.strip()
        for text in texts
        if set(re.findall(r"(?<!\w)[A-Za-z]{2,}(?!\w)", re.sub("[0-9a-f]{8,}", "", text))) - known
    ]
