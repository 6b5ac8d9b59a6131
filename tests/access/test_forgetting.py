"""A seller who asks is forgotten wherever somebody could look, and no hash or seal is harmed."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import text

from bradawl.access.access import Access
from bradawl.access.forgetting import Forgetting
from bradawl.access.people import desk_device
from bradawl.access.tables import WithheldRow
from bradawl.access.withholding import WHOLE, WITHHELD, Hidden, personal
from bradawl.database import migrate, open_engine, writing
from bradawl.dossier import Dossier, gather
from bradawl.judgement import canonical, fold, photos_text, record_text
from bradawl.log import Log, open_photo_store
from tests.access.conftest import VISIT, Server

PHONE = "d1" * 16
SELLER = "Tilda Wexcombe, 0171 555 0199"
PLACE = "12 Quarry Lane"
BUNDLE: dict[str, Any] = {"rules": {"items": {}, "areas": []}, "items": [], "hash": "0" * 64}


class Workshop:
    """A real log with a real fold, and access's withholding wired to it as the server does."""

    def __init__(self, folder: Path, photos: Path) -> None:
        self.engine = open_engine(f"sqlite:///{folder}/bradawl.sqlite3")
        migrate(self.engine)
        self.access = Access(self.engine)
        self.log = Log(self.engine, open_photo_store(photos), withheld=self.access.withholding)
        self.forgetting = Forgetting(self.access.withholding, self.log.events_of, self.log.append)

    def dossier(self) -> Dossier:
        return gather(
            self.log,
            VISIT,
            today="2026-11-25",
            current_bundle=lambda: BUNDLE,
            withhold=self.access.withholding.events,
        )

    def seal(self) -> None:
        events = self.log.events_of(VISIT)
        cells = fold(events)
        value = {
            "name": "Ada",
            "place": PLACE,
            "at": {"date": "2026-11-25", "time": "10:00", "zone": "+01:00"},
            "strokes": [],
            "box": [10, 10],
            "through": {PHONE: max(event["seq"] for event in events)},
            "record": hashlib.sha256(record_text(VISIT, cells).encode()).hexdigest(),
            "photos": {"count": 0, "hash": hashlib.sha256(photos_text(cells).encode()).hexdigest()},
        }
        self.log.append(PHONE, VISIT, [("seal/1", value)])

    def pulled(self) -> list[dict[str, Any]]:
        batches = json.loads(self.log.pull({}).json())["batches"]
        return [{"batch": batch, **event} for batch in batches for event in batch["events"]]


@pytest.fixture(scope="module")
def photos(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One empty store for all: making one makes five hundred folders durable."""
    return tmp_path_factory.mktemp("photos")


@pytest.fixture
def workshop(tmp_path: Path, photos: Path) -> Workshop:
    one = Workshop(tmp_path, photos)
    one.log.append(
        PHONE,
        VISIT,
        [
            ("about/seller", "T. Wexcombe"),
            ("about/seller", SELLER),
            ("about/place", PLACE),
            ("car/make", "Testa"),
            ("items/rust.sills/note", "seller Wexcombe says repaired"),
            ("items/rust.sills/grade", {"grade": "minor"}),
        ],
    )
    one.seal()
    # written here as the server writes, and from now on the phone's own
    with writing(one.log.engine) as connection:
        connection.execute(text("UPDATE log_device SET stands_for = ''"))
    return one


def everything(workshop: Workshop) -> str:
    """All that a page, a report or a device could show, as one text."""
    dossier = workshop.dossier()
    shown = [
        dossier.events,
        dossier.cells,
        dossier.sealed_cells,
        dossier.amendments,
        dossier.assessment,
        [seal.value for seal in dossier.seals],
    ]
    return json.dumps(shown) + workshop.log.pull({}).json().decode()


def forget_everything(workshop: Workshop) -> int:
    found = workshop.forgetting.find(VISIT)
    parts = [(one.put, one.part) for one in found]
    return workshop.forgetting.forget(VISIT, parts, desk_device("a" * 32))


def test_nothing_that_can_be_shown_names_the_seller_any_more(workshop: Workshop) -> None:
    assert "Wexcombe" in everything(workshop)
    assert forget_everything(workshop) == 4
    text = everything(workshop)
    for secret in ("Wexcombe", "555 0199", "Quarry"):
        assert secret not in text
    assert "Testa" in text


def test_the_seal_still_holds_and_the_findings_stand(workshop: Workshop) -> None:
    forget_everything(workshop)
    dossier = workshop.dossier()
    assert [seal.holds for seal in dossier.seals] == [True]
    assert dossier.seals[0].value["place"] == WITHHELD
    assert dossier.cells["items/rust.sills/grade"]["value"] == {"grade": "minor"}
    assert dossier.cells["about/seller"]["value"] is None
    assert dossier.forgotten == {"about/seller", "about/place", "items/rust.sills/note"}


def test_the_chain_that_a_phone_pulls_can_still_be_checked_event_by_event(
    workshop: Workshop,
) -> None:
    before = {one["batch"]["device"]: one["batch"]["head"] for one in workshop.pulled()}
    forget_everything(workshop)
    chained: dict[str, str] = {}
    seq: dict[str, int] = {}
    for one in workshop.pulled():
        batch = one["batch"]
        device = batch["device"]
        seq[device] = seq.get(device, 0) + 1
        event = {key: one[key] for key in ("at", "visit", "put", "value", "over")}
        event |= {"device": device, "seq": seq[device], "prev": chained.get(device, "")}
        own = hashlib.sha256(canonical(event).encode()).hexdigest()
        assert ("withheld" in one) == (one.get("withheld", own) != own)
        chained[device] = one.get("withheld", own)
        if seq[device] == batch["from_seq"] + len(batch["events"]) - 1:
            assert chained[device] == batch["head"]
    assert before[PHONE] == chained[PHONE]


def test_a_phone_that_held_the_old_value_folds_it_away(workshop: Workshop) -> None:
    """The phone keeps its own events; the taken-back values travel to it as events."""
    own = workshop.log.events_of(VISIT)
    forget_everything(workshop)
    arrived = [event for event in workshop.log.events_of(VISIT) if event not in own]
    cells = fold(own + arrived)
    assert cells["about/seller"] == {
        "value": None,
        "at": cells["about/seller"]["at"],
        "others": [],
    }


def test_a_repeat_of_the_phones_batch_is_still_recognised(workshop: Workshop) -> None:
    own = [event for event in workshop.log.events_of(VISIT) if event["device"] == PHONE]
    forget_everything(workshop)
    last = own[-1]
    keys = ("device", "seq", "prev", "at", "visit", "put", "value", "over")
    head = hashlib.sha256(canonical({key: last[key] for key in keys}).encode()).hexdigest()
    written = [{key: one[key] for key in ("at", "visit", "put", "value", "over")} for one in own]
    batch = {"protocol": 1, "device": PHONE, "from_seq": 1, "prev": "", "events": written}
    answer = workshop.log.push({**batch, "head": head}, received_ms=1)
    assert (answer.held, answer.head, answer.stored) == (len(own), head, 0)


def test_forgetting_twice_finds_nothing_more(workshop: Workshop) -> None:
    forget_everything(workshop)
    assert workshop.forgetting.find(VISIT) == []
    events = len(workshop.log.events_of(VISIT))
    assert workshop.forgetting.forget(VISIT, [("about/seller", WHOLE)], "e1" * 16) == 0
    assert len(workshop.log.events_of(VISIT)) == events


def test_a_forgotten_photo_is_not_shown_and_not_asked_for_again(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    sha = "ab" * 32
    monkeypatch.setattr(workshop.log.photos, "served", lambda _: b"picture")
    monkeypatch.setattr(workshop.log.photos, "original", lambda _: b"picture")
    workshop.log.append(PHONE, VISIT, [(f"items/papers.plate/photos/{sha}", {"caption": "plate"})])
    assert workshop.log.photo(sha) == b"picture"
    workshop.forgetting.forget(VISIT, [(f"items/papers.plate/photos/{sha}", WHOLE)], "e1" * 16)
    assert workshop.log.photo(sha) is None
    assert workshop.log.photo_original(sha) is None
    assert workshop.log.photo("cd" * 32) == b"picture"


def event(put: str, value: Any) -> dict[str, Any]:
    return {"put": put, "value": value}


@pytest.mark.parametrize(
    ("put", "value", "certain"),
    [
        ("about/seller", "Tilda", True),
        ("about/place", "12 Quarry Lane", True),
        ("seal/2", {"name": "Ada", "place": "12 Quarry Lane"}, True),
        ("items/a.b/note", "call +44 171 555 0199", False),
        ("items/a.b/note", "tilda@example.org has the papers", False),
        ("items/a.b/grade", {"grade": "minor", "why": "Tilda said so"}, False),
        ("items/a.b/photos/" + "a" * 64, {"caption": "TILDA's invoice"}, False),
    ],
)
def test_what_is_or_may_be_personal_is_found(put: str, value: Any, certain: bool) -> None:
    found = personal([event("about/seller", "Tilda"), event(put, value)])
    assert (put, certain) in {(one.put, one.certain) for one in found}


@pytest.mark.parametrize(
    ("put", "value"),
    [
        ("about/inspector", "Tilda Wright"),
        ("car/odometer", {"typed": "0182400123", "unit": "km"}),
        ("items/a.b/readings/film/one", {"typed": "110", "unit": "um"}),
        ("items/a.b/note", "welded 2004-11-25, 2 plates of 1.5 mm"),
        ("seal/1", {"name": "Ada", "place": ""}),
        ("about/place", ""),
    ],
)
def test_what_is_not_personal_is_left_alone(put: str, value: Any) -> None:
    found = personal([event("about/seller", "Tilda"), event(put, value)])
    assert [one.put for one in found] == ["about/seller"]


def test_hiding_a_part_keeps_the_rest_and_what_came_later() -> None:
    rows = [
        WithheldRow(visit=VISIT, put="seal/1", part="place", until="5", since_ms=0),
        WithheldRow(visit=VISIT, put="items/a/note", part=WHOLE, until="5", since_ms=0),
    ]
    hidden = Hidden(rows)
    value = {"name": "Ada", "place": "there"}
    assert hidden.value(VISIT, "seal/1", "4", value) == {"name": "Ada", "place": WITHHELD}
    assert hidden.value(VISIT, "seal/1", "6", value) is value
    assert hidden.value("other", "seal/1", "4", value) is value
    assert hidden.value(VISIT, "items/a/note", "5", "text") is None
    assert hidden.value(VISIT, "items/a/note", "6", "text") == "text"


def test_a_note_that_is_written_after_forgetting_is_shown(workshop: Workshop) -> None:
    forget_everything(workshop)
    workshop.log.append(PHONE, VISIT, [("items/rust.sills/note", "a plate is welded on")])
    cell = workshop.dossier().cells["items/rust.sills/note"]
    assert (cell["value"], cell["others"]) == ("a plate is welded on", [])
    assert "a plate is welded on" in workshop.log.pull({}).json().decode()


def test_the_desk_forgets_what_the_owner_ticks(server: Server) -> None:
    server.events.put("about/seller", SELLER)
    server.events.put("about/place", PLACE)
    server.events.put("items/a.b/note", "Wexcombe has a receipt")
    desk = server.desk()
    page = desk.get(f"/desk/visits/{VISIT}/forget").text
    assert "mentions the seller&#39;s name" in page
    assert page.count(" checked") == 2
    answer = desk.post(
        f"/desk/visits/{VISIT}/forget",
        data={"value": ["about/seller|", "about/place|"]},
    )
    assert "Forgotten: 2 values" in answer.text
    shown = server.access.withholding.events(VISIT, server.events.of(VISIT))
    assert SELLER not in json.dumps(shown)
    assert "receipt" in json.dumps(shown)
    line = server.access.audit.lines()[0]
    assert (line.act, line.about) == ("forgot 2 values", "Testa Uno 1974")
    assert "Wexcombe" not in json.dumps(
        [vars(one) for one in server.access.audit.lines()], default=str
    )


def test_only_a_confirmed_owner_forgets(server: Server) -> None:
    server.events.put("about/seller", SELLER)
    server.desk()
    inspector = server.desk("Bo", "inspector")
    form = {"value": "about/seller|"}
    assert inspector.post(f"/desk/visits/{VISIT}/forget", data=form).status_code == 403
    assert server.client().post(f"/desk/visits/{VISIT}/forget", data=form).status_code == 401
    assert server.access.withholding.now().visits == frozenset()


def test_an_unknown_path_or_an_empty_form_changes_nothing(server: Server) -> None:
    server.events.put("about/seller", SELLER)
    desk = server.desk()
    for form in ({}, {"value": "about/nothing|"}):
        assert desk.post(f"/desk/visits/{VISIT}/forget", data=form).status_code == 422
    assert desk.get(f"/desk/visits/{'c3' * 16}/forget").status_code == 404
    assert server.access.withholding.now().visits == frozenset()
