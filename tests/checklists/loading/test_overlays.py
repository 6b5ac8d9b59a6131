"""Checklist texts in another language: by id, each over the text that was translated.

That a changed text falls back to English and says so is this project's rule; the digest is SHA-256
(FIPS 180-4), here by hashlib.
"""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

import pytest

from bradawl.checklists.bundling import bundle
from bradawl.checklists.loader import load
from bradawl.checklists.overlays import standing
from bradawl.cli import main
from bradawl.language.checklist_texts import MARK, changes, digest, texts, texts_for
from bradawl.language.pseudo import marked
from tests.checklists.loading.test_loader import AREA, fault_of, write

LOOK = "items/brakes.front-pads/look"
CAUTION = "cautions/jacking/title"


def overlay(folder: Path, texts: dict[str, tuple[str, str]], locale: str) -> Path:
    """A file of translations, {id: (the English text, the other)}, in the folder of its locale."""
    place = folder / "locales" / locale
    place.mkdir(parents=True, exist_ok=True)
    rows = "".join(
        f'  {name}: {{of: "{hashlib.sha256(english.encode()).hexdigest()[:12]}", text: {other}}}\n'
        for name, (english, other) in texts.items()
    )
    (place / "texts.yaml").write_text(f"locale: {locale}\ntexts:\n{rows}", encoding="utf-8")
    return folder


def read(folder: Path, locale: str) -> Any:
    return texts_for(bundle(load(folder)), locale)


def toy(folder: Path, area: str = AREA) -> Path:
    """A toy language for a tiny checklist, without a line of code."""
    return overlay(
        write(folder, area),
        {
            LOOK: ("What is left of the lining.", "Rof gninil."),
            CAUTION: ("Car in the air", "Rac ni ria"),
        },
        "xx",
    )


def test_a_locale_is_added_by_a_file_alone(tmp_path: Path) -> None:
    shown = read(toy(tmp_path), "xx")
    assert shown.bundle["items"][0]["look"] == "Rof gninil."
    assert shown.bundle["cautions"]["jacking"]["title"] == "Rac ni ria"
    assert not {LOOK, CAUTION} & shown.fallback


def test_what_a_begun_kind_lacks_is_marked_and_other_kinds_are_plainly_english(
    tmp_path: Path,
) -> None:
    shown = read(toy(tmp_path), "xx")
    assert shown.bundle["items"][0]["title"] == "Front pad thickness" + MARK
    assert shown.bundle["rules"]["items"]["brakes.front-pads"]["title"].endswith(MARK)
    assert shown.bundle["areas"][0]["title"] == "Brakes"
    assert {"items/brakes.front-pads/title", "areas/brakes"} <= shown.fallback


def test_a_text_that_a_shop_edited_falls_back_to_the_shops_own(tmp_path: Path) -> None:
    edited = AREA.replace("What is left of the lining.", "Our own way to look.")
    shown = read(toy(tmp_path, edited), "xx")
    assert shown.bundle["items"][0]["look"] == "Our own way to look." + MARK
    assert LOOK in shown.fallback
    assert shown.bundle["cautions"]["jacking"]["title"] == "Rac ni ria"


def test_what_reads_otherwise_stands_where_its_text_does(tmp_path: Path) -> None:
    made = bundle(load(toy(tmp_path)))
    found = changes(made, "xx")
    assert found["items"]["0"]["look"] == "Rof gninil."
    assert found["cautions"]["jacking"]["title"] == "Rac ni ria"
    assert found["rules"]["items"]["brakes.front-pads"]["title"] == "Front pad thickness" + MARK
    assert "areas" not in found
    marks = changes(made, "en-XA")
    assert marks["areas"]["0"]["title"] == marked("Brakes")
    assert marks["cautions"]["jacking"]["title"] == marked("Car in the air")


def test_a_shops_own_item_falls_back(tmp_path: Path) -> None:
    own = AREA + AREA.split("items:\n")[1].replace("brakes.front-pads", "brakes.own")
    shown = read(toy(tmp_path, own), "xx")
    assert shown.bundle["items"][1]["look"].endswith(MARK)
    assert "items/brakes.own/look" in shown.fallback


def test_english_and_an_unknown_locale_leave_the_bundle_as_it_is(tmp_path: Path) -> None:
    made = bundle(load(toy(tmp_path)))
    assert texts_for(made, "en-US").bundle is made
    assert texts_for(made, "qq").bundle == made
    for locale in ("en-US", "qq"):
        assert changes(made, locale) == {}
    assert texts_for(made, "en-US").fallback == frozenset()
    assert texts_for(made, "qq").fallback == set(texts(made))


SYMPTOM = """\
source: practice
symptoms:
- id: pulls
  title: Pulls to one side
  says: It pulls when you brake.
  group: brakes
  causes:
    hose: {title: Hose collapsed, often: 1, harmless: true}
    pads: {title: Oil on a pad, often: 2, harmless: true}
  tests:
  - {id: one, title: Look at it, how: Look at the hose., minutes: "1",
     outcomes: {a: Yes, b: "No"}, likely: {other: [50, 50]}}
  - {id: two, title: Feel it, how: Feel the hose., minutes: "1",
     outcomes: {a: Yes, b: "No"}, likely: {other: [50, 50]}}
"""


def with_symptoms(folder: Path, hose: str = "Hose collapsed") -> Path:
    """The toy language also says a symptom and one of its two causes."""
    folder.mkdir()
    toy(folder)
    (folder / "symptoms").mkdir()
    (folder / "symptoms/brakes.yaml").write_text(SYMPTOM, encoding="utf-8")
    place = folder / "locales/xx/symptoms.yaml"
    rows = {"symptoms/pulls/title": ("Pulls to one side", "Sllup"),
            "symptoms/pulls/says": ("It pulls when you brake.", "Ti sllup."),
            "symptoms/pulls/causes/hose": (hose, "Esoh")}  # fmt: skip
    said = "".join(
        f"  {name}: {{of: '{digest(english)}', text: {text}}}\n"
        for name, (english, text) in rows.items()
    )
    place.write_text(f"locale: xx\ntexts:\n{said}", encoding="utf-8")
    return folder


def test_what_is_recorded_by_its_id_is_read_in_each_language_that_has_it(tmp_path: Path) -> None:
    """A cause that was found is kept by id with its English beside it."""
    made: Any = bundle(load(with_symptoms(tmp_path / "today")))
    named = {
        "symptoms/pulls/title": {"Pulls to one side": "Sllup"},
        "symptoms/pulls/causes/hose": {"Hose collapsed": "Esoh"},
    }
    assert changes(made, "xx")["rules"]["symptoms"] == named
    assert "symptoms" not in changes(made, "en-XA").get("rules", {})
    # a visit that began before there was a translation reads it in today's
    older: Any = bundle(load(toy(tmp_path)))
    assert "symptoms" not in texts_for(older, "xx").bundle["rules"]
    assert texts_for(older, "xx", made).bundle["rules"]["symptoms"] == named
    assert changes(older, "xx", made)["rules"]["symptoms"] == named


def test_a_translation_of_another_english_text_names_no_cause(tmp_path: Path) -> None:
    made = bundle(load(with_symptoms(tmp_path / "today", hose="Hose soft")))
    assert set(changes(made, "xx")["rules"]["symptoms"]) == {"symptoms/pulls/title"}


def test_check_names_what_a_locale_lacks_and_what_changed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    toy(tmp_path, AREA.replace("What is left of the lining.", "Our own way to look."))
    with (tmp_path / "locales" / "xx" / "texts.yaml").open("a", encoding="utf-8") as file:
        file.write('  items/brakes.gone/look: {of: "000000000000", text: Enog}\n')
    assert main(["checklists", "check", str(tmp_path), "--lacking", "xx"]) == 0
    said = capsys.readouterr().out
    written = texts(bundle(load(tmp_path)))
    assert f"xx: 1 of {len(written)} texts" in said
    assert f"CHANGED {LOOK}" in said
    assert "UNKNOWN items/brakes.gone/look" in said
    for name in set(written) - {LOOK, CAUTION}:
        assert f"  {name}\n" in said


FAULTS = {
    "another folder's locale": ("locale: xx", "locale: yy", 1, ["locales/yy/"]),
    "no digest": ('of: "', 'of: "no', 3, ["have the right form"]),
    "no locale's name": ("locale: xx", "locale: Toy language", 1, ["Toy language"]),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_in_an_overlay_names_file_line_and_remedy(name: str, tmp_path: Path) -> None:
    old, new, line, words = FAULTS[name]
    path = toy(tmp_path) / "locales" / "xx" / "texts.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")
    said = fault_of(tmp_path)
    assert f"locales/xx/texts.yaml:{line}: " in said, said
    for word in words:
        assert word in said, said


def test_english_is_edited_beside_the_items(tmp_path: Path) -> None:
    overlay(write(tmp_path), {LOOK: ("What is left of the lining.", "Pad left.")}, "en-US")
    assert "stands beside the items themselves" in fault_of(tmp_path)


def test_a_text_translated_twice_is_one_too_many(tmp_path: Path) -> None:
    place = toy(tmp_path) / "locales" / "xx"
    text = (place / "texts.yaml").read_text(encoding="utf-8").split("  cautions")[0]
    (place / "again.yaml").write_text(text, encoding="utf-8")
    assert "is in locales/xx/again.yaml too" in fault_of(tmp_path)


# --- the real files -----------------------------------------------------------------------------


def test_every_caution_is_there_in_spanish_as_it_is_now(folder: Path) -> None:
    checklist = load(folder)
    made: Any = bundle(checklist)
    (spanish,) = [one for one in standing(checklist, made, {}) if one.locale == "es-US"]
    assert (spanish.changed, spanish.unknown) == ((), ())
    shown = texts_for(made, "es-US")
    for name, caution in shown.bundle["cautions"].items():
        for key in ("title", "text"):
            assert caution[key] != made["cautions"][name][key]
            assert f"cautions/{name}/{key}" not in shown.fallback
            assert len(caution[key]) <= (40 if key == "title" else 600)


def test_every_text_that_a_screen_shows_has_an_id(bundled: dict[str, Any]) -> None:
    written = texts(bundled)
    for item in bundled["items"]:
        for text in (item["title"], item["look"], item["how"], item["where"], *item["whys"]):
            assert text in written.values()
        for part in ("readings", "choices", "remedies"):
            for row in item[part]:
                assert written[f"items/{item['id']}/{part}/{row['id']}"] == row["title"]
    assert len(digest("x")) == 12
