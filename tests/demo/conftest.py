"""The scenarios as they are played, with flat stand-ins for the drawn photos."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Sequence
from typing import Any

import pytest
from PIL import Image

from bradawl.checklists import bundle, load
from bradawl.common import resources
from bradawl.demo.phone import Phone, play
from bradawl.demo.pictures.order import Order
from bradawl.demo.scenario import Scenario, read


class FlatPictures:
    """A JPEG of one colour per order: real images, drawn in no time."""

    def __init__(self) -> None:
        self.drawn = 0

    def prepare(self, wanted: Sequence[tuple[str, Order]]) -> None:
        pass

    def __call__(self, picture: str, order: Order) -> bytes:
        self.drawn += 1
        digest = hashlib.sha256(repr((picture, order)).encode()).digest()
        out = io.BytesIO()
        image = Image.new("RGB", (64, 48), (digest[0], digest[1], digest[2]))
        image.putdata([(digest[n % 32],) * 3 for n in range(64 * 48)])
        image.save(out, "JPEG")
        return out.getvalue()


@pytest.fixture(scope="session")
def scenarios() -> list[Scenario]:
    return read(resources.path_of("demo"))


@pytest.fixture(scope="session")
def checklist() -> dict[str, Any]:
    return bundle(load(resources.path_of("checklists")))


@pytest.fixture(scope="session")
def played(scenarios: list[Scenario], checklist: dict[str, Any]) -> list[Phone]:
    return play(scenarios, checklist, "test", FlatPictures())
