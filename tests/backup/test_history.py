"""Which backups there are, when the next is due and which go, told by the files alone."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.backup.history import EVERY, RETRY_LAST, History, Proof, warnings

NOW = datetime(2026, 11, 29, 12, 0, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


def run_at(history: History, made: datetime, *faults: str, size: int = 10) -> Path:
    """A backup that was made then and brought back but for some faults."""
    archive = history.name_at(made)
    history.folder.mkdir(exist_ok=True)
    archive.write_bytes(bytes(size))
    proof = Proof(made.isoformat(), (made + timedelta(minutes=2)).isoformat(), 4, 1, faults)
    history.note_proof(archive, proof)
    return archive


@pytest.fixture
def history(tmp_path: Path) -> History:
    return History(tmp_path / "backups", 3)


def names(history: History) -> list[str]:
    """Every file of the folder that belongs to a backup."""
    return sorted(path.name for path in history.folder.glob("bradawl-*"))


def test_the_first_is_due_at_once_and_the_next_a_day_after_the_last(history: History) -> None:
    assert history.due(NOW) == NOW
    run_at(history, NOW - 5 * HOUR)
    assert history.due(NOW) == NOW - 5 * HOUR + EVERY
    # as somebody else would say who was started just now
    assert History(history.folder, 3).due(NOW) == NOW - 5 * HOUR + EVERY


def test_two_of_the_same_second_have_names_of_their_own(history: History) -> None:
    first = history.name_at(NOW)
    history.folder.mkdir(parents=True, exist_ok=True)
    first.write_bytes(b"whole")
    assert history.name_at(NOW) == history.name_at(NOW + timedelta(seconds=1)) != first


def test_what_was_not_brought_back_does_not_count(history: History) -> None:
    run_at(history, NOW - 3 * DAY)
    history.name_at(NOW - HOUR).write_bytes(b"cut off")
    assert history.due(NOW) <= NOW


def test_a_failed_one_is_tried_again_soon_then_less_often_and_never_given_up(
    history: History,
) -> None:
    waits = []
    for _ in range(12):
        history.note_failure(NOW, "The disk is full.")
        waits.append(history.due(NOW) - NOW)
    assert waits[0] <= timedelta(minutes=15)
    assert waits == sorted(waits)
    assert waits[-1] == RETRY_LAST
    failure = history.failure()
    assert failure is not None
    assert (failure.why, failure.times) == ("The disk is full.", 12)
    run_at(history, NOW)
    assert history.failure() is None


def test_a_clock_that_is_set_back_leaves_no_days_without_a_backup(history: History) -> None:
    run_at(history, NOW + 300 * DAY)
    history.note_failure(NOW + 300 * DAY, "x")
    assert history.due(NOW) == NOW


def test_the_newest_stay_and_older_ones_go(history: History) -> None:
    made = [run_at(history, NOW - number * DAY) for number in range(6)]
    gone = history.prune()
    assert sorted(gone) == sorted(made[3:])
    assert names(history) == sorted(
        name for path in made[:3] for name in (path.name, path.with_suffix(".json").name)
    )


def test_nothing_goes_for_one_that_was_not_brought_back(history: History) -> None:
    made = [run_at(history, NOW - number * DAY) for number in range(1, 4)]
    fresh = history.name_at(NOW)
    fresh.write_bytes(b"written, and not proven")
    assert history.prune() == []
    assert {run.archive for run in history.runs()} == {fresh, *made}


def test_damage_does_not_push_out_the_last_whole_one(history: History) -> None:
    whole = run_at(history, NOW - 9 * DAY)
    damaged = [run_at(history, NOW - number * DAY, "A photo is gone.") for number in range(6)]
    history.prune()
    assert {run.archive for run in history.runs()} == {whole, *damaged[:3]}


@given(
    runs=st.lists(st.sampled_from(["whole", "damaged", "unproven"]), max_size=12),
    kept=st.integers(1, 4),
)
def test_whatever_happened_the_newest_proven_and_the_newest_whole_one_stay(
    runs: list[str], kept: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    history = History(tmp_path_factory.mktemp("history") / "backups", kept)
    history.folder.mkdir()
    for age, kind in enumerate(runs):
        if kind == "unproven":
            history.name_at(NOW - age * DAY).write_bytes(bytes(10))
        else:
            run_at(history, NOW - age * DAY, *(["gone"] if kind == "damaged" else []))
    before = history.runs()
    history.prune()
    history.make_room(10_000)
    history.make_room(10)
    after = history.runs()
    for wanted in (
        next((run for run in before if run.proof), None),
        next((run for run in before if run.whole), None),
    ):
        assert wanted is None or wanted in after
    assert len(after) <= kept + 2


def test_room_is_made_of_the_oldest_and_of_none_where_that_is_not_enough(history: History) -> None:
    made = [run_at(history, NOW - number * DAY, size=1000) for number in range(3)]
    assert history.make_room(5000) == []
    assert history.make_room(1500) == [made[2], made[1]]
    assert [run.archive for run in history.runs()] == [made[0]]


def test_files_that_are_damaged_or_somebody_elses_are_passed_over(history: History) -> None:
    archive = run_at(history, NOW - DAY)
    for name, content in {
        "bradawl-2026-13-41-996199.tar": b"no such day",
        "holiday.jpg": b"x",
        "failed.json": b"[]",
    }.items():
        (history.folder / name).write_bytes(content)
    assert [run.archive for run in history.runs()] == [archive]
    archive.with_suffix(".json").write_bytes(b'{"made": 1')
    assert history.runs()[0].proof is None
    assert history.failure() is None
    history.prune()
    assert (history.folder / "holiday.jpg").exists()


def test_only_one_at_a_time_makes_backups(history: History) -> None:
    with history.turn() as first, History(history.folder, 3).turn() as second:
        assert (first, second) == (True, False)
    with history.turn() as again:
        assert again


def test_somebody_is_warned_when_backups_fail_get_old_or_lack_something(history: History) -> None:
    assert warnings(history, NOW) == []
    run_at(history, NOW - 2 * DAY)
    assert warnings(history, NOW) == []
    assert warnings(history, NOW + 2 * DAY) == ["The last tested backup is 3 days old."]
    run_at(history, NOW, "Photo 1 is gone.", "Photo 2 is gone.")
    assert "2 things were damaged or missing" in warnings(history, NOW)[0]
    history.note_failure(NOW, "The disk is full.")
    assert warnings(history, NOW)[0] == "The last backup failed: The disk is full."
