"""Real server processes and phones that are killed, set back, copied and restored, again and again.

`python -m tests.log.integrity.disaster_loop --kills 200 [--seed N]`. Phones sync over HTTP while
somebody records at the desk; then the server dies by kill -9 at any moment, or its backup or
restore does, and something is set back meanwhile: a phone, the data folder, or both. After each:
the dead server's records are whole, whatever anybody still holds is on the server and on every
phone once they have spoken, and all of them hold the same.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import random
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bradawl.access.web.auth import DEVICE_COOKIE, Access
from bradawl.common import settings
from bradawl.common.device_keys import DeviceKey
from bradawl.database.connection import open_engine
from bradawl.log.event_log import Log
from bradawl.log.integrity.doctor import examine
from bradawl.log.photos.storage import open_photo_store
from tests import forked
from tests.log.integrity.kill_loop import Server, noise_photo
from tests.log.server import VISIT
from tests.log.sync.reference import JSON
from tests.world.disk import Disk
from tests.world.look import Mark, mark_of
from tests.world.phone import NoAnswerError, Phone
from tests.world.server import events_in

PHONES = 3
ROUNDS = 10


@dataclass
class Handset:
    """A phone that somebody carries, and an older copy of its storage."""

    phone: Phone
    saved: Disk | None = None


@dataclass
class Figures:
    """What the loop came to."""

    kills: int = 0
    amid: int = 0  # kills in the middle of an exchange, a backup or a restore
    mishaps: dict[str, int] = field(default_factory=dict)
    entries: int = 0
    chains: int = 0


class Loop:
    """One seed's run in a folder: `data` is the server's, `state` holds its notes beside it."""

    def __init__(self, place: Path, seed: int) -> None:
        self.seed = seed
        self.chance = random.Random(seed)
        self.place = place
        self.data = place / "data"
        self.copy, self.archive = place / "copy", place / "backup.tar"
        environment = {"XDG_STATE_HOME": str(place / "state")}
        self.server = Server(self.data, whole=False, environment=environment)
        self.environment = self.server.environment
        self.handsets = [self._handset(Disk(self._key())) for _ in range(PHONES)]
        self.promised: dict[Mark, str] = {}
        self.figures = Figures()

    def _key(self) -> DeviceKey:
        return DeviceKey.derived(self.chance.randbytes(16))

    def _handset(self, disk: Disk) -> Handset:
        async def send(method: str, path: str, headers: Any, body: bytes) -> tuple[int, bytes]:
            return await self.server.send(method, path, headers, body)

        return Handset(
            Phone(disk, send, lambda: time.time_ns() // 1_000_000, batch=40, new_key=self._key)
        )

    # the server

    @contextmanager
    def _opened(self) -> Iterator[tuple[Log, Access]]:
        """The dead server's records, as the server opens them."""
        chosen = settings.at(self.data)
        engine = open_engine(chosen.database_url)
        log = Log(engine, open_photo_store(chosen.photo_store, self.data / "incoming"))
        try:
            yield log, Access(engine)
        finally:
            log.close()

    def start(self) -> None:
        """Start the server; all phones have one cookie, which is given out anew where it must."""
        self.server.start()
        status, _ = asyncio.run(self.server.send("GET", "/api/v1/me", {}, b""))
        if status != 200:
            self.server.kill()
            self.server.buried()
            with self._opened() as (_, access):
                owner = access.first_owner()
                device = self.handsets[0].phone.disk.device
                token = access.pairing.pair_at_once(device, "phone", owner.id)
            self.server.cookie = f"{DEVICE_COOKIE}={token}"
            self.server.start()

    def die(self) -> None:
        self.server.kill()
        self.server.buried()
        self.figures.kills += 1

    # what people do

    def _record(self, handset: Handset) -> None:
        for _ in range(self.chance.randrange(1, 30)):
            path = f"items/rust.sill{self.chance.randrange(40)}/note"
            event = handset.phone.record(VISIT, path, f"note {self.chance.randrange(1000)}")
            self.promised[mark_of(event)] = event["value"]
        if self.chance.random() < 0.3:
            handset.phone.photograph(VISIT, "rust.sills", "image/jpeg", noise_photo(self.chance))
            event = handset.phone.own[-1]
            self.promised[mark_of(event)] = event["value"]

    def _desk_records(self) -> None:
        puts = [[f"inspection/{VISIT}", f"items/rust.sill{self.chance.randrange(40)}/note", "desk"]]
        try:
            asyncio.run(self.server.send("POST", "/desk", {}, json.dumps(puts).encode()))
        except NoAnswerError:
            return

    def _some_life(self) -> None:
        """Until the server is dead: everybody records and syncs."""
        while self.timer.is_alive():
            handset = self.chance.choice(self.handsets)
            self._record(handset)
            if self.chance.random() < 0.3:
                self._desk_records()
            asyncio.run(handset.phone.round())
        self.figures.amid += any(handset.phone.trouble for handset in self.handsets)

    # what befalls them

    def cycle(self) -> None:
        """One life of the server, its end, and what happens then."""
        self.start()
        self.timer = threading.Timer(self.chance.uniform(0.05, 0.5), self.server.kill)
        self.timer.start()
        self._some_life()
        self.die()
        self.check_whole()
        held = self.held_anywhere()
        for mark, event in held.items():
            self.promised.setdefault(mark, event["value"])
        mishap = self.chance.choice(
            (self._nothing, self._copy_folder, self._copy_folder_back, self._phone_is_saved,
             self._phone_is_set_back, self._both_are_set_back, self._storage_vanishes,
             self._back_up, self._restore)
        )  # fmt: skip
        name = mishap.__name__.strip("_")
        self.figures.mishaps[name] = self.figures.mishaps.get(name, 0) + 1
        mishap()
        if held.keys() - self.held_anywhere().keys():
            self._forget_what_is_lost()

    def _forget_what_is_lost(self) -> None:
        held = self.held_anywhere()
        self.promised = {mark: self.promised[mark] for mark in self.promised if mark in held}

    def _nothing(self) -> None:
        return

    def _copy_folder(self) -> None:
        shutil.rmtree(self.copy, ignore_errors=True)
        shutil.copytree(self.data, self.copy)

    def _copy_folder_back(self) -> None:
        if not self.copy.exists():
            return self._copy_folder()
        shutil.rmtree(self.data)
        shutil.copytree(self.copy, self.data)
        return None

    def _phone_is_saved(self) -> None:
        handset = self.chance.choice(self.handsets)
        handset.saved = handset.phone.disk.copy()

    def _phone_is_set_back(self) -> None:
        for handset in self.handsets:
            if handset.saved is not None:
                handset.phone.disk = handset.saved.copy()
                return
        self._phone_is_saved()

    def _both_are_set_back(self) -> None:
        self._phone_is_set_back()
        self._copy_folder_back()

    def _storage_vanishes(self) -> None:
        number = self.chance.randrange(PHONES)
        self.handsets[number] = self._handset(Disk(self._key()))

    def _command(self, *arguments: str, kill_within_s: float = 0.0) -> int:
        """Run a command of Bradawl's; perhaps kill it. Its exit code."""
        with (self.place / "output").open("wb") as output:
            process = forked.start(*arguments, env=self.environment, stdout=output, stderr=output)
            if kill_within_s:
                try:
                    process.wait(self.chance.uniform(0.0, kill_within_s))
                except subprocess.TimeoutExpired:
                    process.kill()
                    self.figures.amid += 1
                    self.figures.kills += 1
            return process.wait()

    def _back_up(self) -> None:
        """While the server runs: the backup is killed first, then it is left in peace."""
        self.start()
        self._command("backup", str(self.archive) + ".cut", kill_within_s=0.5)
        self._record(self.handsets[0])
        asyncio.run(self.handsets[0].phone.round())
        self.archive.unlink(missing_ok=True)
        code = self._command("backup", str(self.archive))
        self.die()
        assert code == 0, (self.place / "output").read_text()

    def _restore(self) -> None:
        if not self.archive.exists():
            return self._back_up()
        for _ in range(2):
            self._command("restore", "--replace", str(self.archive), kill_within_s=0.7)
            self.check_whole()  # the old records are in place, or the restored ones
        code = self._command("restore", "--replace", str(self.archive))
        assert code == 0, (self.place / "output").read_text()
        return None

    # what must hold

    def held_anywhere(self) -> dict[Mark, JSON]:
        with self._opened() as (log, _):
            held = {mark_of(e): e for chain in events_in(log.engine).values() for e in chain}
        for handset in self.handsets:
            held.update({mark_of(event): event for event in handset.phone.disk.everything()})
        return held

    def check_whole(self) -> None:
        """Nothing of a dead server's records is torn."""
        with self._opened() as (log, _):
            findings = examine(log).findings
        assert findings == [], findings

    def check_all_agree(self) -> None:
        """Everybody speaks until all is quiet; then nothing is lost, and all hold the same."""
        self.start()
        before = None
        for _ in range(ROUNDS):
            for handset in self.handsets:
                asyncio.run(handset.phone.round())
                assert handset.phone.trouble is None, handset.phone.trouble
            after = [handset.phone.disk.have() for handset in self.handsets]
            if after == before:
                break
            before = after
        else:
            raise AssertionError("it is never quiet")
        self.die()
        self.check_whole()
        with self._opened() as (log, _):
            everything = events_in(log.engine)
            there = {mark_of(e): e for chain in everything.values() for e in chain}
            lost = [mark for mark in self.promised if mark not in there]
            assert lost == [], lost
            for handset in self.handsets:
                disk = handset.phone.disk
                assert handset.phone.on_server
                assert disk.events == everything, "a phone holds other events than the server"
                for name, (_, data) in disk.photos.items():
                    original = log.photo_original(name)
                    assert original == data, name
            for chain in log.chains():
                log.confirm(chain.device)
        self.figures.entries = len(there)
        self.figures.chains = len(everything)


def run(kills: int, seed: int) -> str:
    """Cycles until so many kills are done; the closing line. Raises AssertionError."""
    with tempfile.TemporaryDirectory() as folder:
        loop = Loop(Path(folder), seed)
        cycles = 0
        try:
            while loop.figures.kills < kills:
                loop.cycle()
                loop.check_all_agree()
                cycles += 1
                if cycles % 10 == 0:
                    print(f"{loop.figures.kills} kills", file=sys.stderr)
        except Exception as error:
            raise AssertionError(
                f"seed {seed}, after {loop.figures.kills} kills: {error}"
            ) from error
        finally:
            loop.server.kill()
            loop.server.buried()
    figures = loop.figures
    mishaps = ", ".join(f"{count} {name}" for name, count in sorted(figures.mishaps.items()))
    return (
        f"{figures.kills} kills ({figures.amid} in the middle of something), {mishaps}; "
        f"{figures.entries} entries on {figures.chains} chains, 0 lost, 0 torn"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    began = time.monotonic()
    print(run(chosen.kills, chosen.seed), f"in {time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main()
