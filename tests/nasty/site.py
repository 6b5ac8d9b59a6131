"""All of Bradawl over one data folder, a phone that records whatever it likes, and eyes on it.

Events go in through the real push route; every page, file and command is asked for as a person
or phone would. `Trouble` is any answer of 500 or more, and any error that only a log tells of.
"""

from __future__ import annotations

import hashlib
import json
import logging
import secrets
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient

from bradawl.common import settings
from bradawl.inspection.wires import FIELDS
from bradawl.judge.ledger.parts_list import COLUMNS
from bradawl.serving.app import create_app
from tests.fresh import furnished
from tests.log.writer import Writer
from tests.writing import key_of, pairing_wish

AT_ONCE = 60  # events in a push: 8 MB may be sent, an event has 64 kB
KEY = key_of("that records anything")


class _Ear(logging.Handler):
    """Hears what a server says it did wrong."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.heard: list[logging.LogRecord] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.heard.append(record)


class Site:
    """One server in local mode and one phone of it."""

    def __init__(self, folder: Path) -> None:
        app = create_app(settings.at(furnished(folder)))
        self.app = app
        self.core = app.state.core
        self.desk = TestClient(
            app,
            base_url="http://localhost",
            headers={"Origin": "http://localhost"},
            client=("127.0.0.1", 50_000),
            follow_redirects=False,
            raise_server_exceptions=False,
        )
        self.phone = TestClient(
            app,
            base_url="https://localhost",
            client=("127.0.0.1", 50_001),
            raise_server_exceptions=False,
        )
        self._writer = Writer(KEY)
        self._sent = 0
        answer = self.phone.post("/api/v1/pairing", json=pairing_wish(KEY, "phone"))
        assert answer.status_code == 200, answer.text
        self._ear = _Ear()
        logging.getLogger("bradawl").addHandler(self._ear)

    @property
    def bundle(self) -> dict[str, Any]:
        found: dict[str, Any] = self.core.checklists.value
        return found

    def addresses(self) -> list[str]:
        """Every address that can be got, as the routes name it: `/desk/visits/{visit}/plan`."""
        contexts = (
            one
            for route in self.app.routes
            if hasattr(route, "effective_route_contexts")
            for one in route.effective_route_contexts()
        )
        return sorted({one.path for one in contexts if "GET" in (one.methods or ())})

    def close(self) -> None:
        logging.getLogger("bradawl").removeHandler(self._ear)
        self.core.close()

    def record(self, puts: Iterable[tuple[str, Any]], visit: str = "") -> str:
        """Push events of a visit, a new one without a name; the visit."""
        visit = visit or secrets.token_hex(16)
        self._writer.scope = f"inspection/{visit}"
        for path, value in puts:
            self._writer.put(path, value)
        while self._sent < len(self._writer.events):
            upto = min(self._sent + AT_ONCE, len(self._writer.events))
            batch = self._writer.batch(self._sent + 1, upto)
            answer = self.phone.post("/api/v1/sync/push", content=json.dumps(batch))
            if answer.status_code != 200:
                del self._writer.events[self._sent :]
                raise AssertionError(answer.text[:1_000])
            self._sent = upto
        return visit

    def send(self, photo: bytes, kind: str = "image/jpeg") -> str:
        """Send a photo; its name."""
        name = hashlib.sha256(photo).hexdigest()
        answer = self.phone.put(
            f"/api/v1/blobs/{name}", content=photo, headers={"content-type": kind}
        )
        assert answer.status_code in (200, 201), answer.text
        return name

    @contextmanager
    def calm(self) -> Iterator[None]:
        """Within the block no error may be heard of in the log."""
        self._ear.heard.clear()
        yield
        told = [logging.Formatter().format(record)[-3_000:] for record in self._ear.heard]
        assert told == [], "\n\n".join(told)

    def ask(self, address: str, **more: Any) -> Any:
        """An answer below 500 to a GET of the desk, and no error in the log."""
        with self.calm():
            answer = self.desk.get(address, **more)
        assert answer.status_code < 500, f"{address}: {answer.status_code}"
        return answer

    def post(self, address: str, **more: Any) -> Any:
        """The same for a form that is sent."""
        with self.calm():
            answer = self.desk.post(address, **more)
        assert answer.status_code < 500, f"{address}: {answer.status_code}"
        return answer


def pages_of(visit: str, symptoms: Sequence[str] = ("rich",)) -> list[str]:
    """Every page and file that the desk has of a visit, reports apart."""
    car = f"/desk/visits/{visit}"
    own = (
        "", "/amend", "/history", "/brief", "/profile", "/baseline", "/wires", "/plan", "/tip-over",
        "/order", "/work", "/trouble", "/money", "/money/entry?entry=5a1b2c3d4e5f", "/parts",
        "/purpose", "/parts/line/new", "/parts/line/4a1b2c3d4e5f", "/photos", "/state", "/claims",
        "/leaving",
        "/going", "/going/paper/calls", "/going/paper/load", "/forms/bill.pdf",
        "/forms/odometer.pdf",
        *(f"/trouble/{symptom}" for symptom in symptoms), "/exports", "/plan.xlsx", "/plan.csv",
        "/parts.csv", "/parts.json", "/parts/lists", "/ledger.csv", "/ledger.json", "/record.json",
        "/report", "/share", "/forget", "/shelf",
    )  # fmt: skip
    return [*(car + one for one in own), "/desk/", "/desk/shelved", f"/desk/compare?visit={visit}"]


def reports_of(visit: str) -> list[str]:
    """Both editions of the report."""
    return [
        f"/desk/visits/{visit}/report.pdf?edition=condition&units=metric&paper=a4",
        f"/desk/visits/{visit}/report.pdf?edition=partner&paper=letter",
    ]


def known_paths(bundle: dict[str, Any], items: Sequence[str]) -> list[str]:
    """Paths that the app or the desk write, of these items; and some that nobody does."""
    found = [
        *(
            f"about/{name}"
            for name in (
                "bundle", "started", "inspector", "place", "seller", "app", "distance_home",
                "dark", "wet", "motorway", "asking_price", "currency", "depth", "copied_from",
                "voice",
                "name", "archived", "deleted",
            )
        ),
        *(
            f"car/{name}"
            for name in (
                "id", "make", "model", "year", "vin", "registration", "colour", "odometer",
                "fuel", "fuelling", "front_brakes", "rear_brakes", "structure", "gearbox",
                "drive", "steering", "assist", "airbags", "catalyst", "aircon", "cylinders",
                "fuel_set", "sticker_front", "circuits", "material_bonnet", "look_first",
                "known_model", "firing_order",
            )
        ),
        *(
            f"brief/{name}"
            for name in (
                "uses", "value_good", "hourly_rate", "margin", "budget", "deadline",
                "originality",
            )
        ),
        "plan/periods", "plan/wants/wish-1", "plan/wants/wish-2", "plan/baseline/engine-oil",
        "plan/weekend_hours", "plan/pin/wants/wish-1", "plan/uncounted/wants/wish-1",
        "plan/left/wants/wish-2", "plan/temporary/baseline/engine-oil", "imports/9a1b2c3d4e5f",
        "work/wants/wish-1/done", "work/baseline/engine-oil/done",
        "work/wants/wish-1/done/5e0c1a2b3d4f", "life/state", "life/state/x", "ledger", "parts",
        "ledger/0a1b2c3d4e5f", "ledger/1a1b2c3d4e5f", "ledger/no-such", "ledger/x/y/z",
        f"ledger/0a1b2c3d4e5f/photos/{'3' * 64}",
        *(f"parts/2a1b2c3d4e5f/{column}" for column in COLUMNS), "parts/x/no-such", "parts/x",
        f"media/{'4' * 64}", "media/short", "media", "notes/5e0c1a2b3d4f", "notes", "notes/a/b",
        f"people/{'5' * 32}", "people/x", "people", "taken/underneath", "taken/no-such", "taken",
        "ads/8a1b2c3d4e5f", "ads/8a1b2c3d4e5f/prices/9a1b2c3d4e5f", "ads", "ads/x/prices/y/z",
        f"ads/8a1b2c3d4e5f/photos/{'6' * 64}", "claims", "claims/7a1b2c3d4e5f",
        *(f"claims/7a1b2c3d4e5f/{name}" for name in ("kind", "words", "who", "date", "state")),
        *(f"lookups/6a1b2c3d4e5f/{name}" for name in ("kind", "result", "date", "note")),
        f"lookups/6a1b2c3d4e5f/photos/{'5' * 64}", "lookups", "lookups/x", "lookups/x/kind/y",
        "load/magnet", "load", "load/x/y", "haul/way", "haul/car", "haul/straps", "haul",
        "haul/x/y", "calls/5b1b2c3d4e5f", "calls/5b1b2c3d4e5f/sat", "calls", "calls/x/y/z",
        f"claims/7a1b2c3d4e5f/photos/{'7' * 64}", "claims/x/kind", "claims/x/words/y",
        *(f"wants/6a1b2c3d4e5f/{name}" for name in ("must", "leave", "words", "so", "check")),
        "wants/6a1b2c3d4e5f/figure", "wants/solid/must", "wants/rot/leave", "wants", "wants/x",
        "wants/x/must/y",
        "drive/0/nuts", "drive/1/hub/front-left", "drive/1/parked", "drive/1/odometer", "drive",
        "drive/home/parked", "drive/home", "drive/x/oil", "drive/99999999999999999999/oil",
        "drive/1/hub/front-left/x", "items/brakes.own-drive-1-hub-front-left/grade",
        "deal", "deal/opening", "deal/leave_by", "deal/reasons", "deal/prices/6a1b2c3d4e5f",
        "deal/prices", "deal/x/y/z", "deal/deposit/amount", "deal/deposit/date",
        "deal/deposit/until", "deal/deposit/refund", f"deal/deposit/photos/{'8' * 64}",
        "papers", "papers/x", "papers/title/state", "papers/title/note", "papers/odometer/state",
        f"papers/title/photos/{'9' * 64}", "passed", "passed/5b1b2c3d4e5f", "passed/x/y",
        "amend", "amend/car/make", "amend/items/x", "settled/x", "settled/items/no.such/grade",
        "items/rust.own-1/grade", "items/rust.own-1/text", "items/rust.own-1/note/x",
        "items/rust.own-1/cost", "items/brakes.own-0a1b2c3d/text", "items/brakes.own-0a1b2c3d/cost",
        "items/no.own-/grade", "items/no.own-/text",
        "seal/1", "seal/x", "seal/1/2", "trouble/rich/tests/smoke", "trouble/no-such/tests/x",
        "unknown", "unknown/path/of/many/words", "items", "items/x", "plan", "work", "seal",
        f"items/no.such/photos/{'0' * 64}", "items/no.such/photos/short", "items/no.such/grade",
        "items/no.such/readings/a/b/c", "items/no.such/readings", "work/x/photos/y",
    ]  # fmt: skip
    rules = {item["id"]: item for item in bundle["items"]}
    for item in items:
        rule = rules[item]
        for part in ("grade", "choice", "text", "note", "other", f"photos/{'1' * 64}"):
            found.append(f"items/{item}/{part}")
        for reading in rule.get("readings", ()):
            for place in (reading.get("at") or ["one"])[:3]:
                found.append(f"items/{item}/readings/{reading['id']}/{place}")
        found += [f"items/{item}/readings/no-such/one", f"items/{item}/readings/{item}"]
        if "wires" in rule.get("answers", ()):
            found += [
                f"items/{item}/wires/{path}"
                for path in (
                    *(f"w1/{field}" for field in FIELDS),
                    "w2/kind",
                    "w2/count",
                    "x",
                    "x/y/z",
                )
            ]
        found += [f"plan/{part}/{item}" for part in ("pick", "class", "after", "pin", "left")]
        for remedy in [*[one["id"] for one in rule.get("remedies", ())][:2], "own-1"]:
            found += [
                f"plan/remedies/{item}/{remedy}",
                *(
                    f"plan/{part}/{item}/{remedy}"
                    for part in ("further", "pin", "left", "uncounted")
                ),
                f"plan/temporary/{item}/{remedy}",
                f"work/{item}/{remedy}/done",
                f"work/{item}/{remedy}/done/5e0c1a2b3d4f",
                f"work/{item}/{remedy}/photos/{'2' * 64}",
                f"work/{item}/{remedy}/after/{item}/grade",
                f"work/{item}/{remedy}/after/{item}/readings/x/one",
            ]
    return [path for path in found if len(path) <= 200]
