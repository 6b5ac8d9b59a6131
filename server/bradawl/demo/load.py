"""Bring the demo onto a server through the API that phones use, and nothing else."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx

from bradawl.access.core.audit import SHELL
from bradawl.access.devices.pairing import pairing_text
from bradawl.access.web.auth import DEVICE_COOKIE, Access
from bradawl.demo import phone as phones
from bradawl.demo import scenario
from bradawl.language import message


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


#: Gives a phone its token: (phone) to the header that speaks for it. Raises LoadError.
Pair = Callable[[phones.Phone], Awaitable[dict[str, str]]]


async def load(
    client: httpx.AsyncClient,
    scenarios: Sequence[scenario.Scenario],
    pictures: Path,
    pair: Pair | None = None,
) -> Loaded:
    """Load the scenarios through `client`; without `pair` the phones ask the server itself.

    `pictures` is the folder of the photos. Raises LoadError.
    """
    offline = await _answer(await client.get("/api/v1/offline"))
    bundle = await _answer(await client.get(offline["checklists"]))
    played = phones.play(list(scenarios), bundle, offline["app"], pictures)
    visits = [(phones.visit_of(scenario), scenario.title) for scenario in scenarios]
    pair = pair or asking(client)
    cookie = await pair(played[0])
    counts = await _event_counts(client, cookie)
    if counts.get(played[0].device):
        older = any(counts.get(phone.device, 0) != len(phone.events) for phone in played)
        return Loaded(visits, events=0, photos=0, fresh=False, older=older)
    photos = 0
    for number, phone in enumerate(played):
        if number:
            cookie = await pair(phone)
        photos += await _send(client, phone, cookie)
    events = sum(len(phone.events) for phone in played)
    return Loaded(visits, events, photos, fresh=True, older=False)


async def _send(client: httpx.AsyncClient, phone: phones.Phone, cookie: Mapping[str, str]) -> int:
    """Send a phone's events and the photos that the server lacks; how many photos."""
    headers = dict(cookie)
    await _answer(await client.post("/api/v1/sync/push", json=phone.batch(), headers=headers))
    question = {"sha256": sorted(phone.photos)}
    missing = await _answer(
        await client.post("/api/v1/blobs/missing", json=question, headers=headers)
    )
    for name in missing["missing"]:
        response = await client.put(
            f"/api/v1/blobs/{name}",
            content=phone.photos[name],
            headers=headers | {"Content-Type": "image/jpeg"},
        )
        await _answer(response)
    return len(missing["missing"])


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
            raise LoadError(message("cli-demo-approval"))
        # Sent by hand: the cookie is for https only, and a client keeps to that on localhost, too.
        return {"Cookie": "; ".join(f"{name}={value}" for name, value in response.cookies.items())}

    return pair


def approving(access: Access) -> Pair:
    """Phones that this process approves by itself: whoever runs it holds the data folder."""

    async def pair(phone: phones.Phone) -> dict[str, str]:
        device = access.devices.find(phone.device)
        person = device.person_id if device else access.first_owner().id
        token = access.pairing.pair_at_once(phone.device, phone.name, person)
        access.audit.record(SHELL, "phone of the demo paired", phone.name)
        return {"Cookie": f"{DEVICE_COOKIE}={token}"}

    return pair


async def _event_counts(client: httpx.AsyncClient, cookie: Mapping[str, str]) -> dict[str, int]:
    """How many events the server holds of each device."""
    answer = await _answer(
        await client.post(
            "/api/v1/sync/pull", json={"protocol": 2, "have": {}}, headers=dict(cookie)
        )
    )
    counts: dict[str, int] = answer["held"]
    return counts


async def _answer(response: httpx.Response) -> dict[str, Any]:
    if response.is_success:
        body: dict[str, Any] = response.json()
        return body
    try:
        why = response.json()["error"]["message"]
    except (ValueError, KeyError, TypeError):
        why = message("cli-demo-status", status=str(response.status_code))
    path = response.request.url.path
    raise LoadError(message("cli-demo-refused", path=path, why=why))
