"""Reports judged again in the page: as CPython's judge has them, and pages that say otherwise."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from bradawl.demo.phone import visit_of
from bradawl.inspection.snapshot import Snapshot, gather
from bradawl.report.model.editions.edition import EDITIONS, Edition
from bradawl.report.signing.keys import Signer
from bradawl.serving.build_cache import Document
from tests.amount import amount
from tests.report.full_visit import TODAY, demo
from tests.report.test_mended import DONE, SHOWN
from tests.report.test_mended import visit as mended_visit
from tests.report.tools import build


def _visits() -> list[Snapshot]:
    source = demo()
    return [
        gather(source, visit_of(one), today=TODAY, current_bundle=lambda: source.checklist)
        for one in source.scenarios
    ]


def _opened(page: Page, pdf: bytes, tmp_path: Path) -> dict[str, tuple[str, str, str]]:
    """Each statement: how it stands, what the report says, and whether the pages print it."""
    file = tmp_path / f"{hashlib.sha256(pdf).hexdigest()}.pdf"
    file.write_bytes(pdf)
    page.set_input_files("#file", file)
    expect(page.locator(f'[data-file="{file.name}"] [data-again="judged"]')).to_be_attached()
    rows = page.locator("tr[data-statement]").evaluate_all(
        """rows => rows.map(row => [row.dataset.statement, row.dataset.standing,
            row.cells[1].textContent, row.cells[3].dataset.printed])"""
    )
    return {name: (standing, said, printed) for name, standing, said, printed in rows}


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_demo_report_is_judged_as_cpython_judges_it(
    page: Page, shop: Signer, judge: Document, tmp_path: Path, edition: Edition
) -> None:
    """In `make test` each car's in one edition, in `make proof` in every one."""
    for at, visit in enumerate(_visits()):
        if (at + EDITIONS.index(edition)) % len(EDITIONS) >= amount(len(EDITIONS), short=1):
            continue
        pdf = build(visit, edition, shop, today=TODAY, judge=judge.hash)
        found = _opened(page, pdf, tmp_path)
        assert {standing for standing, *_ in found.values()} == {"same"}
        assessment = visit.assessment
        grades = [assessment["items"][item]["grade"] for item in assessment["findings"]]
        for grade in ("dangerous", "major", "minor"):
            assert found[f"grade {grade}"][1] == str(grades.count(grade))
        assert {name for name in found if name.startswith("area ")} == {
            f"area {row['area']}" for row in assessment["areas"]
        }
        assert ("price" in found) == (edition == "partner" and _has_price(assessment))
        assert [name for name, row in found.items() if row[2] == "other"] == []


def _has_price(assessment: Any) -> bool:
    return any(
        "top" in clause["said"].get("args", {}) for clause in assessment["decision"]["spoken"]
    )


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_report_after_a_repair_and_a_purchase_still_follows_from_its_record(
    page: Page, shop: Signer, judge: Document, tmp_path: Path, edition: Edition
) -> None:
    """The statements are of the inspection; page 1 prints both answers, that of now first."""
    owned = ("life/state", {"state": "bought", "date": "2026-11-26", "price_cents": 345_600})
    later = ("items/engine.mounts/grade", {"grade": "major"})
    for more in ((), (owned,), (owned, later)):
        visit = mended_visit(*DONE, SHOWN, *more)
        found = _opened(page, build(visit, edition, shop, today=TODAY, judge=judge.hash), tmp_path)
        about_now = {name for name, row in found.items() if row[0] != "same"}
        assert about_now <= ({"price", "buy"} if later in more else set())
        assert {found[name][0] for name in about_now} <= {"withheld"}
        assert found["drive"][2] == "expected"
        assert [name for name, row in found.items() if row[2] == "other"] == []


def test_a_report_that_does_not_follow_from_its_record_is_told(
    page: Page, shop: Signer, judge: Document, tmp_path: Path
) -> None:
    visit = next(one for one in _visits() if one.assessment["drive_home"]["answer"] == "trailer")
    forged: Any = {**visit.assessment, "drive_home": {**visit.assessment["drive_home"]}}
    forged["drive_home"] |= {"answer": "drive", "said": {"id": "judge-answer-drive"}}
    forged["decision"] = {
        **visit.assessment["decision"],
        "drive": "drive",
        "spoken": [{"said": {"id": "judge-drive-drive"}, "item": ""}],
    }
    lying = replace(visit, assessment=forged)
    for judged_by, standing in ((judge.hash, "differs"), ("another", "judge")):
        pdf = build(lying, "partner", shop, today=TODAY, judge=judged_by)
        found = _opened(page, pdf, tmp_path)
        assert found["drive"] == (standing, "Drive it home", "other")
        assert found["grade dangerous"][0] == "same"
