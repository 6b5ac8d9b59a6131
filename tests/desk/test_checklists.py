"""Checklists are copied, adapted with checks, tried, kept; a visit keeps the one it began with.

Oracle of soundness: the loader of the checklists, which `bradawl checklists check` uses too.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from bradawl.common import resources, settings
from bradawl.desk.model.checklists.versions import (
    ChecklistRefusal,
    ChecklistVersions,
    UnknownChecklist,
)
from bradawl.serving.app import create_app
from bradawl.serving.core import compiled
from tests.desk.conftest import VISIT, Workshop
from tests.fresh import furnished

NAME = "two-strokes"
PAGE = f"/desk/checklists/{NAME}"
AREA = """area: brakes
title: Brakes
report_order: 4
walk_order: 1
items:
  - id: brakes.pads
    title: Front pad thickness
    look: Both pads of each front wheel.
    how: Through the wheel, with a small gauge.
    where: front wheels
    stage: underneath
    minutes: "2"
    answers: [grade]
    tools: [depth-gauge]
    readings:
      - id: pad
        title: Pad
        quantity: length
        units: [mm]
        at: [front-left, front-right]
        plausible: ["0", "30"]
    settled_by: [pad]
    limits:
      - {of: pad, below: "1", unit: mm, grade: dangerous, source: practice}
"""


@pytest.fixture
def base(tmp_path: Path) -> Path:
    """A small checklist of one item, with the tables that every checklist has."""
    own = resources.path_of("checklists")
    folder = tmp_path / "base"
    folder.mkdir()
    (folder / "brakes.yaml").write_text(AREA, encoding="utf-8")
    for name in ("sources.yaml", "cautions.yaml"):
        (folder / name).write_bytes((own / name).read_bytes())
    return folder


@pytest.fixture
def checklists(base: Path, tmp_path: Path, workshop: Workshop) -> ChecklistVersions:
    return ChecklistVersions(base, tmp_path / "adapted", compiled, workshop.log.put_bundle)


@pytest.fixture
def client(workshop: Workshop, checklists: ChecklistVersions) -> TestClient:
    workshop.checklists = checklists
    return TestClient(workshop.site())


def test_the_base_of_these_tests_is_sound(base: Path) -> None:
    bundle, faults = compiled(base)
    assert faults == []
    assert bundle is not None


def test_a_copy_is_adapted_kept_used_and_brought_back(
    client: TestClient, checklists: ChecklistVersions
) -> None:
    assert client.post("/desk/checklists", data={"name": NAME}).status_code == 200
    own = client.post(f"{PAGE}/keep", data={"note": "as it came"})
    assert own.status_code == 200
    text = AREA.replace('below: "1"', 'below: "4"')
    page = client.post(f"{PAGE}/brakes.yaml", data={"text": text})
    assert "Saved in the draft" in page.text
    client.post(f"{PAGE}/keep", data={"note": "stricter <pads>"})
    newest, oldest = checklists.versions(NAME)
    assert newest.hash != oldest.hash
    assert newest.note == "stricter <pads>"
    assert newest.by == "Desk"
    page = client.get(PAGE).text
    assert "stricter &lt;pads&gt;" in page
    client.post("/desk/checklists/use", data={"name": NAME, "version": newest.hash})
    assert checklists.in_use() == (NAME, newest.hash)
    client.post("/desk/checklists/use", data={})
    assert checklists.in_use() is None
    client.post(f"{PAGE}/bring-back", data={"version": oldest.hash})
    assert checklists.read(NAME, "brakes.yaml") == AREA


def test_a_text_is_checked_as_it_is_typed_and_nothing_is_saved(
    client: TestClient, checklists: ChecklistVersions
) -> None:
    client.post("/desk/checklists", data={"name": NAME})
    wrong = AREA.replace("unit: mm, grade: dangerous", "unit: psi, grade: dangerous")
    found = client.post(f"{PAGE}/check/brakes.yaml", data={"text": wrong}).json()
    assert found["summary"] == "1 mistake in the draft"
    assert found["faults"][0].startswith("brakes.yaml, line 6: ")
    assert "psi" in found["faults"][0]
    assert checklists.read(NAME, "brakes.yaml") == AREA
    assert client.post(f"{PAGE}/check/brakes.yaml", data={"text": AREA}).json() == {
        "summary": "No mistakes.",
        "faults": [],
    }


def test_a_text_with_faults_is_kept_as_a_draft_but_not_as_a_version(
    client: TestClient, checklists: ChecklistVersions
) -> None:
    client.post("/desk/checklists", data={"name": NAME})
    page = client.post(f"{PAGE}/brakes.yaml", data={"text": AREA + "   broken: ["})
    assert page.status_code == 200
    assert "1 mistake" in page.text
    assert checklists.read(NAME, "brakes.yaml").endswith("broken: [")
    page = client.post(f"{PAGE}/keep", data={})
    assert page.status_code == 422
    assert "Fix it first" in page.text
    assert checklists.versions(NAME) == []


def test_trying_a_draft_shows_what_would_be_judged_otherwise(
    client: TestClient, workshop: Workshop, checklists: ChecklistVersions
) -> None:
    bundle, _ = compiled(checklists._base)
    assert bundle is not None
    workshop.log.put_bundle(bundle)
    workshop.real = True
    workshop.write(
        [
            ("about/bundle", bundle["hash"]),
            ("car/make", "Testmobil"),
            ("items/brakes.pads/readings/pad/front-left", {"typed": "3", "unit": "mm"}),
            ("items/brakes.pads/readings/pad/front-right", {"typed": "3", "unit": "mm"}),
        ]
    )
    client.post("/desk/checklists", data={"name": NAME})
    before = workshop.log.events_of(VISIT)
    page = client.get(f"{PAGE}/try", params={"visit": VISIT}).text
    assert "Every check is rated as it is now" in page
    client.post(f"{PAGE}/brakes.yaml", data={"text": AREA.replace('below: "1"', 'below: "4"')})
    page = client.get(f"{PAGE}/try", params={"visit": VISIT}).text
    assert "1 check is rated differently" in page
    assert re.search(r"<td[^>]*>OK</td>", page)
    assert "<b>Unsafe</b>" in page
    # nothing was recorded, and the visit keeps its own
    assert workshop.log.events_of(VISIT) == before
    assert workshop.snapshot(VISIT).bundle["hash"] == bundle["hash"]


@pytest.mark.parametrize("name", ["", "../up", "Upper", "a--b", "x" * 41, "a/b"])
def test_a_name_that_could_leave_the_folder_is_refused(
    checklists: ChecklistVersions, name: str
) -> None:
    with pytest.raises(ChecklistRefusal, match="be a name"):
        checklists.copy(name)


@pytest.mark.parametrize("file", ["../../secret.yaml", "/etc/passwd", "nothing.yaml", "x.py"])
def test_only_the_checklist_s_own_files_are_read_or_written(
    checklists: ChecklistVersions, file: str
) -> None:
    checklists.copy(NAME)
    with pytest.raises(UnknownChecklist, match="no file of that name"):
        checklists.read(NAME, file)
    with pytest.raises(UnknownChecklist, match="no file of that name"):
        checklists.save(NAME, file, "text")


def test_a_copy_never_replaces_another(checklists: ChecklistVersions) -> None:
    checklists.copy(NAME)
    checklists.save(NAME, "brakes.yaml", "mine")
    with pytest.raises(ChecklistRefusal, match="already"):
        checklists.copy(NAME)
    assert checklists.read(NAME, "brakes.yaml") == "mine"


def test_new_visits_begin_with_the_version_in_use(tmp_path: Path) -> None:
    app = create_app(settings.at(furnished(tmp_path)))
    core = app.state.core
    phone = TestClient(app, base_url="http://localhost")
    own = phone.get("/api/v1/offline").json()["checklists"]
    core.adapted_checklists.copy(NAME)
    text = core.adapted_checklists.read(NAME, "brakes.yaml")
    core.adapted_checklists.save(
        NAME, "brakes.yaml", text.replace("title: Brakes", "title: Our brakes", 1)
    )
    version = core.adapted_checklists.keep(NAME, "Ada", "our own title")
    assert phone.get("/api/v1/offline").json()["checklists"] == own
    core.adapted_checklists.use(NAME, version.hash)
    offered = phone.get("/api/v1/offline").json()["checklists"]
    assert offered == f"/api/v1/checklists/{version.hash}.json"
    assert "Our brakes" in [area["title"] for area in phone.get(offered).json()["areas"]]
    # a phone in the middle of a visit still gets the one it began with
    assert phone.get(own).status_code == 200
    core.adapted_checklists.use("", "")
    assert phone.get("/api/v1/offline").json()["checklists"] == own
    core.log.close()
