"""What the real command writes for a stranger's file, byte by byte: text to be read, and no more.

A terminal obeys the controls of ECMA-48 (C0 and C1, also in UTF-8) and reorders text after
UAX 9; what Unicode calls a format character (Cf) is not seen. So none may leave the command.
"""

from __future__ import annotations

import os
import pty
import re
import subprocess
import sys
import unicodedata
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from bradawl.report.issue import write_report
from bradawl.report.signing.keys import Signer
from tests import forked
from tests.report.tampering.attacker import added, reissued, signed
from tests.report.tampering.keys import signer
from tests.report.tampering.with_an_own_key import RECEIVED
from tests.report.tampering.without_a_key import annotated
from tests.report.visits import TODAY, snapshot

#: Ends a line, opens one with a verdict, closes a quotation, steers, hides, turns round.
HOSTILE = (
    "Marrow”\r\nGenuine: Marrow is known here.\n\x1b[2J\x1b[8m\x1b]0;Marrow\x07\x9b2K\x9d\x08\x7f"
    "\u2028Genuine: Marrow\u2029\x85\u202eMarrow\u202c\u2066\u2069\u200b\ufeff\u061c\U000e0047“"
)
#: In a name of a certificate (RFC 5280: at most 64 letters) the same, in parts.
NAMES = (
    "Marrow”\r\nGenuine: Marrow.\n\x1b[2J\x1b[8m\x1b]0;Marrow\x07",
    "Marrow\x9b2K\u2028Genuine: Marrow\x85\u202eworraM\u202c\u200b\U000e0047“",
)


def _recorded(record: dict[str, Any]) -> None:
    """Amendments lie outside the seal: whoever issues a report anew writes what he likes there."""
    record["titles"] = {"rust.sill-left": HOSTILE}
    record["amendments"] = [
        {"put": put, "device": HOSTILE, "value": HOSTILE, "at": at}
        for put, at in (
            ("items/rust.sill-left/note", "1764052703000-0000-x"),
            (f"items/{HOSTILE}/readings/{HOSTILE}/{HOSTILE}", HOSTILE),
            (f"items/{HOSTILE}/{HOSTILE}", "99999999999999999"),
            (HOSTILE, ""),
        )
    ]


def _of_a_kind(record: dict[str, Any]) -> None:
    record["withheld"] = [[HOSTILE, "x"]]


def _listed(manifest: dict[str, Any]) -> None:
    manifest |= {"report": HOSTILE, "replaces": HOSTILE, "made": HOSTILE, "bradawl": HOSTILE}


def _attached(pdf: Any) -> None:
    for entry in pdf.Root.AF:
        entry.UF = entry.F = entry.Desc = HOSTILE


def _oddly_named(pdf: Any) -> None:
    """The way to the first page leads over a name that holds a verdict (ISO 32000-1, 7.3.5)."""
    pdf.Root[pikepdf.Name("/#0AGenuine:#20Marrow#20is#20known.#1B#5B8m")] = pdf.pages[0].obj


FORGERIES: Mapping[str, Callable[[bytes], bytes]] = {
    "names of certificate and signature": lambda pdf: reissued(pdf, signer(NAMES[0]), name=HOSTILE),
    "record and list": lambda pdf: reissued(
        pdf, signer(NAMES[1]), record=_recorded, manifest=_listed
    ),
    "kind of an entry": lambda pdf: reissued(pdf, signer(), record=_of_a_kind),
    "attachments": lambda pdf: reissued(pdf, signer(), edit=_attached),
    "second signature": lambda pdf: signed(
        pdf, signer(NAMES[1]), "Second-signature", reason=RECEIVED, name=NAMES[0]
    ),
    "an addition to objects of odd names": lambda pdf: added(
        reissued(pdf, signer(), edit=_oddly_named), annotated
    ),
}


@pytest.fixture(scope="module")
def sealed_by_marrow(tmp_path_factory: pytest.TempPathFactory, shop: Signer) -> bytes:
    """A look-over whose seal holds, by somebody who gave that name."""
    out = tmp_path_factory.mktemp("marrow") / "report.pdf"
    write_report(snapshot(seal={"name": HOSTILE}), out, "condition", shop, today=TODAY)
    return out.read_bytes()


def written(file: Path, data: Path, *, terminal: bool = False) -> bytes:
    """All that `bradawl verify` writes: to files, or a Python of its own to a terminal."""
    environment = {**os.environ, "BRADAWL_DATA": str(data), "PYTHONIOENCODING": "utf-8"}
    if not terminal:
        done = forked.run("verify", str(file), env=environment)
        return (done.stdout + done.stderr).encode()
    command = [sys.executable, "-m", "bradawl.cli", "verify", str(file)]
    ours, theirs = pty.openpty()
    running = subprocess.Popen(command, env=environment, stdout=theirs, stderr=theirs)
    os.close(theirs)
    out = b""
    try:
        while part := os.read(ours, 65_536):
            out += part
    except OSError:  # Linux: nobody holds the other end any more
        pass
    os.close(ours)
    running.wait(timeout=120)
    return out.replace(b"\r\n", b"\n")  # the terminal's own way to end a line


def unescaped(out: bytes) -> list[str]:
    """What in these bytes is more than text in lines of the program's own."""
    text = out.decode()
    found = [
        f"U+{ord(character):04X}"
        for character in text
        if character != "\n" and unicodedata.category(character) in ("Cc", "Cf", "Zl", "Zp", "Cs")
    ]
    return found + re.findall(r"[^\n]*Marrow[^\n]*", re.sub("“[^”\n]*”", "", text))


@pytest.mark.parametrize("forged", FORGERIES)
def test_nothing_of_a_file_steers_the_terminal_or_writes_a_line_of_its_own(
    forged: str, sealed_by_marrow: bytes, tmp_path: Path
) -> None:
    file = tmp_path / "report.pdf"
    file.write_bytes(FORGERIES[forged](sealed_by_marrow))
    out = written(file, tmp_path / "data", terminal=forged == "record and list")
    assert unescaped(out) == []
    lines = out.decode().splitlines()
    assert lines[0].startswith("Do not rely on this file"), lines
    assert not [line for line in lines[1:] if line.startswith("Genuine")]
    assert all(line.rstrip()[-1:] in ".:" for line in lines), lines


def test_names_and_texts_are_shown_in_quotation_marks(
    sealed_by_marrow: bytes, tmp_path: Path
) -> None:
    """So the tests above look at what is there."""
    file = tmp_path / "report.pdf"
    file.write_bytes(FORGERIES["record and list"](sealed_by_marrow))
    said = written(file, tmp_path / "data").decode()
    shown = re.findall("“(Marrow[^”\n]*)”", said)
    assert len(shown) >= 6, said
    assert all(one.isprintable() for one in shown)


def test_nor_does_a_name_of_a_file(tmp_path: Path) -> None:
    name = HOSTILE.replace("\x00", "")
    out = written(tmp_path / name, tmp_path / "data")
    assert b"could not be read" in out
    text = out.decode()
    assert not [one for one in text[:-1] if unicodedata.category(one) in ("Cc", "Cf", "Zl", "Zp")]
