"""Kills the real server again and again while a phone syncs, and looks at what is left each time.

`python -m tests.log.integrity.kill_loop --kills 200 [--seed N] [--whole]`. The server is uvicorn
with log and access, or with --whole all of `bradawl serve`, which takes longer to start. After each
kill -9, with the server dead: everything that was acknowledged is there, every chain is whole, no
photo's row lacks its file, no file that has a row is torn, SQLite finds its pages sound.
"""

from __future__ import annotations

import argparse
import asyncio
import http.client
import json
import os
import random
import signal
import socket
import sys
import tempfile
import threading
import time
from collections.abc import Mapping
from pathlib import Path

from bradawl.common import settings
from bradawl.common.device_keys import DeviceKey
from bradawl.database.connection import open_engine
from bradawl.log.event_log import Log
from bradawl.log.integrity.doctor import examine
from bradawl.log.photos.storage import open_photo_store
from tests import forked
from tests.log.photos.pictures import sha256
from tests.log.server import KEY, VISIT
from tests.world.disk import Disk
from tests.world.phone import NoAnswerError, Phone
from tests.world.server import events_in
from tests.writing import pairing_wish

START_LIMIT_S = 300  # on a machine that is busy with other things
PATIENCE_S = 120


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


class Server:
    """A server process on a data folder, started and killed at will."""

    def __init__(
        self, data: Path, *, whole: bool, environment: Mapping[str, str] | None = None
    ) -> None:
        self.port = free_port()
        port = str(self.port)
        self._program, self._arguments = (
            ("bradawl.cli", ("serve", "--port", port))
            if whole
            else ("tests.log.process", (str(data), port))
        )
        self.environment = {**os.environ, "BRADAWL_DATA": str(data), **(environment or {})}
        self._process: forked.Command | None = None
        self.cookie = ""

    def start(self) -> None:
        self.launch()
        self.wait_until_it_listens()

    def launch(self) -> None:
        with open(os.devnull, "wb") as nowhere, os.fdopen(os.dup(2), "wb") as errors:
            self._process = forked.start(
                *self._arguments,
                program=self._program,
                env=self.environment,
                stdout=nowhere,
                stderr=errors,
            )

    def wait_until_it_listens(self) -> None:
        limit = time.monotonic() + START_LIMIT_S
        while True:
            try:
                socket.create_connection(("127.0.0.1", self.port), timeout=1).close()
                return
            except OSError:
                assert self._process is not None
                if self._process.poll() is not None or time.monotonic() > limit:
                    ended = self._process.returncode
                    raise RuntimeError(
                        f"The server did not start (it ended with {ended})."
                    ) from None
                time.sleep(0.01)

    def kill(self) -> None:
        if self._process is not None:
            self._process.send_signal(signal.SIGKILL)

    def buried(self) -> None:
        """Wait until the process is gone."""
        if self._process is not None:
            self._process.wait()

    async def send(
        self, method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> tuple[int, bytes]:
        """One request; no answer, or half of one, is no answer."""
        connection = http.client.HTTPConnection("localhost", self.port, timeout=PATIENCE_S)
        try:
            connection.request(method, path, body, {"Cookie": self.cookie, **headers})
            answer = connection.getresponse()
            return answer.status, answer.read()
        except (OSError, http.client.HTTPException) as error:
            raise NoAnswerError from error
        finally:
            connection.close()

    def pair(self, key: DeviceKey) -> str:
        """Pair a phone, as a phone on this machine may; the cookie that names it."""
        connection = http.client.HTTPConnection("localhost", self.port, timeout=PATIENCE_S)
        body = json.dumps(pairing_wish(key, "phone"))
        connection.request("POST", "/api/v1/pairing", body, {"content-type": "application/json"})
        answer = connection.getresponse()
        text = answer.read()
        connection.close()
        if answer.status != 200 or json.loads(text)["state"] != "approved":
            raise RuntimeError(f"Pairing failed: {answer.status} {text!r}")
        return str(answer.getheader("set-cookie")).partition(";")[0]


def noise_photo(chance: random.Random) -> bytes:
    """A JPEG of 100 to 400 kB as far as the intake looks: header, noise, end."""
    import io

    from PIL import Image

    side = chance.randrange(200, 420)
    image = Image.frombytes("RGB", (side, side), chance.randbytes(side * side * 3))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=85)
    return out.getvalue()


def check(data: Path, phone: Phone) -> None:
    """Look at what a dead server left behind. Raises AssertionError with what was lost."""
    chosen = settings.at(data)
    log = Log(open_engine(chosen.database_url), open_photo_store(chosen.photo_store))
    try:
        health = examine(log)
        assert health.findings == [], health.findings
        own = events_in(log.engine).get(phone.disk.device, [])
        assert len(own) >= phone.disk.acknowledged, (len(own), phone.disk.acknowledged)
        assert own == phone.own[: len(own)]
        for name in phone.disk.held:
            original = log.photo_original(name)
            assert original is not None, name
            assert sha256(original) == name
    finally:
        log.close()


def record(phone: Phone, chance: random.Random) -> None:
    """Some taps, and mostly a photo."""
    for _ in range(chance.randrange(1, 60)):
        phone.record(VISIT, f"items/rust.sill{chance.randrange(400)}/note", "x" * 99)
    if chance.random() < 0.7:
        phone.photograph(VISIT, "rust.sills", "image/jpeg", noise_photo(chance))


def run(kills: int, seed: int, *, whole: bool = False) -> str:
    """The loop; its closing line."""
    chance = random.Random(seed)
    amid = acknowledged = 0
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder)
        server = Server(data, whole=whole)
        phone = Phone(Disk(KEY), server.send, lambda: time.time_ns() // 1_000_000, batch=40)
        try:
            for number in range(kills):
                server.start()
                if not server.cookie:
                    server.cookie = server.pair(KEY)
                before = phone.disk.acknowledged
                record(phone, chance)
                asyncio.run(phone.round())  # the first round loads what is loaded when needed
                timer = threading.Timer(chance.uniform(0.0, 0.25), server.kill)
                timer.start()
                while timer.is_alive():
                    record(phone, chance)
                    asyncio.run(phone.round())
                server.buried()
                if number % 20 == 19:
                    print(f"{number + 1} kills", file=sys.stderr)
                amid += phone.trouble is not None
                acknowledged += phone.disk.acknowledged - before
                try:
                    check(data, phone)
                except AssertionError as error:
                    raise AssertionError(f"kill {number} of seed {seed}: {error}") from error
            server.start()
            for _ in range(5):
                asyncio.run(phone.round())
            assert phone.on_server, phone.trouble
        finally:
            server.kill()
            server.buried()
        check(data, phone)
        left = sum(1 for path in (data / "incoming").rglob("*.part"))
    return (
        f"{kills} kills ({amid} in the middle of an exchange), {acknowledged} events, "
        f"{len(phone.disk.photos)} photos, {left} unfinished files, 0 lost, 0 torn"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--whole", action="store_true")
    chosen = parser.parse_args()
    began = time.monotonic()
    print(
        run(chosen.kills, chosen.seed, whole=chosen.whole), f"in {time.monotonic() - began:.0f} s"
    )


if __name__ == "__main__":
    main()
