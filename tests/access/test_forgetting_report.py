"""What was forgotten is in no report that is made afterwards, attachments included."""

from __future__ import annotations

import hashlib
import io
import json
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from bradawl import settings as places
from bradawl.access.people import desk_device
from bradawl.app import Bradawl
from bradawl.judgement import fold, photos_text, record_text

PHONE = "d1" * 16
VISIT = "a1" * 16
SECRETS = ("Wexcombe", "555 0199", "Quarry")


@pytest.fixture(scope="module")
def core(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bradawl]:
    one = Bradawl(places.at(tmp_path_factory.mktemp("data")))
    one.log.append(
        PHONE,
        VISIT,
        [
            ("about/bundle", one.checklists.hash),
            ("about/started", {"date": "2026-11-25", "time": "09:20", "zone": "+01:00"}),
            ("about/inspector", "Ada"),
            ("about/seller", "Tilda Wexcombe, 0171 555 0199"),
            ("about/place", "12 Quarry Lane"),
            ("car/make", "Testa"),
            ("car/model", "Uno"),
            ("car/year", 1974),
        ],
    )
    events = one.log.events_of(VISIT)
    cells = fold(events)
    seal = {
        "name": "Ada",
        "place": "12 Quarry Lane",
        "at": {"date": "2026-11-25", "time": "10:00", "zone": "+01:00"},
        "strokes": [[1, 1, 5, 5]],
        "box": [10, 10],
        "through": {PHONE: len(events)},
        "record": hashlib.sha256(record_text(VISIT, cells).encode()).hexdigest(),
        "photos": {"count": 0, "hash": hashlib.sha256(photos_text(cells).encode()).hexdigest()},
    }
    one.log.append(PHONE, VISIT, [("seal/1", seal)])
    yield one
    one.close()


def everything_in(pdf: bytes) -> str:
    """The text of the pages, the document's metadata and every attached file."""
    text = subprocess.run(["pdftotext", "-", "-"], input=pdf, capture_output=True, check=True)
    found = [text.stdout.decode()]
    with pikepdf.open(io.BytesIO(pdf)) as document:
        found.append(json.dumps({str(k): str(v) for k, v in document.docinfo.items()}))
        found.append(str(document.open_metadata()))
        for attached in document.attachments.values():
            found.append(attached.get_file().read_bytes().decode(errors="replace"))
    return "\n".join(found)


def test_reports_made_after_forgetting_do_not_name_the_seller(core: Bradawl) -> None:
    editions: tuple[Any, ...] = ("condition", "partner")
    before = [core.report(core.dossier(VISIT), edition, "A4") for edition in editions]
    assert all("Quarry" in everything_in(pdf) for pdf in before)
    found = core.forgetting.find(VISIT)
    owner = core.access.first_owner()
    core.forgetting.forget(VISIT, [(one.put, one.part) for one in found], desk_device(owner.id))

    for edition in editions:
        after = core.report(core.dossier(VISIT), edition, "A4")
        said = everything_in(after)
        for secret in SECRETS:
            assert secret not in said
        assert "Testa" in said
        verdict = core.verify(after)
        assert verdict.whole, verdict.lines
    # A file that was handed out before is still as whole as it was.
    assert all(core.verify(pdf).whole for pdf in before)


def test_the_command_forgets_and_says_what_it_may_have_missed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from bradawl import cli

    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path))
    one = Bradawl(places.at(tmp_path))
    note = "items/papers.receipts/note"
    one.log.append(PHONE, VISIT, [("about/seller", "Tilda Wexcombe"), (note, "Wexcombe's own")])
    one.close()
    assert cli.main(["forget", "ffff"]) == 1
    assert "No visit" in capsys.readouterr().err

    monkeypatch.setattr("builtins.input", lambda _: "no")
    assert cli.main(["forget", VISIT[:6]]) == 1
    assert f"--also {note}" in capsys.readouterr().out

    assert cli.main(["forget", VISIT[:6], "--yes", "--also", note]) == 0
    assert "Forgotten: 2 values." in capsys.readouterr().out
    one = Bradawl(places.at(tmp_path))
    assert "Wexcombe" not in json.dumps(one.dossier(VISIT).events)
    assert one.access.audit.lines()[0].act == "forgot 2 values"
    one.close()
