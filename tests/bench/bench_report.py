"""A report of 120 findings and 60 photos: time, memory and size against the least possible.

Photos are JPEGs as the log serves them (1600 x 1200, about 300 kB), read from disk by both sides.
The report prints them smaller: the copies are kept, as a running server keeps them, and what the
first report takes longer for making them is a figure of its own.
Floor of laying out: the same photos written one after another into one file; once with both
files synced to the disk, as a report is, once with neither, so that the disk hides nothing; and
once without tags (PDF/UA-1, PDF/A-3a), which tells what those cost. Floor of signing: the finished
file copied, hashed and synced. The processor's time of each is told too: what counts on a machine
that does other work. Runs take turns. Also: how long an event
loop in the same process waits while two reports are made in worker threads. Floor of issuing as
a server does: the same without printing it again before it is signed.
"""

from __future__ import annotations

import asyncio
import hashlib
import io
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager, nullcontext
from pathlib import Path
from typing import Any
from unittest import mock

from PIL import Image, ImageDraw

from bradawl.demo.phone import visit_of
from bradawl.inspection.snapshot import Snapshot, gather
from bradawl.report.draft import Draft
from bradawl.report.issue import write_report
from bradawl.report.layout import grids, tagged_canvas
from bradawl.report.layout.text import paragraphs
from bradawl.report.pdf import archival
from bradawl.report.pdf.print_copies import PrintCopies
from bradawl.report.reprint import Reprint
from bradawl.report.signing.keys import Signer, open_signer
from bradawl.report.signing.signatures import certify
from bradawl.serving.reports.compare_pages import reprint
from tests.bench.measuring.figures import compared, write
from tests.report.full_visit import TODAY as DAY
from tests.report.full_visit import demo
from tests.report.visits import TODAY, assessment, item, judged, puts, sha256, snapshot

FINDINGS, PHOTOS, RUNS = 120, 60, 9
GRADES = ("minor", "major", "minor", "dangerous", "minor", "minor")


def picture(seed: int) -> bytes:
    """A JPEG of 1600 x 1200 pixels and roughly 300 kB."""
    chance = random.Random(seed)
    image = Image.effect_noise((400, 300), 22).resize((1600, 1200)).convert("RGB")
    draw = ImageDraw.Draw(image)
    for _ in range(60):
        x, y = chance.randrange(1600), chance.randrange(1200)
        draw.ellipse((x, y, x + 90, y + 60), fill=tuple(chance.choices(range(256), k=3)))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=80)
    return out.getvalue()


def visit(folder: Path, photos: int = PHOTOS) -> Snapshot:
    """The invented visit, its photos in `folder` under their digests."""
    areas = ("rust", "accident", "bushings", "brakes", "rodents", "fluids", "engine")
    items = [
        item(
            f"{areas[n % len(areas)]}.thing-{n}",
            f"Thing number {n} of the car",
            readings=[{"id": "gap", "title": "Gap", "quantity": "length", "units": ["mm"],
                       "at": ["left", "right"]}],
            limits=[{"of": "gap", "above": "3", "unit": "mm", "grade": "minor",
                     "source": "practice"}],
        )
        for n in range(FINDINGS)
    ]  # fmt: skip
    grades = {
        one["id"]: judged(
            GRADES[n % len(GRADES)], f"Gap, left: {n % 9} mm is over 3 mm. Also right 4 mm."
        )
        for n, one in enumerate(items)
    }
    recorded = puts()
    for n, one in enumerate(items):
        for place in ("left", "right"):
            recorded.append(
                (f"items/{one['id']}/readings/gap/{place}", {"typed": str(n % 9), "unit": "mm"})
            )
        if n % 3 == 0:
            recorded.append((f"items/{one['id']}/note", "Seen from below with a lamp, dry, firm."))
    for n in range(photos):
        data = picture(n)
        name = sha256(data)
        (folder / name).write_bytes(data)
        path = f"items/{items[n * 2]['id']}/photos/{name}"
        recorded.append((path, {"caption": f"Thing {n * 2}", "taken": f"{n:03d}"}))
    made = snapshot(recorded, items=items, judgement=assessment(grades, items))
    object.__setattr__(made, "photo", lambda name: (folder / name).read_bytes())
    return made


def laid_out(made: Snapshot, out: Path, copies: PrintCopies) -> float:
    began = time.perf_counter()
    write_report(made, out, "condition", None, today=TODAY, copies=copies)
    return time.perf_counter() - began


def fullest() -> Snapshot:
    """The demo's car with most findings."""
    source = demo()
    visit_id = visit_of(source.scenarios[-1])
    return gather(source, visit_id, today=DAY, current_bundle=lambda: source.checklist)


def issued(
    seen: Snapshot, out: Path, signer: Signer, copies: PrintCopies, again: Reprint | None = None
) -> float:
    """Seconds from asking for a report to its file, signed: as a server makes it, or without
    printing it again first.
    """
    began = time.perf_counter()
    write_report(seen, out, "condition", signer, today=DAY, copies=copies, again=again)
    return time.perf_counter() - began


def concatenated(photos: list[Path], out: Path) -> float:
    began = time.perf_counter()
    with out.open("wb") as file:
        for photo in photos:
            file.write(photo.read_bytes())
        file.flush()
        os.fsync(file.fileno())
    return time.perf_counter() - began


def processor_s(*does: Callable[[], object]) -> list[float]:
    """The least that each of these takes of the processor, in turns."""
    least = [float("inf") for _ in does]
    for _ in range(RUNS):
        for at, do in enumerate(does):
            began = time.process_time()
            do()
            least[at] = min(least[at], time.process_time() - began)
    return [round(one, 4) for one in least]


@contextmanager
def untagged() -> Iterator[None]:
    """Nothing drawn is claimed by an element meanwhile, and no structure is written."""

    def claims_nothing(*_: object) -> AbstractContextManager[None]:
        return nullcontext()

    canvas = tagged_canvas.TaggedCanvas
    with ExitStack() as patches:
        for name in ("inside", "content", "figure", "decoration"):
            patches.enter_context(mock.patch.object(canvas, name, claims_nothing))
        for name in ("_place", "_end_decoration"):
            patches.enter_context(mock.patch.object(canvas, name, return_value=None))
        for module in (paragraphs, grids):  # which draw without claiming on any other canvas
            patches.enter_context(mock.patch.object(module, "TaggedCanvas", type("None", (), {})))
        patches.enter_context(mock.patch.object(tagged_canvas, "_DECORATION", ""))
        patches.enter_context(mock.patch.object(archival, "write_structure", return_value=None))
        yield


@contextmanager
def without_sync() -> Iterator[None]:
    """Nothing is synced meanwhile, on either side."""
    real, os.fsync = os.fsync, lambda _: None  # type: ignore[assignment]
    try:
        yield
    finally:
        os.fsync = real


def signed(unsigned: Path, out: Path, signer: Signer) -> float:
    shutil.copyfile(unsigned, out)
    began = time.perf_counter()
    with out.open("r+b") as file:
        certify(file, signer, reason="Benchmark")
        os.fsync(file.fileno())
    return time.perf_counter() - began


def copied(unsigned: Path, out: Path) -> float:
    began = time.perf_counter()
    digest = hashlib.sha256()
    with unsigned.open("rb") as source, out.open("wb") as file:
        while block := source.read(1 << 20):
            digest.update(block)
            file.write(block)
        file.flush()
        os.fsync(file.fileno())
    return time.perf_counter() - began


async def loop_waits(made: Snapshot, folder: Path, signer: Signer) -> tuple[list[float], float]:
    """How much later than asked the event loop woke while two reports were made, and how long."""
    began = time.perf_counter()
    jobs = [
        asyncio.create_task(
            asyncio.to_thread(
                write_report, made, folder / f"both-{n}.pdf", "condition", signer, today=TODAY
            )
        )
        for n in range(2)
    ]
    late = []
    while not all(job.done() for job in jobs):
        asked = time.perf_counter()
        await asyncio.sleep(0.005)
        late.append(time.perf_counter() - asked - 0.005)
    await asyncio.gather(*jobs)
    return sorted(late), time.perf_counter() - began


def peak_mb() -> float:
    """Peak memory of one process that makes one report, imports included."""
    command = [sys.executable, "-m", "tests.bench.bench_report", "--once"]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return float(done.stdout.split()[-1])


def once() -> None:
    import resource

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        made = visit(folder)
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        write_report(made, folder / "r.pdf", "condition", open_signer(folder / "k"), today=TODAY)
        after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(before / 1024, after / 1024)


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        made = visit(folder)
        photos = sorted(file for file in folder.iterdir() if file.is_file())
        signer = open_signer(folder / "keys")
        out, floor = folder / "report.pdf", folder / "floor"
        copies = PrintCopies(folder / "copies")
        laid_out(visit(folder, 1), out, copies)  # imports and fonts, once per process
        first_s = laid_out(made, out, copies)
        rows: list[dict[str, Any]] = []
        turns = [(laid_out(made, out, copies), concatenated(photos, floor)) for _ in range(RUNS)]
        rows.append(compared("lay out 120 findings, 60 photos", *_columns(turns), goal=4.4))
        with untagged():
            turns = [
                (laid_out(made, out, copies), concatenated(photos, floor)) for _ in range(RUNS)
            ]
        rows.append(compared("the same without tags", *_columns(turns), goal=4.4))
        with without_sync():
            turns = [
                (laid_out(made, out, copies), concatenated(photos, floor)) for _ in range(RUNS)
            ]
        rows.append(compared("with tags, neither side synced", *_columns(turns), goal=8.5))
        bytes_of_photos = sum(photo.stat().st_size for photo in photos)
        unsigned = folder / "unsigned.pdf"
        with mock.patch.object(Draft, "_certify", return_value=[]):  # with its empty fields
            write_report(made, unsigned, "condition", signer, today=TODAY, copies=copies)
        turns = [(signed(unsigned, out, signer), copied(unsigned, floor)) for _ in range(RUNS)]
        rows.append(compared("sign in place", *_columns(turns), goal=1.3))
        layout_s, floor_s = processor_s(
            lambda: laid_out(made, out, copies), lambda: concatenated(photos, floor)
        )
        with untagged():
            (untagged_s,) = processor_s(lambda: laid_out(made, out, copies))
        signing_s, copying_s = processor_s(
            lambda: signed(unsigned, out, signer), lambda: copied(unsigned, floor)
        )
        seen = fullest()
        turns = [
            (issued(seen, out, signer, copies, again=reprint()), issued(seen, out, signer, copies))
            for _ in range(RUNS)
        ]
        rows.append(compared("issue the demo's fullest, printed again", *_columns(turns), goal=3.0))
        late, took = asyncio.run(loop_waits(made, folder, signer))
        write(
            "report",
            rows,
            photos_mb=round(bytes_of_photos / 1e6, 2),
            size_mb=round(unsigned.stat().st_size / 1e6, 2),
            size_over_photos_kb=round((unsigned.stat().st_size - bytes_of_photos) / 1e3, 1),
            layout_cpu_s=layout_s,
            layout_floor_cpu_s=floor_s,
            tags_cpu_s=round(layout_s - untagged_s, 4),
            signing_cpu_s=signing_s,
            signing_floor_cpu_s=copying_s,
            first_report_s=round(first_s, 3),
            peak_mb=peak_mb(),
            two_at_once_s=round(took, 3),
            loop_late_p95_ms=round(1000 * late[int(len(late) * 0.95)], 1),
            loop_late_worst_ms=round(1000 * late[-1], 1),
        )


def _columns(turns: list[tuple[float, float]]) -> tuple[list[float], list[float]]:
    return [figure for figure, _ in turns], [floor for _, floor in turns]


if __name__ == "__main__":
    once() if "--once" in sys.argv else main()
