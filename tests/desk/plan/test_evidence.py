"""What has no receipt is due and becomes work; a receipt that can be shown takes it out again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from fastapi.testclient import TestClient

from bradawl.desk.model.plan.build import plan_of
from bradawl.inspection.snapshot import Snapshot
from tests.desk.browse import form
from tests.desk.conftest import VISIT, Workshop
from tests.desk.plan.test_work_log import a_photo
from tests.judge.saying import unsaid

PAGE = f"/desk/visits/{VISIT}/baseline"
ITEM = "trim.seats"  # stands in for a maintenance item of the artificial checklist


def serviced(gather: Callable[[str], Snapshot]) -> Callable[[str], Snapshot]:
    """Snapshots with a maintenance list such as the judge makes it."""

    def snapshot(visit: str) -> Snapshot:
        gathered = gather(visit)
        proven = gathered.cells.get(f"items/{ITEM}/choice", {}).get("value") == "documented"
        row: dict[str, Any] = {
            "id": "oil",
            "title": "Engine oil",
            "item": ITEM,
            "evidence": "documented" if proven else "claimed",
            "due": not proven,
            "said": unsaid("It was claimed."),
            "source": "assumption",
            "parts": [30, 50, 90],
            "hours": ["1", "1", "1"],
            "also": [],
            "done_by": [],
            "does": [],
        }
        return replace(gathered, assessment={**gathered.assessment, "baseline": [row]})

    return snapshot


@pytest.fixture
def client(workshop: Workshop) -> TestClient:
    workshop.begin()
    workshop.write([("brief/hourly_rate", 20)])
    workshop.snapshot = serviced(workshop.snapshot)  # type: ignore[method-assign]
    return TestClient(workshop.site())


def test_what_is_due_becomes_a_job_unless_it_is_left_out(
    workshop: Workshop, client: TestClient
) -> None:
    (job,) = plan_of(workshop.snapshot(VISIT)).jobs
    # (50 + 4 × 70 + 110) / 6 = 73
    assert (job.id, job.need, job.expected) == ("baseline/oil", True, 73)
    page = form(client.get(PAGE).text, PAGE)
    assert page["take:oil"] == "1"
    client.post(PAGE, data={})
    assert plan_of(workshop.snapshot(VISIT)).jobs == []
    client.post(PAGE, data=page)
    assert len(plan_of(workshop.snapshot(VISIT)).jobs) == 1


def test_what_a_chosen_remedy_does_as_well_is_no_second_job(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write([("items/brakes.pads/grade", {"grade": "major"})])
    plain = serviced(workshop.snapshot)(VISIT)
    (remedy,) = (job.id for job in plan_of(plain).jobs if job.id != "baseline/oil")
    (row,) = plain.assessment["baseline"]
    for does, both in (([remedy], False), (["trim.seats/other"], True)):
        assessment = {**plain.assessment, "baseline": [{**row, "done_by": does}]}
        ids = [job.id for job in plan_of(replace(plain, assessment=assessment)).jobs]
        assert ("baseline/oil" in ids) is both


def test_maintenance_that_puts_a_finding_right_is_one_job_and_paid_once(
    workshop: Workshop,
) -> None:
    workshop.begin()
    workshop.write(
        [
            ("brief/hourly_rate", 20),
            ("items/brakes.pads/grade", {"grade": "major"}),
            ("plan/after/brakes.pads", []),
        ]
    )
    plain = serviced(workshop.snapshot)(VISIT)
    (row,) = plain.assessment["baseline"]
    assessment = {**plain.assessment, "baseline": [{**row, "also": ["brakes.pads"]}]}
    plan = plan_of(replace(plain, assessment=assessment))
    # due anyway, the service costs 73 and mends the pads too; their own remedy would be 73 more
    assert [(job.id, job.items, job.grade) for job in plan.jobs] == [
        ("baseline/oil", ["brakes.pads"], "major")
    ]
    assert plan.total()["expected"] == 73
    assert plan.steps[0]["barred"] == {}
    apart = {**plain.assessment, "baseline": [row]}
    assert len(plan_of(replace(plain, assessment=apart)).jobs) == 2
    # left out of the plan, it mends nothing
    workshop.write([("plan/baseline/oil", False)])
    again = serviced(workshop.snapshot)(VISIT)
    left_out = replace(again, assessment=assessment)
    assert [job.id for job in plan_of(left_out).jobs] == ["brakes.pads/pads"]


def test_a_receipt_with_its_photo_makes_it_documented(
    workshop: Workshop, client: TestClient
) -> None:
    answer = client.post(
        f"{PAGE}/receipt",
        data={"row": "oil", "done_on": "2026-05-02", "done_at": "180 000", "caption": "Receipt"},
        files={"photo": ("receipt.jpg", a_photo())},
        follow_redirects=False,
    )
    assert answer.status_code == 303
    cells = workshop.snapshot(VISIT).cells
    assert cells[f"items/{ITEM}/choice"]["value"] == "documented"
    assert cells[f"items/{ITEM}/readings/done_on/one"]["value"]["typed"] == "2026-05-02"
    assert cells[f"items/{ITEM}/readings/done_at/one"]["value"] == {
        "typed": "180 000",
        "unit": "km",
    }
    assert plan_of(workshop.snapshot(VISIT)).jobs == []
    assert "not due" in client.get(PAGE).text


def test_a_receipt_that_cannot_be_shown_proves_nothing(
    workshop: Workshop, client: TestClient
) -> None:
    page = client.post(f"{PAGE}/receipt", data={"row": "oil", "done_on": "2026-05-02"})
    assert page.status_code == 422
    assert "add its photo" in page.text
    assert f"items/{ITEM}/choice" not in workshop.snapshot(VISIT).cells
    page = client.post(
        f"{PAGE}/receipt",
        data={"row": "oil", "done_on": "last spring"},
        files={"photo": ("receipt.jpg", a_photo())},
    )
    assert "isn&#39;t a date. Enter it like Nov 25, 2026" in page.text


def test_a_receipts_date_is_typed_as_an_american_writes_it_or_picked(
    workshop: Workshop, client: TestClient
) -> None:
    def recorded(**fields: str) -> object:
        answer = client.post(
            f"{PAGE}/receipt",
            data={"row": "oil", **fields},
            files={"photo": ("receipt.jpg", a_photo())},
            follow_redirects=False,
        )
        assert answer.status_code == 303, answer.text
        return workshop.snapshot(VISIT).cells[f"items/{ITEM}/readings/done_on/one"]["value"]

    assert recorded(done_on="11/5/2025") == {"typed": "2025-11-05", "unit": ""}
    assert recorded(done_on="Jun 2024") == {"typed": "2024-06", "unit": ""}
    picked = {"done_on": "Jun 2024", "done_on-picked": "2025-06-15"}
    assert recorded(**picked) == {"typed": "2025-06-15", "unit": ""}


def test_a_service_noted_in_the_work_log_is_no_longer_due(
    workshop: Workshop, client: TestClient
) -> None:
    work = f"/desk/visits/{VISIT}/work"
    client.post(work, data=form(client.get(work).text, work) | {"by": "Ada"})
    assert plan_of(workshop.snapshot(VISIT)).jobs == []
    assert "done Nov 25, 2026" in client.get(PAGE).text
