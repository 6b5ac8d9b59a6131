"""Noise, light and materials: what a drawn surface is made of.

Everything is grown from a seed by `random.Random`, so the same seed gives the same pixels. Sizes
are pixels; masks are "L" images, 255 where the thing is. Only Pillow is used.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from functools import wraps
from typing import Concatenate, ParamSpec

from PIL import Image, ImageChops, ImageFilter, ImageOps

SIZE = (1600, 1200)
Size = tuple[int, int]
Color = tuple[int, int, int]
Material = Callable[[Size], Image.Image]
Stops = Sequence[tuple[int, Color]]


def noise(
    seed: str, cell: float, size: tuple[int, int] = SIZE, stretch: float = 1.0
) -> Image.Image:
    """Smooth random hills `cell` pixels across; `stretch` > 1 draws them out along x."""
    columns = max(2, round(size[0] / (cell * stretch)))
    rows = max(2, round(size[1] / cell))
    small = Image.frombytes("L", (columns, rows), random.Random(seed).randbytes(columns * rows))
    return small.resize(size, Image.Resampling.BICUBIC)


def fractal(
    seed: str, coarse: float = 400, octaves: int = 6, stretch: float = 1.0, size: Size = SIZE
) -> Image.Image:
    """Hills upon hills, each half as wide and a little over half as high; full range 0 to 255.

    Wide hills are summed on a quarter-size sheet: nobody can tell, and it takes half the time.
    """
    sheet = (max(2, size[0] // 4), max(2, size[1] // 4))
    cell, weight, heap = coarse, 1.0, 1.0
    total = noise(f"{seed}/0", cell / 4, sheet, stretch)
    for octave in range(1, octaves):
        cell = max(1.0, cell / 2)
        weight *= 0.62
        heap += weight
        if cell < 16 and sheet != size:
            sheet = size
            total = total.resize(size, Image.Resampling.BICUBIC)
        layer = noise(f"{seed}/{octave}", cell if sheet == size else cell / 4, sheet, stretch)
        total = Image.blend(total, layer, weight / heap)
    if sheet != size:
        total = total.resize(size, Image.Resampling.BICUBIC)
    return ImageOps.autocontrast(total, cutoff=0.5)


def ramp(gray: Image.Image, stops: Stops) -> Image.Image:
    """Color a gray image: each (level, color) is a stop, straight lines between."""
    bands = []
    for channel in range(3):
        table = []
        for level in range(256):
            below = max((s for s in stops if s[0] <= level), key=lambda s: s[0], default=stops[0])
            above = min((s for s in stops if s[0] >= level), key=lambda s: s[0], default=stops[-1])
            span = above[0] - below[0]
            share = (level - below[0]) / span if span else 0.0
            table.append(round(below[1][channel] + share * (above[1][channel] - below[1][channel])))
        bands.append(gray.point(table))
    return Image.merge("RGB", bands)


def flat(color: Color, size: tuple[int, int] = SIZE) -> Image.Image:
    return Image.new("RGB", size, color)


def shade(height: Image.Image, reach: int = 2, strength: float = 1.0) -> Image.Image:
    """Slopes of a height field lit from the upper left; 128 is level ground."""
    lit = ImageChops.offset(height, reach, reach)
    dark = ImageChops.offset(height, -reach, -reach)
    return ImageChops.subtract(lit, dark, scale=-1 / strength, offset=128)


def relief(
    base: Image.Image, height: Image.Image, reach: int = 2, strength: float = 1.0
) -> Image.Image:
    """The surface `base` made bumpy by the height field."""
    light = shade(height, reach, strength)
    return ImageChops.overlay(base, Image.merge("RGB", (light, light, light)))


def lit(base: Image.Image, light: Image.Image) -> Image.Image:
    """Brightness from a gray image: 128 leaves the color as it is."""
    return ImageChops.overlay(base, Image.merge("RGB", (light, light, light)))


def room(mask: Image.Image, margin: float) -> tuple[int, int, int, int] | None:
    """The part of the picture a mask touches, with a margin for blurring; None when empty."""
    found = mask.getbbox()
    if found is None:
        return None
    more = round(margin) + 2
    return (
        max(0, found[0] - more),
        max(0, found[1] - more),
        min(mask.width, found[2] + more),
        min(mask.height, found[3] + more),
    )


def blurred(image: Image.Image, radius: float) -> Image.Image:
    """Gaussian blur. A wide one is worked out on a smaller sheet: it looks the same, sooner."""
    shrink = min(8, int(radius / 3))
    if shrink < 2 or min(image.size) < 4 * shrink:
        return image.filter(ImageFilter.GaussianBlur(radius))
    small = image.reduce(shrink).filter(ImageFilter.GaussianBlur(radius / shrink))
    # The last row of blocks may be cut short by the edge: the box says what the small sheet holds.
    held = (0, 0, image.width / shrink, image.height / shrink)
    return small.resize(image.size, Image.Resampling.BILINEAR, box=held)


def roughen(mask: Image.Image, seed: str, cell: float = 40) -> Image.Image:
    """A shape with an eaten edge: blur it, disturb it by noise, cut it again."""
    place = room(mask, cell * 3)
    if place is None:
        return mask
    soft = blurred(mask.crop(place), cell)
    jagged = Image.blend(soft, fractal(seed, cell * 3, 6, size=soft.size), 0.4)
    cut = jagged.point([max(0, min(255, round((v - 128) * 8 + 128))) for v in range(256)])
    near = soft.point([max(0, min(255, (v - 24) * 6)) for v in range(256)])
    whole = Image.new("L", mask.size, 0)
    whole.paste(ImageChops.multiply(cut, near), place)
    return whole


def patches(
    seed: str, share: float, coarse: float = 260, sharp: float = 5.0, size: Size = SIZE
) -> Image.Image:
    """A mask of blotches that covers about `share` (0 to 1) of the picture."""
    field = ImageOps.equalize(fractal(seed, coarse, 7, size=size))
    cut = 255 * (1 - share)
    return field.point([max(0, min(255, round((v - cut) * sharp + 128))) for v in range(256)])


# --- materials -------------------------------------------------------------------------------
# A material is made for the size at which it is laid: a bolt's steel costs a bolt's time.

P = ParamSpec("P")


def material(make: Callable[Concatenate[Size, P], Image.Image]) -> Callable[P, Material]:
    """`steel(seed, tone)` becomes a Material: steel of any size on demand."""

    @wraps(make)
    def chosen(*args: P.args, **kwargs: P.kwargs) -> Material:
        return lambda size: make(size, *args, **kwargs)

    return chosen


@material
def rust(size: Size, seed: str, scale: float = 120) -> Image.Image:
    """Scaly rust: dark pits, orange bloom, pale dust."""
    field = fractal(seed, scale, 7, size=size)
    base = ramp(
        field,
        [
            (0, (40, 26, 20)),
            (70, (82, 46, 28)),
            (140, (122, 72, 42)),
            (200, (148, 98, 62)),
            (255, (164, 128, 96)),
        ],
    )
    return relief(base, fractal(f"{seed}/pits", 24, 5, size=size), 2, 0.75)


@material
def steel(size: Size, seed: str, tone: int = 150, grain: float = 30) -> Image.Image:
    """Bare metal with fine drawn-out marks."""
    field = Image.blend(
        fractal(seed, 500, 4, size=size), noise(f"{seed}/grain", 1.5, stretch=grain, size=size), 0.4
    )
    low, high = max(0, tone - 55), min(255, tone + 55)
    return ramp(field, [(0, (low, low, low + 4)), (255, (high, high, min(255, high + 6)))])


@material
def cast_iron(size: Size, seed: str, tone: int = 80) -> Image.Image:
    field = fractal(seed, 300, 7, size=size)
    base = ramp(
        field, [(0, (tone - 36, tone - 38, tone - 38)), (255, (tone + 34, tone + 32, tone + 28))]
    )
    return relief(base, noise(f"{seed}/bumps", 4, size=size), 2, 0.8)


@material
def paint(size: Size, seed: str, color: Color, gloss: float = 0.5) -> Image.Image:
    """Sprayed paint: slow reflections and a little orange peel."""
    field = Image.blend(
        noise(f"{seed}/sky", 700, size=size), noise(f"{seed}/band", 260, stretch=5, size=size), 0.4
    )
    dark = tuple(max(0, round(c * (0.72 - 0.1 * gloss))) for c in color)
    pale = tuple(min(255, round(c + (255 - c) * (0.18 + 0.3 * gloss))) for c in color)
    base = ramp(field, [(0, _rgb(dark)), (120, color), (255, _rgb(pale))])
    return relief(base, noise(f"{seed}/peel", 6, size=size), 2, 0.05)


@material
def rubber(size: Size, seed: str, tone: int = 44) -> Image.Image:
    field = fractal(seed, 260, 6, size=size)
    base = ramp(
        field, [(0, (tone - 24, tone - 24, tone - 22)), (255, (tone + 26, tone + 25, tone + 24))]
    )
    return relief(base, noise(f"{seed}/grain", 3, size=size), 1, 0.35)


@material
def underseal(size: Size, seed: str, tone: int = 46) -> Image.Image:
    """Thick brushed-on body protection: black, lumpy, half shiny."""
    base = ramp(
        fractal(seed, 300, 5, size=size),
        [(0, (tone - 26,) * 3), (255, (tone + 24, tone + 22, tone + 18))],
    )
    return relief(base, fractal(f"{seed}/lumps", 46, 4, size=size), 4, 1.3)


@material
def grime(size: Size, seed: str) -> Image.Image:
    """Oil and road dust baked together."""
    base = ramp(
        fractal(seed, 200, 7, size=size),
        [(0, (18, 15, 12)), (150, (58, 48, 38)), (255, (112, 98, 78))],
    )
    return relief(base, fractal(f"{seed}/lumps", 30, 5, size=size), 3, 0.9)


@material
def concrete(size: Size, seed: str, tone: int = 128) -> Image.Image:
    base = ramp(
        fractal(seed, 500, 8, size=size),
        [(0, (tone - 48, tone - 50, tone - 54)), (255, (tone + 34, tone + 32, tone + 26))],
    )
    return relief(base, noise(f"{seed}/sand", 3, size=size), 1, 0.3)


@material
def cloth(size: Size, seed: str, color: Color) -> Image.Image:
    """Woven rag or carpet: folds and a thread."""
    folds = fractal(seed, 420, 4, size=size)
    dark = tuple(round(c * 0.55) for c in color)
    pale = tuple(min(255, round(c * 1.2 + 14)) for c in color)
    base = ramp(folds, [(0, _rgb(dark)), (255, _rgb(pale))])
    base = relief(base, folds, 8, 0.7)
    weave = Image.blend(
        noise(f"{seed}/x", 3, stretch=6, size=size),
        noise(f"{seed}/y", 14, stretch=0.25, size=size),
        0.5,
    )
    return relief(base, weave, 1, 0.4)


@material
def boards(size: Size, seed: str) -> Image.Image:
    """Old barn boards, upright."""
    grain = noise(f"{seed}/grain", 700, stretch=0.008, size=size)
    field = Image.blend(grain, fractal(f"{seed}/stain", 500, 5, size=size), 0.45)
    base = ramp(ImageOps.autocontrast(field), [(0, (34, 27, 21)), (255, (128, 108, 86))])
    pick = random.Random(f"{seed}/gaps")
    gaps = Image.new("L", size, 255)
    x = -40
    while x < size[0]:
        gaps.paste(Image.new("L", (pick.randint(4, 9), size[1]), 20), (x, 0))
        x += pick.randint(130, 200)
    gaps = gaps.filter(ImageFilter.GaussianBlur(2))
    return ImageChops.multiply(base, Image.merge("RGB", (gaps, gaps, gaps)))


@material
def paper(size: Size, seed: str, tone: int = 232) -> Image.Image:
    base = ramp(
        fractal(seed, 600, 6, size=size),
        [(0, (tone - 26, tone - 30, tone - 44)), (255, (tone, tone - 2, tone - 12))],
    )
    return relief(base, noise(f"{seed}/fibre", 3, size=size), 1, 0.12)


def _rgb(values: Sequence[int]) -> Color:
    return (values[0], values[1], values[2])
