"""Vehicle numbers and tyre codes: the tables transcribed once more, the calendar of `datetime`.

Sources: 49 CFR 565 Tables III to V (read in a copy), model-year codes (from memory), 49 CFR 574.5
(WWYY; read). The transcription here is independent of the judge's.
"""

from __future__ import annotations

import datetime
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.measurements import identity, tires
from bradawl.judge.measurements.context import Context
from bradawl.judge.values import dates, exact

LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789"
TABLE_III = dict(
    zip(LETTERS, [1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 7, 9, 2, 3, 4, 5, 6, 7, 8, 9, *range(10)],
        strict=True)
)  # fmt: skip
TABLE_IV = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2]
numbers = st.text(st.sampled_from(LETTERS), min_size=17, max_size=17)


def remainder(vin: str) -> int:
    return sum(TABLE_III[c] * w for c, w in zip(vin, TABLE_IV, strict=True)) % 11


@given(numbers)
def test_the_check_digit_is_the_weighted_sum_modulo_eleven(vin: str) -> None:
    assert identity.check_digit(vin) == "0123456789X"[remainder(vin)]


@given(numbers, st.integers(0, 16), st.sampled_from(LETTERS))
def test_one_wrong_character_is_found_unless_it_has_the_same_value(
    vin: str, place: int, letter: str
) -> None:
    """All weights but that of position 9 are prime to 11, so no other change can hide."""
    changed = vin[:place] + letter + vin[place + 1 :]
    same = TABLE_III[letter] == TABLE_III[vin[place]] or place == 8
    assert (identity.check_digit(changed) == identity.check_digit(vin)) == same


@given(numbers)
def test_a_north_american_number_has_one_model_year_and_others_two(vin: str) -> None:
    for american in (True, False):
        years = identity.model_years(vin, american)
        assert len(years) == (0 if vin[9] in "UZ0" else 1 if american else 2)
        assert all(1980 <= year <= 2039 for year in years)


def facts_of(code: str, today: datetime.date) -> dict[str, Any]:
    measure = {"of": "dot", "place": "front-left", "title": {"fact": "dot"}, "number": None,
               "word": code, "unit": "", "typed": code, "path": "p"}  # fmt: skip
    day = (today - datetime.date(1970, 1, 1)).days
    work = Context("a.tire", [measure], {"kind": "tyre_age"}, "", {"car": {}, "day": day})
    tires.tire_age(work)
    return {fact["of"]: fact for fact in work.facts} | {"problems": work.problems}


@given(st.integers(1, 52), st.integers(0, 25), st.dates(datetime.date(2026, 1, 1)))
def test_a_tyres_age_is_the_time_since_its_week(week: int, year: int, today: datetime.date) -> None:
    made = datetime.date(2000 + year, 1, 1) + datetime.timedelta(weeks=week - 1)
    found = facts_of(f"{week:02d}{year:02d}", today)
    years = exact.as_float(found["age"]["number"]) / 31556952
    whole = today.year - made.year - ((today.month, today.day) < (made.month, made.day))
    last, following = (made.replace(year=made.year + n) for n in (whole, whole + 1))
    assert abs(years - whole - (today - last) / (following - last)) < 1e-6


@given(st.dates(datetime.date(1990, 1, 1), datetime.date(2020, 12, 31)), st.integers(0, 30))
def test_an_anniversary_is_a_whole_number_of_years_whatever_leap_days_lie_between(
    made: datetime.date, years: int
) -> None:
    """The calendar of `datetime`; who was born on February 29 has the day on March 1."""
    is_leap_day = (made.month, made.day) == (2, 29)
    try:
        anniversary = made.replace(year=made.year + years)
    except ValueError:
        anniversary = datetime.date(made.year + years, 3, 1)
    assert is_leap_day or (anniversary.month, anniversary.day) == (made.month, made.day)
    epoch = datetime.date(1970, 1, 1)
    spent = dates.years_seconds((made - epoch).days, (anniversary - epoch).days)
    assert spent == (years * 31556952, 1)


@given(st.text(max_size=6))
def test_no_code_makes_it_stumble(code: str) -> None:
    found = facts_of(code, datetime.date(2026, 11, 25))
    assert ("age" in found) != bool(found["problems"])


def test_the_regulations_own_worked_examples() -> None:
    """49 CFR 565.15(c), table V, and the agency's outline for new makers: sums 411 and 314.

    Both give a maker's number; here each of its letters is the digit of the same assigned value.
    """
    assert identity.check_digit("17418598057118341") == "4"
    assert identity.check_digit("11997113011644345") == "6"
    assert identity.check_digit("1" * 17) == "1"
