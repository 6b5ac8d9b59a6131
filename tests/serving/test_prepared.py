"""What a start reads instead of making it, and what it must not load."""

from __future__ import annotations

import gzip
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from bradawl.common import resources, settings
from bradawl.language import reading_as
from bradawl.language.reader import Reader
from bradawl.serving import build_cache
from bradawl.serving.core import Bradawl
from bradawl.serving.judge_files import judge_files, trouble_files
from tests.fresh import furnished
from tests.log.server import VISIT
from tests.log.writer import Writer

#: Slow to import and needed for single pages, commands or a first start only.
HEAVY = ("PIL", "alembic", "cryptography", "jinja2", "numpy", "openpyxl", "pikepdf",
         "pyhanko", "reportlab", "yaml")  # fmt: skip


def modules_after(script: str, data: Path) -> set[str]:
    """Top-level modules that a Python process has loaded after a script."""
    done = subprocess.run(
        [sys.executable, "-c", f"{script}\nimport sys, json; print(json.dumps(list(sys.modules)))"],
        env={**os.environ, "BRADAWL_DATA": str(data)},
        check=True,
        capture_output=True,
        text=True,
    )
    return {name.partition(".")[0] for name in json.loads(done.stdout.splitlines()[-1])}


def test_an_ordinary_start_loads_nothing_that_it_does_not_need(tmp_path: Path) -> None:
    script = (
        "from bradawl.serving.app import create_app; "
        "from bradawl.common.settings import from_environment; "
        "create_app(from_environment())"
    )
    assert "yaml" in modules_after(script, tmp_path)  # the first reads the checklists
    assert not modules_after(script, tmp_path) & {*HEAVY}


def test_the_command_line_loads_no_part_before_it_is_asked_for(tmp_path: Path) -> None:
    loaded = modules_after("from bradawl.cli import parser; parser()", tmp_path)
    assert not loaded & {*HEAVY, "fastapi", "pydantic", "sqlalchemy", "uvicorn"}


def test_the_judge_is_kept_and_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = build_cache.judge(tmp_path / "kept")
    assert made.value == {"files": judge_files(), "trouble": trouble_files()}

    def fail() -> dict[str, str]:
        raise AssertionError("made again")

    monkeypatch.setattr("bradawl.serving.judge_files.judge_files", fail)
    assert build_cache.judge(tmp_path / "kept") == made


def test_a_damaged_file_is_made_again(tmp_path: Path) -> None:
    made = build_cache.judge(tmp_path / "kept")
    (path,) = (tmp_path / "kept").iterdir()
    path.write_bytes(path.read_bytes()[:-20])
    assert build_cache.judge(tmp_path / "kept") == made
    assert gzip.decompress(path.read_bytes()).decode() == made.text


def test_changed_checklists_are_made_again_and_the_old_ones_go(tmp_path: Path) -> None:
    folder = tmp_path / "checklists"
    shutil.copytree(resources.path_of("checklists"), folder)
    before = build_cache.checklists(folder, tmp_path / "kept")
    assert before.value["hash"] == before.hash
    sources = folder / "cautions.yaml"
    sources.write_text(sources.read_text().replace("title: ", "title: New ", 1))
    after = build_cache.checklists(folder, tmp_path / "kept")
    assert after.hash != before.hash
    assert len(list((tmp_path / "kept").iterdir())) == 1
    assert build_cache.checklists(folder, tmp_path / "kept") == after


def test_a_folder_that_may_not_be_written_costs_only_time(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    assert build_cache.judge(blocked / "kept").value["files"]


def test_what_a_reader_of_another_language_reads_is_made_once(tmp_path: Path) -> None:
    """Made anew for each title of a plan, a Spanish reader's page took minutes."""
    core = Bradawl(settings.at(furnished(tmp_path / "data")))
    writer = Writer()
    writer.put("car/make", "Tarn")
    core.log.push(writer.batch(), received_ms=writer.ms)
    snapshot = core.snapshot(VISIT)
    with reading_as(Reader("es-US")):
        assert snapshot.texts is snapshot.texts
        assert core.snapshot(VISIT).texts["items"] is snapshot.texts["items"]
    core.close()
