"""Exact numbers: pairs of integers, so that two engines and a law's figure agree to the last digit.

A number is (n, d) with d > 0. Nothing here knows units.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .ascii_text import all_digits, fields, trimmed

if TYPE_CHECKING:
    from .types import Exact

ZERO = (0, 1)
ONE = (1, 1)
_POWERS = (1, 10, 100, 1000, 10000, 100000, 1000000, 10000000)
LONGEST = 15  # digits of a figure that anyone types
_GROUPING = " '\u2019"  # all of them group thousands somewhere


def _reduced(n: int, d: int) -> Exact:
    a, b = (n if n >= 0 else -n), d
    while b:
        a, b = b, a % b
    return (n // a, d // a) if a > 1 else (n, d)


def add(x: Exact, y: Exact) -> Exact:
    return _reduced(x[0] * y[1] + y[0] * x[1], x[1] * y[1])


def subtract(x: Exact, y: Exact) -> Exact:
    return _reduced(x[0] * y[1] - y[0] * x[1], x[1] * y[1])


def multiply(x: Exact, y: Exact) -> Exact:
    return _reduced(x[0] * y[0], x[1] * y[1])


def divide(x: Exact, y: Exact) -> Exact:
    """Raises ZeroDivisionError like any other division."""
    if y[0] == 0:
        raise ZeroDivisionError
    if y[0] < 0:
        return _reduced(-x[0] * y[1], -x[1] * y[0])
    return _reduced(x[0] * y[1], x[1] * y[0])


def less(x: Exact, y: Exact) -> bool:
    return x[0] * y[1] < y[0] * x[1]


def absolute(x: Exact) -> Exact:
    return (-x[0], x[1]) if x[0] < 0 else x


def ordered(numbers: list[Exact]) -> list[Exact]:
    """Smallest first (an insertion sort: neither engine's sort knows these pairs)."""
    done: list[Exact] = []
    for number in numbers:
        place = len(done)
        while place and less(number, done[place - 1]):
            place -= 1
        done.insert(place, number)
    return done


def smallest(numbers: list[Exact]) -> Exact:
    least = numbers[0]
    for number in numbers:
        if less(number, least):
            least = number
    return least


def largest(numbers: list[Exact]) -> Exact:
    greatest = numbers[0]
    for number in numbers:
        if less(greatest, number):
            greatest = number
    return greatest


def mean(numbers: list[Exact]) -> Exact:
    total = ZERO
    for number in numbers:
        total = add(total, number)
    return divide(total, (len(numbers), 1))


def median(numbers: list[Exact]) -> Exact:
    rising = ordered(numbers)
    half = len(rising) // 2
    if len(rising) % 2:
        return rising[half]
    return mean(rising[half - 1 : half + 1])


def half_up(x: Exact, places: int) -> int:
    """x times 10**places, rounded half away from zero."""
    n = x[0] * _POWERS[places]
    if n < 0:
        return -((-2 * n + x[1]) // (2 * x[1]))
    return (2 * n + x[1]) // (2 * x[1])


def decimal(x: Exact, places: int) -> str:
    """Decimal text with at most `places` digits after the point, none of them a closing zero."""
    if x[1] == 1:
        return str(x[0])
    scaled = half_up(x, places)
    digits = str(-scaled if scaled < 0 else scaled)
    while len(digits) <= places:
        digits = "0" + digits
    text = digits[: len(digits) - places]
    if places:
        text = (text + "." + digits[len(digits) - places :]).rstrip("0").rstrip(".")
    return "-" + text if scaled < 0 else text


def as_float(x: Exact) -> float:
    """The nearest double of x rounded to six places: one division of exact doubles."""
    return half_up(x, 6) / 1000000


def from_float(x: float) -> Exact:
    """x to six places."""
    scaled = x * 1000000
    return _reduced(int(scaled + 0.5) if scaled >= 0 else -int(0.5 - scaled), 1000000)


def _whole(text: str) -> int | None:
    if len(text) > LONGEST or not all_digits(text):
        return None
    return int(text)


def _fraction(text: str) -> Exact | None:
    parts = text.split("/")
    if len(parts) != 2:
        return None
    n, d = _whole(trimmed(parts[0])), _whole(trimmed(parts[1]))
    if n is None or not d:
        return None
    return (n, d)


def _grouped(text: str, mark: str) -> bool:
    """Whether `mark` groups the digits of text by three: 1.234.567."""
    parts = text.split(mark)
    if not 1 <= len(parts[0]) <= 3:
        return False
    for part in parts[1:]:
        if len(part) != 3:
            return False
    return True


def _point(text: str, thousands: bool) -> str | None:
    """The figure with `.` as its only mark, or None when nobody could read it."""
    if "," in text and "." in text:
        point = "," if text.rfind(",") > text.rfind(".") else "."
        group = "." if point == "," else ","
        whole, rest = text[: text.rfind(point)], text[text.rfind(point) + 1 :]
        if point in whole or not _grouped(whole, group):
            return None
        return whole.replace(group, "") + "." + rest
    text = text.replace(",", ".")
    if text.count(".") > 1 or (thousands and text.count(".") == 1):
        if _grouped(text, "."):
            return text.replace(".", "")
        if text.count(".") > 1:
            return None
    return text


_figures: dict[str, Exact] = {}
_MOST_FIGURES = 2000


def figure(text: str) -> Exact | None:
    """A checklist's figure, like `parse`; remembered, since every assessment reads them again."""
    if text in _figures:
        return _figures[text]
    number = parse(text)
    if number is not None and len(_figures) < _MOST_FIGURES:
        _figures[text] = number
    return number


def parse(typed: str, thousands: bool = False) -> Exact | None:
    """The number a person typed, or None.

    Reads 2.5, 2,5, 182 400, 1.234,5, 5/32, 1 5/32, -3, and leading or closing blanks.
    `thousands`: a single mark before exactly three digits groups them (an odometer's 182.400).
    """
    if len(typed) <= LONGEST and all_digits(typed):  # what a gauge shows, 36 times on a card
        return int(typed), 1
    text = trimmed(typed)
    sign = 1
    if text and text[0] in "+-\u2212":
        sign = 1 if text[0] == "+" else -1
        text = trimmed(text[1:])
    if "/" in text:
        parts = fields(text)
        mixed = _fraction(parts[-1]) if len(parts) == 2 else None
        if mixed is not None:
            whole = _whole(parts[0])
            if whole is None:
                return None
            return _reduced(sign * (whole * mixed[1] + mixed[0]), mixed[1])
        plain = _fraction(text)
        return None if plain is None else _reduced(sign * plain[0], plain[1])
    for mark in _GROUPING:
        if mark in text:
            whole_text = text.split(",")[0].split(".")[0]
            if not _grouped(whole_text, mark):
                return None
            text = text.replace(mark, "")
            break
    pointed = _point(text, thousands)
    if pointed is None:
        return None
    before, _, after = pointed.partition(".")
    if not before and not after:
        return None
    n = _whole((before or "0") + after) if len(before + after) else None
    if n is None:
        return None
    return _reduced(sign * n, 10 ** len(after))
