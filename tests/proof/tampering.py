"""The table of tampering: every way to doctor a report, before everybody who may be asked of it.

Written to tampering.md beside this file. What other programs say is no law here, only measured; of
ours none may call a doctored report genuine, nor an honest one anything else.
"""

from __future__ import annotations

import importlib.metadata
import random
import subprocess
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from tests.browsing import launched
from tests.report.tampering.checkers import (
    ACCEPTED,
    GENUINE,
    OTHERS,
    OURS,
    Shop,
    check_page_in,
    pdfsig,
    pyhanko,
)
from tests.report.tampering.table import HONEST, KINDS, TABLE, Tampering
from tests.report.tools import apart

TABLE_FILE = Path(__file__).with_name("tampering.md")
#: By the names of ways: what each checker says, in their order.
Rows = dict[str, list[str]]
_INTRODUCTION = """\
Written by `python -m tests.proof tampering`. The command, the desk and the check page are those of
the shop whose report it is. pdfsig cannot be told whose key to trust: it says whether a signature
holds and covers the whole file. pyHanko is told the shop's key, and its answer is the one for the
shop's signature. What they answer is shortened."""


def tampering(share: float) -> dict[str, Any]:
    """Ask everybody; the whole table is written where all was asked. Raises AssertionError."""
    ways = sorted(TABLE)
    if share < 1:
        ways = random.Random(7).sample(ways, max(1, round(len(ways) * share)))
    rows = ask_all([*HONEST, *(TABLE[name] for name in ways)])
    accepted_by = counted(rows)
    faults = faults_of(rows)
    if share >= 1:
        TABLE_FILE.write_text(written(rows), encoding="utf-8")
    if faults:
        raise AssertionError("; ".join(faults))
    told = ", ".join(f"{name} {count}" for name, count in accepted_by.items())
    return {"ways": len(ways), "figures": f"{len(ways)} ways, of them accepted by: {told}"}


def ask_all(ways: Sequence[Tampering], *, with_page: bool = True) -> Rows:
    """What everybody says; without the check page where a browser takes too long."""
    with tempfile.TemporaryDirectory(prefix="bradawl-tampering-") as name:
        folder = Path(name)
        shop = Shop(folder)
        try:
            asked: dict[str, Callable[[bytes], str]] = {
                "command": shop.command,
                "desk": shop.desk,
                "pdfsig": pdfsig(shop, folder),
                "pyHanko": pyhanko(shop),
            }
            if not with_page:
                return _asked(ways, shop, asked)
            with launched() as browser:
                asked["check page"] = check_page_in(browser, shop, folder)
                return _asked(ways, shop, asked)
        finally:
            shop.close()


def _asked(
    ways: Sequence[Tampering], shop: Shop, asked: Mapping[str, Callable[[bytes], str]]
) -> Rows:
    checkers = [name for name in (*OURS, *OTHERS) if name in asked]
    rows = {}
    for way in ways:
        pdf = apart(lambda way=way: way.make(shop.genuine))  # type: ignore[misc]
        rows[way.name] = [asked[name](pdf) for name in checkers]
    return rows


def counted(rows: Rows) -> dict[str, int]:
    """How many doctored reports each checker takes for good."""
    honest = {one.name for one in HONEST}
    doctored = [row for name, row in rows.items() if name not in honest]
    return {
        checker: sum(row[at] in (GENUINE, ACCEPTED) for row in doctored)
        for at, checker in enumerate((*OURS, *OTHERS))
    }


def faults_of(rows: Rows) -> list[str]:
    """Where one of ours took a doctored report for genuine, or an honest one for another."""
    honest = {one.name for one in HONEST}
    ours = len(OURS)
    return [
        f"{name}: {row[:ours]}"
        for name, row in rows.items()
        if any((said == GENUINE) != (name in honest) for said in row[:ours])
        or any(said not in (GENUINE, "unknown", "changed") for said in row[:ours])
    ]


def written(rows: Rows) -> str:
    """The table as Markdown, with what each program's version is and how many it takes for good."""
    poppler = subprocess.run(["pdfsig", "-v"], capture_output=True, text=True).stderr.split("\n")[0]
    versions = f"{poppler}, pyHanko {importlib.metadata.version('pyhanko')}"
    counts = counted(rows)
    lines = [
        "# Who takes a doctored report for good",
        "",
        _INTRODUCTION,
        "",
        f"Asked: {versions}.",
        "",
        _row("way", [*OURS, *OTHERS]),
        "|---" * (1 + len(OURS) + len(OTHERS)) + "|",
        _row(
            f"**taken for good, of {len(rows) - len(HONEST)}**",
            [str(counts[name]) for name in (*OURS, *OTHERS)],
        ),
    ]
    groups = {"honest": HONEST, **KINDS}
    for kind, ways in groups.items():
        lines.append(_row(f"*{kind}*", [""] * (len(OURS) + len(OTHERS))))
        lines += [_row(way.name, rows[way.name]) for way in ways]
    return "\n".join(lines) + "\n"


def _row(name: str, cells: Sequence[str]) -> str:
    return f"| {' | '.join([name, *cells])} |"


def read_table() -> Rows:
    """The rows of the table as it was written last, the honest ones among them."""
    rows = {}
    for line in TABLE_FILE.read_text(encoding="utf-8").splitlines():
        name, *cells = (cell.strip() for cell in line.strip("|").split("|"))
        if len(cells) == len(OURS) + len(OTHERS) and cells[0] and not name.startswith(("*", "-")):
            rows[name] = cells
    rows.pop("way", None)
    return rows
