"""Names that could be taken for one another (UTS 39, section 4), and those that could not."""

from __future__ import annotations

import pytest

from bradawl.report.checking.names import likeness


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("Hollow Oak Garage", "Hollow Oak Garage", "same"),
        ("Hollow Oak Garage", "hollow  oak garage", "same"),
        ("Hollow Oak Garage", "H\u043ell\u043ew Oak Garage", "same"),
        # alike to the eye alone, and alike to whoever reads past the case alone
        ("Ilex Motor Works", "llex Motor Works", "same"),
        ("ILEX Motor Works", "ilex Motor Works", "same"),
        ("Hollow Oak Garage", "Hollow Oak Garages", "near"),
        ("Hollow Oak Garage", "Hollwo Oak Garage", "near"),  # two letters exchanged
        ("Hollow Oak Garage", "Hollwo Oak Gerage", ""),
        ("Hollow Tan Garage", "Hollow Nat Garage", ""),  # three turned round
        ("Hollow Oak Garage", "Hollow Elm Garage", ""),
        ("Oak", "Oaks", ""),  # too short to count
        # nothing of these is left for the eye to compare, so they are not like each other
        ("!!!", "???", ""),
        ("", "", ""),
        ("\u3164", "Hollow Oak Garage", ""),
    ],
)
def test_each_pair(one: str, other: str, expected: str) -> None:
    assert likeness(one, other) == expected
    assert likeness(other, one) == expected
