"""Roles do what they say, and a server is never left without an owner."""

from __future__ import annotations

import re

from tests.access.conftest import OTHER_VISIT, PASSPHRASE, VISIT, Server


def test_an_added_person_gets_in_by_the_one_time_link_that_is_shown_once(server: Server) -> None:
    owner = server.desk()
    page = owner.post("/desk/people", data={"name": "Bo", "role": "inspector"}).text
    link = re.search(r"https://localhost/desk/first#([\w-]{43})", page)
    assert link is not None
    assert link[0] not in owner.get("/desk/people").text
    newcomer = server.client()
    answer = newcomer.post(
        "/desk/first",
        data={"token": link[1], "name": "Bo", "passphrase": PASSPHRASE, "again": PASSPHRASE},
    )
    assert answer.status_code == 303
    assert newcomer.get("/desk/").status_code == 200
    assert newcomer.get("/desk/people").status_code == 403
    assert newcomer.get("/desk/audit").status_code == 403
    assert newcomer.get("/desk/devices/add").status_code == 403


def test_two_people_never_have_the_same_name(server: Server) -> None:
    owner = server.desk()
    answer = owner.post("/desk/people", data={"name": "ADA", "role": "inspector"})
    assert answer.status_code == 422
    assert "already" in answer.text


def test_the_last_owner_stays_owner(server: Server) -> None:
    owner = server.desk()
    ada = server.access.first_owner()
    for path, form in (("role", {"role": "reader"}), ("shut-out", {})):
        answer = owner.post(f"/desk/people/{ada.id}/{path}", data=form)
        assert answer.status_code == 409
        assert "only owner" in answer.text
    server.desk("Cy", "owner")
    assert owner.post(f"/desk/people/{ada.id}/role", data={"role": "inspector"}).status_code == 303
    assert owner.get("/desk/people").status_code == 303  # signed out by the change


def test_a_reader_sees_the_shared_report_and_nothing_else(server: Server) -> None:
    owner = server.desk()
    reader = server.desk("Rea", "reader")
    assert reader.get("/desk/").headers["location"] == "/desk/shared"
    rea = next(one for one in server.access.people.everybody() if one.name == "Rea")
    grant = {"person": rea.id, "edition": "condition", "decision": "give"}
    assert owner.post(f"/desk/visits/{VISIT}/grants", data=grant).status_code == 303

    assert "Testa One 1974" in reader.get("/desk/shared").text
    report = reader.get(f"/desk/visits/{VISIT}/report.pdf")
    assert report.json() == f"condition {VISIT}"
    closed = [
        f"/desk/visits/{VISIT}/report.pdf?edition=partner",
        f"/desk/visits/{OTHER_VISIT}/report.pdf",
        f"/desk/visits/{VISIT}",
        f"/desk/visits/{OTHER_VISIT}",
        f"/desk/visits/{VISIT}/share",
        "/desk/people",
        "/desk/devices/add",
        "/desk/audit",
    ]
    for path in closed:
        assert reader.get(path).status_code == 403, path
    double = f"/desk/visits/{VISIT}/report.pdf?edition=condition&edition=partner"
    assert reader.get(double).status_code == 403

    owner.post(f"/desk/visits/{VISIT}/grants", data={**grant, "decision": "take-back"})
    assert reader.get(f"/desk/visits/{VISIT}/report.pdf").status_code == 403
    assert "Nothing is shared" in reader.get("/desk/shared").text


def test_an_inspector_works_at_the_desk_and_shares_links(server: Server) -> None:
    server.desk()
    inspector = server.desk("Bo", "inspector")
    assert inspector.get(f"/desk/visits/{VISIT}").status_code == 200
    assert inspector.get(f"/desk/visits/{VISIT}/share").status_code == 200
    grant = {"person": "x", "edition": "condition", "decision": "give"}
    assert inspector.post(f"/desk/visits/{VISIT}/grants", data=grant).status_code == 403


def test_every_act_is_in_the_trail_with_who_did_it(server: Server) -> None:
    owner = server.desk()
    owner.post("/desk/people", data={"name": "Bo", "role": "inspector"})
    bo = next(one for one in server.access.people.everybody() if one.name == "Bo")
    owner.post(f"/desk/people/{bo.id}/role", data={"role": "reader"})
    owner.post(f"/desk/people/{bo.id}/shut-out")
    page = owner.get("/desk/audit").text
    for act in ("passphrase set", "added as inspector", "one-time link made", "made a reader"):
        assert act in page
    lines = [(line.who, line.act, line.about) for line in server.access.audit.lines()]
    assert lines[0] == ("Ada", "shut out", "Bo")


def test_what_was_refused_is_in_the_trail_too(server: Server) -> None:
    server.desk()
    server.desk("Bo", "inspector").get("/desk/people")
    server.desk("Rea", "reader").get(f"/desk/visits/{VISIT}")
    refused = [line for line in server.access.audit.lines() if line.act == "was refused"]
    assert [(line.who, line.about) for line in refused] == [
        ("Rea", f"GET /desk/visits/{VISIT}"),
        ("Bo", "GET /desk/people"),
    ]


def test_the_trail_is_shown_in_pages(server: Server) -> None:
    owner = server.desk()
    for number in range(150):
        server.access.audit.record("Ada", f"act-{number:03}")
    first = owner.get("/desk/audit").text
    assert "act-149" in first
    assert "act-010" not in first
    older = re.search(r'href="(/desk/audit\?before=\d+)"', first)
    assert older is not None
    assert "act-010" in owner.get(older[1]).text
