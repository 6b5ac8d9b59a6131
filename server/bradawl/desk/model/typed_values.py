"""What a person typed, as values: amounts, whole numbers, hours, days; a sentence for each fault.

Numbers are read as the judge reads them (`judge/values/`); nothing here knows a form or a file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from bradawl import language
from bradawl.common.display_text import for_line
from bradawl.common.errors import ApiError
from bradawl.judge.values import exact, units
from bradawl.judge.values import typed as typed_texts
from bradawl.language import Message, message

__all__ = [
    "THREE_POINTS",
    "FieldError",
    "Problems",
    "amount",
    "as_typed",
    "date_of",
    "day",
    "hours",
    "paid_cents",
    "reading",
    "three_points",
    "whole",
]

MAX_AMOUNT = 100_000_000
MAX_HUNDREDTHS = 1_000_000  # of an hour
#: The figures of every estimate, in rising order.
THREE_POINTS = ("low", "likely", "high")


class FieldError(ApiError):
    """A field that cannot be kept; the sentence is said to whoever typed it.

    Where a page shows what was typed beside what is wrong, `Problems` collects it; anywhere else
    it is an answer by itself.
    """

    def __init__(self, sentence: language.Message) -> None:
        super().__init__("field", sentence, 422)


class Problems:
    """Collects a sentence for each wrong field, so that one mistake loses no other."""

    def __init__(self) -> None:
        self.sentences: list[str] = []
        self.fields: set[str] = set()
        self.moved: set[str] = set()  # fields that somebody else changed meanwhile

    @contextmanager
    def of(self, field: str) -> Iterator[None]:
        """Notes an ApiError that is raised inside as a problem of `field`."""
        try:
            yield
        except ApiError as wrong:
            self.sentences.append(wrong.message)
            self.fields.add(field)

    def __bool__(self) -> bool:
        return bool(self.sentences)


def as_typed(recorded: str, limit: int) -> str:
    """What a field of so many letters shows of a recorded text, and sends back if left alone."""
    return for_line(recorded, limit).strip()


def _only(
    read: Callable[[str, str], list[str]],
    typed: str,
    unread: Message,
    shown: Callable[[str], str],
    what: str,
) -> str:
    """The one meaning of what was typed, by `read(text, style)`.

    Raises FieldError: `unread`, or which are possible; what a mark would mean elsewhere is offered.
    """
    region = language.current().region
    said = {"what": what, "typed": typed}
    found = read(typed, region)
    if not found:
        elsewhere = dict.fromkeys(read(typed, "eu") + read(typed.replace(",", ""), region))
        if elsewhere and region == "us":
            meanings = language.listed([shown(meaning) for meaning in elsewhere], last="or")
            raise FieldError(message("desk-error-marks", meanings=meanings, **said))
        raise FieldError(unread)
    if len(found) > 1:
        meanings = language.listed([shown(meaning) for meaning in found], last="or")
        raise FieldError(message("desk-error-which", meanings=meanings, **said))
    return found[0]


def _cents(typed: str, what: str) -> int:
    example = language.money(2400)
    unread = message("desk-error-amount", what=what, typed=typed, example=example)
    found = _only(typed_texts.amounts, typed, unread, language.decimal, what)
    whole_text, _, cents = found.partition(".")
    value = int(whole_text) * 100 + int(cents or "0")
    if value > MAX_AMOUNT * 100:
        raise FieldError(message("desk-error-too-much", what=what, typed=typed))
    return value


def amount(typed: str, what: str) -> int:
    """An estimate in whole units of money, half a unit up: `$2,400`. Raises FieldError."""
    return (_cents(typed, what) + 50) // 100


def paid_cents(typed: str, what: str) -> int:
    """What was paid, in hundredths of the unit of money: `$47.83` is 4783. Raises FieldError."""
    return _cents(typed, what)


def _number(typed: str, unread: Message, what: str, *, is_whole: bool) -> tuple[int, int]:
    def read(text: str, style: str) -> list[str]:
        return typed_texts.numbers(text, style, is_whole)

    number = exact.parse(_only(read, typed, unread, _figure_text, what))
    assert number is not None  # `numbers` gives canonical texts
    return number


def _figure_text(canonical: str) -> str:
    return canonical if "/" in canonical else language.decimal(canonical)


def whole(typed: str, what: str, low: int, high: int) -> int:
    """A whole number from `low` to `high`. Raises FieldError."""
    unread = message("desk-error-whole", what=what, typed=typed, low=low, high=high)
    value = _number(typed, unread, what, is_whole=True)
    if value[1] != 1 or not low <= value[0] <= high:
        raise FieldError(unread)
    return value[0]


def hours(typed: str, what: str) -> str:
    """Hours as decimal text, at most two digits after the point: `1.5`. Raises FieldError."""
    unread = message("desk-error-hours", what=what, typed=typed)
    value = _number(typed, unread, what, is_whole=False)
    if value[0] < 0:
        raise FieldError(unread)
    hundredths = value[0] * 100 // value[1]
    if hundredths > MAX_HUNDREDTHS:
        raise FieldError(message("desk-error-hours-most", what=what, typed=typed))
    return f"{hundredths // 100}.{hundredths % 100:02d}".rstrip("0").rstrip(".")


def reading(typed: str, unit: str, what: str) -> dict[str, str]:
    """A reading as it is recorded: {"typed", "unit"}, with "read" where another reader could take
    the text for something else (judge/record/doubts.py). A unit that was typed behind the figure
    counts, not the one beside it: `3/16"`, `35 psi`. Raises FieldError.
    """
    is_whole = units.is_known(unit) and units.quantity(unit) in ("distance", "count")
    typed, unit = _with_own_unit(typed, unit, is_whole=is_whole)

    def figures(text: str, style: str) -> list[str]:
        return typed_texts.numbers(text, style, is_whole)

    value = {"typed": typed, "unit": unit}
    if not units.is_known(unit) or not figures(typed, ""):  # a code, or what a gauge says in a word
        return value
    unread = message("desk-error-number", what=what, typed=typed)
    read = _only(figures, typed, unread, _figure_text, what)
    return value if figures(typed, "") == [read] else {**value, "read": read}


#: Of the inch, beside its name.
_INCH_SIGNS = ('"', "\u2033", "\u201d", "''")


def _with_own_unit(typed: str, unit: str, *, is_whole: bool) -> tuple[str, str]:
    """The figure without the unit behind it, and that unit; as they are where it has none."""
    if not units.is_known(unit):
        return typed, unit
    names: dict[str, str] = {}
    for other in units.alike(unit):
        signs = _INCH_SIGNS if other == "in" else ()
        shown = language.unit_name(other).casefold()
        written = (other.casefold(), shown, shown.strip("\u00b0 "), shown + "s", *signs)
        names |= dict.fromkeys(written, other)
    for name in sorted(names, key=len, reverse=True):
        figure = typed[: -len(name)].strip() if name else ""
        if typed.casefold().endswith(name) and typed_texts.numbers(figure, "", is_whole):
            # a fraction under 1/32 in is one of an inch already
            stays = unit == "in/32" and names[name] == "in" and "/" in figure
            return figure, unit if stays else names[name]
    return typed, unit


def three_points(
    typed: Sequence[str], what: str, read: Callable[[str, str], Any], missing: Any
) -> list[Any]:
    """Low, likely and high as typed, in rising order, each read by `read(typed, what)`.

    One figure alone counts for all three; what is left out takes its neighbor's. `missing` stands
    for each when all are empty. Raises FieldError.
    """
    if not any(typed):
        return [missing] * 3
    likely = typed[1] or typed[0] or typed[2]
    values = [read(text or likely, what) for text in typed]
    if [float(value) for value in values] != sorted(float(value) for value in values):
        figures = ", ".join(language.decimal(str(value)) for value in values)
        raise FieldError(message("desk-error-rising", what=what, figures=figures))
    return values


def day(typed: str, what: str) -> str:
    """A calendar day as the reader writes it, as YYYY-MM-DD. Raises FieldError."""
    when = date_of(typed, what)
    if len(when) != len("2026-11-25"):
        raise FieldError(_no_date(typed, what))
    return when


def date_of(typed: str, what: str) -> str:
    """A day, a month or a year as the reader writes it, in ISO 8601. Raises FieldError."""

    def read(text: str, style: str) -> list[str]:
        return typed_texts.days(text, style, language.month_names())

    return _only(read, typed, _no_date(typed, what), language.date, what)


def _no_date(typed: str, what: str) -> Message:
    return message("desk-error-day", what=what, typed=typed, example=language.date("2026-11-25"))
