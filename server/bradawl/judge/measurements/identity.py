"""The vehicle number and what its model-year code says; intervals of what was once done.

49 CFR 565.15 and 565.25 (check digit, model year), ISO 3779 (17 characters, no I O Q). Every car
sold new in the United States from model year 1981 on has to have them, wherever it was built
(from memory); on a car made for another market, and on any older one, a difference is a note.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import visit_facts
from ..values import ascii_text, dates, exact
from ..values.saying import listed, said

if TYPE_CHECKING:
    from ..values.types import Said, SaidArgument
    from .context import Context

_VALUES = {}
for _row in ("1AJ", "2BKS", "3CLT", "4DMU", "5ENV", "6FW", "7GPX", "8HY", "9RZ"):
    for _letter in _row:
        _VALUES[_letter] = int(_row[0])
_VALUES["0"] = 0
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"  # 1980 to 2009, and again from 2010
_PUNCTUATION = "-/.,*"
_US = "us"
FIRST_YEAR = 1981  # model year from which 17 characters are the law


def normal(typed: str) -> str:
    """Upper case, without blanks and what people write between the groups of an old number."""
    kept = [sign for sign in ascii_text.upper(typed) if sign not in _PUNCTUATION]
    return "".join(ascii_text.fields("".join(kept)))


def check_digit(vin: str) -> str:
    """The character that position 9 of a 17-character number should be."""
    total = 0
    for i in range(17):
        total += _VALUES[vin[i]] * _WEIGHTS[i]
    return "X" if total % 11 == 10 else str(total % 11)


def bad_positions(vin: str) -> list[int]:
    """Positions (from 1) of characters that no vehicle number has: I, O, Q and all but A-Z, 0-9."""
    return [i + 1 for i in range(len(vin)) if vin[i] not in _VALUES]


def model_years(vin: str, north_american: bool) -> list[int]:
    """The years that position 10 can mean; empty when it is no year code."""
    place = _YEAR_CODES.find(vin[9])
    if place < 0:
        return []
    if not north_american:
        return [1980 + place, 2010 + place]
    # position 7: a digit up to model year 2009, a letter from 2010 on
    return [1980 + place] if vin[6] in ascii_text.DIGITS else [2010 + place]


def _is_due(number: str, context: Context) -> bool:
    """Whether the law of new cars in the United States binds this number: digit, year and serial.

    By the market the car was made for; where nobody said, a car seen in the United States whose
    year is known was sold there, and the first sign tells a car built in North America.
    """
    year = visit_facts.whole(context.visit["car"].get("year"))
    if year is not None and year < FIRST_YEAR:
        return False
    market = context.visit["car"].get("market")
    if market is not None:
        return market == _US
    is_here = context.visit.get("region") == _US and year is not None
    return is_here or number[0] in "12345"


def _state(number: str, year: int | None, is_due: bool) -> tuple[str, Said]:
    """The word for a number and what explains it; before 1981 no number is accused of anything."""
    is_old = year is not None and year < FIRST_YEAR
    bad = bad_positions(number)
    if len(number) != 17 or (is_old and bad):
        is_modern = year is not None and not is_old
        state = "wrong-length" if is_modern else "not-checkable"
        return state, said("more-vin-" + state, {"count": len(number)})
    if bad:
        at: list[SaidArgument] = []
        for place in bad:
            said_at = said("vin-position", {"position": str(place), "letter": number[place - 1]})
            at.append({"said": said_at})
        return "bad-character", said("more-vin-bad-character", {"positions": listed(at)})
    right = check_digit(number)
    if number[8] == right:
        return "valid", said("more-vin-valid", {"digit": right})
    if is_due:
        args: dict[str, SaidArgument] = {"digit": number[8], "right": right}
        return "wrong-check-digit", said("more-vin-wrong-check-digit", args)
    return "no-check-digit", said("more-vin-no-check-digit")


def vin(context: Context) -> None:
    """Facts vin, year_code, serial, year_agrees, vin_same from reading `vin` and car/vin."""
    numbers = [normal(word) for _, word in context.words_of("vin")]
    recorded = context.visit["car"].get("vin")
    if isinstance(recorded, str):
        numbers.append(normal(recorded))
    numbers = [number for number in numbers if number]  # a dash alone is no number
    if not numbers:
        return
    number = numbers[0]
    if len(numbers) > 1:
        same = len([other for other in numbers if other != number]) == 0
        context.say("vin_same", "yes" if same else "no")
    year = visit_facts.whole(context.visit["car"].get("year"))
    is_due = _is_due(number, context)
    state, more = _state(number, year, is_due)
    context.say("vin", state, "", more)
    if len(number) != 17 or bad_positions(number):
        return
    if is_due:
        digits = ascii_text.all_digits(number[12:])
        context.say("serial", "digits" if digits else "not-digits")
    _year(context, number, year, is_due)


def _year(context: Context, number: str, year: int | None, is_due: bool) -> None:
    """Facts year_code and year_agrees; unbound by the law, position 10 need not be a year."""
    years = model_years(number, is_due)
    if not years:
        if is_due:
            context.say("year_code", "invalid", "", said("more-no-year", {"letter": number[9]}))
        return
    coded = listed([str(coded_year) for coded_year in years], "or")
    more = said("more-year-code", {"letter": number[9], "years": coded})
    context.say("year_code", "valid", "", more)
    if year is not None and is_due:
        # a model year begins in the autumn of the year before
        agrees = (
            len([coded_year for coded_year in years if coded_year - 1 <= year <= coded_year]) > 0
        )
        more = said("more-years", {"given": str(year), "coded": coded})
        context.say("year_agrees", "yes" if agrees else "no", "", more)


def interval(context: Context) -> None:
    """Facts years_since and km_since from readings `done_on`, `done_at` and the odometer.

    Where the car's maker says how often, in `every_years` and `every_distance`: years_over and
    distance_over, above zero beyond it.
    """
    for reading, _ in context.words_of("done_on"):
        if reading["day"] > context.visit["day"]:
            context.add_problem("future", "future", reading)
        else:
            since = dates.years_seconds(reading["day"], context.visit["day"])
            context.fact("years_since", since, "yr")
            every = context.figure_of("every_years")
            if every is not None:
                context.fact("years_over", exact.subtract(since, every), "yr")
            break
    done_at = context.figure_of("done_at")
    now = visit_facts.distance_km(context.visit["car"].get("odometer"))
    if done_at is not None and now is not None:
        driven = exact.subtract(now, done_at)
        if driven[0] < 0:
            context.add_problem("odometer", "odometer", context.reading_of("done_at"))
        else:
            context.fact("km_since", driven, context.unit("done_at", "km"))
            every = context.figure_of("every_distance")
            if every is not None:
                over = exact.subtract(driven, every)
                context.fact("distance_over", over, context.unit("done_at", "km"))
