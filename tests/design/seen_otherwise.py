"""Pictures as people see them who lack one kind of cone, and as a gray printer puts them out.

`python -m tests.design.seen_otherwise OUT PICTURE...` writes each picture four times over.

Source: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based Model for
Simulation of Color Vision Deficiency", IEEE Transactions on Visualization and Computer Graphics
15(6), 2009, the matrices for severity 1.0, on linear RGB; from memory.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from PIL import Image

MATRICES = {
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


def seen(pixels: np.ndarray, kind: str) -> np.ndarray:
    """`pixels` (…, 3), sRGB from 0 to 255, as they look with this kind of sight."""
    share = pixels / 255
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    changed = np.clip(linear @ np.array(MATRICES[kind]).T, 0, 1)
    back = np.where(changed <= 0.0031308, changed * 12.92, 1.055 * changed ** (1 / 2.4) - 0.055)
    return np.round(back * 255).astype(np.uint8)


def printed_gray(pixels: np.ndarray) -> np.ndarray:
    """`pixels` (…, 3) by their luminance alone: coefficients of WCAG 2.2's relative luminance."""
    share = pixels / 255
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    level = linear @ np.array((0.2126, 0.7152, 0.0722))
    back = np.where(level <= 0.0031308, level * 12.92, 1.055 * level ** (1 / 2.4) - 0.055)
    return np.round(np.repeat(back[..., None], 3, axis=-1) * 255).astype(np.uint8)


def seen_color(color: str, kind: str) -> str:
    """`#RRGGBB` as it looks with this kind of sight."""
    pixel = np.array([int(color[at : at + 2], 16) for at in (1, 3, 5)])
    return "#" + "".join(f"{value:02X}" for value in seen(pixel, kind))


def main(arguments: list[str]) -> None:
    out = Path(arguments[0])
    out.mkdir(parents=True, exist_ok=True)
    for file in map(Path, arguments[1:]):
        pixels = np.asarray(Image.open(file).convert("RGB"))
        for kind in MATRICES:
            Image.fromarray(seen(pixels, kind)).save(out / f"{file.stem}-{kind}.png")
        Image.fromarray(printed_gray(pixels)).save(out / f"{file.stem}-gray.png")


if __name__ == "__main__":
    main(sys.argv[1:])
