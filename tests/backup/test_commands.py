"""`bradawl backup`, `restore` and `invite` as somebody at a terminal uses them."""

from __future__ import annotations

from pathlib import Path

import pytest

from bradawl import cli
from bradawl.report.signing.known_signers import Signers
from bradawl.report.signing.trust import trust_for
from tests.access.conftest import PASSPHRASE
from tests.backup.data import PHONE, Data, filled


def run(monkeypatch: pytest.MonkeyPatch, data: Data, *command: str) -> int:
    monkeypatch.setenv("BRADAWL_DATA", str(data.folder))
    return cli.main(command)


def test_what_was_signed_counts_after_the_keys_are_lost_with_their_machine(
    data: Data, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled(data)
    lost = Signers(data.folder, data.folder / "keys").shop()
    assert run(monkeypatch, data, "backup", str(tmp_path / "b.tar")) == 0
    fresh = Data(tmp_path / "fresh")
    assert run(monkeypatch, fresh, "restore", str(tmp_path / "b.tar")) == 0
    assert not (fresh.folder / "keys").exists()
    known = trust_for(fresh.folder, fresh.folder / "keys").keys
    assert {digits: key.name for digits, key in known.items()} == {lost.fingerprint: lost.name}


def test_the_commands_say_what_they_did_and_sign_everybody_out(
    data: Data,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    filled(data)
    data.start()
    owner = data.access.first_owner()
    code = data.access.people.invite(owner.id)
    person = data.access.people.accept(code, "Ada", PASSPHRASE, PASSPHRASE)
    assert person is not None
    token = data.access.sessions.begin(person)
    data.access.pairing.pair_at_once(PHONE, "Blue phone", owner.id)
    data.stop()
    target = str(tmp_path / "b.tar")
    assert run(monkeypatch, data, "backup", target) == 0
    assert "4 entries from 1 device, 1 photo" in capsys.readouterr().out
    assert run(monkeypatch, data, "backup", target) == 1
    assert "already exists" in capsys.readouterr().err
    assert run(monkeypatch, data, "restore", target) == 1
    assert run(monkeypatch, data, "restore", target, "--replace") == 0
    said = capsys.readouterr().out
    assert "Blue phone" in said
    assert "Restored the data as of" in said
    data.start()
    assert data.access.sessions.signed_in(token) is None
    assert data.access.people.check("Ada", PASSPHRASE) is not None
    assert data.access.audit.lines()[0].act == "restored from a backup"
    data.stop()


def test_invite_prints_a_code_that_works_and_knows_names(
    data: Data, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, data, "invite") == 0
    code = capsys.readouterr().out.strip().rpartition("#")[2]
    assert run(monkeypatch, data, "invite", "Nobody") == 1
    assert "Nobody here is called" in capsys.readouterr().err
    data.start()
    person = data.access.people.accept(code, "Ada", PASSPHRASE, PASSPHRASE)
    assert person is not None
    assert person.role == "owner"
    data.stop()
    assert run(monkeypatch, data, "invite", "ada") == 0
    assert "For Ada" in capsys.readouterr().out
