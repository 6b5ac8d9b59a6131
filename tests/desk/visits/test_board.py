"""The board: where each car stands in its life, what is next, and its photos before and after.

No source: what is asserted is what the page promises.
"""

from __future__ import annotations

import re

from fastapi.testclient import TestClient

from bradawl.desk.model.visits import board
from tests.desk.conftest import VISIT, Workshop
from tests.desk.plan.test_work_log import a_photo

CAR = f"/desk/visits/{VISIT}"
OTHER = "b" * 32


def groups(page: str) -> dict[str, list[str]]:
    """The cars by the state they stand under."""
    parts = re.split(r'<h2 id="state-([a-z_]+)">', page)[1:]
    return {
        state: re.findall(r'id="car-([0-9a-f]{32})"', body)
        for state, body in zip(parts[::2], parts[1::2], strict=True)
    }


def test_a_car_moves_from_state_to_state_with_date_and_price(workshop: Workshop) -> None:
    workshop.begin()
    workshop.begin(OTHER)
    client = workshop.client
    page = client.get("/desk/board").text
    assert groups(page) == {"looking": [OTHER, VISIT]}
    refused = client.post(f"{CAR}/state", data={"state": "bought"})
    assert refused.status_code == 422
    assert "Enter the price it was bought or sold for." in refused.text
    sent = {"state": "bought", "price": "$3,200.50", "date": "11/20/2026"}
    moved = client.post(f"{CAR}/state", data=sent, follow_redirects=False)
    assert moved.headers["location"] == f"/desk/board#car-{VISIT}"
    assert workshop.snapshot(VISIT).cells["life/state"]["value"] == {
        "state": "bought",
        "date": "2026-11-20",
        "price_cents": 320_050,
    }
    page = client.get("/desk/board").text
    assert groups(page) == {"looking": [OTHER], "bought": [VISIT]}
    assert "3,200.50" in page
    client.post(f"{CAR}/state", data={"state": "waiting"})
    assert groups(client.get("/desk/board").text)["waiting"] == [VISIT]
    late = client.post(f"{CAR}/state", data={"state": "on_road", "date": "2099-01-01"})
    assert late.status_code == 422
    history = client.get(f"{CAR}/history").text
    assert "Bought, €3,200.50" in history  # what was before stays readable


def test_danger_jobs_and_parts_stand_on_the_board_and_mended_is_no_danger(
    workshop: Workshop,
) -> None:
    workshop.real = True
    workshop.begin()
    workshop.write(
        [
            ("items/brakes.pads/grade", {"grade": "dangerous"}),
            ("items/electrical.pigtails/grade", {"grade": "major"}),
            ("life/state", {"state": "in_shop", "date": "2026-11-24"}),
            ("parts/0a1b2c3d4e5f/what", "Pad set"),
            ("parts/0a1b2c3d4e5f/state", "ordered"),
            ("parts/1a1b2c3d4e5f/what", "Hose"),
            ("parts/1a1b2c3d4e5f/state", "fitted"),
        ]
    )
    line = board.board_line(workshop.snapshot(VISIT))
    assert (line.danger, line.parts) == (1, ("Pad set",))
    assert "Replace the pads" in line.next_jobs
    page = workshop.client.get("/desk/board").text
    assert "Waiting for 1 part:" in page
    assert "Replace the pads" in page
    workshop.write(
        [
            (f"work/brakes.pads/pads/photos/{'1' * 64}", {"caption": "Pads"}),
            ("work/brakes.pads/pads/after/brakes.pads/grade", {"grade": "none"}),
        ]
    )
    line = board.board_line(workshop.snapshot(VISIT))
    assert line.danger == 0
    assert "Replace the pads" not in line.next_jobs


def test_a_state_that_nobody_knows_is_one_of_looking(workshop: Workshop) -> None:
    workshop.begin()
    for value in ("sold", 7, {"state": "flying", "price_cents": "x", "date": 9}, None):
        workshop.write([("life/state", value)])
        assert groups(workshop.client.get("/desk/board").text) == {"looking": [VISIT]}


def test_of_many_that_nobody_bought_the_newest_stand_there(workshop: Workshop) -> None:
    for n in range(20):
        workshop.write([("car/make", "Testa")], visit=f"{n:032x}")
    client = TestClient(workshop.site())
    while "still being read" in (page := client.get("/desk/board").text):
        pass
    assert groups(page)["looking"] == [f"{n:032x}" for n in range(19, 7, -1)]
    assert "8 more in the list of cars" in page


def test_photos_of_a_job_stand_beside_those_of_what_it_mended(workshop: Workshop) -> None:
    workshop.begin()
    before, after, else_ = (workshop.photo(a_photo(n)) for n in range(3))
    workshop.write(
        [
            ("items/trim.seats/grade", {"grade": "minor"}),
            (f"items/trim.seats/photos/{before}", {"caption": "Torn"}),
            ("items/rust.sill/grade", {"grade": "minor"}),
            (f"items/rust.sill/photos/{else_}", {"caption": "Sill"}),
            (
                "work/trim.seats/own-1/done",
                {"title": "Sewn", "date": "2026-11-24", "by": "Ada", "items": ["trim.seats"]},
            ),
            (f"work/trim.seats/own-1/photos/{after}", {"caption": "Whole again"}),
        ]
    )
    page = workshop.client.get(f"{CAR}/photos").text
    pair = page.partition('class="wall-pair"')[2].partition("</section>")[0]
    assert pair.index(before) < pair.index("After") < pair.index(after)
    assert else_ not in pair
    assert else_ in page


def test_what_was_spent_stands_on_the_board(workshop: Workshop) -> None:
    """By hand: 120.50 and 30.00 paid are 150.50."""
    workshop.real = True
    workshop.begin()
    paid = {"date": "2026-11-24", "kind": "part", "what": "Pads"}
    workshop.write(
        [
            ("life/state", {"state": "bought", "date": "2026-11-20", "price_cents": 320_000}),
            ("ledger/0a1b2c3d4e5f", {**paid, "amount_cents": 12_050}),
            ("ledger/1a1b2c3d4e5f", {**paid, "amount_cents": 3_000}),
        ]
    )
    page = workshop.client.get("/desk/board").text
    assert "Spent" in page
    assert "€150.50" in page


def test_a_car_s_state_is_changed_in_one_place_and_its_money_leads_there(
    workshop: Workshop,
) -> None:
    workshop.begin()
    money = workshop.client.get(f"{CAR}/money").text
    assert 'name="state"' not in money
    assert f'href="{CAR}/state"' in money
    workshop.client.post(f"{CAR}/state", data={"state": "bought", "price": "3,200"})
    workshop.client.post(f"{CAR}/state", data={"state": "waiting"})
    page = workshop.client.get(f"{CAR}/state").text
    steps = page.partition('<ul class="plain">')[2].partition("</ul>")[0]
    assert [word in steps for word in ("Bought", "3,200", "Waiting")] == [True, True, True]
    assert steps.index("Waiting") < steps.index("Bought")
