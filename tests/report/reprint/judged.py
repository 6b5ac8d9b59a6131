"""Visits that the real judge judged by the real checklist, as a log would give them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from bradawl.inspection.snapshot import Snapshot, gather
from bradawl.report.checking.verification import Verdict, verify
from bradawl.report.reprint import Reprint
from bradawl.report.signing.trust_store import KnownKey, TrustStore
from bradawl.serving.reports.plan_for_report import workplan_of
from tests.checkout import checklist_bundle
from tests.log.writer import Writer, read_as
from tests.report.visits import PHONE_KEY, START_MS, TODAY, VISIT, seal_of, sha256
from tests.writing import write

__all__ = ["again", "compared", "recorded", "visit_with"]

Puts = Sequence[tuple[str, Any]]
PEDAL = "brakes.pedal"


class Log:
    """What `gather` asks of a log."""

    def __init__(self, events: list[Any], photos: Mapping[str, bytes]) -> None:
        self.events, self.photos = events, photos

    def events_of(self, _visit: str) -> list[Any]:
        return self.events

    def orders(self) -> Any:
        erased = [event for event in self.events if event.get("erased")]
        rows = [{"commit": event["commit"], "at": event["at"]} for event in erased]
        return {"erase": rows, "fence": []}

    def held(self) -> Mapping[str, int]:
        return {PHONE_KEY.device: len(self.events)}

    def marked(self) -> Mapping[str, str]:
        return {}

    def bundle(self, _hash: str) -> Any:
        return checklist_bundle()

    def photo(self, name: str) -> bytes | None:
        return self.photos.get(name)


def recorded(*more: tuple[str, Any], photos: Sequence[bytes] = ()) -> list[tuple[str, Any]]:
    """A visit of some findings; photos of the pedal."""
    item = f"items/{PEDAL}"
    caption = {"taken": "2026-11-25T09:31:00+01:00", "width": 640, "height": 480, "bytes": 1,
               "type": "image/jpeg"}  # fmt: skip
    return [
        ("about/bundle", checklist_bundle()["hash"]),
        ("about/started", {"date": "2026-11-25", "time": "09:20", "zone": "-05:00"}),
        ("about/inspector", "Ada Fernack"),
        ("about/place", "Lindrach"),
        ("about/seller", "Rufus Galtrove"),
        ("about/distance_home", {"typed": "110", "unit": "mi"}),
        ("about/asking_price", 4_200),
        ("about/currency", "USD"),
        ("car/make", "Corvane"),
        ("car/model", "Tilda 16"),
        ("car/year", 1989),
        ("brief/uses", ["everyday"]),
        ("brief/value_good", 9_000),
        (f"{item}/grade", {"grade": "dangerous"}),
        (f"{item}/note", "It sinks under the foot."),
        *more,
        *(
            (f"{item}/photos/{sha256(photo)}", {**caption, "caption": f"Pedal {at}"})
            for at, photo in enumerate(photos)
        ),
    ]


def visit_with(
    puts: Puts,
    *,
    photos: Sequence[bytes] = (),
    amendments: Puts = (),
    sealed: bool = True,
    seal: Mapping[str, Any] | None = None,
    change: Callable[[list[Any]], None] = lambda events: None,
) -> Snapshot:
    """The snapshot of a visit; `change` may alter its events as a shop's orders do."""
    writer = Writer(PHONE_KEY, VISIT, START_MS)
    write(writer, puts)
    if sealed:
        covered = read_as(writer.events)
        writer.put("seal/1", seal_of(covered, **(seal or {})))
    write(writer, amendments)
    events: list[Any] = read_as(writer.events)
    change(events)
    log = Log(events, {sha256(photo): photo for photo in photos})
    return gather(log, VISIT, today=TODAY, current_bundle=checklist_bundle)


def again(**more: Any) -> Reprint:
    """Compares as somebody does who has the checklist of this version and nothing else."""

    def bundle(name: str) -> Any:
        return checklist_bundle() if name == checklist_bundle()["hash"] else None

    return Reprint(**{"bundle": bundle, "plan": workplan_of, **more})


def compared(pdf: bytes, known: Mapping[str, str] | None = None, **more: Any) -> Verdict:
    """The verdict of a checker who knows these keys (names by fingerprint) and compares pages."""
    keys = {digits: KnownKey(name, own=True) for digits, name in (known or {}).items()}
    return verify(pdf, TrustStore(keys), compare=again(**more))
