"""Puts what was typed into a form of a page that the server made, without running any script.

The page is our own templates', so every tag stands as HTML has it; whatever is not part of the form
goes through as it is.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape, unescape
from html.parser import HTMLParser
from urllib.parse import urlsplit

__all__ = ["filled"]

#: Hidden fields that say which of several forms with one address it is.
WHICH = re.compile(r"(entry|item|job|row|path|remedy|test|cause)\Z")
_NOT_FILLED = ("submit", "button", "image", "reset", "file", "password")
_MAIN = re.compile(r"<main\b[^>]*>")


def filled(page: str, action: str, fields: Sequence[tuple[str, str]], note: str) -> str:
    """The page with `fields` in its form that is sent to `action`, and a note before it.

    Where the page has no such form, it comes back with the note alone.
    """
    filling = _Filling(page, action, fields)
    filling.feed(page)
    filling.close()
    said = f'<div class="note" role="status"><p>{escape(note)}</p></div>'
    return _MAIN.sub(lambda found: found[0] + said, "".join(filling.out), count=1)


def _which(page: str, action: str, fields: Sequence[tuple[str, str]]) -> int:
    """The number of the form among all of the page; -1 for none."""
    finding = _Finding(action)
    finding.feed(page)
    finding.close()
    sent = set(fields)
    for number, hidden in finding.forms:
        if all(pair in sent for pair in hidden):
            return number
    return -1


def _path(action: str | None) -> str:
    return urlsplit(action or "").path


class _Finding(HTMLParser):
    """The forms that are posted to an address, each with the hidden fields that tell it apart."""

    def __init__(self, action: str) -> None:
        super().__init__()
        self._action = action
        self._number = -1
        self._is_in = False
        self.forms: list[tuple[int, list[tuple[str, str]]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = dict(attrs)
        if tag == "form":
            self._number += 1
            is_post = (held.get("method") or "").lower() == "post"
            self._is_in = is_post and _path(held.get("action")) == self._action
            if self._is_in:
                self.forms.append((self._number, []))
        elif tag == "input" and self._is_in and held.get("type") == "hidden":
            name = held.get("name") or ""
            if WHICH.match(name):
                self.forms[-1][1].append((name, held.get("value") or ""))

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._is_in = False


class _Filling(HTMLParser):
    """Writes a page out again, with texts, choices and ticks of one form as they were sent."""

    def __init__(self, page: str, action: str, fields: Sequence[tuple[str, str]]) -> None:
        super().__init__(convert_charrefs=False)
        self.out: list[str] = []
        self._wanted = _which(page, action, fields)
        self._number = -1
        self._is_in = False
        self._left: dict[str, list[str]] = {}
        for name, value in fields:
            self._left.setdefault(name, []).append(value)
        self._folds: list[int] = []  # where the folds begin that stand open around here
        self._picked: list[str] | None = None  # of a list of choices, what was picked
        self._option: tuple[int, list[str]] | None = None  # one whose value is its text
        self._is_skipping = False  # the text of a field, which is exchanged

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        raw = self.get_starttag_text() or ""
        held = dict(attrs)
        if tag == "details":
            self._folds.append(len(self.out))
        if tag == "form":
            self._number += 1
            self._is_in = self._number == self._wanted
            if self._is_in:
                raw = _with(raw, "data-unsaved", "")
                for fold in self._folds:
                    if " open" not in self.out[fold]:
                        self.out[fold] = _with(self.out[fold], "open", "")
        elif self._is_in:
            raw = self._field(tag, raw, held)
        self.out.append(raw)

    handle_startendtag = handle_starttag

    def _field(self, tag: str, raw: str, held: dict[str, str | None]) -> str:
        name, kind = held.get("name") or "", (held.get("type") or "text").lower()
        if tag == "option" and self._picked is not None:
            raw = _without(raw, "selected")
            value = held.get("value")
            if value is None:
                self._option = (len(self.out), [])
                return raw
            return _with(raw, "selected", "") if value in self._picked else raw
        if not name or (tag == "input" and kind in _NOT_FILLED):
            return raw
        if tag == "input" and kind in ("checkbox", "radio"):
            is_on = (held.get("value") or "on") in self._left.get(name, ())
            raw = _without(raw, "checked")
            return _with(raw, "checked", "") if is_on else raw
        if tag == "select":
            every = self._left.get(name)
            self._picked = None if not every else every if "multiple" in held else [every.pop(0)]
        elif tag == "input" and self._left.get(name):
            return _with(_without(raw, "value"), "value", self._left[name].pop(0))
        elif tag == "textarea" and self._left.get(name):
            self._is_skipping = True
            # a line end right behind the tag is none of the text's (HTML, 13.1.2.5)
            return f"{raw}\n{escape(self._left[name].pop(0))}"
        return raw

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._is_in = False
        elif tag == "select":
            self._picked = None
        elif tag == "option" and self._option is not None:
            place, said = self._option
            self._option = None
            if unescape("".join(said)).strip() in (self._picked or ()):
                self.out[place] = _with(self.out[place], "selected", "")
        elif tag == "textarea":
            self._is_skipping = False
        elif tag == "details" and self._folds:
            self._folds.pop()
        self.out.append(f"</{tag}>")

    def _text(self, text: str) -> None:
        if self._option is not None:
            self._option[1].append(text)
        if not self._is_skipping:
            self.out.append(text)

    def handle_data(self, data: str) -> None:
        self._text(data)

    def handle_entityref(self, name: str) -> None:
        self._text(f"&{name};")

    def handle_charref(self, name: str) -> None:
        self._text(f"&#{name};")

    def handle_comment(self, data: str) -> None:
        self.out.append(f"<!--{data}-->")

    def handle_decl(self, decl: str) -> None:
        self.out.append(f"<!{decl}>")


def _with(tag: str, name: str, value: str) -> str:
    """A start tag with one more attribute."""
    said = f' {name}="{escape(value)}"' if value or name == "value" else f" {name}"
    end = "/>" if tag.endswith("/>") else ">"
    return f"{tag.removesuffix(end).rstrip()}{said}{end}"


def _without(tag: str, name: str) -> str:
    """A start tag without one of its attributes."""
    return re.sub(rf"""\s{name}(?:="[^"]*"|='[^']*'|=[^\s>]+)?(?=[\s/>])""", "", tag)
