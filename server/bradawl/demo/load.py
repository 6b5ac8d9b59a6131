"""Bring the demo onto a server through the API that phones use, and nothing else."""

from __future__ import annotations

import hashlib
from collections.abc import Awaitable, Callable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

import httpx

from bradawl.access import DEVICE_COOKIE, Access
from bradawl.access.core.audit import SHELL
from bradawl.access.devices.pairing import pairing_text
from bradawl.demo import phone as phones
from bradawl.demo import pictures, scenario
from bradawl.demo.pictures.order import Order

_DRAWERS = 2  # processes that draw at once
_SOURCES = Path(pictures.__file__).parent


class LoadError(Exception):
    """The demo could not be loaded; the message says why and what to do."""


@dataclass(frozen=True)
class Loaded:
    """What is on the server now: visit ids with their cars' names, and what was sent this time.

    `fresh` is false when everything was there before; `older` when an earlier edition of the demo
    is there, which is left as it is.
    """

    visits: list[tuple[str, str]]
    events: int
    photos: int
    fresh: bool
    older: bool


class Pictures(Protocol):
    """Where the photos come from."""

    def prepare(self, wanted: Sequence[tuple[str, Order]]) -> None: ...
    def __call__(self, picture: str, order: Order) -> bytes: ...


#: Gives a phone its token: (phone) to the header that speaks for it. Raises LoadError.
Pair = Callable[[phones.Phone], Awaitable[dict[str, str]]]


async def load(
    client: httpx.AsyncClient,
    scenarios: Sequence[scenario.Scenario],
    album: Pictures,
    pair: Pair | None = None,
) -> Loaded:
    """Load the scenarios through `client`; without `pair` the phones ask the server itself.

    Nothing is drawn when the demo is there already.

    Raises LoadError.
    """
    offline = await _answer(await client.get("/api/v1/offline"))
    bundle = await _answer(await client.get(offline["checklists"]))
    visits = [(phones.visit_of(one), one.title) for one in scenarios]
    first = phones.Phone(scenarios[0].phone.key, scenarios[0].phone.name)
    pair = pair or asking(client)
    cookie = await pair(first)
    held = await _held(client, cookie)
    if held.get(first.device):
        # Counting needs no pictures, only as many different ones.
        played = phones.play(
            list(scenarios), bundle, offline["app"], lambda *one: repr(one).encode()
        )
        older = any(held.get(one.device, 0) != len(one.events) for one in played)
        return Loaded(visits, events=0, photos=0, fresh=False, older=older)
    album.prepare(orders(scenarios))
    played = phones.play(list(scenarios), bundle, offline["app"], album)
    photos = 0
    for one in played:
        if one.device != first.device:
            cookie = await pair(one)
        await _answer(await client.post("/api/v1/sync/push", json=one.batch(), headers=cookie))
        asked = {"sha256": sorted(one.photos)}
        missing = await _answer(
            await client.post("/api/v1/blobs/missing", json=asked, headers=cookie)
        )
        for name in missing["missing"]:
            sent = await client.put(
                f"/api/v1/blobs/{name}",
                content=one.photos[name],
                headers=cookie | {"Content-Type": "image/jpeg"},
            )
            if sent.status_code not in (200, 201):
                await _answer(sent)
            photos += 1
    return Loaded(visits, sum(len(one.events) for one in played), photos, fresh=True, older=False)


def asking(client: httpx.AsyncClient) -> Pair:
    """Phones that ask to be paired as any phone does: taken at once, or not at all."""

    async def pair(phone: phones.Phone) -> dict[str, str]:
        wish = {
            "device": phone.device,
            "name": phone.name,
            "key": phone.signer.public,
            "proof": phone.signer.sign(pairing_text(phone.device)),
        }
        response = await client.post("/api/v1/pairing", json=wish)
        if (await _answer(response))["state"] != "approved":
            raise LoadError(
                "The server does not take the demo's phone without somebody's approval: it has a "
                "passphrase, serves a network, or knows that phone already. On the machine that "
                "holds the data, “bradawl demo” without --server loads it; the server may run "
                "meanwhile."
            )
        # Sent by hand: the cookie is for https only, and a client keeps to that on localhost, too.
        return {"Cookie": "; ".join(f"{name}={value}" for name, value in response.cookies.items())}

    return pair


def approving(access: Access) -> Pair:
    """Phones that this process approves by itself: whoever runs it holds the data folder."""

    async def pair(phone: phones.Phone) -> dict[str, str]:
        known = access.devices.known(phone.device)
        person = known.person_id if known else access.first_owner().id
        token = access.pairing.pair_at_once(phone.device, phone.name, person)
        access.audit.record(SHELL, "phone of the demo paired", phone.name)
        return {"Cookie": f"{DEVICE_COOKIE}={token}"}

    return pair


async def _held(client: httpx.AsyncClient, cookie: Mapping[str, str]) -> dict[str, int]:
    """How many events the server holds of each device."""
    answer = await _answer(
        await client.post(
            "/api/v1/sync/pull", json={"protocol": 2, "have": {}}, headers=dict(cookie)
        )
    )
    held: dict[str, int] = answer["held"]
    return held


async def _answer(response: httpx.Response) -> dict[str, Any]:
    if response.is_success:
        body: dict[str, Any] = response.json()
        return body
    try:
        message = response.json()["error"]["message"]
    except (ValueError, KeyError, TypeError):
        message = f"status {response.status_code}"
    raise LoadError(f"The server refused the demo at {response.request.url.path}: {message}")


# --- drawing, and keeping what was drawn -------------------------------------------------------


def orders(scenarios: Sequence[scenario.Scenario]) -> list[tuple[str, Order]]:
    """Every picture that the scenarios ask for, in the order in which they are taken."""
    found: list[tuple[str, Order]] = []

    def note(picture: str, order: Order) -> bytes:
        found.append((picture, order))
        return repr((picture, order)).encode()

    phones.play(list(scenarios), {"hash": "0" * 64, "items": []}, "", note)
    return found


class Album:
    """Draws pictures, several at once, and keeps them in a folder for the next time.

    What is kept is named by the order and by the drawing code, so a changed brush draws anew.
    """

    def __init__(self, folder: Path, say: Callable[[str], None] = lambda _: None) -> None:
        self._folder = folder
        self._say = say
        self._code = hashlib.sha256(
            b"".join(file.read_bytes() for file in sorted(_SOURCES.glob("*.py")))
        ).hexdigest()

    def prepare(self, wanted: Sequence[tuple[str, Order]]) -> None:
        """Draw what is not kept yet."""
        missing = [one for one in wanted if not self._place(*one).is_file()]
        if not missing:
            return
        self._say(f"Drawing {len(missing)} photos …")
        self._folder.mkdir(parents=True, exist_ok=True)
        with ProcessPoolExecutor(_DRAWERS) as pool:
            names, wants = zip(*missing, strict=True)
            done = pool.map(pictures.draw, names, wants)
            for one, data in zip(missing, done, strict=True):
                self._keep(self._place(*one), data)

    def __call__(self, picture: str, order: Order) -> bytes:
        place = self._place(picture, order)
        if not place.is_file():
            self._folder.mkdir(parents=True, exist_ok=True)
            self._keep(place, pictures.draw(picture, order))
        return place.read_bytes()

    def _place(self, picture: str, order: Order) -> Path:
        name = hashlib.sha256(f"{self._code} {picture} {order!r}".encode()).hexdigest()[:24]
        return self._folder / f"{picture}-{name}.jpg"

    @staticmethod
    def _keep(place: Path, data: bytes) -> None:
        part = place.with_suffix(".part")
        part.write_bytes(data)
        part.replace(place)
