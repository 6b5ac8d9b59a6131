"""Texts that know their language: `lang` on a page (HTML Standard, 3.2.6.1), from memory."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from markupsafe import Markup

from bradawl import language
from bradawl.language import Reader, catalogue, reading_as
from bradawl.language.tongues import (
    InLanguage,
    Part,
    edged,
    edged_part,
    joined,
    page_in,
    page_language,
    spelled,
    without_edges,
    written_in,
)

SPANISH = Reader("es-US")
ENGLISH = written_in("en-US", "Brake hose [en]")


@pytest.fixture
def toy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """A locale with one message of the catalogue and no other."""
    for folder, words in (
        (catalogue.DEFAULT, "one = Look at { $what }.\ntwo = All of it.\n"),
        ("de-DE", "one = { $what } ansehen.\n"),
    ):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "words.ftl").write_text(words, encoding="utf-8")
    monkeypatch.setattr(catalogue, "FOLDER", tmp_path)
    forget()
    yield "de-DE"
    monkeypatch.undo()
    forget()


def forget() -> None:
    for kept in (catalogue.locales, catalogue.ids, catalogue._bundle):
        kept.cache_clear()


def test_a_sentence_knows_which_of_its_words_are_in_another_language(toy: str) -> None:
    with reading_as(Reader(toy)):
        said = language.text("one", what=ENGLISH)
        assert said == "Brake hose [en] ansehen."
        assert isinstance(said, InLanguage)
        assert said.parts == (Part("en-US", "Brake hose [en]"), Part("", " ansehen."))
        # a message that the locale lacks is in English as a whole
        assert written_in("en-US", "All of it.").parts == getattr(language.text("two"), "parts", ())
        assert not isinstance(language.text("one", what="Schlauch"), InLanguage)
        page = spelled(f"<p>{language.markup('one', what=ENGLISH)}</p>")
        assert page == '<p><span lang="en-US">Brake hose [en]</span> ansehen.</p>'
        page = spelled(f"<p>{language.markup('two')}</p>")
        assert page == '<p><span lang="en-US">All of it.</span></p>'
    assert not isinstance(language.text("two"), InLanguage)


def test_on_a_page_in_english_the_reader_s_own_words_are_marked() -> None:
    own = written_in("es-US", "Frenos & más")
    with reading_as(SPANISH), page_in("en-US"):
        assert page_language() == "en-US"
        assert spelled(edged(ENGLISH)) == "Brake hose [en]"
        shown = spelled(f"<p>{Markup.escape(edged(own))}</p>")
    assert shown == '<p><span lang="es-US">Frenos &amp; más</span></p>'


def test_lists_keep_the_languages_of_their_parts() -> None:
    with reading_as(SPANISH):
        for put_together in (
            joined(", ", [ENGLISH, "Frenos"]),
            language.listed([ENGLISH, "Aceite"]),
        ):
            assert spelled(edged(put_together)).startswith(
                '<span lang="en-US">Brake hose [en]</span>'
            )
    assert joined(", ", ["a", "b"]) == "a, b"
    assert not isinstance(joined(", ", ["a", "b"]), InLanguage)


def test_words_of_the_page_within_another_language_are_the_page_s_again() -> None:
    with reading_as(SPANISH):
        inner = edged(written_in("es-US", "Freno"))
        page = spelled(edged_part("en-US", f"<b>Look</b> at {inner}, <i>all</i>") + " más")
    assert page == (
        '<b><span lang="en-US">Look</span></b><span lang="en-US"> at </span>Freno'
        '<span lang="en-US">, </span><i><span lang="en-US">all</span></i> más'
    )


def test_where_no_element_can_stand_the_text_is_plain() -> None:
    with reading_as(SPANISH):
        mark = edged(ENGLISH)
        page = spelled(
            f'<title>{mark}</title><a title="{mark}" href="/">{mark}</a>'
            f"<select><option>{mark}</option></select><textarea>{mark}</textarea>{mark}"
        )
    assert page == (
        "<title>Brake hose [en]</title>"
        '<a title="Brake hose [en]" href="/"><span lang="en-US">Brake hose [en]</span></a>'
        "<select><option>Brake hose [en]</option></select>"
        "<textarea>Brake hose [en]</textarea>"
        '<span lang="en-US">Brake hose [en]</span>'
    )


@pytest.mark.parametrize(
    "typed", ["\ue010", "\ue012", "\ue010en-US\ue011", '\ue010"><b\ue011x\ue012']
)
def test_what_a_person_typed_opens_and_closes_nothing_around_it(typed: str) -> None:
    assert spelled(f"<p>{Markup.escape(without_edges(typed))}</p>").count("<") == 2


def test_a_text_stays_what_it_is_when_it_is_copied_or_shortened() -> None:
    assert str(ENGLISH) is ENGLISH
    both = joined(": ", ["Uno", written_in("en-US", "Two.")])
    assert isinstance(both, InLanguage)
    assert both.rstrip(".") == "Uno: Two"
    assert both.rstrip(".").parts == (Part("", "Uno"), Part("", ": "), Part("en-US", "Two"))
