"""What a person typed, as values: amounts, whole numbers, hours, days; a sentence for each fault.

Numbers are read as the judge reads them (`judge/values/`); nothing here knows a form or a file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from typing import Any

from bradawl import language
from bradawl.common.display_text import for_line
from bradawl.common.errors import ApiError
from bradawl.judge.values import exact
from bradawl.judge.values import typed as typed_texts
from bradawl.judge.values.amounts import parse_amount
from bradawl.language import message

__all__ = [
    "THREE_POINTS",
    "FieldError",
    "Problems",
    "amount",
    "as_typed",
    "day",
    "hours",
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


def amount(typed: str, what: str) -> int:
    """Whole money, such as `2,400`. Raises FieldError."""
    value = parse_amount(typed)
    if value is None:
        example = language.money(2400)
        raise FieldError(message("desk-error-amount", what=what, typed=typed, example=example))
    if value > MAX_AMOUNT:
        raise FieldError(message("desk-error-too-much", what=what, typed=typed))
    return value


def whole(typed: str, what: str, low: int, high: int) -> int:
    """A whole number from `low` to `high`. Raises FieldError."""
    value = exact.parse(typed_texts.number(typed))
    if value is None or value[1] != 1 or not low <= value[0] <= high:
        raise FieldError(message("desk-error-whole", what=what, typed=typed, low=low, high=high))
    return value[0]


def hours(typed: str, what: str) -> str:
    """Hours as decimal text, at most two digits after the point: `1.5`. Raises FieldError."""
    value = exact.parse(typed_texts.number(typed))
    if value is None or value[0] < 0:
        raise FieldError(message("desk-error-hours", what=what, typed=typed))
    hundredths = value[0] * 100 // value[1]
    if hundredths > MAX_HUNDREDTHS:
        raise FieldError(message("desk-error-hours-most", what=what, typed=typed))
    return f"{hundredths // 100}.{hundredths % 100:02d}".rstrip("0").rstrip(".")


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
    """A calendar day, YYYY-MM-DD. Raises FieldError."""
    try:
        return date.fromisoformat(typed).isoformat()
    except ValueError:
        raise FieldError(message("desk-error-day", what=what, typed=typed)) from None
