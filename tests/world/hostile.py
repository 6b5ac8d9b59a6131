"""A paired phone that means harm: it speaks the protocol, and says whatever might hurt.

What it may not do is refused, here and now. What it may do, write entries of its own, is fenced
off in the end (look.py).
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from sqlalchemy.exc import DBAPIError

from bradawl.common.device_keys import DeviceKey
from bradawl.log.event_log import Log
from tests.log.sync import reference
from tests.log.sync.reference import JSON, Chain
from tests.world import look
from tests.world.phone import ASIDE, PULL, PUSH

if TYPE_CHECKING:
    from tests.world.world import World

YEAR_MS = 365 * 86_400_000
LAST_MS = 899_999_999_999_990
MAX_STRANGERS = 6
NOTE = "items/rust.sills/note"


class Hostile:
    """One hostile phone of a world; its chain is as right as every other."""

    def __init__(self, world: World) -> None:
        self._world = world
        self.key = world.new_key()
        self._others: list[DeviceKey] = []
        self._chain = self._chain_of(self.key)
        self._cookie = ""
        self._pair()

    def _pair(self) -> None:
        try:
            self._cookie = self._world.server.pair(self.key.device)
        except (DBAPIError, OSError):
            return

    def _chain_of(self, key: DeviceKey) -> Chain:
        # signs as reference.Key does
        return Chain(key, f"inspection/{self._world.visits[0]}", self._world.now_ms)  # type: ignore[arg-type]

    def devices(self, log: Log) -> set[str]:
        """Every device that is this phone's, with the side chains that keep copies of them."""
        own = {self.key.device, *(key.device for key in self._others)}
        return own | {chain.device for chain in log.chains() if chain.continues in own}

    async def act(self) -> None:
        """Do one harmful thing. Raises InvariantError where it succeeds."""
        act = self._world.chance.choice(
            [
                self._poison,
                self._poison,
                self._replace_everything,
                self._kill_what_is_not_written_yet,
                self._give_orders,
                self._forge,
                self._replay,
                self._claim,
                self._leave_a_forgery_aside,
                self._come_as_a_stranger,
                self._live_twice,
                self._send_nonsense,
            ]
        )
        await act()

    # saying

    async def _send(self, path: str, value: Any) -> tuple[int, JSON]:
        headers = {"content-type": "application/json", "cookie": self._cookie}
        body = value if isinstance(value, bytes) else json.dumps(value).encode()
        status, answer = await self._world.server.answer("POST", path, headers, body)
        if status == 401:
            self._pair()
        return status, json.loads(answer)

    async def _must_be_refused(self, path: str, value: Any, what: str) -> None:
        before = self._world.server.events()
        status, _ = await self._send(path, value)
        if status < 400 or self._world.server.events() != before:
            raise look.fail(self._world, f"a hostile phone {what}")

    async def _push(self) -> None:
        """Bring the own chain, as far as the server lacks it."""
        _, got = await self._send(PULL, {"protocol": 2, "have": {}})
        held = got.get("held", {}).get(self.key.device, 0)
        if held < len(self._chain.events):
            status, answer = await self._send(PUSH, self._chain.batch(held + 1))
            if status == 409 and answer["error"]["code"] == "fork":
                self._begin_anew()

    def _begin_anew(self) -> None:
        self._others.append(self.key)
        self.key = self._world.new_key()
        self._chain = self._chain_of(self.key)
        self._pair()

    def _write(
        self, put: str, value: Any, over: Sequence[str] = (), *, ms: int = 0, scope: str = ""
    ) -> None:
        """An event at `ms`, or later where the chain is further already."""
        last_ms = self._chain.ms
        if max(last_ms + 1, ms) > LAST_MS:
            self._begin_anew()
            last_ms = self._world.now_ms
        event = self._chain.put(put, value, ms=max(last_ms + 1, ms), scope=scope or None)
        event["over"] = sorted(set(over))

    def _honest(self) -> list[JSON]:
        own = self.devices(self._world.server.log)
        events = self._world.server.events()
        return [one for device in sorted(events) if device not in own for one in events[device]]

    # what it does

    async def _poison(self) -> None:
        ahead = self._world.chance.choice((23 * 3_600_000, 2 * 86_400_000, 10 * YEAR_MS, LAST_MS))
        ms = min(self._world.now_ms + ahead, LAST_MS)
        victim = self._some_honest()
        self._write(victim["put"] if victim else NOTE, "poison", ms=ms)
        await self._push()

    def _some_honest(self) -> JSON | None:
        honest = [one for one in self._honest() if one["scope"] == self._chain.scope]
        return self._world.chance.choice(honest) if honest else None

    async def _replace_everything(self) -> None:
        """Name all that is known at a path: that is anybody's right, until it is fenced off."""
        victim = self._some_honest()
        if victim is None:
            return
        there = [one for one in self._honest() if mark_place(one) == mark_place(victim)]
        self._write(victim["put"], "hostile", [reference.id_of(one) for one in there])
        await self._push()

    async def _kill_what_is_not_written_yet(self) -> None:
        """Guess ids: the next stamps of everybody, with commitments of nothing and of others."""
        honest = self._honest()
        guesses = []
        for handset in self._world.handsets:
            device = handset.phone.disk.device
            for step_ms in range(0, 3000, 250):
                at = f"{max(self._world.now_ms, 0) + step_ms:015d}-00000-{device}"
                guesses.append(f"{at}~{reference.b64u(bytes(32))}")
        for one in honest[-3:]:
            guesses.append(f"{one['at']}~{reference.b64u(bytes(32))}")
        self._write(NOTE, "nothing", guesses)
        await self._push()

    async def _give_orders(self) -> None:
        world = self._world
        honest = world.chance.choice(world.handsets).phone.disk.device
        orders = [
            (f"fence/{honest}/1", {"to_seq": None, "why": "hostile"}),
            (f"clock/{honest}/1", {"to_seq": 9_999, "received_ms": 0}),
            (f"erase/{honest}/1", {"put": NOTE, "commit": reference.b64u(bytes(32))}),
            (f"fence/{self.key.device}/1", None),
            ("device/continues", {"device": honest, "seq": 1, "head": "0" * 64, "why": "restored"}),
        ]
        put, value = world.chance.choice(orders)
        shop = [
            reference.id_of(one)
            for one in self._honest()
            if (one["scope"], one["put"]) == ("shop", put)
        ]
        self._write(put, value, shop, scope="shop")
        await self._push()

    async def _forge(self) -> None:
        """Continue somebody else's chain, begin it, or change it."""
        world = self._world
        device = world.chance.choice(
            [handset.phone.disk.device for handset in world.handsets]
            + world.server.log.own_devices()
        )
        there = world.server.events().get(device, [])
        seq = len(there) + 1
        event = {
            "device": device,
            "seq": seq,
            "prev": reference.hash_of(there[-1]) if there else "",
            "at": f"{world.now_ms + 20 * YEAR_MS:015d}-00000-{device}",
            "scope": f"inspection/{world.visits[0]}",
            "put": NOTE,
            "value": '"forged"',
            "salt": reference.b64u(bytes(16)),
            "commit": reference.commit_of(bytes(16), '"forged"'),
            "over": [],
        }
        head = reference.hash_of(event)
        batch = {
            "protocol": 2,
            "device": device,
            "key": self.key.public,
            "from_seq": seq,
            "prev": event["prev"],
            "events": [{name: event[name] for name in reference.SENT}],
            "head": head,
            "signature": self.key.sign(f"bradawl-head-2\n{device}\n{seq}\n{head}"),
        }
        keys = {
            handset.phone.disk.device: handset.phone.disk.key.public for handset in world.handsets
        }
        if world.chance.random() < 0.5 and device in keys:
            batch["key"] = keys[device]  # the right key, and a signature that it did not make
        path = world.chance.choice((PUSH, ASIDE))
        await self._must_be_refused(path, batch, "wrote on another's chain")

    async def _replay(self) -> None:
        """Send what the server holds of others once more, some of it without its value."""
        _, got = await self._send(PULL, {"protocol": 2, "have": {}})
        before = self._world.server.events()
        for batch in got.get("batches", []):
            sent = {
                **batch,
                "protocol": 2,
                "events": [self._without_value(e) for e in batch["events"]],
            }
            await self._send(self._world.chance.choice((PUSH, ASIDE)), sent)
        if self._world.server.events() != before:
            raise look.fail(self._world, "a hostile phone changed what was held by repeating it")

    def _without_value(self, sent: JSON) -> JSON:
        if sent["put"] != NOTE or "value" not in sent or self._world.chance.random() < 0.5:
            return sent
        salt = reference.base64.urlsafe_b64decode(sent["salt"] + "==")
        commit = reference.commit_of(salt, sent["value"])
        return {**{key: sent[key] for key in ("at", "over", "put", "scope")}, "commit": commit}

    async def _claim(self) -> None:
        """Say that more is held of everybody, or something else."""
        have = {
            device: self._world.chance.choice(([len(chain) + 5, "0" * 64], [len(chain), "f" * 64]))
            for device, chain in self._world.server.events().items()
        }
        before = self._world.server.events()
        await self._send(PULL, {"protocol": 2, "have": have})
        if self._world.server.events() != before:
            raise look.fail(self._world, "a hostile phone changed something by asking")

    async def _leave_a_forgery_aside(self) -> None:
        victim = self._some_honest()
        if victim is None:
            return
        forged = Chain(self.key, victim["scope"], self._world.now_ms)  # type: ignore[arg-type]
        forged.put(NOTE, "forged")
        batch = {**forged.batch(), "device": victim["device"]}
        await self._must_be_refused(ASIDE, batch, "left a forgery aside as another's")

    async def _come_as_a_stranger(self) -> None:
        """A chain of a device that nobody paired, which claims to go on from an honest one."""
        if len(self._others) >= MAX_STRANGERS:
            return
        key = self._world.new_key()
        chain = self._chain_of(key)
        victim = self._some_honest()
        if victim is not None:
            begin = {"device": victim["device"], "seq": 1, "head": "0" * 64, "why": "forked"}
            chain.put("device/continues", begin, scope="shop")
            # the victim's entry on the stranger's chain, as if it had been written anew
            event = chain.put(victim["put"], 1)
            event.update({name: victim[name] for name in ("commit", "put", "scope")})
            for name in ("value", "salt"):
                event.pop(name)
                if name in victim:
                    event[name] = victim[name]
        chain.put(NOTE, "stranger")
        chain.events[-1]["prev"] = (
            reference.hash_of(chain.events[-2]) if len(chain.events) > 1 else ""
        )
        self._others.append(key)
        await self._send(PUSH, chain.batch())

    async def _live_twice(self) -> None:
        """Two lives of the own chain, one pushed and one left aside."""
        if len(self._chain.events) < 2:
            return
        twin = self._chain_of(self.key)
        twin.events = self._chain.events[:1]
        twin.ms = self._chain.ms
        if twin.ms + 1000 < LAST_MS:
            twin.put(NOTE, "another life")
            await self._send(ASIDE, twin.batch())

    async def _send_nonsense(self) -> None:
        body = json.dumps(self._chain.batch()).encode() if self._chain.events else b"{}"
        at = self._world.chance.randrange(len(body))
        path = self._world.chance.choice((PUSH, PULL, ASIDE))
        before = self._world.server.events()
        status, _ = await self._send(path, body[:at] + b"\xff" + body[at + 1 :])
        if status < 400 or self._world.server.events() != before:
            raise look.fail(self._world, "nonsense was taken in")


def mark_place(event: JSON) -> tuple[str, str]:
    return event["scope"], event["put"]
