"""Erased is gone: from the whole data folder, from what is made of it, and from the audit trail."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from bradawl import cli
from bradawl.access.core.models import desk_device
from bradawl.backup.create import write_backup
from bradawl.log.integrity.doctor import examine
from bradawl.report.printing import Printing
from bradawl.report.signing.trust import ledger_in
from bradawl.serving.backups.records import store_of
from tests.access.conftest import Server
from tests.access.personal_data.forgotten import (
    KEY,
    LETTER,
    LETTER_PATH,
    NOTE,
    PHONE,
    PLACE,
    READING,
    SECRETS,
    SELLER,
    SILL,
    SILL_PATH,
    VISIT,
    WHY,
    Shop,
    everything_in,
    found_in,
)
from tests.log.photos.pictures import sha256
from tests.log.photos.test_recordings import SOUND

PAGE = f"/desk/visits/{VISIT}/forget"
ALL = ("about/seller", "about/place", NOTE, WHY, SILL_PATH)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    one = Shop(tmp_path / "data", tmp_path / "state")
    one.fill()
    yield one
    one.stop()


@pytest.fixture
def desk(shop: Shop) -> TestClient:
    """The local desk, open to its owner."""
    return TestClient(
        shop.app,
        base_url="https://localhost",
        client=("127.0.0.1", 50_000),
        follow_redirects=False,
    )


def forget(shop: Shop, *paths: str, whole: tuple[str, ...] = (LETTER_PATH,)) -> int:
    owner = shop.core.access.first_owner()
    return shop.core.forgetting.forget(VISIT, paths or ALL, desk_device(owner.id), whole=whole)


def seen_everywhere(shop: Shop, desk: TestClient) -> None:
    """Make all that the server makes of a visit and keeps: lists, pages, reports."""
    for address in ("/desk/", f"/desk/visits/{VISIT}", f"/desk/visits/{VISIT}/history", PAGE):
        assert desk.get(address).status_code == 200, address
    form = {"edition": "partner", "place": "on", "seller": "on", "photos": "on"}
    made = desk.post(f"/desk/visits/{VISIT}/report", data=form).headers["location"]
    for _ in range(600):
        if desk.get(f"{made}/file").status_code == 200:
            break
    assert list((shop.settings.data / "reports").glob("*.pdf"))


def test_nothing_in_the_data_folder_names_the_seller_any_more(shop: Shop, desk: TestClient) -> None:
    seen_everywhere(shop, desk)
    before = found_in(shop.settings.data)
    assert set().union(*before.values()) == set(SECRETS)
    assert forget(shop) == 8
    # while the server runs, in any file, whatever its name
    assert found_in(shop.settings.data) == {}
    assert found_in(shop.settings.chain_notes.parent) == {}
    assert not list((shop.settings.data / "reports").glob("*.pdf"))
    assert sha256(LETTER) not in " ".join(map(str, shop.settings.data.rglob("*")))
    seen_everywhere(shop, desk)
    assert found_in(shop.settings.data) == {}


def test_erasing_once_more_changes_nothing(shop: Shop) -> None:
    forget(shop)
    events = len(shop.core.log.events_of(VISIT))
    assert forget(shop, SILL_PATH, whole=()) == 0
    assert shop.core.forgetting.find(VISIT).found == []
    assert len(shop.core.log.events_of(VISIT)) == events


def test_findings_and_seal_stand_and_everything_is_whole(shop: Shop) -> None:
    forget(shop)
    snapshot = shop.core.snapshot(VISIT)
    assert [seal.holds for seal in snapshot.seals] == [True]
    assert snapshot.cells["items/rust.sill-front/grade"]["value"] == {"grade": "minor"}
    assert snapshot.cells[READING]["value"] == {"typed": "2.5", "unit": "mm"}
    assert snapshot.cells["about/seller"] == {
        "value": None, "at": snapshot.cells["about/seller"]["at"], "others": [], "erased": True
    }  # fmt: skip
    assert {one.put for one in snapshot.erased} == {*ALL, LETTER_PATH}
    assert examine(shop.core.log).findings == []


def test_the_reason_goes_and_the_grade_that_rests_on_it_stays(shop: Shop) -> None:
    item = "brakes.front-pads"
    before = shop.core.snapshot(VISIT).assessment["items"][item]
    assert before["overruled"]
    forget(shop, WHY)
    after = shop.core.snapshot(VISIT).assessment["items"][item]
    assert (after["grade"], after["overruled"]) == (before["grade"], True)
    assert after["reasons"][0]["said"]["args"]["why"] == {"term": "judge-erased-reason"}


def test_a_photo_stays_without_its_caption_and_goes_when_it_is_chosen(shop: Shop) -> None:
    forget(shop, SILL_PATH, whole=())
    log = shop.core.log
    value = shop.core.snapshot(VISIT).cells[SILL_PATH]["value"]
    assert value == {"caption": "", "type": "image/jpeg"}
    assert log.photo_original(sha256(SILL)) == SILL
    assert log.photo_original(sha256(LETTER)) == LETTER
    forget(shop, SILL_PATH, whole=(LETTER_PATH,))  # as from a page that is older than the record
    assert log.photo_original(sha256(LETTER)) is None
    assert log.photo(sha256(LETTER)) is None
    assert shop.core.snapshot(VISIT).cells[SILL_PATH]["value"] == value


def test_a_recording_that_was_sent_and_deleted_is_nowhere_but_here_until_it_is_erased(
    shop: Shop, desk: TestClient
) -> None:
    """The deletion travels as an entry. The log keeps that there was one, and the bytes stay for an
    owner to erase; nothing shows, lists or exports them.
    """
    name = sha256(SOUND)
    path = f"media/{name}"
    photos = f"/desk/visits/{VISIT}/photos"
    with shop.core.log.photos.arriving(name, "audio/wav") as arrival:
        arrival.add(SOUND)
        shop.core.log.photos.keep(arrival, PHONE)
    told = {"kind": "voice", "caption": "", "taken": "2026-11-25T09:41:00+01:00"}
    shop.writer.put(path, {**told, "length_ms": 1000, "type": "audio/wav"})
    shop.push()

    def everywhere() -> dict[str, bool]:
        core = shop.core
        pdf = core.report(core.snapshot(VISIT), "partner", Printing.of())
        return {
            "photos": name in desk.get(photos).text,
            "record": name in desk.get(f"/desk/visits/{VISIT}/record.json").json()["photos"],
            "report": "Voice note" in everything_in(pdf),
        }

    assert set(everywhere().values()) == {True}
    shop.writer.put(path, None)
    shop.push()
    assert set(everywhere().values()) == {False}
    assert shop.core.log.photos.recording(name) is not None
    page = desk.get(PAGE).text.partition("Deleted on a phone")[2].partition("</fieldset>")[0]
    assert f'value="{path}"' in page
    assert "Nov 25, 2026 09:41" in page
    answer = desk.post(PAGE, data={"whole": [path]})
    assert "Erased 1 value" in answer.text
    assert "Deleted on a phone" not in answer.text
    assert shop.core.log.photos.recording(name) is None
    assert name not in " ".join(map(str, shop.settings.data.rglob("*")))
    assert [seal.holds for seal in shop.core.snapshot(VISIT).seals] == [True]


def test_reports_made_afterwards_say_what_was_erased_and_name_nobody(shop: Shop) -> None:
    editions: tuple[Any, ...] = ("condition", "partner")
    core = shop.core
    before = [core.report(core.snapshot(VISIT), edition, Printing.of()) for edition in editions]
    assert all("Quarry" in everything_in(pdf) for pdf in before)
    forget(shop)
    for edition in editions:
        after = core.report(core.snapshot(VISIT), edition, Printing.of())
        said = everything_in(after)
        for secret in SECRETS:
            assert secret not in said
        assert "Testa" in said
        assert "Personal data was erased from this look-over on request: 8 on " in " ".join(
            said.split()
        )
        verdict = core.verify(after)
        assert verdict.unchanged, verdict.lines
        assert "erased on request" in " ".join(verdict.lines)
    # A file that was handed out before is still as whole as it was.
    assert all(core.verify(pdf).unchanged for pdf in before)


def test_neither_trail_nor_operational_log_learns_what_was_erased(
    shop: Shop, desk: TestClient, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level("DEBUG")
    desk.post(f"{PAGE}/search", data={"typed": "Wéxalby"})
    answer = desk.post(PAGE, data={"value": list(ALL), "whole": [LETTER_PATH]})
    assert "Erased 8 values" in answer.text
    line = shop.core.access.audit.lines()[0]
    assert (line.act, line.about) == ("values erased", f"{VISIT[:8]}: 8")
    trail = json.dumps([one.model_dump() for one in shop.core.access.audit.lines()], default=str)
    for secret in SECRETS:
        assert secret not in trail
        assert secret not in caplog.text
    # nor the pages' own addresses: what is looked for is sent in the body
    assert "typed=" not in caplog.text


def test_the_page_shows_what_is_found_what_stays_and_what_cannot_be_reached(
    shop: Shop, desk: TestClient
) -> None:
    shop.writer.put("items/rust.sill-front/choice", "Tilda Wéxalby")
    shop.writer.put("items/engine.mounts/note", "Wéxalby said so")
    shop.push()
    shop.core.report(shop.core.snapshot(VISIT), "condition", Printing.of())
    (shop.settings.data / "backups").mkdir()
    (shop.settings.data / "backups" / "monday.tar").touch()
    page = desk.get(PAGE).text
    assert page.count('name="value"') == 7
    assert page.count('name="value"') - page.count(" checked>") == 1  # one to be decided
    assert "(you decide)" in page
    assert "because the record rests on it" in page.partition('id="stays"')[2]
    for told in ("monday.tar, ", "Ada’s phone, last here ", "condition report, "):
        assert told in page, told
    (entry,) = ledger_in(shop.settings.data).entries()
    assert entry.number in page
    assert page.index("Out of reach") < page.index("Erase what&#39;s checked")


def test_a_phone_that_has_been_here_since_is_not_waited_for(shop: Shop, desk: TestClient) -> None:
    forget(shop)
    assert "Ada’s phone, last here" in desk.get(PAGE).text
    later = 2**50
    with sqlite3.connect(shop.settings.data / "bradawl.sqlite3") as connection:
        connection.execute("UPDATE access_device SET seen_ms = ?", (later,))
    connection.close()
    assert "Still to come" not in desk.get(PAGE).text


def test_what_an_unsynced_phone_brings_later_is_found_on_the_page(
    shop: Shop, desk: TestClient
) -> None:
    forget(shop)
    assert "Nothing here that can be erased names" in desk.get(PAGE).text
    shop.writer.put("items/engine.mounts/note", "Tilda Wéxalby again")
    shop.push()
    assert "Tilda Wéxalby again" in desk.get(PAGE).text or "again" in desk.get(PAGE).text


def test_a_new_backup_does_not_hold_it_and_an_old_one_is_erased_again(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    old, new = tmp_path / "old.tar", tmp_path / "new.tar"
    write_backup(store_of(shop.settings), old)
    forget(shop)
    write_backup(store_of(shop.settings), new)
    for secret in SECRETS:
        assert secret.encode() not in new.read_bytes()
    assert LETTER not in new.read_bytes()
    assert b"Quarry" in old.read_bytes()
    shop.stop()
    # the disk dies; the machine, and what it notes beside the data, stays
    for path in shop.settings.data.iterdir():
        if path.name != "keys":
            shutil.rmtree(path) if path.is_dir() else path.unlink()
    settle_environment(shop, monkeypatch)
    assert cli.main(["restore", str(old)]) == 0
    said = capsys.readouterr().out
    assert "8 values that were erased after this backup were erased again" in said
    assert "on another computer" in said
    assert found_in(shop.settings.data) == {}
    assert sha256(LETTER) not in " ".join(map(str, shop.settings.data.rglob("*")))
    shop.start()
    assert shop.core.snapshot(VISIT).seals[0].holds
    # and what comes from the phone, which had synced none of it, is stored erased
    shop.push()
    assert found_in(shop.settings.data) == {}


def settle_environment(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the commands read is the shop's settings: as they come from the environment."""
    monkeypatch.setenv("BRADAWL_DATA", str(shop.settings.data))
    monkeypatch.setenv("XDG_STATE_HOME", str(shop.settings.chain_notes.parent))


def run(shop: Shop, monkeypatch: pytest.MonkeyPatch, *command: str, answer: str = "no") -> int:
    shop.stop()
    settle_environment(shop, monkeypatch)
    monkeypatch.setattr("builtins.input", lambda _: answer)
    try:
        return cli.main(["forget", *command])
    finally:
        shop.start()


def test_the_command_says_everything_first_and_does_nothing_without_a_word(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(shop, monkeypatch, "ffff") == 1
    assert "No car" in capsys.readouterr().err
    assert run(shop, monkeypatch, VISIT[:6]) == 1
    out = capsys.readouterr().out
    assert "To erase: the seller (about/seller)" in out
    assert "the photo stays, without its caption" in out
    assert out.index("Out of reach") < out.index("Nothing was changed")
    assert found_in(shop.settings.data)
    assert run(shop, monkeypatch, VISIT[:6], "--also", LETTER_PATH, answer="erase") == 0
    assert "Erased 8 values" in capsys.readouterr().out
    assert found_in(shop.settings.data) == {}
    assert shop.core.access.audit.lines()[0].act == "values erased"


def test_yes_never_leaves_a_note_that_may_name_the_seller(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    perhaps = "items/engine.mounts/note"
    shop.writer.put(perhaps, "Wéxalby said so")
    shop.push()
    assert run(shop, monkeypatch, VISIT, "--yes") == 1
    err = capsys.readouterr().err
    assert "Nothing was erased" in err
    assert f"--also {perhaps}  or  --keep {perhaps}" in err
    assert "bradawl.sqlite3" in found_in(shop.settings.data)
    assert run(shop, monkeypatch, VISIT, "--yes", "--also", perhaps) == 0
    assert found_in(shop.settings.data) == {}


def test_an_entry_that_is_kept_is_somebodys_decision(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    rust = "items/rust.sill-front/text"
    shop.writer.put(rust, "Quarry dust in the seam, as from Lindrach")
    shop.push()
    assert run(shop, monkeypatch, VISIT, "--yes", "--keep", rust) == 0
    assert shop.core.snapshot(VISIT).cells[rust]["value"].startswith("Quarry dust")
    assert run(shop, monkeypatch, VISIT, "--yes", "--also", "items/no.such/note") == 1
    assert "no entry" in capsys.readouterr().err


def test_somebody_else_is_looked_for_by_name(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, desk: TestClient
) -> None:
    shop.writer.put("items/engine.mounts/note", "Old Bert from next door")
    shop.push()
    page = desk.post(f"{PAGE}/search", data={"typed": "Old Bert, 555-010-0000"}).text
    assert "what you searched for" in page
    assert run(shop, monkeypatch, VISIT, "--yes", "--name", "old bert") == 0
    assert shop.core.snapshot(VISIT).cells["items/engine.mounts/note"]["value"] is None


def test_only_a_confirmed_owner_erases(server: Server) -> None:
    server.events.put("about/seller", SELLER)
    server.events.put("about/place", PLACE)
    owner = server.desk()
    inspector = server.desk("Bo", "inspector")
    form = {"value": "about/seller"}
    for address in (PAGE, f"{PAGE}/search"):
        assert inspector.post(address, data=form).status_code == 403
        assert server.client().post(address, data=form).status_code == 401
    server.clock.pass_seconds(601)
    assert owner.post(PAGE, data=form).headers["location"].startswith("/desk/confirm")
    assert [one["value"] for one in server.events.of(VISIT)] == [SELLER, PLACE]


def test_an_unknown_path_or_an_empty_form_changes_nothing(server: Server) -> None:
    server.events.put("about/seller", SELLER)
    desk = server.desk()
    for form in ({}, {"value": "about/nothing"}, {"whole": "about/nothing"}):
        assert desk.post(PAGE, data=form).status_code == 422
    assert desk.get(f"/desk/visits/{'c3' * 16}/forget").status_code == 404
    assert server.events.of(VISIT)[0]["value"] == SELLER


def test_what_the_record_rests_on_is_refused_even_when_it_is_asked_for(
    shop: Shop, desk: TestClient
) -> None:
    shop.writer.put("items/rust.sill-front/choice", "Tilda Wéxalby")
    shop.push()
    answer = desk.post(PAGE, data={"value": ["about/seller", "items/rust.sill-front/choice"]})
    assert answer.status_code == 422
    assert "can&#39;t be erased" in answer.text
    assert shop.core.snapshot(VISIT).cells["about/seller"]["value"] == SELLER
    assert KEY.device == PHONE
