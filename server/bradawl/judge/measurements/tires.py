"""Tire date codes and tread.

Date code: 49 CFR 574.5 (WWYY from July 2000; before, WWY with the decade unsaid). What ageing
means and what a wear pattern tells is common practice, without a source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import ascii_text, dates, exact
from ..values.saying import listed, said
from .context import left_right_differences

if TYPE_CHECKING:
    from ..values.types import Exact, SaidArgument
    from .context import Context


SPARE = "spare"
_PERCENT = (100, 1)


def code_dates(typed: str) -> list[tuple[int, int]] | None:
    """(year, week) that a code can mean, latest first; None when it is no date code.

    Reads the date alone, or a whole identification number that ends in it, with blanks or without.
    """
    parts = ascii_text.fields(typed.replace("/", " "))
    code = parts[len(parts) - 1] if parts else ""
    if len(parts) > 1 and len(parts[-2]) == len(code) == 2:
        code = parts[-2] + code  # 23 19
    if len(code) < 5:
        return _dates(code)
    if ascii_text.all_digits(code):
        return None
    # a number run together: its last four digits, or three where those four are no week and year
    return _dates(code[-4:]) or _dates(code[-3:])


def _dates(code: str) -> list[tuple[int, int]] | None:
    """(year, week) that three or four digits can mean, latest first."""
    if len(code) not in (3, 4) or not ascii_text.all_digits(code):
        return None
    if not 1 <= int(code[:2]) <= 53:
        return None
    week = int(code[:2])
    if len(code) == 4:
        return [(2000 + int(code[2:]), week)]
    year = int(code[2])
    # three digits end with June 2000
    decades = (2000, 1990, 1980) if year == 0 and week <= 26 else (1990, 1980)
    return [(decade + year, week) for decade in decades]


def tire_age(context: Context) -> None:
    """Facts age.<tyre>, spare_age and age_gap.<axle> from reading `dot`.

    The spare has a name of its own: the car does not stand on it.
    """
    ages: dict[str, Exact] = {}
    for reading, typed in context.words_of("dot"):
        place = reading["place"]
        possible = code_dates(typed)
        if possible is None:
            context.add_problem("unreadable", "date-code", reading, typed)
            continue
        made = []
        for year, week in possible:
            day = dates.days(year, 1, 1) + 7 * (week - 1)
            if day <= context.visit["day"]:
                made.append((day, year, week))
        if not made:
            context.add_problem("future", "date-code-future", reading, typed)
            continue
        age = dates.years_seconds(made[0][0], context.visit["day"])
        months: list[SaidArgument] = [{"date": dates.month(year, week)} for _, year, week in made]
        name = "more-made" if len(made) == 1 else "more-made-decades"
        more = said(name, {"months": listed(months, "or")})
        if place == SPARE:
            context.fact("spare_age", age, "yr", "", more)
        else:
            ages[place] = age
            context.fact("age", age, "yr", place, more)
    for axle, gap in left_right_differences(ages):
        context.fact("age_gap", gap, "yr", axle)


def _pattern(outer: Exact, middle: Exact, inner: Exact, step: Exact) -> str:
    edge = exact.largest([outer, inner])
    if not exact.less(exact.subtract(middle, edge), step):
        return "both-edges"
    if not exact.less(exact.subtract(exact.smallest([outer, inner]), middle), step):
        return "centre"
    if not exact.less(exact.subtract(outer, inner), step):
        return "inner-edge"
    if not exact.less(exact.subtract(inner, outer), step):
        return "outer-edge"
    return "even"


def tread(context: Context) -> None:
    """Facts depth.<tyre>, pattern.<tyre>, axle_gap.<axle> from readings `tread` and `round`."""
    step = context.figure("step", "1.5", "mm")
    across: dict[str, dict[str, Exact]] = {}
    tread_at = context.figures_at("tread")
    for place in sorted(tread_at):
        for rib in ("outer", "middle", "inner"):
            if place.endswith("-" + rib):
                tire = place[: len(place) - len(rib) - 1]
                across.setdefault(tire, {})[rib] = tread_at[place]
    around: dict[str, list[Exact]] = {}
    round_at = context.figures_at("round")
    for place in sorted(round_at):
        around.setdefault(place.rpartition("-")[0], []).append(round_at[place])
    unit = context.unit("tread", context.unit("round", "mm"))
    depths: dict[str, Exact] = {}
    for tire in sorted(set(across) | set(around)):
        ribs = across.get(tire, {})
        rounds = around.get(tire, [])
        depths[tire] = exact.smallest([ribs[rib] for rib in sorted(ribs)] + rounds)
        context.fact("depth", depths[tire], unit, tire, said("more-lowest"))
        pattern = ""
        if len(ribs) == 3:
            pattern = _pattern(ribs["outer"], ribs["middle"], ribs["inner"], step)
        if len(rounds) > 1:
            spread = exact.subtract(exact.largest(rounds), exact.smallest(rounds))
            if not exact.less(spread, step):
                pattern = "cupped"
        if pattern:
            context.explain("pattern", pattern, tire)
    for axle, gap in left_right_differences(depths):
        context.fact("axle_gap", gap, unit, axle)


def tire_pressure(context: Context) -> None:
    """Facts pressure_share.<tyre> of the sticker's figure, pressure_gap.<axle> of the higher.

    Only the sticker says what is right: a light front under a rear engine takes little, a compact
    spare much.
    """
    figures = context.figures_at("pressure")
    stickers = context.figures_at("sticker")
    for place in sorted(figures):
        sticker = stickers.get(place.split("-")[0])
        if sticker is not None and sticker[0] > 0:
            share = exact.divide(figures[place], sticker)
            context.fact("pressure_share", exact.multiply(share, _PERCENT), "%", place)
    for axle, gap in left_right_differences(figures):
        higher = exact.largest([figures[axle + "-left"], figures[axle + "-right"]])
        if higher[0] > 0:
            share = exact.multiply(exact.divide(gap, higher), _PERCENT)
            context.fact("pressure_gap", share, "%", axle)
