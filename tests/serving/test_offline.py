"""What a phone takes along: the checklist, and what of it reads otherwise in its language."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from bradawl.common import settings
from bradawl.language.checklist_texts import MARK
from bradawl.serving.app import create_app
from bradawl.serving.build_cache import Document
from bradawl.serving.judge_files import judge_files, trouble_files
from tests.checkout import checklist_bundle
from tests.fresh import furnished

NAME = "ours"


@pytest.fixture
def app(tmp_path: Path) -> Any:
    app = create_app(settings.at(furnished(tmp_path)))
    yield app
    app.state.core.log.close()


@pytest.fixture
def phone(app: Any) -> TestClient:
    return TestClient(app, base_url="http://localhost")


def test_translations_have_their_own_address_and_are_kept_for_ever(
    phone: TestClient,
) -> None:
    address = phone.get("/api/v1/offline").json()["checklists"]
    english = phone.get(address).json()
    whole: Any = checklist_bundle()
    apart = ("locales", "symptoms")
    assert english == {key: part for key, part in whole.items() if key not in apart}
    answer = phone.get(address.replace(".json", "/es-US.json"))
    assert "immutable" in answer.headers["cache-control"]
    said = whole["locales"]["es-US"]["cautions/jacking/title"]
    assert answer.json()["cautions"]["jacking"]["title"] == said
    assert phone.get(address.replace(".json", "/en-US.json")).json() == {}


def test_a_shops_copy_from_before_there_were_complaints_gets_those_of_bradawl(
    app: Any, phone: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    core, name = app.state.core, "a" * 64
    whole: Any = checklist_bundle()
    assert phone.get("/api/v1/offline").json()["complaints"].split("/")[-2] == whole["hash"]
    copy = {key: part for key, part in whole.items() if key != "symptoms"} | {"hash": name}
    core._adapted[name] = Document.of(name, copy)
    monkeypatch.setattr(core.adapted_checklists, "in_use", lambda: (1, name))
    names = phone.get("/api/v1/offline").json()
    assert name in names["checklists"]
    assert phone.get(names["checklists"]).json()["hash"] == name
    assert phone.get(names["complaints"]).json() == {"symptoms": whole["symptoms"]}


def test_what_leads_from_symptom_to_cause_has_addresses_of_its_own(phone: TestClient) -> None:
    names = phone.get("/api/v1/offline").json()
    whole: Any = checklist_bundle()
    answer = phone.get(names["checklists"].replace(".json", "/trouble.json"))
    assert answer.json() == {"symptoms": whole["symptoms"]}
    assert "immutable" in answer.headers["cache-control"]
    assert phone.get(names["judge"]).json() == {"files": judge_files()}
    later = phone.get(names["judge"].replace(".json", "/trouble.json"))
    assert later.json() == {"files": trouble_files()}
    assert "immutable" in later.headers["cache-control"]
    assert phone.get(f"/api/v1/judge/{'0' * 64}/trouble.json").status_code == 404


def test_a_text_that_a_shop_changed_is_sent_as_the_shop_wrote_it(
    app: Any, phone: TestClient
) -> None:
    ours = app.state.core.adapted_checklists
    ours.copy(NAME)
    text = ours.read(NAME, "cautions.yaml")
    title = "title: Car in the air"
    assert title in text
    ours.save(NAME, "cautions.yaml", text.replace(title, "title: Up in the air", 1))
    version = ours.keep(NAME, "Ada", "our own title")
    sent = phone.get(f"/api/v1/checklists/{version.hash}/es-US.json").json()
    assert sent["cautions"]["jacking"]["title"] == "Up in the air" + MARK
    assert MARK not in sent["cautions"]["jacking"]["text"]


@pytest.mark.parametrize("end", ["/qq.json", "/..%2f.json", "0/es-US.json"])
def test_no_other_language_and_no_other_checklist_is_there(phone: TestClient, end: str) -> None:
    known = phone.get("/api/v1/offline").json()["checklists"].removesuffix(".json")
    assert phone.get(known + end).status_code == 404
