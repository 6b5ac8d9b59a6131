"""The desk's page about backups."""

from __future__ import annotations

from bradawl.backup.archive import Lack
from bradawl.backup.create import Contents
from tests.access.conftest import Server

PHONE = "d1" * 16
OTHER = "d2" * 16


def test_the_desk_hands_out_a_backup_to_a_confirmed_owner_only(server: Server) -> None:
    owner = server.desk()
    answer = owner.post("/desk/keep")
    assert answer.content == b"everything"
    assert answer.headers["content-type"] == "application/x-tar"
    assert answer.headers["content-disposition"].startswith("attachment")
    assert server.access.audit.lines()[0].act == "backup downloaded"
    assert server.desk("Bo", "inspector").post("/desk/keep").status_code == 403
    assert server.client().post("/desk/keep").status_code == 401
    server.clock.pass_seconds(601)
    assert owner.post("/desk/keep").headers["location"].startswith("/desk/confirm")


def test_the_desk_says_what_is_missing(server: Server) -> None:
    owner = server.desk()
    assert "No phone has seen anything" in owner.get("/desk/keep").text
    server.events.held = {PHONE: 10}
    server.access.missing.note({PHONE: 15, OTHER: 1}, server.events.held)
    page = owner.get("/desk/keep").text
    assert "5 entries, numbers 11 to 15" in page
    assert "1 entry, number 1" in page


def test_what_phones_claim_to_have_seen_cannot_fill_the_disk(server: Server) -> None:
    for first in range(0, 1200, 300):
        have = {f"{number:032x}": 5 for number in range(first, first + 300)}
        server.access.missing.note(have, {})
    assert len(server.access.missing.gaps({})) == 500


def test_the_desk_says_what_is_damaged_before_it_hands_out_the_rest(server: Server) -> None:
    gone = Lack("photos/x", "Photo 0123 is gone. It belongs to Testa One, item rust.sills.")
    server.events.contents = Contents("2026-11-25T09:00:00+00:00", 1, 1, 2, 10, missing=(gone,))
    owner = server.desk()
    answer = owner.post("/desk/keep")
    assert answer.status_code == 409
    assert gone.what in answer.text
    assert "Download the rest" in answer.text
    assert owner.post("/desk/keep", data={"anyway": "yes"}).content == b"everything"
