"""Sums of uncertain amounts: PERT per line, added by discretised convolution.

Lines are not strangers to one another: a car that was neglected, a region or a workshop that is
dear makes all of them dear. `together` is the share of a total's spread that they have in common:
each quantile is that share of the way from independent lines to lines that all stand at the same
quantile (0 and 1 are those two ends). It is near a one-factor model whose lines correlate by
together ** 2.

A line is (low, likely, high) in whole money: the beta distribution on [low, high] with shape
parameters 1 + 4 (likely - low) / (high - low) and 1 + 4 (high - likely) / (high - low). Only
+ - * / and square roots, in a fixed order: both engines get the same quantiles.
"""

from __future__ import annotations

from ..values.interpolation import power

BINS = 200  # cells of the total's grid
POINTS = 8  # midpoints of one line's distribution, beside one for each cell that it covers
QUANTILE_POINTS = 24  # cells of one line's own quantiles
SHAPE_STEPS = 64  # the shape parameter is rounded to this fraction: below 0.2 % of the range


def _weights(share: float, points: int, cache: dict[tuple[int, int], list[float]]) -> list[float]:
    """Normalised weights at `points` midpoints of [0, 1]: x**p * (1 - x)**(4 - p), p = 4 share."""
    steps = int(share * 4.0 * SHAPE_STEPS + 0.5)
    if (steps, points) in cache:
        return cache[(steps, points)]
    p = steps / SHAPE_STEPS
    weights = []
    total = 0.0
    for i in range(points):
        x = (i + 0.5) / points
        rest = 1.0 - x
        weight = power(x / rest, p) * rest * rest * rest * rest
        weights.append(weight)
        total += weight
    cache[(steps, points)] = [weight / total for weight in weights]
    return cache[(steps, points)]


def _line(
    low: int, likely: int, high: int, step: float, cache: dict[tuple[int, int], list[float]]
) -> list[float]:
    """Masses on the grid low, low + step, ... ; each point is shared so that the mean stays."""
    cells = (high - low) / step
    masses = [0.0] * (int(cells) + 2)
    points = POINTS + int(cells)
    weights = _weights((likely - low) / (high - low), points, cache)
    for i in range(points):
        place = (i + 0.5) / points * cells
        cell = int(place)
        rest = place - cell
        masses[cell] += weights[i] * (1.0 - rest)
        masses[cell + 1] += weights[i] * rest
    while masses[len(masses) - 1] == 0.0:
        masses.pop()
    return masses


def _convolve(masses: list[float], other: list[float]) -> list[float]:
    total = [0.0] * (len(masses) + len(other) - 1)
    for i in range(len(masses)):
        mass = masses[i]
        if mass == 0.0:
            continue
        for j in range(len(other)):
            total[i + j] += mass * other[j]
    return total


def _common(
    low: int,
    likely: int,
    high: int,
    percents: list[int],
    cache: dict[tuple[int, int], list[float]],
) -> list[float]:
    """One line's quantiles above its low end."""
    weights = _weights((likely - low) / (high - low), QUANTILE_POINTS, cache)
    amounts = []
    for percent in percents:
        wanted = percent / 100.0
        reached = 0.0
        place = 0
        while place < QUANTILE_POINTS - 1 and reached + weights[place] < wanted:
            reached += weights[place]
            place += 1
        inside = (wanted - reached) / weights[place] if weights[place] > 0.0 else 0.5
        amounts.append((place + inside) / QUANTILE_POINTS * (high - low))
    return amounts


def quantiles(
    lines: list[tuple[int, int, int]], percents: list[int], together: float = 0.0
) -> list[int]:
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
    cache: dict[tuple[int, int], list[float]] = {}
    masses = [1.0]
    for _, low, likely, high in sorted(uncertain):
        masses = _convolve(masses, _line(low, likely, high, step, cache))
    whole = 0.0
    for mass in masses:
        whole += mass
    common = [0.0 for _ in percents]
    if together > 0.0:
        for _, low, likely, high in sorted(uncertain):
            own = _common(low, likely, high, percents, cache)
            for n in range(len(percents)):
                common[n] += own[n]
    amounts = []
    for n, percent in enumerate(percents):
        wanted = whole * percent / 100.0
        reached = 0.0
        place = 0
        while place < len(masses) - 1 and reached + masses[place] < wanted:
            reached += masses[place]
            place += 1
        # a mass stands for the cell around its grid point
        inside = (wanted - reached) / masses[place] if masses[place] > 0.0 else 0.5
        amount = (place - 0.5 + inside) * step * (1.0 - together) + common[n] * together
        amounts.append(base + int(amount + 0.5) if amount > 0.0 else base)
    return amounts
