"""Every style, mark and flowable of the report: `python -m tests.report.specimen OUT.pdf`.

Open it before you change a page, and again after. Its words are samples and stand here, not in the
catalogue: nobody prints this for a buyer.
"""

from __future__ import annotations

import io
import itertools
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bradawl.report.layout.text import typeface

typeface.register()

from reportlab.platypus import Flowable, Spacer  # noqa: E402 (fonts come first)

from bradawl import design  # noqa: E402
from bradawl.design import outlines  # noqa: E402
from bradawl.language import Reader, money, reading_as  # noqa: E402
from bradawl.report.layout import flowables as parts  # noqa: E402
from bradawl.report.layout import graded  # noqa: E402
from bradawl.report.layout.drawing import charts  # noqa: E402
from bradawl.report.layout.drawing.body_map import BodyMap  # noqa: E402
from bradawl.report.layout.drawing.car_marks import Mark  # noqa: E402
from bradawl.report.layout.page_templates import InColumns, ReportDocument  # noqa: E402
from bradawl.report.layout.style import (  # noqa: E402
    COLUMN_WIDTH,
    DANGER,
    EDGE,
    GRADE_COLOR,
    GREY,
    INK,
    RULE,
    TEXT_WIDTH,
    WELL,
    styles,
)
from bradawl.report.layout.text.paragraphs import paragraph  # noqa: E402
from bradawl.report.model.figures import (  # noqa: E402
    Bar,
    Compression,
    FuelPressure,
    LimitLine,
    Paint,
    Panel,
    Step,
    Tire,
    Tread,
)
from bradawl.report.model.texts import grade_word  # noqa: E402
from bradawl.report.pdf.archival import Description, write_archival_file  # noqa: E402
from bradawl.report.pdf.assembly import HEADER  # noqa: E402
from bradawl.report.pdf.photos import EmbeddedPhotos  # noqa: E402
from bradawl.report.sections.seal import DrawnSignature  # noqa: E402
from tests.report.visits import STROKES, jpeg, sha256  # noqa: E402

SAMPLE = "Brake lines, 2/32 in at 17.4 psi; VIN I l 1 0 O, −4,223 of 21,000"
COLORS = {"ink": INK, "grey": GREY, "edge": EDGE, "rule": RULE, "well": WELL, "danger": DANGER}


def type_sizes() -> Iterator[Flowable]:
    """Each paragraph style in its own size, its name and measures beside it."""
    yield paragraph("Type", "h1")
    rows = []
    for name, style in styles().items():
        measures = f"{name}: {style.font} {style.size:g}/{style.leading:g}"
        rows.append([paragraph(measures, "small"), paragraph(SAMPLE, name)])
    yield parts.figures_table(rows, [170, TEXT_WIDTH - 170])


def marks() -> Iterator[Flowable]:
    """Every mark with its word, as a summary, a heading and a line show it."""
    yield paragraph("Marks", "h1")
    rows: list[Flowable] = [
        graded.SummaryRow(f"row-{grade}", grade, number, grade_word(grade), ["Why, if it fits."])
        for number, grade in enumerate(GRADE_COLOR, 1)
    ]
    yield parts.in_columns(rows, columns=2, width=TEXT_WIDTH)
    states = [graded.StateRow(mark, f"{SAMPLE}. {SAMPLE}") for mark in design.marks().values()]
    yield parts.in_columns(states, columns=2, width=TEXT_WIDTH)
    yield paragraph("Colors", "h1")
    squares = [
        [paragraph(f'<font color="{color}">■■■</font> {name} {color}', "row")]
        for name, color in COLORS.items()
    ]
    yield parts.in_rows(squares, columns=3, width=TEXT_WIDTH)


def cars() -> Iterator[Flowable]:
    """The drawn car: paint by pattern and figure, tags of every grade, one torn off, signs."""
    yield paragraph("Car", "h1")
    finishes = ("original", *design.finishes())
    for style, width in (("pickup", TEXT_WIDTH), ("hatchback", COLUMN_WIDTH * 2)):
        panels = outlines.panels_of(style)
        paint = Paint(
            {name: Panel("35.4 mil", finishes[at % 5]) for at, name in enumerate(panels)}, ""
        )
        graded = zip(itertools.cycle(("minor", "major", "dangerous")), panels, strict=False)
        tags = [Mark(n, grade, (name,), n % 4 == 0) for n, (grade, name) in enumerate(graded, 1)]
        tags += [Mark(40 + n, "major", (at,)) for n, at in enumerate(outlines.places_of(style))]
        tapped = dict.fromkeys(panels[:2], ("rust", "dent", "repair"))
        yield BodyMap(tags, paint, tapped, width=width, style=style)


def frames(photos: EmbeddedPhotos) -> Iterator[Flowable]:
    """What the first two pages are made of."""
    yield paragraph("Frame, link, signature", "h1")
    lead = f"{parts.link('row-major', SAMPLE)}. A link is ink, and goes to its place."
    yield parts.Framed([paragraph("The answer.", "answer"), paragraph(lead, "lead")], color=DANGER)
    yield Spacer(0, 6)
    yield parts.Framed([paragraph("Not known yet.", "answer")], color=GREY, dashed=True)
    yield DrawnSignature(STROKES)
    yield paragraph("Photos", "h1")
    large = _photo(photos, 1, 264)
    yield parts.in_rows([[large], [_photo(photos, 2, COLUMN_WIDTH)]], columns=2, width=TEXT_WIDTH)


def _photo(photos: EmbeddedPhotos, seed: int, width: float) -> Flowable:
    name = sha256(jpeg(seed))
    embedded = photos.embed(name, width, 160)
    assert embedded is not None
    caption = str(parts.numbered(seed, "What is seen, in one line or two."))
    return parts.PhotoFrame(name, embedded, caption, width=width, tallest=160)


def column(photos: EmbeddedPhotos) -> Iterator[Flowable]:
    """What a column of evidence is made of: headings, rows, photos, every chart."""
    yield paragraph("Area", "h1")
    for number, grade in enumerate(GRADE_COLOR, 1):
        yield graded.GradeHeading(
            f"row-{grade}", grade, "A title of a finding", number=number, where="where it is"
        )
        yield paragraph(f"{SAMPLE}. A reason, with its source.")
    yield paragraph("Note: as somebody wrote it.", "note")
    yield parts.figures_table([["front left", "2/32 in"], ["rear left", "6/32 in"]], [128, 44])
    yield parts.table(["Repair", ">Likely"], [["A new line", "$98"], ["Two", "$9,588"]], [128, 44])
    yield _photo(photos, 3, COLUMN_WIDTH)
    yield parts.PhotoGap("A photo belongs here and cannot be shown.", width=COLUMN_WIDTH)
    for bars in (4, 8, 12):
        yield from charts.compression(_cylinders(bars), COLUMN_WIDTH)
    steps = tuple(
        Step(name, value, f"{value:g} psi", *expected)
        for name, value, *expected in (
            ("return clamped", 71.0), ("warm idle", 31.0, 36.0, "expect 36 psi"), ("key off", 44.0),
        )
    )  # fmt: skip
    yield from charts.fuel_pressure(FuelPressure(steps, "psi"), COLUMN_WIDTH)
    yield from charts.tread(_tires(), COLUMN_WIDTH)
    points = [(6000.0 + 75 * at, at / 100) for at in range(101)]
    at = [(9750.0, "P50"), (12000.0, "P80"), (12750.0, "P90")]
    yield from charts.curve(points, at, width=COLUMN_WIDTH, money_text=_money)
    counts = [(0.0, 0.0, 100.0), (1.0, 140.0, 400.0), (2.0, 250.0, 900.0)]
    yield from charts.tip_over(counts, 600.0, width=COLUMN_WIDTH, money_text=_money)


def _money(amount: float) -> str:
    return money(amount, "USD")


def _cylinders(count: int) -> Compression:
    bars = tuple(
        Bar(str(n), 160 - 7.0 * (n % 5), 168.0 - n, f"{160 - 7 * (n % 5)}", f"{168 - n}", n == 4)
        for n in range(1, count + 1)
    )
    return Compression(bars, "psi", LimitLine(120, "75% of the highest: 120 psi"))


def _tires() -> Tread:
    names = ("front-left", "front-right", "rear-left", "rear-right", "spare")
    tires = tuple(
        Tire(name, (3.0 + at, 4.0, None if at == 4 else 2.0), (f"{3 + at}", "4", "2"), "")
        for at, name in enumerate(names)
    )
    edges = ((1, "Unsafe below 1/32 in"), (2, "Needs fixing below 2/32 in"), (4, "Minor below 4"))
    return Tread(tires, "1/32 in", tuple(LimitLine(at, said) for at, said in edges))


def write(out: Path, reader: Reader | None = None) -> int:
    """Write the specimen to `out`, in the words of a locale; how many pages it has."""
    shown = {sha256(jpeg(seed)): jpeg(seed) for seed in (1, 2, 3)}
    laid_out = io.BytesIO()
    with (
        reading_as(reader or Reader()),
        out.open("w+b") as file,
        EmbeddedPhotos(file, shown.get) as photos,
    ):
        file.write(HEADER)
        document = ReportDocument(laid_out, page="letter", title="Specimen", foot="Specimen")
        everything: list[Any] = [
            paragraph("The report’s flowables", "title"),
            *type_sizes(), *marks(), *cars(), *frames(photos), InColumns(), *column(photos),
        ]  # fmt: skip
        document.lay_out(everything)
        manifest = write_archival_file(
            laid_out,
            file,
            photos=photos,
            record=b"{}",
            manifest={},
            description=Description("Specimen", "", "", "2026-11-30T00:00:00+00:00", "en-US"),
            structure=document.structure,
            links=document.link_owners,
        )
    return len(manifest["pages"])


if __name__ == "__main__":
    place = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(tempfile.gettempdir()) / "specimen.pdf"
    print(place, write(place), "pages")
