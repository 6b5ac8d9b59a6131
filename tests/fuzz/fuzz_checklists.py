"""Invariant: a folder is read and bundles to one name; or each fault has a line and a sentence."""

from __future__ import annotations

import random
import tempfile
from pathlib import Path

from bradawl.checklists.bundling import bundle
from bradawl.checklists.files import ChecklistError
from bradawl.checklists.loader import load
from tests.checklists.loading.test_loader import AREA, CAUTIONS, SOURCES
from tests.fuzz.damage import damaged

REAL = Path(__file__).resolve().parents[2] / "checklists"
#: Broken against what they name in other files too, which is half of what a loader does.
OTHERS = ("combinations", "baseline", "conflicts", "equipment", "assumptions", "rodents")


def check(files: dict[str, bytes]) -> None:
    """A folder of these files."""
    with tempfile.TemporaryDirectory() as folder:
        for name, data in files.items():
            (Path(folder) / name).write_bytes(data)
        try:
            checklist = load(Path(folder))
        except ChecklistError as error:
            faults = error.faults
        else:
            assert bundle(checklist)["hash"] == bundle(load(Path(folder)))["hash"]
            return
    assert faults
    for fault in faults:
        assert fault.line >= 1, fault
        assert fault.wrong.strip(), fault


def one(chance: random.Random) -> None:
    """One case."""
    files = {
        "sources.yaml": SOURCES.encode(),
        "cautions.yaml": CAUTIONS.encode(),
        "brakes.yaml": AREA.encode(),
    }
    if chance.random() < 0.3:
        name = f"{chance.choice(OTHERS)}.yaml"
        files[name] = (REAL / name).read_bytes()
    broken = chance.choice(sorted(files))
    check({**files, broken: damaged(files[broken], chance)})
