"""What was captured on the phone waits at the desk, is put with a check there, and is played."""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.desk.model.log import keep_photo
from tests.desk.conftest import PHONE, VISIT, Workshop
from tests.desk.plan.test_work_log import a_photo
from tests.log.photos.test_recordings import SOUND

CAR = f"/desk/visits/{VISIT}"
NOTE = "notes/5e0c1a2b3d4f"
TAKEN = "2026-11-20T10:14:00-06:00"


@pytest.fixture
def sound(workshop: Workshop) -> str:
    """A recording that has arrived; its name."""
    return keep_photo(workshop.log.photos, SOUND, PHONE, "audio/wav")


def standing(workshop: Workshop) -> dict[str, Any]:
    cells = workshop.snapshot(VISIT).cells
    return {path: cell["value"] for path, cell in cells.items() if cell["value"] is not None}


def capture(workshop: Workshop, sound: str, **near: str) -> str:
    workshop.begin()
    photo = workshop.photo(a_photo(1))
    told = {"caption": "", "taken": TAKEN, "near": near}
    workshop.write(
        [
            (f"media/{photo}", {**told, "kind": "photo", "width": 60, "height": 40}),
            (f"media/{sound}", {**told, "kind": "engine", "length_ms": 28_400}),
            (NOTE, {"text": "Ask for the jack", "taken": TAKEN, "near": near}),
        ]
    )
    return photo


def test_what_belongs_to_no_check_yet_waits_with_the_check_it_was_taken_at(
    workshop: Workshop, sound: str
) -> None:
    photo = capture(workshop, sound, item="trim.seats")
    assert "3 photos, recordings, and notes aren&#39;t sorted yet." in workshop.client.get(CAR).text
    page = workshop.client.get(f"{CAR}/photos").text
    assert "Not sorted: 3" in page
    assert f'src="/desk/photos/{photo}"' in page
    assert f'<audio controls preload="none" src="/desk/recordings/{sound}"' in page
    assert "Engine sound, 0:28" in page
    assert "Ask for the jack" in page
    assert page.count("Put with: Seats") == 3


def test_one_press_puts_a_photo_with_the_check_it_was_taken_at(
    workshop: Workshop, sound: str
) -> None:
    photo = capture(workshop, sound, item="trim.seats")
    sent = {"suggested": f"media/{photo}"}
    answer = workshop.client.post(f"{CAR}/photos/sort", data=sent, follow_redirects=False)
    assert answer.headers["location"] == f"{CAR}/photos"
    stands = standing(workshop)
    assert f"media/{photo}" not in stands
    assert stands[f"items/trim.seats/photos/{photo}"] == {
        "caption": "",
        "taken": TAKEN,
        "width": 60,
        "height": 40,
    }
    assert photo in workshop.client.get(f"{CAR}/photos").text  # ungraded, and shown all the same
    workshop.client.post(f"{CAR}/photos/sort", data=sent)  # a second press changes nothing
    assert standing(workshop) == stands


def test_what_was_ticked_goes_to_one_check_together(workshop: Workshop, sound: str) -> None:
    photo = capture(workshop, sound)
    workshop.write([("items/brakes.hoses/note", "Cracked")])
    sent = {"entry": [f"media/{photo}", f"media/{sound}", NOTE], "item": "brakes.hoses"}
    workshop.client.post(f"{CAR}/photos/sort", data=sent)
    stands = standing(workshop)
    assert stands["items/brakes.hoses/note"] == "Cracked\nAsk for the jack"
    assert NOTE not in stands
    assert f"items/brakes.hoses/photos/{photo}" in stands
    assert stands[f"media/{sound}"]["item"] == "brakes.hoses"  # a recording stays where it is
    page = workshop.client.get(f"{CAR}/photos").text
    assert "Not sorted" not in page
    assert "Engine sound, 0:28: Brake hoses" in page
    assert f"/desk/recordings/{sound}" in page


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"item": "trim.seats"}, "Nothing is picked yet."),
        ({"entry": NOTE, "item": ""}, "Choose the check"),
        ({"entry": NOTE, "item": "no.such"}, "Choose the check"),
        ({"suggested": NOTE}, "Choose the check"),  # it was taken nowhere
        ({"suggested": "items/x/note"}, "Choose the check"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_is_lost(
    workshop: Workshop, sound: str, sent: dict[str, str], sentence: str
) -> None:
    capture(workshop, sound)
    before = standing(workshop)
    answer = workshop.client.post(f"{CAR}/photos/sort", data=sent)
    assert answer.status_code == 422
    assert sentence in answer.text
    assert standing(workshop) == before


def test_a_recording_is_played_as_what_it_is_and_never_as_a_page(
    workshop: Workshop, sound: str
) -> None:
    workshop.begin()
    whole = workshop.client.get(f"/desk/recordings/{sound}")
    assert (whole.content, whole.headers["content-type"]) == (SOUND, "audio/wav")
    assert whole.headers["x-content-type-options"] == "nosniff"
    assert "sandbox" in whole.headers["content-security-policy"]
    # RFC 9110, section 14: a player seeks by ranges
    part = workshop.client.get(f"/desk/recordings/{sound}", headers={"range": "bytes=4-9"})
    assert (part.status_code, part.content) == (206, SOUND[4:10])
    photo = workshop.photo(a_photo(2))
    for name in (photo, "0" * 64, "x"):  # a picture is no recording
        assert workshop.client.get(f"/desk/recordings/{name}").status_code == 404


def test_photos_stand_in_the_order_that_a_person_gave_them(workshop: Workshop) -> None:
    workshop.begin()
    names = [workshop.photo(a_photo(n)) for n in range(3)]
    for n, name in enumerate(names):
        told = {"caption": "", "taken": f"2026-11-20T10:0{n}:00-06:00"}
        put = (f"items/trim.seats/photos/{name}", {**told, "order": -1} if n == 2 else told)
        workshop.write([put, ("items/trim.seats/grade", {"grade": "minor"})])
    page = workshop.client.get(CAR).text
    places = [page.index(f"/desk/photos/{name}") for name in (names[2], names[0], names[1])]
    assert places == sorted(places)
