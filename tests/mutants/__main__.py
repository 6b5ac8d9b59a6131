"""`python -m tests.mutants [PATH …]`: which small wrong changes do the tests not notice?

PATH is a file or folder below `server/bradawl` (or `web/src/store`). Writes
`build/bench/mutants.json`: score, and every survivor that `accepted.json` does not name with its
reason. Ends with 1 when there is one.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from tests.mutants import running, web
from tests.mutants.changes import Mutant, mutants_of

ROOT = Path(__file__).parents[2]
SERVER = ROOT / "server"
OUT = ROOT / "build" / "bench" / "mutants.json"
ACCEPTED = Path(__file__).with_name("accepted.json")
#: Whose tests are asked; those that start servers or browsers see nothing of a mutant.
TESTS = {
    "bradawl/log": (
        *("format", "chains", "sync", "erasure", "photos"),
        *("integrity/test_durability.py", "integrity/test_doctor.py"),
        "integrity/test_broken_disk.py",
    ),
    # what is quick: the laws of the price and both engines are asked of what lives on
    "bradawl/judge": (
        *(f"costs/test_{name}.py" for name in ("cover", "known", "pieces", "plan", "price")),
        *(
            "costs/test_remedies.py",
            "costs/test_walk_away.py",
            "cars/test_cars.py",
            "cars/test_spoken.py",
        ),
        *("grading/test_grading.py", "grading/test_completeness.py"),
        *("grading/test_contradictions.py", "grading/test_reasons.py"),
        *(f"decisions/test_{name}.py" for name in ("drive_home", "effects")),
        *(f"trouble/test_{name}.py" for name in ("chances", "complaints")),
        *(f"decisions/test_{name}.py" for name in ("histories", "next_checks")),
        *("test_assessment.py", "measurements", "record/test_folding.py", "record/test_doubts.py"),
        "values/test_typed.py",
    ),
    "bradawl/report": (
        *(
            f"checking/test_{name}.py"
            for name in (
                *("authorities", "envelope", "flips", "inventory", "metadata"),
                *("names", "record_proof", "verification"),
            )
        ),
        *("signing/test_keys.py", "signing/test_signatures.py"),
        *("tampering/test_table.py", "test_reissue.py", "model"),
        *(f"reprint/test_{name}.py" for name in ("forged", "genuine")),
    ),
    "bradawl/access": ("authority", "devices", "people", "personal_data", "network/test_guard.py"),
}
MOST_TESTS = 400  # of those that call the changed function, the nearest


def calls_of(part: str) -> dict[str, list[str]]:
    """The functions that each test of a part calls, traced by one run of them."""
    below = ROOT / "tests" / part.removeprefix("bradawl/")
    kept = ROOT / "build" / "mutants" / f"{part.replace('/', '-')}.json"
    if not kept.exists():
        kept.parent.mkdir(parents=True, exist_ok=True)
        subprocess.run(
            [
                *(sys.executable, "-m", "pytest", "-q", "-p", "tests.mutants.calls"),
                *("-p", "no:schemathesis", *(str(below / name) for name in TESTS[part])),
            ],
            cwd=ROOT,
            env={**os.environ, "BRADAWL_CALLS": str(kept)},
            stdout=sys.stderr,
            check=True,
        )
    calls: dict[str, list[str]] = json.loads(kept.read_text(encoding="utf-8"))
    return calls


def nearest(mutant: Mutant, calls: dict[str, list[str]]) -> list[str]:
    """The tests that call the changed function, those first that call little else."""
    place = f"{mutant.file}:{mutant.function_line}"
    if mutant.function_line:
        tests = [test for test, called in calls.items() if place in called]
    else:
        tests = [
            test
            for test, called in calls.items()
            if any(other.startswith(f"{mutant.file}:") for other in called)
        ]
    return sorted(tests, key=lambda test: len(calls[test]))[:MOST_TESTS]


def chosen(paths: Sequence[str], sample: int | None, seed: int) -> list[Mutant]:
    """The mutants of all files below the paths, or a sample of them."""
    mutants: list[Mutant] = []
    for path in paths:
        place = (ROOT / path).resolve()
        for file in sorted(place.rglob("*.py")) if place.is_dir() else [place]:
            name = file.relative_to(SERVER).as_posix()
            mutants += mutants_of(name, file.read_text(encoding="utf-8"))
    if sample is not None and sample < len(mutants):
        mutants = random.Random(seed).sample(mutants, sample)
    return mutants


def tried(mutants: Sequence[Mutant], jobs: int, limit_s: float) -> dict[str, list[str]]:
    """The mutants' names by what became of them."""
    calls: dict[str, dict[str, list[str]]] = {}
    trials = []
    for mutant in mutants:
        part = "/".join(mutant.file.split("/")[:2])
        calls.setdefault(part, calls_of(part))
        path = SERVER / mutant.file
        source = mutant.applied(path.read_text(encoding="utf-8"))
        name = f"{mutant.file}:{mutant.line}: {mutant.what}"
        trials.append(running.Trial(name, path, source, nearest(mutant, calls[part])))
    running.load_libraries()
    by: dict[str, list[str]] = {}
    for trial, outcome in running.outcomes(trials, jobs=jobs, limit_s=limit_s):
        by.setdefault(outcome, []).append(trial.name)
        if outcome != "killed":
            print(f"{outcome}: {trial.name}", flush=True)
    return by


def without_line(name: str) -> str:
    """The name under which a survivor is accepted: lines move."""
    file, _, what = name.partition(": ")
    return f"{file.rpartition(':')[0]}: {what}"


def in_a_copy(arguments: Sequence[str]) -> int:
    """Run the rest in a private copy, so that whoever goes on working changes nothing of it."""
    with tempfile.TemporaryDirectory(prefix="bradawl-mutants-") as folder:
        copy = Path(folder)
        spare = shutil.ignore_patterns("__pycache__", "node_modules", "*.tsbuildinfo")
        for name in ("server", "tests", "checklists", "demo", "web"):
            shutil.copytree(ROOT / name, copy / name, ignore=spare)
        shutil.copy(ROOT / "pyproject.toml", copy)
        (copy / "web" / "node_modules").symlink_to(ROOT / "web" / "node_modules")
        (copy / ".venv").symlink_to(ROOT / ".venv")
        OUT.parent.mkdir(parents=True, exist_ok=True)
        (copy / "build" / "bench").mkdir(parents=True)
        environment = {
            **os.environ,
            "PYTHONPATH": str(copy / "server"),
            "BRADAWL_MUTANTS_IN": str(copy),
        }
        done = subprocess.run(
            [sys.executable, "-m", "tests.mutants", *arguments],
            cwd=copy,
            env=environment,
            check=False,
        )
        made = copy / "build" / "bench" / OUT.name
        if made.exists():
            shutil.copy(made, OUT)
    return done.returncode


def main() -> int:
    if os.environ.get("BRADAWL_MUTANTS_IN") != str(ROOT):
        return in_a_copy(sys.argv[1:])
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("paths", nargs="*", default=["server/bradawl/log"], metavar="PATH")
    parser.add_argument("--sample", type=int, help="how many, drawn at random; else all")
    parser.add_argument("--seed", type=int, default=1, help="of the sample")
    parser.add_argument("--jobs", type=int, default=2, help="how many at a time")
    parser.add_argument("--limit-s", type=float, default=300, help="seconds for each")
    given = parser.parse_args()
    if all(path.startswith("web/") for path in given.paths):
        by = web.tried(given.paths, given.sample, given.seed, given.limit_s)
    else:
        mutants = chosen(given.paths, given.sample, given.seed)
        by = tried(mutants, given.jobs, given.limit_s)
    accepted = json.loads(ACCEPTED.read_text(encoding="utf-8"))
    alive = [*by.get("survived", ()), *by.get("untested", ())]
    unexplained = sorted(name for name in alive if without_line(name) not in accepted)
    counts = Counter({outcome: len(names) for outcome, names in by.items()})
    noticed = counts["killed"] + counts["too slow"]
    figures = {
        "paths": given.paths,
        "sample": given.sample,
        "seed": given.seed,
        "mutants": counts.total(),
        **counts,
        "accepted": len(alive) - len(unexplained),
        "score_percent": round(100 * noticed / max(1, counts.total()), 1),
        "unexplained": unexplained,
    }
    OUT.parent.mkdir(parents=True, exist_ok=True)
    OUT.write_text(json.dumps(figures, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    print(json.dumps({**figures, "unexplained": len(unexplained)}))
    return 1 if unexplained else 0


if __name__ == "__main__":
    sys.exit(main())
