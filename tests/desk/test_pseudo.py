"""Every page of the desk in the pseudo-locale: what stands there unmarked comes from no catalogue.

The checklist, the tables and all that people recorded are marked as well, so that nothing has to be
let through but what ALLOWED names.
"""

from __future__ import annotations

import base64
import hashlib
import io
import json
import re
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import openpyxl
import pytest
from fastapi.testclient import TestClient
from starlette.types import ASGIApp

from bradawl.common.reading import ReaderOfRequest
from bradawl.desk.model.checklists.versions import ChecklistVersions
from bradawl.desk.model.lists.lines import line_id
from bradawl.desk.model.plan import work_order
from bradawl.desk.web.context import Desk
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import canonical
from bradawl.language.pseudo import marked
from bradawl.serving.backups.health import Standing
from tests.desk import conftest
from tests.desk.browse import form
from tests.desk.conftest import KEYS, OTHER_PHONE, PHONE, VISIT, Workshop
from tests.desk.one_app import app_over
from tests.desk.plan.test_work_log import a_photo
from tests.desk.records.test_hand_over import archive, members
from tests.desk.test_routes import guards_of
from tests.judge.saying import unsaid
from tests.language.unmarked import texts_of
from tests.language.unmarked import unmarked as found_unmarked
from tests.log.writer import Writer
from tests.writing import seal_value

CAR = f"/desk/visits/{VISIT}"
LINE = "0" * 12
LISTED = "1" * 12
#: A list with headings, one of which two columns want, and cells that cannot be read.
LIST = "\n".join(
    ",".join(map(marked, row))
    for row in (("One", "Qty", "Two", "Vendr"), ("Hose", "some", "y" * 2100, "Ada"))
)
CARRIED = {
    "file": base64.urlsafe_b64encode(zlib.compress(LIST.encode())).decode(),
    "name": marked("list"),
    "head": "1",
    "head:was": "1",
    "sheet": "",
    "sheet:was": "",
    "column-0": "what",
    "column-1": "quantity",
    "column-2": "into-note",
    "column-3": "vendor",
}
#: Everything about a line that can be mistyped.
WRONG_LINE = {
    **dict.fromkeys(("quantity:seen", "due_on:seen", "hours_done:seen", "job:seen"), ""),
    "quantity": "0",
    "due_on": "x",
    "hours_done": "x",
    "job": "none",
    "price": "x",
    "price:seen": "40-60",
    "freight:seen": "",
    "freight": "x",
    "number:seen": "",
    "number": marked("x") * 90,
}
PAID = {"date": "2025-11-20", "amount_cents": 4783, "jobs": ["brakes.pads/pads", "wants/wish-1"]}
ORDER = {"id": "1", "total_cents": 9000, "cars": [VISIT, "b" * 32]}
MORE = {"part_number": "7", "quantity": "2", "freight_cents": 100, "core_cents": 50, "order": ORDER}
#: What somebody spent on the car: a correction, two against one another, one taken back, a sale.
LEDGER: list[tuple[str, Any]] = [
    (
        f"ledger/{'1' * 12}",
        PAID | MORE | {"kind": "part", "what": marked("Ada"), "vendor": marked("Ada")},
    ),
    (f"ledger/{'2' * 12}", PAID | {"kind": "fee", "replaces": "1" * 12, "paid_by": marked("Ada")}),
    (f"ledger/{'3' * 12}", PAID | {"kind": "transport", "what": marked("Ada")}),
    (f"ledger/{'4' * 12}", PAID | {"kind": "refund", "replaces": "3" * 12}),
    (f"ledger/{'8' * 12}", PAID | {"kind": "labor_paid", "replaces": "3" * 12}),
    (f"ledger/{'5' * 12}", PAID | {"kind": "labor_mine", "hours": "1.5"}),
    (f"ledger/{'6' * 12}", {"replaces": "5" * 12, "withdrawn": True, "kind": "labor_mine"}),
    ("brief/budget", 5000),
    ("life/state", {"state": "bought", "date": "2025-11-01", "price_cents": 100_000}),
    ("life/state", {"state": "sold", "date": "2025-11-24", "price_cents": 90_000}),
]
#: Words that may stand unmarked, each with its reason.
ALLOWED = {
    "Bradawl": "the name of the program",
    "mm": "a unit of the checklist that is typed as it is measured",
    **dict.fromkeys(("EUR", "USD"), "currencies by their code (ISO 4217), where they differ"),
    **dict.fromkeys(("yaml", "json", "pdf", "app", "xlsx"), "parts of file names and addresses"),
}
#: Pages that show entries as they were recorded: short names of paths, keys and codes of values.
BY_PATH = (f"{CAR}/history", f"/desk/chains/{PHONE}", f"/desk/chains/{OTHER_PHONE}")
#: What is no page: files, and what only leads on.
NO_PAGES = {
    "/desk/static/{name}": "style sheet and scripts",
    "/desk/photos/{sha256}": "a picture",
    "/desk/recordings/{sha256}": "a recording",
    "/desk/reading": "ids for a script",
    "/desk/visits/{visit}/plan.xlsx": "read below",
    "/desk/visits/{visit}/plan.csv": "read below",
    **dict.fromkeys(
        (
            *("/desk/visits/{visit}/parts.csv", "/desk/visits/{visit}/parts.json"),
            *("/desk/visits/{visit}/ledger.csv", "/desk/visits/{visit}/ledger.json"),
        ),
        "for programs; the same words as their pages",
    ),
    "/desk/visits/{visit}/parts/cells": "read by the sheet's script; the same cells as its page",
    "/desk/visits/{visit}/record.json": "a record for programs",
    "/desk/models/export": "models for programs",
}
#: Texts of a checklist, of what the judge says of it, and of a typed value.
SHOWN = {"title", "look", "how", "where", "text", "caution", "section", "name", "caption", "note"}
SHOWN |= {"by", "parts", "reason", "why"}
CODES = re.compile(
    r"seal/|about/(bundle|currency|started)|plan/(pick|class|after)|.*/(grade|choice)$"
)


def marked_in(value: Any, *, keys: set[str], inside: bool = False) -> Any:
    """The value with the texts marked that stand below one of `keys`."""
    if isinstance(value, dict):
        return {key: marked_in(part, keys=keys, inside=key in keys) for key, part in value.items()}
    if isinstance(value, list):
        return [marked_in(part, keys=keys, inside=inside) for part in value]
    return marked(value) if isinstance(value, str) and inside else value


def marked_bundle(body: dict[str, Any]) -> dict[str, Any]:
    body = {**body, "symptoms": [symptom("shakes"), symptom("other")]}
    body = marked_in({key: part for key, part in body.items() if key != "hash"}, keys=SHOWN)
    body["sources"]["law"]["status"] = "read"
    return {**body, "hash": hashlib.sha256(canonical(body).encode()).hexdigest()}


class Marked(Workshop):
    """A workshop in which whatever people wrote is marked."""

    def write(self, puts: Any, **more: Any) -> list[str]:
        said = [
            (path, value)
            if CODES.match(path)
            else (path, marked_in(value, keys=SHOWN, inside=isinstance(value, str)))
            for path, value in puts
        ]
        return super().write(said, **more)

    def snapshot(self, visit: str) -> Snapshot:
        found = super().snapshot(visit)
        assessment = marked_in(dict(found.assessment), keys=SHOWN - {"title"})  # by id
        return replace(found, assessment=assessment | JUDGED)

    def seal(self, visit: str = VISIT, device: str = PHONE) -> None:
        events = self.log.events_of(visit)
        value = seal_value(KEYS[device], visit, events, name=marked("Ada"))
        self.write([("seal/1", value)], visit=visit, device=device)

    def desk(self) -> Desk:
        return replace(
            super().desk(),
            health=lambda: Standing(marked("Look."), (marked("The last one is old."),)),
        )

    def site(self) -> ASGIApp:
        return ReaderOfRequest(super().site(), region="us")


def _service(word: str, *, due: bool, evidence: str) -> dict[str, Any]:
    return {
        "id": word, "title": marked("Oil"), "item": "trim.seats", "evidence": evidence,
        "due": due, "said": unsaid(marked("Nobody knows.")), "source": "law", "parts": [30, 50, 90],
        "hours": ["1", "1", "1"], "also": [], "done_by": [], "does": [],
    }  # fmt: skip


#: What the judge adds where it really judges: maintenance, money, wishes that oppose each other.
JUDGED: dict[str, Any] = {
    "baseline": [
        _service("oil", due=True, evidence="claimed"),
        _service("belt", due=False, evidence="documented"),
        _service("fluid", due=True, evidence="unknown"),
    ],
    "claims": [
        {
            "id": "7" * 12,
            "kind": "",
            "title": marked("Never wet"),
            "who": "seller",
            "standing": "claimed",
            "suggests": "false",
            "items": ["brakes.pads"],
            "item": "brakes.pads",
            "said": unsaid(marked("Wet.")),
        },
    ],
    "lookups": [
        {
            "id": "6" * 12,
            "kind": "lien",
            "result": "bad",
            "date": "2025-11-20",
            "stands": True,
            "stops": True,
            "old": unsaid(marked("Old.")),
        },
    ],
    "brief": {"conflicts": [{"said": unsaid(marked("These two work against each other."))}]},
    "money": {
        "totals": {"low": 100, "p50": 200, "p80": 300, "high": 400},
        "reserve": {
            "amount": 50,
            "items": [{"item": "rust.sill", "chance": "0.5", "cost": [1, 900, 2000], "amount": 50}],
        },
        "price": {"value": 6000, "margin": 300, "walk_away": 5350},
    },
}


def symptom(word: str) -> dict[str, Any]:
    """A complaint with a cause of each kind; its texts are marked with the bundle's."""
    return {
        "id": word, "title": "Shakes at speed", "says": "The wheel shakes.", "group": "ride",
        "source": "law",
        "causes": [
            {"id": "one", "title": "A first cause", "often": 3, "repair": ["brakes.pads/pads"]},
            {"id": "two", "title": "Another cause", "often": 1, "repair": ["brakes.pads/pads"]},
            {"id": "fine", "title": "All is well", "often": 1, "harmless": True},
            {"id": "more", "title": "Another table", "often": 1, "then": "other"},
            {"id": "gone", "title": "None of this car", "often": 1, "then": "other",
             "applies": {"region": ["eu"]}},
        ],
        "tests": [
            {
                "id": test, "title": "Spin it", "how": "Spin the wheel.", "minutes": "5",
                "cautions": ["jacking"], "takes": "brakes.pads", "tools": [tool],
                "outcomes": [{"id": "yes", "title": "Shakes"}, {"id": "no", "title": "Runs true"}],
                "likely": {"one": [90, 10], "other": [20, 80]},
                "settled": [{"item": "brakes.pads", "known": "pad", "outcome": "no"}],
                "conditions": ["engine", "rpm", "hose"],
                "measures": [{"id": "rail", "title": "Rail", "quantity": "pressure",
                              "units": ["psi"], "over_time": True}],
            }
            for test, tool in (("spin", "stands"), ("lift", "gloves"), ("drive", "meter"))
        ],
    }  # fmt: skip


def compiled(bundle: dict[str, Any]) -> Any:
    """A checklist is sound unless its text says otherwise."""

    def check(folder: Path) -> Any:
        text = (folder / "1.yaml").read_text(encoding="utf-8")
        if "wrong" in text:
            return None, [("1.yaml", 3, marked("This is wrong."))]
        body = {key: part for key, part in bundle.items() if key != "hash"}
        body["rules"] = {**body["rules"], "edition": len(text)}
        return {**body, "hash": hashlib.sha256(canonical(body).encode()).hexdigest()}, []

    return check


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Marked]:
    folder = tmp_path_factory.mktemp("pseudo")
    plain = conftest.bundle()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(conftest, "bundle", lambda: marked_bundle(plain))
        patch.setattr(
            conftest, "NAMES", {key: marked(name) for key, name in conftest.NAMES.items()}
        )
        rule = work_order.Rule(
            id="brakes", first=["brakes"], then=["electrical"], why=marked("Brakes first.")
        )
        patch.setattr(work_order, "rules", lambda: [rule])
        place = Marked(folder)
        (folder / "base").mkdir()
        (folder / "base/1.yaml").write_text("1\n")
        place.checklists = ChecklistVersions(
            folder / "base", folder / "own", compiled(place.bundle), place.log.put_bundle
        )
        place.checklists.copy("1")
        place.checklists.keep("1", marked("Ada"), marked("as it came"))
        place.checklists.copy("2")
        place.checklists.save("2", "1.yaml", "wrong\n")
        fill(place)
        place.client = TestClient(place.site(), headers={"Accept-Language": "en-XA"})
        yield place
        place.log.close()


def fill(shop: Marked) -> None:
    """Two cars with everything that a page can show, a stranger's phone, a wrong clock."""
    photo = shop.photo(a_photo())
    shop.begin()
    (seen, *_) = shop.write(
        [
            ("items/rust.sill/grade", {"grade": "minor"}),
            ("items/brakes.pads/grade", {"grade": "dangerous"}),
            ("items/brakes.pads/readings/pad/front-left", {"typed": "0,5", "unit": "mm"}),
            (f"items/brakes.pads/photos/{photo}", {"caption": "", "width": 60, "height": 40}),
            (f"items/brakes.pads/photos/{'e' * 64}", {"caption": "Pad"}),
            (f"media/{'5' * 64}", {"kind": "photo", "near": {"item": "brakes.pads"}}),
            (f"media/{'6' * 64}", {"kind": "engine", "length_ms": 9_000}),
            (f"media/{'7' * 64}", {"kind": "voice", "item": "brakes.pads", "length_ms": 9_000}),
            ("notes/5e0c1a2b3d4f", {"text": "Pad", "taken": ""}),
            ("items/brakes.hoses/grade", {"grade": "uninspected"}),
            ("items/brakes.hoses/why", "too dark"),
            ("items/electrical.pigtails/grade", {"grade": "major"}),
            ("items/electrical.pigtails/note", "Chewed bare."),
            ("items/trim.seats/grade", {"grade": "none"}),
            ("about/seller", "Somebody"),
            ("about/place", "Somewhere"),
            ("car/colour", "red"),
            ("car/odometer", {"typed": "113000", "unit": "km"}),
            ("car/circuits", "single"),
            ("car/pad_least_front", {"typed": "3", "unit": "mm", "from": "manual", "model": "x"}),
            (
                f"ads/{'8' * 12}",
                {"text": marked("New brakes."), "source": marked("Board"), "date": "2025-11-20"},
            ),
            (f"ads/{'8' * 12}/prices/{'9' * 12}", {"amount": 4000, "date": "2025-11-20"}),
            (f"calls/{'6' * 12}", {"role": "seller", "name": marked("Ada"), "date": "2025-11-20"}),
            (f"calls/{'6' * 12}/mice", {"answers": ["yes"], "words": marked("Two.")}),
            (f"lookups/{'6' * 12}/note", marked("A bank.")),
            ("car/vin", "GT4-71-00912"),
            ("deal/opening", 1900),
            ("deal/leave_by", {"date": "2025-11-25", "time": "18:30"}),
            (f"deal/prices/{'6' * 12}", {"amount": 1900, "date": "2025-11-25", "side": "offered"}),
            (
                f"passed/{'5' * 12}",
                {"date": "2025-11-25", "price": 2600, "why": marked("Rot"), "until": "2026-01-31"},
            ),
            ("drive/1/parked", {"date": "2025-11-20", "time": "14:05", "zone": "-06:00"}),
            ("drive/1/odometer", {"typed": "113008", "unit": "km"}),
            ("drive/1/hub/front-left", {"answer": "bad"}),
            ("drive/home/parked", {"date": "2025-11-20"}),
            ("load/extinguisher", "left"),
            ("haul/way", "trailer"),
            ("haul/car", {"typed": "3400", "unit": "lb"}),
            ("haul/weather", marked("Rain.")),
            (f"claims/{'7' * 12}/words", marked("Never wet")),
            (f"claims/{'7' * 12}/who", {"role": "seller", "name": marked("Ada")}),
            (f"claims/{'7' * 12}/date", "2025-11-20"),
            ("brief/uses", ["everyday", "long_trips"]),
            ("brief/value_good", 6000),
            ("brief/budget", 3000),
            ("brief/deadline", "2027-04-01"),
            ("wants/6a1b2c3d4e5f/words", marked("Tow bar")),
            ("wants/6a1b2c3d4e5f/must", 1),
            ("wants/6a1b2c3d4e5f/so", False),
            ("plan/periods", [{"name": "One", "budget": 2500}, {"name": "Two", "budget": 9}]),
            ("plan/after/brakes.pads", ["electrical.pigtails"]),
            (
                "plan/further/electrical.pigtails/harness",
                [{"title": "plugs", "cost": [30, 60, 120], "count": 9, "chance_percent": 30}],
            ),
            (
                "plan/remedies/electrical.pigtails/own-1",
                {
                    "title": "Own way", "kind": "mend", "parts": [9, 9, 9], "need": True,
                    "hours": ["1", "1", "1"], "loss": 40, "also": [],
                },
            ),
            (
                "plan/wants/wish-1",
                {
                    "title": "Radio", "parts": [5, 8, 9], "hours": ["1", "1", "2"],
                    "uses": ["track"],
                },
            ),
            ("plan/wants/wish-2", {"title": "Own job", "parts": [5, 8, 9], "need": True}),
            (f"parts/{LINE}/what", marked("Hose")),
            (f"parts/{LINE}/vendor", marked("Corner Parts")),
            (f"parts/{LINE}/job", "electrical.pigtails/mend"),
            (f"parts/{LINE}/low_cents", 4000),
            (f"parts/{LINE}/high_cents", 6000),
            (f"parts/{LINE}/origin", "used"),
            (f"imports/{LISTED}", {"name": "List", "date": "2025-11-20", "lines": 2}),
            (f"parts/{line_id(LISTED, 0)}/what", marked("Cap")),
            (f"imports/{'2' * 12}", {"name": "List", "date": "2025-11-20", "lines": 1}),
            (f"parts/{line_id('2' * 12, 0)}/removed", True),
            ("trouble/shakes/tests/spin", {"outcome": "yes"}),
            ("trouble/shakes/causes/two", {"state": "found", "grade": "major"}),
            ("trouble/shakes/causes/more", {"state": "ruled_out", "why": "Seen."}),
            ("trouble/shakes/skipped/drive", True),
            ("trouble/shakes/turned-out", {"cause": "two", "titles": ["a", "b"], "job": "x"}),
            (
                "trouble/shakes/readings/spin/rail/1",
                {"typed": "36", "unit": "psi", "conditions": {"engine": "hot", "hose": "off"}},
            ),
            (
                "work/trim.seats/own-1/done",
                {
                    "title": "Cleaned", "date": "2026-11-24", "by": "Ada", "items": ["trim.seats"],
                    "cost": 47, "odometer": {"typed": "113050", "unit": "km"}, "parts": "Soap",
                },
            ),
            ("work/trim.seats/own-1/after/trim.seats/grade", {"grade": "minor"}),
            *LEDGER,
            (
                "work/trim.seats/own-1/after/trim.seats/readings/x/front-left",
                {"typed": "3", "unit": "mm"},
            ),
        ]
    )  # fmt: skip
    shop.write([("items/rust.sill/grade", {"grade": "major"})], device=OTHER_PHONE)
    assert seen
    shop.seal()
    shop.write([("items/trim.seats/note", "after")])
    model = {
        "make": marked("Adze"),
        "model": marked("Adze"),
        "from": 1990,
        "notes": marked("Rots."),
        "facts": {"circuits": "dual", "pad_least_rear": {"typed": "2", "unit": "mm"}},
        "look": [{"item": "brakes.pads", "percent": 30, "note": marked("Wears.")}],
    }
    shop.log.append_in(conftest.DESK, [("shop", "models/" + "1" * 32, model)])
    shop.strangers.add(OTHER_PHONE)
    shop.write([("items/rust.sill/note", "not ours")], device=OTHER_PHONE)
    shop.begin("b" * 32)
    shop.write([("about/asking_price", 900)], visit="c" * 32)
    ten_years_ms = 10 * 31_557_600_000
    early = [("items/rust.sill/text", "early")]
    shop.write(early, device=OTHER_PHONE, ahead_ms=ten_years_ms)


def unmarked(texts: Iterable[str], also: Iterable[str] = ()) -> list[str]:
    return found_unmarked(texts, {*ALLOWED, *also})


def words_of(shop: Marked, answer: Any, address: str = "") -> list[str]:
    assert 'lang="en-XA"' in answer.text, answer.text[:300]
    recorded = [(event["put"], event["value"]) for event in shop.log.events_of(VISIT)]
    names = re.findall("[A-Za-z]+", json.dumps(recorded, ensure_ascii=False))
    return unmarked(texts_of(answer.text), names if address in BY_PATH else ())


MODEL_ID = "1" * 32
PAGES = {
    "/desk/": ["/desk/", "/desk/?words=9"],
    "/desk/board": ["/desk/board"],
    "/desk/visits/{visit}/photos": [f"{CAR}/photos", f"/desk/visits/{'b' * 32}/photos"],
    "/desk/visits/{visit}/state": [f"{CAR}/state"],
    "/desk/visits/{visit}/shelf": [f"{CAR}/shelf"],
    "/desk/shelved": ["/desk/shelved"],
    "/desk/compare": ["/desk/compare", f"/desk/compare?visit={VISIT}"],
    "/desk/specimen": ["/desk/specimen"],
    "/desk/verify": ["/desk/verify"],
    "/desk/import": ["/desk/import"],
    "/desk/models": ["/desk/models"],
    "/desk/models/{name}": [
        *("/desk/models/new", f"/desk/models/new?visit={VISIT}"),
        f"/desk/models/{MODEL_ID}",
    ],
    "/desk/chains": ["/desk/chains"],
    "/desk/chains/{device}": [f"/desk/chains/{PHONE}", f"/desk/chains/{OTHER_PHONE}"],
    "/desk/checklists": ["/desk/checklists"],
    "/desk/checklists/{name}": ["/desk/checklists/1", "/desk/checklists/2"],
    "/desk/checklists/{name}/try": [f"/desk/checklists/1/try?visit={VISIT}"],
    "/desk/checklists/{name}/{file:path}": [
        "/desk/checklists/1/1.yaml",
        "/desk/checklists/2/1.yaml",
    ],
    "/desk/visits/{visit}/amend": [f"{CAR}/amend", f"/desk/visits/{'b' * 32}/amend?item=9"],
    "/desk/visits/{visit}": [
        f"{CAR}?standing=open",
        f"{CAR}?words=99",
        CAR,
        f"/desk/visits/{'b' * 32}",
        f"/desk/visits/{'c' * 32}",
    ],
    **{
        f"/desk/visits/{{visit}}/{tab}": [f"{CAR}/{tab}", f"/desk/visits/{'b' * 32}/{tab}"]
        for tab in (
            "claims",
            "going",
            "purpose",
            "going/paper/calls",
            "leaving",
            "going/paper/load",
            "brief",
            "profile",
            "baseline",
            "wires",
            "plan",
            "parts",
            "tip-over",
            "order",
            "work",
            "money",
            "trouble",
            "exports",
        )
    },
    "/desk/visits/{visit}/parts/lists": [f"{CAR}/parts/lists"],
    "/desk/visits/{visit}/parts/line/new": [f"{CAR}/parts/line/new?job=electrical.pigtails/mend"],
    "/desk/visits/{visit}/parts/line/{line}": [f"{CAR}/parts/line/{LINE}"],
    "/desk/visits/{visit}/history": [f"{CAR}/history"],
    "/desk/money": ["/desk/money"],
    "/desk/estimates": ["/desk/estimates", "/desk/estimates?kind=1"],
    "/desk/visits/{visit}/money/entry": [
        f"{CAR}/money/entry?entry={name}" for name in ("1" * 12, "3" * 12, "5" * 12)
    ],
    "/desk/visits/{visit}/trouble/{name}": [f"{CAR}/trouble/shakes", f"{CAR}/trouble/other"],
}


def test_every_page_is_in_the_list_below(shop: Marked) -> None:
    gets = {
        route.removeprefix("GET ")
        for route in guards_of(app_over(shop.desk()))
        if route.startswith("GET ")
    }
    # a file that waits is shown by the test of the import
    assert gets == {*PAGES, *NO_PAGES, "/desk/import/{digest}"}


@pytest.mark.parametrize("address", [one for many in PAGES.values() for one in many])
def test_a_page_has_no_unmarked_word(shop: Marked, address: str) -> None:
    answer = shop.client.get(address)
    assert answer.status_code == 200, answer.text
    assert words_of(shop, answer, address.partition("?")[0]) == []


def test_what_an_inspector_sees_has_no_unmarked_word(shop: Marked) -> None:
    shop.owner = False
    try:
        for address in (CAR, f"{CAR}/history", "/desk/", "/desk/chains", "/desk/import"):
            assert words_of(shop, shop.client.get(address), address) == [], address
    finally:
        shop.owner = True


MODELS = b'{"format": "bradawl-models", "version": %s, "models": [{"make": 1}]}'
NOWHERE = f"/desk/chains/{'9' * 32}"
ADD = {"new:item": "trim.none", "new:title": "1", "new:parts-likely": "x"}
PIECE = {"remedy": "electrical.pigtails/harness", "piece-0:title": "1", "piece-0:count": "0"}
COSTS = {**PIECE, "piece-0:cost-likely": "1"}
DONE = {"job": "brakes.pads/pads", "date": "2099-01-01", "cost": "x", "brakes.pads/grade": "none"}
THIN = "brakes.pads/readings/pad/front-left"
SHARES = {f"split:{'b' * 32}": "1", f"share:{'b' * 32}": "1", f"share:{VISIT}": "2"}
TOO_THIN = {THIN: "0.2", f"{THIN}:unit": "mm", "by": "1", "date": "2026-11-25", "cost": "1"}
#: For each address that takes a form, forms that it refuses.
REFUSED: dict[str, list[tuple[str, dict[str, Any]]]] = {
    "/desk/verify": [
        ("/desk/verify", {"files": {"pdf": ("1.pdf", b"")}}),
        ("/desk/verify", {"files": {"pdf": ("1.pdf", b"1")}}),
    ],
    "/desk/visits/{visit}/doubt": [
        (f"{CAR}/doubt", {"data": {"path": "brakes.pads/pad", "meaning": "0", "seen": "1"}}),
    ],
    "/desk/visits/{visit}/settle": [
        (f"{CAR}/settle", {"data": {"path": "items/rust.sill/grade", "at": "1", "why": "1"}}),
        (f"{CAR}/settle", {"data": {"path": "items/none", "at": "1", "why": "1"}}),
    ],
    "/desk/visits/{visit}/shelf": [
        (f"{CAR}/shelf", {"data": {"act": "x"}}),
        (f"{CAR}/shelf", {"data": {"act": "name", "name": marked("x") * 900}}),
    ],
    "/desk/visits/{visit}/state": [
        (f"{CAR}/state", {"data": {"state": "9", "date": "2099-01-01"}}),
        (f"{CAR}/state", {"data": {"state": "sold", "date": "x", "price": "x"}}),
        (f"{CAR}/state", {"data": {"state": "bought"}}),
    ],
    "/desk/visits/{visit}/photos/sort": [
        (f"{CAR}/photos/sort", {"data": {"item": "brakes.pads"}}),
        (f"{CAR}/photos/sort", {"data": {"entry": "notes/5e0c1a2b3d4f", "item": "none"}}),
    ],
    "/desk/visits/{visit}/reopen": [
        (f"{CAR}/reopen", {"data": {"path": "items/none", "why": "1"}}),
        (f"{CAR}/reopen", {"data": {"path": "items/none", "why": ""}}),
    ],
    "/desk/visits/{visit}/amend/finding": [
        (f"{CAR}/amend/finding", {"data": {"item": "none"}}),
        (f"{CAR}/amend/finding", {"data": {"item": "own", "area": "9", "grade": "9"}}),
        (f"{CAR}/amend/finding", {"data": {"item": "own", "area": "rust", "title": "1"}}),
        (f"{CAR}/amend/finding", {"data": {"item": "trim.seats"}}),
    ],
    "/desk/visits/{visit}/amend/facts": [
        (f"{CAR}/amend/facts", {"data": {"car/year": "x", "about/asking_price": "x"}}),
        (f"{CAR}/amend/facts", {"data": {"car/make": "1", "car/odometer": "x"}}),
    ],
    "/desk/visits/{visit}/going/load": [
        (f"{CAR}/going/load", {"data": {"load-extinguisher": marked("x") * 300}}),
    ],
    "/desk/visits/{visit}/going/haul": [
        (f"{CAR}/going/haul", {"data": {"car": "x", "straps": "x", "weather": marked("x") * 300}}),
    ],
    "/desk/visits/{visit}/going/call": [
        (f"{CAR}/going/call", {"data": {"call": "", "called-on": "x"}}),
        (f"{CAR}/going/call", {"data": {"call": "6" * 12, "words-mice": marked("x") * 900}}),
    ],
    "/desk/visits/{visit}/going/lookup": [
        (f"{CAR}/going/lookup", {"data": {"kind": "x", "result": "x", "looked-on": "x"}}),
        (f"{CAR}/going/lookup", {"data": {"kind": "lien", "result": "x", "note": marked("x")}}),
    ],
    "/desk/visits/{visit}/purpose/take": [
        (f"{CAR}/purpose/take", {"data": {"want": "x"}}),
    ],
    "/desk/visits/{visit}/purpose/own": [
        (f"{CAR}/purpose/own", {"data": {"side": "must", "words": ""}}),
        (f"{CAR}/purpose/own", {"data": {"side": "leave", "tells": "asking", "most": "x"}}),
        (f"{CAR}/purpose/own", {"data": {"side": "leave", "tells": "check", "check": "x"}}),
        (f"{CAR}/purpose/own", {"data": {"side": "leave", "words": marked("x") * 200}}),
    ],
    "/desk/visits/{visit}/purpose/change": [
        (f"{CAR}/purpose/change", {"data": {"want": "none", "remove": "1"}}),
    ],
    "/desk/visits/{visit}/going/lookup/change": [
        (f"{CAR}/going/lookup/change", {"data": {"lookup": "none", "remove": "1"}}),
    ],
    "/desk/visits/{visit}/claims/ad": [
        (f"{CAR}/claims/ad", {"data": {"text": "", "price": "x", "date": "x"}}),
        (f"{CAR}/claims/ad", {"data": {"text": "1", "source": marked("x") * 300}}),
    ],
    "/desk/visits/{visit}/claims/price": [
        (f"{CAR}/claims/price", {"data": {"ad": "none", "price": "1"}}),
        (f"{CAR}/claims/price", {"data": {"ad": "8" * 12, "price": "x"}}),
    ],
    "/desk/visits/{visit}/claims/note": [
        (f"{CAR}/claims/note", {"data": {"words": "", "said-on": "x"}}),
        (f"{CAR}/claims/note", {"data": {"words": "1", "name": marked("x") * 99}}),
    ],
    "/desk/visits/{visit}/claims/settle": [
        (f"{CAR}/claims/settle", {"data": {"claim": "none", "state": "seen"}}),
        (f"{CAR}/claims/settle", {"data": {"claim": "7" * 12, "state": "proven"}}),
        (f"{CAR}/claims/settle", {"data": {"claim": "7" * 12, "state": "x"}}),
    ],
    "/desk/visits/{visit}/leaving/bargain": [
        (f"{CAR}/leaving/bargain", {"data": {"opening": "x", "leave-by": "x"}}),
    ],
    "/desk/visits/{visit}/leaving/price": [
        (f"{CAR}/leaving/price", {"data": {"price": "", "side": "asked"}}),
        (f"{CAR}/leaving/price", {"data": {"price": "x", "date": "x", "side": "offered"}}),
    ],
    "/desk/visits/{visit}/leaving/pass": [
        (f"{CAR}/leaving/pass", {"data": {"pass-price": ""}}),
        (f"{CAR}/leaving/pass", {"data": {"pass-price": "x", "pass-until": "x"}}),
    ],
    "/desk/visits/{visit}/leaving/deposit": [
        (f"{CAR}/leaving/deposit", {"data": {"deposit-amount": "x", "deposit-until": "x"}}),
    ],
    "/desk/visits/{visit}/leaving/paper": [
        (f"{CAR}/leaving/paper", {"data": {"paper": "none"}}),
    ],
    "/desk/visits/{visit}/leaving/back": [
        (f"{CAR}/leaving/back", {"data": {"path": "deal/prices/none"}}),
    ],
    "/desk/visits/{visit}/brief": [
        (
            f"{CAR}/brief",
            {"data": {"budget": "x", "margin": "9" * 12, "deadline": "x", "originality": "x"}},
        ),
    ],
    "/desk/visits/{visit}/profile": [
        (f"{CAR}/profile", {"data": {"circuits": "9", "pad_least_front": "x"}}),
        (
            f"{CAR}/profile",
            {"data": {"pad_least_front": "x", "pad_least_front:unit": "mm", "firing_order": "1"}},
        ),
        (f"{CAR}/profile", {"data": {"firing_order": marked("x") * 99}}),
    ],
    "/desk/visits/{visit}/profile/take": [(f"/desk/visits/{'b' * 32}/profile/take", {})],
    "/desk/models/import": [
        ("/desk/models/import", {"data": {}}),
        ("/desk/models/import", {"files": {"file": ("1.json", b"x")}}),
        ("/desk/models/import", {"files": {"file": ("1.json", b"{}")}}),
        ("/desk/models/import", {"files": {"file": ("1.json", MODELS % b"9")}}),
    ],
    "/desk/models/{name}": [
        ("/desk/models/new", {"data": {"make": "", "from": "x", "look-0:item": "1"}}),
        ("/desk/models/new", {"data": {"make": "1", "model": "1", "from": "1992", "to": "1991"}}),
        ("/desk/models/9", {"data": {}}),
    ],
    "/desk/models/{name}/remove": [("/desk/models/9/remove", {})],
    "/desk/visits/{visit}/baseline": [(f"/desk/visits/{'9' * 32}/baseline", {"data": {}})],
    "/desk/visits/{visit}/baseline/receipt": [
        (f"{CAR}/baseline/receipt", {"data": {"row": "oil"}}),
        (f"{CAR}/baseline/receipt", {"data": {"row": "none"}}),
    ],
    "/desk/visits/{visit}/plan": [
        (
            f"{CAR}/plan",
            {
                "data": {
                    "brakes.pads/pads:parts-likely": "1",
                    "electrical.pigtails/mend:title": "1",
                    "electrical.pigtails/mend:parts-likely": "9",
                    "electrical.pigtails/mend:parts-low": "10",
                    "electrical.pigtails/harness:title": "1",
                    "electrical.pigtails/harness:parts-likely": "1",
                    "electrical.pigtails/harness:hours-likely": "99999",
                    "wants/wish-1:title": "1",
                    "wants/wish-1:parts-likely": "1",
                    "wants/wish-1:hours-likely": "-1",
                }
            },
        )
    ],
    "/desk/visits/{visit}/parts/changes": [
        (f"/desk/visits/{'9' * 32}/parts/changes", {"json": {"changes": []}})
    ],
    "/desk/visits/{visit}/parts/lists": [
        (f"{CAR}/parts/lists", {"data": {}}),
        (f"{CAR}/parts/lists", {"files": {"list": ("1.xlsx", b"")}}),
        (f"{CAR}/parts/lists", {"files": {"list": ("1.xlsx", b"\xd0\xcf\x11\xe0")}}),
        (f"{CAR}/parts/lists", {"files": {"list": ("1.xlsx", b"PK\x03\x04")}}),
        (f"{CAR}/parts/lists", {"files": {"list": ("1.xlsx", b"1\0")}}),
    ],
    "/desk/visits/{visit}/parts/lists/preview": [
        (f"{CAR}/parts/lists/preview", {"data": {}}),
        (f"{CAR}/parts/lists/preview", {"data": CARRIED | {"head": "x"}}),
        (f"{CAR}/parts/lists/preview", {"data": CARRIED | {"column-3": "what", "out-2": "1"}}),
        (f"{CAR}/parts/lists/preview", {"data": CARRIED | {"head": "2", "add": "1"}}),
    ],
    "/desk/visits/{visit}/parts/lists/{name}/undo": [(f"{CAR}/parts/lists/9/undo", {})],
    "/desk/visits/{visit}/parts/line/{line}": [
        (f"{CAR}/parts/line/9", {}),
        (f"{CAR}/parts/line/{LINE}", {"data": WRONG_LINE}),
        (f"{CAR}/parts/line/{LINE}", {"data": {"what:seen": "1", "what": "2"}}),
        (f"{CAR}/parts/line/{LINE}", {"data": {"state:seen": "1", "state": marked("x")}}),
    ],
    "/desk/visits/{visit}/plan/remedy": [
        (f"{CAR}/plan/remedy", {"data": {"new:item": "none", "new:title": "1"}}),
        (f"{CAR}/plan/remedy", {"data": ADD}),
        (f"{CAR}/plan/remedy", {"data": {"new:item": "wish"}}),
    ],
    "/desk/visits/{visit}/tip-over/choice": [
        (f"{CAR}/tip-over/choice", {"data": {"remedy": "none"}}),
    ],
    "/desk/visits/{visit}/tip-over": [
        (f"{CAR}/tip-over", {"data": {"remedy": "none"}}),
        (f"{CAR}/tip-over", {"data": PIECE}),
        (f"{CAR}/tip-over", {"data": COSTS}),
        (f"{CAR}/tip-over", {"data": {**COSTS, "piece-0:count": "1", "piece-0:chance": "x"}}),
    ],
    "/desk/visits/{visit}/wires": [
        (f"{CAR}/wires", {"data": {"item": "none"}}),
        (f"{CAR}/wires", {"data": {"item": "electrical.pigtails", "w1:gauge": "x"}}),
        (f"{CAR}/wires", {"data": {"item": "electrical.pigtails", "w1:load": "x"}}),
    ],
    "/desk/visits/{visit}/order/hold": [
        (f"{CAR}/order/hold", {"data": {"job": "none"}}),
        (f"{CAR}/order/hold", {"data": {"job": "electrical.pigtails/mend"}}),
    ],
    "/desk/visits/{visit}/order/place": [(f"{CAR}/order/place", {"data": {"move": "earlier no"}})],
    "/desk/visits/{visit}/order": [
        (f"{CAR}/order", {"data": {"weekend": "x"}}),
        (f"{CAR}/order", {"data": {"weekend": "99"}}),
        (f"{CAR}/order", {"data": {"period-0:budget": "x"}}),
    ],
    "/desk/visits/{visit}/work": [
        (f"{CAR}/work", {"data": {"job": "none"}}),
        (f"{CAR}/work", {"data": DONE}),
        (f"{CAR}/work", {"data": DONE, "files": {"photo": ("1.pdf", b"1234567890")}}),
        (f"{CAR}/work", {"data": DONE | {"brakes.pads/grade": "9", "by": "1"}}),
        (f"{CAR}/work", {"data": DONE | TOO_THIN}),
    ],
    "/desk/visits/{visit}/work/entry": [
        (f"{CAR}/work/entry", {"data": {"entry": "none"}}),
        (f"{CAR}/work/entry", {"data": {"entry": "work/trim.seats/own-1/done", "seen": "1"}}),
    ],
    "/desk/visits/{visit}/money": [
        (f"{CAR}/money", {"data": {"amount": "x", "core": "y", "date": "z"}}),
        (f"{CAR}/money", {"data": {"amount": "1", "core": "2"}}),
        (f"{CAR}/money", {"data": {"kind": "labor_mine", "hours": "x"}}),
        (f"{CAR}/money", {"data": {"kind": "labor_mine"}}),
        (f"{CAR}/money", {"data": {"amount": "1", "date": "2099-01-01"}}),
        (f"{CAR}/money", {"data": {"amount": "1"}}),
        (f"{CAR}/money", {"data": {"amount": "9", "what": "1", **SHARES}}),
        (f"{CAR}/money", {"data": {"amount": "2", "what": "1", **SHARES}}),
        (f"{CAR}/money", {"data": {"amount": "3", "what": "1", **SHARES, f"job:{'b' * 32}": "x"}}),
    ],
    "/desk/estimates/shift": [("/desk/estimates/shift", {"data": {"shift": "1"}})],
    "/desk/estimates/count": [
        ("/desk/estimates/count", {"data": {"visit": VISIT, "job": "none"}}),
    ],
    "/desk/visits/{visit}/money/entry": [
        (f"{CAR}/money/entry", {"data": {"entry": "none"}}),
        (f"{CAR}/money/entry", {"data": {"entry": "1" * 12, "seen": "x", "amount": "1"}}),
    ],
    "/desk/visits/{visit}/trouble/{name}": [
        (f"{CAR}/trouble/shakes", {"data": {"test": "none"}}),
        (f"{CAR}/trouble/shakes", {"data": {"test": "lift"}}),
        (
            f"{CAR}/trouble/shakes",
            {
                "data": {
                    "test": "lift",
                    "outcome": "yes",
                    "items/brakes.pads/readings/pad/front-left": "1",
                    "items/brakes.pads/readings/pad/front-left:unit": "1",
                }
            },
        ),
    ],
    "/desk/visits/{visit}/trouble/{name}/reading": [
        (f"{CAR}/trouble/shakes/reading", {"data": {"test": "none"}}),
        (
            f"{CAR}/trouble/shakes/reading",
            {"data": {"test": "lift", "reading": "rail", "typed": "x", "unit": "psi"}},
        ),
    ],
    "/desk/visits/{visit}/trouble/{name}/standing": [
        (f"{CAR}/trouble/shakes/standing", {"data": {"out": "one"}}),
        (f"{CAR}/trouble/shakes/standing", {"data": {"lack": "none"}}),
    ],
    "/desk/visits/{visit}/trouble/{name}/cause": [
        (f"{CAR}/trouble/shakes/cause", {"data": {"cause": "none"}})
    ],
    "/desk/visits/{visit}/exports": [
        (f"{CAR}/exports", {"data": {}}),
        (f"{CAR}/exports", {"data": {}, "files": {"sheet": ("1.xlsx", b"\xff")}}),
        (f"{CAR}/exports", {"data": {}, "files": {"sheet": ("1.xlsx", b"1,2\n3,4\n")}}),
    ],
    "/desk/import": [
        ("/desk/import", {"data": {}}),
        ("/desk/import", {"files": {"file": ("1.json", b"{}")}}),
        (
            "/desk/import",
            {"files": {"file": ("1.json", json.dumps({"format": "bradawl-record", "version": 9}))}},
        ),
    ],
    "/desk/import/{digest}": [("/desk/import/1", {"data": {"decision": "take"}})],
    "/desk/import/{digest}/take": [("/desk/import/1/take", {})],
    "/desk/chains/{device}/confirm": [(f"{NOWHERE}/confirm", {})],
    "/desk/chains/{device}/fence": [
        (f"{NOWHERE}/fence", {"data": {"seq": 1}}),
        (f"/desk/chains/{OTHER_PHONE}/fence", {"data": {"seq": 999}}),
    ],
    "/desk/chains/{device}/lift": [(f"{NOWHERE}/lift", {"data": {"seq": 1}})],
    "/desk/checklists": [
        ("/desk/checklists", {"data": {"name": "../1"}}),
        ("/desk/checklists", {"data": {"name": "1"}}),
        ("/desk/checklists", {"data": {"name": "3", "source": "9"}}),
    ],
    "/desk/checklists/use": [("/desk/checklists/use", {"data": {"name": "1", "version": "9"}})],
    "/desk/checklists/{name}/keep": [
        ("/desk/checklists/1/keep", {}),
        ("/desk/checklists/2/keep", {}),
    ],
    "/desk/checklists/{name}/bring-back": [
        ("/desk/checklists/1/bring-back", {"data": {"version": "9"}})
    ],
    "/desk/checklists/{name}/{file:path}": [
        ("/desk/checklists/1/9.yaml", {"data": {"text": "1"}}),
        ("/desk/checklists/1/1.yaml", {"data": {"text": "1" * 500_000}}),
    ],
    "/desk/checklists/{name}/check/{file:path}": [
        ("/desk/checklists/9/check/1.yaml", {"data": {"text": "1"}})
    ],
}


def test_every_form_is_refused_below(shop: Marked) -> None:
    posts = {
        route.removeprefix("POST ")
        for route in guards_of(app_over(shop.desk()))
        if route[:4] == "POST"
    }
    assert posts == set(REFUSED)


@pytest.mark.parametrize("route", REFUSED)
def test_a_refused_form_says_so_without_an_unmarked_word(shop: Marked, route: str) -> None:
    for address, sent in REFUSED[route]:
        answer = shop.client.post(address, **sent)
        assert 400 <= answer.status_code < 500, (sent, answer.text)
        assert words_of(shop, answer) == [], sent


def test_an_import_that_waits_and_what_becomes_of_it_have_no_unmarked_word(shop: Marked) -> None:
    record = shop.client.get(f"{CAR}/record.json").json()
    for value in (canonical(marked("another")), "no canonical text"):
        record["events"].append({**record["events"][4], "value": value})
    file = {"file": ("1.json", json.dumps(record).encode())}
    waits = shop.client.post("/desk/import", files=file)
    assert waits.url.path != "/desk/import"
    assert words_of(shop, waits) == []
    shop.owner = False
    assert words_of(shop, shop.client.get(waits.url.path)) == []
    shop.owner = True
    left = shop.client.post(waits.url.path, data={"decision": "leave"})
    assert words_of(shop, left) == []


def test_what_a_phone_handed_over_has_no_unmarked_word(shop: Marked) -> None:
    shop.strangers.add(PHONE)
    of = members(Writer(KEYS[PHONE], "9" * 32).fill(2))
    shown = shop.client.post("/desk/import", files={"file": ("1.json", archive(of))})
    assert shown.url.path != "/desk/import"
    assert words_of(shop, shown) == []
    assert words_of(shop, shop.client.post(f"{shown.url.path}/take")) == []
    changed = {**of, "batches/000001.json": b"{}"}
    refused = shop.client.post("/desk/import", files={"file": ("1.json", archive(changed))})
    assert words_of(shop, refused) == []


def test_a_text_that_is_checked_while_it_is_typed_is_said(shop: Marked) -> None:
    for text in ("1", "wrong"):
        found = shop.client.post("/desk/checklists/1/check/1.yaml", data={"text": text}).json()
        assert unmarked([found["summary"], *found["faults"]]) == []


def test_a_report_that_was_checked_is_said(shop: Marked) -> None:
    for kind in ("genuine", "unknown", "changed"):
        shop.verdict = SimpleNamespace(kind=kind, lines=[marked("A byte was changed.")])
        page = shop.client.post("/desk/verify", files={"pdf": ("1.pdf", b"%PDF-1.7")})
        assert words_of(shop, page) == []


def test_the_workbook_and_the_csv_have_no_unmarked_word_and_come_back(shop: Marked) -> None:
    data = shop.client.get(f"{CAR}/plan.xlsx").content
    book = openpyxl.load_workbook(io.BytesIO(data))
    # a row of keys stands hidden above the headings; ids tell rows apart
    texts = [
        str(cell.value)
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "s" and not sheet.row_dimensions[cell.row].hidden
    ]
    ids = {name for text in texts if re.fullmatch(r"[a-z.]+/[a-z0-9./-]+", text) for name in [text]}
    assert unmarked([text for text in (*texts, *book.sheetnames) if text not in ids]) == []
    csv_text = shop.client.get(f"{CAR}/plan.csv").text
    assert unmarked(csv_text.splitlines()[:1]) == []
    seen = form(shop.client.get(f"{CAR}/exports").text, f"{CAR}/exports")
    before = len(shop.log.events_of(VISIT))
    for sent in (data, csv_text.encode()):
        # whoever reads it in, and in whatever language: it is known again
        for language in ("en-XA", "en-US"):
            page = shop.client.post(
                f"{CAR}/exports",
                data=seen,
                files={"sheet": ("1", sent)},
                headers={"Accept-Language": language},
            )
            assert page.status_code == 200, page.text
    assert len(shop.log.events_of(VISIT)) == before
