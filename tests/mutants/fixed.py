"""`python -m tests.mutants.fixed`: what protects the record, taken away piece by piece.

Each must be noticed by the tests that it names; ends with 1 and the names of those that are not.
"""

from __future__ import annotations

import sys
from pathlib import Path

from tests.mutants.running import Trial, load_libraries, outcomes

SERVER = Path(__file__).parents[2] / "server" / "bradawl"
_DURABLE = "tests/log/integrity/test_durability.py"
_CHAINS = "tests/log/chains/test_chains.py"
_PHOTO = f"{_DURABLE}::test_a_photos_bytes_then_its_name_then_its_row"
LIMIT_S = 300
#: What is taken away: file, text, what stands there instead, test.
FIXED: dict[str, tuple[str, list[tuple[str, str]], str]] = {
    "a photo's bytes are fsynced": (
        "log/photos/storage.py",
        [("        os.fsync(file.fileno())\n", "")],
        _PHOTO,
    ),
    "a photo's folder is fsynced": (
        "log/photos/storage.py",
        [("for sha256 in hashes}:\n            sync_folder(folder)", "for sha256 in hashes}: ...")],
        _PHOTO,
    ),
    "the photo's file comes before its row": (
        "log/photos/photos.py",
        [
            ("        arrival.keep(self.store)\n", ""),
            ("self._rows.add(row)\n", "self._rows.add(row)\n        arrival.keep(self.store)\n"),
        ],
        _PHOTO,
    ),
    "SQLite waits for the disk": (
        "database/connection.py",
        [('"PRAGMA synchronous=FULL"', '"PRAGMA synchronous=NORMAL"')],
        "tests/database/test_database.py",
    ),
    "stamps rise across batches": (
        "log/sync/intake.py",
        [("if new.events[0].at <= last_at:", "if False:")],
        f"{_CHAINS}::test_stamps_rise_across_batches_too",
    ),
    "a batch continues what is held": (
        "log/sync/intake.py",
        [("if new.prev != head:", "if False:")],
        "tests/log/sync/test_sync.py::test_another_history_under_the_same_numbers_is_a_fork",
    ),
    "a batch is signed by its device": (
        "log/format/batches.py",
        [("    require_signature(batch)\n    return", "    return")],
        f"{_CHAINS}::test_nobody_continues_a_chain_without_its_key",
    ),
    "events add up to the head": (
        "log/format/batches.py",
        [("if batch.head != envelope.head:", "if False:")],
        f"{_CHAINS}::test_a_batch_that_was_cut_in_transit_is_told_by_its_head",
    ),
    "no stamp far ahead is believed": (
        "log/format/clock.py",
        [("received_ms + AHEAD_MS", "received_ms + 99 * AHEAD_MS")],
        "tests/log/chains/test_orders.py::test_events_stamped_far_ahead_rank_by_when_they_came",
    ),
}


def trial_of(name: str) -> Trial:
    """Raises AssertionError when the text that is to be taken away is not there once."""
    file, changes, test = FIXED[name]
    path = SERVER / file
    source = path.read_text(encoding="utf-8")
    for text, other in changes:
        assert source.count(text) == 1, f"{file} holds {source.count(text)} times: {text}"
        source = source.replace(text, other)
    return Trial(name, path, source, [test])


def main() -> int:
    load_libraries()
    trials = [trial_of(name) for name in FIXED]
    unnoticed = [
        f"{outcome}: {trial.name}"
        for trial, outcome in outcomes(trials, jobs=2, limit_s=LIMIT_S)
        if outcome != "killed"
    ]
    print("\n".join(unnoticed) or f"{len(trials)} of {len(trials)} noticed")
    return 1 if unnoticed else 0


if __name__ == "__main__":
    sys.exit(main())
