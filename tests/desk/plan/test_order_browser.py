"""The list of jobs is rearranged in a real browser: by mouse, by a finger, by keys."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from bradawl.desk.model.plan.build import plan_of
from tests.browsing import launched, opened
from tests.desk.conftest import VISIT, Workshop
from tests.desk.plan.test_plan import MEND, ORDER, faults
from tests.desk.plan.test_schedule import PADS, WISH, jobs
from tests.desk.served import served

__all__ = ["faults", "jobs"]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as one:
        yield one


@pytest.fixture
def address(jobs: Workshop) -> Iterator[str]:
    with served(jobs, guarded=True) as one:
        yield one


def look(browser: Browser, address: str, **options: Any) -> Page:
    page = opened(browser, viewport={"width": 1280, "height": 1200}, **options).new_page()
    page.goto(address + ORDER)
    expect(rows(page)).to_have_count(3)
    return page


def rows(page: Page) -> Any:
    return page.locator("tr[data-job]")


def row(page: Page, job: str) -> Any:
    return page.locator(f'tr[data-job="{job}"]')


def expect_order(page: Page, jobs: Workshop, *wanted: str) -> None:
    """The page comes to have the jobs in that order, and the plan has them."""
    for n, job in enumerate(wanted):
        expect(rows(page).nth(n)).to_have_attribute("data-job", job)
    assert [one.id for one in plan_of(jobs.snapshot(VISIT)).schedule.open] == list(wanted)


def test_a_mouse_drags_a_job_to_another_place(
    browser: Browser, address: str, jobs: Workshop
) -> None:
    page = look(browser, address)
    expect_order(page, jobs, PADS, MEND, WISH)
    start = row(page, WISH).locator("td.figure").last
    start.drag_to(row(page, MEND).locator("td.figure").last)
    expect_order(page, jobs, PADS, WISH, MEND)
    page.context.close()


def test_keys_move_a_job_and_the_focus_stays_with_it(
    browser: Browser, address: str, jobs: Workshop
) -> None:
    page = look(browser, address)
    row(page, WISH).locator("button").first.focus()
    page.keyboard.press("Alt+ArrowUp")
    expect_order(page, jobs, PADS, WISH, MEND)
    expect(row(page, WISH).locator("button").first).to_be_focused(timeout=20_000)
    page.keyboard.press("Alt+ArrowDown")
    expect_order(page, jobs, PADS, MEND, WISH)
    page.context.close()


def test_a_finger_moves_a_job_by_its_buttons(
    browser: Browser, address: str, jobs: Workshop
) -> None:
    page = opened(
        browser, viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    ).new_page()
    page.goto(address + ORDER)
    row(page, WISH).get_by_role("button", name="Earlier: Paint").tap()
    expect_order(page, jobs, PADS, WISH, MEND)
    page.context.close()
