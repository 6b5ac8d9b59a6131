"""What a command prints is read and does nothing else, whatever a record or a file holds."""

from __future__ import annotations

import io
import sys
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl import cli
from bradawl.common.terminal import Harmless, draw, harmless

#: ECMA-48: controls of C0 and C1, by which a terminal is steered; those that end a line are none.
STEERING = {chr(point) for point in (*range(0x20), *range(0x7F, 0xA0))} - {"\n"}


@given(st.text(st.characters(codec=None), max_size=60))
def test_nothing_that_is_printed_steers_the_terminal(text: str) -> None:
    out = io.TextIOWrapper(io.BytesIO(), "utf-8", newline="")
    stream = Harmless(out)
    print("Name:", text, file=stream)  # type: ignore[call-overload]
    out.flush()
    printed = out.buffer.getvalue().decode()  # type: ignore[attr-defined]
    assert not STEERING & set(printed)
    assert not [one for one in printed if unicodedata.category(one) == "Cf"]
    assert printed.startswith("Name: ")


def test_a_terminal_without_the_letters_fails_no_command() -> None:
    out = io.TextIOWrapper(io.BytesIO(), "ascii")
    print("Grüße, 車 – ok", file=Harmless(out))  # type: ignore[call-overload]
    out.flush()
    assert out.buffer.getvalue() == b"Gr??e, ? ? ok\n"  # type: ignore[attr-defined]


def test_every_command_prints_there_and_the_streams_come_back(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    before = sys.stdout, sys.stderr

    def forging(argv: object) -> int:
        print("whole\x1b[8m\u202e")
        print("\x9b2J", file=sys.stderr)
        return 0

    monkeypatch.setattr(cli, "_run", forging)
    assert cli.main([]) == 0
    assert (sys.stdout, sys.stderr) == before
    printed = capsys.readouterr()
    assert "\x1b" not in printed.out
    assert "\u202e" not in printed.out
    assert "\x9b" not in printed.err


def test_what_the_program_draws_itself_keeps_its_colours(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with harmless():
        draw("\x1b[97;40m█\x1b[0m")
    assert capsys.readouterr().out == "\x1b[97;40m█\x1b[0m\n"
