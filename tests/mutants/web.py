"""Mutants of the phone's store: one token changed at a time, tried by vitest.

It writes into the checkout that it runs in, which is a private copy (`__main__.py`).
"""

from __future__ import annotations

import random
import re
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
#: What stands in for what. Words of the language only: a sentence says `and`, not `&&`.
TOKENS = {
    r" === ": " !== ",
    r" !== ": " === ",
    r" < ": " <= ",
    r" > ": " >= ",
    r" <= ": " < ",
    r" >= ": " > ",
    r" && ": " || ",
    r" \|\| ": " && ",
    r" \+ 1\b": " + 2",
    r" - 1\b": " - 2",
    r'"strict"': '"relaxed"',
    r"\btrue\b": "false",
    r"\bfalse\b": "true",
    r"^\s+await [^=;]+;$": "",
    r"^\s+throw [^;]+;$": "",
    r"^\s+this\.[a-z]\w*\([^;]*\);$": "",
}


@dataclass(frozen=True)
class TokenMutant:
    file: str
    line: int
    start: int
    end: int
    text: str
    what: str


def mutants_of(file: Path) -> Iterator[TokenMutant]:
    source = file.read_text(encoding="utf-8")
    for pattern, text in TOKENS.items():
        for match in re.finditer(pattern, source, re.MULTILINE):
            line = source.count("\n", 0, match.start() + 1) + 1
            words = source[: match.end()].rpartition("\n")[2] + source[match.end() :].split("\n")[0]
            if words.lstrip().startswith(("//", "*", "/*")):
                continue
            what = f"{match[0].strip()} → {text.strip() or 'nothing'} in “{words.strip()[:60]}”"
            name = file.relative_to(ROOT).as_posix()
            yield TokenMutant(name, line, match.start(), match.end(), text, what)


def tried(
    paths: Sequence[str], sample: int | None, seed: int, limit_s: float
) -> dict[str, list[str]]:
    """The mutants' names by what became of them: "killed", "survived" or "too slow"."""
    files = [
        f for p in paths for f in ([ROOT / p] if p.endswith(".ts") else (ROOT / p).rglob("*.ts"))
    ]
    mutants = [mutant for file in sorted(files) for mutant in mutants_of(file)]
    if sample is not None and sample < len(mutants):
        mutants = random.Random(seed).sample(mutants, sample)
    by: dict[str, list[str]] = {}
    for mutant in mutants:
        place = ROOT / mutant.file
        honest = place.read_text(encoding="utf-8")
        place.write_text(honest[: mutant.start] + mutant.text + honest[mutant.end :])
        outcome = _tested(ROOT / "web", limit_s)
        place.write_text(honest, encoding="utf-8")
        name = f"{mutant.file}:{mutant.line}: {mutant.what}"
        by.setdefault(outcome, []).append(name)
        if outcome != "killed":
            print(f"{outcome}: {name}", flush=True)
    return by


def _tested(web: Path, limit_s: float) -> str:
    command = ["node_modules/.bin/vitest", "run", "--bail", "1", "--cache=false"]
    try:
        done = subprocess.run(command, cwd=web, capture_output=True, timeout=limit_s, check=False)
    except subprocess.TimeoutExpired:
        return "too slow"
    return "killed" if done.returncode else "survived"
