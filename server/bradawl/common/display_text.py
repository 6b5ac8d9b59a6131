"""Texts that people recorded, made fit to be shown: one function for each medium.

A record keeps any text for ever, as it was typed or sent: control characters, halves of
characters, marks that turn the reading direction, words of sixty thousand letters. Each medium has
its own idea of what it cannot take. Whatever leaves the record for a reader goes through one of
these functions where it enters the medium, so that no caller has to know what a text may hold.
Only the exported record (JSON) has the text exactly.
"""

from __future__ import annotations

import functools
import json
import re
import unicodedata
from typing import Any

#: Stands for what cannot be shown (Unicode 15, 3.9 and 23.8).
REPLACED = "\ufffd"
#: More marks on one letter than any language writes are a pile that hides the lines around it.
MOST_MARKS = 8
#: What one cell of a spreadsheet holds, in UTF-16 units (from memory: Excel's own limit).
CELL_LIMIT = 32_767
FILE_NAME_LIMIT = 80

# Line ends of every kind: also vertical tab, form feed, next line, line and paragraph separator.
_LINE_ENDS = re.compile("\r\n|[\r\x0b\x0c\x85\u2028\u2029]")
# Controls of C0 and C1 but tab and line feed, halves of characters, and what is no character.
_UNSHOWABLE = re.compile(
    "[\0-\x08\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef"
    + "".join(chr(plane << 16 | low) for plane in range(17) for low in (0xFFFE, 0xFFFF))
    + "]"
)
# Embeddings, overrides and isolates reorder what stands around a text, also behind its end.
_STEERING = re.compile("[\u202a-\u202e\u2066-\u2069]")
_ODD = re.compile(
    "[\0-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff"
    "\U0001fffe-\U0010ffff]"
)
# Where marks may stand; not general punctuation, which most texts have.
_FROM_COMBINING = re.compile("[\u0300-\u1fff\u20d0-\u20ff\u2cef-\u2cf1\u2d7f-\U0010ffff]")
_HALVES = re.compile("[\ud800-\udfff]")


def encodable(text: str) -> str:
    """The text without halves of characters: whatever follows can be encoded."""
    return _HALVES.sub(REPLACED, text) if _HALVES.search(text) else text


def for_page(text: str) -> str:
    """For HTML, before it is escaped: line ends and tabs stay, nothing steers the page."""
    if _ODD.search(text):
        text = _LINE_ENDS.sub("\n", text)
        text = _STEERING.sub("", _UNSHOWABLE.sub(REPLACED, text))
    return without_piles(text)


def without_piles(text: str) -> str:
    """The text with at most `MOST_MARKS` marks on one letter."""
    return _pile().sub(r"\1", text) if _FROM_COMBINING.search(text) else text


def for_line(text: str, limit: int | None = None) -> str:
    """On one line, cut with an ellipsis to `limit` characters."""
    if limit is not None and len(text) > 4 * limit + 4 * MOST_MARKS:
        text = text[: 4 * limit + 4 * MOST_MARKS]  # enough to cut from, however it shrinks
        return _cut(for_line(text), limit, more=True)
    text = for_page(text)
    if "\n" in text or "\t" in text:
        text = re.sub(r"[ \t\n]*[\t\n][ \t\n]*", " ", text)
    return text if limit is None else _cut(text, limit)


def _cut(text: str, limit: int, *, more: bool = False) -> str:
    if len(text) <= limit and not more:
        return text
    return text[: limit - 1].rstrip() + "…"


def for_terminal(text: str) -> str:
    """For a terminal: on one line, without anything that steers it or cannot be seen."""
    shown = for_line(text)
    if shown.isascii():
        return shown
    return "".join(character for character in shown if unicodedata.category(character) != "Cf")


def quoted(text: str, limit: int = 80) -> str:
    """A stranger's words inside a sentence of ours: on one line, in quotes that they cannot close.

    What nobody sees (controls, joiners, marks of direction, private letters) is shown as a sign.
    """
    shown = "".join(
        REPLACED if unicodedata.category(character)[0] == "C" else character
        for character in for_line(text, limit)
    )
    return f"“{shown.translate(_QUOTES)}”"


_QUOTES = str.maketrans(dict.fromkeys("“”„‟«»", '"'))


def for_cell(text: str) -> str:
    """For a cell of a workbook: what XML 1.0 (2.2) allows, no longer than a cell may be."""
    text = for_page(text)
    if len(text) * 2 > CELL_LIMIT and len(text.encode("utf-16-le")) // 2 > CELL_LIMIT:
        units = text.encode("utf-16-le")[: 2 * (CELL_LIMIT - 1)]
        text = units.decode("utf-16-le", errors="ignore") + "…"
    # a workbook reads _x0041_ as an A (ECMA-376, 22.9.2.19); its own underscore says otherwise
    return re.sub("_(?=x[0-9A-Fa-f]{4}_)", "_x005F_", text)


def for_file_name(words: str, suffix: str) -> str:
    """A file name of small ASCII letters, digits and dashes with that suffix; never empty."""
    plain = "".join(
        character if character.isascii() and character.isalnum() else "-"
        for character in words[:1_000].lower()
    )
    stem = "-".join(filter(None, plain.split("-")))[: FILE_NAME_LIMIT - len(suffix)].strip("-")
    return (stem or "file") + suffix


def as_json(value: Any, *, indent: int | None = None, sort_keys: bool = False) -> bytes:
    """A JSON text in UTF-8; halves of characters are written as escapes, so none is lost."""
    try:
        written = json.dumps(value, ensure_ascii=False, indent=indent, sort_keys=sort_keys)
        return written.encode()
    except UnicodeEncodeError:
        return json.dumps(value, indent=indent, sort_keys=sort_keys).encode()


@functools.cache
def _pile() -> re.Pattern[str]:
    """Nine marks or more on one letter, the first eight as a group."""
    points = (*range(0x300, 0x1_F000), *range(0xE_0100, 0xE_01F0))
    marks = [point for point in points if unicodedata.category(chr(point)) in ("Mn", "Me")]
    ranges: list[list[int]] = []
    for mark in marks:
        if ranges and mark == ranges[-1][1] + 1:
            ranges[-1][1] = mark
        else:
            ranges.append([mark, mark])
    inside = "".join(f"{chr(first)}-{chr(last)}" for first, last in ranges)
    return re.compile(f"([{inside}]{{{MOST_MARKS}}})[{inside}]+")
