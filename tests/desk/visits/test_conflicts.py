"""A conflict is settled by a person, and the settlement is an event like any other."""

from __future__ import annotations

from bradawl.judge import graded
from tests.desk.conftest import DESK, OTHER_PHONE, PHONE, VISIT, Workshop

PATH = "items/rust.sill/grade"


def quarrel(workshop: Workshop) -> tuple[str, str]:
    """Two phones grade the sill without seeing each other; the ids of both."""
    workshop.begin()
    (first,) = workshop.write([(PATH, {"grade": "minor"})], device=PHONE)
    (second,) = workshop.write([(PATH, {"grade": "major"})], device=OTHER_PHONE)
    return first, second


def test_keeping_the_earlier_value_is_an_event_over_both(workshop: Workshop) -> None:
    first, second = quarrel(workshop)
    answer = workshop.client.post(
        f"/desk/visits/{VISIT}/settle",
        data={"path": PATH, "at": first[:54], "why": "Looked again."},
        follow_redirects=False,
    )
    assert answer.status_code == 303
    event = workshop.log.events_of(VISIT)[-1]
    assert workshop.log.stands_for(event["device"]) == DESK
    assert event["put"] == PATH
    assert event["value"] == {"grade": "minor"}
    assert event["over"] == sorted([first, second])
    cell = workshop.snapshot(VISIT).cells[PATH]
    assert (cell["value"], cell["others"]) == ({"grade": "minor"}, [])
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    assert 'id="conflicts"' not in page
    assert "1 conflict settled" in page


def test_a_page_older_than_the_record_settles_nothing(workshop: Workshop) -> None:
    first, second = quarrel(workshop)
    workshop.client.post(
        f"/desk/visits/{VISIT}/settle",
        data={"path": PATH, "at": second[:54], "why": "Looked again."},
    )
    events = len(workshop.log.events_of(VISIT))
    again = workshop.client.post(
        f"/desk/visits/{VISIT}/settle",
        data={"path": PATH, "at": first[:54], "why": "Looked again."},
    )
    assert again.status_code == 409
    assert "Somebody already settled" in again.text
    assert len(workshop.log.events_of(VISIT)) == events


def test_a_value_that_nobody_wrote_cannot_be_chosen(workshop: Workshop) -> None:
    quarrel(workshop)
    answer = workshop.client.post(
        f"/desk/visits/{VISIT}/settle",
        data={"path": PATH, "at": "0" * 15 + "-00000-" + "9" * 32, "why": "Looked again."},
    )
    assert answer.status_code == 409
    assert workshop.snapshot(VISIT).cells[PATH]["others"]


def test_a_settled_grade_takes_the_reason_of_who_gave_it_along(workshop: Workshop) -> None:
    """A reason that is older than the grade that stands is none (judge/grading/items.py)."""
    why = "items/rust.sill/why"
    workshop.begin()
    grade, _ = workshop.write([(PATH, {"grade": "minor"}), (why, "only the outer skin")])
    workshop.write([(PATH, {"grade": "major"})], device=OTHER_PHONE)
    workshop.client.post(
        f"/desk/visits/{VISIT}/settle",
        data={"path": PATH, "at": grade[:54], "why": "Looked again."},
    )
    assert graded("rust.sill", workshop.snapshot(VISIT).cells) == ("minor", "only the outer skin")


def test_a_settled_grade_without_a_reason_does_not_keep_anothers(workshop: Workshop) -> None:
    why = "items/rust.sill/why"
    workshop.begin()
    workshop.write([(PATH, {"grade": "minor"}), (why, "only the outer skin")])
    (grade,) = workshop.write([(PATH, {"grade": "major"})], device=OTHER_PHONE)
    workshop.client.post(
        f"/desk/visits/{VISIT}/settle",
        data={"path": PATH, "at": grade[:54], "why": "Looked again."},
    )
    cells = workshop.snapshot(VISIT).cells
    assert graded("rust.sill", cells) == ("major", "")
    assert cells[why]["value"] is None
