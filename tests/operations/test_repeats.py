"""Who knocks a thousand times fills two lines; who asks about one finds it."""

from __future__ import annotations

import logging
import time
from pathlib import Path

import pytest

from bradawl.operations import note
from bradawl.operations.context import Operation, working_on
from bradawl.operations.notes import Entry
from bradawl.operations.repeats import DISTINCT, NAMED, TRACEBACKS, Repeats
from tests.operations.lines import json_lines, logging_to

SAME = ("address", "status", "path")


def refuse(logger: logging.Logger, address: str, path: str = "/", status: int = 421) -> str:
    with working_on(Operation(address=address)) as operation:
        note(logger, "refused", level=logging.WARNING, same=SAME, status=status, path=path)
    return operation.id


def test_what_repeats_is_written_once_and_summed_up_with_its_last_ids(tmp_path: Path) -> None:
    with logging_to(tmp_path) as logger:
        ids = [refuse(logger, "192.168.1.66") for _ in range(1_000)]
    first, summed_up = json_lines(tmp_path)
    assert first["request_id"] == ids[0]
    assert "repeated" not in first
    assert summed_up["message"] == "Refused again"
    assert (summed_up["event"], summed_up["level"]) == ("refused", "warning")
    assert (summed_up["repeated"], summed_up["status"]) == (999, 421)
    assert summed_up["address"] == "192.168.1.66"
    assert summed_up["within_s"] >= 0
    assert "request_id" not in summed_up
    assert summed_up["requests"].split() == ids[-NAMED:]


def test_others_and_other_refusals_are_written_beside(tmp_path: Path) -> None:
    with logging_to(tmp_path) as logger:
        for _ in range(50):
            refuse(logger, "192.168.1.66")
        refuse(logger, "192.168.1.7")
        refuse(logger, "192.168.1.66", path="/desk/")
        refuse(logger, "192.168.1.66", status=404)
        note(logger, "access", "Signed in", who="Ada")
    lines = json_lines(tmp_path)
    assert [line.get("repeated") for line in lines] == [None] * 5 + [49]


def test_ever_new_paths_and_addresses_fill_no_disk_and_hide_no_act(tmp_path: Path) -> None:
    with logging_to(tmp_path) as logger:
        for number in range(5_000):
            refuse(logger, f"10.0.{number // 250}.{number % 250}", path=f"/{number}")
        note(logger, "access", "Signed in", who="Ada")
        for number in range(5_000):
            refuse(logger, "192.168.1.66", path=f"/{number}")
    lines = json_lines(tmp_path)
    assert len(lines) < 3.2 * DISTINCT
    counted = sum(line.get("repeated", 0) for line in lines)
    written = sum("repeated" not in line for line in lines if line["event"] == "refused")
    assert counted + written == 10_000
    assert [line["who"] for line in lines if line["event"] == "access"] == ["Ada"]


def test_what_a_summary_says_holds_of_all_that_it_counts(tmp_path: Path) -> None:
    with logging_to(tmp_path) as logger:
        for person in ("Ada", "Bo", "Ada"):
            note(logger, "refused", same=("status",), status=403, who=person, method="GET")
    summed_up = json_lines(tmp_path)[-1]
    assert summed_up["method"] == "GET"
    assert "who" not in summed_up


def fail(logger: logging.Logger) -> None:
    try:
        raise OSError("the disk is gone")
    except OSError as error:
        note(logger, "failed", level=logging.ERROR, error=error)


def test_an_error_that_repeats_is_written_some_times_and_then_counted(tmp_path: Path) -> None:
    with logging_to(tmp_path) as logger:
        for _ in range(100):
            fail(logger)
    lines = json_lines(tmp_path)
    assert len(lines) == TRACEBACKS + 1
    assert all("the disk is gone" in line["traceback"] for line in lines[:-1])
    assert lines[-1]["repeated"] == 100 - TRACEBACKS


def test_a_library_that_repeats_itself_is_counted(tmp_path: Path) -> None:
    with logging_to(tmp_path):
        for number in range(100):
            logging.getLogger("some.library").warning("Invalid request %d", number)
    first, summed_up = json_lines(tmp_path)
    assert first["message"] == "Invalid request 0"
    assert summed_up["repeated"] == 99


class Kept(logging.Handler):
    def __init__(self) -> None:
        super().__init__()
        self.records: list[logging.LogRecord] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.records.append(record)


def record() -> logging.LogRecord:
    made = logging.LogRecord("bradawl.x", logging.INFO, "", 0, "Refused", None, None)
    made.entry = Entry("refused", {"status": 404}, None, ("status",))
    return made


@pytest.mark.parametrize("more", [False, True])
def test_the_number_is_written_when_the_time_is_over_without_waiting_for_more(more: bool) -> None:
    kept = Kept()
    repeats = Repeats([kept], window_s=0.2)
    for _ in range(3):
        repeats.handle(record())
    limit = time.monotonic() + 120
    while len(kept.records) < 2:
        assert time.monotonic() < limit
        time.sleep(0.01)
        if more and len(kept.records) < 2:
            repeats.handle(record())
    entry = kept.records[1].entry  # type: ignore[attr-defined]
    assert entry.fields["repeated"] >= 2
    repeats.close()
