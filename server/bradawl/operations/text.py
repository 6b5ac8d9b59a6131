"""Cleans texts for a log line: one line, nothing that moves a cursor, no secret.

Names, paths and headers come from strangers. Whatever is not plainly printable is written as an
escape, so that no text can begin a line of its own, color or clear a terminal, or turn the
direction of reading.
"""

from __future__ import annotations

import re
import sqlite3
import traceback
from datetime import UTC, datetime

MAX_VALUE = 240  #: characters of one field
MAX_MESSAGE = 1_000
MAX_TRACE = 16_000
MAX_CHAIN = 8  #: errors behind an error

#: Tokens, keys of links and one-time codes are 43 characters of URL-safe Base64 (256 bits). No
#: name and no word is as long; hashes are, and stay.
_TOKEN = re.compile(r"[A-Za-z0-9_-]{40,}")
_HASH = re.compile(r"[0-9a-f]{40}|[0-9a-f]{64}")


def masked(text: str) -> str:
    """The text without anything that has the form of a token."""
    return _TOKEN.sub(lambda token: token[0] if _HASH.fullmatch(token[0]) else "[masked]", text)


def shortened(text: str, limit: int = MAX_VALUE) -> str:
    """At most `limit` characters, and how many are left out."""
    return text if len(text) <= limit else f"{text[:limit]}… ({len(text) - limit} more)"


def escaped(text: str) -> str:
    """The text with all that is not printable as `\\n`, `\\x1b`, `\\u202e`, and `\\` as `\\\\`.

    Not printable are control characters, format characters (marks of direction among them),
    separators other than the space, surrogates, and what Unicode does not assign.
    """
    if text.isprintable() and "\\" not in text:
        return text
    return "".join(_escape(c) if c == "\\" or not c.isprintable() else c for c in text)


def _escape(character: str) -> str:
    return character.encode("unicode_escape").decode("ascii")


def clean(value: object, limit: int = MAX_VALUE) -> str:
    """Any value as text that may stand in a line of the log."""
    return escaped(shortened(masked(str(value)), limit))


def path_of(path: str) -> str:
    """A request's path without what may hold a secret, also where its mark came in encoded."""
    return shortened(re.split(r"[?#]", path, maxsplit=1)[0])


def moment(created: float) -> str:
    """Seconds since 1970 as `2026-11-25T09:41:00.123Z`."""
    text = datetime.fromtimestamp(created, UTC).isoformat(timespec="milliseconds")
    return text.replace("+00:00", "Z")


#: Errors whose message is about the program or the machine. Any other (ValueError, KeyError and
#: those of libraries that check what is typed) may quote what somebody recorded.
_PLAIN_KINDS = (OSError, sqlite3.Error, ImportError, NameError, AttributeError, MemoryError)
_PLAIN_EXACTLY = (TypeError, RuntimeError, RecursionError, NotImplementedError)
LEFT_OUT = "(message left out: it may quote what was recorded)"


def reason(error: BaseException) -> str:
    """The kind of an error, and what it says where that cannot quote a record."""
    kind = f"{type(error).__module__}.{type(error).__qualname__}".removeprefix("builtins.")
    inner = getattr(error, "orig", None)  # SQLAlchemy puts the statement around the driver's error
    if isinstance(inner, BaseException):
        return f"{kind}: {reason(inner)}"
    if isinstance(error, _PLAIN_KINDS) or type(error) in _PLAIN_EXACTLY:
        return f"{kind}: {error}" if str(error) else kind
    return f"{kind} {LEFT_OUT}"


def trace(error: BaseException) -> list[str]:
    """A traceback with its causes, as lines; errors by `reason`."""
    lines: list[str] = []
    chain: list[BaseException] = []
    link: BaseException | None = error
    while link is not None and len(chain) < MAX_CHAIN and link not in chain:
        chain.append(link)
        link = link.__cause__ or (None if link.__suppress_context__ else link.__context__)
    for link in reversed(chain):
        lines += _frames(link)
        if isinstance(link, BaseExceptionGroup):
            for member in link.exceptions[:MAX_CHAIN]:
                lines += [f"  | {line}" for line in _frames(member)]
    text = masked("\n".join(lines))
    if len(text) > MAX_TRACE:  # its end says most
        text = "… \n" + text[-MAX_TRACE:].partition("\n")[2]
    return [escaped(line) for line in text.split("\n")]


def _frames(error: BaseException) -> list[str]:
    frames = "".join(traceback.format_tb(error.__traceback__)).splitlines()
    return ["Traceback (most recent call last):", *frames, reason(error).replace("\n", " ")]
