"""One car by the keyboard alone, from the brief to the last job of the plan, as a new user would.

No mouse, no script of the test's own but to read what has the focus.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page

from bradawl.desk.model.plan.build import plan_of
from tests.browsing import launched, opened
from tests.desk.conftest import VISIT, Workshop
from tests.desk.plan.test_work_log import a_photo
from tests.desk.served import served

# one browser at a time
pytestmark = pytest.mark.xdist_group("desk-browser")

FOCUS = """() => {
  const one = document.activeElement;
  const label = one.labels && one.labels[0] ? one.labels[0].textContent : "";
  return (one.getAttribute("aria-label") || label || one.textContent || "").trim();
}"""


class Hands:
    """A person at the keyboard."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def to(self, name: str, *, nth: int = 0) -> None:
        """Tab on until something whose name begins so has the focus."""
        for _ in range(400):
            self.page.keyboard.press("Tab")
            if self.page.evaluate(FOCUS).startswith(name):
                if not nth:
                    return
                nth -= 1
        raise AssertionError(f"Nothing named “{name}” can be reached on {self.page.url}.")

    def press(self, name: str) -> None:
        """Press a link or a button, and wait for the page that it leads to."""
        self.to(name)
        with self.page.expect_navigation(wait_until="load"):
            self.page.keyboard.press("Enter")

    def type(self, name: str, text: str) -> None:
        self.to(name)
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)

    def sees(self, text: str) -> None:
        self.page.get_by_text(text).first.wait_for()


@pytest.fixture
def hands(workshop: Workshop) -> Iterator[Hands]:
    workshop.real = True
    workshop.begin()
    workshop.write(
        [
            ("items/brakes.pads/readings/pad/front-left", {"typed": "0.5", "unit": "mm"}),
            ("items/brakes.pads/readings/pad/front-right", {"typed": "4", "unit": "mm"}),
            ("items/brakes.hoses/grade", {"grade": "none"}),
            ("items/electrical.pigtails/grade", {"grade": "major"}),
            ("items/trim.seats/grade", {"grade": "none"}),
            ("items/rust.sill/grade", {"grade": "none"}),
        ]
    )
    with served(workshop) as address, launched() as browser:
        page = opened(browser, viewport={"width": 1280, "height": 900}).new_page()
        page.goto(f"{address}/desk/")
        yield Hands(page)


def test_a_car_goes_from_the_brief_to_the_last_job_by_the_keyboard_alone(
    hands: Hands, workshop: Workshop
) -> None:
    page = hands.page
    hands.press("Testmobil One")
    hands.press("What it's for")
    hands.to("Everyday")
    page.keyboard.press("Space")
    hands.type("Budget", "4000")
    hands.type("Value when done", "6000")
    hands.type("Labor rate per hour", "50")
    hands.press("Save")

    hands.press("Repairs")
    hands.type("Name of the repair", "New pads and springs")
    hands.type("Replace the pads: parts, low", "60")
    hands.type("Replace the pads: parts, likely", "70")
    hands.type("Replace the pads: parts, high", "90")
    with page.expect_navigation(wait_until="load"):
        page.keyboard.press("Control+s")
    assert plan_of(workshop.snapshot(VISIT)).remedies["brakes.pads/pads"].parts == [
        60,
        70,
        90,
    ]

    hands.press("Symptoms")
    hands.press("Vibrates")
    hands.press("This is it")
    assert page.url.endswith("/plan#wants-vibrates-balance")

    hands.press("Fix or replace")
    hands.type("Piece", "plugs")
    hands.type("How many", "8")
    hands.type("To fix one, likely", "110")
    hands.press("Save")
    # harness 300 + 4 h … 600 + 10 h at 50: 733; plug 71; 663 more is seven times 110
    hands.sees("75.3%")

    hands.press("Job list")
    hands.type("Name of month 1", "December")
    # the pads alone, at 73 expected: one's own hours are no cash
    hands.type("Budget of month 1", "75")
    hands.type("Name of month 2", "January")
    hands.type("Budget of month 2", "400")
    hands.press("Save and plan again")
    plan = plan_of(workshop.snapshot(VISIT))
    assert plan.jobs[0].id == "brakes.pads/pads", "danger first"
    assert plan.before["road"] == "off"
    assert plan.spread["period"]["brakes.pads/pads"] == 0
    assert set(plan.spread["period"].values()) == {0, 1}

    hands.press("Compare")
    hands.sees("your repairs list")
    page.go_back()

    for _ in range(len(plan.jobs)):
        hands.press("Done")
        job = plan_of(workshop.snapshot(VISIT)).jobs[0]
        hands.to(job.title)
        page.keyboard.press("Enter")
        hands.type("By", "Ada")
        if job.id == "brakes.pads/pads":
            hands.type("Pad thickness, front left, now", "9")
            hands.type("Pad thickness, front right, now", "9")
        if "electrical.pigtails" in job.items:
            # without a reading to take, a photo is the evidence; it is chosen in the file dialog
            hands.to("Photos")
            page.locator("details[open] input[type=file]").set_input_files(
                {"name": "plug.jpg", "mimeType": "image/jpeg", "buffer": a_photo()}
            )
            page.locator("details[open] summary").focus()
        if job.items:
            hands.to("Afterwards")
            page.keyboard.type("Fix")
        hands.press("Mark done")
    assert plan_of(workshop.snapshot(VISIT)).jobs == []
    hands.sees("Nothing left to do")
    snapshot = workshop.snapshot(VISIT)
    assert snapshot.cells["items/brakes.pads/readings/pad/front-left"]["value"]["typed"] == "0.5"
    assert snapshot.assessment["money"]["totals"]["high"] == 0
    hands.press("Job list")
    hands.sees("Nothing to do:")
