"""A world in one process: the real server, several phones, a clock and a network that misbehave.

Everything that happens follows from the seed. What must hold, whatever happens:

- what a phone was told is stored is stored, exactly once and unchanged;
- what a screen shows as on the server is there, photos included;
- in the end every replica holds the same events and folds them to the same record;
- the order of arrival changes nothing.
"""

from __future__ import annotations

import asyncio
import hashlib
import io
import random
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PIL import Image
from sqlalchemy.exc import DBAPIError

from bradawl.errors import ApiError
from bradawl.judgement import canonical, fold
from bradawl.log.doctor import examine
from tests.world.phone import JSON, Disk, DiskFullError, NoAnswerError, Phone
from tests.world.server import Server

START_MS = 1_764_052_703_000
STEPS = 170
HOUR_MS = 3_600_000
PATHS = (
    "about/seller",
    "car/odometer",
    "items/brakes.front-pads/grade",
    "items/brakes.front-pads/readings/pad/front-left",
    "items/rust.sills/grade",
    "items/rust.sills/note",
)
VALUES: tuple[Any, ...] = (
    {"grade": "minor"},
    {"grade": "major", "why": "läuft, “weich”, 😀"},
    {"typed": "2,5", "unit": "mm"},
    "perforated",
    ["a", 1, True, None],
    None,
    7,
)


class InvariantError(AssertionError):
    """Something that must hold does not; the message has the seed."""


@dataclass
class Message:
    """A request on its way; nobody may be waiting for the answer any more."""

    phone: int
    request: tuple[str, str, Mapping[str, str], bytes]
    answer: asyncio.Future[tuple[int, bytes]] | None


@dataclass
class Tally:
    """What a world, or many, came to."""

    seeds: int = 0
    events: int = 0
    lost: int = 0
    doubled: int = 0
    diverged: int = 0

    def __str__(self) -> str:
        return (
            f"{self.seeds} seeds, {self.events} events, {self.lost} lost, "
            f"{self.doubled} doubled, {self.diverged} diverged"
        )


class World:
    """One seed's world. `setbacks`: the server is restored from backups; else phones may lose
    their storage. Both together may lose what was acknowledged, and no rule can help that."""

    def __init__(self, seed: int, folder: Path, template: Path) -> None:
        self.seed = seed
        self.chance = random.Random(seed)
        self.now_ms = START_MS
        self.setbacks = seed % 3 == 0
        self.server = Server(folder / "server", lambda: self.now_ms, self._id, template)
        self.backup = folder / "backup"
        self.visits = [self._id() for _ in range(2)]
        self.desk = self._id()
        self.network: list[Message] = []
        self.skew = [0] * self.chance.randrange(2, 5)
        self.cookies = [""] * len(self.skew)
        self.phones = [self._phone(number, Disk(self._id())) for number in range(len(self.skew))]
        self.tasks: list[asyncio.Task[None] | None] = [None] * len(self.skew)
        self.life = 0  # counts how often the server was set back
        self.acknowledged: dict[str, list[JSON]] = {}  # by the desk, and by phones that are gone
        for number in range(len(self.phones)):
            self._pair(number)

    def _id(self) -> str:
        return f"{self.chance.getrandbits(128):032x}"

    def _phone(self, number: int, disk: Disk) -> Phone:
        async def send(
            method: str, path: str, headers: Mapping[str, str], body: bytes
        ) -> tuple[int, bytes]:
            future: asyncio.Future[tuple[int, bytes]] = asyncio.get_running_loop().create_future()
            request = (method, path, {**headers, "cookie": self.cookies[number]}, body)
            self.network.append(Message(number, request, future))
            return await future

        return Phone(disk, send, lambda: self.now_ms + self.skew[number], batch=20)

    def _pair(self, number: int) -> None:
        self.cookies[number] = self.server.pair(self.phones[number].disk.device)

    # what happens

    async def run(self) -> Tally:
        """Live through every step, heal, and look. Raises InvariantError."""
        try:
            for _ in range(STEPS):
                self.now_ms += self.chance.randrange(1, 60_000)
                await self._step()
            await self._heal()
            return self._look()
        finally:
            for task in self.tasks:
                if task is not None:
                    task.cancel()
            await asyncio.sleep(0)
            self.server.close()

    async def _step(self) -> None:
        number = self.chance.randrange(len(self.phones))
        dice = self.chance.random()
        if dice < 0.28:
            self._person_records(number)
        elif dice < 0.33:
            self._person_photographs(number)
        elif dice < 0.48:
            self._begin_round(number)
        elif dice < 0.84:
            await self._deliver()
        elif dice < 0.87:
            self._restart_phone(number)
        elif dice < 0.90:
            self._desk_records()
        elif dice < 0.92:
            self.skew[number] = self.chance.choice(
                (0, -HOUR_MS, 24 * HOUR_MS, -self.now_ms, 40 * 24 * HOUR_MS, -1)
            )
        elif dice < 0.94:
            self.phones[number].full = self.chance.random() < 0.5
        elif dice < 0.96:
            self.server.faults.full = self.chance.random() < 0.5
        elif dice < 0.965:
            self.server.faults.commits_fail = 1
        elif dice < 0.972:
            self._access_changes(number)
        elif dice < 0.98:
            self.server.restart()
        else:
            self._something_is_lost(number)
        await self._settle()

    def _person_records(self, number: int) -> None:
        phone = self.phones[number]
        for _ in range(self.chance.randrange(1, 9)):
            put, value = self.chance.choice(PATHS), self.chance.choice(VALUES)
            try:
                phone.record(self.chance.choice(self.visits), put, value)
            except DiskFullError:
                return

    def _person_photographs(self, number: int) -> None:
        out = io.BytesIO()
        colour = tuple(self.chance.randrange(256) for _ in range(3))
        Image.new("RGB", (8, 8), colour).save(out, "JPEG")
        data = out.getvalue()
        if self.chance.random() < 0.1:
            data = data[: len(data) // 2]  # the camera failed; the server will not have it
        try:
            self.phones[number].photograph(self.visits[0], "rust.sills", "image/jpeg", data)
        except DiskFullError:
            return

    def _begin_round(self, number: int) -> None:
        if self.tasks[number] is None:
            self.tasks[number] = asyncio.ensure_future(self._round(number))

    async def _round(self, number: int) -> None:
        phone, life = self.phones[number], self.life
        await phone.round()
        if phone.trouble is None and life == self.life:
            self._screen_is_true(phone)

    async def _deliver(self) -> None:
        """Any message, not the oldest: they overtake one another."""
        if not self.network:
            return
        message = self.network.pop(self.chance.randrange(len(self.network)))
        fate = self.chance.random()
        if fate < 0.10:
            self._unanswered(message)  # lost on the way there
            return
        if fate < 0.18:  # arrives twice, the second time when nobody listens
            self.network.append(Message(message.phone, message.request, None))
        answer = await self.server.answer(*message.request)
        if fate > 0.92:
            self._unanswered(message)  # cut after the server acted
        elif message.answer is not None and not message.answer.done():
            message.answer.set_result(answer)

    def _unanswered(self, message: Message) -> None:
        if message.answer is not None and not message.answer.done():
            message.answer.set_exception(NoAnswerError())

    def _restart_phone(self, number: int) -> None:
        """The browser is killed: what it sent is still on its way, its memory is gone."""
        task = self.tasks[number]
        if task is not None:
            task.cancel()
            self.tasks[number] = None
        full = self.phones[number].full
        self.phones[number] = self._phone(number, self.phones[number].disk)
        self.phones[number].full = full

    def _desk_records(self) -> None:
        try:
            self.server.log.append(
                self.desk,
                self.chance.choice(self.visits),
                [(self.chance.choice(PATHS), self.chance.choice(VALUES))],
            )
        except (DBAPIError, OSError):
            return  # the disk is full or the commit died: the page says so, nothing was recorded
        self._note_desk()

    def _note_desk(self) -> None:
        """What the desk has recorded and the page has shown as saved, chain by chain."""
        for device in self.server.log.held():
            if self.server.log.stands_for(device) == self.desk:
                self.acknowledged[device] = self._on_server(device)

    def _access_changes(self, number: int) -> None:
        try:
            if self.chance.random() < 0.5:
                self.server.access.devices.revoke(self.phones[number].disk.device)
            else:
                self._pair(number)
        except (DBAPIError, OSError, ApiError):
            return  # full disk, failed commit, or a device the restored server does not know

    def _something_is_lost(self, number: int) -> None:
        if self.setbacks:
            if not self.backup.exists() or self.chance.random() < 0.4:
                self.server.back_up(self.backup)
            else:
                self.server.set_back(self.backup)
                self.life += 1
                self.acknowledged.clear()  # the desk's later events are gone with the server
                self._note_desk()
            return
        self._restart_phone(number)
        old = self.phones[number].disk
        self.acknowledged[old.device] = self.phones[number].own[: old.acknowledged]
        self.phones[number] = self._phone(number, Disk(self._id()))
        try:
            self._pair(number)
        except (DBAPIError, OSError):
            return

    async def _settle(self) -> None:
        """Let every phone go on until it waits for the network."""
        for _ in range(4):
            await asyncio.sleep(0)
        for number, task in enumerate(self.tasks):
            if task is not None and task.done():
                self.tasks[number] = None
                task.result()

    async def _heal(self) -> None:
        """All faults end; whoever was sent away is paired; everybody syncs until all is quiet."""
        self.server.faults.full = False
        self.server.faults.commits_fail = 0
        self.chance.shuffle(self.network)
        while self.network:  # stragglers arrive, and nobody hears the answers
            message = self.network.pop()
            await self.server.answer(*message.request)
            self._unanswered(message)
            await self._settle()
        for number, phone in enumerate(self.phones):
            self._restart_phone(number)
            phone.full = False
            self.phones[number].full = False
            self._pair(number)
        for _ in range(3):
            for number in range(len(self.phones)):
                self._begin_round(number)
                while self.tasks[number] is not None:
                    while self.network:
                        message = self.network.pop(0)
                        answer = await self.server.answer(*message.request)
                        if message.answer is not None:
                            message.answer.set_result(answer)
                    await self._settle()

    # what must hold

    def _fail(self, what: str) -> InvariantError:
        return InvariantError(f"seed {self.seed}: {what}")

    def _on_server(self, device: str) -> list[JSON]:
        found = [
            event
            for summary in self.server.log.visits()
            for event in self.server.log.events_of(summary.visit)
            if event["device"] == device
        ]
        return sorted(found, key=lambda event: int(event["seq"]))

    def _screen_is_true(self, phone: Phone) -> None:
        """What the phone counts as acknowledged is there, at the moment it says so."""
        stored = self._on_server(phone.disk.device)
        known = phone.own[: phone.disk.acknowledged]
        if stored[: len(known)] != known:
            raise self._fail("an acknowledged event is not on the server")
        for name in phone.disk.held:
            original = self.server.log.photo_original(name)
            if original is None or hashlib.sha256(original).hexdigest() != name:
                raise self._fail("a photo that counts as held is not on the server")

    def _look(self) -> Tally:
        tally = Tally(seeds=1)
        log = self.server.log
        log.photos.finish()
        everything: dict[str, list[JSON]] = {}
        for summary in log.visits():
            for one in log.events_of(summary.visit):
                everything.setdefault(one["device"], []).append(one)
        for device, stored in everything.items():
            stored.sort(key=lambda one: int(one["seq"]))
            tally.events += len(stored)
            seqs = [one["seq"] for one in stored]
            tally.doubled += len(seqs) - len(set(seqs))
            if seqs != list(range(1, len(seqs) + 1)):
                raise self._fail(f"device {device} has gaps or doubles: {seqs}")
        for device, told in self.acknowledged.items():
            if everything.get(device, [])[: len(told)] != told:
                tally.lost += 1
        for phone in self.phones:
            own = everything.get(phone.disk.device, [])
            tally.lost += sum(1 for one in phone.own if one not in own)
            self._photos_are_there(phone)
            self._forget_lost_desk(phone, everything)
            if phone.disk.events != everything:
                tally.diverged += 1
        self._fold_is_one(everything, tally)
        faults = examine(log).findings
        if faults:
            raise self._fail(f"the doctor found {faults}")
        if tally.lost or tally.doubled or tally.diverged:
            raise self._fail(str(tally))
        return tally

    def _forget_lost_desk(self, phone: Phone, everything: dict[str, list[JSON]]) -> None:
        """What the desk wrote after the backup is on phones only: no phone may send it. The rest
        must agree all the same, and what the desk has written since must have arrived."""
        if not self.life:
            return
        phones = {one.disk.device for one in self.phones}
        for device, events in list(phone.disk.events.items()):
            if device not in phones:
                phone.disk.events[device] = events[: len(everything.get(device, []))]
                if not phone.disk.events[device]:
                    del phone.disk.events[device]

    def _photos_are_there(self, phone: Phone) -> None:
        refused = 0
        for name, (_, data) in phone.disk.photos.items():
            whole = data.endswith(b"\xff\xd9")
            if whole and self.server.log.photo_original(name) != data:
                raise self._fail(f"photo {name} is not on the server")
            if not whole and name in phone.disk.held:
                raise self._fail("half a photo counts as held")
            refused += not whole
        if phone.on_server == bool(refused) or phone.trouble != ("refused" if refused else None):
            raise self._fail(f"the screen says {phone.trouble}, on server {phone.on_server}")

    def _fold_is_one(self, everything: dict[str, list[JSON]], tally: Tally) -> None:
        for visit in self.visits:
            record = canonical(fold(self.server.log.events_of(visit)))
            replicas = [everything, *(phone.disk.events for phone in self.phones)]
            for replica in replicas:
                events = [
                    one for stored in replica.values() for one in stored if one["visit"] == visit
                ]
                self.chance.shuffle(events)
                # arrived in another order, and some of it twice
                again = events + events[: len(events) // 3]
                if canonical(fold(events)) != record or canonical(fold(again)) != record:
                    tally.diverged += 1
