"""Make the fonts of the report from the packages they come in: `python server/build_fonts.py`.

Noto Sans travels as one variable font; a PDF wants one static font a cut, of the letters that it
may need. Symbols that Noto Sans lacks are taken over from the fonts of its family that have them.
Scripts that need a face of their own become one file each. Written to `bundled/fonts`, beside
`coverage.json`, which says which letters every cut of the text face has (`text`) and which each
other face; what their makers ask to be passed on is written to `bundled/notices/fonts.json`.

Needs `npm ci` in `web/` and the packages of the extra `build`. Takes about half a minute.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from importlib import metadata
from pathlib import Path
from typing import Any

from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

ROOT = Path(__file__).resolve().parents[1]
NODE_MODULES = ROOT / "web" / "node_modules"
BUNDLED = ROOT / "server" / "bradawl" / "bundled"

FAMILY = "Bradawl Sans"
#: Cuts of the text face: where the variable font is cut, and whether from its italic.
CUTS = {
    "Regular": ({"wght": 400, "wdth": 100}, False),
    "Italic": ({"wght": 400, "wdth": 100}, True),
    "Bold": ({"wght": 650, "wdth": 100}, False),
    "Narrow": ({"wght": 400, "wdth": 75}, False),
    "NarrowBold": ({"wght": 650, "wdth": 75}, False),
}
NOTO_SANS = "fontpkg-noto-sans"
#: Latin, Greek and Cyrillic with all their extensions, marks, punctuation, fractions, currencies.
TEXT = (
    (0x20, 0x7E), (0xA0, 0x24F), (0x2B0, 0x3FF), (0x400, 0x52F), (0x1AB0, 0x1AFF),
    (0x1C80, 0x1C88), (0x1DC4, 0x1DFF), (0x1E00, 0x1FFF), (0x2000, 0x206F), (0x2070, 0x20CF),
    (0x20D0, 0x20F0), (0x2100, 0x214F), (0x2150, 0x218F), (0x2212, 0x2212), (0x2215, 0x2219),
    (0x25CC, 0x25CC), (0x2C60, 0x2C7F), (0x2E00, 0x2E52), (0xA720, 0xA7FF), (0xFB00, 0xFB06),
    (0xFFFD, 0xFFFD),
)  # fmt: skip
#: Symbols that every cut has, so that a line of text with one of them needs no second face:
#: arrows, comparisons, ⌀, circled figures, blocks, shapes, warning, sexes, boxes and check marks.
SYMBOLS = (
    (0x2190, 0x2199), (0x21D0, 0x21D5), (0x2200, 0x2211), (0x2213, 0x2214), (0x221A, 0x222B),
    (0x2234, 0x223C), (0x2248, 0x2248), (0x2260, 0x226B), (0x22EE, 0x22EF), (0x2300, 0x2300),
    (0x2460, 0x2473), (0x2500, 0x2500), (0x2550, 0x2550), (0x2580, 0x2580), (0x2584, 0x2584),
    (0x2588, 0x2588), (0x258C, 0x258C), (0x2590, 0x2593), (0x25A0, 0x25CB), (0x25CE, 0x25FF),
    (0x2605, 0x2606), (0x2610, 0x2612), (0x2640, 0x2642), (0x26A0, 0x26A1), (0x2713, 0x2718),
)  # fmt: skip
#: Symbols that are looked up in faces of their own, of which few reports need one: all below CJK,
#: letters for formulas (with which advertisements are written), signs in squares and circles.
RARE = ((0x2000, 0x2BFF), (0x1D400, 0x1D7FF), (0x1F100, 0x1F1FF), (0x1F650, 0x1F67F),
        (0x1F780, 0x1F8FF))  # fmt: skip
#: Where symbols are looked for, in this order.
SYMBOL_FACES = (
    "noto-sans-math/files/noto-sans-math-latin-400-normal.woff2",
    "noto-sans-symbols/files/noto-sans-symbols-symbols-400-normal.woff2",
    "noto-sans-symbols-2/files/noto-sans-symbols-2-symbols-400-normal.woff2",
)
#: Scripts that Noto Sans lacks and a font of its family has: a face each.
SCRIPTS = (
    "armenian", "bengali", "devanagari", "ethiopic", "georgian", "gujarati", "gurmukhi", "hebrew",
    "kannada", "khmer", "lao", "malayalam", "myanmar", "oriya", "sinhala", "tamil", "telugu",
    "thai",
)  # fmt: skip
#: Faces by the names of their files. Arabic is Vazirmatn: Noto Sans Arabic draws dots and bodies of
#: letters as glyphs of their own, and some readers then find no word of it.
FACES = {
    **{
        name.capitalize(): f"noto-sans-{name}/files/noto-sans-{name}-{name}-400-normal.woff2"
        for name in SCRIPTS
    },
    "Arabic": "vazirmatn/files/vazirmatn-arabic-400-normal.woff2",
    "Emoji": "noto-emoji/files/noto-emoji-emoji-400-normal.woff2",
    "Symbols": SYMBOL_FACES[1],
    "Symbols2": SYMBOL_FACES[2],
    "Math": SYMBOL_FACES[0],
}
#: What is not for text: hints for screens, signatures, color, what a variable font was.
DROPPED = ["DSIG", "MATH", "STAT", "meta", "gasp", "fpgm", "prep", "cvt ", "hdmx", "VDMX", "LTSH"]


def points(ranges: Iterable[tuple[int, int]]) -> list[int]:
    """All code points of ranges, both ends among them."""
    return [point for first, last in ranges for point in range(first, last + 1)]


def spans(found: Iterable[int]) -> list[list[int]]:
    """Code points as ranges, first and last of each."""
    ranges: list[list[int]] = []
    for point in sorted(found):
        if ranges and point == ranges[-1][1] + 1:
            ranges[-1][1] = point
        else:
            ranges.append([point, point])
    return ranges


def reduced(font: TTFont, wanted: Iterable[int] | None, features: list[str]) -> TTFont:
    """The font with the letters wanted (all where None) and the features of layout named."""
    options = Options()
    options.drop_tables += DROPPED
    options.layout_features = features
    options.hinting = False
    options.notdef_outline = True
    options.name_IDs = [1, 2, 4, 6, 13, 14]
    options.glyph_names = False
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=sorted(font.getBestCmap()) if wanted is None else wanted)
    subsetter.subset(font)
    font.flavor = None
    return font


def named(font: TTFont, cut: str) -> None:
    """Name a font that was changed as what it is: not the one that its makers made."""
    full = f"{FAMILY} {cut}"
    for record in list(font["name"].names):
        said = {1: full, 2: "Regular", 4: full, 6: full.replace(" ", "")}.get(record.nameID)
        if said is not None:
            record.string = said


def take_over(font: TTFont, wanted: Iterable[int]) -> None:
    """Draw into `font` the symbols that it lacks, as the first of the symbol faces has them."""
    lacking = set(wanted) - set(font.getBestCmap())
    for file in SYMBOL_FACES:
        source = TTFont(NODE_MODULES / "@fontsource" / file)
        if source["head"].unitsPerEm != font["head"].unitsPerEm:
            raise ValueError(f"{file} is drawn on another grid than Noto Sans.")
        glyphs, letters = source.getGlyphSet(), source.getBestCmap()
        for point in sorted(lacking & letters.keys()):
            lacking.remove(point)
            outline = DecomposingRecordingPen(glyphs)
            glyphs[letters[point]].draw(outline)
            pen = TTGlyphPen(None)
            outline.replay(pen)
            name = f"u{point:04X}.taken"
            font["glyf"][name] = pen.glyph()  # which also names it last in the order of glyphs
            font["hmtx"][name] = source["hmtx"][letters[point]]
            for table in font["cmap"].tables:
                if table.isUnicode():
                    table.cmap[point] = name
    if lacking:
        points_lacking = " ".join(f"U+{point:04X}" for point in sorted(lacking))
        raise ValueError(f"No face has {points_lacking}: leave them out of SYMBOLS.")


def text_cut(cut: str) -> TTFont:
    """One static cut of Noto Sans, with the symbols beside its letters."""
    place, italic = CUTS[cut]
    style = "-Italic" if italic else ""
    file = f"fontpkg_noto_sans/files/NotoSans{style}[wdth,wght].ttf"
    variable = TTFont(metadata.distribution(NOTO_SANS).locate_file(file))
    variable = reduced(variable, points(TEXT), ["kern", "mark", "mkmk", "ccmp", "locl"])
    font = instantiateVariableFont(variable, place)
    take_over(font, points(SYMBOLS))
    return font


def script_face(script: str) -> TTFont:
    """The face of one script, or of symbols, of its own letters alone."""
    font = TTFont(NODE_MODULES / "@fontsource" / FACES[script])
    if FACES[script] in SYMBOL_FACES:
        return reduced(font, points(RARE), [])
    return reduced(font, None, ["*"])


def notices() -> list[dict[str, Any]]:
    """Who made the fonts, and on which terms."""
    found = []
    for place in sorted({file.split("/")[0] for file in FACES.values()}):
        folder = NODE_MODULES / "@fontsource" / place
        package = json.loads((folder / "package.json").read_text(encoding="utf-8"))
        found.append(
            {
                "name": package["name"],
                "version": package["version"],
                "license": package["license"],
                "text": (folder / "LICENSE").read_text(encoding="utf-8"),
            }
        )
    package = metadata.distribution(NOTO_SANS)
    terms = package.locate_file("fontpkg_noto_sans/LICENSE")
    found.append(
        {
            "name": NOTO_SANS,
            "version": package.version,
            "license": "OFL-1.1",
            "text": Path(str(terms)).read_text(encoding="utf-8"),
        }
    )
    return found


def main() -> None:
    folder = BUNDLED / "fonts"
    folder.mkdir(parents=True, exist_ok=True)
    for old in folder.iterdir():
        old.unlink()
    faces = {**dict.fromkeys(CUTS, text_cut), **dict.fromkeys(FACES, script_face)}
    whole = 0
    letters: dict[str, set[int]] = {}
    for cut, make in faces.items():
        font = make(cut)
        named(font, cut)
        file = folder / f"{FAMILY.replace(' ', '')}-{cut}.ttf"
        font.save(file, reorderTables=None)
        whole += file.stat().st_size
        letters[cut] = set(font.getBestCmap())
    if whole > 5_000_000:
        raise ValueError(f"The fonts have {whole:,} bytes; they may have 5,000,000.")
    text = set.intersection(*(letters.pop(cut) for cut in CUTS))
    covered = {"text": spans(text), **{face: spans(letters[face]) for face in FACES}}
    listing = json.dumps(covered, separators=(",", ":"))
    (folder / "coverage.json").write_text(listing + "\n", encoding="utf-8")
    texts = notices()
    listing = json.dumps(texts, indent=1, ensure_ascii=False)
    (BUNDLED / "notices").mkdir(parents=True, exist_ok=True)
    (BUNDLED / "notices" / "fonts.json").write_text(listing + "\n", encoding="utf-8")
    print(f"fonts of the report: {len(faces)} files, {whole / 1000:.0f} kB")


if __name__ == "__main__":
    main()
