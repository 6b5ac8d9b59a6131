"""Tables read between their rows, with arithmetic that both engines round alike.

Only + - * / and square roots: exp, log and ** differ in their last bit between engines.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

from .exact import add, divide, less, multiply, subtract

if TYPE_CHECKING:
    from .types import Exact

FRACTION_BITS = 40
ROOTS = 6  # square roots that bring a resistance near 1
KELVIN = 273.15
STEP = 0.93  # of the resistance, between rows of a thermistor's table


def power(base: float, exponent: float) -> float:
    """base ** exponent for base >= 0 and exponent >= 0, the same to the last bit everywhere.

    The exponent's fraction is used to 40 binary places (error below 1e-12 of the exponent).
    """
    whole = int(exponent)
    rest = exponent - whole
    result = 1.0
    for _ in range(whole):
        result *= base
    root = base
    bits = FRACTION_BITS
    while rest and bits:
        root = sqrt(root)
        rest *= 2.0
        if rest >= 1.0:
            result *= root
            rest -= 1.0
        bits -= 1
    return result


def between(rows: list[tuple[Exact, Exact]], x: Exact) -> Exact:
    """y at x, straight between the rows (rising x); beyond the table its end row's y."""
    if less(x, rows[0][0]):
        return rows[0][1]
    for i in range(1, len(rows)):
        if not less(rows[i][0], x):
            low, high = rows[i - 1], rows[i]
            share = divide(subtract(x, low[0]), subtract(high[0], low[0]))
            return add(low[1], multiply(share, subtract(high[1], low[1])))
    return rows[len(rows) - 1][1]


def table(*pairs: tuple[str, str]) -> list[tuple[Exact, Exact]]:
    """Rows of decimal text as exact pairs; text, so that a reader sees the published figures."""
    rows = []
    for x, y in pairs:
        rows.append((_figure(x), _figure(y)))
    return rows


def _figure(text: str) -> Exact:
    before, _, after = text.partition(".")
    return (int(before + after), 10 ** len(after))


def geometric(rows: list[tuple[float, float]], x: float) -> float:
    """y at x where y falls or rises by a constant factor between rows (a thermistor)."""
    last = len(rows) - 1
    if x <= rows[0][0]:
        return rows[0][1]
    for i in range(1, last + 1):
        if x <= rows[i][0]:
            x0, y0 = rows[i - 1]
            x1, y1 = rows[i]
            return y0 * power(y1 / y0, (x - x0) / (x1 - x0))
    return rows[last][1]


def geometric_inverse(rows: list[tuple[float, float]], y: float) -> float:
    """x at which a falling geometric table reads y; beyond the table its end row's x."""
    low, high = rows[0][0], rows[len(rows) - 1][0]
    for _ in range(40):
        middle = (low + high) / 2.0
        if geometric(rows, middle) > y:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def thermistor(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """A geometric table (degC, ohm) through three points of a thermistor, by Steinhart and Hart.

    1/T = A + B ln R + C (ln R)^3; beyond three points the lowest, middle and highest count. Empty
    where there are fewer, or the resistance does not fall all the way as it gets warmer.
    """
    rows = sorted(points)
    if len(rows) < 3:
        return []
    chosen = [rows[0], rows[len(rows) // 2], rows[len(rows) - 1]]
    for i in range(1, 3):
        if chosen[i][0] <= chosen[i - 1][0] or chosen[i][1] >= chosen[i - 1][1]:
            return []
    y = [1.0 / (celsius + KELVIN) for celsius, _ in chosen]
    x = [logarithm(ohm) for _, ohm in chosen]
    second = (y[1] - y[0]) / (x[1] - x[0])
    third = (y[2] - y[0]) / (x[2] - x[0])
    c = (third - second) / (x[2] - x[1]) / (x[0] + x[1] + x[2])
    b = second - c * (x[0] * x[0] + x[0] * x[1] + x[1] * x[1])
    a = y[0] - (b + x[0] * x[0] * c) * x[0]
    curve: list[tuple[float, float]] = []
    ohm = chosen[0][1] * 4.0
    lowest = chosen[2][1] / 4.0
    while ohm > lowest:
        at = logarithm(ohm)
        inverse = a + (b + c * at * at) * at
        celsius = 1.0 / inverse - KELVIN if inverse > 0.0 else -KELVIN
        if curve and celsius <= curve[-1][0]:
            return []
        curve.append((celsius, ohm))
        ohm *= STEP
    return curve


def logarithm(x: float) -> float:
    """The natural logarithm of x > 0, the same to the last bit everywhere; error below 1e-12."""
    for _ in range(ROOTS):
        x = sqrt(x)
    z = (x - 1.0) / (x + 1.0)
    total, term, n = 0.0, z, 1
    while n < 16:
        total += term / n
        term *= z * z
        n += 2
    return 2.0 * total * (1 << ROOTS)
