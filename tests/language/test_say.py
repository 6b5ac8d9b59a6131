"""What the judge left unsaid, said: by the table that the phone's twin is held to as well."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from bradawl import language
from bradawl.language import Reader, catalogue, reading_as
from tests.judge.saying import unsaid

TABLE: dict[str, Any] = json.loads((Path(__file__).parent / "say.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("said", "locale", "region", "shown"), TABLE["rows"])
def test_what_was_left_unsaid_is_said(said: Any, locale: str, region: str, shown: str) -> None:
    with reading_as(Reader(locale, region)):
        assert language.say(said, TABLE["texts"]) == shown


@pytest.mark.parametrize(("said", "shown"), TABLE["names_said_once"])
def test_a_name_before_a_text_that_begins_with_it_is_said_once(said: Any, shown: str) -> None:
    assert language.say(said, TABLE["texts"]) == shown


@pytest.mark.parametrize(("said", "shown"), TABLE["other_versions"])
def test_words_and_judge_of_different_ages_cost_a_gap_and_no_page(
    said: Any, shown: str, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr(catalogue.logger, "handlers", [])  # those of conftest.py let nothing pass
    assert language.say(said, TABLE["texts"]) == shown
    assert caplog.records, "it is logged"


def test_a_message_that_nobody_has_costs_no_page_either(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    with pytest.raises(AssertionError, match="judge-not-known"):  # as the tests see it
        language.text("judge-not-known")
    monkeypatch.setattr(catalogue.logger, "handlers", [])
    assert language.text("judge-not-known").startswith("(this version has no words")
    assert "judge-not-known" in caplog.text


def test_an_export_carries_ids_and_texts() -> None:
    answer = {"said": unsaid("One."), "reasons": [{"seen": True, "said": unsaid("Two.")}]}
    assert language.spoken(answer, {}) == {
        "said": answer["said"],
        "text": "One.",
        "reasons": [{"seen": True, "said": unsaid("Two."), "text": "Two."}],
    }
    row = {"id": "oil", "title": {"checklist": ["baseline", "oil"]}}
    exported = language.spoken([row, {"title": "As typed"}], TABLE["texts"])
    assert exported == [{"id": "oil", "title": "Engine oil and filter"}, {"title": "As typed"}]


SOURCES = {
    "law": {"title": "49 CFR 570.5", "section": "section (g)", "status": "read"},
    "whole": {"title": "49 CFR 570.7(a)", "section": "(a)", "status": "memory"},
    "told": {"title": "A manual", "status": "read-secondary"},
    "practice": {"title": "Common practice", "status": "practice"},
    "guess": {"title": "Our own", "status": "assumption"},
}


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("law", "49 CFR 570.5, section (g)"),
        ("whole", "49 CFR 570.7(a) (from memory)"),
        ("told", "A manual (as others quote it)"),
        # nobody can look these up, and a person's own word has none
        ("practice", ""),
        ("guess", ""),
        ("elsewhere", ""),
        ("", ""),
    ],
)
def test_only_a_source_that_somebody_can_look_up_is_cited(name: str, shown: str) -> None:
    assert language.source(name, SOURCES) == shown


def test_every_fact_word_and_explanation_that_the_judge_can_name_has_its_message() -> None:
    """The ids are put together from names and words in the judge's source."""
    import re

    from bradawl import judge

    measurements = Path(judge.__file__).parent / "measurements"
    source = "\n".join(path.read_text(encoding="utf-8") for path in measurements.glob("*.py"))
    wanted = {f"judge-fact-{name}" for name in re.findall(r'\.fact\(\s*"(\w+)"', source)}
    for how, name, word in re.findall(r'\.(say|explain)\("(\w+)", "([\w-]+)"', source):
        wanted |= {f"judge-fact-{name}", f"judge-word-{name}-{word}"}
        if how == "explain":
            wanted.add(f"judge-more-{name}-{word}")
    known = language.ids()
    lacking = {one.replace("_", "-") for one in wanted} - known
    assert {one for one in lacking if not re.search("-(yes|no)$", one)} == set()
    assert len(wanted) > 60
