"""What is typed at the desk, as the reader's region writes it; what may mean two things is asked.

How the United States and Europe write numbers and dates: Unicode CLDR (en-US, de-DE).
"""

from __future__ import annotations

import pytest

from bradawl.desk.model.typed_values import (
    FieldError,
    amount,
    date_of,
    day,
    hours,
    paid_cents,
    reading,
    whole,
)
from bradawl.language import Reader, reading_as


def test_cents_are_kept_where_something_was_paid() -> None:
    assert paid_cents("$47.83", "It") == 4783
    assert paid_cents("1,300", "It") == 130000
    with reading_as(Reader(region="eu")):
        assert paid_cents("1.300,50", "It") == 130050


def test_hours_have_the_point_or_the_comma_of_their_region() -> None:
    assert [hours(typed, "It") for typed in ("1.5", "1 1/2", "2")] == ["1.5", "1.5", "2"]
    with reading_as(Reader(region="eu")):
        assert [hours(typed, "It") for typed in ("1.5", "1,5")] == ["1.5", "1.5"]


def test_a_comma_by_which_nobody_here_means_anything_is_asked_about() -> None:
    """12,34 is 12.34 to a German and nothing to an American (CLDR: de-DE, en-US)."""
    said = "wasn't read. A comma only groups thousands, as in 1,234. If you mean 12.34 or 1,234"
    for read in (paid_cents, amount, hours):
        with pytest.raises(FieldError, match=said):
            read("12,34", "It")
    with pytest.raises(FieldError, match=r"If you mean 12\.34 or 1,234"):
        whole("12,34", "It", 0, 9)
    with pytest.raises(FieldError, match=r"If you mean 2\.5 or 25"):
        reading("2,5", "mm", "Pad")
    with pytest.raises(FieldError, match="If you mean 12,345, enter"):
        amount("$12.345", "It")
    with pytest.raises(FieldError, match="isn't an amount"):
        amount("much", "It")
    with reading_as(Reader(region="eu")):
        assert paid_cents("12,34", "It") == 1234
        assert reading("2,5", "mm", "Pad") == {"typed": "2,5", "unit": "mm"}


def test_a_date_that_may_mean_two_days_is_asked() -> None:
    assert day("3/4/2022", "Deadline") == "2022-03-04"
    with reading_as(Reader(region="eu")):
        with pytest.raises(FieldError, match="could be 3 Apr 2022 or 4 Mar 2022"):
            day("3/4/2022", "Deadline")
        assert day("3 Apr 2022", "Deadline") == day("3.4.2022", "Deadline") == "2022-04-03"
    assert date_of("Jun 2022", "Done") == "2022-06"
    with pytest.raises(FieldError, match="isn't a date"):
        day("Jun 2022", "Deadline")


def test_a_reading_keeps_what_was_typed_and_says_how_it_is_read() -> None:
    assert reading("2.5", "mm", "Pad") == {"typed": "2.5", "unit": "mm"}
    assert reading("113,000", "mi", "Odometer") == {"typed": "113,000", "unit": "mi"}
    assert reading("1.181", "in", "Rotor") == {"typed": "1.181", "unit": "in", "read": "1.181"}
    # a unit behind the figure is that of the figure, whatever stands beside the field
    assert reading('3/16"', "mm", "Slide") == {"typed": "3/16", "unit": "in"}
    assert reading("35 psi", "kPa", "Tire") == {"typed": "35", "unit": "psi"}
    assert reading("300 °F", "degC", "Fluid") == {"typed": "300", "unit": "degF"}
    assert reading("300f", "degC", "Fluid") == {"typed": "300", "unit": "degF"}
    assert reading("4.5 mils", "um", "Film") == {"typed": "4.5", "unit": "mil"}
    assert reading("128k mi", "km", "Odometer") == {"typed": "128k", "unit": "mi"}
    assert reading('2/32"', "in/32", "Tread") == {"typed": "2/32", "unit": "in/32"}
    assert reading("2 1/32 in", "in/32", "Tread") == {"typed": "2", "unit": "in/32"}
    assert reading('.25"', "in/32", "Pad") == {"typed": ".25", "unit": "in"}
    assert reading("12 m", "V", "Battery") == {"typed": "12 m", "unit": "V"}
    assert reading("none", "mil", "Film") == {"typed": "none", "unit": "mil"}
    with reading_as(Reader(region="eu")), pytest.raises(FieldError, match="could be"):
        reading("1.181", "mm", "Rotor")
