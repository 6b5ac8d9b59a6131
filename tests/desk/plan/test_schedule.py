"""The list of jobs: rearranged and pinned, two lines where a budget ends, jobs that are put off."""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.schedule import next_jobs
from bradawl.desk.model.plan.types import Plan
from tests.desk.browse import form
from tests.desk.conftest import VISIT, Workshop
from tests.desk.plan.test_plan import MEND, ORDER, faults

__all__ = ["faults"]

PADS = "brakes.pads/pads"
WISH = "wants/wish-1"


@pytest.fixture
def jobs(faults: Workshop) -> Workshop:
    """Pads (danger; parts 45, 1.1 hours), plug (15 or 17, 1.1 hours), and a wish of 100."""
    wish = {"title": "Paint", "parts": [100] * 3, "hours": ["2"] * 3, "loss": 0, "class": "looks"}
    faults.write([(f"plan/{WISH}", wish)])
    return faults


def plan(workshop: Workshop) -> Plan:
    return plan_of(workshop.snapshot(VISIT))


def order(workshop: Workshop) -> list[str]:
    return [job.id for job in plan(workshop).schedule.open]


def press(workshop: Workshop, move: str) -> None:
    page = f"{ORDER}/place"
    answer = workshop.client.post(page, data={"move": move}, follow_redirects=False)
    assert answer.status_code == 303


def put_off(workshop: Workshop, **data: str) -> Any:
    return workshop.client.post(f"{ORDER}/hold", data={"job": MEND, "what": "Taped", **data})


def test_a_button_moves_a_job_and_its_pin_stays(jobs: Workshop) -> None:
    assert order(jobs) == [PADS, MEND, WISH]
    press(jobs, f"earlier {WISH}")
    assert order(jobs) == [PADS, WISH, MEND]
    jobs.write([("plan/remedies/rust.sill/own-1", {"title": "Weld", "parts": [9, 9, 9]})])
    assert order(jobs)[1] == WISH, "the rest is put in order around it"
    press(jobs, f"free {WISH}")
    assert order(jobs)[-1] == WISH
    press(jobs, f"to 1 {WISH}")
    press(jobs, f"earlier {PADS}")  # who was pinned there takes the place that was left
    assert order(jobs)[:2] == [PADS, WISH]
    assert jobs.client.post(f"{ORDER}/place", data={"move": "earlier none"}).status_code == 409


def test_a_line_stands_where_each_budget_ends(jobs: Workshop) -> None:
    jobs.write([("plan/periods", [{"name": "May", "budget": 60}]), ("brief/labor_paid", None)])
    sheet = form(jobs.client.get(ORDER).text, ORDER) | {"weekend": "1.5"}
    jobs.client.post(ORDER, data=sheet)
    schedule = plan(jobs).schedule
    # parts alone: (20 + 4x40 + 90) / 6 = 45, (10 + 4x15 + 30) / 6 = 17, 100
    assert [job.paid for job in schedule.open] == [45, 17, 100]
    assert schedule.money_ends == 1
    assert schedule.hours_end == 1  # 1.1 hours, and 1.1 more
    page = jobs.client.get(ORDER).text
    assert "The money of May ends here." in page
    assert "This weekend&#39;s hours end here." in page
    for typed, said in (("x", "hours"), ("99", "72 at most")):
        answer = jobs.client.post(ORDER, data=sheet | {"weekend": typed})
        assert (answer.status_code, said in answer.text) == (422, True)


def test_smaller_jobs_are_done_while_a_large_one_is_saved_for(jobs: Workshop) -> None:
    """By hand: pads 400, a mend of 17, a wish of 100. 300 a month pay the pads in the second."""
    pads = {"title": "Pads", "parts": [400] * 3, "hours": ["5"] * 3}
    jobs.write([
        ("brief/labor_paid", None),
        ("plan/remedies/brakes.pads/pads", pads),
        ("plan/periods", [{"name": "May", "budget": 300}, {"name": "June", "budget": 300}]),
    ])  # fmt: skip
    found = plan(jobs)
    assert found.spread["period"] == {PADS: 1, MEND: 0, WISH: 0}
    assert (found.schedule.money_ends, found.schedule.this_month) == (0, {MEND, WISH})
    page = jobs.client.get(ORDER).text
    assert "The money of May ends here. Below it these still fit: " in page
    assert "“Pads” is saved for first." in page
    # 700 never come together in two months: the others are done all the same, and it says so
    jobs.write([("plan/remedies/brakes.pads/pads", {**pads, "parts": [700] * 3})])
    found = plan(jobs)
    assert (found.spread["left"], found.spread["period"]) == ([PADS], {MEND: 0, WISH: 0})
    page = jobs.client.get(ORDER).text
    assert "“Pads” takes more than these months have." in page
    assert "Without them €120 more would be there for it." in page  # 17 and 100, rounded
    # three hours a weekend are 26 in two months; of 11 weekends for 31 hours two hours are spare
    jobs.write([
        ("plan/remedies/brakes.pads/pads", {**pads, "parts": [10] * 3, "hours": ["31"] * 3}),
        ("plan/weekend_hours", "3"),
    ])  # fmt: skip
    found = plan(jobs)
    assert found.spread["left"] == [PADS]
    assert found.schedule.this_weekend == {MEND}
    page = jobs.client.get(ORDER).text
    assert "have the hours for 1 job" in page


def test_a_job_leads_to_its_findings_and_its_place_shows_their_photos(jobs: Workshop) -> None:
    photo = "items/brakes.pads/photos/" + "a" * 64
    jobs.write([(photo, {"caption": "Worn", "bytes": 9})])
    page = jobs.client.get(ORDER).text
    work = f"/desk/visits/{VISIT}/work"
    assert f'<a href="{work}#log-brakes-pads-pads">' in page
    assert f'<a href="/desk/visits/{VISIT}#item-brakes-pads">' in page
    log = jobs.client.get(work).text
    job = log.partition('id="log-brakes-pads-pads"')[2].partition("</details>")[0]
    assert f'<a href="/desk/visits/{VISIT}#item-brakes-pads">' in job
    assert "Worn" in job
    assert 'id="item-brakes-pads"' in jobs.client.get(f"/desk/visits/{VISIT}").text


def test_the_next_jobs_say_what_they_wait_for(jobs: Workshop) -> None:
    line = {"job": PADS, "what": "Pad set", "state": "ordered", "due_on": "2026-12-05"}
    jobs.write([(f"parts/0a/{column}", value) for column, value in line.items()])
    jobs.write([("plan/after/electrical.pigtails", ["brakes.pads"])])
    first, second, _ = next_jobs(jobs.snapshot(VISIT), plan(jobs))
    assert [part["what"] for part in first["parts"]] == ["Pad set"]
    assert second["jobs"] == ["Replace the pads"]
    assert "Part on order: Pad set, due" in jobs.client.get(ORDER).text


def test_a_temporary_fix_leaves_the_list_and_comes_back_when_it_is_due(jobs: Workshop) -> None:
    assert put_off(jobs, kind="temporary").status_code == 422  # good until when?
    assert put_off(jobs, kind="temporary", what="").status_code == 422
    put_off(jobs, kind="temporary", until="2026-12-24", ends="New plug")
    assert order(jobs) == [PADS, WISH]
    assert "Temporary fix: Taped." in jobs.client.get(ORDER).text
    assert "electrical.pigtails" not in plan(jobs).schedule.found["order"]
    assert [fault.closed for fault in plan(jobs).findings] == [False] * 3, "nothing is mended"
    jobs.today = "2026-12-24"
    assert MEND in order(jobs)
    assert "The temporary fix is due: Taped" in jobs.client.get(ORDER).text


def test_miles_end_a_temporary_fix_too(jobs: Workshop) -> None:
    put_off(jobs, kind="temporary", odometer="80,000", **{"odometer-unit": "mi"})
    jobs.write([("car/odometer", {"typed": "79999", "unit": "mi"})])
    assert MEND not in order(jobs)
    done = {"title": "Wash", "odometer": {"typed": "128748", "unit": "km"}}  # 80,000.3 mi
    jobs.write([("work/wants/wash/done", done)])
    assert MEND in order(jobs)


def test_left_for_later_says_why_and_whether_a_buyer_is_told(jobs: Workshop) -> None:
    put_off(jobs, kind="left", what="No money", ends="A leak", told="1")
    page = jobs.client.get(ORDER).text
    assert "Left for later: No money. Comes back if: A leak. A buyer is told." in page
    assert MEND not in order(jobs)
    jobs.client.post(f"{ORDER}/hold", data={"job": MEND, "back": "1"})
    assert MEND in order(jobs)
    assert jobs.client.post(f"{ORDER}/hold", data={"job": "none"}).status_code == 409
