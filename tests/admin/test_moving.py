"""A workshop moves to another machine in one file: signatures and phones' trust come along.

Formats: scrypt is RFC 7914, AES-GCM NIST SP 800-38D; certificates are asked of OpenSSL.
"""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import pytest

from bradawl import cli
from bradawl.access.authority import lifecycle
from bradawl.access.authority.names import Place
from bradawl.backup import sealed
from bradawl.common.installation import choices
from bradawl.common.settings import Settings, from_environment
from bradawl.log.erasure.erased_list import ErasedList
from bradawl.report.printing import Printing
from bradawl.report.signing.known_signers import Signers
from bradawl.serving.core import Bradawl
from tests.access.conftest import PASSPHRASE
from tests.backup.data import PHONE, VISIT, Data, Phone, filled

SECRET = "gravel heron 71 doorway"
#: What both machines are called.
PLACE = Place(("shop.local",), ())
ERASED = ("d" * 32, 7, "c" * 64)


class Machine:
    """A computer: its data folder, and what it keeps beside."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.folder = folder
        self.data = Data(folder / "data")
        self._monkeypatch = monkeypatch

    @property
    def settings(self) -> Settings:
        self._monkeypatch.setenv("BRADAWL_DATA", str(self.data.folder))
        self._monkeypatch.setenv("XDG_STATE_HOME", str(self.folder / "state"))
        return from_environment()

    @property
    def authority(self) -> Path:
        return lifecycle.folder_in(self.data.folder / "keys")

    def run(self, *command: str, typed: str = "") -> int:
        assert self.settings.data == self.data.folder
        self._monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
        return cli.main(command)

    def move_out(self, file: Path) -> int:
        return self.run("move-out", str(file), typed=f"{SECRET}\n{SECRET}\n")

    def move_in(self, file: Path, *options: str, typed: str = SECRET) -> int:
        return self.run("move-in", str(file), *options, typed=f"{typed}\n")

    def report(self, check: bytes | None = None) -> tuple[bytes, str]:
        """A report signed here, and what this workshop says of another (of the same one: None)."""
        core = Bradawl(self.settings)
        try:
            pdf = core.report(core.snapshot(VISIT), "condition", Printing.of())
            return pdf, core.verify(check or pdf).kind
        finally:
            core.close()


@pytest.fixture(autouse=True)
def _cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    """A key that costs nothing to try; the real cost is paid once, in the first test."""
    monkeypatch.setattr(sealed, "COST", 2**4)


@pytest.fixture
def old(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Machine:
    return Machine(tmp_path / "old", monkeypatch)


@pytest.fixture
def new(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Machine:
    return Machine(tmp_path / "new", monkeypatch)


def in_use(machine: Machine) -> tuple[Phone, str]:
    """A workshop with an owner, a paired phone with its token, keys, something erased."""
    phone = filled(machine.data)
    machine.data.start()
    owner = machine.data.access.first_owner()
    code = machine.data.access.people.invite(owner.id)
    assert machine.data.access.people.accept(code, "Ada", PASSPHRASE, PASSPHRASE)
    token = machine.data.access.pairing.pair_at_once(PHONE, "Blue phone", owner.id)
    machine.data.stop()
    Signers(machine.data.folder, machine.settings.keys).shop()
    lifecycle.open_authority(machine.authority, PLACE)
    ErasedList(machine.settings.erased_list).add([ERASED])
    (machine.data.folder / "port").write_text("8481\n")
    kept = choices.Choices(region="eu", backups="/mnt/stick", asked=("place",))
    choices.keep(machine.data.folder, kept)
    return phone, token


def test_the_other_machine_signs_and_is_trusted_as_the_old_one_was(
    old: Machine,
    new: Machine,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    phone, token = in_use(old)
    pdf, here = old.report()
    assert here == "genuine"
    monkeypatch.setattr(sealed, "COST", 2**17)  # as it is
    file = tmp_path / "stick" / "shop.bradawl"
    assert old.move_out(file) == 0, capsys.readouterr().err
    assert file.stat().st_mode & 0o777 == 0o600
    key = (old.data.folder / "keys" / "report-signing.pem").read_bytes()
    assert key.splitlines()[1] not in file.read_bytes()
    assert b"SQLite format 3" not in file.read_bytes()
    assert [path.name for path in file.parent.iterdir()] == [file.name]

    assert new.move_in(file) == 0, capsys.readouterr().err
    said = capsys.readouterr().out
    assert "Blue phone" in said
    # reports: the same key, and what was signed before is this workshop's own
    assert (new.data.folder / "keys" / "report-signing.pem").read_bytes() == key
    again, there = new.report(check=pdf)
    assert there == "genuine"
    assert old.report(check=again)[1] == "genuine"
    # phones: the certificate of the new machine, asked of OpenSSL with what they trusted before
    standing = lifecycle.read(new.authority)
    assert standing is not None
    made = lifecycle.server_files(new.authority, standing.authority, PLACE)
    asked = ["openssl", "verify", "-CAfile", str(old.authority / "authority.pem")]
    asked += ["-untrusted", str(made.certificate), str(made.certificate)]
    verified = subprocess.run(asked, capture_output=True, text=True, check=False)
    assert verified.returncode == 0, verified.stderr
    # pairing and chains: the phone goes on where it was
    log = new.data.start()
    device = new.data.access.device_of(token)
    assert device is not None
    assert device.name == "Blue phone"
    phone.write(2)
    phone.send(log)
    assert log.held()[PHONE] == len(phone.written)
    assert new.data.access.people.check("Ada", PASSPHRASE) is not None
    new.data.stop()
    assert (new.data.folder / "port").read_text() == "8481\n"
    # what was chosen at the desk comes along, but for a disk of the old machine
    moved = choices.Choices(region="eu", asked=("place",))
    assert choices.read(new.data.folder) == moved
    assert ERASED in ErasedList(new.settings.erased_list).entries()
    # nobody goes on at the old one without being told
    assert old.run("doctor") == 1
    assert "was moved to another computer" in capsys.readouterr().out
    assert new.run("doctor") == 0
    assert capsys.readouterr().out.startswith("All is well.")


def test_a_file_that_is_not_whole_or_not_for_this_version_changes_nothing(
    old: Machine, new: Machine, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    in_use(old)
    file = tmp_path / "shop.bradawl"
    assert old.move_out(file) == 0
    whole = file.read_bytes()
    first, second, third = whole.split(b"\n", 3)[:3]
    begin = len(first + second + third) + 3

    def refused(data: bytes, why: str, typed: str = SECRET) -> None:
        file.write_bytes(data)
        capsys.readouterr()
        assert new.move_in(file, typed=typed) == 1
        assert why in capsys.readouterr().err
        left = [path for path in new.data.folder.rglob("*") if path.is_file()]
        assert [path.name for path in left if "logs" not in path.parts] == []

    refused(whole.replace(b" 1\n", b" 2\n", 1), "a newer Bradawl")
    refused(whole, "isn't the passphrase", typed="something else entirely")
    refused(b"PK\3\4" + whole, "isn't a file that")
    for place in (len(first) + 5, begin - 3, begin, begin + 5000, len(whole) - 1):
        flipped = bytearray(whole)
        flipped[place] ^= 1
        refused(bytes(flipped), "is damaged or cut off")
    for cut in (whole[:-1], whole[:begin], whole[: begin + sealed.PIECE_BYTES // 50], whole + b"x"):
        refused(cut, "is damaged or cut off")
    file.write_bytes(whole)
    assert new.move_in(file) == 0


def test_records_that_are_there_stay_unless_they_are_set_aside(
    old: Machine, new: Machine, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    in_use(old)
    file = tmp_path / "shop.bradawl"
    assert old.move_out(file) == 0
    assert old.move_out(file) == 1
    assert "already exists" in capsys.readouterr().err
    # a first start made keys and an empty database: nobody would miss them
    Bradawl(new.settings).close()
    mine = Signers(new.data.folder, new.settings.keys).shop().fingerprint
    assert new.move_in(file) == 0
    moved = Signers(new.data.folder, new.settings.keys).shop().fingerprint
    assert moved != mine
    before = list(new.data.folder.glob("before-restore-*-keys/report-signing.pem"))
    assert len(before) == 1
    # now it holds a workshop
    assert new.move_in(file) == 1
    assert "There are records in" in capsys.readouterr().err
    assert new.move_in(file, "--replace") == 0
    assert Signers(new.data.folder, new.settings.keys).shop().fingerprint == moved


def test_a_passphrase_that_protects_nothing_and_a_running_server_are_refused(
    old: Machine, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    in_use(old)
    file = tmp_path / "shop.bradawl"
    assert old.run("move-out", str(file), typed="short\nshort\n") == 1
    assert old.run("move-out", str(file), typed=f"{SECRET}\nanother one entirely\n") == 1
    assert old.run("move-out", str(file)) == 1
    capsys.readouterr()
    core = Bradawl(old.settings)
    try:
        assert old.move_out(file) == 1
        assert "Bradawl is running here" in capsys.readouterr().err
    finally:
        core.close()
    assert not file.exists()


def test_more_than_a_piece_comes_back_as_it_was(tmp_path: Path) -> None:
    """Pieces of every length around the border, in the order they were written."""
    for size in (0, 1, sealed.PIECE_BYTES, sealed.PIECE_BYTES + 1, 2 * sealed.PIECE_BYTES):
        data = bytes(range(256)) * (size // 256) + b"x" * (size % 256)
        out = io.BytesIO()
        sealing = sealed.Sealing(out, SECRET, version="1", made="2026-12-01T00:00:00+00:00")
        for start in range(0, size, 300_001):
            sealing.write(data[start : start + 300_001])
        sealing.finish()
        out.seek(0)
        assert b"".join(sealed.opened_pieces(out, SECRET, "it")) == data
