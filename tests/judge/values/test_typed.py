"""What people type, by the table that the phone's twin is held to as well.

Oracles: Babel (Unicode CLDR) for how a locale writes numbers, money and dates; `fractions` for what
a canonical text is worth.
"""

from __future__ import annotations

import datetime as dt
import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from babel.dates import format_date, get_month_names
from babel.numbers import format_currency, format_decimal
from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.values import exact, typed

TABLE: dict[str, Any] = json.loads(
    (Path(__file__).parent / "typed.json").read_text(encoding="utf-8")
)
#: A locale of each style.
LOCALES = {"us": "en_US", "eu": "de_DE"}
styles = st.sampled_from(sorted(LOCALES))
decimals = st.decimals(0, 10**9, places=2)


@pytest.mark.parametrize(("text", "style", "whole", "read"), TABLE["numbers"])
def test_a_number_is_understood(text: str, style: str, whole: bool, read: list[str]) -> None:
    assert typed.numbers(text, style, whole) == read


@pytest.mark.parametrize(("text", "style", "read"), TABLE["amounts"])
def test_an_amount_is_understood(text: str, style: str, read: list[str]) -> None:
    assert typed.amounts(text, style) == read


@pytest.mark.parametrize(("text", "style", "read"), TABLE["days"])
def test_a_day_is_understood(text: str, style: str, read: list[str]) -> None:
    assert typed.days(text, style) == read


@pytest.mark.parametrize(("text", "months", "read"), TABLE["days_in_other_words"])
def test_a_month_in_another_language_is_understood(
    text: str, months: list[str], read: list[str]
) -> None:
    assert typed.days(text, "us", months) == read


def _worth(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.split()), Fraction(0))


@given(styles, decimals, st.sampled_from(["#,##0.##", "#,##0.0#", "#,##0"]))
def test_a_number_as_its_locale_writes_it_is_among_the_meanings(
    style: str, number: Decimal, pattern: str
) -> None:
    shown = format_decimal(number, format=pattern, locale=LOCALES[style])
    plain = format_decimal(number, format=pattern.replace(",", ""), locale="en_US")
    meanings = [_worth(text) for text in typed.numbers(shown, style)]
    assert Fraction(plain) in meanings
    # only a lone group of three digits has a second meaning, and none in the United States
    assert len(meanings) == 1 or (style == "eu" and shown.count(".") == 1)


@given(styles, decimals)
def test_money_as_its_locale_writes_it_is_read_back(style: str, amount: Decimal) -> None:
    currency = {"us": "USD", "eu": "EUR"}[style]
    shown = format_currency(amount, currency, locale=LOCALES[style])
    assert [Decimal(text) for text in typed.amounts(shown, style)] == [amount]


@given(
    st.sampled_from([("us", "en_US"), ("eu", "de_DE"), ("eu", "en_GB"), ("us", "es_US")]),
    st.dates(dt.date(1880, 1, 1), dt.date(2049, 12, 31)),
    st.sampled_from(["medium", "long"]),
)
def test_a_day_as_its_locale_writes_it_is_read_back(
    where: tuple[str, str], day: dt.date, length: Any
) -> None:
    style, locale = where
    names = get_month_names("wide", locale=locale)
    months = [names[month] for month in range(1, 13)]
    assert typed.days(format_date(day, length, locale=locale), style, months) == [day.isoformat()]


@given(styles, st.dates(dt.date(1950, 1, 1), dt.date(2049, 12, 31)))
def test_a_short_day_as_its_locale_writes_it_is_read_back(style: str, day: dt.date) -> None:
    assert typed.days(format_date(day, "short", locale=LOCALES[style]), style) == [day.isoformat()]


@given(st.text(max_size=14), st.sampled_from(["us", "eu", ""]), st.booleans())
def test_whatever_is_typed_is_canonical_or_nothing(text: str, style: str, whole: bool) -> None:
    for meaning in typed.numbers(text, style, whole):
        number = exact.parse(meaning)
        assert number is not None
        negative = meaning.startswith("-")
        assert Fraction(*number) == (-1 if negative else 1) * _worth(meaning.lstrip("-"))
        # a canonical text is among its own meanings, and has no other to an American
        assert meaning in typed.numbers(meaning, "")
        assert typed.numbers(meaning, "us") == [meaning]
    for amount in typed.amounts(text, style):
        assert Decimal(amount) >= 0
    for day in typed.days(text, style):
        assert typed.days(day, style) == [day]


def test_a_number_with_two_meanings_is_none_by_itself() -> None:
    assert typed.number("1,300") == ""
    assert typed.number("1,300", True) == "1300"
    assert typed.number("0,790") == "0.790"
