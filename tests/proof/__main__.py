"""`python -m tests.proof [NAME…] [--share 0.1]`: the proofs that take too long for every test run.

Each writes what it saw into results.json beside this file: commit, seeds, figures, result. Named
ones alone are run and written; the others' entries stay. Ends with 1 when one failed.
"""

from __future__ import annotations

import argparse
import datetime
import json
import os
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.amount import VARIABLE
from tests.backup import kill_loop as restores
from tests.checklists.content.test_visit import KNOWN
from tests.checkout import checklist_bundle
from tests.judge.decisions.regret import MINUTES, Cars, table
from tests.log.integrity import disaster_loop, kill_loop
from tests.packaging.newcomer import from_wheel
from tests.packaging.single_file import tried
from tests.phone.offline import kill_loop as browser
from tests.proof.flips import flips
from tests.proof.tampering import tampering
from tests.proof.worlds import worlds

RESULTS = Path(__file__).with_name("results.json")
JSON = dict[str, Any]


def _kills(run: Callable[[int, int], str], kills: int, seed: int) -> JSON:
    return {"kills": kills, "seeds": [seed], "figures": run(kills, seed)}


def _restores(_share: float) -> JSON:
    if restores.main():
        raise AssertionError("a killed restore left something that is neither old nor new")
    return {"figures": "a restore killed at every system call that changes the disk"}


def _browsers(share: float) -> JSON:
    # the browser gets what was built: that must be of the commit that is tried
    web = RESULTS.parents[2] / "web"
    subprocess.run(["npm", "run", "--silent", "build"], cwd=web, check=True, stdout=sys.stderr)
    return _kills(browser.run, round(50 * share), 11)


def _long_forms(share: float) -> JSON:
    """Tests that try a part of what they could in `make test` (tests/amount.py), all of it."""
    tests = RESULTS.parents[1]
    files = sorted(
        str(file)
        for file in tests.rglob("test_*.py")
        # drawn examples have their usual amount in tests/conftest.py
        if re.search(r"tests\.amount|^@given\(", file.read_text("utf-8"), re.MULTILINE)
    )
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "loadgroup", *files],
        cwd=tests.parent,
        env={**os.environ, VARIABLE: str(share)},
        capture_output=True,
        text=True,
    )
    *_, last = run.stdout.strip().splitlines()
    if run.returncode:
        raise AssertionError(run.stdout[-2_000:])
    return {"figures": f"{len(files)} files: {last}"}


def _regret(share: float) -> JSON:
    """What next, asked anew after each danger, against the walk and the rule before it."""
    cars = Cars(checklist_bundle(), KNOWN, round(4_000 * share), 11)
    rows = {
        "order of the walk": cars.regret(cars.walked),
        "the rule before, greedily": cars.regret(cars.old),
        "what next": {minutes: cars.regret_with_dangers(minutes) for minutes in MINUTES},
    }
    for minutes in MINUTES:
        more = rows["what next"][minutes] - rows["order of the walk"][minutes]
        if more.mean() > 2 * more.std() / len(more) ** 0.5:
            raise AssertionError(f"in {minutes} minutes the walk does better than what next")
    return {"cars": len(cars.true), "seeds": [11], "figures": table(rows)}


def _single_file(_share: float) -> JSON:
    """Built by the recipe and tried where there is no Python."""
    release = RESULTS.parents[2] / "server" / "release"
    with tempfile.TemporaryDirectory() as out:
        recipe = [sys.executable, str(release / "single_file.py"), "--out", out]
        subprocess.run(recipe, check=True, stdout=sys.stderr)
        return {"figures": tried(Path(out) / "bradawl")}


def _newcomer(_share: float) -> JSON:
    """From the wheel, installed by `uvx` into nothing, to the first photo at the desk."""
    root = RESULTS.parents[2]
    with tempfile.TemporaryDirectory() as out:
        build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", out, root]
        subprocess.run(build, check=True, stdout=sys.stderr)
        [wheel] = Path(out).glob("*.whl")
        return {"figures": from_wheel(wheel)}


#: What each does with a share of its usual amount; raises AssertionError where it fails.
PROOFS: dict[str, Callable[[float], JSON]] = {
    "worlds": lambda share: worlds(0, round(2_000 * share)),
    "hostile worlds": lambda share: worlds(100_000, round(2_000 * share), hostile=True),
    "killed servers": lambda share: _kills(kill_loop.run, round(200 * share), 11),
    "disasters": lambda share: _kills(disaster_loop.run, round(200 * share), 11),
    "killed restores": _restores,
    "killed browsers": _browsers,
    "regret": _regret,
    "newcomer": _newcomer,
    "single file": _single_file,
    "tampering": tampering,
    "flipped bits": flips,
    "long forms of tests": _long_forms,
}


def commit() -> str:
    """The commit that is tried; with "+" where the files are not those of it."""
    here = RESULTS.parent

    def git(*arguments: str) -> str:
        return subprocess.run(
            ["git", *arguments], cwd=here, check=True, capture_output=True, text=True
        ).stdout.strip()

    changed = git("status", "--porcelain", "--", ":/", f":!{RESULTS}")
    return git("rev-parse", "HEAD") + ("+" if changed else "")


def prove(name: str, share: float) -> JSON:
    """Run a proof; its entry."""
    entry: JSON = {
        "commit": commit(),
        "date": datetime.datetime.now(datetime.UTC).date().isoformat(),
        "share": share,
    }
    began = time.monotonic()
    try:
        entry |= {**PROOFS[name](share), "result": "held"}
    except Exception as error:  # one that breaks keeps none of the others from running
        entry["result"] = f"FAILED: {type(error).__name__}: {error}"
    return entry | {"took_s": round(time.monotonic() - began)}


def write(name: str, entry: JSON) -> None:
    """Put an entry in place of the one of the same name."""
    entries = json.loads(RESULTS.read_text(encoding="utf-8")) if RESULTS.exists() else {}
    entries[name] = entry
    text = json.dumps(dict(sorted(entries.items())), ensure_ascii=False, indent=2)
    RESULTS.write_text(text + "\n", encoding="utf-8")


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.proof", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(PROOFS))
    parser.add_argument("--share", type=float, default=1.0, help="of the usual amount")
    chosen = parser.parse_args()
    unknown = [name for name in chosen.names if name not in PROOFS]
    if unknown:
        parser.error(f"There is no proof {unknown[0]!r}; there are: {', '.join(PROOFS)}.")
    failed = False
    for name in chosen.names or PROOFS:
        entry = prove(name, chosen.share)
        write(name, entry)
        print(f"{name}: {entry['result']} ({entry.get('figures', '')}, {entry['took_s']} s)")
        failed = failed or entry["result"] != "held"
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
