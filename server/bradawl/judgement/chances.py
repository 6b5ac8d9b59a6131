"""Sums of uncertain amounts: PERT per line, added by discretised convolution.

A line is (low, likely, high) in whole money: the beta distribution on [low, high] with shape
parameters 1 + 4 (likely - low) / (high - low) and 1 + 4 (high - likely) / (high - low). Only
+ - * / and square roots, in a fixed order: both engines get the same quantiles.
"""

from __future__ import annotations

from .curves import power

BINS = 400  # cells of the total's grid
POINTS = 32  # midpoints of one line's distribution
SHAPE_STEPS = 256  # the shape parameter is rounded to this fraction: below 0.1 % of a quantile


def _weights(share: float, known: dict[int, list[float]]) -> list[float]:
    """Normalised weights at the midpoints of [0, 1] for p = 4 * share."""
    steps = int(share * 4.0 * SHAPE_STEPS + 0.5)
    if steps in known:
        return known[steps]
    p = steps / SHAPE_STEPS
    weights = []
    total = 0.0
    for i in range(POINTS):
        x = (i + 0.5) / POINTS
        weight = power(x, p) * power(1.0 - x, 4.0 - p)
        weights.append(weight)
        total += weight
    known[steps] = [weight / total for weight in weights]
    return known[steps]


def _line(
    low: int, likely: int, high: int, step: float, known: dict[int, list[float]]
) -> list[float]:
    """Masses on the grid low, low + step, ... ; each point is shared so that the mean stays."""
    width = high - low
    masses = [0.0] * (int(width / step) + 2)
    weights = _weights((likely - low) / width, known)
    for i in range(POINTS):
        place = (i + 0.5) / POINTS * width / step
        cell = int(place)
        rest = place - cell
        masses[cell] += weights[i] * (1.0 - rest)
        masses[cell + 1] += weights[i] * rest
    while masses and masses[len(masses) - 1] == 0.0:
        masses.pop()
    return masses


def _convolve(one: list[float], other: list[float]) -> list[float]:
    total = [0.0] * (len(one) + len(other) - 1)
    for i in range(len(one)):
        mass = one[i]
        if mass == 0.0:
            continue
        for j in range(len(other)):
            total[i + j] += mass * other[j]
    return total


def quantiles(lines: list[tuple[int, int, int]], percents: list[int]) -> list[int]:
    """The sum's quantiles in whole money, half up. Lines may come in any order."""
    base = 0
    spread = 0
    uncertain = []
    for low, likely, high in sorted(lines):
        base += low
        if high > low:
            uncertain.append((high - low, low, likely, high))
            spread += high - low
    if not uncertain:
        return [base for _ in percents]
    step = spread / BINS
    known: dict[int, list[float]] = {}
    masses = [1.0]
    for _, low, likely, high in sorted(uncertain):
        masses = _convolve(masses, _line(low, likely, high, step, known))
    whole = 0.0
    for mass in masses:
        whole += mass
    found = []
    for percent in percents:
        wanted = whole * percent / 100.0
        reached = 0.0
        place = 0
        while place < len(masses) - 1 and reached + masses[place] < wanted:
            reached += masses[place]
            place += 1
        # a mass stands for the cell around its grid point
        inside = (wanted - reached) / masses[place] if masses[place] > 0.0 else 0.5
        amount = (place - 0.5 + inside) * step
        found.append(base + int(amount + 0.5) if amount > 0.0 else base)
    return found
