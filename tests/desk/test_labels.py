"""What a check is called at the desk is what its reader's checklist calls it."""

from __future__ import annotations

from bradawl.desk.model.labels import item_title, value_text
from bradawl.language.checklist_texts import texts_for

BUNDLE = {
    "hash": "one hash for every language of it",
    "items": [{"id": "brakes.hoses", "title": "Brake hoses"}],
    "locales": {"es-US": {"items/brakes.hoses/title": "Mangueras de freno"}},
}


def test_each_reader_gets_the_title_in_their_language_whoever_asked_first() -> None:
    named = {
        locale: item_title(texts_for(BUNDLE, locale).bundle, "brakes.hoses")
        for locale in ("en-US", "es-US", "en-XA", "en-US")
    }
    assert named == {
        "en-US": "Brake hoses",
        "es-US": "Mangueras de freno",
        "en-XA": "Ɓŕáķé ĥóšéš",
    }
    assert item_title(BUNDLE, "brakes.unknown") == "brakes.unknown"


def test_a_figure_at_a_path_of_no_item_is_shown() -> None:
    """`items` alone is no path of any app, and may stand in a record."""
    assert value_text("items", {"typed": "3", "unit": "V"}, {}) == "3 V"


def test_the_size_of_a_wire_is_written_as_on_a_reel() -> None:
    path = "items/electrical.main-feeds/wires/w1/gauge"
    assert value_text(path, {"typed": "14", "unit": "AWG"}, {}) == "14 AWG"
    assert value_text(path, {"typed": "2.5", "unit": "mm2"}, {}) == "2.5 mm²"
