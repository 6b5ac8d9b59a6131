"""The queue that makes summaries goes on whatever happens to one of them."""

from __future__ import annotations

import threading

from bradawl.desk.model.visits.summary_queue import SummaryQueue


def test_a_database_that_fails_once_leaves_no_visit_unmade_for_ever() -> None:
    made = threading.Event()
    failures = iter([OSError("disk"), None])

    def make(_visit: str, _key: object) -> None:
        failure = next(failures)
        if failure is not None:
            raise failure
        made.set()

    queue = SummaryQueue(make, lambda _visit, _key: not made.is_set(), patience_s=60)
    key = ("one", "two")
    queue.ask_for({"a": key}, ahead=False)  # type: ignore[dict-item]
    queue.ask_for({"b": key}, ahead=False)  # type: ignore[dict-item]
    assert made.wait(60)
