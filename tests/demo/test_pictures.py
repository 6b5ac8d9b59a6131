"""The demo's photos: small real JPEGs, one a file, and each of them shown somewhere."""

from __future__ import annotations

import hashlib
import io
from collections import Counter

from PIL import Image

from bradawl.demo.phone import PHOTO_PX, Phone
from demo.drawing import __main__ as drawing
from tests.demo.conftest import PICTURES


def test_each_photo_is_a_jpeg_of_its_recorded_size_and_at_most_40_kb(played: list[Phone]) -> None:
    for phone in played:
        for name, data in phone.photos.items():
            with Image.open(io.BytesIO(data)) as image:
                image.load()
                assert (image.format, image.size) == ("JPEG", PHOTO_PX), name
            assert 10_000 < len(data) <= 40_000, name


def test_every_photo_differs_and_is_used_once(played: list[Phone]) -> None:
    files = sorted(hashlib.sha256(file.read_bytes()).hexdigest() for file in PICTURES.iterdir())
    assert sorted(name for phone in played for name in phone.photos) == files
    assert len(set(files)) == len(files)
    puts = [event["put"] for phone in played for event in phone.events]
    assert sum("/photos/" in put for put in puts) == len(files)


def test_the_drawing_code_draws_each_subject_that_the_demo_shows_and_no_other() -> None:
    assert {file.stem.partition("-")[2] for file in PICTURES.iterdir()} == set(drawing.SUBJECTS)


def test_a_photo_is_drawn_with_the_same_pixels_each_time_and_each_car_has_its_own() -> None:
    """A subject that several cars have: each draws it in its own paint, with its own reading."""
    subjects = Counter(file.stem.partition("-")[2] for file in PICTURES.iterdir())
    shared = min(subject for subject, cars in subjects.items() if cars > 1)
    first, second, *_ = sorted(file.stem for file in PICTURES.glob(f"*-{shared}.jpg"))
    photo = drawing.draw(first)
    assert photo == drawing.draw(first)
    assert photo != drawing.draw(second)
