"""A fault in a file is told with its file, its line, what is wrong and what would be right."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.checklists.bundling import bundle
from bradawl.checklists.files import ChecklistError
from bradawl.checklists.loader import load

SOURCES = """\
sources:
  practice: {title: Common practice, status: practice}
  assumption: {title: Our own guess, status: assumption}
  law-here: {title: A law, status: memory, region: us}
  law-there: {title: Another law, status: memory, region: eu}
"""
CAUTIONS = """\
cautions:
  jacking: {title: Car in the air, text: Never get under a car held only by a jack.}
"""
AREA = """\
area: brakes
title: Brakes
report_order: 4
walk_order: 90
items:
  - id: brakes.front-pads
    title: Front pad thickness
    look: What is left of the lining.
    how: Through the wheel, with a gauge.
    where: front wheels
    stage: underneath
    minutes: "2"
    cautions: [jacking]
    readings:
      - {id: pad, title: Lining left, quantity: length, units: [mm], plausible: ["0", "30"]}
    limits:
      - {of: pad, below: "3", unit: mm, grade: minor, source: practice}
    needs: []
    tools: [depth-gauge]
"""


def write(folder: Path, area: str = AREA, **more: str) -> Path:
    for name, text in {"sources": SOURCES, "cautions": CAUTIONS, "brakes": area, **more}.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder


def fault_of(folder: Path) -> str:
    with pytest.raises(ChecklistError) as caught:
        load(folder)
    assert len(caught.value.faults) == 1, str(caught.value)
    return str(caught.value)


def test_a_sound_folder_loads(tmp_path: Path) -> None:
    assert [item.id for item in load(write(tmp_path)).items] == ["brakes.front-pads"]


def test_effects_and_places_reach_the_judge_and_no_screen(tmp_path: Path) -> None:
    said = (
        "places: [front, middle]\n    effects:\n"
        "      - {on: [major], does: limits, limits: [wet, fast], source: practice}\n"
        '      - {on: [dangerous], does: lowers_value, factor: "0.65", source: assumption}\n'
    )
    made = bundle(load(write(tmp_path, AREA.replace("needs: []", said))))
    rule = made["rules"]["items"]["brakes.front-pads"]
    assert rule["places"] == ["front", "middle"]
    assert rule["effects"] == [
        {"on": ["major"], "does": "limits", "limits": ["wet", "fast"], "source": "practice"},
        {"on": ["dangerous"], "does": "lowers_value", "factor": "0.65", "source": "assumption"},
    ]
    assert not {"effects", "places"} & set(made["items"][0])


# old text in the area, new text, line of the fault, words that it must say
FAULTS = {
    "misspelt key": ("cautions:", "cuations:", 13, ["cuations", "did you mean `cautions`?"]),
    "unknown stage": ("stage: underneath", "stage: below", 11, ["'below'", "'underneath'"]),
    "unknown caution": ("[jacking]", "[jaking]", 13, ["jaking", "did you mean 'jacking'?"]),
    "unknown source": ("source: practice", "source: practise", 17, ["practise", "practice"]),
    "missing key": ("    where: front wheels\n", "", 6, ["`where` is missing", "add it"]),
    "unknown grade": ("grade: minor", "grade: small", 17, ["'small'", "'minor'"]),
    "number with a comma": ('below: "3"', 'below: "2,5"', 17, ["2,5", "1/32"]),
    "minutes in words": ('minutes: "2"', "minutes: two", 12, ["two"]),
    "item of another area": ("id: brakes.f", "id: rust.f", 6, ["start its ID with 'brakes.'"]),
    "item id without area": ("id: brakes.f", "id: f", 6, ["area.words-with-dashes"]),
    "limit of no reading": ("of: pad", "of: pda", 6, ["'pda'", "pad"]),
    "limit in a wrong unit": ("unit: mm, g", "unit: psi, g", 6, ["'psi'", "mm"]),
    "unit of another quantity": ("units: [mm]", "units: [degC]", 15, ["'degC'", "in/32"]),
    "no plausible range": (', plausible: ["0", "30"]', "", 15, ["plausible: [lowest, highest]"]),
    "usual without a second unit": (
        '["0", "30"]',
        '["0", "30"], usual: ["1", "20"]',
        15,
        ["'pad'", "take usual out"],
    ),
    "prerequisite that is not": ("needs: []", "needs: [brakes.pipe]", 18, ["brakes.pipe"]),
    "text too long": ("Front pad thickness", "x" * 41, 7, ["41 characters", "40 or fewer"]),
    "key twice": ("    needs: []", "    minutes: '1'", 18, ["`minutes` is there twice"]),
    "alias": ("[jacking]", "&a [jacking]\n    whys: *a", 14, ["alias", "write the value out"]),
    "broken YAML": ("cautions: [jacking]", "cautions: [jacking", 14, ["isn't YAML", "brackets"]),
    "area not the file's name": ("area: brakes", "area: brake", 1, ["brake.yaml"]),
    "unknown computation": ("needs: []", "compute: {kind: linning}", 18, ["'lining'"]),
    "place that nothing is measured at": (
        "needs: []",
        "body_map: {show: readings, places: {rear-left: [sill-left]}}",
        6,
        ["'rear-left'", "there are none"],
    ),
    "panel that is none": (
        "needs: []",
        "body_map: {show: card, panels: [sunroof]}",
        18,
        ["sunroof", "sill-left"],
    ),
    "card on no panel": ("needs: []", "body_map: {show: card}", 6, ["`panels`"]),
    "law in a foreign unit": ("source: practice", "source: law-here", 17, ["region us", "in/32"]),
    "two practices cited": ("source: practice", "source: [practice, law-there]", 17, ["one law"]),
    "two limits of one grade": (
        "needs: []",
        '  - {of: pad, below: "2", unit: mm, grade: minor, source: law-there}',
        18,
        ["region us", "'pad'", "minor", "keep the stricter one"],
    ),
    "region that is none": ("needs: []", "applies: {region: [mars]}", 18, ["'mars'", "'us'"]),
    "effect of no grade or choice": (
        "needs: []",
        'effects: [{"on": [severe], does: hurts, source: practice}]',
        6,
        ["'severe'", "minor, major, dangerous, pad"],
    ),
    "effect of nothing": (
        "needs: []",
        'effects: [{"on": [], does: hurts, source: practice}]',
        18,
        [],
    ),
    "effect that is none": (
        "needs: []",
        'effects: [{"on": [major], does: maims, source: practice}]',
        18,
        ["'maims'", "'hurts'"],
    ),
    "effect from no source": (
        "needs: []",
        'effects: [{"on": [major], does: hurts, source: practise}]',
        18,
        ["'practise'", "practice"],
    ),
    "limits without the kind": (
        "needs: []",
        'effects: [{"on": [major], does: hurts, limits: [dark], source: practice}]',
        18,
        ["does: limits", "hurts"],
    ),
    "no limits": (
        "needs: []",
        'effects: [{"on": [major], does: limits, source: practice}]',
        18,
        ["at least one limit"],
    ),
    "limit that is none": (
        "needs: []",
        'effects: [{"on": [major], does: limits, limits: [fog], source: practice}]',
        18,
        ["'fog'", "'rear_seat'"],
    ),
    "factor of a danger": (
        "needs: []",
        'effects: [{"on": [major], does: hurts, factor: "0.6", source: practice}]',
        18,
        ["does: lowers_value", "hurts"],
    ),
    "lower value without a factor": (
        "needs: []",
        'effects: [{"on": [major], does: lowers_value, source: practice}]',
        18,
        ["write both or neither"],
    ),
    "factor of a whole": (
        "needs: []",
        'effects: [{"on": [major], does: lowers_value, factor: "1.0", source: practice}]',
        18,
        ["'1.0'", "below 1"],
    ),
    "factor of nothing": (
        "needs: []",
        'effects: [{"on": [major], does: lowers_value, factor: "0.00", source: practice}]',
        18,
        ["'0.00'", "above 0"],
    ),
    "place that is none": ("needs: []", "places: [left]", 18, ["'left'", "'middle'"]),
    "two tests in one limit": ('below: "3"', 'below: "3", above: "9"', 17, ["tests 2"]),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_names_file_line_and_remedy(name: str, tmp_path: Path) -> None:
    old, new, line, words = FAULTS[name]
    assert AREA.count(old) == 1
    write(tmp_path, AREA.replace(old, new))
    if name == "area not the file's name":
        # every id begins with the other name then, which is said as well
        with pytest.raises(ChecklistError) as caught:
            load(tmp_path)
        said = str(caught.value)
    else:
        said = fault_of(tmp_path)
    assert f"brakes.yaml:{line}: " in said, said
    for word in words:
        assert word in said, said


def test_a_regions_own_law_lets_the_others_stand_aside(tmp_path: Path) -> None:
    laws = (
        '{of: pad, below: "1/16", unit: in, grade: major, source: law-here}\n'
        '      - {of: pad, below: "1.6", unit: mm, grade: major, source: law-there}'
    )
    load(write(tmp_path, AREA.replace("\n    needs: []", f"\n      - {laws}\n    needs: []")))


def test_practice_is_no_regions_law(tmp_path: Path) -> None:
    write(tmp_path, sources=SOURCES.replace("status: practice}", "status: practice, region: us}"))
    assert "practice isn't any region's law" in fault_of(tmp_path)


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    write(tmp_path, AREA.replace("stage: underneath", "stage: below").replace("look:", "lok:"))
    with pytest.raises(ChecklistError) as caught:
        load(tmp_path)
    assert [fault.line for fault in caught.value.faults] == [6, 8, 11]


def test_items_that_wait_for_one_another_are_told(tmp_path: Path) -> None:
    second = AREA.split("items:\n")[1].replace("front-pads", "rear-pads")
    both = AREA.replace("needs: []", "needs: [brakes.rear-pads]") + second.replace(
        "needs: []", "needs: [brakes.front-pads]"
    )
    write(tmp_path, both)
    with pytest.raises(ChecklistError) as caught:
        load(tmp_path)
    assert [fault.line for fault in caught.value.faults] == [18, 32]
    assert "comes back to itself" in str(caught.value)


def test_a_hold_group_that_holds_one_item_is_told(tmp_path: Path) -> None:
    grouped = AREA.replace("needs: []", "hold_group: linings")
    second = grouped.split("items:\n")[1].replace("front-pads", "rear-pads")
    write(tmp_path, grouped + second.replace("linings", "lining"))
    with pytest.raises(ChecklistError) as caught:
        load(tmp_path)
    assert [fault.line for fault in caught.value.faults] == [18, 32]
    assert "'linings'" in str(caught.value)
    write(tmp_path, grouped + second)
    rules = bundle(load(tmp_path))["rules"]["items"]
    assert [rule.get("hold_group") for rule in rules.values()] == ["linings", "linings"]


def test_a_prerequisite_from_a_later_stage_is_told(tmp_path: Path) -> None:
    later = AREA.split("items:\n")[1].replace("front-pads", "stop").replace("underneath", "road")
    write(tmp_path, AREA.replace("needs: []", "needs: [brakes.stop]") + later)
    assert "which comes later (road)" in fault_of(tmp_path)


def test_an_essential_item_is_never_left_to_thorough_visits(tmp_path: Path) -> None:
    write(tmp_path, AREA.replace("needs: []", "depth: thorough\n    drive: essential"))
    assert "take out `depth: thorough`" in fault_of(tmp_path)


def test_a_combination_names_items_and_choices_that_exist(tmp_path: Path) -> None:
    table = """\
combinations:
  - id: two
    all:
      - {item: brakes.front-pad, at_least: minor}
    grade: major
    reason: Two faults at once.
    source: practice
"""
    write(tmp_path, combinations=table)
    said = fault_of(tmp_path)
    assert "combinations.yaml:4: " in said
    assert "did you mean 'brakes.front-pads'?" in said


def test_a_maintenance_row_names_remedies_that_exist(tmp_path: Path) -> None:
    table = """\
baseline:
  - id: pads
    title: Pads
    item: brakes.front-pads
    done_by: [brakes.front-pads/pads, brakes.front-pads/pad]
    source: practice
"""
    remedy = "remedies:\n      - {id: pads, title: New pads, kind: part, for: [minor]}"
    write(tmp_path, AREA.replace("needs: []", remedy), baseline=table)
    with pytest.raises(ChecklistError) as caught:
        load(tmp_path)
    said = str(caught.value)
    assert "baseline.yaml:5: there's no remedy 'brakes.front-pads/pad'" in said
    assert "did you mean 'brakes.front-pads/pads'?" in said


def test_a_cover_names_an_entry_of_a_published_list(tmp_path: Path) -> None:
    write(tmp_path, AREA.replace("needs: []", 'covers: ["law:1"]'))
    (tmp_path / "published").mkdir()
    (tmp_path / "published" / "law.yaml").write_text(
        "published: law\ntitle: A law\nsection: 1\nstatus: memory\nentries:\n"
        '  - {id: "1.1", title: Pads}\n'
    )
    assert "did you mean 'law:1.1'?" in fault_of(tmp_path)


def test_an_empty_folder_is_told(tmp_path: Path) -> None:
    assert "no .yaml file here" in fault_of(tmp_path)


def test_a_file_that_is_not_utf8_is_told(tmp_path: Path) -> None:
    write(tmp_path)
    (tmp_path / "sources.yaml").write_bytes(b"sources: \xff\xfe")
    assert "UTF-8" in fault_of(tmp_path)


@given(place=st.integers(0, len(AREA) - 1), cut=st.integers(0, 30), put=st.text(max_size=8))
def test_a_damaged_file_is_read_or_told_never_a_crash(
    tmp_path_factory: pytest.TempPathFactory, place: int, cut: int, put: str
) -> None:
    folder = tmp_path_factory.mktemp("damaged")
    write(folder, AREA[:place] + put + AREA[place + cut :])
    faults = []
    try:
        load(folder)
    except ChecklistError as error:
        faults = error.faults
    assert all(fault.line >= 1 and fault.wrong for fault in faults)


def test_brackets_without_end_are_told(tmp_path: Path) -> None:
    write(tmp_path, more="[" * 5000)
    assert "more.yaml:1: " in fault_of(tmp_path)


@pytest.mark.parametrize(
    ("given", "instead", "told"),
    [
        (
            "tools: [depth-gauge]",
            "tools: [depth-gage]",
            "brakes.front-pads: there's no tool 'depth-gage'; did you mean 'depth-gauge'?",
        ),
        (
            "with a gauge.",
            "with a gauge and a flashlight.",
            "brakes.front-pads: `how` says “flashlight”; name flashlight under `tools` too",
        ),
        (
            "tools: [depth-gauge]",
            "tools: []",
            "brakes.front-pads: nobody reads pad by eye; name under `tools` what it's read with",
        ),
    ],
)
def test_the_tools_of_an_item_are_those_that_it_takes(
    tmp_path: Path, given: str, instead: str, told: str
) -> None:
    assert told in fault_of(write(tmp_path, AREA.replace(given, instead)))


def test_a_remedy_is_for_answers_that_there_are(tmp_path: Path) -> None:
    area = AREA.replace(
        "    needs: []\n",
        """    answers: [grade, choice]
    choices:
      - {id: there, title: Pads are there, grade: none}
      - {id: gone, title: Pads are gone, grade: major}
    remedies:
      - {id: pads, title: New pads, kind: part, for: [major], choices: [lost]}
    needs: []
""",
    )
    assert "there's no choice 'lost' there; write one of" in fault_of(write(tmp_path, area))


PROFILE = """\
profile:
  - id: brakes
    title: Brakes
    facts:
      - {id: pad_least, title: Least pad, fills: [brakes.front-pads/least]}
"""
WITH_FIGURE = AREA.replace(
    'plausible: ["0", "30"]}',
    'plausible: ["0", "30"], wants: [least]}\n'
    '      - {id: least, title: Least pad, quantity: length, units: [mm], plausible: ["0", "9"]}',
)


def test_a_figure_of_the_profile_reaches_the_reading_that_it_fills(tmp_path: Path) -> None:
    made = bundle(load(write(tmp_path, WITH_FIGURE, profile=PROFILE)))
    [pad, least] = made["rules"]["items"]["brakes.front-pads"]["readings"]
    assert (pad["wants"], least["figure"]) == (["least"], "pad_least")
    [group] = made["profile"]
    assert group["facts"][0]["reading"] == {
        "quantity": "length",
        "units": ["mm"],
        "at": [],
        "optional": [],
        "plausible": ["0", "9"],
    }


@pytest.mark.parametrize(
    ("area", "profile", "fault"),
    [
        (WITH_FIGURE, "", "brakes.yaml:14: brakes.front-pads: nothing in profile.yaml fills least"),
        (
            WITH_FIGURE.replace("wants: [least]", "wants: [most]"),
            PROFILE,
            "pad wants most, which is no other reading of this item. Its readings: pad, least.",
        ),
        (WITH_FIGURE, PROFILE.replace("/least", "/leest"), "profile.yaml:5: there's no reading"),
        (
            WITH_FIGURE,
            PROFILE + PROFILE.partition("facts:\n")[2],
            "profile.yaml:6: pad_least is asked twice",
        ),
        (
            WITH_FIGURE,
            PROFILE.replace("]}", "], text: true}"),
            "pad_least: give it choices, or readings that it fills, or text: true",
        ),
        (
            WITH_FIGURE,
            PROFILE.replace("least]}", "least, brakes.front-pads/pad]}").replace(
                "front-pads/least,", "front-pads/least, brakes.front-pads/least,"
            ),
            "is filled by another figure already",
        ),
    ],
)
def test_a_fault_of_the_profile_is_told_at_its_line(
    area: str, profile: str, fault: str, tmp_path: Path
) -> None:
    files = {"profile": profile} if profile else {}
    with pytest.raises(ChecklistError) as caught:
        load(write(tmp_path, area, **files))
    assert fault in str(caught.value)
