"""The record as JSON: it is what its schema says, and proves itself. What is read in, and by whom.

Oracles: jsonschema for the schema; the rfc8785 package for hashes and commitments.
"""

from __future__ import annotations

import base64
import hashlib
import io
import json
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import rfc8785

import bradawl.desk
from bradawl.desk.model.records.waiting_files import AT_ONCE, KEPT_S, WaitingFiles
from tests.desk.conftest import KEYS, OTHER_PHONE, PHONE, VISIT, Workshop
from tests.desk.plan.test_work_log import a_photo
from tests.log.writer import Writer, hash_of

IMPORT = "/desk/import"


def exported(workshop: Workshop) -> dict[str, Any]:
    answer = workshop.client.get(f"/desk/visits/{VISIT}/record.json")
    file: dict[str, Any] = answer.json()
    return file


def send(workshop: Workshop, file: Any) -> Any:
    data = file if isinstance(file, bytes) else json.dumps(file).encode()
    return workshop.client.post(IMPORT, files={"file": ("file.json", data)})


def approve(workshop: Workshop, page: Any, decision: str = "take") -> Any:
    """The owner's second word, on the page that showed what a file holds."""
    assert "Import it?" in page.text, page.text
    return workshop.client.post(page.url.path, data={"decision": decision})


@pytest.fixture
def sealed(workshop: Workshop) -> Workshop:
    workshop.begin()
    workshop.write([("items/rust.sill/grade", {"grade": "minor"}), ("items/rust.sill/note", "é")])
    workshop.write([("items/rust.sill/grade", {"grade": "major"})], device=OTHER_PHONE)
    workshop.seal()
    return workshop


@pytest.fixture
def elsewhere(tmp_path: Path) -> Iterator[Workshop]:
    (tmp_path / "elsewhere").mkdir()
    other = Workshop(tmp_path / "elsewhere")
    yield other
    other.log.close()


def test_the_record_is_what_the_published_schema_says(sealed: Workshop) -> None:
    file = Path(bradawl.desk.__file__).parent / "static" / "record-2.schema.json"
    schema = json.loads(file.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    record = exported(sealed)
    jsonschema.Draft202012Validator(schema).validate(record)
    served = sealed.client.get(record["$schema"])
    assert served.json() == schema
    assert served.headers["content-type"] == "application/schema+json"


def test_every_event_of_the_record_can_be_hashed_and_committed_to_again(sealed: Workshop) -> None:
    events = {(event["device"], event["seq"]): event for event in exported(sealed)["events"]}
    assert len(events) == len(sealed.log.events_of(VISIT))
    for (device, seq), event in events.items():
        salt = base64.urlsafe_b64decode(event["salt"] + "==")
        commit = hashlib.sha256(salt + event["value"].encode()).digest()
        assert event["commit"] == base64.urlsafe_b64encode(commit).rstrip(b"=").decode()
        assert rfc8785.dumps(json.loads(event["value"])).decode() == event["value"]
        if seq > 1:
            assert event["prev"] == hash_of(events[device, seq - 1])


def test_a_record_that_is_here_already_changes_nothing(sealed: Workshop) -> None:
    page = send(sealed, exported(sealed))
    assert "is already here" in page.text
    assert len(sealed.log.visits()) == 1
    assert sealed.log.marked() == {}


def test_a_record_from_elsewhere_is_shown_first_and_taken_in_as_not_signed(
    sealed: Workshop, elsewhere: Workshop
) -> None:
    file = exported(sealed)
    page = send(elsewhere, file)
    assert page.status_code == 200, page.text
    assert "12, 12 of them new" in page.text
    assert f"{VISIT[:8]}, not on this computer" in page.text
    assert "Nov 25, 2025" in page.text
    assert elsewhere.log.visits() == []  # shown, not taken in
    answer = approve(elsewhere, page)
    assert answer.status_code == 200, answer.text
    assert "12 entries imported" in answer.text
    assert "Its signature stays with the original" in answer.text
    copy = elsewhere.snapshot(VISIT)
    assert copy.cells["items/rust.sill/note"]["value"] == "é"
    assert copy.cells["items/rust.sill/grade"]["others"]  # what nobody had settled stays unsettled
    assert copy.bundle == sealed.bundle
    assert copy.seals == []
    (device,) = {event["device"] for event in copy.events}
    assert copy.unconfirmed == {device: "file"}
    assert [event["commit"] for event in copy.events] == [
        event["commit"] for event in file["events"] if not event["put"].startswith("seal/")
    ]


def test_reading_a_record_in_twice_changes_nothing_the_second_time(
    sealed: Workshop, elsewhere: Workshop
) -> None:
    file = exported(sealed)
    approve(elsewhere, send(elsewhere, file))
    events = len(elsewhere.log.events_of(VISIT))
    assert "is already here" in send(elsewhere, file).text
    assert len(elsewhere.log.events_of(VISIT)) == events
    # later it has more: only that comes in, and only that is asked about
    sealed.write([("items/rust.sill/text", "looked again")])
    page = send(elsewhere, exported(sealed))
    assert "13, 1 of them new" in page.text
    approve(elsewhere, page)
    assert len(elsewhere.log.events_of(VISIT)) == events + 1


def test_what_is_left_out_is_not_taken_in_and_waits_no_more(
    sealed: Workshop, elsewhere: Workshop
) -> None:
    page = send(elsewhere, exported(sealed))
    answer = approve(elsewhere, page, "refuse")
    assert "imported. Nothing was changed" in answer.text
    assert elsewhere.log.visits() == []
    assert elsewhere.client.get(page.url.path).status_code == 404


def test_a_changed_checklist_is_not_taken_for_the_one_it_names(
    sealed: Workshop, elsewhere: Workshop
) -> None:
    file = exported(sealed)
    file["checklist"]["rules"]["items"]["brakes.pads"]["limits"] = []
    page = approve(elsewhere, send(elsewhere, file))
    assert page.status_code == 422
    assert "the file was changed" in page.text
    assert elsewhere.log.visits() == []


@pytest.mark.parametrize(
    ("file", "sentence"),
    [
        (b"{", "JSON: "),
        (b"[" * 100_000, "JSON: "),
        ({"format": "something"}, "is neither a record"),
        ({"format": "bradawl-record", "version": 9}, "in version 9"),
        (
            {"format": "bradawl-record", "version": 2, "visit": VISIT, "events": []},
            "holds no entries",
        ),
        (
            {"format": "bradawl-record", "version": 2, "visit": VISIT, "events": [{"at": 1}, 7]},
            "holds no entry this version can read",
        ),
        ({"format": "bradawl-unsent", "version": 1}, "holds no entries"),
        ({"format": "bradawl-unsent", "version": 2, "batches": [7]}, "holds no entries"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused_with_a_sentence(
    workshop: Workshop, file: Any, sentence: str
) -> None:
    page = send(workshop, file)
    assert page.status_code == 422
    assert sentence in page.text
    assert workshop.log.visits() == []


def photos() -> list[dict[str, Any]]:
    data = a_photo()
    return [
        {
            "sha256": hashlib.sha256(data).hexdigest(),
            "type": "image/jpeg",
            "base64": base64.b64encode(data).decode(),
        }
    ]


def phone(count: int) -> Writer:
    """A phone that has recorded so much of a visit and sent nothing."""
    writer = Writer(KEYS[PHONE], VISIT)
    for number in range(count):
        writer.put(f"items/rust.sill/n{number}", number)
    return writer


def unsent(writer: Writer, *starts: int) -> dict[str, Any]:
    """What a phone saves (web/src/store/exchange/export.ts): its signed pushes, and a photo."""
    ends = [*(start - 1 for start in starts), len(writer.events)]
    batches = [writer.batch(a, b) for a, b in zip((1, *starts), ends, strict=True)]
    return {
        "format": "bradawl-unsent",
        "version": 2,
        "protocol": 2,
        "batches": batches,
        "photos": photos(),
    }


def test_what_a_phone_has_signed_is_pushed_as_it_is(workshop: Workshop) -> None:
    writer = phone(300)
    file = unsent(writer, 101, 201)
    page = send(workshop, file)
    assert page.status_code == 200, page.text
    assert "300 entries and 1 photo imported" in page.text
    events = workshop.log.events_of(VISIT)
    assert [hash_of(event) for event in events] == [hash_of(event) for event in writer.events]
    assert workshop.log.photo_original(file["photos"][0]["sha256"]) == a_photo()
    assert "0 entries" in send(workshop, file).text
    assert len(workshop.log.events_of(VISIT)) == 300
    assert workshop.log.marked() == {}


def test_a_file_cannot_write_into_a_phones_chain_without_its_signature(workshop: Workshop) -> None:
    """The attack: a file for any device's id, after which the honest phone was refused for ever."""
    writer = phone(3)
    file = unsent(writer)
    for changes in (
        {"signature": writer.key.sign("something else")},
        {"key": KEYS[OTHER_PHONE].public},
        {"head": "0" * 64},
    ):
        forged = {**file, "batches": [{**file["batches"][0], **changes}]}
        page = send(workshop, forged)
        assert "check out here" in page.text, page.text
        assert workshop.log.held() == {}
    assert workshop.log.push(writer.batch(), received_ms=writer.ms).stored == 3


def test_a_file_that_was_changed_waits_for_an_owner_and_keeps_its_photos(
    workshop: Workshop,
) -> None:
    file = unsent(phone(20))
    file["batches"][0]["events"][11]["value"] = '"forged"'
    page = send(workshop, file)
    assert "20, 20 of them new" in page.text
    assert workshop.log.visits() == []
    assert not workshop.log.photos.has(file["photos"][0]["sha256"])
    answer = approve(workshop, page)
    assert "20 entries imported" in answer.text
    assert "1 photo saved" in answer.text
    assert set(workshop.log.marked().values()) == {"file"}
    assert workshop.log.photo_original(file["photos"][0]["sha256"]) == a_photo()
    assert PHONE not in workshop.log.held()  # the phone's own chain is free for the phone
    assert "is already here" in approve_again(workshop, file).text
    assert len(workshop.log.events_of(VISIT)) == 20


def approve_again(workshop: Workshop, file: Any) -> Any:
    page = send(workshop, file)
    return approve(workshop, page) if "Import it?" in page.text else page


def test_a_file_of_another_protocol_is_taken_in_with_approval_alone(workshop: Workshop) -> None:
    """Protocol 1 had values as JSON, visits instead of scopes, stamps in `over`, no signature."""
    at = f"{{:015d}}-00000-{PHONE}".format
    path = "items/rust.sill/grade"
    events = [
        {"at": at(1_764_000_000_000), "visit": VISIT, "put": path, "value": {"grade": "minor"},
         "over": []},
        {"at": at(1_764_000_001_000), "visit": VISIT, "put": path, "value": {"grade": "major"},
         "over": [at(1_764_000_000_000)]},
        {"at": at(1_764_000_002_000), "visit": VISIT, "put": "a b", "value": 1, "over": []},
        {"at": at(1_764_000_003_000), "visit": VISIT, "put": "car/year", "value": 19.5, "over": []},
    ]  # fmt: skip
    batch = {"protocol": 1, "device": PHONE, "from_seq": 1, "prev": "", "events": events}
    file = {"format": "bradawl-unsent", "version": 1, "batch": batch, "photos": []}
    page = send(workshop, file)
    assert "(Protocol 1)" in page.text
    assert "2 entries this version can" in page.text
    approve(workshop, page)
    cell = workshop.snapshot(VISIT).cells[path]
    assert (cell["value"], cell["others"]) == ({"grade": "major"}, [])
    assert "is already here" in approve_again(workshop, file).text
    assert len(workshop.log.events_of(VISIT)) == 2


def test_an_inspector_may_hand_a_file_in_and_not_approve_it(workshop: Workshop) -> None:
    file = unsent(phone(5))
    file["batches"][0]["signature"] = "A" * 86
    workshop.owner = False
    page = send(workshop, file)
    assert "Only an owner can import this" in page.text
    assert "Import, marked" not in page.text
    refused = workshop.client.post(page.url.path, data={"decision": "take"})
    assert refused.status_code == 403
    assert workshop.log.visits() == []
    assert "file.json" in workshop.client.get(IMPORT).text
    workshop.owner = True
    assert "5 entries imported" in approve(workshop, workshop.client.get(page.url.path)).text


def test_a_phone_set_back_to_an_older_copy_brings_its_entries_in(workshop: Workshop) -> None:
    """It was stuck before: refused at every sync, and its file with the same sentence."""
    sent, lost = phone(5), phone(3)
    workshop.log.push(sent.batch(), received_ms=sent.ms)
    lost.put("items/brakes.pads/note", "on the copy")
    page = send(workshop, unsent(lost))
    assert page.status_code == 200, page.text
    assert "kept beside the others" in page.text
    assert "on the copy" in {event["value"] for event in workshop.log.events_of(VISIT)}
    assert set(workshop.log.marked().values()) == {"forked"}
    assert workshop.log.held()[PHONE] == 5
    send(workshop, unsent(lost))
    assert len(workshop.log.events_of(VISIT)) == 6


def test_a_damaged_photo_is_said_and_the_entries_stay(workshop: Workshop) -> None:
    file = unsent(phone(5))
    file["photos"].append({"sha256": "0" * 64, "type": "image/jpeg", "base64": "?"})
    page = send(workshop, file)
    assert page.status_code == 422
    assert "Photo 2" in page.text
    assert len(workshop.log.events_of(VISIT)) == 5


def test_files_wait_for_a_day_and_not_too_many_at_once() -> None:
    now = [0.0]
    waiting = WaitingFiles(clock=lambda: now[0])
    names = [waiting.keep(f"{n}.json", io.BytesIO(b"%d" % n), "Ada") for n in range(AT_ONCE + 1)]
    assert waiting.find(names[0]) is None
    assert len(waiting.all()) == AT_ONCE
    now[0] += KEPT_S + 1
    assert waiting.all() == []
    assert waiting.find(names[-1]) is None


def test_what_a_killed_server_left_waiting_is_removed_when_the_next_begins(tmp_path: Path) -> None:
    """A file that is read in names the seller; nothing on this server would forget it."""
    script = """
import io, os, pathlib, signal, sys
from bradawl.desk.model.records.waiting_files import WaitingFiles
WaitingFiles(pathlib.Path(sys.argv[1])).keep("visit.json", io.BytesIO(b"Zephyrine"), "Ada")
os.kill(os.getpid(), signal.SIGKILL)
"""
    killed = subprocess.run([sys.executable, "-c", script, str(tmp_path)], check=False)
    assert killed.returncode == -signal.SIGKILL
    own = WaitingFiles(tmp_path)
    own.keep("other.json", io.BytesIO(b"Quillon"), "Ada")
    other = WaitingFiles(tmp_path)  # of a second process: it takes nothing from one that lives
    left = [path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()]
    assert b"Zephyrine" not in left
    assert b"Quillon" in left
    assert other.all() == []
