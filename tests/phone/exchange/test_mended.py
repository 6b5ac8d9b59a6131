"""A repair that the desk proved is seen on the phone: what holds now, and below it what was found.

No source: what is asserted is what both pages promise, in the same words.
"""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.phone.phone import Phone
from tests.phone.server import Server
from tests.report.visits import jpeg

THEN = re.compile(r"^At the inspection on .*: Trailer it\.$")


def mend_at_the_desk(desk: Page, car: str) -> None:
    """The job on the lead, finished, rated again and with a photo."""
    desk.goto(f"{car}/work")
    job = desk.locator("details.job", has_text="Battery cables").first
    job.locator("summary").click()
    job.get_by_label("By", exact=True).fill("Ada")
    job.locator("select[name='rodents.battery-lead/grade']").select_option("none")
    picture = {"name": "lead.jpg", "mimeType": "image/jpeg", "buffer": jpeg(7)}
    job.locator('input[type="file"]').set_input_files(picture)
    job.get_by_role("button", name="Mark done").click()
    desk.wait_for_url("**/work#done")


def test_a_repair_proven_at_the_desk_changes_the_phones_verdict_and_keeps_what_was_found(
    phone: Phone, server: Server
) -> None:
    phone.begin(make="Fenwick")
    card = phone.card("rodents.battery-lead")
    card.get_by_role("button", name=re.compile("^Bare")).first.tap()
    expect(card).not_to_have_attribute("data-grade", "open")
    phone.go("kerb")
    page = phone.page
    verdict = page.get_by_role("region", name="Verdict")
    expect(verdict).to_contain_text("Trailer it.")
    expect(verdict).not_to_contain_text("At the inspection")
    phone.wait_for_sync("server")

    car = f"{server.origin}/desk/visits/{phone.visit}"
    desk = phone.context.new_page()
    mend_at_the_desk(desk, car)
    desk.goto(car)
    at_the_desk = desk.locator("section.answer h2").first.inner_text()
    found = desk.locator("details.found > summary").inner_text()
    assert THEN.match(found)
    desk.close()

    phone.reopen()
    page = phone.page
    phone.go("kerb")
    verdict = page.get_by_role("region", name="Verdict")
    then = verdict.locator("summary", has_text=THEN)
    expect(then).to_be_visible()  # the same words; each writes the day as its reader does
    expect(verdict.locator("p.verdict").first).to_have_text(at_the_desk)
    expect(page.locator('[data-answer="not_cleared"]')).to_be_visible()
    then.tap()
    expect(verdict.get_by_role("link", name="Battery cables").first).to_be_visible()
    page.goto(f"{phone.origin}/app/#/")
    row = page.locator(f'[data-visit="{phone.visit}"]')
    expect(row).to_contain_text("Don't know yet")
    expect(row).to_contain_text(re.compile(r"At the inspection on .*: Trailer it\."))
