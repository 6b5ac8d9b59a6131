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


def common(a: int, b: int) -> int:
    """The least common multiple of two denominators."""
    return a * _reduced(b, a)[0]


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


def significant(x: Exact, digits: int) -> Exact:
    """x above zero to so many digits, rounded half up: 628.8 to two is 630."""
    step, most = ONE, 10**digits
    while x[0] * step[1] >= most * step[0] * x[1]:
        step = (step[0] * 10, step[1])
    while 0 < x[0] * step[1] * 10 < most * step[0] * x[1]:
        step = (step[0], step[1] * 10)
    return multiply((half_up(divide(x, step), 0), 1), step)


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


_parsed: dict[str, Exact | None] = {}
_MOST_PARSED = 100
_NEVER = (0, 0)


def parse(text: str) -> Exact | None:
    """The number in a canonical text, as checklists and `typed.numbers` write it, or None.

    Reads 2.5, .5, 5/32, 1 5/32, -3, and leading or closing blanks.
    """
    if len(text) <= LONGEST and all_digits(text):  # what a gauge shows, 36 times on a card
        return int(text), 1
    known = _parsed.get(text, _NEVER)  # each reading is read three times while it is judged
    if known is not _NEVER:
        return known
    number = _parse(text)
    if len(_parsed) >= _MOST_PARSED:
        _parsed.clear()
    if len(text) <= LONGEST:
        _parsed[text] = number
    return number


def _parse(text: str) -> Exact | None:
    text = trimmed(text)
    sign = 1
    if text[:1] == "-":
        sign = -1
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
    before, _, after = text.partition(".")
    n = _whole((before or "0") + after) if len(before + after) else None
    if n is None:
        return None
    return _reduced(sign * n, 10 ** len(after))
