"""One word for each state of a check: phone, desk, report and check page take it from one message.

Common practice of plain language, no source: one thing has one name wherever it is met. That phone
and check page do the same is asked by `web/test/app/text/states.test.ts`.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from bradawl import design
from bradawl.desk.model.labels import grade_word as at_the_desk
from bradawl.desk.pages.specimen import pages
from bradawl.judge.values.grades import GRADES
from bradawl.language import Reader, catalogue, reading_as, text
from bradawl.report.model.texts import grade_word as in_the_report
from tests.report import specimen
from tests.report.tools import flowing
from web.tools.messages import messages

EN = catalogue.FOLDER / catalogue.DEFAULT
FILES = tuple(file.stem for file in sorted(EN.glob("*.ftl")))
TRIAL = "nl-NL"  # a locale that dates and figures have, and the catalogue has not
WORDS = {mark.word: f"Zq{number}" for number, mark in enumerate(design.marks().values())}
#: The same words of something else, each with what it is.
OTHERS = {
    "access-backup-whole": "a backup",
    "access-checkjs-done": "a test of the phone's connection",
    "access-checkjs-open": "a test of the phone's connection",
    "judge-word-circuit-open": "an electric circuit",
    "leaving-paper-open": "a paper of a sale",
    "judge-reason-unseen": "a sentence: the reason of that state",
}


@pytest.fixture
def trial(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Reader]:
    """A reader in whose locale the states alone have words, and odd ones."""
    shutil.copytree(EN, tmp_path / catalogue.DEFAULT)
    (tmp_path / TRIAL).mkdir()
    source = "\n".join(f"{name} = {word}" for name, word in WORDS.items())
    (tmp_path / TRIAL / "shared.ftl").write_text(source, encoding="utf-8")
    monkeypatch.setattr(catalogue, "FOLDER", tmp_path)
    catalogue.locales.cache_clear()
    catalogue._bundle.cache_clear()
    with reading_as(Reader(TRIAL)):
        yield Reader(TRIAL)
    monkeypatch.undo()
    catalogue.locales.cache_clear()
    catalogue._bundle.cache_clear()


def test_a_grade_has_a_mark_and_a_word_of_its_own() -> None:
    shown = [design.mark_of_grade(grade) for grade in (*GRADES, None)]
    assert len({mark.id for mark in shown}) == len(shown)
    assert len({text(mark.word) for mark in design.marks().values()}) == len(design.marks())


def test_no_other_message_says_a_state() -> None:
    said = {text(name).casefold() for name in WORDS}
    doubles = {
        name
        for name, arguments in messages(FILES).items()
        if name not in WORDS and not arguments and text(name).rstrip(".").casefold() in said
    }
    assert doubles == OTHERS.keys()


def test_desk_and_report_say_the_word_of_the_mark(trial: Reader) -> None:
    for grade in (*GRADES, None):
        word = WORDS[design.mark_of_grade(grade).word]
        assert at_the_desk(grade) == word
        if grade is not None:
            assert in_the_report(grade) == word


def test_the_specimens_of_desk_and_report_show_every_state_by_it(
    trial: Reader, tmp_path: Path
) -> None:
    desk = FastAPI()
    desk.include_router(pages, prefix="/desk")

    @desk.middleware("http")
    async def read_by_the_trial(request, call_next):  # type: ignore[no-untyped-def]
        with reading_as(trial):
            return await call_next(request)

    page = TestClient(desk).get("/desk/specimen").text
    paper = tmp_path / "specimen.pdf"
    specimen.write(paper, trial)
    printed = flowing(paper)
    for mark in design.marks().values():
        assert WORDS[mark.word] in page, mark.id
        assert WORDS[mark.word] in printed, mark.id
