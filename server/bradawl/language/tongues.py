"""Texts that know in which language they are written, where that is not the language around them.

A reader of another language gets some texts in English for want of a translation, others are of a
checklist that is translated where the page is not. Such a text is a plain text to everybody but a
page and a paper, which say its language (HTML `lang`, ISO 32000-1 `Lang`) so that it is read aloud
as what it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any, NamedTuple

from markupsafe import Markup

from .reader import current


class Part(NamedTuple):
    """A piece of a text, and the locale in which it is written; "" for that of the text around."""

    locale: str
    text: str


class InLanguage(str):
    """A text of parts; to whom it does not matter, the text that they make."""

    parts: tuple[Part, ...]

    def __str__(self) -> InLanguage:
        return self

    def rstrip(self, letters: str | None = None, /) -> InLanguage:
        """As of any text; its parts keep their languages."""
        left = len(super().rstrip(letters))
        parts = []
        for part in self.parts:
            parts.append(Part(part.locale, part.text[:left]))
            left = max(left - len(part.text), 0)
        return InLanguage.of(parts)

    @classmethod
    def of(cls, parts: Iterable[Part]) -> InLanguage:
        kept = tuple(part for part in parts if part.text)
        made = cls("".join(part.text for part in kept))
        made.parts = kept
        return made


def written_in(locale: str, text: str) -> InLanguage:
    """The text, known to be in that locale."""
    return InLanguage.of([Part(locale, text)])


def holding(shown: str, pieces: Iterable[Any], locale: str = "") -> str:
    """A text put together of `pieces`, which keep their languages; its own words are of `locale`.

    The same text where none of it is known to be of another language.
    """
    found: list[tuple[int, InLanguage]] = []
    for piece in pieces:
        at = shown.find(piece) if isinstance(piece, InLanguage) and piece else -1
        if at >= 0:
            found.append((at, piece))
    if not found and not locale:
        return shown
    parts: list[Part] = []
    end = 0
    for at, piece in sorted(found, key=lambda pair: (pair[0], -len(pair[1]))):
        if at >= end:
            parts += [Part(locale, shown[end:at]), *piece.parts]
            end = at + len(piece)
    return InLanguage.of([*parts, Part(locale, shown[end:])])


def joined(between: str, pieces: Iterable[str]) -> str:
    """`between.join(pieces)`, each piece keeping its language."""
    given = list(pieces)
    parts: list[Part] = []
    for at, piece in enumerate(given):
        parts.append(Part("", between if at else ""))
        parts += piece.parts if isinstance(piece, InLanguage) else [Part("", piece)]
    known = any(part.locale for part in parts)
    return InLanguage.of(parts) if known else between.join(given)


# --- on a page, on paper --------------------------------------------------------------------------

_page: ContextVar[str] = ContextVar("page", default="")
# Around a part: private-use characters, which no text of ours has; a reader never sees them.
_OPEN, _NAMED, _CLOSE = "\ue010", "\ue011", "\ue012"
#: Where a text of another language begins (its locale is group 1) or ends.
EDGE = re.compile(f"{_OPEN}([A-Za-z0-9-]{{2,20}}){_NAMED}|{_CLOSE}")
_ANY = re.compile(f"[{_OPEN}{_NAMED}{_CLOSE}]")
_TAG = re.compile(r"<[^>]*>")
#: What holds no elements, so that its text has one language.
_TEXT_ONLY = re.compile(r"<(title|option|textarea|script|style)\b")


@contextmanager
def page_in(locale: str) -> Iterator[None]:
    """What is made within it stands on a page of that language."""
    token = _page.set(locale)
    try:
        yield
    finally:
        _page.reset(token)


def page_language() -> str:
    """The language of the page that is being made: the reader's where nobody said."""
    return _page.get() or current().locale


def edged(text: str) -> str:
    """The text with the edges of its parts whose language is known.

    `spelled` turns them into elements, `report/layout/text/paragraphs.py` into marked content.
    """
    if not isinstance(text, InLanguage):
        return text
    return "".join(edged_part(part.locale, part.text) for part in text.parts)


def edged_part(locale: str, text: str) -> str:
    """A piece of text or of markup, with the edges of its language where that is known."""
    return f"{_OPEN}{locale}{_NAMED}{text}{_CLOSE}" if locale and text else text


def without_edges(text: str) -> str:
    """What a person typed: it has no edges of ours."""
    return _ANY.sub("", text) if _ANY.search(text) else text


def has_edges(text: str) -> bool:
    return _OPEN in text


def spelled(html: str) -> str:
    """A page on which what is not in its language says so with `lang`; no edge is left.

    Attributes and what holds no elements have one language: theirs is the page's.
    """
    if not has_edges(html):
        return html
    out: list[str] = []
    stack = [page_language()]
    end, within = 0, ""
    for tag in _TAG.finditer(html):
        out.append(_spans(html[end : tag.start()], stack, bare=bool(within)))
        out.append(EDGE.sub("", tag[0]))
        end = tag.end()
        if within:
            within = "" if tag[0].startswith(f"</{within}") else within
        elif opens := _TEXT_ONLY.match(tag[0]):
            within = opens[1]
    out.append(_spans(html[end:], stack, bare=bool(within)))
    return "".join(out)


def _spans(text: str, stack: list[str], *, bare: bool) -> str:
    """A text between two tags; `stack` has the language at its end, and those around that."""
    out: list[str] = []
    end = 0
    for edge in EDGE.finditer(text):
        out.append(_span(text[end : edge.start()], stack, bare=bare))
        end = edge.end()
        if edge[1]:
            stack.append(edge[1])
        elif len(stack) > 1:
            stack.pop()
    out.append(_span(text[end:], stack, bare=bare))
    return "".join(out)


def _span(text: str, stack: list[str], *, bare: bool) -> str:
    if bare or stack[-1] == stack[0] or not text.strip():
        return text
    return Markup('<span lang="{}">').format(stack[-1]) + Markup(text) + Markup("</span>")
