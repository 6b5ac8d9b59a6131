"""Code 39 drawn from the standard's table, and a film of it for the browser's camera.

ISO/IEC 16388: nine elements a character, three of them wide, bars and spaces in turn, a narrow
space between characters, an asterisk at both ends (the table from memory).
"""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image, ImageDraw, ImageFilter

#: Elements of each character, bar first: 1 is wide.
_ELEMENTS = {
    "0": "000110100", "1": "100100001", "2": "001100001", "3": "101100000", "4": "000110001",
    "5": "100110000", "6": "001110000", "7": "000100101", "8": "100100100", "9": "001100100",
    "A": "100001001", "B": "001001001", "C": "101001000", "D": "000011001", "E": "100011000",
    "F": "001011000", "G": "000001101", "H": "100001100", "I": "001001100", "J": "000011100",
    "K": "100000011", "L": "001000011", "M": "101000010", "N": "000010011", "O": "100010010",
    "P": "001010010", "Q": "000000111", "R": "100000110", "S": "001000110", "T": "000010110",
    "U": "110000001", "V": "011000001", "W": "111000000", "X": "010010001", "Y": "110010000",
    "Z": "011010000", "*": "010010100",
}  # fmt: skip
_WIDE = 3  # narrow elements to a wide one


def label(text: str, narrow_px: int = 2, size: tuple[int, int] = (1280, 720)) -> Image.Image:
    """A white label, the code in its middle, as a camera of this size sees it: a little soft."""
    widths: list[tuple[int, bool]] = []
    for sign in f"*{text}*":
        for n, element in enumerate(_ELEMENTS[sign]):
            widths.append(((_WIDE if element == "1" else 1) * narrow_px, n % 2 == 0))
        widths.append((narrow_px, False))
    picture = Image.new("RGB", size, (225, 225, 220))
    pen = ImageDraw.Draw(picture)
    x = (size[0] - sum(width for width, _ in widths)) // 2
    assert x > 10 * narrow_px, "the code wants a margin of ten narrow elements"
    for width, is_bar in widths:
        if is_bar:
            pen.rectangle((x, size[1] // 3, x + width - 1, 2 * size[1] // 3), fill=(25, 25, 30))
        x += width
    return picture.filter(ImageFilter.GaussianBlur(0.6))


def png(text: str) -> bytes:
    file = io.BytesIO()
    label(text).rotate(7, fillcolor=(225, 225, 220)).save(file, "PNG")
    return file.getvalue()


def film(text: str, path: Path) -> None:
    """A Motion-JPEG file of one picture, which Chromium's fake camera shows over and over."""
    file = io.BytesIO()
    label(text).save(file, "JPEG", quality=90)
    path.write_bytes(file.getvalue())
