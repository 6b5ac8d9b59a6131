"""A phone that plays a scenario: its events, chained and stamped as the app would make them."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from bradawl.common.device_keys import DeviceKey, encoded
from bradawl.demo import scenario as script
from bradawl.demo.scenario import Finding, Scenario
from bradawl.inspection.seals import digest_of, leaves, signed_text
from bradawl.judge import canonical, event_id, fold, photos_of, photos_text
from bradawl.log.format.batches import head_text
from bradawl.log.format.value_text import commit_to

if TYPE_CHECKING:
    from bradawl.judge.values.types import Event


PHOTO_PX = (800, 600)  # width and height of every photo of the demo


def identifier(kind: str, key: str) -> str:
    """A fixed id of 32 hex characters, so that loading the demo again changes nothing."""
    return _sha256(f"bradawl demo, {kind}: {key}")[:32]  # hashed: not shown


@dataclass
class Phone:
    """One device's log. `photos` holds the pictures it took, by their SHA-256.

    `events` are whole: hashed fields, value, its text and salt.
    """

    key: str
    name: str
    events: list[Event] = field(default_factory=list)
    photos: dict[str, bytes] = field(default_factory=dict)
    _last_at: str = ""
    _head: str = ""
    _standing: dict[tuple[str, str], str] = field(default_factory=dict)

    @cached_property
    def signer(self) -> DeviceKey:
        return DeviceKey.derived(f"bradawl demo, phone: {self.key}".encode())  # hashed: not shown

    @property
    def device(self) -> str:
        return self.signer.device

    @property
    def head(self) -> str:
        """The hash of the last event, "" when there is none."""
        return self._head

    def put(self, visit: str, path: str, value: Any, when: datetime) -> None:
        """Record one fact at (or, when the clock stands behind, just after) a moment."""
        ms = round(when.timestamp() * 1000)
        at = f"{ms:015d}-00000-{self.device}"
        if at <= self._last_at:
            counter = int(self._last_at[16:21]) + 1
            at = f"{self._last_at[:15]}-{counter:05d}-{self.device}"
        scope, seq = f"inspection/{visit}", len(self.events) + 1
        # the same every time, so that loading the demo again changes nothing: nothing is secret
        salt = encoded(hashlib.sha256(f"{self.key} {seq}".encode()).digest()[:16])
        text = canonical(value)
        seen = self._standing.get((scope, path))
        event = {
            "device": self.device,
            "seq": seq,
            "prev": self._head,
            "at": at,
            "scope": scope,
            "put": path,
            "commit": commit_to(salt, text),
            "over": [seen] if seen else [],
        }
        self._head = _sha256(canonical(event))
        kept = cast("Event", {**event, "value": value, "text": text, "salt": salt})
        self.events.append(kept)
        self._last_at, self._standing[scope, path] = at, event_id(kept)

    def batch(self) -> dict[str, Any]:
        """All events as a body of `sync/push`."""
        return {
            "protocol": 2,
            "device": self.device,
            "key": self.signer.public,
            "from_seq": 1,
            "prev": "",
            "events": [
                {
                    **{name: event[name] for name in ("at", "over", "put", "salt", "scope")},
                    "value": event["text"],
                }
                for event in self.events
            ],
            "head": self._head,
            "signature": self.signer.sign(head_text(self.device, len(self.events), self._head)),
        }


def play(
    scenarios: list[Scenario], bundle: Mapping[str, Any], app_version: str, pictures: Path
) -> list[Phone]:
    """The phones of all scenarios after everything was recorded, the buyer's own first.

    `bundle` is the checklist, `pictures` the folder of the photos. Raises FileNotFoundError.
    """
    player = _Player(bundle, app_version, pictures)
    for scenario in scenarios:
        player.record_visit(scenario)
    for scenario in scenarios:
        player.record_second(scenario)
    # in order of time: a phone's stamps only rise
    for scenario in sorted(
        scenarios, key=lambda s: [finding.day or "" for finding in s.amendments]
    ):
        player.record_amendments(scenario)
    return list(player.phones.values())


def visit_of(scenario: Scenario) -> str:
    return identifier("visit", scenario.key)


class _Player:
    """Writes scenarios into `phones`, which are made when a scenario first names them."""

    def __init__(self, bundle: Mapping[str, Any], app_version: str, pictures: Path) -> None:
        self.phones: dict[str, Phone] = {}
        self._bundle_hash = bundle["hash"]
        self._app_version = app_version
        self._pictures = pictures
        self._quantities = {
            (item["id"], reading["id"]): reading["quantity"]
            for item in bundle["items"]
            for reading in item.get("readings") or []
        }

    def _phone(self, wanted: script.Phone) -> Phone:
        return self.phones.setdefault(wanted.key, Phone(wanted.key, wanted.name))

    def record_visit(self, scenario: Scenario) -> None:
        """Everything that the buyer records on the day, and the seal."""
        phone, visit = self._phone(scenario.phone), visit_of(scenario)
        start = scenario.moment(scenario.started.time)
        phone.put(visit, "about/bundle", self._bundle_hash, start)
        phone.put(visit, "about/started", scenario.started.model_dump(), start)
        phone.put(visit, "about/app", self._app_version, start)
        phone.put(visit, "car/id", identifier("car", scenario.key), start)
        when = start
        for group in ("about", "car", "brief"):
            for name, written in getattr(scenario, group).items():
                when += timedelta(seconds=4)
                path = f"{group}/{name}"
                phone.put(visit, path, script.fact(path, written), when)
        for name, written in scenario.figures.items():
            phone.put(visit, f"car/{name}", script.figure(written), when)
        last = self._record(phone, scenario, scenario.findings, when)
        if scenario.seal:
            _seal(phone, visit, scenario, scenario.seal, last)

    def record_second(self, scenario: Scenario) -> None:
        """What a second person records, who begins five minutes later."""
        if scenario.second:
            begin = scenario.moment(scenario.started.time) + timedelta(minutes=5)
            phone = self._phone(scenario.second.phone)
            self._record(phone, scenario, scenario.second.findings, begin)

    def record_amendments(self, scenario: Scenario) -> None:
        begin = scenario.moment(scenario.started.time)
        self._record(self._phone(scenario.phone), scenario, scenario.amendments, begin)

    def _record(
        self, phone: Phone, scenario: Scenario, findings: list[Finding], begin: datetime
    ) -> datetime:
        """Record findings one after another; when the last was done."""
        end = begin
        for finding, when in zip(findings, script.moments(scenario, findings, begin), strict=True):
            puts = [*self._answers(finding), *self._photos(phone, scenario, finding, when)]
            for step, (path, value) in enumerate(puts):
                phone.put(visit_of(scenario), path, value, when + timedelta(seconds=2 * step))
            end = when + timedelta(seconds=2 * len(puts))
        return end

    def _answers(self, finding: Finding) -> Iterator[tuple[str, Any]]:
        """The paths and values of an item's readings, choice, texts and grade."""
        base = f"items/{finding.item}"
        for name, written in finding.readings.items():
            reading, _, place = name.partition("/")
            quantity = self._quantities.get((finding.item, reading), "")
            path = f"{base}/readings/{reading}/{place or 'one'}"
            yield path, script.reading(written, quantity)
        for kind in ("choice", "text", "note"):
            if getattr(finding, kind) is not None:
                yield f"{base}/{kind}", getattr(finding, kind)
        if finding.grade is not None:
            yield f"{base}/grade", {"grade": finding.grade}
            if finding.why:
                yield f"{base}/why", finding.why

    def _photos(
        self, phone: Phone, scenario: Scenario, finding: Finding, when: datetime
    ) -> Iterator[tuple[str, Any]]:
        """The paths and values of an item's photos, which the phone keeps."""
        for number, photo in enumerate(finding.photos):
            data = (self._pictures / f"{scenario.key}-{photo.picture}.jpg").read_bytes()
            name = hashlib.sha256(data).hexdigest()
            phone.photos[name] = data
            taken = when + timedelta(seconds=20 * number)
            yield f"items/{finding.item}/photos/{name}", _photo(photo, data, taken)


def _photo(photo: script.Photo, data: bytes, when: datetime) -> dict[str, Any]:
    value = {
        "caption": photo.caption,
        "taken": when.isoformat(timespec="seconds"),
        "width": PHOTO_PX[0],
        "height": PHOTO_PX[1],
        "bytes": len(data),
        "type": "image/jpeg",
    }
    return value | ({"place": photo.place} if photo.place else {})


def _seal(
    phone: Phone, visit: str, scenario: Scenario, signature: script.Signature, last: datetime
) -> None:
    scope = f"inspection/{visit}"
    events = [event for event in phone.events if event["scope"] == scope]
    cells = fold(events)
    when = max(scenario.moment(signature.time), last)
    value = {
        "name": signature.name,
        "at": scenario.started.model_dump() | {"time": when.strftime("%H:%M")},
        "strokes": [[int(number) for number in stroke.split()] for stroke in signature.strokes],
        "box": [int(side) for side in signature.box],
        "declaration": {"message": "seal-declaration", "language": "en-US"},
        "through": {phone.device: len(phone.events)},
        "leaves": digest_of(leaves(events)),
        "photos": {
            "count": len(photos_of(cells)),
            "hash": _sha256(photos_text(cells)),
        },
        "inputs": {"checklist": cells["about/bundle"]["value"]},
        "receipt": None,  # it was out of reach of any server
        "key": phone.signer.public,
    }
    value["signature"] = phone.signer.sign(signed_text(scope, phone.device, value))
    phone.put(visit, "seal/1", value, when)


def _sha256(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()
