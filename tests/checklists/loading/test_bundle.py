"""A bundle is named by its content and holds only what can be hashed."""

from __future__ import annotations

import copy
import hashlib
import re
from pathlib import Path
from typing import Any, get_args

import rfc8785

from bradawl.checklists.bundling import bundle
from bradawl.checklists.loader import load
from bradawl.judge.values.types.terms import Panel


def test_the_hash_is_that_of_canonical_json(bundled: dict[str, Any]) -> None:
    # Oracle: rfc8785, an independent implementation of RFC 8785.
    rest = {key: value for key, value in bundled.items() if key != "hash"}
    assert bundled["hash"] == hashlib.sha256(rfc8785.dumps(rest)).hexdigest()


def test_numbers_are_whole_or_text(bundled: dict[str, Any]) -> None:
    def walk(value: Any) -> None:
        assert not isinstance(value, float)
        if isinstance(value, dict):
            for key, inner in value.items():
                assert isinstance(key, str)
                assert key.isascii()
                walk(inner)
        elif isinstance(value, list):
            for inner in value:
                walk(inner)
        else:
            assert value is None or isinstance(value, str | int | bool)

    walk(bundled)


def test_reading_the_files_twice_gives_the_same_bundle(
    folder: Path, bundled: dict[str, Any]
) -> None:
    assert bundle(load(folder)) == bundled


def test_a_changed_word_gives_another_name(folder: Path, bundled: dict[str, Any]) -> None:
    checklist = copy.deepcopy(load(folder))
    item = checklist.areas[0].items[0]
    changed = item.model_copy(update={"look": item.look + " Again."})
    checklist.areas[0].items[0] = changed
    assert bundle(checklist)["hash"] != bundled["hash"]


def test_the_judge_gets_every_item_and_nothing_empty(bundled: dict[str, Any]) -> None:
    rules = bundled["rules"]
    assert list(rules["items"]) == [item["id"] for item in bundled["items"]]
    for slim in rules["items"].values():
        assert all(value not in ([], {}, None) for value in slim.values())
        assert "look" not in slim


def test_areas_stand_in_walk_order_and_the_six_come_first_in_the_report(
    bundled: dict[str, Any],
) -> None:
    titles = [area["id"] for area in bundled["areas"]]
    assert titles[0] == "papers"
    assert titles[-1] == "road"
    by_report = sorted(bundled["areas"], key=lambda area: area["report_order"])
    assert [area["id"] for area in by_report[:6]] == [
        "rust",
        "accident",
        "bushings",
        "brakes",
        "rodents",
        "fluids",
    ]


def test_the_body_map_has_paint_marks_and_rust_for_every_panel(bundled: dict[str, Any]) -> None:
    """As the phone reads it: a place lies on the panel that it begins with or is said to be on."""
    steel = [panel for panel in get_args(Panel) if panel != "soft-top"]
    shown: dict[str, set[str]] = {panel: set() for panel in steel}
    for item in bundled["items"]:
        on = item.get("body_map")
        if on is None:
            continue
        places = [place for reading in item["readings"] for place in reading["at"]]
        for panel, kinds in shown.items():
            named = any(place == panel or place.startswith(f"{panel}-") for place in places)
            if named or panel in on["panels"] or any(panel in on_ for on_ in on["places"].values()):
                kinds.add(on["show"])
    assert all({"film", "marks", "card"} <= kinds for kinds in shown.values()), shown


def test_the_phone_app_knows_no_item_by_its_id(bundled: dict[str, Any]) -> None:
    """The desk edits checklists, so whatever the app does with an item the item itself must say."""
    ids = {item["id"] for item in bundled["items"]}
    app = Path(__file__).parents[3] / "web/src"
    named = {
        (path.name, id_)
        for path in app.rglob("*.ts*")
        for id_ in re.findall(r"[\"'`/]([a-z-]+\.[a-z0-9-]+)[\"'`/]", path.read_text("utf-8"))
        if id_ in ids
    }
    assert named == set()
