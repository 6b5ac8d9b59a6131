"""A recording is kept whole under its hash, belongs to nothing yet, and comes back in parts.

Sound made here by Python's own `wave`, as an encoder outside the project; the other containers
by their published first bytes.
"""

from __future__ import annotations

import io
import math
import struct
import wave
from typing import Any

import pytest
from starlette.testclient import TestClient

from bradawl.log.event_log import Log
from bradawl.log.photos import arrival
from bradawl.log.photos.recordings import RECORDING_TYPES
from tests.log.photos.pictures import encoded, sha256
from tests.log.sync.test_sync import refused


def engine_sound(seconds: int = 1) -> bytes:
    """A WAVE file of an idling engine, more or less: 30 beats a second."""
    file = io.BytesIO()
    with wave.open(file, "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(8_000)
        for n in range(8_000 * seconds):
            sound.writeframes(struct.pack("<h", int(9_000 * math.sin(n * 30 * math.tau / 8_000))))
    return file.getvalue()


SOUND = engine_sound()
STARTS = {
    "audio/mp4": b"\0\0\0\x1cftypM4A \0\0\0\0",
    "video/mp4": b"\0\0\0\x1cftypisom\0\0\2\0",
    "video/quicktime": b"\0\0\0\x14ftypqt  \0\0\2\0",
    "audio/webm": b"\x1a\x45\xdf\xa3\x9fB\x86\x81\1B\xf7\x81\1B\xf2\x81",
    "video/webm": b"\x1a\x45\xdf\xa3\x9fB\x86\x81\1B\xf7\x81\1B\xf2\x81",
    "audio/ogg": b"OggS\0\2\0\0\0\0\0\0\0\0\1\2",
    "audio/mpeg": b"\xff\xfb\x90\x64\0\0\0\0\0\0\0\0\0\0\0\0",
    "audio/flac": b"fLaC\0\0\0\x22\x10\0\x10\0\0\0\0\0",
    "audio/wav": SOUND,
}


def put(client: TestClient, data: bytes, kind: str) -> Any:
    headers = {"content-type": f"{kind};codecs=opus"}
    return client.put(f"/api/v1/blobs/{sha256(data)}", content=data, headers=headers)


@pytest.mark.parametrize("kind", sorted(STARTS))
def test_each_kind_is_kept_as_it_came_before_any_event_names_it(
    client: TestClient, log: Log, kind: str
) -> None:
    data = STARTS[kind] + kind.encode() * 100
    assert put(client, data, kind).status_code == 201
    assert put(client, data, kind).status_code == 200
    assert log.photo_original(sha256(data)) == data
    answer = client.get(f"/api/v1/blobs/{sha256(data)}")
    assert (answer.content, answer.headers["content-type"]) == (data, kind)
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert "sandbox" in answer.headers["content-security-policy"]
    asked = client.post("/api/v1/blobs/missing", json={"sha256": [sha256(data), "0" * 64]})
    assert asked.json() == {"missing": ["0" * 64]}
    assert kind in RECORDING_TYPES


@pytest.mark.parametrize(
    ("data", "kind"),
    [
        (b"<html><script>alert(1)</script>", "audio/wav"),
        (encoded("JPEG"), "audio/mp4"),
        (encoded("WEBP"), "audio/wav"),
        (SOUND, "audio/ogg"),
        (b"", "audio/mpeg"),
        (b"\xff\xd8\xff\xe0 a picture's first bytes", "audio/mpeg"),
    ],
)
def test_what_is_not_the_recording_it_says_is_refused(
    client: TestClient, log: Log, data: bytes, kind: str
) -> None:
    refused(put(client, data, kind), 422, "not_a_recording")
    assert log.photo_original(sha256(data)) is None
    assert list(log.photos.store.incoming.iterdir()) == []


def test_a_recording_cannot_come_as_a_photo_nor_as_anything_else(client: TestClient) -> None:
    refused(put(client, SOUND, "image/jpeg"), 422, "not_an_image")
    refused(put(client, SOUND, "application/pdf"), 415, "type")
    refused(put(client, SOUND, "text/html"), 415, "type")


def test_a_recording_that_is_too_large_is_refused(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(arrival, "MAX_RECORDING_BYTES", len(SOUND) - 1)
    refused(put(client, SOUND, "audio/wav"), 413, "too_large")


@pytest.mark.parametrize(
    ("asked", "status", "part"),
    [
        ("bytes=0-", 206, SOUND),
        ("bytes=0-1", 206, SOUND[:2]),
        ("bytes=44-99", 206, SOUND[44:100]),
        ("bytes=16000-999999", 206, SOUND[16000:]),
        ("bytes=999999-", 416, b""),
        ("bytes=5-4", 416, b""),
        ("bytes=-5", 200, SOUND),  # a server may answer whole what it does not serve in parts
        ("lines=0-1", 200, SOUND),
    ],
)
def test_players_seek_by_ranges(  # RFC 9110, section 14.2
    client: TestClient, asked: str, status: int, part: bytes
) -> None:
    put(client, SOUND, "audio/wav")
    answer = client.get(f"/api/v1/blobs/{sha256(SOUND)}", headers={"range": asked})
    assert (answer.status_code, answer.content) == (status, part)
    if status == 206:
        first = int(asked.removeprefix("bytes=").partition("-")[0])
        assert answer.headers["content-range"] == (
            f"bytes {first}-{first + len(part) - 1}/{len(SOUND)}"
        )
