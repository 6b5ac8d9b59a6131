"""A workshop to test the desk with: a real log in a temporary folder, an artificial checklist."""

from __future__ import annotations

import functools
import hashlib
import itertools
import pickle
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from fastapi import Request
from fastapi.testclient import TestClient
from starlette.types import ASGIApp

from bradawl.common import errors
from bradawl.database.connection import open_engine
from bradawl.desk.model.checklists.versions import ChecklistVersions
from bradawl.desk.model.visits.summaries import Summaries
from bradawl.desk.model.visits.summary_cache import SummaryCache, code_hash
from bradawl.desk.web.context import Desk
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot, gather
from bradawl.judge import canonical
from bradawl.log.event_log import Log
from bradawl.log.photos.storage import FolderPhotoStore
from tests.checkout import checklist_bundle
from tests.desk.one_app import site_of
from tests.fresh import migrated
from tests.judge.saying import unsaid
from tests.log.writer import Writer, id_of
from tests.writing import key_of, seal_value

TODAY = "2026-11-25"
VISIT = "a" * 32
KEYS = {key.device: key for key in (key_of("first"), key_of("second"))}
PHONE, OTHER_PHONE = KEYS
DESK = "d" * 32
NAMES = {PHONE: "First phone", OTHER_PHONE: "Second phone", DESK: "Desk"}


def item(item_id: str, title: str, **more: Any) -> dict[str, Any]:
    """An artificial item with the keys that every item of a bundle has."""
    area = item_id.partition(".")[0]
    return {
        "id": item_id,
        "area": area,
        "title": title,
        "look": "Look at it.",
        "how": "With a lamp.",
        "where": "somewhere",
        "stage": "underneath",
        "minutes": "1",
        "cautions": [],
        "applies": {},
        "answers": ["grade", "photo"],
        "readings": [],
        "choices": [],
        "limits": [],
        "covers": [],
        "weight": {},
        "drive": "no",
        "danger": 1,
        "needs": [],
        "implied_by": [],
        "remedies": [],
        "whys": [],
        **more,
    }


#: What is asked of a car once; invented, as the checklist is.
PROFILE: list[dict[str, Any]] = [
    {
        "id": "brakes",
        "title": "Brakes",
        "facts": [
            {
                "id": "circuits",
                "title": "Brake circuits",
                "choices": [{"id": "dual", "title": "Two"}, {"id": "single", "title": "One"}],
            },
            {
                "id": "pad_least",
                "title": "Least pad",
                "fills": ["brakes.pads/spec"],
                "reading": {
                    "quantity": "length",
                    "units": ["mm", "in"],
                    "at": ["front", "rear"],
                    "plausible": ["0", "10"],
                },
            },
            {"id": "firing_order", "title": "Firing order", "text": True},
        ],
    }
]


DRIVING: dict[str, Any] = {
    "legs": [{"unit": "km", "first": ["8"], "every": "80", "source": "law"}],
    "signs": [
        {
            "id": "hub", "title": "Heat", "how": "Feel near it.", "text": "Stop.", "area": "brakes",
            "choices": [{"id": "fine", "title": "Even"}, {"id": "bad", "title": "Hot"}],
            "when": ["stop"], "places": ["front-left"], "grade": "dangerous", "does": "haul",
            "cautions": [], "source": "law",
        },
    ],
    "watch": [
        {"id": "brakes", "title": "Pulls", "when": [{"item": ["brakes.pads"], "at_least": "minor"}],
         "kit": ["fluid"], "source": "law"},
    ],
    "kit": [{"id": "fluid", "title": "Fluid", "reason": "It leaks.", "source": "law"}],
}  # fmt: skip
WEEK: list[dict[str, Any]] = [
    {"id": "brakes", "title": "Brakes", "text": "Look.", "items": ["brakes"], "upkeep": ["belt"],
     "cautions": ["jacking"], "source": "law"},
]  # fmt: skip
CALLS = [
    {
        "id": "mice",
        "title": "Mice",
        "ask": "Have mice ever been in it?",
        "many": False,
        "answers": [
            {"id": "none", "title": "Never", "claim": "no-mice", "against": False},
            {"id": "yes", "title": "Yes", "against": True},
        ],
        "source": "law",
    }
]
LOAD = [
    {
        "id": "extinguisher",
        "title": "Fire extinguisher",
        "why": "Fuel makes fires.",
        "always": True,
        "claims": [],
        "calls": [],
        "haul": [],
        "tools": [],
        "source": "law",
    }
]
LOOKUPS = [
    {
        "id": "lien",
        "title": "Lien record",
        "ask": "Ask who holds a lien.",
        "where": "The title office.",
        "items": ["trim.seats"],
        "stops": True,
        "source": "law",
    }
]


def bundle() -> dict[str, Any]:
    """A small checklist, each caller's own."""
    made: dict[str, Any] = pickle.loads(_bundle())
    return made


@functools.cache
def _bundle() -> bytes:
    """A small artificial checklist. Its figures are invented for the tests."""
    items = [
        item(
            "brakes.pads",
            "Pad thickness",
            drive="essential",
            danger=5,
            cautions=["jacking"],
            readings=[
                {
                    "id": "pad",
                    "title": "Pad thickness",
                    "quantity": "length",
                    "units": ["mm"],
                    "at": ["front-left", "front-right"],
                    "plausible": ["0", "30"],
                }
            ],
            limits=[
                {"of": "pad", "below": "1", "unit": "mm", "grade": "dangerous", "source": "law"},
                {"of": "pad", "below": "3", "unit": "mm", "grade": "minor", "source": "practice"},
            ],
            remedies=[
                {
                    "id": "pads",
                    "title": "Replace the pads",
                    "kind": "part",
                    "parts": [20, 40, 90],
                    "hours": ["0.5", "1", "2"],
                    "for": ["minor", "major", "dangerous"],
                    "need": True,
                }
            ],
        ),
        item("brakes.hoses", "Brake hoses", drive="essential", danger=5),
        item(
            "electrical.pigtails",
            "Sensor plugs",
            answers=["grade", "photo", "wires"],
            remedies=[
                {
                    "id": "mend",
                    "title": "New plug and crimps",
                    "kind": "mend",
                    "parts": [10, 15, 30],
                    "hours": ["0.5", "1", "2"],
                    "for": ["minor", "major", "dangerous"],
                    "need": True,
                },
                {
                    "id": "harness",
                    "title": "Whole engine harness",
                    "kind": "assembly",
                    "parts": [300, 400, 600],
                    "hours": ["4", "6", "10"],
                    "for": ["major", "dangerous"],
                    "need": True,
                },
            ],
        ),
        item("rust.sill", "Sills", danger=4),
        item("trim.seats", "Seats"),
    ]
    areas = [
        {"id": "rust", "title": "Rust", "report_order": 1},
        {"id": "brakes", "title": "Brakes", "report_order": 4},
        {"id": "electrical", "title": "Electrical", "report_order": 10},
        {"id": "trim", "title": "Trim", "report_order": 10},
    ]
    body: dict[str, Any] = {
        "format": 1,
        "areas": areas,
        "stages": [{"id": "underneath", "title": "Under the car"}],
        "items": items,
        "sources": {
            "law": {"title": "An invented law", "section": "4 (b)", "status": "memory"},
        },
        "cautions": {"jacking": {"title": "Jacking", "text": "Put it on stands."}},
        "symptoms": checklist_bundle()["symptoms"],
        "profile": PROFILE,
        "calls": CALLS,
        "driving": DRIVING,
        "load": LOAD,
        "haul": checklist_bundle()["haul"],
        "week": WEEK,
        "rules": {
            "items": {rule["id"]: rule for rule in items},
            "areas": areas,
            "lookups": LOOKUPS,
        },
    }
    return pickle.dumps({**body, "hash": hashlib.sha256(canonical(body).encode()).hexdigest()})


def judged(snapshot: Snapshot) -> Snapshot:
    """The snapshot with an assessment made by hand from its grades, so that it can be foreseen."""
    items: dict[str, Any] = {}
    not_reached = []
    for rule in snapshot.bundle["items"]:
        cell = snapshot.cells.get(f"items/{rule['id']}/grade", {"value": None, "others": []})
        grade = cell["value"]["grade"] if cell["value"] else None
        state = "open" if grade is None else "uninspected" if grade == "uninspected" else "done"
        if state != "done":
            why = snapshot.cells.get(f"items/{rule['id']}/why", {}).get("value") or ""
            not_reached.append({"item": rule["id"], "said": unsaid(why)})
        items[rule["id"]] = {
            "applies": True,
            "asked": True,
            "state": state,
            "grade": grade,
            "by": "person" if grade else None,
            "measured": None,
            "overruled": False,
            "reasons": [{"code": "person", "said": unsaid("Seen."), "source": "law"}]
            if grade
            else [],
            "facts": {},
            "problems": [],
            "conflict": bool(cell["others"]),
        }
    grades = [judgment["grade"] for judgment in items.values()]
    bad = [item for item, judgement in items.items() if judgement["grade"] == "dangerous"]
    return replace(
        snapshot,
        assessment={
            "decision": {
                "buy": "too_little",
                "drive": "not_cleared",
                "answers": {"buy": [], "drive": [], "price": [], "now": []},
                "spoken": [],
                "overruled": [],
            },
            "items": items,
            "areas": snapshot.bundle["areas"],
            "findings": [
                item
                for grave in ("dangerous", "major", "minor")
                for item, judgement in items.items()
                if judgement["grade"] == grave
            ],
            "drive_home": {
                "answer": "trailer" if bad else "drive",
                "said": unsaid("Because of the tests."),
                "reasons": [
                    {"item": item, "said": unsaid(f"{item} is dangerous.")} for item in bad
                ],
            },
            "coverage": {
                "share_percent": 100 * sum(g is not None for g in grades) // len(grades),
                "by_area": {},
                "not_reached": not_reached,
            },
        },
    )


class Workshop:
    """A log, a desk over it, and hands that write events as phones would."""

    def __init__(self, folder: Path) -> None:
        engine = open_engine(f"sqlite:///{folder / 'log.sqlite3'}")
        migrated(engine)
        self.strangers: set[str] = set()  # phones that were never paired here
        self.log = Log(
            engine,
            FolderPhotoStore(folder / "photos"),
            registered=lambda device: device not in self.strangers,
        )
        self.bundle = bundle()
        self.log.put_bundle(self.bundle)
        self._seconds = itertools.count()
        self._writers: dict[str, Writer] = {}
        self.gathered = 0
        self.verdict: Any = None
        self.checklists: ChecklistVersions | None = None
        self.patience_s = 60.0  # a loaded machine must not change what a page says
        self.cache: Path | None = None  # where summaries are kept over a restart
        self.code_hash = code_hash
        self.today = TODAY
        self.owner = True  # whether somebody at the desk is an owner
        self.acts: list[str] = []
        self.real = False  # whether the real judge judges, not the hand below
        self.client = TestClient(self.site())

    def site(self) -> ASGIApp:
        """What answers for a desk over this log, as it is set up now."""
        return site_of(self.desk())

    def desk(self) -> Desk:
        """The desk over this log."""

        def snapshot(visit: str) -> Snapshot:
            found = self.snapshot(visit)
            shifts = summaries.experience().shifts(cell_values.currency(found.cells))
            return replace(found, learned=shifts) if shifts else found

        summaries = Summaries(
            self.log,
            snapshot,
            lambda: self.today,
            self.log.photos.missing,
            patience_s=self.patience_s,
            cache=SummaryCache(self.cache, self.code_hash) if self.cache else None,
        )
        return Desk(
            snapshots=snapshot,
            log=self.log,
            summaries=summaries,
            person=_somebody,
            owner=self._owners_only,
            is_owner=lambda person: self.owner,
            device_of=lambda person: DESK,
            name_of=lambda device: NAMES.get(self.log.stands_for(device), device[:8]),
            verify=lambda pdf: self.verdict,
            photos_missing=self.log.photos.missing,
            checklists=self.checklists,
            note=lambda request, person, act, about: self.acts.append(act),
            bundle=lambda: self.bundle,
            today=lambda: self.today,
        )

    def _owners_only(self, request: Request) -> str:
        if not self.owner:
            raise errors.ApiError("owners_only", "Only an owner can do this.", 403)
        return "somebody"

    def snapshot(self, visit: str) -> Snapshot:
        self.gathered += 1
        snapshot = gather(self.log, visit, today=self.today, current_bundle=lambda: self.bundle)
        return snapshot if self.real else judged(snapshot)

    def photo(self, data: bytes) -> str:
        """Keep a photo as if a phone had sent it; its hash."""
        sha256 = hashlib.sha256(data).hexdigest()
        with self.log.photos.arriving(sha256) as arrival:
            arrival.add(data)
            self.log.photos.keep(arrival, PHONE)
        return sha256

    def write(
        self,
        puts: Sequence[tuple[str, Any]],
        *,
        device: str = PHONE,
        visit: str = VISIT,
        over: dict[str, list[str]] | None = None,
        ahead_ms: int = 0,
        received_ms: int = 1_764_070_000_000,
    ) -> list[str]:
        """Push events of a phone; returns their ids. `over` names what the writer had seen."""
        writer = self._writer(device)
        writer.scope = f"inspection/{visit}"
        first = len(writer.events)
        for path, value in puts:
            writer.ms = 1_764_060_000_000 + next(self._seconds) * 1000 - 1000 + ahead_ms
            writer.put(path, value, (over or {}).get(path, []))
        if len(writer.events) > first:
            self.log.push(writer.batch(first + 1), received_ms=received_ms)
        return [id_of(event) for event in writer.events[first:]]

    def _writer(self, device: str) -> Writer:
        if device not in self._writers:
            self._writers[device] = Writer(KEYS[device])
        return self._writers[device]

    def begin(self, visit: str = VISIT, device: str = PHONE) -> None:
        """The events every visit starts with, and a car."""
        self.write(
            [
                ("about/bundle", self.bundle["hash"]),
                ("about/started", {"date": "2026-11-25", "time": "09:20", "zone": "+01:00"}),
                ("about/inspector", "Ada <b>Tester</b>"),
                ("about/currency", "EUR"),
                ("about/asking_price", 2400),
                ("car/make", "Testmobil"),
                ("car/model", "One"),
                ("car/year", 1991),
                ("car/registration", "TEST 1"),
            ],
            visit=visit,
            device=device,
        )

    def seal(self, visit: str = VISIT, device: str = PHONE) -> None:
        """Seal everything that the log holds of a visit."""
        value = seal_value(KEYS[device], visit, self.log.events_of(visit))
        self.write([("seal/1", value)], visit=visit, device=device)


def _somebody(request: Request) -> str:
    return "somebody"


@pytest.fixture
def workshop(tmp_path: Path) -> Iterator[Workshop]:
    place = Workshop(tmp_path)
    yield place
    place.log.close()
