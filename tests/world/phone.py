"""A model of the phone's side of sync. The rules are the app's own, stated once here:

1. Own events go in order, from the one after the last acknowledged, at most BATCH at a time, each
   batch signed.
2. Only a 200 moves `acknowledged`, to the lesser of `held` and the last event that was sent.
3. "gap" with `held` below `acknowledged`: the server was set back. `acknowledged` becomes `held`,
   and sending goes on from there.
4. "fork", or the own device in a pull's `forked`: this record parts from the server's. The phone
   looks for the greatest boundary that it shares (none: 0), begins a new device, and writes onto
   its chain: `device/continues` {device, seq, head, why: "forked"} in scope `shop`, then anew each
   own event after that boundary. Those keep scope, path, value, salt and the time of their stamps
   (one that does not rise gets the next); stamps and ids get the new device, in their own `over`
   too. The old chain ends at the boundary, signed there, and is another's from then on.
5. Then pull until `more` is false and nothing forked is left. A batch is kept whole or not at all:
   its key's device, its chain from what the phone holds, its commitments, its head and its
   signature must be right. One that is not is told at the end, and keeps back no other batch.
   The own device's later events are taken in like anybody's: the phone was set back. They move
   `acknowledged` only where they were taken in: it may have written others meanwhile (rule 4).
   When `held` of the own device, or what `want` says of it, lies below `acknowledged`, rule 3
   holds. When `run` is not the one
   that was heard last, every photo counts as unsent again. `shop` replaces what was known of it.
6. Another device in `forked`: what follows the greatest shared boundary goes to /sync/aside, in
   batches that end where the device has signed; when all of it was taken, it is dropped, and the
   next pull brings the server's. `want`: what follows there is pushed, in the answer's order, in
   batches that end where the device has signed. "fork" in answer to that is handled likewise.
   Any other refusal of another's chain is told at the end, and keeps back nothing else.
   What should go, but no signature of its device ends any more, is written anew on a chain of its
   own, with a new key that signs this chain and is then forgotten: `device/continues` with why
   "unsigned" first, then the events as in rule 4, and seals as they are. It leaves the chain that
   it was on, and is pushed at once.
7. Then unsent photos: ask which are missing; what is not missing is held; each missing one is
   sent. A refusal of one photo (413, 415, 422) leaves it unsent, is told at the end, and keeps
   back no other photo.
8. No answer, or any other refusal, ends the round. Nothing is dropped; the next round begins anew.
9. A hole in a chain, where part of the storage was lost: what follows it in the own chain is
   written anew as after a fork (rule 4, why "lost") from the last event before it. In another's
   chain it is taken out and goes to /sync/aside as in rule 6; what is missing is pulled. What is
   left before a hole may have lost the signature that ended it (rule 6).
10. A new stamp is later than the phone's clock, its own last stamp, and every other stamp that is
   believed: not further than 24 h ahead of the phone's clock corrected by what it last heard of
   the server's (`server_ms`). `over` names what stands at the path, with the fenced events and
   without them.

`tests/log/sync/protocol_vectors.json` has exchanges that both this model and the app's own client
must make; `python -m tests.log.sync.make_protocol_vectors` writes it, from this model and the real
server.
"""

from __future__ import annotations

import hashlib
import json
import secrets
from collections.abc import Awaitable, Callable, Mapping, Sequence
from typing import Any

from bradawl.common.device_keys import DeviceKey
from tests.log.sync import reference
from tests.log.sync.reference import JSON
from tests.world.disk import (
    SHOP,
    BatchError,
    Disk,
    Ends,
    is_believed,
    sent,
    signed_runs,
    unsigned,
)

BATCH = 1_000
PART = 200  # photos asked about at once
PUSH, PULL, ASIDE = "/api/v1/sync/push", "/api/v1/sync/pull", "/api/v1/sync/aside"

#: method, path, headers, body -> status, body; raises NoAnswerError when there is no answer
Send = Callable[[str, str, Mapping[str, str], bytes], Awaitable[tuple[int, bytes]]]


class NoAnswerError(Exception):
    """No answer came: nobody knows whether the server has acted."""


class DiskFullError(Exception):
    """The phone could not write; the screen says so."""


class RefusalError(Exception):
    """The server's refusal."""

    def __init__(self, status: int, error: Mapping[str, Any]) -> None:
        super().__init__(error.get("message", ""))
        self.status = status
        self.code = str(error.get("code", f"http_{status}"))
        self.details = error

    @property
    def of_the_phone(self) -> bool:
        """Whether it is about the phone or the protocol, and not about one chain or photo."""
        return self.status in (401, 403, 426) or self.status >= 500 or self.code == "server_too_old"


class Phone:
    """One phone: its disk, its clock, and what its screen has said."""

    def __init__(
        self,
        disk: Disk,
        send: Send,
        clock: Callable[[], int],
        batch: int = BATCH,
        *,
        new_key: Callable[[], DeviceKey] = DeviceKey.create,
        new_salt: Callable[[], bytes] = lambda: secrets.token_bytes(16),
    ) -> None:
        self.disk = disk
        self.full = False
        self.trouble: str | None = None
        self._send = send
        self._clock = clock
        self._batch = batch
        self._new_key = new_key
        self._new_salt = new_salt
        self._refused = False  # something in this round that keeps back nothing else

    @property
    def own(self) -> list[JSON]:
        return self.disk.own

    @property
    def on_server(self) -> bool:
        """Whether the screen says that all of it is on the server."""
        return self.disk.acknowledged == len(self.own) and self.disk.held >= set(self.disk.photos)

    # what a person does

    def record(self, visit: str, put: str, value: Any) -> JSON:
        """One tap. It is on the disk when this returns. Raises DiskFullError."""
        return self.record_in(f"inspection/{visit}", put, value)

    def record_in(self, scope: str, put: str, value: Any) -> JSON:
        if self.full:
            raise DiskFullError
        at = _next(self._clock(), self._latest(), self.disk.device)
        over = reference.live_ids(self.disk.obeyed(scope, put)).get(put, [])
        event = self._written(at, scope, put, over, reference.text_of(value), self._new_salt())
        self._keep_own([event])
        return event

    def photograph(self, visit: str, item: str, kind: str, data: bytes) -> str:
        """Take a photo: the bytes first, then the event that names them."""
        if self.full:
            raise DiskFullError
        name = hashlib.sha256(data).hexdigest()
        self.disk.photos.setdefault(name, (kind, data))
        self.record(visit, f"items/{item}/photos/{name}", {"bytes": len(data), "type": kind})
        return name

    def _latest(self) -> str:
        """The stamp that the next own one must follow."""
        own, seen = str(self.own[-1]["at"]) if self.own else "", self.disk.seen
        # what was believed while the clock was wrong is believed no longer
        return max(own, seen) if seen and is_believed(seen, self._known_ms()) else own

    def _known_ms(self) -> int:
        return self._clock() + self.disk.skew_ms

    def _written(
        self, at: str, scope: str, put: str, over: list[str], text: str, salt: bytes
    ) -> JSON:
        return {
            "device": self.disk.device,
            "seq": len(self.own) + 1,
            "prev": self.disk.hash_at(self.disk.device, len(self.own)),
            "at": at,
            "scope": scope,
            "put": put,
            "value": text,
            "salt": reference.b64u(salt),
            "commit": reference.commit_of(salt, text),
            "over": over,
        }

    def _keep_own(self, events: list[JSON]) -> None:
        self.disk.keep(self.disk.device, events, self._known_ms())

    # sync

    async def round(self) -> None:
        """One round of sync; `trouble` says what stood in the way."""
        self._refused = False
        try:
            await self._send_events()
            if await self._fetch_others():
                await self._send_events()
            await self._send_photos()
            self.trouble = "refused" if self._refused else None
        except NoAnswerError:
            self.trouble = "unreachable"
        except DiskFullError:
            self.trouble = "refused"
        except RefusalError as refusal:
            self.trouble = (
                "pair"
                if refusal.status == 401
                else "app_too_old"
                if refusal.status == 426
                else "refused"
            )

    async def _ask(self, path: str, value: Any) -> Any:
        body = json.dumps(value).encode()
        answer = json.loads(
            await self._answer("POST", path, {"content-type": "application/json"}, body)
        )
        if "server_ms" in answer:
            self.disk.skew_ms = answer["server_ms"] - self._clock()
        return answer

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
            self._sign(part[-1]["seq"])
            batch = self._batch_of(disk.device, part, disk.signed[disk.device])
            try:
                answer = await self._ask(PUSH, batch)
            except RefusalError as refusal:
                if refusal.code == "fork":
                    self._fork(refusal.details["boundaries"])
                elif refusal.code != "gap" or not self._set_back(refusal.details.get("held")):
                    raise
                continue
            disk.acknowledged = min(answer["held"], part[-1]["seq"])

    def _sign(self, seq: int) -> None:
        """Sign the own chain at an event."""
        disk = self.disk
        text = f"bradawl-head-2\n{disk.device}\n{seq}\n{disk.hash_at(disk.device, seq)}"
        disk.keys[disk.device] = disk.key.public
        disk.signed.setdefault(disk.device, {})[seq] = disk.key.sign(text)

    def _batch_of(self, device: str, events: list[JSON], ends: Ends) -> JSON:
        return {
            "protocol": 2,
            "device": device,
            "key": self.disk.keys[device],
            "from_seq": events[0]["seq"],
            "prev": events[0]["prev"],
            "events": [sent(event) for event in events],
            "head": reference.hash_of(events[-1]),
            "signature": ends[events[-1]["seq"]],
        }

    def _set_back(self, held: Any) -> bool:
        if not isinstance(held, int) or held >= self.disk.acknowledged:
            return False
        self.disk.acknowledged = held
        return True

    # forks

    def _shared(self, device: str, boundaries: Sequence[Sequence[Any]]) -> int:
        held = len(self.disk.events[device])
        return max(
            (
                seq
                for seq, hashed in boundaries
                if seq <= held and self.disk.hash_at(device, seq) == hashed
            ),
            default=0,
        )

    def _fork(self, boundaries: Sequence[Sequence[Any]]) -> None:
        """Go on as a new device from where this record and the server's part."""
        if self.full:
            raise DiskFullError
        seq = self._shared(self.disk.device, boundaries)
        self._begin_anew(seq, self.disk.own[seq:], "forked")

    def find_hole(self, device: str, first: int, last: int) -> None:
        """The events `first` + 1 to `last` of a chain are gone."""
        disk = self.disk
        behind = disk.events[device][last:]
        if device == disk.device:
            self._begin_anew(first, behind, "lost")
            return
        disk.sever(device, first, last)

    def _begin_anew(self, seq: int, moved: list[JSON], why: str) -> None:
        """Begin a new device that goes on from `seq` of this one, and write `moved` on it."""
        disk, old = self.disk, self.disk.device
        disk.drop_after(old, seq)
        if seq:
            self._sign(seq)
        begin = {"device": old, "seq": seq, "head": disk.hash_at(old, seq), "why": why}
        disk.key = self._new_key()
        disk.acknowledged = 0
        self._keep_own(self._chain_anew(disk.device, begin, moved))

    def _chain_anew(self, device: str, begin: JSON, moved: list[JSON]) -> list[JSON]:
        """A new chain of `device`: `device/continues` with the value `begin`, then `moved` anew."""
        first_ms = int(moved[0]["at"][:15]) if moved else self._clock()
        last = stamp(max(first_ms - 1, 0), 0, device)
        text, salt = reference.text_of(begin), self._new_salt()
        chain = [
            {
                "device": device,
                "seq": 1,
                "prev": "",
                "at": last,
                "scope": SHOP,
                "put": "device/continues",
                "value": text,
                "salt": reference.b64u(salt),
                "commit": reference.commit_of(salt, text),
                "over": [],
            }
        ]
        renamed: dict[str, str] = {}
        for event in moved:
            kept_time = event["at"][:22] + device
            last = kept_time if kept_time > last else _next(0, last, device)
            new = {
                **event,
                "device": device,
                "seq": len(chain) + 1,
                "prev": reference.hash_of(chain[-1]),
                "at": last,
                "over": sorted(renamed.get(name, name) for name in event["over"]),
            }
            renamed[reference.id_of(event)] = reference.id_of(new)
            chain.append(new)
        return chain

    def _write_apart(self, device: str, events: list[JSON]) -> str:
        """Write another's events that no signature ends on a chain of their own; its device."""
        disk, key = self.disk, self._new_key()
        first = events[0]
        begin = {
            "device": device,
            "seq": first["seq"] - 1,
            "head": first["prev"],
            "why": "unsigned",
        }
        chain = self._chain_anew(key.device, begin, events)
        disk.keys[key.device] = key.public
        head = reference.hash_of(chain[-1])
        text = f"bradawl-head-2\n{key.device}\n{len(chain)}\n{head}"
        disk.signed[key.device] = {len(chain): key.sign(text)}
        disk.keep(key.device, chain, self._known_ms())
        return key.device

    # what others wrote

    async def _fetch_others(self) -> bool:
        """Whether own events are to be sent once more: the server was set back, or this forked."""
        again = False
        while True:
            disk = self.disk
            before = disk.have()
            answer = await self._ask(PULL, {"protocol": 2, "have": before})
            self._hear(answer)
            for batch in answer["batches"]:
                try:
                    self.receive(batch)
                except BatchError:
                    self._refused = True
            for held in (answer["held"].get(disk.device, 0), answer["want"].get(disk.device)):
                again = self._set_back(held) or again
            for device, boundaries in answer["forked"].items():
                if device == disk.device:
                    self._fork(boundaries)
                    again = True
                elif device in before:
                    await self._part_with(device, boundaries)
            if disk.have() == before or not (answer["more"] or answer["forked"]):
                break
        for device, held in answer["want"].items():
            if device != self.disk.device:
                await self._bring(device, held)
        for device in list(self.disk.severed):
            await self._leave_aside(device)
        disk.erase_what_was_ordered()
        return again

    def _hear(self, answer: JSON) -> None:
        if answer["run"] != self.disk.run:
            self.disk.held.clear()
            self.disk.run = answer["run"]
        self.disk.shop = answer["shop"]

    def receive(self, batch: JSON) -> None:
        """Take in a batch, whole or not at all. Raises BatchError, DiskFullError."""
        if self.full:
            raise DiskFullError
        disk = self.disk
        is_new = disk.receive(batch, self._known_ms())
        # the server has what this phone had lost; what was written here since, it may not have
        if is_new and batch["device"] == disk.device:
            disk.acknowledged = max(disk.acknowledged, len(disk.own))

    async def _part_with(self, device: str, boundaries: Sequence[Sequence[Any]]) -> None:
        """Leave what this copy of a device's chain has beside the server's, and drop it."""
        if self.full:
            raise DiskFullError
        disk, seq = self.disk, self._shared(device, boundaries)
        events, ends = disk.events[device][seq:], disk.signed.get(device, {})
        if await self._all_go(ASIDE, device, events, ends):
            disk.drop_after(device, seq)
            await self._bring_apart(device, unsigned(events, ends))

    async def _leave_aside(self, device: str) -> None:
        """Leave what follows holes in another's chain with the server."""
        disk, parts = self.disk, self.disk.severed[device]
        while parts and not self.full:
            events, ends = parts[0].events, parts[0].ends
            if not await self._all_go(ASIDE, device, events, ends):
                return
            del parts[0]
            rest = unsigned(events, ends)
            await self._bring_apart(device, [event for event in rest if not disk.has(event)])
        if not parts:
            del disk.severed[device]

    async def _bring(self, device: str, held: int) -> None:
        """Send what the server lacks of another device."""
        events, ends = self.disk.events[device][held:], self.disk.signed.get(device, {})
        if await self._all_go(PUSH, device, events, ends):
            rest = unsigned(events, ends)
            if rest and not self.full:
                self.disk.drop_after(device, rest[0]["seq"] - 1)
                await self._bring_apart(device, rest)

    async def _bring_apart(self, device: str, events: list[JSON]) -> None:
        """Write and send what no signature of its device ends, on a chain of its own."""
        if events:
            await self._bring(self._write_apart(device, events), 0)

    async def _all_go(self, path: str, device: str, events: list[JSON], ends: Ends) -> bool:
        """Send what can be proved of another's events; whether nothing of it was refused."""
        try:
            for part in list(signed_runs(events, ends)):
                await self._ask(path, self._batch_of(device, part, ends))
        except RefusalError as refusal:
            if refusal.of_the_phone:
                raise
            if refusal.code == "fork" and path == PUSH:
                await self._part_with(device, refusal.details["boundaries"])
            else:
                self._refused = True
            return False
        return True

    async def _send_photos(self) -> None:
        unsent = [name for name in self.disk.photos if name not in self.disk.held]
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
                    self._refused = True
                    continue
                self.disk.held.add(name)


def stamp(ms: int, counter: int, device: str) -> str:
    return f"{ms:015d}-{counter:05d}-{device}"


def _next(now_ms: int, latest: str, device: str) -> str:
    """The stamp at `now_ms`, or the one after `latest` where that is not earlier."""
    now_ms = max(now_ms, 0)
    if latest == "" or now_ms > int(latest[:15]):
        return stamp(now_ms, 0, device)
    ms, counter = int(latest[:15]), int(latest[16:21]) + 1
    return stamp(ms, counter, device) if counter < 100_000 else stamp(ms + 1, 0, device)
