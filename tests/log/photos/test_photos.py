"""A photo is kept whole under its own hash or refused with a sentence; what is shown is clean."""

from __future__ import annotations

import asyncio
import io
import os
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from PIL import Image
from starlette.testclient import TestClient

from bradawl.imaging.decoder import DECODER
from bradawl.imaging.errors import PictureError
from bradawl.log import request_bodies
from bradawl.log.event_log import Log
from bradawl.log.photos import arrival, images, photos
from bradawl.log.photos.storage import FolderPhotoStore, sweep
from tests.imaging.files import webp_head
from tests.log.photos.pictures import HEIC, encoded, picture, pixel_bomb, sha256, turned_and_placed
from tests.log.server import DEVICE, app_of, client_of
from tests.log.sync.test_sync import refused


def put(client: TestClient, data: bytes, kind: str = "image/jpeg", name: str | None = None) -> Any:
    return client.put(
        f"/api/v1/blobs/{name or sha256(data)}", content=data, headers={"content-type": kind}
    )


def incoming(log: Log) -> list[Path]:
    log.photos.finish()
    return list(log.photos.store.incoming.iterdir())


def shown(client: TestClient, data: bytes) -> Image.Image:
    answer = client.get(f"/api/v1/blobs/{sha256(data)}")
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "image/jpeg"
    assert answer.headers["x-content-type-options"] == "nosniff"
    image = Image.open(io.BytesIO(answer.content))
    image.load()
    return image


def near(got: Any, colour: tuple[int, int, int]) -> bool:
    return all(abs(one - other) < 40 for one, other in zip(got, colour, strict=True))


@pytest.mark.parametrize(
    ("data", "kind"),
    [
        (encoded("JPEG"), "image/jpeg"),
        (encoded("PNG"), "image/png"),
        (encoded("WEBP"), "image/webp"),
        (HEIC, "image/heic"),
    ],
)
def test_each_accepted_kind_is_kept_and_shown(
    client: TestClient, log: Log, data: bytes, kind: str
) -> None:
    assert put(client, data, kind).status_code == 201
    assert log.photo_original(sha256(data)) == data
    image = shown(client, data)
    assert (image.format, image.size) == ("JPEG", (64, 48))
    assert near(image.getpixel((2, 2)), (255, 255, 255))
    assert near(image.getpixel((20, 40)), (255, 0, 0))
    assert near(image.getpixel((60, 40)), (0, 0, 255))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "HEIC"])
def test_a_photo_of_many_parts_is_kept_as_one_that_fits_into_memory(
    client: TestClient, log: Log, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    data = HEIC if kind == "HEIC" else encoded(kind)
    monkeypatch.setattr(request_bodies, "PART_BYTES", 100)
    pieces = (data[at : at + 70] for at in range(0, len(data), 70))
    headers = {"content-type": f"image/{kind.lower()}"}
    place = f"/api/v1/blobs/{sha256(data)}"
    refused(client.put(place, content=data[:-40], headers=headers), 422, "hash")
    assert incoming(log) == []
    assert client.put(place, content=pieces, headers=headers).status_code == 201
    assert log.photo_original(sha256(data)) == data
    assert shown(client, data).size == (64, 48)
    assert incoming(log) == []


def test_a_repeat_changes_nothing_and_says_so(client: TestClient, log: Log) -> None:
    data = encoded()
    assert put(client, data).status_code == 201
    assert put(client, data).status_code == 200
    assert incoming(log) == []


def test_missing_names_what_the_server_lacks_in_the_order_asked(
    client: TestClient, log: Log
) -> None:
    held = encoded()
    put(client, held)
    asked = ["f" * 64, sha256(held), "0" * 64]
    answer = client.post("/api/v1/blobs/missing", json={"sha256": asked})
    assert answer.json() == {"missing": ["f" * 64, "0" * 64]}
    refused(client.post("/api/v1/blobs/missing", json={"sha256": ["x"]}), 422, "photos")
    assert len(log.photos.missing(["0" * 64] * 1001)) == 1001  # a page may ask for any number
    many = {"sha256": ["0" * 64] * 1001}
    refused(client.post("/api/v1/blobs/missing", json=many), 422, "photos")


def test_other_bytes_than_announced_are_refused(client: TestClient, log: Log) -> None:
    data = encoded()
    refused(put(client, data[:-1], name=sha256(data)), 422, "hash")
    assert log.photos.missing([sha256(data)]) == [sha256(data)]
    assert incoming(log) == []
    assert put(client, data).status_code == 201


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"GIF89a" + bytes(40),
        b"%PDF-1.7 " + bytes(40),
        b"\xff\xd8\xff" + bytes(400) + b"\xff\xd9",
        b"\x89PNG\r\n\x1a\n" + bytes(60) + b"IEND",
        b"RIFF\x10\0\0\0WEBP" + bytes(40),
        b"\0\0\0\x18ftypheic" + bytes(60),
        encoded("JPEG")[:-20],
        encoded("PNG")[:-20],
        encoded("WEBP")[:-20],
    ],
    ids=lambda data: repr(data[:12]),
)
def test_a_file_that_is_no_whole_photo_is_refused(
    client: TestClient, log: Log, data: bytes
) -> None:
    refused(put(client, data), 422, "not_an_image")
    assert incoming(log) == []
    assert list(log.photos.store.names("original")) == []


def test_a_cut_off_photo_is_not_taken_for_its_own_thumbnail(client: TestClient) -> None:
    # a small picture with its own end inside the header, as cameras write it
    small = encoded("JPEG", 16, 12)
    header = b"\xff\xe1" + (len(small) + 2).to_bytes(2, "big") + small
    whole = encoded("JPEG", 640, 480, quality=95)
    photo = whole[:2] + header + whole[2:]
    refused(put(client, photo[: len(photo) * 2 // 3]), 422, "not_an_image")
    assert put(client, photo).status_code == 201
    film = photo + bytes(100_000)  # some cameras append a film
    assert put(client, film).status_code == 201


def test_a_pixel_bomb_is_refused_without_being_decoded(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    bomb = pixel_bomb()
    assert len(bomb) < 1_000_000
    asked: list[Any] = []
    monkeypatch.setattr(DECODER, "_ask", lambda _file, request: asked.append(request))
    refused(put(client, bomb, "image/png"), 422, "too_many_pixels")
    assert asked == []


def test_an_unknown_type_and_a_name_that_is_no_hash_are_refused(client: TestClient) -> None:
    refused(put(client, encoded(), "text/html"), 415, "type")
    refused(put(client, encoded(), name="x"), 422, "photos")
    refused(client.get("/api/v1/blobs/" + "F" * 64), 422, "photos")
    refused(client.get("/api/v1/blobs/" + "f" * 64), 404, "unknown_blob")


def test_too_many_bytes_are_refused_whether_announced_or_not(
    client: TestClient, log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(arrival, "MAX_PHOTO_BYTES", 1_000)

    def parts() -> Iterator[bytes]:
        for _ in range(10):
            yield bytes(500)

    answer = client.put(
        f"/api/v1/blobs/{'0' * 64}", content=parts(), headers={"content-type": "image/jpeg"}
    )
    refused(answer, 413, "too_large")
    assert incoming(log) == []
    huge = {"content-type": "image/jpeg", "content-length": "25000001"}
    refused(client.put(f"/api/v1/blobs/{'0' * 64}", content=b"", headers=huge), 413, "too_large")


@pytest.mark.parametrize("orientation", range(1, 9))
def test_the_served_copy_is_upright_and_says_nothing_of_place_or_camera(
    client: TestClient, log: Log, orientation: int
) -> None:
    data = turned_and_placed(orientation)
    assert b"camera" in data
    put(client, data)
    image = shown(client, data)
    assert image.size == ((40, 80) if orientation >= 5 else (80, 40))
    assert not image.getexif()
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    # Exif 2.3, tag Orientation (from memory): n puts row 0, column 0 of the data at this corner
    corner = {
        1: (4, 4), 2: (75, 4), 3: (75, 35), 4: (4, 35),
        5: (4, 4), 6: (35, 4), 7: (35, 75), 8: (4, 75),
    }  # fmt: skip
    assert near(image.getpixel(corner[orientation]), (255, 255, 255))
    assert log.photo_original(sha256(data)) == data


def test_a_large_photo_is_shown_at_1600_pixels(client: TestClient) -> None:
    data = encoded("JPEG", 4000, 3000)
    put(client, data)
    assert shown(client, data).size == (1600, 1200)


@pytest.mark.parametrize("mode", ["L", "1", "P", "LA", "RGBA", "I;16", "CMYK"])
def test_every_colour_mode_becomes_a_plain_picture(client: TestClient, mode: str) -> None:
    out = io.BytesIO()
    kind = "JPEG" if mode == "CMYK" else "PNG"
    source = Image.new("I;16", (30, 20)) if mode == "I;16" else picture(30, 20).convert(mode)
    source.save(out, kind)
    assert put(client, out.getvalue(), f"image/{kind.lower()}").status_code == 201
    assert shown(client, out.getvalue()).mode == "RGB"


def test_a_transparent_ground_becomes_white(client: TestClient) -> None:
    out = io.BytesIO()
    Image.new("RGBA", (20, 20), (0, 0, 0, 0)).save(out, "PNG")
    put(client, out.getvalue(), "image/png")
    assert near(shown(client, out.getvalue()).getpixel((9, 9)), (255, 255, 255))


def test_a_photo_whose_pixels_are_damaged_is_kept_as_it_came_and_said(
    client: TestClient, log: Log
) -> None:
    data = bytearray(encoded("PNG", 64, 48))
    at = data.index(b"IDAT") + 8
    data[at : at + 8] = bytes(8)
    assert put(client, bytes(data), "image/png").status_code == 201
    name = sha256(bytes(data))
    refused(client.get(f"/api/v1/blobs/{name}"), 422, "not_an_image")
    with pytest.raises(PictureError, match="damaged"):
        log.photo(name)
    assert log.photo_original(name) == bytes(data)


def test_a_photo_too_large_to_be_decoded_is_kept_as_it_came_and_said(
    client: TestClient, log: Log
) -> None:
    data = webp_head(8_000, 6_250)
    assert put(client, data, "image/webp").status_code == 201
    name = sha256(data)
    refused(client.get(f"/api/v1/blobs/{name}"), 422, "too_large_to_show")
    # as an <img> asks (WHATWG Fetch, 2.2.7): the app shows a picture that says so
    asked = {"accept": "image/avif,image/webp,image/svg+xml,image/*;q=0.8,*/*;q=0.5"}
    drawn = client.get(f"/api/v1/blobs/{name}", headers=asked)
    assert (drawn.status_code, drawn.headers["content-type"]) == (422, "image/svg+xml")
    assert "can't be shown" in " ".join(ElementTree.fromstring(drawn.text).itertext())
    assert log.photo_original(name) == data


def test_a_photo_that_cannot_be_shown_is_decoded_in_vain_only_once(
    client: TestClient, log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[object] = []

    def never(original: object) -> bytes:
        asked.append(original)
        raise PictureError("not_an_image", "Damaged.", "it is damaged")

    monkeypatch.setattr(images, "served_copy", never)
    data = encoded()
    put(client, data)
    log.photos.finish()
    for _ in range(3):
        refused(client.get(f"/api/v1/blobs/{sha256(data)}"), 422, "not_an_image")
    assert len(asked) == 1
    monkeypatch.undo()
    log.photos.disown(sha256(data))  # as `doctor --ask-again` does
    assert put(client, data).status_code == 201
    assert shown(client, data).size == (64, 48)


def test_many_who_ask_for_a_photo_at_once_have_it_decoded_once(
    client: TestClient, log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = encoded("PNG", 900, 700)
    monkeypatch.setattr(photos, "QUIET_S", 3_600.0)  # no copy is made before it is asked for
    put(client, data)
    made: list[object] = []
    copy = images.served_copy

    def counted(original: Any) -> bytes:
        made.append(original)
        return copy(original)

    monkeypatch.setattr(images, "served_copy", counted)
    with ThreadPoolExecutor(8) as pool:
        found = set(pool.map(log.photo, [sha256(data)] * 8))
    assert len(made) == len(found) == 1


def test_the_served_copy_is_made_after_the_answer_and_again_when_it_is_gone_in_a_folder(
    client: TestClient, log: Log
) -> None:
    data = encoded()
    put(client, data)
    log.photos.finish()
    store = log.photos.store
    assert isinstance(store, FolderPhotoStore)
    path = store.path_of(sha256(data), "served")
    first = path.read_bytes()
    path.unlink()
    assert log.photo(sha256(data)) == first
    assert path.read_bytes() == first


def test_stale_arrivals_are_swept_and_fresh_ones_left_in_a_folder(log: Log) -> None:
    folder = log.photos.store.incoming
    stale, fresh = folder / "a.part", folder / "b.part"
    for path in (stale, fresh):
        path.write_bytes(b"x")
    os.utime(stale, (time.time() - 7200, time.time() - 7200))
    assert sweep(folder) == 1
    assert incoming(log) == [fresh]


def test_a_file_without_a_row_is_taken_up_when_the_photo_comes_again_in_a_folder(
    client: TestClient, log: Log
) -> None:
    # as after a kill between the file and its row
    data = encoded()
    store = log.photos.store
    assert isinstance(store, FolderPhotoStore)
    path = store.path_of(sha256(data), "original")
    path.write_bytes(data[:100])
    assert log.photo(sha256(data)) is None
    assert put(client, data).status_code == 201
    assert log.photo_original(sha256(data)) == data


def test_a_phone_that_loses_its_signal_leaves_nothing_behind_and_no_alarm(
    log: Log, caplog: pytest.LogCaptureFixture
) -> None:
    data = encoded()
    parts = iter([data[:100], data[100:200]])

    async def receive() -> dict[str, Any]:
        part = next(parts, None)
        if part is None:
            return {"type": "http.disconnect"}
        return {"type": "http.request", "body": part, "more_body": True}

    async def send(_message: Any) -> None:
        pass

    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "PUT",
        "scheme": "https",
        "path": f"/api/v1/blobs/{sha256(data)}",
        "query_string": b"",
        "headers": [(b"device", DEVICE.encode()), (b"content-type", b"image/jpeg")],
        "state": {},
    }
    asyncio.run(app_of(log)(scope, receive, send))
    assert incoming(log) == []
    assert log.photos.missing([sha256(data)]) == [sha256(data)]
    assert caplog.records == []


def test_an_unpaired_phone_neither_sends_nor_sees_photos(log: Log) -> None:
    with client_of(log, "") as client:
        refused(put(client, encoded()), 401, "pair_again")
        refused(client.get("/api/v1/blobs/" + "f" * 64), 401, "pair_again")
        refused(client.post("/api/v1/blobs/missing", json={"sha256": []}), 401, "pair_again")
