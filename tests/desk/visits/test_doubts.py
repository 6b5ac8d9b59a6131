"""A reading that may mean two things is settled with one tap at the desk, as on the phone.

What .1875 in is worth: 4.7625 mm, by the definition of the inch (25.4 mm).
"""

from __future__ import annotations

import copy
from typing import Any

import pytest

from bradawl.language import Reader, catalogue, reading_as
from bradawl.language.pseudo import marked
from tests.desk.browse import forms_of
from tests.desk.conftest import DESK, OTHER_PHONE, PHONE, VISIT, Workshop

PAGE = f"/desk/visits/{VISIT}"
DOUBT = f"{PAGE}/doubt"
PAD = "items/brakes.pads/readings/pad/"
TYPED = {"typed": ".1875", "unit": "mm"}


@pytest.fixture
def typed(workshop: Workshop) -> Workshop:
    """Pads that are asked for in mm and inches, at both wheels .1875 under mm."""
    checklist: dict[str, Any] = copy.deepcopy(workshop.bundle)
    for rule in (checklist["items"][0], checklist["rules"]["items"]["brakes.pads"]):
        rule["readings"][0] |= {"units": ["mm", "in"], "usual": ["0.5", "30"]}
    checklist["hash"] = "c" * 64
    workshop.log.put_bundle(checklist)
    workshop.begin()
    workshop.real = True
    workshop.write([("about/bundle", checklist["hash"])])
    workshop.write([(PAD + "front-left", TYPED), (PAD + "front-right", TYPED)])
    return workshop


def asked(workshop: Workshop) -> list[dict[str, str]]:
    page = workshop.client.get(PAGE).text
    return [dict(fields) for action, fields in forms_of(page) if action == DOUBT]


def values(workshop: Workshop) -> list[Any]:
    cells = workshop.snapshot(VISIT).cells
    return [cells[PAD + wheel]["value"] for wheel in ("front-left", "front-right")]


def test_one_tap_says_for_every_place_what_was_meant_and_it_is_judged(typed: Workshop) -> None:
    page = typed.client.get(PAGE).text
    assert "One reading could mean two things" in page
    assert "Pad thickness: which did you mean? Your answer goes for all 2." in page
    assert ">0.1875 mm</button>" in page
    assert ">0.1875 in</button>" in page
    assert typed.snapshot(VISIT).assessment["items"]["brakes.pads"]["grade"] is None
    (form,) = asked(typed)
    answer = typed.client.post(DOUBT, data=form | {"meaning": "1"}, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, f"{PAGE}#doubts")
    meant = {"typed": ".1875", "unit": "in", "read": "0.1875", "sure": True}
    assert values(typed) == [meant, meant]
    assert typed.log.stands_for(typed.log.events_of(VISIT)[-1]["device"]) == DESK
    snapshot = typed.snapshot(VISIT)
    assert (
        snapshot.assessment["items"]["brakes.pads"]["facts"]["pad.front-left"]["value"] == "0.1875"
    )
    assert asked(typed) == []


def test_the_unit_that_was_typed_may_have_been_meant(typed: Workshop) -> None:
    (form,) = asked(typed)
    typed.client.post(DOUBT, data=form | {"meaning": "0"})
    meant = {"typed": ".1875", "unit": "mm", "read": "0.1875", "sure": True}
    assert values(typed) == [meant, meant]
    # 0.19 mm of pad is dangerous by this checklist
    assert typed.snapshot(VISIT).assessment["items"]["brakes.pads"]["grade"] == "dangerous"


@pytest.mark.parametrize(
    "wrong", [{"meaning": "2"}, {"meaning": "-1"}, {"meaning": "x"}, {"path": "brakes.pads/x"}]
)
def test_what_is_no_answer_settles_nothing(typed: Workshop, wrong: dict[str, str]) -> None:
    (form,) = asked(typed)
    answer = typed.client.post(DOUBT, data=form | {"meaning": "0"} | wrong)
    assert answer.status_code == 409
    assert "changed since this page was made" in answer.text
    assert values(typed) == [TYPED, TYPED]


def test_a_page_older_than_the_reading_settles_nothing(typed: Workshop) -> None:
    (form,) = asked(typed)
    typed.write([(PAD + "front-right", {"typed": ".25", "unit": "mm"})])
    assert typed.client.post(DOUBT, data=form | {"meaning": "1"}).status_code == 409
    assert values(typed)[0] == TYPED


def test_where_two_people_disagree_that_is_settled_first(typed: Workshop) -> None:
    cells = typed.snapshot(VISIT).cells
    typed.write([(PAD + "front-left", {"typed": ".2", "unit": "mm"})], device=OTHER_PHONE)
    assert cells[PAD + "front-left"]["at"].endswith(PHONE)
    page = typed.client.get(PAGE).text
    assert "Your answer goes for all" not in page
    assert len(asked(typed)) == 1


def test_the_question_is_put_in_the_readers_language(typed: Workshop) -> None:
    with reading_as(Reader(catalogue.PSEUDO)):
        page = typed.client.get(PAGE).text
    assert marked("One reading could mean two things") in page
    assert marked("Pad thickness") in page
