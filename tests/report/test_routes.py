"""The desk's pages about reports, over the whole application on one data folder."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from bradawl.common.errors import install
from bradawl.report.checking.verification import verify
from bradawl.report.issue import Issued, write_report
from bradawl.report.jobs import ReportJobs
from bradawl.report.model.editions.edition import Choice
from bradawl.report.printing import Printing
from bradawl.report.routes import ReportDesk, router
from bradawl.report.signing.keys import open_signer
from bradawl.report.signing.trust import trust_for
from tests.report.tools import words
from tests.report.visits import TODAY, VISIT, jpeg, puts, snapshot


class Somebody:
    name = "Oda Rell"


class Shop:
    """The routes with a real writer, and what they were asked to write."""

    def __init__(self, folder: Path) -> None:
        self.asked: list[tuple[str, str, Choice]] = []
        self.folder = folder
        self.keys = folder / "keys"
        self.jobs = ReportJobs(folder / "waiting")
        self.breaks = False
        self.more: list[tuple[str, Any]] = []
        app = FastAPI()
        install(app)
        app.include_router(
            router(
                ReportDesk(
                    self.find,
                    self.write,
                    lambda _, edition, _printing: f"car-{edition}.pdf",
                    lambda: open_signer(self.keys),
                    lambda pdf: verify(pdf, trust_for(folder, self.keys)),
                    self.jobs,
                    Somebody,
                )
            )
        )
        self.client = TestClient(app, follow_redirects=False)

    def find(self, visit: str) -> Any:
        from bradawl.inspection.snapshot import UnknownVisit

        if visit != VISIT:
            raise UnknownVisit(f"No visit {visit} is on this server.")
        return snapshot([*puts([jpeg(1)]), *self.more], [jpeg(1)])

    def write(
        self, one: Any, out: Path, edition: Any, printing: Printing, choice: Choice, progress: Any
    ) -> Issued:
        if self.breaks:
            raise RuntimeError("a fault of ours")
        self.asked.append((edition, printing, choice))
        return write_report(
            one, out, edition, open_signer(self.keys), printing=printing, today=TODAY,
            choice=choice, progress=progress,
        )  # fmt: skip

    def made(self, **form: str) -> str:
        """The address of a report's page once it is no longer running."""
        answer = self.client.post(f"/desk/visits/{VISIT}/report", data=form)
        assert answer.status_code == 303, answer.text
        place = answer.headers["location"]
        deadline = time.monotonic() + 180
        while "Making the report" in self.client.get(place).text:
            assert time.monotonic() < deadline
            time.sleep(0.02)
        return str(place)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Shop]:
    opened = Shop(tmp_path)
    yield opened
    opened.jobs.close()
    opened.client.close()


def test_the_form_offers_editions_and_what_may_be_said(desk: Shop) -> None:
    text = desk.client.get(f"/desk/visits/{VISIT}/report").text
    for said in ("1989 Corvane Tilda 16", 'value="condition" checked', 'name="seller"', "Letter"):
        assert said in text
    assert 'name="seller" checked' not in text
    partner = desk.client.get(f"/desk/visits/{VISIT}/report?edition=partner").text
    assert 'name="seller" checked' in partner


def test_a_report_is_made_as_chosen_and_fetched(desk: Shop, tmp_path: Path) -> None:
    place = desk.made(edition="partner", units="metric", paper="a4", photos="on", amendments="on")
    page = desk.client.get(place)
    assert "The report is ready" in page.text
    assert page.headers["cache-control"] == "no-store"
    (asked,) = desk.asked
    assert asked == (
        "partner", Printing("en-US", "metric", "a4"),
        Choice(place=False, seller=False, photos=True, amendments=True),
    )  # fmt: skip
    answer = desk.client.get(f"{place}/file")
    assert answer.headers["content-type"] == "application/pdf"
    assert "car-partner.pdf" in answer.headers["content-disposition"]
    assert verify(answer.content).unchanged
    file = tmp_path / "made.pdf"
    file.write_bytes(answer.content)
    assert "Rufus Galtrove" not in words(file)


def test_two_reports_are_made_at_once_while_pages_answer(desk: Shop) -> None:
    places = [
        desk.client.post(f"/desk/visits/{VISIT}/report", data={"edition": "condition"}).headers[
            "location"
        ]
        for _ in range(2)
    ]
    assert len(set(places)) == 2
    assert desk.client.get(f"/desk/visits/{VISIT}/report").status_code == 200
    for place in places:
        assert desk.client.get(place).status_code == 200


def test_a_report_that_fails_says_so_and_keeps_the_reason_for_the_log(
    desk: Shop, caplog: pytest.LogCaptureFixture
) -> None:
    desk.breaks = True
    text = desk.client.get(desk.made(edition="condition")).text
    assert "could not be made" in text
    assert "a fault of ours" not in text
    assert "a fault of ours" in caplog.text


@pytest.mark.parametrize(
    "form",
    [
        {},
        {"edition": "glossy"},
        {"edition": "condition", "paper": "a3"},
        {"edition": "condition", "language": "xx"},
    ],
)
def test_a_choice_that_is_not_offered_is_refused(desk: Shop, form: dict[str, str]) -> None:
    answer = desk.client.post(f"/desk/visits/{VISIT}/report", data=form)
    assert answer.status_code == 422
    assert "from those offered" in answer.text


def test_unknown_visits_and_reports_get_a_sentence(desk: Shop) -> None:
    assert "No visit ffff" in desk.client.get("/desk/visits/ffff/report").text
    answer = desk.client.get("/desk/reports/00ff/file")
    assert answer.status_code == 404
    assert "make it again" in answer.text


def test_a_file_is_kept_for_an_hour(tmp_path: Path) -> None:
    now = [0.0]
    jobs = ReportJobs(tmp_path / "waiting", clock=lambda: now[0])

    def write(out: Path, _: Any) -> Issued:
        out.write_bytes(b"x")
        return Issued("N", 1, 1, 0, ())

    job = jobs.start(VISIT, "a.pdf", write)
    while job.running:
        time.sleep(0.005)
    now[0] = 3599
    assert jobs.get(job.id) is job
    now[0] = 3601
    assert jobs.get(job.id) is None
    assert not job.file.exists()
    jobs.close()


def _sign(desk: Shop, pdf: bytes) -> Any:
    return desk.client.post(
        "/desk/verify/sign", files={"pdf": ("my report.pdf", pdf, "application/pdf")}
    )


def test_the_shop_signs_what_it_hands_over(desk: Shop, condition: Path, keys: Path) -> None:
    desk.keys = keys
    page = desk.client.get("/desk/verify/sign").text
    assert "keeps no key for anybody but itself" in page
    answer = _sign(desk, condition.read_bytes())
    assert answer.status_code == 200
    assert answer.headers["content-disposition"] == 'attachment; filename="my-report-signed.pdf"'
    verdict = verify(answer.content, trust_for(desk.folder, keys))
    assert verdict.kind == "genuine"
    assert len(verdict.signatures) == 2
    assert len(list(keys.glob("*.pem"))) == 1


def test_the_desk_signs_nothing_that_is_not_genuine(
    desk: Shop, condition: Path, keys: Path
) -> None:
    """Neither a stranger's report nor a changed one; and it says why."""
    answer = _sign(desk, condition.read_bytes())  # this desk has another key
    assert answer.status_code == 422
    assert "Unknown signer" in answer.text
    desk.keys = keys
    answer = _sign(desk, condition.read_bytes() + b"\n")
    assert answer.status_code == 422
    assert "nobody signed that" in answer.text


@pytest.mark.parametrize(
    ("pdf", "said"),
    [(b"Dear Sir", "not a PDF file"), (b"", "Choose the report"), (b"%PDF-1.7", "missing")],
)
def test_what_cannot_be_signed_gets_a_sentence_and_makes_no_key(
    desk: Shop, pdf: bytes, said: str
) -> None:
    answer = _sign(desk, pdf)
    assert answer.status_code == 422
    assert said in answer.text
    assert not desk.keys.exists()


def test_what_may_give_something_away_is_read_before_the_report_is_made(desk: Shop) -> None:
    note = "Would take 2k. <b>Call</b> Wendel 555-0134"
    desk.more = [("items/rodents.loom/note", note)]
    page = desk.client.post(f"/desk/visits/{VISIT}/report", data={"edition": "condition"})
    assert page.status_code == 200
    assert "Would take 2k. &lt;b&gt;Call" in page.text
    assert "May give away: a name, a phone number or another number, and a price." in page.text
    (field,) = set(re.findall(r'name="(entry [^"]+)"', page.text))
    bad = {"edition": "condition", field: "perhaps"}
    assert desk.client.post(f"/desk/visits/{VISIT}/report", data=bad).status_code == 422
    place = desk.made(**{"edition": "condition", field: "show"})
    assert "The report is ready" in desk.client.get(place).text
    assert desk.asked[-1][2].reviewed == {field.removeprefix("entry ")}
    desk.made(edition="condition", rest="leave")
    assert desk.asked[-1][2].reviewed == frozenset()
