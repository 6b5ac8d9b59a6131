"""Memory follows the pages, not the photos: 500 photos cost little more than 50."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.report.visits import TODAY

SCRIPT = r"""
import re, sys
from pathlib import Path
from bradawl.report.issue import write_report
from bradawl.report.signing.keys import open_signer
from tests.report.visits import snapshot, item, jpeg, puts, sha256, assessment, judged

count, folder = int(sys.argv[1]), Path(sys.argv[2])
base = jpeg(1, 320, 240)

def photo(number):
    # the same picture with 240 kB of application data that nobody reads: a valid, clean JPEG
    filler = number.to_bytes(4, "big") * 15_000
    segment = b"\xff\xe0" + (len(filler) + 2).to_bytes(2, "big") + filler
    return base[:2] + segment * 4 + base[2:]

items = [item(f"rust.thing-{n}", f"Thing {n}") for n in range(50)]
names = [sha256(photo(n)) for n in range(count)]
recorded = puts() + [
    (f"items/rust.thing-{n % 50}/photos/{name}", {"caption": "seen", "taken": str(n)})
    for n, name in enumerate(names)
]
numbers = {name: n for n, name in enumerate(names)}
visit = snapshot(
    recorded, items=items,
    judgement=assessment({one["id"]: judged("minor", "Seen.") for one in items}, items),
)
object.__setattr__(visit, "photo", lambda name: photo(numbers[name]))
issued = write_report(visit, folder / "out.pdf", "condition", open_signer(folder), today="TODAY")
assert issued.photos == count, issued
# not ru_maxrss: Linux hands that down from the process that started this one
peak_kb = int(re.search(r"VmHWM:\s+(\d+)", Path("/proc/self/status").read_text())[1])
print(issued.size_bytes, peak_kb * 1024)
"""


def _run(count: int, folder: Path) -> tuple[int, int]:
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT.replace("TODAY", TODAY), str(count), str(folder)],
        capture_output=True, text=True, timeout=300, check=False,
        cwd=Path(__file__).parents[2],
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    size, peak = done.stdout.split()
    return int(size), int(peak)


def test_five_hundred_photos_cost_little_more_memory_than_fifty(tmp_path: Path) -> None:
    few_bytes, few_peak = _run(50, tmp_path)
    many_bytes, many_peak = _run(500, tmp_path)
    assert many_bytes - few_bytes > 100_000_000
    assert many_peak - few_peak < 30_000_000
    assert many_peak < 200_000_000
