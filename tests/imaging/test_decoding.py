"""Pictures are decoded in a bounded amount of memory, whatever a file is or says of itself.

Memory is what the kernel says a real process had resident at its peak (VmHWM, proc(5)).
"""

from __future__ import annotations

import io
import os
import signal
import struct
import threading
import zlib
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from PIL import Image, ImageCms

from bradawl.common.device_keys import DeviceKey
from bradawl.imaging.decoder import Decoder, on_disk
from bradawl.imaging.errors import DECODING_BYTES, PictureError
from bradawl.imaging.headers import Jpeg, Raster, jpeg_header, png_header
from bradawl.imaging.reducing import needed_bytes
from bradawl.log.photos import images
from tests.bench.bench_sync import pair
from tests.bench.measuring.processes import asked, serving
from tests.imaging import files
from tests.log.photos.pictures import sha256

EDGE_PX, QUALITY = images.SERVED_PX, images.SERVED_QUALITY


@pytest.fixture(scope="module")
def decoder() -> Iterator[Decoder]:
    made = Decoder()
    yield made
    made.close()


def copied(decoder: Decoder, data: bytes) -> Image.Image:
    with on_disk(data) as file:
        copy = decoder.copy(file, EDGE_PX, QUALITY)
    picture = Image.open(io.BytesIO(copy.data))
    assert picture.size == (copy.width, copy.height)
    assert max(picture.size) <= EDGE_PX
    return picture


def memory_bytes(pid: int, what: str) -> int:
    for line in Path(f"/proc/{pid}/status").read_text().splitlines():
        if line.startswith(f"{what}:"):
            return int(line.split()[1]) * 1024
    raise AssertionError(f"The kernel tells no {what}.")


def peak_of(decoder: Decoder, data: bytes) -> int:
    """How much more memory the decoding process had at its peak, in bytes; damaged or not."""
    if decoder.pid is None:
        copied(decoder, files.jpeg(64, 48))
    pid = decoder.pid
    assert pid is not None
    Path(f"/proc/{pid}/clear_refs").write_text("5")  # the peak begins anew: proc(5)
    before = memory_bytes(pid, "VmRSS")
    try:
        copied(decoder, data)
    except PictureError:
        if decoder.pid != pid:  # it was ended for what it took: its peak was within its bound
            return 0
    return memory_bytes(pid, "VmHWM") - before


LARGE = {
    "16 bit, RGBA": lambda: files.png(5_000, 4_000, 16, 6),
    "16 bit, RGBA, interlaced": lambda: files.png(5_000, 4_000, 16, 6, interlaced=True),
    "16 bit, grey": lambda: files.png(5_000, 4_000, 16, 0),
    "grey with alpha": lambda: files.png(5_000, 4_000, 8, 4),
    "palette": lambda: files.png(5_000, 4_000, 8, 3),
    "one bit": lambda: files.png(5_000, 4_000, 1, 0),
    "one row": lambda: files.png(20_000_000, 1, 16, 6),
    "one column": lambda: files.png(1, 20_000_000, 8, 0),
    "a long strip of a PNG": lambda: files.png(40_000, 500, 8, 6),
    "baseline": lambda: files.jpeg(5_000, 4_000),
    "CMYK": lambda: files.jpeg(5_000, 4_000, "CMYK"),
    "progressive 4:2:0": lambda: files.jpeg(5_000, 4_000, progressive=True),
    "progressive 4:4:4": lambda: files.jpeg(5_000, 4_000, progressive=True, subsampling=0),
    "progressive CMYK": lambda: files.jpeg(5_000, 4_000, "CMYK", progressive=True),
    "a long strip": lambda: files.jpeg(40_000, 500),
}


@pytest.mark.parametrize("name", LARGE)
def test_what_a_header_tells_is_what_it_takes_at_most(decoder: Decoder, name: str) -> None:
    data = LARGE[name]()
    header: Jpeg | Raster | None = png_header(data) or jpeg_header(data)
    assert header is not None
    told = needed_bytes(header, EDGE_PX, len(data))
    assert peak_of(decoder, data) <= told <= DECODING_BYTES


def test_a_camera_s_photo_takes_a_small_part_of_the_bound(decoder: Decoder) -> None:
    # 12 megapixels as phones write them, decoded at a quarter of the size
    assert peak_of(decoder, files.jpeg(4_000, 3_000)) < 40_000_000


def _text_bomb(name: bytes, unpacked: int = 200_000_000) -> bytes:
    packer = zlib.compressobj(9)
    zeros = bytes(1_000_000)
    packed = b"".join(packer.compress(zeros) for _ in range(unpacked // len(zeros)))
    return files.chunk(name, b"x\0\0" + packed + packer.flush())


@pytest.mark.parametrize("name", [b"iCCP", b"zTXt"])
def test_what_unpacks_to_much_beside_the_pixels_is_left_out(decoder: Decoder, name: bytes) -> None:
    data = files.png(64, 48, extra=[_text_bomb(name)])
    assert peak_of(decoder, data) < 20_000_000
    assert copied(decoder, data).size == (64, 48)


def test_megabytes_of_text_and_segments_hide_no_picture(decoder: Decoder) -> None:
    text = files.chunk(b"tEXt", b"note\0" + b"x" * 20_000_000)
    assert copied(decoder, files.png(64, 48, extra=[text])).size == (64, 48)
    photo = files.jpeg(640, 480)
    segment = b"\xff\xe3" + struct.pack(">H", 60_002) + bytes(60_000)
    assert copied(decoder, photo[:2] + segment * 300 + photo[2:]).size == (640, 480)


def test_the_first_frame_of_many_is_shown(decoder: Decoder) -> None:
    frames = [Image.new("RGB", (900, 700), shade) for shade in ("red", "green", "blue")]
    for kind in ("PNG", "WEBP"):
        out = io.BytesIO()
        frames[0].save(out, kind, save_all=True, append_images=frames[1:])
        red, green, blue = copied(decoder, out.getvalue()).getpixel((450, 350))  # type: ignore[misc]
        assert red > 200 > 60 > max(green, blue), kind


def test_a_png_s_own_colours_are_turned_into_srgb(decoder: Decoder) -> None:
    profile = ImageCms.ImageCmsProfile(
        ImageCms.createProfile("LAB")
    ).tobytes()  # unusable: left out
    out = io.BytesIO()
    Image.new("RGB", (64, 48), (200, 10, 10)).save(out, "PNG", icc_profile=profile)
    red, _, blue = copied(decoder, out.getvalue()).getpixel((9, 9))  # type: ignore[misc]
    assert red > 180 > 40 > blue


@pytest.mark.parametrize(
    "data",
    [
        files.png(300, 200, 16, 6)[:-60],
        files.jpeg(640, 480)[:-300],
        files.png(300, 200).replace(b"IDAT", b"IDAT\0", 1),
        b"RIFF\x04\0\0\0WEBP",
    ],
)
def test_what_is_cut_off_or_damaged_is_said_to_be(decoder: Decoder, data: bytes) -> None:
    with pytest.raises(PictureError) as refused:
        copied(decoder, data)
    assert refused.value.code == "not_an_image"


def test_a_header_that_lies_gets_no_more_memory_than_there_is_for_decoding(
    decoder: Decoder,
) -> None:
    # tiles that make 943 megapixels, said to be 640 x 480: without a bound it takes 1.4 GB
    lie = files.heic_grid(30, 30, claimed=(640, 480))
    with on_disk(lie) as file:
        assert decoder.heic_size(file) == (640, 480)
    assert peak_of(decoder, lie) <= DECODING_BYTES
    with pytest.raises(PictureError):
        copied(decoder, lie)
    assert copied(decoder, files.heic_grid(2, 1)).size == (1600, 800)


def test_what_takes_more_than_the_bound_alone_is_said_to_be_too_large(decoder: Decoder) -> None:
    with pytest.raises(PictureError) as refused:
        copied(decoder, files.webp_head(8_000, 6_250))
    assert refused.value.code == "too_large_to_show"
    assert "kept" in refused.value.message
    assert decoder.pid is not None
    with pytest.raises(PictureError) as refused:
        copied(decoder, files.webp_head(16_000, 16_000))
    assert refused.value.code == "too_many_pixels"


def test_a_decoder_that_dies_or_hangs_costs_its_picture_alone(decoder: Decoder) -> None:
    copied(decoder, files.jpeg(64, 48))
    first = decoder.pid
    assert first is not None
    os.kill(first, signal.SIGKILL)
    # found dead when it is asked next, and started again
    assert copied(decoder, files.jpeg(64, 48)).size == (64, 48)
    second = decoder.pid
    assert second is not None
    assert second != first
    os.kill(second, signal.SIGSTOP)
    usual, decoder.time_limit_s = decoder.time_limit_s, 0.2
    with pytest.raises(PictureError, match="can't be shown"):
        copied(decoder, files.jpeg(64, 48))
    decoder.time_limit_s = usual
    assert copied(decoder, files.jpeg(64, 48)).size == (64, 48)


def test_the_decoder_learns_nothing_of_the_server_s_surroundings(
    decoder: Decoder, monkeypatch: pytest.MonkeyPatch
) -> None:
    decoder.close()
    monkeypatch.setenv("BRADAWL_DATABASE_URL", "postgresql://me:secret@db/bradawl")
    copied(decoder, files.jpeg(64, 48))
    assert b"secret" not in Path(f"/proc/{decoder.pid}/environ").read_bytes()


def _child_of(pid: int) -> int:
    """The one process that another has started."""
    found = {
        int(child)
        for task in Path(f"/proc/{pid}/task").iterdir()
        for child in (task / "children").read_text().split()
    }
    (only,) = found
    return only


def test_four_phones_at_once_stay_below_the_bound_of_a_real_server(tmp_path: Path) -> None:
    """Each sends a picture of many pixels at the same moment, then all ask for all of them."""
    photos = {
        files.png(8_000, 6_250, 16, 6, shade=1): "image/png",
        files.png(8_000, 6_250, 16, 6, shade=2): "image/png",
        files.jpeg(6_000, 4_000, progressive=True, subsampling=0): "image/jpeg",
        files.heic_grid(30, 30, claimed=(640, 480)): "image/heic",
    }
    devices = [bytes([number]) for number in range(len(photos))]
    with serving("tests.log.process", tmp_path) as server:
        cookies = [pair(server.port, DeviceKey.derived(name)) for name in devices]
        small = files.jpeg(64, 48)
        together = threading.Barrier(len(photos))

        def send(cookie: str, data: bytes, kind: str) -> int:
            address = f"/api/v1/blobs/{sha256(data)}"
            headers = {"cookie": cookie, "content-type": kind}
            return asked(server.port, "PUT", address, data, headers)[0]

        def fetch(cookie: str, data: bytes) -> int:
            address = f"/api/v1/blobs/{sha256(data)}"
            return asked(server.port, "GET", address, headers={"cookie": cookie})[0]

        def one_phone(cookie: str, data: bytes, kind: str) -> list[int]:
            together.wait()
            sent = send(cookie, data, kind)
            together.wait()
            return [sent, *(fetch(cookie, other) for other in photos)]

        assert send(cookies[0], small, "image/jpeg") == 201
        assert fetch(cookies[0], small) == 200
        child = _child_of(server.pid)
        rest = {pid: memory_bytes(pid, "VmRSS") for pid in (server.pid, child)}
        with ThreadPoolExecutor(len(photos)) as pool:
            found = list(pool.map(one_phone, cookies, photos, photos.values()))
        assert [answers[0] for answers in found] == [201] * 4
        assert [answers[1:] for answers in found] == [[200, 200, 200, 422]] * 4
        assert _child_of(server.pid) == child
        taken = memory_bytes(child, "VmHWM") - rest[child]
        # 50 megapixels of RGBA were decoded, and never two at a time
        assert 150_000_000 < taken <= DECODING_BYTES
        assert memory_bytes(server.pid, "VmHWM") - rest[server.pid] < 50_000_000
