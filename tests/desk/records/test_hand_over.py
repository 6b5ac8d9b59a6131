"""What a phone hands over as a file: checked, shown, taken in once, refused if it was changed.

Oracles: Python's zipfile writes the archives (PKWARE APPNOTE), `tests/log/writer.py` the pushes as
the protocol says, without the server's code.
"""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Callable
from typing import Any

import pytest

from tests.desk.conftest import KEYS, OTHER_PHONE, PHONE, VISIT, Workshop
from tests.desk.plan.test_work_log import a_photo
from tests.log.writer import Writer, hash_of

IMPORT = "/desk/import"


def phone(count: int = 3) -> Writer:
    """A phone that named a car, photographed it and locked it, and has sent nothing."""
    writer = Writer(KEYS[PHONE], VISIT)
    writer.put("car/make", "Tarn")
    writer.put("car/model", "Vale")
    for number in range(count):
        writer.put(f"items/rust.sill/n{number}", number)
    sha256 = hashlib.sha256(a_photo()).hexdigest()
    writer.put(f"items/rust.sill/photos/{sha256}", {"caption": "left"})
    return writer


def members(writer: Writer, *starts: int, photo: bytes | None = None) -> dict[str, bytes]:
    """What is in a phone's archive (web/src/app/screens/after/hand-over/archive.ts)."""
    photo = a_photo() if photo is None else photo
    sha256 = hashlib.sha256(a_photo()).hexdigest()
    ends = [*(start - 1 for start in starts), len(writer.events)]
    about = {
        "format": "bradawl-hand-over",
        "version": 1,
        "device": writer.device,
        "blobs": [[sha256, "image/jpeg"]],
    }
    batches = {
        f"batches/{n:06d}.json": json.dumps(writer.batch(a, b)).encode()
        for n, (a, b) in enumerate(zip((1, *starts), ends, strict=True), start=1)
    }
    return {
        "bradawl.json": json.dumps(about).encode(),
        **batches,
        f"photos/{sha256}.jpg": photo,
    }


def archive(of: dict[str, bytes]) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_STORED) as made:
        for name, content in of.items():
            made.writestr(name, content)
    return file.getvalue()


def send(workshop: Workshop, data: bytes) -> Any:
    return workshop.client.post(IMPORT, files={"file": ("phone.zip", data)})


def take(workshop: Workshop, page: Any, **form: str) -> Any:
    assert page.status_code == 200, page.text
    return workshop.client.post(f"{page.url.path}/take", data=form)


def nothing_here(workshop: Workshop) -> None:
    assert workshop.log.held() == {}
    assert workshop.log.visits() == []
    assert not workshop.log.photos.has(hashlib.sha256(a_photo()).hexdigest())
    assert "phone.zip" not in workshop.client.get(IMPORT).text


def test_it_is_shown_first_then_taken_in_with_its_photos_and_never_twice(
    workshop: Workshop,
) -> None:
    writer = phone(300)
    page = send(workshop, archive(members(writer, 101, 201)))
    assert "303, 303 of them new" in page.text
    assert "Tarn Vale" in page.text
    assert "signed with the key of First phone" in page.text
    assert workshop.log.held() == {}  # shown, not taken in

    answer = take(workshop, page)
    assert "303 entries and 1 photo imported" in answer.text
    events = workshop.log.events_of(VISIT)
    assert [hash_of(event) for event in events] == [hash_of(event) for event in writer.events]
    assert workshop.log.photo_original(hashlib.sha256(a_photo()).hexdigest()) == a_photo()
    assert workshop.log.marked() == {}

    # by mistake once more, and later with what came since
    writer.put("items/rust.sill/note", "looked again")
    assert "0 entries" in take(workshop, send(workshop, archive(members(phone(300))))).text
    page = send(workshop, archive(members(writer)))
    assert "304, 1 of them new" in page.text
    assert "1 entry and 1 photo imported" in take(workshop, page).text
    assert len(workshop.log.events_of(VISIT)) == 304
    # paired, it goes on from there: what it sends anew is passed over
    assert workshop.log.push(writer.batch(), received_ms=writer.ms).stored == 0


def test_an_owner_vouches_for_a_strangers_phone_or_its_entries_stay_marked(
    workshop: Workshop,
) -> None:
    workshop.strangers.add(PHONE)
    data = archive(members(phone()))
    workshop.owner = False
    page = send(workshop, data)
    assert "This phone is ours" not in page.text
    assert "are marked until an owner" in take(workshop, page, ours="true").text
    assert set(workshop.log.marked()) == {PHONE}
    workshop.owner = True
    page = send(workshop, data)
    assert "This phone is ours" in page.text
    assert "are marked" not in take(workshop, page, ours="true").text
    assert workshop.log.marked() == {}


Change = Callable[[dict[str, bytes]], dict[str, bytes]]


def forged(of: dict[str, bytes]) -> dict[str, bytes]:
    batch = json.loads(of["batches/000001.json"])
    batch["events"][1]["value"] = '"Moor"'
    return {**of, "batches/000001.json": json.dumps(batch).encode()}


def another_signature(of: dict[str, bytes]) -> dict[str, bytes]:
    batch = json.loads(of["batches/000001.json"])
    batch["signature"] = KEYS[OTHER_PHONE].sign("something else")
    return {**of, "batches/000001.json": json.dumps(batch).encode()}


def another_version(of: dict[str, bytes]) -> dict[str, bytes]:
    about = {**json.loads(of["bradawl.json"]), "version": 7}
    return {**of, "bradawl.json": json.dumps(about).encode()}


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (forged, "was changed after the phone signed it"),
        (another_signature, "was changed after the phone signed it"),
        (lambda of: {n: b for n, b in of.items() if n != "batches/000002.json"}, "are missing"),
        (
            lambda of: {n: a_photo(1) if n.startswith("photos/") else b for n, b in of.items()},
            "one that the phone took",
        ),
        (another_version, "in version 7"),
        (lambda of: {"something.txt": b"else"}, "a file that a phone handed over"),
    ],
)
def test_a_file_that_was_changed_is_refused_with_a_sentence_and_nothing_of_it_is_kept(
    workshop: Workshop, change: Change, sentence: str
) -> None:
    page = send(workshop, archive(change(members(phone(9), 4, 8))))
    assert page.status_code == 422
    assert sentence in page.text
    nothing_here(workshop)


def test_half_a_file_or_a_flipped_bit_is_refused_and_the_whole_one_still_comes_in(
    workshop: Workshop,
) -> None:
    whole = archive(members(phone(40)))
    for length in (4, 30, len(whole) // 2, len(whole) - 1):
        page = send(workshop, whole[:length])
        assert page.status_code == 422
        assert "whole" in page.text
    at = whole.index(a_photo()) + 20
    page = send(workshop, whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
    assert page.status_code == 422
    nothing_here(workshop)
    assert "43 entries and 1 photo" in take(workshop, send(workshop, whole)).text


def test_a_packed_member_is_not_unpacked(workshop: Workshop) -> None:
    """A few bytes that would unpack to more than the computer has room for (a zip bomb)."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as made:
        for name, content in members(phone(), photo=b"\0" * 5_000_000).items():
            made.writestr(name, content)
    page = send(workshop, file.getvalue())
    assert page.status_code == 422
    nothing_here(workshop)


def test_photos_that_came_with_no_file_are_asked_for(workshop: Workshop) -> None:
    of = {name: data for name, data in members(phone()).items() if not name.startswith("photos/")}
    page = send(workshop, archive(of))
    assert "on this computer either" in page.text
    assert "hand over again on the phone, with all photos" in take(workshop, page).text


ODD = (None, -1, 10**30, 0.5, "\0", {}, [[]], [["x", 1]], "x" * 5_000)


@pytest.mark.parametrize("member", ["bradawl.json", "batches/000001.json"])
def test_no_odd_value_makes_the_desk_fail(workshop: Workshop, member: str) -> None:
    of = members(phone())
    whole = json.loads(of[member])
    for key in whole:
        for odd in ODD:
            data = archive({**of, member: json.dumps({**whole, key: odd}).encode()})
            assert send(workshop, data).status_code in (200, 422), (key, odd)
    for odd in (b"", b"[]", b"\xff", b"[" * 100_000, b"7"):
        assert send(workshop, archive({**of, member: odd})).status_code == 422, odd
    assert workshop.log.held() == {}


def test_a_car_with_odd_names_is_shown(workshop: Workshop) -> None:
    writer = Writer(KEYS[PHONE], VISIT)
    for path in ("car/make", "car/model", "car/year"):
        writer.put(path, {"an": ["odd", "name"]})
    writer.put("car/vin", "\ud800<b>")
    page = send(workshop, archive(members(writer)))
    assert page.status_code == 200
    assert "<b>" not in page.text


def test_a_recording_comes_along_and_what_is_no_photo_keeps_back_no_other(
    workshop: Workshop,
) -> None:
    """RFC 9559: a WebM file begins with the EBML header; the phone says that it is sound."""
    sound, none = b"\x1a\x45\xdf\xa3\x9fB\x86\x81\1B\xf7\x81\1B\xf2\x81", b"no photo at all"
    writer = phone()
    names = [hashlib.sha256(data).hexdigest() for data in (none, sound)]
    writer.put(f"items/rust.sill/photos/{names[0]}", {"caption": ""})
    writer.put(f"media/{names[1]}", {"kind": "voice", "type": "audio/webm"})
    of = members(writer)
    about = json.loads(of["bradawl.json"])
    about["blobs"] += [[names[0], "image/jpeg"], [names[1], "audio/webm"]]
    of["bradawl.json"] = json.dumps(about).encode()
    data = archive({**of, f"photos/{names[0]}.jpeg": none, f"photos/{names[1]}.webm": sound})
    page = send(workshop, data)
    assert "Recordings</dt><dd>1</dd>" in page.text
    answer = take(workshop, page)
    assert "8 entries and 2 photos imported" in answer.text
    assert "1 photo or recording" in answer.text
    assert workshop.log.photos.recording(names[1]) == ("audio/webm", sound)
    assert workshop.log.photos.has(hashlib.sha256(a_photo()).hexdigest())
