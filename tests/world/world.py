"""A world in one process: the real server, several phones, clocks and a network that misbehave.

Everything that happens follows from the seed. Storage vanishes or has holes, phones are set back to
older copies of themselves or copied, the server is restored or its folder copied back, bits of it
turn over, and a paired phone may be hostile (hostile.py). What must hold, whatever happens, stands
in look.py.
"""

from __future__ import annotations

import asyncio
import hashlib
import io
import random
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any
from unittest import mock

from PIL import Image
from sqlalchemy.exc import DBAPIError

from bradawl.common.device_keys import DeviceKey
from bradawl.common.errors import ApiError
from bradawl.log.format import value_text
from tests.log.sync.reference import JSON, b64u
from tests.world import look
from tests.world.disk import Disk
from tests.world.hostile import Hostile
from tests.world.mishaps import Mishaps
from tests.world.phone import DiskFullError, NoAnswerError, Phone
from tests.world.server import Server

START_MS = 1_764_052_703_000
STEPS = 170
HOUR_MS = 3_600_000
DAY_MS = 24 * HOUR_MS
YEAR_MS = 365 * DAY_MS
ROUNDS = 12  # of everybody's sync, after which all must be quiet
#: How wrong a clock goes: a day ahead is believed, more is not.
SKEWS = (0, 0, -HOUR_MS, DAY_MS - HOUR_MS, -1, 40 * DAY_MS, 20 * YEAR_MS, -30 * YEAR_MS, -START_MS)
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
    "half \ud83d a letter",
    ["a", 1, True, None],
    None,
    7,
)


@dataclass
class Message:
    """A request on its way; nobody may be waiting for the answer any more."""

    handset: Handset
    request: tuple[str, str, Mapping[str, str], bytes]
    answer: asyncio.Future[tuple[int, bytes]] | None


@dataclass
class Handset:
    """One phone as a thing that somebody carries: it is restarted, set back, lost."""

    phone: Phone
    cookie: str = ""
    skew_ms: int = 0  # its clock's, to the true time
    greatest_known_ms: int = 0  # the latest time that it has ever had reason to believe
    task: asyncio.Task[None] | None = None
    saved: Disk | None = None  # an older copy of its storage


@dataclass
class Tally:
    """What a world, or many, came to. `life` names everything that came of it."""

    seeds: int = 0
    events: int = 0
    lost: int = 0
    doubled: int = 0
    diverged: int = 0
    forks: int = 0
    hostile: int = 0
    damaged: int = 0  # worlds in which the last copy of something was damaged
    life: str = ""

    def add(self, other: Tally) -> None:
        """Add another's figures."""
        for name in (one.name for one in fields(self) if one.name != "life"):
            setattr(self, name, getattr(self, name) + getattr(other, name))
        self.life = name_of_life(self.life, other.life)

    def __str__(self) -> str:
        return (
            f"{self.seeds} seeds, {self.events} events, {self.forks} chains written anew, "
            f"{self.hostile} hostile events, {self.damaged} worlds with damage for good, "
            f"{self.lost} lost, {self.doubled} doubled, "
            f"{self.diverged} diverged"
        )


@dataclass
class Promise:
    """Entries that must come through: what was recorded and never lost by everybody who had it."""

    entries: dict[look.Mark, str] = field(default_factory=dict)  # and their texts

    def made(self, event: JSON) -> None:
        self.entries[look.mark_of(event)] = event["value"]

    def still_held(self, world: World) -> None:
        """Forget what nobody holds any more: no rule can bring it back."""
        held = look.held_anywhere(world)
        self.entries = {mark: self.entries[mark] for mark in self.entries if mark in held}


class World:
    """One seed's world; `hostile` says whether one of the phones in it is."""

    def __init__(
        self, seed: int, folder: Path, template: Path, *, hostile: bool | None = None
    ) -> None:
        self.seed = seed
        self.chance = random.Random(seed)
        self.now_ms = START_MS
        self.server_skew_ms = 0
        self.hostile = seed % 2 == 1 if hostile is None else hostile
        self.server = Server(
            folder / "server", self.server_clock, template, self.new_key, lambda: self._id()[:16]
        )
        self.visits = [self._id() for _ in range(2)]
        self.desk = self._id()
        self.network: list[Message] = []
        self.promise = Promise()
        self.forks = 0
        self.handsets: list[Handset] = []
        self.handsets += [self.handset_on(Disk(self.new_key())) for _ in range(self._between(2, 4))]
        self._pair_everybody()
        self.enemy = Hostile(self) if self.hostile else None
        self.mishaps = Mishaps(self, folder)

    def _id(self) -> str:
        return f"{self.chance.getrandbits(128):032x}"

    def _between(self, least: int, most: int) -> int:
        return self.chance.randrange(least, most + 1)

    def new_key(self) -> DeviceKey:
        return DeviceKey.derived(self.chance.randbytes(16))

    def _new_key_of_a_fork(self) -> DeviceKey:
        self.forks += 1
        return self.new_key()

    def server_clock(self) -> int:
        return self.now_ms + self.server_skew_ms

    def handset_on(self, disk: Disk) -> Handset:
        handset = Handset(phone=None)  # type: ignore[arg-type]  # it needs the handset's clock
        handset.phone = self.phone_on(handset, disk)
        return handset

    def phone_on(self, handset: Handset, disk: Disk) -> Phone:
        async def send(
            method: str, path: str, headers: Mapping[str, str], body: bytes
        ) -> tuple[int, bytes]:
            future: asyncio.Future[tuple[int, bytes]] = asyncio.get_running_loop().create_future()
            request = (method, path, {**headers, "cookie": handset.cookie}, body)
            self.network.append(Message(handset, request, future))
            return await future

        return Phone(
            disk,
            send,
            lambda: self.now_ms + handset.skew_ms,
            batch=20,
            new_key=self._new_key_of_a_fork,
            new_salt=lambda: self.chance.randbytes(16),
        )

    def pair(self, handset: Handset) -> None:
        """Pair a phone as its owner would. Raises DBAPIError, OSError."""
        handset.cookie = self.server.pair(handset.phone.disk.device)

    # what happens

    async def run(self) -> Tally:
        """Live through every step, heal, and look. Raises InvariantError."""

        def salt() -> str:
            return b64u(self.chance.randbytes(16))

        try:
            with mock.patch.object(value_text, "new_salt", side_effect=salt):
                for _ in range(STEPS):
                    self.now_ms += self._between(1, 60_000)
                    await self._step()
                    look.clocks_are_believable(self)
                await self._heal()
                return look.at_the_end(self)
        finally:
            for handset in self.handsets:
                if handset.task is not None:
                    handset.task.cancel()
            await asyncio.sleep(0)
            self.server.close()

    async def _step(self) -> None:
        handset = self.chance.choice(self.handsets)
        dice = self.chance.random()
        if dice < 0.26:
            self._person_records(handset)
        elif dice < 0.30:
            self._person_photographs(handset)
        elif dice < 0.47:
            self._begin_round(handset)
        elif dice < 0.82:
            await self._deliver()
        elif dice < 0.835:
            self.restart_phone(handset)
        elif dice < 0.86:
            self._desk_records()
        elif dice < 0.875:
            self._desk_is_read()
        elif dice < 0.89:
            self._a_clock_jumps(handset)
        elif dice < 0.90:
            handset.phone.full = self.chance.random() < 0.5
        elif dice < 0.91:
            self.server.faults.full = self.chance.random() < 0.5
        elif dice < 0.915:
            self.server.faults.commits_fail = 1
        elif dice < 0.922:
            self._access_changes(handset)
        elif dice < 0.93:
            self.server.restart()
        elif dice < 0.97:
            self.mishaps.happen(handset)
        elif self.enemy is not None:
            await self.enemy.act()
        await self._settle()

    def _person_records(self, handset: Handset) -> None:
        for _ in range(self._between(1, 8)):
            put, value = self.chance.choice(PATHS), self.chance.choice(VALUES)
            try:
                event = handset.phone.record(self.chance.choice(self.visits), put, value)
            except DiskFullError:
                return
            self.promise.made(event)

    def _person_photographs(self, handset: Handset) -> None:
        out = io.BytesIO()
        colour = tuple(self.chance.randrange(256) for _ in range(3))
        Image.new("RGB", (8, 8), colour).save(out, "JPEG")
        data = out.getvalue()
        if self.chance.random() < 0.1:
            data = data[: len(data) // 2]  # the camera failed; the server will not have it
        try:
            handset.phone.photograph(self.visits[0], "rust.sills", "image/jpeg", data)
        except DiskFullError:
            return
        self.promise.made(handset.phone.own[-1])

    def _begin_round(self, handset: Handset) -> None:
        if handset.task is None:
            handset.task = asyncio.ensure_future(self._round(handset))

    async def _round(self, handset: Handset) -> None:
        phone, run = handset.phone, self.mishaps.count
        await phone.round()
        if phone.trouble is None and run == self.mishaps.count:
            look.screen_is_true(self, phone)

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
            self.network.append(Message(message.handset, message.request, None))
        answer = await self.server.answer(*message.request)
        if fate > 0.92:
            self._unanswered(message)  # cut after the server acted
        elif message.answer is not None and not message.answer.done():
            message.answer.set_result(answer)

    def _unanswered(self, message: Message) -> None:
        if message.answer is not None and not message.answer.done():
            message.answer.set_exception(NoAnswerError())

    def restart_phone(self, handset: Handset, disk: Disk | None = None) -> None:
        """The browser is killed: what it sent is still on its way, its memory is gone."""
        if handset.task is not None:
            handset.task.cancel()
            handset.task = None
        full = handset.phone.full
        handset.phone = self.phone_on(handset, disk or handset.phone.disk)
        handset.phone.full = full

    def _desk_records(self) -> None:
        puts: list[tuple[str, str, Any]] = [
            (
                f"inspection/{self.chance.choice(self.visits)}",
                self.chance.choice(PATHS),
                self.chance.choice(VALUES),
            )
        ]
        if self.chance.random() < 0.3:
            puts = [self._fence()]
        before = {device: len(chain) for device, chain in self.server.events().items()}
        try:
            self.server.log.append_in(self.desk, puts)
        except (DBAPIError, OSError):
            return  # the disk is full or the commit died: the page says so, nothing was recorded
        written = look.written_since(self, before)
        look.desk_stamps_are_believable(self, written)
        for event in written:
            if event["put"] != "device/continues":
                self.promise.made(event)

    def _fence(self) -> tuple[str, str, Any]:
        """The owner fences somebody off, or thinks better of it."""
        device = self.chance.choice([handset.phone.disk.device for handset in self.handsets])
        if self.enemy is not None:
            device = self.enemy.key.device
        value = {"to_seq": self.chance.choice((None, 9)), "why": "a guess"}
        return "shop", f"fence/{device}/{self._between(1, 3)}", self.chance.choice((value, None))

    def _desk_is_read(self) -> None:
        """No page fails, whatever phones have sent."""
        log = self.server.log
        for scope in ("shop", *(f"inspection/{visit}" for visit in self.visits)):
            look.folded_by_the_server(log, scope)
        log.visits()
        log.chains()

    def _a_clock_jumps(self, handset: Handset) -> None:
        skew = self.chance.choice(SKEWS)
        if self.chance.random() < 0.3:
            self.server_skew_ms = skew if self.hostile else min(skew, DAY_MS)
        else:
            handset.skew_ms = skew

    def _access_changes(self, handset: Handset) -> None:
        try:
            if self.chance.random() < 0.5:
                self.server.access.devices.revoke(handset.phone.disk.device)
            else:
                self.pair(handset)
        except (DBAPIError, OSError, ApiError):
            return  # full disk, failed commit, or a device the restored server does not know

    async def _settle(self) -> None:
        """Let every phone go on until it waits for the network."""
        for _ in range(4):
            await asyncio.sleep(0)
        for handset in self.handsets:
            if handset.task is not None and handset.task.done():
                task, handset.task = handset.task, None
                task.result()

    # how it ends

    async def _heal(self) -> None:
        """All faults end; whoever was sent away is paired; everybody syncs until all is quiet."""
        self.server.faults.full = False
        self.server.faults.commits_fail = 0
        self.server_skew_ms = 0
        self.chance.shuffle(self.network)
        while self.network:  # stragglers arrive, and nobody hears the answers
            message = self.network.pop()
            await self.server.answer(*message.request)
            self._unanswered(message)
            await self._settle()
        for handset in self.handsets:
            handset.skew_ms = 0
            self.restart_phone(handset)
            handset.phone.full = False
        self._pair_everybody()
        await self.sync_until_quiet()
        for chain in self.server.log.chains():
            self.server.log.confirm(chain.device)

    def _pair_everybody(self) -> None:
        """Copies of one phone have one token: pairing it anew ends the one before."""
        cookies: dict[str, str] = {}
        for handset in self.handsets:
            device = handset.phone.disk.device
            if device not in cookies:
                cookies[device] = self.server.pair(device)
            handset.cookie = cookies[device]

    async def sync_until_quiet(self) -> None:
        """Raises InvariantError when it never is."""
        before = ""
        for _ in range(ROUNDS):
            for handset in self.handsets:
                self._begin_round(handset)
                while handset.task is not None:
                    while self.network:
                        message = self.network.pop(0)
                        answer = await self.server.answer(*message.request)
                        if message.answer is not None:
                            message.answer.set_result(answer)
                    await self._settle()
            after = look.state_of(self)
            if after == before:
                return
            before = after
        raise look.InvariantError(f"seed {self.seed}: after {ROUNDS} rounds all is not quiet")


def name_of_life(*parts: str) -> str:
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:16]
