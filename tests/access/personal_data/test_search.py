"""What names a person is found, what does not is left alone, and no text takes long.

Formats: telephone numbers as the North American Numbering Plan writes them and ITU-T E.123
(`+1 555 010 0199`), e-mail addresses after RFC 5322's dot-atom; all from memory. 555-01xx are
numbers that nobody has.
"""

from __future__ import annotations

import math
import time
from typing import Any

import pytest

from bradawl.access.personal_data.search import Found, search
from bradawl.judge import may_be_erased
from tests.amount import amount

SELLER = "Tilda Wexalby, (555) 010-0199, tilda@example.org"
PLACE = "12 Quarry Lane, Lindrach"
NOTE = "items/a.b/note"


def events(
    *puts: tuple[str, Any], seller: Any = SELLER, place: Any = PLACE
) -> list[dict[str, Any]]:
    rows = [("about/seller", seller), ("about/place", place), *puts]
    return [
        {"device": "d", "seq": seq, "put": put, "value": value}
        for seq, (put, value) in enumerate(rows, start=1)
    ]


def found(put: str, value: Any, *typed: str, **about: Any) -> Found | None:
    """What is found at a path."""
    rows = search(events((put, value), **about), may_be_erased, typed)
    return next((one for one in rows if one.put == put), None)


@pytest.mark.parametrize(
    ("put", "value"),
    [
        ("about/seller/phone", "555"),
        (NOTE, "Tilda Wexalby says it was welded"),
        (NOTE, "WEXALBY, TILDA"),
        (NOTE, "call 555-010-0199 after six"),
        (NOTE, "call +1 555 010 0199"),
        (NOTE, "5550100199"),
        (NOTE, "555.010.0199 or so"),
        (NOTE, "TILDA@EXAMPLE.ORG has the papers"),
        (NOTE, "left at 12 Quarry Lane"),
        (NOTE, "the quarry lane barn"),
        ("items/a.b/text", "Tilda\nWexalby"),
        ("items/a.b/why", "Tilda Wexalby would not allow it"),
        ("items/a.b/photos/" + "a" * 64, {"caption": "Invoice of Tilda Wexalby"}),
        ("media/" + "b" * 64, {"caption": "Tilda Wexalby on the engine"}),
        ("work/x/done", {"title": "Weld", "by": "Tilda Wexalby", "note": ""}),
    ],
)
def test_what_names_the_seller_is_certain(put: str, value: Any) -> None:
    one = found(put, value)
    assert one is not None
    assert (one.certain, one.erasable, one.events) == (True, True, (("d", 3),))


@pytest.mark.parametrize(
    ("value", "what"),
    [
        ("Wexalby's own repair", "name-word"),
        ("tilda said so", "name-word"),
        ("drove it from Lindrach", "place-word"),
        ("call (555) 010-0142", "like-number"),
        ("call 010-0142", "like-number"),
        ("+44 171 555 0142 has the key", "like-number"),
        ("ask someone.else@mail.example.net", "like-mail"),
    ],
)
def test_what_may_name_somebody_is_for_a_person_to_decide(value: str, what: str) -> None:
    one = found(NOTE, value)
    assert one is not None
    assert (one.what, one.certain) == (what, False)


@pytest.mark.parametrize(
    ("put", "value"),
    [
        (NOTE, "welded 2004-11-25, 2 plates of 1.5 mm"),
        (NOTE, "dated 11/25/2004; 163 900 km"),
        (NOTE, "tires 205/55 R16 91V, DOT 3416"),
        (NOTE, "the lane assist and the quarry dust"),
        (NOTE, "private owner, first owner, the seller says so"),
        (NOTE, "a @ b, @@@, a@b"),
        (NOTE, "lindrach"),  # not written as a name
        ("about/inspector", "Tilda Wrindle"),
        ("car/odometer", {"typed": "0163900123", "unit": "km"}),
        ("items/a.b/readings/film/one", {"typed": "1105551234", "unit": "um"}),
        ("items/a.b/photos/" + "a" * 64, {"bytes": 4_001_234, "taken": "2026-11-25T09:31:00"}),
        ("about/place", ""),
    ],
)  # fmt: skip
def test_what_names_nobody_is_left_alone(put: str, value: Any) -> None:
    rows = search(events((put, value)), may_be_erased)
    assert [one.put for one in rows] == ["about/place", "about/seller"]
    assert all(one.events == (("d", 2 if one.put == "about/place" else 1),) for one in rows)


@pytest.mark.parametrize(
    ("put", "value"),
    [
        ("items/a.b/readings/code/one", {"typed": "Tilda Wexalby"}),
        ("items/a.b/choice", "Tilda Wexalby"),
        ("car/make", "Wexalby"),
        ("seal/1", {"name": "Tilda Wexalby"}),
    ],
)
def test_what_names_the_seller_and_stays_is_told(put: str, value: Any) -> None:
    one = found(put, value)
    assert one is not None
    assert not one.erasable


def test_what_somebody_types_is_looked_for_as_it_stands() -> None:
    for typed, text in (
        ("Old Bert", "OLD  BÉRT knows"),
        ("+1 (555) 010-0177", "0100177"),
        ("5 Mill Rd", "at 5 Mill Rd."),
        ("bert@example.com", "mail BERT@example.com"),
    ):
        one = found(NOTE, text, typed)
        assert one is not None, typed
        assert one.certain, typed
    assert found(NOTE, "Bert is an old man", "Old Bert") is None


def test_a_name_without_capitals_counts_when_there_are_no_others() -> None:
    one = found(NOTE, "wexalby knew", seller="tilda wexalby")
    assert one is not None
    assert found(NOTE, "the man knew", seller="the man from the farm") is None


def test_a_seller_called_like_the_trade_asks_and_takes_no_note_by_itself() -> None:
    """Rust is found in half of all notes: one word is no name for certain."""
    one = found(NOTE, "Rust along the seam", seller="Tom Rust")
    assert one is not None
    assert not one.certain
    one = found(NOTE, "Tom Rust welded it", seller="Tom Rust")
    assert one is not None
    assert one.certain


def test_older_versions_are_found_and_those_that_name_nobody_are_not() -> None:
    rows = search(
        events((NOTE, "ask Tilda Wexalby"), (NOTE, "cleaned"), (NOTE, "Tilda Wexalby again")),
        may_be_erased,
    )
    (note,) = [one for one in rows if one.put == NOTE]
    assert note.events == (("d", 3), ("d", 5))
    assert note.text == "Tilda Wexalby again"


def test_what_is_erased_is_not_found_again() -> None:
    gone = [{**one, "value": None, "erased": True} for one in events()]
    assert search(gone, may_be_erased) == []


LONG = [
    "a", "0 ", "@", "a@", "1 (2", "+1", "a.", "a-", "tilda ", "12 quarry ", "é", "(555) 1",
    "5551234567890123456789", "x@y.", "Wexalby, ",
]  # fmt: skip


@pytest.mark.parametrize("unit", LONG)
def test_the_time_grows_with_the_text_and_no_faster(unit: str) -> None:
    """Two notes of 30 kB took 4.3 seconds, of 240 kB they would have taken four minutes."""

    def seconds(size: int) -> float:
        text = (unit * (size // len(unit) + 1))[:size]
        rows = events((NOTE, text), ("items/c.d/note", text))
        least = math.inf
        for _ in range(3):  # one may be held up by a collection of garbage
            began = time.process_time()
            search(rows, may_be_erased, ["a a a", "tilda tilda wexalby"])
            least = min(least, time.process_time() - began)
        return least

    seconds(1_000)  # what is compiled once
    long = amount(240_000, short=80_000)
    assert seconds(long) < 40 * max(seconds(long // 8), 0.005)
