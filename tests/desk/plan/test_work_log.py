"""A finding closes by evidence; what was found first stays in the record."""

from __future__ import annotations

import io
import re

import pytest
from PIL import Image

from bradawl import language
from bradawl.desk.model.money.car import money_of
from bradawl.desk.model.plan.build import plan_of
from bradawl.inspection.cell_values import done_entries
from bradawl.judge.ledger import entries as ledger
from bradawl.language import catalogue
from bradawl.language.pseudo import marked
from tests.desk.browse import form
from tests.desk.conftest import DESK, TODAY, VISIT, Workshop

WORK = f"/desk/visits/{VISIT}/work"
JOB = "brakes.pads/pads"
PAD = "brakes.pads/readings/pad/front-left"


def a_photo(other: int = 0) -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (60, 40), (120 + 40 * other, 80, 40)).save(file, "JPEG")
    return file.getvalue()


@pytest.fixture
def worn(workshop: Workshop) -> Workshop:
    workshop.begin()
    workshop.write(
        [
            ("items/brakes.pads/grade", {"grade": "dangerous"}),
            (f"items/{PAD}", {"typed": "0,5", "unit": "mm"}),
        ]
    )
    return workshop


def fields(workshop: Workshop) -> dict[str, str | list[str]]:
    return form(workshop.client.get(WORK).text, WORK) | {"by": "Ada"}


def test_a_job_with_new_readings_closes_its_finding_and_keeps_the_old(worn: Workshop) -> None:
    done = fields(worn) | {
        "cost": "$1,085.30",
        "odometer": "182 900",
        PAD: "11",
        "brakes.pads/readings/pad/front-right": "11",
        "brakes.pads/grade": "none",
    }
    assert worn.client.post(WORK, data=done, follow_redirects=False).status_code == 303
    snapshot = worn.snapshot(VISIT)
    # the inspection stands as it was; the new reading lies beside it
    assert snapshot.cells[f"items/{PAD}"]["value"]["typed"] == "0,5"
    assert snapshot.cells[f"work/{JOB}/after/{PAD}"]["value"] == {"typed": "11", "unit": "mm"}
    (noted,) = done_entries(snapshot.cells)
    assert (noted.job, noted.done.by, noted.done.finished) == (JOB, "Ada", True)
    assert [(e["amount_cents"], e["jobs"]) for e in ledger.entries(snapshot.cells)] == [
        (108530, [JOB])
    ]
    assert worn.log.stands_for(worn.log.events_of(VISIT)[-1]["device"]) == DESK
    plan = plan_of(snapshot)
    assert plan.jobs == []
    assert plan.findings[0].closed
    # as the checklist has it: what was expected then, whatever it says later
    guess = {"parts": [20, 40, 90], "hours": ["0.5", "1", "2"]}
    assert snapshot.cells[noted.path]["value"]["guess"] == guess
    # what nobody typed is not recorded: whoever reads it gets the checklist's title in their words
    assert snapshot.cells[noted.path]["value"]["title"] == ""
    with language.reading_as(language.Reader(catalogue.PSEUDO)):
        assert f"<h3>{marked('Replace the pads')}</h3>" in worn.client.get(WORK).text
    page = worn.client.get(WORK).text
    assert "<h3>Replace the pads</h3>" in page
    assert "read as 0.5 mm" in page
    assert "1,085.30" in page
    assert "read as 11 mm" in page
    # found and repaired since: the torn tag with its word wherever the finding stands
    for place in (WORK, f"/desk/visits/{VISIT}/plan", f"/desk/visits/{VISIT}"):
        page = worn.client.get(place).text
        assert re.search(r'state-mended"><svg class="mark-tag mark-mended".*?</svg>Fixed', page)


def test_a_fault_does_not_close_without_evidence(worn: Workshop) -> None:
    page = worn.client.post(WORK, data=fields(worn) | {"brakes.pads/grade": "none"})
    assert page.status_code == 422
    assert "no proof yet" in page.text
    assert f"work/{JOB}/done" not in worn.snapshot(VISIT).cells


def test_a_photo_is_evidence_and_is_kept_with_the_job(worn: Workshop) -> None:
    done = fields(worn) | {"brakes.pads/grade": "none", "caption": "New pads"}
    data = a_photo()
    answer = worn.client.post(
        WORK, data=done, files={"photo": ("pads.jpg", data)}, follow_redirects=False
    )
    assert answer.status_code == 303
    (path,) = [p for p in worn.snapshot(VISIT).cells if p.startswith(f"work/{JOB}/photos/")]
    sha256 = path.rsplit("/", 1)[1]
    assert worn.client.get(f"/desk/photos/{sha256}").headers["content-type"] == "image/jpeg"
    assert "New pads" in worn.client.get(WORK).text


def test_a_file_that_is_no_photo_is_refused_and_nothing_is_lost(worn: Workshop) -> None:
    done = fields(worn) | {"note": "Copper paste on the backs"}
    page = worn.client.post(WORK, data=done, files={"photo": ("a.txt", b"hello")})
    assert page.status_code == 422
    assert "a photo. Use JPEG" in page.text
    assert "Copper paste on the backs" in page.text
    page = worn.client.post(WORK, data=done, files={"photo": ("a.jpg", b"\xff\xd8\xff broken")})
    assert page.status_code == 422
    assert "saved. " in page.text


def test_a_new_reading_that_is_still_beyond_the_limit_keeps_the_finding_open(
    worn: Workshop,
) -> None:
    done = fields(worn) | {
        PAD: "2.0",
        "brakes.pads/readings/pad/front-right": "2.0",
        "brakes.pads/grade": "none",
    }
    page = worn.client.post(WORK, data=done)
    assert page.status_code == 422
    assert "fixed: the new reading says" in page.text


def test_work_done_without_a_look_afterwards_stays_open(worn: Workshop) -> None:
    worn.client.post(WORK, data=fields(worn))
    plan = plan_of(worn.snapshot(VISIT))
    assert [job.id for job in plan.jobs] == [JOB]
    assert "Not checked yet" in worn.client.get(WORK).text


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("date", "2099-01-01", "come yet. Log it"),
        ("by", "", "Who did the work"),
        ("cost", "a lot", "an amount"),
    ],
)
def test_what_is_wrong_with_a_job_is_said(
    worn: Workshop, field: str, typed: str, sentence: str
) -> None:
    page = worn.client.post(WORK, data=fields(worn) | {field: typed})
    assert page.status_code == 422
    assert sentence in page.text


def test_the_date_offered_is_today(worn: Workshop) -> None:
    assert fields(worn)["date"] == language.date(TODAY) == "Nov 25, 2026"


def test_a_job_has_as_many_entries_as_it_took(worn: Workshop) -> None:
    for day, cost, hours in (("11/20/2025", "80", "1.5"), ("11/21/2025", "30", "")):
        typed = fields(worn) | {"date": day, "cost": cost, "own-hours": hours, "goes-on": "1"}
        assert worn.client.post(WORK, data=typed, follow_redirects=False).status_code == 303
    snapshot = worn.snapshot(VISIT)
    assert [entry.done.date for entry in done_entries(snapshot.cells)] != []
    assert len(done_entries(snapshot.cells)) == 2
    money = money_of(snapshot)
    assert (money.sums["spent_cents"], money.sums["hours_done"]) == (11_000, 150)
    # a day's work is not the job: it is still to be done, and more is expected of it
    assert [job.id for job in plan_of(snapshot).jobs] == [JOB]
    page = worn.client.get(WORK).text
    assert page.count("part of the job") == 2
    assert "Logged, not proven" not in page


def test_a_form_sent_twice_is_one_entry(worn: Workshop) -> None:
    typed = fields(worn) | {"cost": "80"}
    for _ in range(2):
        worn.client.post(WORK, data=typed)
    snapshot = worn.snapshot(VISIT)
    assert len(done_entries(snapshot.cells)) == 1
    assert money_of(snapshot).sums["spent_cents"] == 8_000


def test_a_job_logged_without_proof_stands_in_one_place(worn: Workshop) -> None:
    worn.client.post(WORK, data=fields(worn) | {"cost": "80"})
    page = worn.client.get(WORK).text
    todo, _, rest = page.partition('id="unproven"')
    assert "Replace the pads" not in todo
    unproven, _, done = rest.partition('id="done"')
    assert "<h3>Replace the pads</h3>" in unproven
    assert "Replace the pads" not in done
    # nothing more is expected of it
    assert money_of(worn.snapshot(VISIT)).sums["still_cents"] == 0


def test_an_entry_is_changed_and_what_it_was_stays_in_the_history(worn: Workshop) -> None:
    worn.client.post(WORK, data=fields(worn))
    (entry,) = done_entries(worn.snapshot(VISIT).cells)
    typed = form(worn.client.get(WORK).text, f"{WORK}/entry")
    changed = typed | {"by": "Grace", "note": "Both sides"}
    assert worn.client.post(f"{WORK}/entry", data=changed).status_code == 200
    (now,) = done_entries(worn.snapshot(VISIT).cells)
    assert (now.path, now.done.by, now.done.note) == (entry.path, "Grace", "Both sides")
    assert now.done.items == entry.done.items
    # who had the page open since before is told, and nothing is overwritten
    stale = worn.client.post(f"{WORK}/entry", data=typed | {"by": "Mallory"})
    assert stale.status_code == 422
    assert "Somebody changed this entry" in stale.text
    assert done_entries(worn.snapshot(VISIT).cells)[0].done.by == "Grace"


def test_an_entry_taken_back_opens_its_finding_again(worn: Workshop) -> None:
    done = fields(worn) | {PAD: "11", "brakes.pads/readings/pad/front-right": "11"}
    worn.client.post(WORK, data=done | {"brakes.pads/grade": "none", "cost": "80"})
    assert plan_of(worn.snapshot(VISIT)).jobs == []
    typed = form(worn.client.get(WORK).text, f"{WORK}/entry")
    worn.client.post(f"{WORK}/entry", data=typed | {"withdraw": "1"})
    snapshot = worn.snapshot(VISIT)
    assert done_entries(snapshot.cells) == []
    assert [job.id for job in plan_of(snapshot).jobs] == [JOB]
    assert money_of(snapshot).sums["spent_cents"] == 8_000  # paid is paid


def test_an_entry_of_before_the_ledger_is_still_read_and_its_cost_stays(worn: Workshop) -> None:
    old = {"title": "", "items": ["brakes.pads"], "date": "2025-11-01", "by": "Ada"}
    worn.write([(f"work/{JOB}/done", old | {"cost_cents": 9_500})])
    assert money_of(worn.snapshot(VISIT)).sums["spent_cents"] == 9_500
    typed = form(worn.client.get(WORK).text, f"{WORK}/entry")
    worn.client.post(f"{WORK}/entry", data=typed | {"withdraw": "1"})
    assert done_entries(worn.snapshot(VISIT).cells) == []
    assert money_of(worn.snapshot(VISIT)).sums["spent_cents"] == 9_500


def test_a_temporary_fix_closes_nothing_until_the_repair_takes_its_place(worn: Workshop) -> None:
    """A taped hose is no repair, whatever somebody rates it, until they say that it is replaced."""
    assert "ends-fix" not in worn.client.get(WORK).text
    worn.write([(f"plan/temporary/{JOB}", {"what": "Old pads turned", "until_date": "2026-12-24"})])
    page = worn.client.get(WORK).text
    assert "This takes the place of the temporary fix" in page
    done = form(page, WORK) | {"by": "Ada", PAD: "11", "brakes.pads/grade": "none"}
    assert worn.client.post(WORK, data=done, follow_redirects=False).status_code == 303
    assert not plan_of(worn.snapshot(VISIT)).findings[0].closed
    again = form(worn.client.get(WORK).text, WORK) | {
        "by": "Ada",
        PAD: "11",
        "brakes.pads/grade": "none",
        "ends-fix": "1",
    }
    assert worn.client.post(WORK, data=again, follow_redirects=False).status_code == 303
    snapshot = worn.snapshot(VISIT)
    assert snapshot.cells[f"plan/temporary/{JOB}"]["value"] is None
    assert plan_of(snapshot).findings[0].closed
