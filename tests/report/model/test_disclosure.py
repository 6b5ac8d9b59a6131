"""What people write is searched for prices, names, numbers and addresses, rather too much than too
little; what is measured is left in peace.

The sentences are invented; how Americans write prices, phone numbers (NANP: 3-3-4 digits) and
postal addresses (street suffixes and "City, ST": the postal service's Publication 28, from memory)
is common practice.
"""

from __future__ import annotations

import time

import hypothesis.strategies as st
import pytest
from hypothesis import given

from bradawl.report.model.editions.disclosure import Clue, clues

GIVING_AWAY: list[tuple[Clue, str]] = [
    ("price", "Seller wants 2400 firm, would take 2k."),
    ("price", "1200 OBO"),
    ("price", "listed at 3400"),
    ("price", "He said 900 cash"),
    ("price", "two grand and it is yours"),
    ("price", "twenty-five hundred"),
    ("price", "He would let it go for 3400"),
    ("price", "he has 3400 in it"),
    ("price", "$1,250.50 last week"),
    ("price", "paid 85 for the alternator"),
    ("price", "3.400 Euro"),
    ("price", "dice que vale 2500"),
    ("price", "Came down from 4,100 to 3,600"),
    ("price", "knocked off 50"),
    ("price", "maybe 950 a piece"),
    ("name", "Call Wendel Abernook"),
    ("name", "Asked Wendel about it, he shrugged"),
    ("name", "the seller Wendel was not there"),
    ("name", "Mr. abernook says so"),
    ("name", "his wife Odile drove it"),
    ("number", "555-0134"),
    ("number", "call (740) 555-0134 after six"),
    ("number", "7405550134"),
    ("number", "wendel.a@somewhere.example"),
    ("number", "plate HX41 KLM is HX41KLM"),
    ("address", "stands at 1120 Quarry Hill Rd"),
    ("address", "Garage in Lindrach, OH"),
    ("address", "P.O. Box 12"),
    ("address", "lives next door at 14"),
    ("price", "I offered a thousand"),
    ("price", "He'd do three and a half"),
    ("name", "Bob says it was his dad's"),
    ("number", "call me at seven four zero"),
    ("other", "המחיר סודי"),
]

HARMLESS = [
    "The probe went in 12 mm.",
    "Seller asked us to wait 10 minutes",
    "ask 12 V at pin 30",
    "163,900 miles on the clock, service at 107,800 miles.",
    "Pads 2.8 mm and 0.6 mm; disc 19.1 mm against 18 mm.",
    "58 psi open, 51 psi at idle, 18 inHg of vacuum.",
    "Soft over a hand's width.",
    "Rear left is worn to 3/32.",
    "Leaks after 20 minutes at 195 °F",
    "Made in 1989, engine from 1991",
    "Ticks at 1500 rpm and 2,500 rpm.",
    "It runs. Then it stalls.",
    "Seller says it was garaged; three and a half turns lock to lock",
    "Front left rotor: 0.858 in, minimum 0.874",
    "Battery 2021, an oil change in October 2022, on a Monday",
    "150 psi, 148 psi, 90 psi, 151 psi",
]


@pytest.mark.parametrize(("clue", "text"), GIVING_AWAY, ids=lambda value: str(value)[:30])
def test_what_gives_something_away_is_found(clue: Clue, text: str) -> None:
    assert clue in clues(text)


@pytest.mark.parametrize("text", HARMLESS)
def test_what_was_measured_is_left_in_peace(text: str) -> None:
    assert clues(text) == ()


@pytest.mark.parametrize("text", ["abernook told us", "It is ABERNOOK's", "von Abernook, gone"])
def test_a_name_that_is_left_out_is_found_wherever_it_stands(text: str) -> None:
    assert "name" in clues(text, frozenset({"abernook"}))


def test_words_of_the_checklist_and_the_car_are_nobodys_name() -> None:
    text = "Seen on the Corvane Tilda and under the Radiator"
    assert "name" in clues(text)
    assert clues(text, vocabulary=frozenset({"corvane", "tilda", "radiator"})) == ()


@given(
    amount=st.integers(min_value=1, max_value=9_999_999),
    shape=st.sampled_from(
        ["{} €", "€{}", "EUR {}", "{} EUR", "${}", "{} dollars", "asks {}", "price: {}", "CHF {}.-",
         "worth about {}", "£{}", "{} quid", "costs {}", "offered him {}", "{} cash", "{} OBO"]
    ),
    grouped=st.sampled_from(["{}", "{:,}"]),
    before=st.sampled_from(["Soft sill, ", "the probe went in 12 mm; ", "seen at noon. ", ""]),
    after=st.sampled_from(["", " and tools", ". Rust below."]),
)  # fmt: skip
def test_a_sum_is_found_in_every_shape(
    amount: int, shape: str, grouped: str, before: str, after: str
) -> None:
    assert "price" in clues(before + shape.format(grouped.format(amount)) + after)


@pytest.mark.parametrize(
    "piece",
    [
        "a",
        "A",
        "1",
        "1 ",
        "1.",
        "A-",
        "a.",
        "A1-",
        " ",
        "call ",
        "Aa ",
        "asks ",
        "1 Aa ",
        "a@",
        "$",
        "'1",
    ],
)
def test_a_text_of_any_length_is_searched_in_its_time(piece: str) -> None:
    """A note of 60 kB takes about as long for each of its letters as one of 6 kB."""

    def spent(length: int) -> float:
        text = piece * (length // len(piece))
        began = time.process_time()
        clues(text)
        return time.process_time() - began

    spent(1_000)
    short = max(spent(6_000), 0.002)
    assert spent(60_000) < 60 * short
