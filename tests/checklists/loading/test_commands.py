"""`bradawl checklists check`, `coverage` and `schema`, as a person types them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bradawl.checklists.loader import FILES
from bradawl.checklists.schema import schema
from bradawl.cli import main


def copy(folder: Path, to: Path, old: str = "", new: str = "") -> Path:
    """The checklists in another folder, with one text replaced."""
    for path in [path for place in FILES for path in folder.glob(place)]:
        text = path.read_text(encoding="utf-8")
        (to / path.relative_to(folder)).parent.mkdir(parents=True, exist_ok=True)
        (to / path.relative_to(folder)).write_text(text.replace(old, new) if old else text)
    return to


def test_check_says_what_it_found_sound(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["checklists", "check"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Sound: ")
    assert " items in 24 areas, " in said


def test_check_fails_and_names_the_line(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wrong = copy(folder, tmp_path, "source: cfr570.10.b", "source: cfr570.10.d")
    assert main(["checklists", "check", str(wrong)]) == 1
    said = capsys.readouterr().err
    text = (wrong / "tyres.yaml").read_text(encoding="utf-8")
    line = text[: text.index("cfr570.10.d")].count("\n") + 1
    assert f"tyres.yaml:{line}: tyres.runout: there's no source 'cfr570.10.d'" in said
    assert "1 faults." not in said


def test_coverage_prints_covered_excused_and_total(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["checklists", "coverage"]) == 0
    said = capsys.readouterr().out
    assert "ucr: 54 covered, 0 excused, 0 lost, 54 in all" in said
    assert "cfr570: 32 covered, 1 excused, 0 lost, 33 in all" in said
    assert "eu: 118 covered, 22 excused, 0 lost, 140 in all" in said
    assert "excused 1.3.2: The percentage needs a roller brake tester" in said


def test_coverage_fails_when_an_entry_is_lost(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    without = copy(folder, tmp_path, '"ucr:DIFF-2", ')
    assert main(["checklists", "coverage", str(without)]) == 1
    assert "LOST DIFF-2" in capsys.readouterr().out


def test_coverage_of_files_with_faults_says_the_faults(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wrong = copy(folder, tmp_path, "stage: underneath", "stage: below")
    assert main(["checklists", "coverage", str(wrong)]) == 1
    assert "'below' isn't allowed" in capsys.readouterr().err


def test_schema_prints_the_schema(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["checklists", "schema"]) == 0
    assert json.loads(capsys.readouterr().out) == schema()
