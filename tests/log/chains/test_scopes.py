"""The list of visits: pages of it are slices of the whole, named ones are found, all counted."""

from __future__ import annotations

from bradawl.log.event_log import Log
from tests.log.server import DESK


def test_pages_of_the_list_are_slices_of_the_whole(log: Log) -> None:
    assert log.visits() == []
    assert log.count_visits() == 0
    names = [f"{number:032x}" for number in range(7)]
    for name in (*names, names[2]):  # the third is changed once more
        log.append(DESK, name, [("about/place", "here")])
    whole = log.visits()
    assert [line.visit for line in whole] == [names[2], *(n for n in names[::-1] if n != names[2])]
    assert whole[0].events == 2
    assert [log.visits(first, 3) for first in (0, 3, 6, 9)] == [
        whole[:3], whole[3:6], whole[6:], []
    ]  # fmt: skip
    assert log.visits(2) == whole[2:]
    assert log.count_visits() == 7


def test_named_visits_are_those_that_there_are(log: Log) -> None:
    for name in ("a" * 32, "b" * 32, "c" * 32):
        log.append(DESK, name, [("about/place", "here")])
    assert log.visits_named([]) == []
    found = log.visits_named(["a" * 32, "d" * 32, "c" * 32])
    assert [line.visit for line in found] == ["c" * 32, "a" * 32]
