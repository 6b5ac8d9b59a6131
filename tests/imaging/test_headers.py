"""Headers are read as Pillow reads them, and nothing in them makes the reader fail."""

from __future__ import annotations

import io
import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from bradawl.imaging.headers import (
    exif_orientation,
    jpeg_header,
    kind_of,
    png_header,
    webp_header,
)
from tests.imaging import files


def _saved(kind: str, mode: str = "RGB", **more: object) -> bytes:
    out = io.BytesIO()
    Image.new(mode, (301, 203)).save(out, kind, **more)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "several_scans"),
    [
        (_saved("JPEG"), False),
        (_saved("JPEG", "L"), False),
        (_saved("JPEG", "CMYK"), False),
        (_saved("JPEG", progressive=True), True),
    ],
)
def test_a_jpeg_s_frame(data: bytes, several_scans: bool) -> None:
    found = jpeg_header(data)
    assert found is not None
    with Image.open(io.BytesIO(data)) as image:
        assert (found.width, found.height) == image.size
        assert len(found.sampling) == len(image.getbands())
    assert found.in_several_scans is several_scans
    assert data[found.scan : found.scan + 2] == b"\xff\xda"


@pytest.mark.parametrize("depth", [1, 2, 4, 8, 16])
@pytest.mark.parametrize("colours", [0, 2, 3, 4, 6])
def test_a_png_takes_at_least_the_memory_that_pillow_takes(depth: int, colours: int) -> None:
    data = files.png(301, 203, depth, colours)
    found = png_header(data)
    try:
        with Image.open(io.BytesIO(data)) as image:
            assert found is not None
            assert (found.width, found.height) == image.size
            # what a pixel takes in Pillow's memory, whose rows are whole words
            assert found.pixel_bytes >= {"1": 1, "L": 1, "P": 1, "I;16": 2}.get(image.mode, 4)
    except OSError:
        assert found is None  # ISO/IEC 15948, table 11.1 does not allow it


@pytest.mark.parametrize("more", [{"lossless": True}, {"quality": 50}, {"exif": b"Exif\0\0II"}])
def test_a_webp_s_canvas(more: dict[str, object]) -> None:
    found = webp_header(_saved("WEBP", **more))
    assert found is not None
    assert (found.width, found.height) == (301, 203)


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_exif_tells_the_orientation_as_pillow_reads_it(order: str, orientation: int) -> None:
    exif = Image.Exif()
    exif.endian = order
    exif[0x0112] = orientation
    exif[0x010F] = "a camera"
    assert exif_orientation(exif.tobytes()[6:]) == orientation
    data = _saved("JPEG", exif=exif)
    found = jpeg_header(data)
    assert found is not None
    assert (found.orientation, found.turned) == (orientation, orientation >= 5)


def test_a_frame_said_twice_or_not_at_all_is_no_header() -> None:
    data = _saved("JPEG")
    at = data.index(b"\xff\xc0")
    length = int.from_bytes(data[at + 2 : at + 4], "big") + 2
    frame = data[at : at + length]
    assert jpeg_header(data[:at] + frame + data[at:]) is None
    assert jpeg_header(data[:at] + data[at + length :]) is None


def test_more_segments_than_a_camera_writes_end_the_search() -> None:
    many = b"\xff\xd8" + b"\xff\xfe\0\x02" * 2_000_000 + _saved("JPEG")[2:]
    assert jpeg_header(many) is None


def test_a_png_header_whose_check_fails_is_none() -> None:
    data = bytearray(files.png(30, 20))
    data[19] ^= 1
    assert png_header(bytes(data)) is None


GOOD = [
    _saved("JPEG"),
    _saved("JPEG", progressive=True),
    _saved("WEBP"),
    _saved("WEBP", lossless=True),
    files.png(30, 20),
    struct.pack(">2sHIHHHIH", b"MM", 42, 8, 1, 0x0112, 3, 1, 6),
]


@given(st.sampled_from(GOOD), st.data())
def test_no_bytes_make_a_reader_fail(data: bytes, draw: st.DataObject) -> None:
    at = draw.draw(st.integers(0, len(data)))
    noise = draw.draw(st.binary(max_size=40))
    spoilt = data[:at] + noise + data[at + draw.draw(st.integers(0, 40)) :]
    kind_of(spoilt[:16])
    exif_orientation(spoilt)
    for reader in (jpeg_header, png_header, webp_header):
        found = reader(spoilt)
        assert found is None or (found.width > 0 and found.height > 0)
