"""A picture being built: shapes cut from materials, laid down with light and shadow.

Coordinates are pixels of a 1600 x 1200 picture, light falls from the upper left. Shapes are masks
(see surface.py); `Scene.lay` puts a material down through one.
"""

from __future__ import annotations

import io
import math
import random
from collections.abc import Sequence

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

from demo.drawing import surface
from demo.drawing.surface import SIZE, Color, Material, Size, room

Point = tuple[float, float]


PHOTO: Size = (1280, 960)  # as the camera sees it
SHRUNK: Size = (800, 600)  # as it is kept
MAX_BYTES = 40_000


# --- shapes ----------------------------------------------------------------------------------


def polygon(points: Sequence[Point]) -> Image.Image:
    sheet = _Sheet(points)
    sheet.pen.polygon(sheet.doubled(points), fill=255)
    return sheet.mask()


def ellipse(x: float, y: float, rx: float, ry: float | None = None) -> Image.Image:
    ry = rx if ry is None else ry
    corners = [(x - rx, y - ry), (x + rx, y + ry)]
    sheet = _Sheet(corners)
    sheet.pen.ellipse(sheet.doubled(corners), fill=255)
    return sheet.mask()


def ring(x: float, y: float, outer: float, inner: float) -> Image.Image:
    return ImageChops.subtract(ellipse(x, y, outer), ellipse(x, y, inner))


def box(x0: float, y0: float, x1: float, y1: float, radius: float = 0) -> Image.Image:
    corners = [(x0, y0), (x1, y1)]
    sheet = _Sheet(corners)
    sheet.pen.rounded_rectangle(sheet.doubled(corners), radius * 2, fill=255)
    return sheet.mask()


def stroke(points: Sequence[Point], width: float) -> Image.Image:
    """A line of one width with round ends."""
    sheet = _Sheet(points, width)
    sheet.line(points, width)
    for x, y in (points[0], points[-1]):
        sheet.disc(x, y, width / 2, width / 2, width / 2)
    return sheet.mask()


def dots(circles: Sequence[tuple[float, float, float]]) -> Image.Image:
    """Many discs (x, y, radius) in one mask."""
    sheet = _Sheet([(x, y) for x, y, _ in circles], max((r for _, _, r in circles), default=0))
    for x, y, r in circles:
        sheet.disc(x, y, r, r, r)
    return sheet.mask()


def lines(paths: Sequence[Sequence[Point]], width: float) -> Image.Image:
    """Many lines of one width in one mask."""
    sheet = _Sheet([point for path in paths for point in path], width)
    for path in paths:
        sheet.line(path, width)
    return sheet.mask()


def union(*masks: Image.Image) -> Image.Image:
    whole = masks[0]
    for mask in masks[1:]:
        whole = ImageChops.lighter(whole, mask)
    return whole


def within(mask: Image.Image, other: Image.Image) -> Image.Image:
    return ImageChops.multiply(mask, other)


def without(mask: Image.Image, other: Image.Image) -> Image.Image:
    return ImageChops.subtract(mask, other)


def around(x: float, y: float, radius: float, degrees: float) -> Point:
    """The point at an angle, measured clockwise from straight up."""
    turn = math.radians(degrees)
    return (x + radius * math.sin(turn), y - radius * math.cos(turn))


def curve(points: Sequence[Point], steps: int = 14) -> list[Point]:
    """A smooth line through the points (Catmull-Rom)."""
    padded = [points[0], *points, points[-1]]
    line: list[Point] = []
    for a, b, c, d in zip(padded, padded[1:], padded[2:], padded[3:], strict=False):
        for step in range(steps):
            t = step / steps
            line.append((_spline(a[0], b[0], c[0], d[0], t), _spline(a[1], b[1], c[1], d[1], t)))
    line.append(points[-1])
    return line


def crack(seed: str, start: Point, end: Point, jag: float = 12, pieces: int = 9) -> list[Point]:
    """A broken line between two points."""
    pick = random.Random(seed)
    line = [start]
    for piece in range(1, pieces):
        share = piece / pieces
        x = start[0] + (end[0] - start[0]) * share + pick.uniform(-jag, jag)
        y = start[1] + (end[1] - start[1]) * share + pick.uniform(-jag, jag)
        line.append((x, y))
    return [*line, end]


def _spline(a: float, b: float, c: float, d: float, t: float) -> float:
    return 0.5 * (
        2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t * t + (3 * b - a - 3 * c + d) * t**3
    )


class _Sheet:
    """Twice the size for smooth edges, and only as much of the picture as the shape needs."""

    def __init__(self, points: Sequence[Point], margin: float = 0) -> None:
        across = [x for x, _ in points] or [0.0]
        down = [y for _, y in points] or [0.0]
        more = margin + 2
        self._left, right = _span(min(across) - more, max(across) + more, SIZE[0])
        self._top, bottom = _span(min(down) - more, max(down) + more, SIZE[1])
        self._big = Image.new("L", ((right - self._left) * 2, (bottom - self._top) * 2), 0)
        self.pen = ImageDraw.Draw(self._big)

    def doubled(self, points: Sequence[Point]) -> list[Point]:
        return [((x - self._left) * 2, (y - self._top) * 2) for x, y in points]

    def line(self, points: Sequence[Point], width: float) -> None:
        self.pen.line(self.doubled(points), fill=255, width=max(1, round(width * 2)), joint="curve")

    def disc(self, x: float, y: float, rx: float, above: float, below: float) -> None:
        self.pen.ellipse(self.doubled([(x - rx, y - above), (x + rx, y + below)]), fill=255)

    def mask(self) -> Image.Image:
        whole = Image.new("L", SIZE, 0)
        whole.paste(self._big.reduce(2), (self._left, self._top))
        return whole


def _span(low: float, high: float, limit: int) -> tuple[int, int]:
    """Whole pixels from low to high as far as the picture goes, never none."""
    start = max(0, min(limit - 1, math.floor(low)))
    return start, max(start + 1, min(limit, math.ceil(high)))


# --- the scene -------------------------------------------------------------------------------


class Scene:
    """One photo: start from a ground, lay things on it, `jpeg()` when done."""

    def __init__(self, seed: str, ground: Material) -> None:
        self.seed = seed
        self.image = ground(SIZE)
        self._made = 0

    def name(self) -> str:
        """A fresh seed for the next random thing of this picture."""
        self._made += 1
        return f"{self.seed}#{self._made}"

    def lay(
        self,
        material: Material | Image.Image | Color,
        mask: Image.Image,
        *,
        bevel: float = 0,
        shadow: float = 0,
        depth: float = 1.0,
    ) -> None:
        """Put a material down through a mask.

        `bevel` rounds its edge over that many pixels, `shadow` is how far (pixels) it stands off
        the ground, `depth` the strength of the rounding (negative: a hollow).
        """
        if shadow:
            moved = ImageChops.offset(mask, round(shadow), round(shadow * 1.3))
            self.darken(moved, shadow, 0.6)
        place = room(mask, bevel * 3)
        if place is None:
            return
        cut = mask.crop(place)
        top = _cut(material, place)
        if bevel:
            hill = surface.blurred(cut, bevel * 0.6)
            if depth < 0:
                hill = ImageChops.invert(hill)
            top = surface.relief(top, hill, max(1, round(bevel * 0.35)), 0.9 * abs(depth))
        self.image.paste(top, place, cut)

    def darken(self, mask: Image.Image, blur: float, strength: float) -> None:
        """Shade through a blurred mask; strength 0 to 1."""
        self._veil((8, 7, 8), mask, blur, strength)

    def lighten(self, mask: Image.Image, blur: float, strength: float) -> None:
        self._veil((255, 252, 244), mask, blur, strength)

    def _veil(self, color: Color, mask: Image.Image, blur: float, strength: float) -> None:
        place = room(mask, blur * 3)
        if place is None:
            return
        soft = mask.crop(place)
        if blur:
            soft = surface.blurred(soft, blur)
        soft = soft.point([round(v * strength) for v in range(256)])
        self.image.paste(surface.flat(color, soft.size), place, soft)

    def tube(
        self,
        points: Sequence[Point],
        radius: float,
        color: Color,
        *,
        shadow: float = 14,
        shine: float = 0.5,
        texture: Image.Image | None = None,
    ) -> Image.Image:
        """A round wire, pipe or hose along a line; returns its mask."""
        mask = stroke(points, radius * 2)
        if shadow:
            self.darken(ImageChops.offset(mask, round(shadow), round(shadow * 1.4)), shadow, 0.65)
        place = room(mask, radius)
        if place is None:
            return mask
        big = Image.new("RGB", (place[2] - place[0], place[3] - place[1]), color)
        draw = ImageDraw.Draw(big)
        shells = max(5, min(24, round(radius / 2)))
        for shell in range(shells):
            share = shell / (shells - 1)
            width = max(1, round(radius * 2 * (1 - share * 0.94)))
            slide = radius * 0.34 * share
            bright = 0.42 + 0.62 * math.sqrt(share) if share < 1 else 1.0
            glow = shine * max(0.0, share - 0.55) / 0.45
            tone = tuple(
                min(255, round(c * bright + (255 - c * bright) * glow * 0.55)) for c in color
            )
            moved = [(x - slide - place[0], y - slide - place[1]) for x, y in points]
            draw.line(moved, fill=(tone[0], tone[1], tone[2]), width=width, joint="curve")
        if texture is not None:
            big = ImageChops.overlay(big, texture.crop(place))
        big = big.filter(ImageFilter.GaussianBlur(max(1.0, radius / 14)))
        self.image.paste(big, place, mask.crop(place))
        return mask

    def bolt(
        self, x: float, y: float, radius: float, *, tone: int = 130, rust: float = 0.3
    ) -> None:
        """A hexagon head on its washer."""
        red, metal = surface.rust(self.name(), 60), surface.steel(self.name(), tone)
        spots = self.name()

        def mixed(size: Size) -> Image.Image:
            return Image.composite(
                red(size), metal(size), surface.patches(spots, rust, 60, size=size)
            )

        self.lay(mixed, ellipse(x, y, radius * 1.35), bevel=8, shadow=8)
        turn = random.Random(self.name()).uniform(0, 60)
        head = polygon([around(x, y, radius, turn + 60 * corner) for corner in range(6)])
        self.lay(mixed, head, bevel=12, shadow=8, depth=1.3)
        self.lighten(ellipse(x - radius * 0.2, y - radius * 0.25, radius * 0.3), 8, 0.25)

    def rusty(self, mask: Image.Image, scale: float = 90, edge: float = 30) -> None:
        """Rust through a mask, with a ring of stain where it creeps under the paint."""
        self._veil((120, 66, 34), mask, edge, 0.55)
        self.lay(surface.rust(self.name(), scale), mask, bevel=9, depth=-0.9)

    def streak(self, x: float, y: float, length: float, width: float = 18) -> None:
        """A run of rusty water."""
        pick = random.Random(self.name())
        line = [(x, y)]
        for step in range(1, 7):
            line.append((x + pick.uniform(-width, width) * 0.4, y + length * step / 6))
        self._veil((112, 62, 30), stroke(line, width), width * 0.5, 0.5)

    def dust(self, amount: float = 0.3) -> None:
        """Barn dust over everything, thicker in patches."""
        veil = surface.fractal(self.name(), 300, 8).point([round(v * amount) for v in range(256)])
        self.image.paste(surface.flat((176, 164, 142)), mask=veil)

    def specks(self, count: int, color: Color, small: float = 1, large: float = 4) -> None:
        """Loose grains, each with its little shadow."""
        pick = random.Random(self.name())
        sheet = _Sheet([(0, 0), SIZE])
        for _ in range(count):
            x, y = pick.uniform(0, SIZE[0]), pick.uniform(0, SIZE[1])
            r = pick.uniform(small, large)
            sheet.disc(x, y, r, r * pick.uniform(0.5, 1), r * 0.7)
        self.lay(color, sheet.mask(), bevel=3, shadow=2)

    def text(
        self, words: str, x: float, y: float, size: float, color: Color, *, turn: float = 0
    ) -> Image.Image:
        """Letters centered on a point; returns their mask (so that they can be embossed too)."""
        mask = lettering(words, x, y, size, turn)
        self.image.paste(surface.flat(color), mask=mask)
        return mask

    def jpeg(self, *, focus: Point = (800, 600), dim: float = 0.28) -> bytes:
        """Finish as a hand-held photo: soft corners, falling light, grain. At most 40 kB."""
        # Relief is worked out with neighbours that wrap round: the outermost rows are cut away.
        inner = (16, 12, SIZE[0] - 16, SIZE[1] - 12)
        photo = self.image.resize(PHOTO, Image.Resampling.BICUBIC, box=inner)
        middle = surface.blurred(ellipse(focus[0], focus[1], 760, 640), 150)
        middle = middle.resize(PHOTO, Image.Resampling.BILINEAR)
        soft = surface.blurred(photo, 4)
        photo = Image.composite(photo, soft, middle)
        shadow = middle.point([round((255 - v) * dim) for v in range(256)])
        photo.paste(surface.flat((10, 10, 14), PHOTO), mask=shadow)
        glow = surface.noise(f"{self.seed}/glow", 720, PHOTO)
        grain = surface.noise(f"{self.seed}/film", 2, PHOTO)
        light = Image.blend(glow, grain, 0.35).point([108 + v * 60 // 255 for v in range(256)])
        photo = surface.lit(photo, light).resize(SHRUNK, Image.Resampling.LANCZOS)
        for quality in range(80, 0, -4):
            out = io.BytesIO()
            photo.save(out, "JPEG", quality=quality, optimize=True, progressive=True)
            if out.tell() <= MAX_BYTES:
                return out.getvalue()
        raise ValueError(f"{self.seed} does not fit into {MAX_BYTES} bytes")


def lettering(words: str, x: float, y: float, size: float, turn: float = 0) -> Image.Image:
    font = ImageFont.load_default(size)
    sheet = Image.new("L", SIZE, 0)
    ImageDraw.Draw(sheet).text((x, y), words, fill=255, font=font, anchor="mm")
    return sheet.rotate(turn, Image.Resampling.BICUBIC, center=(x, y)) if turn else sheet


def _cut(material: Material | Image.Image | Color, place: tuple[int, int, int, int]) -> Image.Image:
    """As much of a material as fills a place."""
    size = (place[2] - place[0], place[3] - place[1])
    if isinstance(material, tuple):
        return surface.flat(material, size)
    return material.crop(place) if isinstance(material, Image.Image) else material(size)
