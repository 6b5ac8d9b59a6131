"""Writes protocol_vectors.json: the phone model and the real server, one exchange at a time.

`python -m tests.log.make_vectors` after a change of protocol. A vector is one round of sync:
`start` (what the phone holds), `exchanges` (requests in order, with the server's answers; null
when none comes), `end` (what the phone holds and shows then). README.md says how to run them.
"""

from __future__ import annotations

import asyncio
import base64
import json
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bradawl.log import Log
from tests.log.pictures import sha256
from tests.log.server import DEVICE, OTHER, VISIT, app_of, new_log
from tests.log.writer import Writer
from tests.world.asgi import call
from tests.world.phone import Disk, NoAnswerError, Phone

JSON = dict[str, Any]
PATH = Path(__file__).with_name("protocol_vectors.json")
SERVER_MS = 1_764_052_800_000
RUN, EARLIER_RUN = "5e" * 8, "4d" * 8
# three by three pixels, red and blue; the third is no photo at all
PHOTOS = [
    (
        "image/png",
        base64.b64decode(
            "iVBORw0KGgoAAAANSUhEUgAAAAMAAAADCAIAAADZSiLoAAAAEElEQVR4nGP8zwAFTAyYLAAdWwEFNX6V"
            "DAAAAABJRU5ErkJggg=="
        ),
    ),
    (
        "image/png",
        base64.b64decode(
            "iVBORw0KGgoAAAANSUhEUgAAAAMAAAADCAIAAADZSiLoAAAAF0lEQVR4nGNkYPjPwMDAwMDAxAADCBYA"
            "G10BBdmz9y8AAAAASUVORK5CYII="
        ),
    ),
    ("image/jpeg", b"no photo"),
]


def own() -> Writer:
    """The phone's own events."""
    writer = Writer(DEVICE)
    writer.put("about/bundle", "0" * 64)
    writer.put("items/brakes.front-pads/grade", {"grade": "minor", "why": "inner pad low"})
    writer.put("items/brakes.front-pads/readings/pad/front-left", {"typed": "2,5", "unit": "mm"})
    before = writer.events[1]["at"]
    writer.put("items/brakes.front-pads/grade", {"grade": "major"}, [before])
    writer.put("items/brakes.front-pads/note", 'Quotes " and \\, é, \u2028, 😀, tab\tend')
    return writer


def other() -> Writer:
    """Events of another device in the same visit."""
    writer = Writer(OTHER, ms=1_764_052_900_000)
    writer.put("about/place", "under a roof")
    writer.put("items/brakes.front-pads/choice", "sound")
    writer.put("about/place", None, [writer.events[0]["at"]])
    return writer


def scenarios() -> list[JSON]:
    """Start of the phone, state of the server, and what befalls the round.

    `own` events exist, `acknowledged` of them; `server` holds that many of the phone's and of the
    other device's events; `photos` on the phone by number, `held` those the phone thinks held.
    `cut` kills the exchange of that number (from 0): before or after the server acts, or changes
    a value in its answer on the way ("damage").
    """
    plain: JSON = {
        "own": 0, "acknowledged": 0, "others": 0, "photos": [], "held": [],
        "server": {"own": 0, "others": 0, "photos": []}, "paired": True, "cut": {}, "batch": 1000,
        "run": RUN, "withheld": [],
    }  # fmt: skip
    some = {"own": 5, "acknowledged": 2}
    at_two = {"own": 2, "others": 0, "photos": []}
    return [
        plain | {"name": "nothing to do"},
        plain | {"name": "the first events go in one batch", "own": 5},
        plain | some | {"name": "only what is not acknowledged goes", "server": at_two},
        plain | {"name": "a long log goes in several batches", "own": 5, "batch": 2},
        plain
        | {
            "name": "an answer that was lost is asked for again and changes nothing",
            "own": 5,
            "acknowledged": 2,
            "server": at_two | {"own": 5},
        },
        plain
        | some
        | {
            "name": "no answer leaves everything as it was",
            "server": at_two,
            "cut": {"0": "before"},
        },
        plain
        | some
        | {
            "name": "an answer cut off after the server acted leaves everything as it was",
            "server": at_two,
            "cut": {"0": "after"},
        },
        plain
        | {
            "name": "a cut between two batches keeps what was acknowledged",
            "own": 5,
            "batch": 2,
            "cut": {"1": "before"},
        },
        plain
        | {
            "name": "a server that was set back is sent what it lacks, photos included",
            "run": EARLIER_RUN,
            "own": 5,
            "acknowledged": 4,
            "server": at_two,
            "photos": [0],
            "held": [0],
        },
        plain
        | {
            "name": "a set-back server is noticed by pull when nothing is new",
            "run": EARLIER_RUN,
            "own": 5,
            "acknowledged": 5,
            "server": at_two,
            "photos": [0, 1],
            "held": [0, 1],
        },
        plain
        | {
            "name": "a server started anew is asked about every photo and sent what it lacks",
            "run": EARLIER_RUN,
            "own": 1,
            "acknowledged": 1,
            "photos": [0, 1],
            "held": [0, 1],
            "server": {"own": 1, "others": 0, "photos": [0]},
        },
        plain
        | {
            "name": "others' events arrive",
            "server": {"own": 0, "others": 3, "photos": []},
        },
        plain
        | {
            "name": "others' events arrive from where the phone is",
            "own": 2,
            "others": 1,
            "server": {"own": 0, "others": 3, "photos": []},
        },
        plain
        | {
            "name": "an event of which the server withholds the value arrives, its chain whole",
            "server": {"own": 0, "others": 3, "photos": []},
            "withheld": ["about/place"],
        },
        plain
        | {
            "name": "a batch that was changed on the way is not kept",
            "server": {"own": 0, "others": 3, "photos": []},
            "cut": {"0": "damage"},
        },
        plain
        | {
            "name": "a pull without answer leaves what was acknowledged",
            "own": 2,
            "server": {"own": 0, "others": 3, "photos": []},
            "cut": {"1": "before"},
        },
        plain | {"name": "a phone that is not paired keeps everything", "own": 3, "paired": False},
        plain
        | {
            "name": "another history under the same numbers is refused and keeps everything",
            "own": 3,
            "server": {"own": 3, "others": 0, "photos": [], "fork": True},
        },
        plain
        | {
            "name": "photos that are missing go, those that are held do not",
            "own": 1,
            "photos": [0, 1],
            "server": {"own": 0, "others": 0, "photos": [1]},
        },
        plain
        | {
            "name": "one refused photo keeps back no other",
            "own": 1,
            "photos": [2, 0],
        },
        plain
        | {
            "name": "a photo cut off after the server kept it is asked about again",
            "own": 1,
            "photos": [0, 1],
            "cut": {"3": "after"},
        },
        plain
        | {
            "name": "a photo held in the end is not sent again",
            "own": 1,
            "acknowledged": 1,
            "photos": [0],
            "server": {"own": 1, "others": 0, "photos": [0]},
        },
    ]


@dataclass(frozen=True)
class Hiding:
    """Withholds the values at some paths from everybody, as after a seller was forgotten."""

    paths: frozenset[str]
    visits: frozenset[str] = frozenset({VISIT})

    def now(self) -> Hiding:
        return self

    def value(self, _visit: str, put: str, _at: str, value: Any) -> Any:
        return None if put in self.paths else value

    def hides_photo(self, _sha256: str) -> bool:
        return False


def snapshot(phone: Phone) -> JSON:
    """What the phone holds and shows."""
    disk = phone.disk
    return {
        "acknowledged": disk.acknowledged,
        "run": disk.run,
        "photos": list(disk.photos),
        "have": {device: len(events) for device, events in sorted(disk.events.items())},
        "unsent_photos": [name for name in disk.photos if name not in disk.held],
        "trouble": phone.trouble,
        "on_server": phone.on_server,
    }


def disk_of(scenario: JSON) -> Disk:
    disk = Disk(DEVICE, run=scenario["run"])
    for writer, count in ((own(), scenario["own"]), (other(), scenario["others"])):
        if count:
            events = writer.events[:count]
            disk.events[writer.device] = events
            disk.hashes[writer.device] = writer.batch(1, count)["head"]
            disk.seen = max(disk.seen, events[-1]["at"])
    disk.acknowledged = scenario["acknowledged"]
    for number in scenario["photos"]:
        kind, data = PHOTOS[number]
        disk.photos[sha256(data)] = (kind, data)
    disk.held = {sha256(PHOTOS[number][1]) for number in scenario["held"]}
    return disk


def fill(log: Log, held: JSON) -> None:
    mine = Writer(DEVICE, ms=5).fill(3) if held.get("fork") else own()
    for writer, count in ((mine, held["own"]), (other(), held["others"])):
        if count:
            log.push(writer.batch(1, count), received_ms=SERVER_MS)
    for number in held["photos"]:
        data = PHOTOS[number][1]
        with log.photos.arriving(sha256(data)) as arrival:
            arrival.add(data)
            log.photos.keep(arrival, DEVICE)


def readable(headers: Mapping[str, str], body: bytes) -> JSON:
    kind = headers["content-type"]
    if kind == "application/json":
        return {"type": kind, "json": json.loads(body)}
    return {"type": kind, "sha256": sha256(body)}


async def play(scenario: JSON, folder: Path) -> JSON:
    """One round against the real server; the vector."""
    log = new_log(folder, clock=lambda: SERVER_MS)
    log.run = RUN
    log.withheld = Hiding(frozenset(scenario["withheld"]))
    fill(log, scenario["server"])
    app = app_of(log)
    who = DEVICE if scenario["paired"] else ""
    exchanges: list[JSON] = []

    async def send(
        method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> tuple[int, bytes]:
        fate = scenario["cut"].get(str(len(exchanges)))
        exchange: JSON = {
            "request": {"method": method, "path": path, **readable(headers, body)},
            "response": None,
        }
        exchanges.append(exchange)
        if fate == "before":
            raise NoAnswerError
        status, answer = await call(app, method, path, {**headers, "device": who}, body)
        if fate == "after":
            raise NoAnswerError
        if fate == "damage":
            answer = answer.replace(b"under a roof", b"under a tree")
        exchange["response"] = {"status": status, "json": json.loads(answer)}
        return status, answer

    phone = Phone(disk_of(scenario), send, lambda: SERVER_MS, scenario["batch"])
    start = snapshot(phone)
    await phone.round()
    log.close()
    return {
        "name": scenario["name"],
        "batch": scenario["batch"],
        "start": start,
        "exchanges": exchanges,
        "end": snapshot(phone),
    }


def vectors() -> JSON:
    """Everything the file holds."""
    played = []
    for scenario in scenarios():
        with tempfile.TemporaryDirectory() as folder:
            played.append(asyncio.run(play(scenario, Path(folder))))
    return {
        "device": DEVICE,
        "own": own().events,
        "others": {OTHER: other().events},
        "photos": [
            {"sha256": sha256(data), "type": kind, "base64": base64.b64encode(data).decode()}
            for kind, data in PHOTOS
        ],
        "vectors": played,
    }


def text() -> str:
    return json.dumps(vectors(), ensure_ascii=False, indent=1) + "\n"


if __name__ == "__main__":
    PATH.write_text(text(), encoding="utf-8")
    print(f"{len(scenarios())} vectors in {PATH}")
