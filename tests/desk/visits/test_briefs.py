"""The brief is recorded in the visit, and can be used for several candidates."""

from __future__ import annotations

from bradawl.desk.model.plan.build import plan_of
from tests.desk.browse import form
from tests.desk.conftest import VISIT, Workshop

BRIEF = f"/desk/visits/{VISIT}/brief"
OTHER = "b" * 32


def test_the_brief_becomes_events_and_is_shown_again(workshop: Workshop) -> None:
    workshop.begin()
    sheet = form(workshop.client.get(BRIEF).text, BRIEF) | {
        "use-everyday": "1",
        "budget": "4 000",
        "deadline": "2027-04-01",
        "hourly_rate": "55",
        "originality": "200 %",
    }
    workshop.client.post(BRIEF, data=sheet)
    cells = workshop.snapshot(VISIT).cells
    assert cells["brief/uses"]["value"] == ["everyday"]
    assert cells["brief/budget"]["value"] == 4000
    assert cells["brief/deadline"]["value"] == "2027-04-01"
    again = form(workshop.client.get(BRIEF).text, BRIEF)
    assert again["budget"] == "4000"
    events = len(workshop.log.events_of(VISIT))
    workshop.client.post(BRIEF, data=again)
    assert len(workshop.log.events_of(VISIT)) == events


def test_a_wrong_date_is_named_and_nothing_is_recorded(workshop: Workshop) -> None:
    workshop.begin()
    sheet = form(workshop.client.get(BRIEF).text, BRIEF)
    page = workshop.client.post(BRIEF, data=sheet | {"deadline": "in May", "budget": "700"})
    assert page.status_code == 422
    assert "a date. Enter it like" in page.text
    assert 'value="700"' in page.text
    assert "brief/budget" not in workshop.snapshot(VISIT).cells


def test_the_same_brief_for_another_car_keeps_what_that_car_meets(workshop: Workshop) -> None:
    workshop.begin()
    workshop.begin(OTHER)
    bar = [("wants/0a/words", "Tow bar"), ("wants/0a/must", 1)]
    workshop.write([*bar, ("wants/0a/so", True)])
    workshop.write([*bar, ("wants/0a/so", False), ("brief/value_good", 9000)], visit=OTHER)
    workshop.write([("wants/0b/words", "Red"), ("wants/0b/must", 2)], visit=OTHER)
    sheet = form(workshop.client.get(BRIEF).text, BRIEF) | {
        "budget": "4000",
        "value_good": "5000",
        "also": [OTHER],
    }
    workshop.client.post(BRIEF, data=sheet)
    workshop.real = True
    other = workshop.snapshot(OTHER)
    assert other.cells["brief/budget"]["value"] == 4000
    assert other.cells["brief/value_good"]["value"] == 9000
    (want,) = other.assessment["wants"]
    assert (want["title"], want["standing"]) == ("Tow bar", "against")


def test_originality_counts_as_much_as_the_brief_says(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write(
        [
            ("brief/hourly_rate", 0),
            ("items/electrical.pigtails/grade", {"grade": "major"}),
            (
                "plan/remedies/electrical.pigtails/harness",
                {"parts": [10, 10, 10], "hours": ["0", "0", "0"], "loss": 40},
            ),
        ]
    )
    # the plug costs (10 + 60 + 30) / 6 = 17, the harness 10 and 40 for what is lost
    assert plan_of(workshop.snapshot(VISIT)).chosen == ["electrical.pigtails/mend"]
    workshop.write([("brief/originality", 0)])
    plan = plan_of(workshop.snapshot(VISIT))
    assert plan.chosen == ["electrical.pigtails/harness"]
    assert plan.remedies["electrical.pigtails/harness"].cost == [10, 10, 10]


def test_two_people_change_two_fields_of_a_brief_and_both_stand(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write([("brief/budget", 4000), ("brief/margin", 300), ("brief/uses", ["everyday"])])
    first = form(workshop.client.get(BRIEF).text, BRIEF)
    second = dict(first)
    workshop.client.post(BRIEF, data=first | {"budget": "9,999"})
    workshop.client.post(BRIEF, data=second | {"margin": "500"})
    cells = workshop.snapshot(VISIT).cells
    assert cells["brief/budget"]["value"] == 9999
    assert cells["brief/margin"]["value"] == 500
    assert "brief/originality" not in cells  # nobody said


def test_a_field_that_two_people_changed_is_asked_about(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write([("brief/budget", 4000), ("brief/margin", 300)])
    first = form(workshop.client.get(BRIEF).text, BRIEF)
    workshop.client.post(BRIEF, data=first | {"budget": "9,999", "margin": "700"})
    refused = workshop.client.post(BRIEF, data=first | {"budget": "5,000"})
    assert refused.status_code == 422
    assert "somebody else changed this" in refused.text
    assert workshop.snapshot(VISIT).cells["brief/budget"]["value"] == 9999
    # what comes back keeps mine, and once it is sent again overwrites nothing else
    again = form(refused.text, BRIEF)
    assert again["budget"] == "5,000"
    workshop.client.post(BRIEF, data=again)
    cells = workshop.snapshot(VISIT).cells
    assert cells["brief/budget"]["value"] == 5000
    assert cells["brief/margin"]["value"] == 700
