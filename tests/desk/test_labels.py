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


def test_a_fact_of_the_car_is_said_in_the_words_that_asked_for_it() -> None:
    """Its codes are no words of any reader: a history said "petrol" and "carburettor"."""
    facts = [
        {"id": "injection", "title": "Injection", "choices": [{"id": "port", "title": "Each"}]}
    ]
    bundle = {"profile": [{"id": "fuel", "title": "Fuel", "facts": facts}]}
    said = {
        "car/fuel": ("petrol", "Gas"),
        "car/fuelling": ("carburettor", "Carburetor"),
        "car/front_brakes": ("disc", "Disc"),
        "car/injection": ("port", "Each"),
        "car/structure": ("unknown", "Don't know"),
        "car/model": ("unknown", "unknown"),
        "car/gearbox": ("of another app", "of another app"),
        "car/make": ("Tarn", "Tarn"),
    }
    assert {path: value_text(path, code, bundle) for path, (code, _) in said.items()} == {
        path: words for path, (_, words) in said.items()
    }
