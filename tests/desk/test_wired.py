"""The desk inside the whole server: real checklist, real judge, real headers and limits."""

from __future__ import annotations

import io
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from bradawl.common import settings
from bradawl.desk.model.plan.build import plan_of
from bradawl.serving.app import create_app
from tests.desk.browse import form
from tests.desk.conftest import PHONE
from tests.desk.whole_server import browser_of, whole_server
from tests.fresh import furnished

VISIT = "c" * 32
CAR = f"/desk/visits/{VISIT}"
SILL = "rust.sills"
PADS = "brakes.front-pads"


@pytest.fixture(scope="module")
def core(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with whole_server(tmp_path_factory.mktemp("data")) as core:
        core.log.append(
            PHONE,
            VISIT,
            [
                ("about/bundle", core.checklists.hash),
                ("about/started", {"date": "2026-11-25", "time": "09:20", "zone": "+01:00"}),
                ("about/currency", "EUR"),
                ("about/asking_price", 2400),
                ("brief/value_good", 9000),
                ("car/make", "Testmobil"),
                (f"items/{PADS}/readings/pad/front-left", {"typed": "0.5", "unit": "mm"}),
                (f"items/{PADS}/readings/pad/front-right", {"typed": "6", "unit": "mm"}),
                (f"items/{SILL}/grade", {"grade": "major"}),
            ],
        )
        yield core


@pytest.fixture
def client(core: Any) -> TestClient:
    # local mode: this machine needs no sign-in until a passphrase is set
    return browser_of(core, follow=True)


def test_every_page_of_a_car_is_served_under_the_strict_policy(client: TestClient) -> None:
    for name in (
        "",
        "/brief",
        "/profile",
        "/baseline",
        "/plan",
        "/tip-over",
        "/order",
        "/work",
        "/trouble",
        "/trouble/rich",
        "/exports",
    ):
        page = client.get(CAR + name)
        assert page.status_code == 200, name
        assert "Testmobil" in page.text
        policy = page.headers["content-security-policy"]
        assert "unsafe-inline" not in policy
        assert "style=" not in page.text


def test_the_reading_makes_the_finding_and_the_plan_its_remedy(
    client: TestClient, core: Any
) -> None:
    # 49 CFR 570.5 (g): at least 1/32 in (0.79 mm) of lining; 0.5 mm is below it
    plan = plan_of(core.snapshot(VISIT))
    assert [finding.item for finding in plan.findings if finding.grade == "dangerous"] == [PADS]
    assert any(job.items == [PADS] and job.job_class == "danger" for job in plan.jobs)
    assert plan.jobs[0].grade == "dangerous"
    assert plan.before["road"] == "off"


def test_a_sheet_larger_than_a_small_form_is_taken(client: TestClient) -> None:
    sheet = form(client.get(f"{CAR}/plan").text, f"{CAR}/plan")
    sheet["padding"] = "x" * 200_000
    assert client.post(f"{CAR}/plan", data=sheet, follow_redirects=False).status_code == 303


def test_work_with_a_photo_of_megabytes_closes_the_finding_by_the_judge_s_word(
    client: TestClient, core: Any
) -> None:
    work = f"{CAR}/work"
    job = next(job.id for job in plan_of(core.snapshot(VISIT)).jobs if job.items == [PADS])
    picture = io.BytesIO()
    Image.frombytes("RGB", (900, 700), os.urandom(900 * 700 * 3)).save(picture, "PNG")
    assert len(picture.getvalue()) > 1_500_000
    data = {
        "job": job,
        "date": "2026-11-25",
        "by": "Ada",
        f"{PADS}/readings/pad/front-left": "0.6",
        f"{PADS}/readings/pad/front-left:unit": "mm",
        f"{PADS}/readings/pad/front-right": "11",
        f"{PADS}/readings/pad/front-right:unit": "mm",
        f"{PADS}/grade": "none",
    }
    refused = client.post(work, data=data)
    assert refused.status_code == 422
    assert "fixed: the new reading says" in refused.text
    data[f"{PADS}/readings/pad/front-left"] = "11"
    answer = client.post(
        work,
        data=data,
        files={"photo": ("pads.png", picture.getvalue())},
        follow_redirects=False,
    )
    assert answer.status_code == 303, answer.text
    plan = plan_of(core.snapshot(VISIT))
    assert [finding.closed for finding in plan.findings if finding.item == PADS] == [True]
    # the inspection still says what was found that day
    assert core.snapshot(VISIT).assessment["items"][PADS]["grade"] == "dangerous"


def test_a_write_from_another_site_is_refused(core: Any) -> None:
    stranger = TestClient(
        core.app,
        base_url="http://localhost",
        headers={"Origin": "http://elsewhere.example"},
        client=("127.0.0.1", 50_000),
    )
    events = len(core.log.events_of(VISIT))
    answer = stranger.post(f"{CAR}/brief", data={"budget": "1"})
    assert answer.status_code == 403
    assert len(core.log.events_of(VISIT)) == events


def test_on_a_network_nobody_sees_the_desk_without_signing_in(tmp_path: Path) -> None:
    app = create_app(settings.at(furnished(tmp_path)).with_mode("proxy", "127.0.0.1", 8477))
    client = TestClient(app, base_url="http://localhost", follow_redirects=False)
    for path in ("/desk/", "/desk/compare", "/desk/checklists", CAR, f"{CAR}/plan", "/desk/import"):
        answer = client.get(path)
        assert answer.status_code in (302, 303), path
        assert "/desk/sign-in" in answer.headers["location"]
    assert client.get("/desk/static/desk.css").status_code == 200
    app.state.core.log.close()
