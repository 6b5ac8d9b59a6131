"""The demo's fullest car on few pages, and every word, reading and photo of it found there again.

What should be there is read from the contents that the pages are made of; what is there, from the
finished file with poppler.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from html import unescape
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from PIL import Image

from bradawl.inspection.snapshot import Snapshot
from bradawl.language import reading_as
from bradawl.report.issue import Issued, write_report
from bradawl.report.model.build import build_contents
from bradawl.report.model.contents import Contents, Finding
from bradawl.report.model.editions.edition import Edition, edition_view
from bradawl.report.pdf.print_copies import PrintCopies
from bradawl.report.printing import Printing
from bradawl.report.signing.keys import Signer
from bradawl.serving.reports.plan_for_report import workplan_of
from tests.report.full_visit import TODAY, demo, full_visit
from tests.report.tools import run

MOST_PAGES, MOST_MB = 12, 2.5  # issued with the request for this report
FOOT = re.compile(r"\S[^\n]* · [^\n]* · look-over [0-9a-f]{8} · [^\n]*\n?page \d+ of \d+")


@dataclass(frozen=True)
class Made:
    """One edition on one paper."""

    file: Path
    issued: Issued
    contents: Contents
    text: str

    def holds(self, said: str) -> bool:
        return "".join(said.split()) in self.text


def visit() -> Snapshot:
    photos = {name: data for phone in demo().phones for name, data in phone.photos.items()}
    return replace(full_visit(), photo=photos.get)


@pytest.fixture(
    scope="module", params=["partner-letter", "partner-a4", "condition-letter", "condition-a4"]
)
def made(request: Any, tmp_path_factory: pytest.TempPathFactory, shop: Signer) -> Made:
    edition, paper = request.param.split("-")
    return _made(edition, paper, tmp_path_factory.mktemp(request.param), shop)


def _made(edition: Edition, paper: str, folder: Path, shop: Signer) -> Made:
    file, printing, snapshot = folder / "report.pdf", Printing.of(paper=paper), visit()
    with reading_as(printing.reader):
        plan = workplan_of(snapshot) if edition == "partner" else None
        contents = build_contents(edition_view(snapshot, edition))
    issued = write_report(
        snapshot, file, edition, shop, printing=printing, today=TODAY, plan=plan,
        copies=PrintCopies(folder / "copies"),
    )  # fmt: skip
    raw = run("pdftotext", "-raw", "-enc", "UTF-8", file, "-")
    return Made(file, issued, contents, "".join(FOOT.sub("", raw).split()))


def findings(contents: Contents) -> Iterator[Finding]:
    for area in contents.areas:
        yield from area.findings
        yield from area.sound


def test_it_has_few_pages_and_megabytes(made: Made) -> None:
    assert made.issued.pages <= MOST_PAGES
    assert made.issued.size_bytes <= MOST_MB * 1e6


def test_every_word_of_every_finding_is_there(made: Made) -> None:
    missing = []
    for finding in findings(made.contents):
        said = [finding.title, finding.choice, finding.overruled]
        said += [*finding.facts, *finding.problems, *finding.others]
        said += [reason.text for reason in finding.reasons]
        said += finding.note.splitlines()
        # a line within another loses its full stop there
        missing += [(finding.id, one) for one in said if not made.holds(one.strip().rstrip("."))]
    assert missing == []


def test_every_reading_with_its_limits_is_there(made: Made) -> None:
    missing = []
    for finding in findings(made.contents):
        for reading in finding.readings:
            said = [f"{place}{figure}" for place, figure in reading.places]
            whole = f"{reading.title}: {reading.measured}"
            if not (made.holds(whole) or (said and all(map(made.holds, said)))):
                missing.append((finding.id, whole))
            if finding.number and len(reading.limits) > 1:
                limits = [limit for limit, _ in reading.limits]
                missing += [(finding.id, one) for one in limits if not made.holds(one)]
    assert missing == []


def test_every_photo_with_its_caption_is_there_and_its_digests(made: Made) -> None:
    photos = {photo.sha256: photo for one in findings(made.contents) for photo in one.photos}
    assert len(photos) > 25
    assert [photo.caption for photo in photos.values() if not made.holds(photo.caption)] == []
    with pikepdf.open(made.file) as pdf:
        printed = {
            hashlib.sha256(image.read_raw_bytes()).hexdigest()
            for page in pdf.pages
            for image in page.get_images().values()
        }
        attached = {name: spec.get_file().read_bytes() for name, spec in pdf.attachments.items()}
    manifest = json.loads(attached["manifest.json"])
    assert set(manifest["photos"]) == set(photos)
    assert set(manifest["photos"].values()) == printed


def test_what_nobody_checked_is_there_with_the_reason(made: Made) -> None:
    for area in made.contents.areas:
        for one in area.unseen:
            assert made.holds(one.title), one.title
            assert made.holds(one.why.rstrip(".")), one.why


def test_what_nobody_checked_is_named_once(made: Made) -> None:
    """On the first page or in its chapter; the drive home says how many it depends on."""
    if "Setasideforwhatwedidn" in made.text:  # the table of money names them again
        return
    titles = [one.title for area in made.contents.areas for one in area.unseen]
    told = {finding.title for finding in findings(made.contents)}
    alone = [title for title in titles if len(title.split()) > 2 and title not in told]
    squeezed = ["".join(title.split()) for title in alone]
    assert len(squeezed) > 30
    assert [title for title in squeezed if made.text.count(title) != 1] == []


def test_nothing_is_cut(made: Made) -> None:
    assert "…" not in made.text


def test_no_page_is_more_than_a_third_empty(made: Made, tmp_path: Path) -> None:
    """Measured on the pages as poppler draws them: how far each column is filled."""
    run("pdftoppm", "-r", "18", "-gray", made.file, tmp_path / "page")
    pages = sorted(tmp_path.glob("page-*.pgm"))
    assert len(pages) == made.issued.pages
    for page in pages:
        with Image.open(page) as drawn:
            width, height = drawn.size
            top, foot = round(height * 0.04), round(height * 0.945)  # between margin and foot
            side = round(width * 0.05)
            third = (width - 2 * side) / 3
            empty = 0.0
            for at in range(3):
                left = round(side + at * third) + 1  # beside the line between columns
                column = drawn.crop((left, top, round(left + third) - 2, foot))
                box = column.point(lambda ink: 255 if ink < 200 else 0).getbbox()
                empty += 1.0 if box is None else 1 - box[3] / (foot - top)
            assert empty / 3 <= 1 / 3, page.name


CHAPTERS = {
    "Signatures", "The drive home: every reason", "Maintenance",
    "What may have happened to it", "What it costs and what to pay", "How sure the cost is",
    "Repairs", "Set aside for what we didn't see", "Job list", "Fix or replace", "The price",
    "Not checked, and why", "Changes after signing", "Cautions and scope", "Method and sources",
    "OK",
}  # fmt: skip


def test_no_heading_ends_a_column(made: Made) -> None:
    """Below each heading, in its own column, something follows on the same page."""
    titles = CHAPTERS | {area.title for area in made.contents.areas}
    titles |= {f"{one.number} {one.title}" for one in findings(made.contents) if one.number}
    found = 0
    for page in run("pdftotext", "-bbox-layout", made.file, "-").split("<page ")[1:]:
        bottom = float(re.findall(r'height="([\d.]+)"', page)[0]) - 44  # above the foot
        lines = [
            (float(x), float(y), " ".join(re.findall(r">([^<]+)</word>", words)))
            for x, y, words in re.findall(
                r'<line xMin="([\d.]+)" yMin="([\d.]+)"[^>]*>(.*?)</line>', page, re.DOTALL
            )
        ]
        for x, y, said in lines:
            if unescape(re.sub(r"\s", " ", said)) in titles:
                found += 1
                below = [
                    other for left, other, _ in lines if abs(left - x) < 60 and y < other < bottom
                ]
                assert below, (said, y)
                assert min(below) - y < 40, said
    assert found > 100


def test_the_first_two_pages_decide(made: Made) -> None:
    raw = run("pdftotext", "-raw", "-l", "2", made.file, "-")
    text = " ".join(raw.split())
    wanted = ["Trailer it.", "The worst of it", "Unsafe: 6", "Needs fixing: 17", "Not checked:"]
    wanted += ["Where it is, and what matters most", "Signed by", "Signatures added later"]
    for said in wanted:
        assert said in text, said
    assert ("Top price" in text) == ("our copy" in text)
