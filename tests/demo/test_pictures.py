"""The drawn photos: real JPEGs of a sensible size, the same each time."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from bradawl.demo.commands import album_folder
from bradawl.demo.load import Album, orders
from bradawl.demo.pictures import HEIGHT, PICTURES, WIDTH, draw
from bradawl.demo.pictures.order import Order
from bradawl.demo.scenario import Scenario


def test_each_photo_of_the_demo_is_a_jpeg_below_350_kb(scenarios: list[Scenario]) -> None:
    # Shares the album of `bradawl demo`: whichever comes first draws.
    album = Album(album_folder())
    wanted = orders(scenarios)
    album.prepare(wanted)
    names = set()
    for picture, order in wanted:
        data = album(picture, order)
        with Image.open(io.BytesIO(data)) as image:
            assert (image.format, image.size) == ("JPEG", (WIDTH, HEIGHT)), picture
        assert 40_000 < len(data) <= 350_000, picture
        names.add(data)
    assert len(names) == len(wanted), "two photos are the same"


def test_the_demo_uses_every_subject_that_is_drawn(scenarios: list[Scenario]) -> None:
    assert {picture for picture, _ in orders(scenarios)} == set(PICTURES)


@pytest.mark.parametrize("picture", ["brake-hose", "pressure-gauge"])
def test_the_same_order_gives_the_same_pixels(picture: str) -> None:
    order = Order("twice", (58, 84, 92), "36")
    assert draw(picture, order) == draw(picture, order)
    assert draw(picture, order) != draw(picture, Order("once", (58, 84, 92), "36"))
