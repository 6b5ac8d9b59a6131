"""The record as JSON: it is what its schema says, and it is read in again.

Oracles: jsonschema for the schema; the log's own push for a phone's unsent file.
"""

from __future__ import annotations

import base64
import hashlib
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import bradawl.desk
from bradawl.judgement import canonical
from tests.desk.conftest import OTHER_PHONE, PHONE, VISIT, Workshop
from tests.desk.test_works import a_photo

IMPORT = "/desk/import"


def exported(workshop: Workshop) -> dict[str, Any]:
    answer = workshop.client.get(f"/desk/visits/{VISIT}/record.json")
    held: dict[str, Any] = answer.json()
    return held


def send(workshop: Workshop, held: Any) -> Any:
    data = held if isinstance(held, bytes) else json.dumps(held).encode()
    return workshop.client.post(IMPORT, files={"file": ("file.json", data)})


@pytest.fixture
def sealed(workshop: Workshop) -> Workshop:
    workshop.begin()
    workshop.write([("items/rust.sill/grade", {"grade": "minor"}), ("items/rust.sill/note", "é")])
    workshop.write([("items/rust.sill/grade", {"grade": "major"})], device=OTHER_PHONE)
    workshop.seal()
    return workshop


def test_the_record_is_what_the_published_schema_says(sealed: Workshop) -> None:
    file = Path(bradawl.desk.__file__).parent / "static" / "record-1.schema.json"
    schema = json.loads(file.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    held = exported(sealed)
    jsonschema.Draft202012Validator(schema).validate(held)
    assert held["events"] == sealed.log.events_of(VISIT)
    served = sealed.client.get(held["$schema"])
    assert served.json() == schema
    assert served.headers["content-type"] == "application/schema+json"


def test_a_record_that_is_here_already_changes_nothing(sealed: Workshop) -> None:
    page = send(sealed, exported(sealed))
    assert "is here already" in page.text
    assert len(sealed.log.visits()) == 1


def test_a_record_from_elsewhere_becomes_a_copy_that_says_where_it_came_from(
    sealed: Workshop, tmp_path: Path
) -> None:
    held = exported(sealed)
    (tmp_path / "elsewhere").mkdir()
    elsewhere = Workshop(tmp_path / "elsewhere")
    page = send(elsewhere, held)
    assert page.status_code == 200, page.text
    assert "Its seal stays with the original" in page.text
    assert "Of 1 unsettled entries" in page.text
    (line,) = elsewhere.log.visits()
    assert line.visit != VISIT
    copy = elsewhere.dossier(line.visit)
    assert copy.cells["items/rust.sill/grade"]["value"] == {"grade": "major"}
    assert copy.cells["items/rust.sill/note"]["value"] == "é"
    assert copy.cells["about/copied_from"]["value"]["visit"] == VISIT
    assert copy.events[0]["put"] == "about/bundle"
    assert copy.bundle == sealed.bundle
    assert copy.seals == []
    elsewhere.log.close()


def test_a_changed_checklist_is_not_taken_for_the_one_it_names(
    sealed: Workshop, tmp_path: Path
) -> None:
    held = exported(sealed)
    held["checklist"]["rules"]["items"]["brakes.pads"]["limits"] = []
    (tmp_path / "elsewhere").mkdir()
    elsewhere = Workshop(tmp_path / "elsewhere")
    page = send(elsewhere, held)
    assert page.status_code == 422
    assert "the file was changed" in page.text
    assert elsewhere.log.visits() == []
    elsewhere.log.close()


@pytest.mark.parametrize(
    ("held", "sentence"),
    [
        (b"{", "is not JSON"),
        ({"format": "something"}, "is neither a record"),
        ({"format": "bradawl-record", "version": 9}, "has version 9"),
        ({"format": "bradawl-record", "version": 1, "visit": VISIT, "events": []}, "no events"),
        (
            {"format": "bradawl-record", "version": 1, "visit": VISIT, "events": [{"at": 1}]},
            "event 1 is not as the format describes it",
        ),
        ({"format": "bradawl-unsent", "version": 1}, "holds no batch"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused_with_a_sentence(
    workshop: Workshop, held: Any, sentence: str
) -> None:
    page = send(workshop, held)
    assert page.status_code == 422
    assert sentence in page.text
    assert workshop.log.visits() == []


def unsent(count: int) -> dict[str, Any]:
    """What a phone saves: a batch of its events, and a photo."""
    events, head = [], ""
    for n in range(count):
        event = {
            "at": f"{1_764_000_000_000 + n:015d}-00000-{PHONE}",
            "visit": VISIT,
            "put": f"items/rust.sill/n{n}",
            "value": n,
            "over": [],
        }
        events.append(event)
        whole = {"device": PHONE, "seq": n + 1, "prev": head, **event}
        head = hashlib.sha256(canonical(whole).encode()).hexdigest()
    data = a_photo()
    return {
        "format": "bradawl-unsent",
        "version": 1,
        "batch": {
            "protocol": 1,
            "device": PHONE,
            "from_seq": 1,
            "prev": "",
            "events": events,
            "head": head,
        },
        "photos": [
            {
                "sha256": hashlib.sha256(data).hexdigest(),
                "type": "image/jpeg",
                "base64": base64.b64encode(data).decode(),
            }
        ],
    }


def test_a_phone_s_unsent_file_is_pushed_as_its_own_chain(workshop: Workshop) -> None:
    held = unsent(2_300)  # more than one push may hold
    page = send(workshop, held)
    assert page.status_code == 200, page.text
    assert "2300 entries and 1 photos" in page.text
    events = workshop.log.events_of(VISIT)
    assert len(events) == 2_300
    assert {event["device"] for event in events} == {PHONE}
    assert workshop.log.photo_original(held["photos"][0]["sha256"]) == a_photo()
    assert "0 entries" in send(workshop, held).text
    assert len(workshop.log.events_of(VISIT)) == 2_300


def test_a_phone_s_file_that_was_changed_is_read_in_not_at_all(workshop: Workshop) -> None:
    held = unsent(1_500)
    held["batch"]["events"][1_200]["value"] = 7
    page = send(workshop, held)
    assert page.status_code == 422
    assert "Nothing was read in" in page.text
    assert workshop.log.visits() == []
