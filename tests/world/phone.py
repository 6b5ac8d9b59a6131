"""A model of the phone's side of sync. The rules are the app's own, stated once here:

1. Own events go in order, from the one after the last acknowledged, at most BATCH at a time.
2. Only a 200 moves `acknowledged`, to the lesser of `held` and the last event that was sent.
3. "gap" with `held` below `acknowledged`: the server was set back. `acknowledged` becomes `held`,
   and sending goes on from there.
4. Then pull until `more` is false. A pulled batch is kept whole or not at all: it must continue
   the chain that the phone holds, link by link, and end in its `head`. An event with a ninth field
   `withheld` shows less than was recorded; the chain goes on with the hash in that field.
   When `held` of the own device lies below `acknowledged`, rule 3 holds here too, and events are
   sent once more. When `run` is not the one that was heard last, the server was started anew,
   perhaps from a backup: every photo counts as unsent again.
5. Then unsent photos: ask which are missing; what is not missing is held; each missing one is
   sent. A
   refusal of one photo (413, 415, 422) leaves it unsent, is told at the end, and keeps back no
   other photo.
6. No answer, or any other refusal, ends the round. Nothing is dropped; the next round begins anew.

`tests/log/protocol_vectors.json` has exchanges that both this model and the app's own client
must make; `python -m tests.log.make_vectors` writes it, from this model and the real server.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import rfc8785

JSON = dict[str, Any]
BATCH = 1_000
PART = 200  # photos asked about at once

#: method, path, headers, body -> status, body; raises NoAnswerError when there is no answer
Send = Callable[[str, str, Mapping[str, str], bytes], Awaitable[tuple[int, bytes]]]


class NoAnswerError(Exception):
    """No answer came: nobody knows whether the server has acted."""


class DiskFullError(Exception):
    """The phone could not write; the screen says so and nothing was recorded."""


class RefusalError(Exception):
    """The server's refusal."""

    def __init__(self, status: int, error: Mapping[str, Any]) -> None:
        super().__init__(error.get("message", ""))
        self.status = status
        self.code = str(error.get("code", f"http_{status}"))
        self.details = error


class BatchError(Exception):
    """A batch from the server does not continue what the phone holds."""


def hash_of(event: JSON) -> str:
    """SHA-256 of an event's RFC 8785 text, all eight fields."""
    return hashlib.sha256(rfc8785.dumps(event)).hexdigest()


@dataclass
class Disk:
    """What survives a restart of the phone; each change to it is one transaction."""

    device: str
    events: dict[str, list[JSON]] = field(default_factory=dict)  # per device, full events
    hashes: dict[str, str] = field(default_factory=dict)  # per device, of its last event
    seen: str = ""  # greatest stamp of any device
    index: dict[tuple[str, str], list[JSON]] = field(default_factory=dict)  # by visit and path
    acknowledged: int = 0
    photos: dict[str, tuple[str, bytes]] = field(default_factory=dict)  # type and bytes
    held: set[str] = field(default_factory=set)  # photos that the server said it holds
    run: str = ""  # of the server, as last heard


class Phone:
    """One phone: its disk, its clock, and what its screen has said."""

    def __init__(
        self, disk: Disk, send: Send, clock: Callable[[], int], batch: int = BATCH
    ) -> None:
        self.disk = disk
        self.full = False
        self.trouble: str | None = None
        self._send = send
        self._clock = clock
        self._batch = batch

    @property
    def own(self) -> list[JSON]:
        return self.disk.events.get(self.disk.device, [])

    @property
    def on_server(self) -> bool:
        """Whether the screen says that all of it is on the server."""
        return self.disk.acknowledged == len(self.own) and self.disk.held >= set(self.disk.photos)

    # what a person does

    def record(self, visit: str, put: str, value: Any) -> JSON:
        """One tap. It is on the disk when this returns. Raises DiskFullError."""
        if self.full:
            raise DiskFullError
        disk = self.disk
        event = {
            "device": disk.device,
            "seq": len(self.own) + 1,
            "prev": disk.hashes.get(disk.device, ""),
            "at": self._stamp(),
            "visit": visit,
            "put": put,
            "value": value,
            "over": self._alive(visit, put),
        }
        self._keep(disk.device, [event], hash_of(event))
        return event

    def photograph(self, visit: str, item: str, kind: str, data: bytes) -> str:
        """Take a photo: the bytes first, then the event that names them."""
        if self.full:
            raise DiskFullError
        name = hashlib.sha256(data).hexdigest()
        self.disk.photos.setdefault(name, (kind, data))
        self.record(visit, f"items/{item}/photos/{name}", {"bytes": len(data), "type": kind})
        return name

    def _stamp(self) -> str:
        now, seen = max(self._clock(), 0), self.disk.seen
        ms, counter = now, 0
        if seen and int(seen[:15]) >= now:
            ms, counter = int(seen[:15]), int(seen[16:21]) + 1
            if counter == 100_000:
                ms, counter = ms + 1, 0
        return f"{ms:015d}-{counter:05d}-{self.disk.device}"

    def _alive(self, visit: str, put: str) -> list[str]:
        there = self.disk.index.get((visit, put), [])
        dead = {stamp for event in there for stamp in event["over"] if stamp < event["at"]}
        return sorted({event["at"] for event in there} - dead)

    def _keep(self, device: str, events: list[JSON], head: str) -> None:
        self.disk.events.setdefault(device, []).extend(events)
        self.disk.hashes[device] = head
        for event in events:
            self.disk.index.setdefault((event["visit"], event["put"]), []).append(event)
        self.disk.seen = max(self.disk.seen, *(event["at"] for event in events))

    # sync

    async def round(self) -> None:
        """One round of sync; `trouble` says what stood in the way."""
        try:
            await self._send_events()
            if await self._fetch_others():
                await self._send_events()
            await self._send_photos()
            self.trouble = None
        except NoAnswerError:
            self.trouble = "unreachable"
        except (BatchError, DiskFullError):
            self.trouble = "refused"
        except RefusalError as refusal:
            self.trouble = (
                "pair"
                if refusal.status == 401 or refusal.code == "not_your_device"
                else "app_too_old"
                if refusal.status == 426
                else "refused"
            )

    async def _ask(self, path: str, value: Any) -> Any:
        return json.loads(
            await self._answer(
                "POST", path, {"content-type": "application/json"}, json.dumps(value).encode()
            )
        )

    async def _answer(
        self, method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> bytes:
        status, answer = await self._send(method, path, headers, body)
        if status < 400:
            return answer
        try:
            error = json.loads(answer)["error"]
        except (ValueError, KeyError, TypeError):
            if status >= 500:
                raise NoAnswerError from None
            error = {}
        raise RefusalError(status, error)

    async def _send_events(self) -> None:
        disk = self.disk
        while disk.acknowledged < len(self.own):
            part = self.own[disk.acknowledged : disk.acknowledged + self._batch]
            fields = ("at", "visit", "put", "value", "over")
            try:
                answer = await self._ask(
                    "/api/v1/sync/push",
                    {
                        "protocol": 1,
                        "device": disk.device,
                        "from_seq": part[0]["seq"],
                        "prev": part[0]["prev"],
                        "events": [{name: event[name] for name in fields} for event in part],
                        "head": hash_of(part[-1]),
                    },
                )
            except RefusalError as refusal:
                if refusal.code != "gap" or not self._set_back(refusal.details.get("held")):
                    raise
                continue
            disk.acknowledged = min(answer["held"], part[-1]["seq"])

    def _set_back(self, held: Any) -> bool:
        if not isinstance(held, int) or held >= self.disk.acknowledged:
            return False
        self.disk.acknowledged = held
        return True

    async def _fetch_others(self) -> bool:
        """Whether the server turned out to be set back."""
        while True:
            have = {device: len(events) for device, events in self.disk.events.items()}
            answer = await self._ask("/api/v1/sync/pull", {"protocol": 1, "have": have})
            if answer["run"] != self.disk.run:
                self.disk.held.clear()
                self.disk.run = answer["run"]
            for batch in answer["batches"]:
                self.receive(batch)
            if not answer["more"] or not answer["batches"]:
                return self._set_back(answer["held"].get(self.disk.device, 0))

    def receive(self, batch: JSON) -> None:
        """Take in a batch, whole or not at all. Raises BatchError, DiskFullError."""
        if self.full:
            raise DiskFullError
        device = batch["device"]
        there = self.disk.events.get(device, [])
        held = len(there)
        if batch["from_seq"] > held + 1:
            raise BatchError
        prev, new = batch["prev"], []
        for seq, sent in enumerate(batch["events"], batch["from_seq"]):
            event = {"device": device, "seq": seq, "prev": prev, **sent}
            withheld = event.pop("withheld", None)
            if seq == held + 1 and prev != self.disk.hashes.get(device, ""):
                raise BatchError
            prev = withheld or hash_of(event)
            if seq > held:
                new.append(event)
        if prev != batch["head"]:
            raise BatchError
        if new:
            self._keep(device, new, prev)

    async def _send_photos(self) -> None:
        unsent = [name for name in self.disk.photos if name not in self.disk.held]
        refused: RefusalError | None = None
        for start in range(0, len(unsent), PART):
            part = unsent[start : start + PART]
            answer = await self._ask("/api/v1/blobs/missing", {"sha256": part})
            missing = set(answer["missing"])
            self.disk.held.update(set(part) - missing)
            for name in part:
                if name not in missing:
                    continue
                kind, data = self.disk.photos[name]
                try:
                    await self._answer("PUT", f"/api/v1/blobs/{name}", {"content-type": kind}, data)
                except RefusalError as refusal:
                    if refusal.status not in (413, 415, 422):
                        raise
                    refused = refused or refusal
                    continue
                self.disk.held.add(name)
        if refused is not None:
            raise refused
