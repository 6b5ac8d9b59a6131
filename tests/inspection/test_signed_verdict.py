"""A verdict that was signed is never silently another one: both are said, each with its words."""

from __future__ import annotations

import pytest

from bradawl.inspection.signed_verdict import PATH, Verdict, signed_verdict, verdict_of
from bradawl.report.model.editions.edition import edition_view
from tests.report.visits import assessment, puts, snapshot

UP_TO = {"buy": "up_to", "drive": "trailer", "top_price": 2900, "currency": "USD"}
TODAY = {
    "decision": {"buy": "walk", "drive": "trailer"},
    "money": {"currency": "USD", "price": {"walk_away": 0}},
}


def signed(value: object) -> Verdict | None:
    return signed_verdict({PATH: {"value": value, "at": "1", "others": []}})


def test_it_is_said_in_the_words_of_the_verdict() -> None:
    verdict = signed(UP_TO)
    assert verdict is not None
    assert verdict.sentences() == "Trailer it. Buy it up to $2,900."
    assert verdict.sentences(with_money=False) == "Trailer it."
    assert verdict_of(TODAY) == Verdict("walk", "trailer", 0, "USD")


@pytest.mark.parametrize(
    "value", [None, [], "up_to", {}, {**UP_TO, "buy": "maybe"}, {**UP_TO, "drive": 3}]
)
def test_what_is_no_verdict_says_nothing(value: object) -> None:
    assert signed(value) is None
    assert signed_verdict(None) is None


@pytest.mark.parametrize(
    ("edition", "shown"),
    [
        ("partner", ("Trailer it. Buy it up to $2,900.", "Walk away. Trailer it.")),
        ("condition", None),  # the drive is the same, and the price is no reader's business
    ],
)
def test_a_report_says_both_where_they_differ(edition: str, shown: tuple[str, str] | None) -> None:
    judged = {**assessment(), **TODAY}
    view = edition_view(snapshot([*puts([]), (PATH, UP_TO)], judgement=judged), edition)  # type: ignore[arg-type]
    assert view.verdicts == shown
