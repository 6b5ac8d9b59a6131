"""The audit trail can be added to and read, and that is all."""

from __future__ import annotations

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from bradawl.access.core.audit import LISTED_EACH_HOUR, MORE, NOBODY, Audit
from tests.access.conftest import Server
from tests.access.devices.wishes import wish


@pytest.mark.parametrize("act", ["DELETE FROM access_audit", "UPDATE access_audit SET who = 'x'"])
def test_the_database_itself_refuses_to_change_the_trail(server: Server, act: str) -> None:
    server.access.audit.record("Owner", "did something")
    with (
        pytest.raises(DBAPIError, match="never changed or deleted"),
        server.engine.begin() as connection,
    ):
        connection.execute(text(act))
    assert [line.act for line in server.access.audit.lines()] == ["did something"]


def test_the_program_offers_no_way_to_delete_a_line() -> None:
    public = {name for name in vars(Audit) if not name.startswith("_")}
    assert public == {"record", "record_if_possible", "record_unasked", "lines", "acts"}


def test_lines_come_newest_first_and_in_pages(server: Server) -> None:
    for number in range(5):
        server.access.audit.record("Owner", f"act {number}")
        server.clock.pass_seconds(1)
    newest = server.access.audit.lines(count=2)
    assert [line.act for line in newest] == ["act 4", "act 3"]
    older = server.access.audit.lines(before=newest[-1].id, count=2)
    assert [line.act for line in older] == ["act 2", "act 1"]


def test_no_stranger_fills_the_trail_by_asking(server: Server) -> None:
    audit = server.access.audit
    for number in range(3 * LISTED_EACH_HOUR):
        audit.record_unasked(NOBODY, "sign-in failed", f"name {number}", "10.0.0.7")
    audit.record_unasked(NOBODY, "one-time code failed", "", "10.0.0.7")
    audit.record("Ada", "signed in")
    lines = audit.lines(count=3 * LISTED_EACH_HOUR)
    assert [line.act for line in lines[:2]] == ["signed in", "one-time code failed"]
    failed = [line for line in lines if line.act == "sign-in failed"]
    assert len(failed) == LISTED_EACH_HOUR + 1
    assert failed[0].about == MORE
    server.clock.pass_seconds(3600)
    audit.record_unasked(NOBODY, "sign-in failed", "much later", "10.0.0.7")
    assert audit.lines()[0].about == "much later"


def test_no_name_turns_a_line_of_the_trail_round(server: Server) -> None:
    server.client().post(
        "/desk/sign-in", data={"name": "\u202eadA\u200b\x1b[2J", "passphrase": "x"}
    )
    assert server.access.audit.lines()[0].about == "adA[2J"


def test_asking_and_guessing_leave_lines(server: Server) -> None:
    client = server.client("10.0.0.7")
    client.post("/api/v1/pairing", json=wish(name="Blue phone"))
    client.post("/api/v1/pairing/poll", json={"secret": "guess"})
    lines = server.access.audit.lines()
    assert [line.act for line in lines] == [
        "pairing polled with an unknown secret",
        "phone asked to be paired",
    ]
    assert lines[1].about == "Blue phone"
    assert {line.address for line in lines} == {"10.0.0.7"}
