"""Many visits at once for benchmarks: real items of the real checklists, invented cars."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from bradawl.common.device_keys import DeviceKey
from bradawl.desk.model.visits.summary import Summary, summarize
from bradawl.log.event_log import Log
from bradawl.serving.app import _desk
from bradawl.serving.core import Bradawl
from tests.bench.bench_judge import visit
from tests.log.writer import Writer

PER_DEVICE = 40  # visits in one batch of one device
EVENTS = 48
TEMPLATES = 25
START_MS = 1_764_052_703_000
#: Of so many cars one was bought, and somebody works on it.
BOUGHT_EVERY = 100
WORKED_ON = "electrical.pigtails/mend"
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
    # a clock that lies ahead would have the server correct it
    received_ms = START_MS + (first + count) * 60_000
    for batch in batches(bundle, first, count, chance):
        stored += log.push(batch, received_ms=received_ms).stored
    return stored


def keep_summaries(core: Bradawl, count: int) -> None:
    """Keep the summaries of `count` visits, as if a server had judged them all.

    One visit of each shape is judged, and each that was bought; the others are copies under their
    own names. To judge 10,000 takes ten minutes.
    """
    desk = _desk(core)
    made: dict[int, Summary] = {}
    for _ in range(2):  # the second time with what the first has taught
        lines = {line.visit: line for line in core.log.visits()}
        keys = desk.summaries.keys(list(lines.values()))
        cache = core.summary_cache()
        for number in range(count):
            visit, is_owned = visit_id(number), number % BOUGHT_EVERY == 0
            shape = -number if is_owned else number % TEMPLATES
            if shape not in made:
                made[shape] = summarize(desk.snapshot(visit), "")
            one, car = made[shape], f"{MAKES[number % len(MAKES)]} {number // len(MAKES)}"
            named = {"visit": visit, "car": car}
            own = replace(
                one, **named, model=car, registration=f"BW {number}",
                last_at=lines[visit].last_at, candidate=replace(one.candidate, **named),
            )  # fmt: skip
            cache.keep(visit, keys[visit], own)
        cache.close()
        desk = _desk(core)


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
    if number % BOUGHT_EVERY == 0:
        yield from _owned(number)


def _owned(number: int) -> Iterator[tuple[str, Any]]:
    """A car that was bought: a finished job with its guess and receipts, and a part on its way."""
    state = ("bought", "in_shop", "waiting", "on_road", "for_sale")[number // BOUGHT_EVERY % 5]
    yield "life/state", {"state": "bought", "date": "2026-11-26", "price_cents": 300_000 + number}
    if state != "bought":
        yield "life/state", {"state": state, "date": "2026-11-27"}
    guess = {"parts": [20, 40, 90], "hours": ["0.5", "1", "2"]}
    done = {"guess": guess, "title": "", "items": [], "date": "2026-11-28", "by": "Bench"}
    yield f"work/{WORKED_ON}/done/{number:012x}", done
    told = {"jobs": [WORKED_ON], "date": "2026-11-28"}
    for n in range(3):
        entry = {"kind": "part", "amount_cents": 1_500 + n, "what": f"Plug {n}"}
        yield f"ledger/{number * 3 + n:012x}", told | entry
    yield f"ledger/{number:011x}f", told | {"kind": "labor_mine", "hours": "1.5"}
    yield f"parts/{number:012x}/what", f"Hose {number}"
    yield f"parts/{number:012x}/state", "ordered"
