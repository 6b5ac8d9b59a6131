"""Many visits at once for benchmarks: real items of the real checklists, invented cars."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Iterator
from typing import Any

from bradawl.common.device_keys import DeviceKey
from bradawl.log.event_log import Log
from tests.bench.bench_judge import visit
from tests.log.writer import Writer

PER_DEVICE = 40  # visits in one batch of one device
EVENTS = 48
TEMPLATES = 25
START_MS = 1_764_052_703_000
MAKES = ("Avadavat", "Brolga", "Corvina", "Dunnock", "Egret", "Fieldfare")


def histories(bundle: dict[str, Any], chance: random.Random) -> list[list[tuple[str, Any]]]:
    """What is recorded in a visit, as (path, value), for visits to copy."""
    made = []
    for _ in range(TEMPLATES):
        events = visit(bundle["rules"], 22, 12, 1, chance)
        puts = [(event["put"], event["value"]) for event in events]
        puts.append(("about/asking_price", chance.randrange(800, 9000)))
        puts.append(("about/currency", "EUR"))
        made.append(puts[: EVENTS - 6])
    return made


def batches(
    bundle: dict[str, Any], first: int, count: int, chance: random.Random
) -> Iterator[dict[str, Any]]:
    """Visits `first` … `first + count - 1`, as their devices push them."""
    shapes = histories(bundle, chance)
    for start in range(first, first + count, PER_DEVICE):
        writer = Writer(DeviceKey.derived(f"bench {start}".encode()))
        for number in range(start, min(start + PER_DEVICE, first + count)):
            writer.scope = f"inspection/{visit_id(number)}"
            writer.ms = START_MS + number * 60_000
            for put, value in _puts(bundle, number, shapes[number % TEMPLATES]):
                writer.put(put, value)
                writer.ms -= 999  # a millisecond each
        yield writer.batch()


def fill(log: Log, bundle: dict[str, Any], first: int, count: int, chance: random.Random) -> int:
    """Push so many visits into a log; how many events they have."""
    stored = 0
    for batch in batches(bundle, first, count, chance):
        stored += log.push(batch, received_ms=START_MS).stored
    return stored


def visit_id(number: int) -> str:
    return hashlib.sha256(f"visit {number}".encode()).hexdigest()[:32]


def _puts(
    bundle: dict[str, Any], number: int, shape: list[tuple[str, Any]]
) -> Iterator[tuple[str, Any]]:
    yield "about/bundle", bundle["hash"]
    yield "about/started", {"date": "2026-11-25", "time": "09:20", "zone": "+01:00"}
    yield "car/make", MAKES[number % len(MAKES)]
    yield "car/model", f"{number // len(MAKES)}"
    yield "car/registration", f"BW {number}"
    yield "about/inspector", "Bench"
    yield from shape
