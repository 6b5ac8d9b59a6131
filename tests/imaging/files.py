"""Pictures that a camera would not make: large ones in few bytes, and files that lie.

Made here, byte by byte where no library would write them.
"""

from __future__ import annotations

import functools
import io
import struct
import zlib
from collections.abc import Iterator, Sequence
from pathlib import Path

from PIL import Image

#: A drawn 1024 x 1024 picture, encoded with libheif and x265, since the library here only reads.
TILE = (Path(__file__).parent / "fixtures" / "tile.heic").read_bytes()
TILE_PX = 1024

_CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
#: Adam7 (ISO/IEC 15948, 8.2): first column, first row, steps across and down of each pass.
_PASSES = (
    (0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2),
    (0, 1, 1, 2),
)  # fmt: skip


def chunk(name: bytes, data: bytes) -> bytes:
    """A PNG's chunk (ISO/IEC 15948, 5.3)."""
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def png(
    width: int,
    height: int,
    depth: int = 8,
    colours: int = 2,
    *,
    interlaced: bool = False,
    shade: int = 17,
    extra: Sequence[bytes] = (),
) -> bytes:
    """A PNG of one shade; `extra` are whole chunks that come before its pixels."""
    palette = [chunk(b"PLTE", bytes(range(256)) * 3)] if colours == 3 else []
    header = struct.pack(">IIBBBBB", width, height, depth, colours, 0, 0, int(interlaced))
    return b"".join(
        [
            b"\x89PNG\r\n\x1a\n",
            chunk(b"IHDR", header),
            *extra,
            *palette,
            chunk(
                b"IDAT",
                _packed(_rows(width, height, depth * _CHANNELS[colours], interlaced), shade),
            ),
            chunk(b"IEND", b""),
        ]
    )


def _rows(width: int, height: int, bits: int, interlaced: bool) -> Iterator[tuple[int, int]]:
    """(bytes of a row, how many rows) of each pass."""
    for left, top, across, down in _PASSES if interlaced else ((0, 0, 1, 1),):
        wide, high = -(-(width - left) // across), -(-(height - top) // down)
        if wide > 0 and high > 0:
            yield 1 + (wide * bits + 7) // 8, high


def _packed(rows: Iterator[tuple[int, int]], shade: int) -> bytes:
    """A zlib stream of equal rows: what is packed once is repeated, not packed again."""
    out, check = [b"\x78\xda"], 1
    for length, count in rows:
        row = b"\0" + bytes([shade]) * (length - 1)
        together = max(1, min(count, 1_000_000 // length))
        for block, times in ((row * together, count // together), (row, count % together)):
            packer = zlib.compressobj(9, wbits=-15)
            out.append((packer.compress(block) + packer.flush(zlib.Z_FULL_FLUSH)) * times)
            for _ in range(times):
                check = zlib.adler32(block, check)
    return b"".join([*out, zlib.compressobj(wbits=-15).flush(), struct.pack(">I", check)])


@functools.cache
def jpeg(
    width: int, height: int, mode: str = "RGB", *, progressive: bool = False, subsampling: int = 2
) -> bytes:
    """A JPEG of one shade; `subsampling` as Pillow counts it: 0 is 4:4:4, 2 is 4:2:0."""
    out = io.BytesIO()
    Image.new(mode, (width, height), 40 if mode == "L" else tuple([40] * len(mode))).save(
        out, "JPEG", quality=70, progressive=progressive, subsampling=subsampling
    )
    return out.getvalue()


def webp_head(width: int, height: int) -> bytes:
    """A WebP whose header claims that canvas, with nothing behind it."""
    body = b"VP8X" + struct.pack("<I", 10) + bytes(4)
    body += (width - 1).to_bytes(3, "little") + (height - 1).to_bytes(3, "little")
    return b"RIFF" + struct.pack("<I", 4 + len(body)) + b"WEBP" + body


# ---- HEIC (ISO/IEC 23008-12): a grid of tiles that share their bytes ---------------------------


def box(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I4s", len(data) + 8, name) + data


def _full(name: bytes, version: int, data: bytes) -> bytes:
    return box(name, struct.pack(">I", version << 24) + data)


def _boxes(data: bytes, begin: int, end: int) -> Iterator[tuple[bytes, bytes]]:
    while begin < end:
        size, name = struct.unpack(">I4s", data[begin : begin + 8])
        yield name, data[begin + 8 : begin + size]
        begin += size


def heic_grid(columns: int, rows: int, claimed: tuple[int, int] | None = None) -> bytes:
    """A HEIC of columns x rows times `TILE`; `claimed` is the size that its header tells."""
    top = dict(_boxes(TILE, 0, len(TILE)))
    inside = dict(_boxes(top[b"meta"], 4, len(top[b"meta"])))
    properties = dict(_boxes(inside[b"iprp"], 0, len(inside[b"iprp"])))
    held = dict(_boxes(properties[b"ipco"], 0, len(properties[b"ipco"])))
    count, coded = columns * rows, top[b"mdat"]
    size = (columns * TILE_PX, rows * TILE_PX)
    tiles = range(2, count + 2)
    grid = struct.pack(">BBBBII", 0, 1, rows - 1, columns - 1, *size)
    infos = [_full(b"infe", 2, struct.pack(">HH4sB", 1, 0, b"grid", 0))]
    infos += [_full(b"infe", 2, struct.pack(">HH4sB", one, 0, b"hvc1", 0)) for one in tiles]
    uses = [struct.pack(">HBB", 1, 1, 3)]
    uses += [struct.pack(">HBBB", one, 2, 0x81, 2) for one in tiles]
    told = [
        box(b"hvcC", held[b"hvcC"]),
        _full(b"ispe", 0, struct.pack(">II", TILE_PX, TILE_PX)),
        _full(b"ispe", 0, struct.pack(">II", *(claimed or size))),
    ]
    start = box(b"ftyp", b"heic\0\0\0\0mif1heic")

    def meta(offset: int) -> bytes:
        places = [struct.pack(">HHHHII", 1, 1, 0, 1, 0, len(grid))]
        places += [struct.pack(">HHHHII", one, 0, 0, 1, offset, len(coded)) for one in tiles]
        refers = struct.pack(f">HH{count}H", 1, count, *tiles)
        return _full(
            b"meta",
            0,
            b"".join(
                [
                    _full(b"hdlr", 0, b"\0\0\0\0pict" + bytes(13)),
                    _full(b"pitm", 0, struct.pack(">H", 1)),
                    _full(b"iloc", 1, struct.pack(">BBH", 0x44, 0, count + 1) + b"".join(places)),
                    _full(b"iinf", 0, struct.pack(">H", count + 1) + b"".join(infos)),
                    _full(b"iref", 0, box(b"dimg", refers)),
                    box(
                        b"iprp",
                        box(b"ipco", b"".join(told))
                        + _full(b"ipma", 0, struct.pack(">I", count + 1) + b"".join(uses)),
                    ),
                    box(b"idat", grid),
                ]
            ),
        )

    return start + meta(len(start) + len(meta(0)) + 8) + box(b"mdat", coded)
