"""Texts by message id, for the current reader."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from markupsafe import Markup, escape

from . import catalogue, tongues
from .reader import current


def text(message_id: str, /, **arguments: Any) -> str:
    """The message in the current reader's language.

    Arguments: numbers (shown as the locale writes them; a year or a code is passed as text), texts,
    and Messages, which are said in the same language.
    """
    said: dict[str, Any] = {}
    long: dict[str, str] = {}
    given_texts: list[Any] = []
    for name, given in arguments.items():
        value = given.text() if isinstance(given, Message) else given
        given_texts.append(value)
        if isinstance(value, str) and len(value) > _LONG:
            token = f"\ue002{len(long)}\ue003"
            long[token], value = value, token
        said[name] = value
    locale = current().locale
    shown = catalogue.find(message_id, locale, said)
    for token, value in long.items():
        shown = shown.replace(token, value)
    return tongues.holding(shown, given_texts, _other_than(locale, message_id))


def _other_than(locale: str, message_id: str) -> str:
    """The locale of a message where it is another; English and the pseudo-locale have them all."""
    has_it = locale in (catalogue.DEFAULT, catalogue.PSEUDO) or catalogue.has(message_id, locale)
    return "" if has_it else catalogue.DEFAULT


def lang(message_id: str) -> str:
    """The locale in which the current reader gets a message: English where theirs lacks it.

    For `lang` of a page, named by a message that all of its kind have.
    """
    locale = current().locale
    return locale if catalogue.has(message_id, locale) else catalogue.DEFAULT


#: Fluent refuses arguments longer than 2,500 letters; these are put in after it.
_LONG = 1000


#: What a catalogue text may mark: **bold** and `what is typed`. A terminal shows it as it stands.
_MARKED = re.compile(r"\*\*(.+?)\*\*|`(.+?)`")


def markup(message_id: str, /, **arguments: Any) -> Markup:
    """The message as HTML: its words and plain arguments escaped, arguments that are Markup kept.

    `**words**` of the catalogue become `<b>`, and backticks `<code>`; in arguments they stay.
    """
    kept: dict[str, Markup] = {}
    said: dict[str, Any] = {}
    for name, value in arguments.items():
        plain = tongues.edged(value) if isinstance(value, str) else value
        if isinstance(value, Markup) or plain is not value or _is_marked(value):
            # private-use characters: no text of the catalogue has them, and escaping leaves them
            token = f"\ue000{len(kept)}\ue001"
            kept[token] = escape(plain)
            said[name] = token
        else:
            said[name] = value
    shown = str(escape(text(message_id, **said)))
    shown = _MARKED.sub(
        lambda found: f"<b>{found[1]}</b>" if found[1] else f"<code>{found[2]}</code>", shown
    )
    for token, value in kept.items():
        shown = shown.replace(token, str(value))
    if kept:  # what stands in for them hid the names
        shown = catalogue.once(shown, {name: str(escape(arguments[name])) for name in arguments})
    is_known = current().locale in (catalogue.DEFAULT, catalogue.PSEUDO)
    return Markup(shown if is_known else tongues.edged_part(lang(message_id), shown))


def _is_marked(value: object) -> bool:
    return isinstance(value, str) and re.search("[*`]", value) is not None


@dataclass(frozen=True)
class Message:
    """A sentence before anybody reads it: an id and its arguments. Errors carry these.

    `str()` says it to the current reader.
    """

    id: str
    arguments: dict[str, Any] = field(default_factory=dict)

    def text(self) -> str:
        return text(self.id, **self.arguments)

    __str__ = text


def message(message_id: str, /, **arguments: Any) -> Message:
    """A sentence to be said later, to whoever reads it then."""
    return Message(message_id, arguments)
