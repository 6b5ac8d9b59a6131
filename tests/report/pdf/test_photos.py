"""Photos: embedded byte for byte when fit, reduced once when not, a stated gap when broken."""

from __future__ import annotations

import io
import os
import re
from pathlib import Path

import pikepdf
import pytest
from PIL import Image
from reportlab.pdfgen.canvas import Canvas

from bradawl.imaging.errors import too_large_to_show
from bradawl.log.photos.images import served_copy
from bradawl.report.issue import write_report
from bradawl.report.layout.flowables import PhotoSlot
from bradawl.report.pdf.assembly import HEADER, append_pages
from bradawl.report.pdf.photos import (
    EDGE_LIMIT,
    EmbeddedPhoto,
    EmbeddedPhotos,
    PhotoError,
    fit_to_print,
)
from bradawl.report.pdf.print_copies import PrintCopies
from bradawl.report.signing.keys import Signer
from tests.report.tools import flowing, run
from tests.report.visits import TODAY, jpeg, sha256, snapshot


def _saved(image: Image.Image, kind: str, **more: object) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **more)
    return out.getvalue()


def test_a_clean_jpeg_is_not_touched() -> None:
    data = jpeg(3)
    assert fit_to_print(data) == (data, 640, 480, 3)


def test_grey_and_progressive_jpegs_are_not_touched_either() -> None:
    grey = _saved(Image.new("L", (90, 60), 120), "JPEG")
    assert fit_to_print(grey) == (grey, 90, 60, 1)
    progressive = _saved(Image.new("RGB", (90, 60)), "JPEG", progressive=True)
    assert fit_to_print(progressive)[0] == progressive


def test_the_copy_made_at_sync_time_is_printed_as_it_is() -> None:
    """Reduced once, when a photo has come; a report neither decodes nor reduces it again."""
    camera = _saved(Image.effect_noise((4000, 3000), 40).convert("RGB"), "JPEG", quality=90)
    copy = served_copy(camera)
    assert len(copy) < len(camera) / 3
    body, width, height, _ = fit_to_print(copy)
    assert body is copy
    assert max(width, height) == 1600
    # the widest place on a page is 264 points: more than the 300 dots an inch that print shows
    assert width / (264 / 72) > 300


def test_metadata_with_a_place_is_stripped_and_the_picture_turned_upright() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # orientation: turn right (EXIF 2.3, tag 274)
    exif.get_ifd(0x8825)[1] = "N"  # GPSLatitudeRef
    data = _saved(Image.new("RGB", (200, 100)), "JPEG", exif=exif)
    body, width, height, _ = fit_to_print(data)
    assert (width, height) == (100, 200)
    assert b"Exif" not in body


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_other_kinds_become_jpeg(kind: str) -> None:
    body, width, height, channels = fit_to_print(_saved(Image.new("RGBA", (70, 50)), kind))
    assert body[:3] == b"\xff\xd8\xff"
    assert (width, height, channels) == (70, 50, 3)


def test_what_is_larger_than_print_needs_is_reduced() -> None:
    body, width, height, _ = fit_to_print(_saved(Image.new("RGB", (3000, 1500)), "JPEG"))
    assert max(width, height) == EDGE_LIMIT
    assert len(body) < 100_000


def test_cmyk_is_made_rgb() -> None:
    assert fit_to_print(_saved(Image.new("CMYK", (40, 30)), "JPEG"))[3] == 3


@pytest.mark.parametrize(
    "data",
    [b"", b"\xff\xd8\xff", b"GIF89a", b"%PDF-1.7", jpeg(1)[:400], b"\xff\xd8\xff\xe0" + b"\0" * 50],
)
def test_a_broken_photo_is_an_error_with_a_clause(data: bytes) -> None:
    with pytest.raises(PhotoError, match="damaged"):
        fit_to_print(data)


def test_a_bomb_of_pixels_is_refused_before_it_is_opened() -> None:
    # a PNG whose header claims 30,000 x 30,000 pixels
    head = bytearray(_saved(Image.new("1", (8, 8)), "PNG"))
    head[16:24] = (30_000).to_bytes(4, "big") * 2
    import zlib

    head[29:33] = zlib.crc32(bytes(head[12:29])).to_bytes(4, "big")
    with pytest.raises(PhotoError):
        fit_to_print(bytes(head))


def _pages_with_slots(names: tuple[str, ...]) -> bytes:
    """A page that keeps a slot for each photo, as reportlab and then qpdf write it."""
    laid_out, written = io.BytesIO(), io.BytesIO()
    canvas = Canvas(laid_out, pagesize=(200, 200))
    for name in names:
        canvas._doc.Reference(PhotoSlot(name), canvas._doc.getXObjectName(name))
        canvas.doForm(name)
    canvas.drawString(10, 10, "42 0 obj << /BradawlSlot (")
    canvas.save()
    with pikepdf.open(laid_out) as pdf:
        pdf.save(
            written,
            min_version="1.7",
            stream_decode_level=pikepdf.StreamDecodeLevel.none,
            compress_streams=False,
            object_stream_mode=pikepdf.ObjectStreamMode.disable,
        )
    return written.getvalue()


def test_photos_are_bound_to_the_pages_that_keep_slots_for_them(tmp_path: Path) -> None:
    originals = {sha256(jpeg(number)): jpeg(number) for number in (1, 2)}
    bound = tmp_path / "bound.pdf"
    with bound.open("w+b") as file, EmbeddedPhotos(file, originals.get) as photos:
        file.write(HEADER)
        first, second = originals
        embedded = photos.embed(first, 200, 200)
        assert embedded is not None
        assert photos.embed(second, 200, 200) is not None
        assert photos.embed(first, 200, 200) == embedded
        assert photos.digests() == {name: name for name in sorted(originals)}
        append_pages(_pages_with_slots((second, first)), file, photos)
    assert "No syntax or stream encoding errors" in run("qpdf", "--check", bound)
    with pikepdf.open(bound) as pdf:
        found = [image.read_raw_bytes() for image in pdf.pages[0].get_images().values()]
        assert "BradawlSlot" not in str(pdf.objects)
    assert sorted(found) == sorted(originals.values())
    # one section of one table, and every object where it says (ISO 19005-3, 6.1.4 and 6.1.9)
    data = bound.read_bytes()
    assert data.count(b"\nxref\n") == 1
    assert all(
        data[at.start() - 1 : at.start()] == b"\n" for at in re.finditer(rb"\d+ 0 obj\n", data)
    )


def test_pages_that_are_no_pdf_are_refused() -> None:
    file = io.BytesIO()
    with (
        EmbeddedPhotos(file, lambda _: jpeg(1)) as photos,
        pytest.raises(ValueError, match="not built as they should be"),
    ):
        append_pages(b"nothing", file, photos)


def test_a_photo_larger_than_its_place_is_reduced_once_and_kept(tmp_path: Path) -> None:
    """220 dots an inch over 172 points are 526; the second report finds the copy."""
    camera = _saved(Image.effect_noise((1600, 1200), 40).convert("RGB"), "JPEG", quality=90)
    copies = PrintCopies(tmp_path / "kept")
    found = []
    for _ in range(2):
        with EmbeddedPhotos(io.BytesIO(), {"a": camera}.get, copies) as photos:
            embedded = photos.embed("a", 172, 129)
            found.append(photos.digests()["a"])
        assert embedded is not None
        assert (embedded.width, embedded.height) == (526, 395)
    (kept,) = (tmp_path / "kept").iterdir()
    assert found[0] == found[1] == sha256(kept.read_bytes()[:-32])
    kept.write_bytes(kept.read_bytes()[:-40])  # cut off: made again
    with EmbeddedPhotos(io.BytesIO(), {"a": camera}.get, copies) as photos:
        assert photos.embed("a", 172, 129) == embedded
        assert photos.digests()["a"] == found[0]
    copies.clear()
    assert not (tmp_path / "kept").exists()


def test_a_folder_that_may_not_be_written_costs_the_copies_alone(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    camera = _saved(Image.new("RGB", (1600, 400)), "JPEG")
    copies = PrintCopies(tmp_path / "file" / "kept")
    with EmbeddedPhotos(io.BytesIO(), {"a": camera}.get, copies) as photos:
        assert photos.embed("a", 172, 129) == EmbeddedPhoto(0, 526, 132)


def test_photos_that_fit_stand_in_the_report_byte_for_byte(condition: Path) -> None:
    with pikepdf.open(condition) as pdf:
        found = {
            sha256(image.read_raw_bytes())
            for page in pdf.pages
            for image in page.get_images().values()
        }
    assert found == {sha256(jpeg(number)) for number in range(5)}


def test_missing_and_broken_photos_are_stated_gaps(tmp_path: Path, shop: Signer) -> None:
    broken, missing, unreadable = b"not a photo", b"never sent", b"on a bad disk"
    huge = b"more pixels than memory"
    visit = snapshot(photos=[jpeg(1), broken, missing, unreadable, huge])

    def photo(name: str) -> bytes | None:
        if name == sha256(unreadable):
            raise OSError("input/output error")
        if name == sha256(huge):
            raise too_large_to_show()
        return {sha256(jpeg(1)): jpeg(1), sha256(broken): broken}.get(name)

    object.__setattr__(visit, "photo", photo)
    file = tmp_path / "gaps.pdf"
    issued = write_report(visit, file, "condition", shop, today=TODAY)
    assert issued.photos == 1
    assert [str(note) for note in issued.notes] == ["4 photos could not be printed."]
    text = flowing(file)
    assert "cannot be shown: it's damaged or not an image" in text
    assert "cannot be shown: it has not arrived from the phone" in text
    assert "cannot be shown: its file could not be read" in text
    assert "cannot be shown: opening it would take more than 512 MB of memory" in text
    assert "4 photos could not be printed; the place of each says why." in text


def test_a_disk_that_fails_while_pages_are_laid_out_leaves_no_report(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Photos are synced meanwhile; an error is told to one sync only, so it may not get lost."""
    synced = os.fsync
    asked: list[int] = []

    def failing(file: int) -> None:
        asked.append(file)
        if len(asked) == 1:
            raise OSError("input/output error")
        synced(file)

    monkeypatch.setattr(os, "fsync", failing)
    out = tmp_path / "report.pdf"
    with pytest.raises(OSError, match="input/output error"):
        write_report(snapshot(photos=[jpeg(1)]), out, "condition", None, today=TODAY)
    assert list(tmp_path.iterdir()) == []
