"""Every page of access in the pseudo-locale: what stands there unmarked comes from no catalogue.

Names that people typed are marked as well, so that nothing has to be let through but what ALLOWED
names.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from fastapi.testclient import TestClient

from bradawl.access import lan as network
from bradawl.access.authority import lifecycle
from bradawl.access.authority.names import Place
from bradawl.access.core import rate_limits
from bradawl.access.core.audit import LISTED_EACH_HOUR, NOBODY, SHELL
from bradawl.access.web import rendering
from bradawl.access.web.onboarding import check_router, first_app
from bradawl.backup.create import Contents
from bradawl.common.reading import ReaderOfRequest
from bradawl.language import Reader, ids, pseudo, reading_as, text
from bradawl.language.pseudo import marked
from bradawl.serving.backups.state import BackupState, ShownRun
from tests.access import conftest
from tests.access.conftest import PASSPHRASE, VISIT, Server
from tests.access.devices.wishes import PHONE, phone_id, wish
from tests.desk.test_routes import guards_of
from tests.language.unmarked import texts_of, unmarked

XA = {"Accept-Language": "en-XA"}
#: Words that may stand unmarked, each with its reason.
ALLOWED = {
    "Bradawl": "the name of the program, and of authorities, which are certificates' names",
    **dict.fromkeys(("on", "shop", "local"), "names of a machine: “Bradawl on shop.local”"),
    **dict.fromkeys(("testclient", "GET", "desk", "people", "https", "localhost", "hello", "app"),
                    "parts of addresses"),
    **dict.fromkeys(("ABCD", "EFGH"), "how a code looks"),
    **dict.fromkeys(("crt", "authority", "bradawl", "tar", "json", "keys"), "file names"),
    **dict.fromkeys(("Firefox", "Linux"), "what a browser calls itself"),
    **dict.fromkeys(("condition", "partner", "owner"), "codes in the trail, as they were kept"),
    **dict.fromkeys(("about", "seller", "place", "items", "papers", "note", "grade", "why"),
                    "paths of entries, which the desk's wiring says in words"),
    **dict.fromkeys(("body", "device"), "a field of a request"),
    "replace": "a command",
}  # fmt: skip
PLACE = Place(("shop.local",), ())
#: What is made by chance: digests, which stand in groups, tokens, folders, and the hexadecimal
#: digits that tell the names of authorities and keys apart.
CHANCE = re.compile(
    r"\b[0-9A-F]{2,8}(?:[ :][0-9A-F]{2,8})+\b|[\w-]{43}|/\S*/keys\b"
    r"|(?<=Bradawl on shop\.local )[0-9a-f]{4}\b"
    rf"|(?<={marked('Bradawl shop')} )[0-9a-f]{{6}}\b"
)


@pytest.fixture
def server(make_server: Callable[..., Server], monkeypatch: pytest.MonkeyPatch) -> Server:
    for visit, name in conftest.TITLES.items():
        monkeypatch.setitem(conftest.TITLES, visit, marked(name))
    made = make_server("lan", recorded=phone_id("in the log").__eq__)
    made.app.include_router(check_router(None))
    made.app.add_middleware(ReaderOfRequest, region="us")
    return made


@pytest.fixture
def desk(server: Server) -> TestClient:
    client = server.desk(marked("Ada"))
    client.headers.update(XA)
    return client


def words_of(page: str) -> list[str]:
    assert 'lang="en-XA"' in page, page[:300]
    return unmarked([CHANCE.sub("", said) for said in texts_of(page)], ALLOWED)


def test_a_name_whose_digits_are_all_letters_is_no_word() -> None:
    """One in fifty authorities is called so; “fade” elsewhere is a word."""
    shop = marked("Bradawl shop")
    page = f'<html lang="en-XA">Bradawl on shop.local fade 2<p>{shop} facade<p>'
    assert words_of(page) == []
    assert words_of(page + "fade") == ["fade"]


def fill(server: Server, desk: TestClient) -> None:
    """Something on every page: people, phones, links, keys, a trail, backups, a seller."""
    people, folder = server.access.people, server.data / "keys" / "authority"
    other = people.add(marked("Bo"), "reader")
    people.grant(other.id, VISIT, "partner")
    people.shut_out(people.add(marked("Cy"), "inspector").id)
    owner = server.access.first_owner()
    for number, name in enumerate(("one phone", "lost phone")):
        server.access.pairing.pair_at_once(phone_id(name), marked(f"{name} {number}"), owner.id)
    server.access.devices.revoke(phone_id("lost phone"))
    server.client().post("/desk/sign-in", data={"name": marked("Ada"), "passphrase": PASSPHRASE})
    assert desk.post(
        f"/desk/visits/{VISIT}/links",
        data={"edition": "condition", "label": marked("Dee"), "days": "7"},
    ).status_code == 200  # fmt: skip
    for name in sorted(ids()):
        if name.startswith("access-act-"):
            act = name.removeprefix("access-act-").replace("-", " ")
            server.access.audit.record(NOBODY if len(act) % 2 else SHELL, act)
    for _ in range(LISTED_EACH_HOUR + 2):
        server.access.audit.record_unasked(NOBODY, "sign-in failed")
    near = datetime.now(UTC) - timedelta(days=320)
    lifecycle.open_authority(folder, PLACE, now=near - timedelta(days=1))
    lifecycle.replace(folder, PLACE, now=near)
    lifecycle.server_files(folder, lifecycle.look_after(folder, PLACE).authority, PLACE)
    server.events.put("about/seller", marked("Tilda Wexalby"))
    server.events.put("items/papers/note", marked("Wexalby has them"))
    server.events.put("items/papers/grade", marked("Wexalby"))
    server.events.put("items/papers/why", marked("another thing"))
    run = ShownRun("1.tar", 1_795_600_000_000, 12_300_000, 1_795_600_900_000, 1, 2, (marked("x"),))
    unproven = ShownRun("2.tar", 1_795_600_000_000, 12_300_000, None, 0, 0, ())
    server.events.state = BackupState(
        folder="/1", kept=7, due_ms=1_795_700_000_000, last=run,
        runs=(run, unproven),
    )  # fmt: skip
    server.access.missing.note({PHONE: 15}, {PHONE: 10})
    server.access.missing.note({phone_id("lost phone"): 1}, {})


PAGES = {
    "/desk/sign-in": ["/desk/sign-in"],
    "/desk/first": ["/desk/first"],
    "/desk/confirm": ["/desk/confirm"],
    "/desk/devices": ["/desk/devices"],
    "/desk/devices/add": ["/desk/devices/add"],
    "/desk/devices/ways": ["/desk/devices/ways"],
    "/desk/people": ["/desk/people"],
    "/desk/audit": ["/desk/audit", "/desk/audit?before=9"],
    "/desk/sessions": ["/desk/sessions"],
    "/desk/visits/{visit}/share": [f"/desk/visits/{VISIT}/share"],
    "/desk/shared": ["/desk/shared"],
    "/r/{link}": ["/r/1"],
    "/desk/visits/{visit}/forget": [f"/desk/visits/{VISIT}/forget"],
    "/desk/keys": ["/desk/keys"],
    "/desk/keep": ["/desk/keep"],
    "/desk/letterhead": ["/desk/letterhead"],
    "/desk/welcome": ["/desk/welcome"],
    "/desk/welcome/{question}": [
        f"/desk/welcome/{question}" for question in ("shop", "place", "passphrase", "phone")
    ],
    "/hello/check": ["/hello/check"],
    "/app/check": ["/app/check"],
}
#: What is no page: files, and answers for programs.
NO_PAGES = {
    "/desk/access/{name}", "/desk/keys/certificates/{fingerprint}.pem", "/hello/ping",
    "/hello/{name}", "/desk/passphrase",  # shown while the desk is open: below
}  # fmt: skip


def test_every_page_is_shown_below(server: Server) -> None:
    pages = {route.removeprefix("GET ") for route in guards_of(server.app) if route[:4] == "GET "}
    assert {page for page in pages if not page.startswith("/api/")} == {*PAGES, *NO_PAGES}


def test_no_page_has_an_unmarked_word(server: Server, desk: TestClient) -> None:
    fill(server, desk)
    for addresses in PAGES.values():
        for address in addresses:
            page = desk.get(address)
            assert page.status_code == 200, address
            assert words_of(page.text) == [], address
    reader = server.desk(marked("Eve"), "reader")
    server.access.people.grant(reader_id(server), VISIT, "condition")
    for address in ("/desk/shared", "/desk/sessions"):
        assert words_of(reader.get(address, headers=XA).text) == [], address


def test_an_open_desk_has_no_unmarked_word(make_server: Callable[..., Server]) -> None:
    server = make_server("local")
    server.app.add_middleware(ReaderOfRequest, region="us")
    client = server.client("127.0.0.1")
    page = client.get("/desk/passphrase", headers=XA)
    assert page.status_code == 200
    owner = server.access.first_owner().name
    assert [word for word in words_of(page.text) if word not in owner] == []
    for question in ("passphrase", "phone"):
        page = client.get(f"/desk/welcome/{question}", headers=XA)
        assert [word for word in words_of(page.text) if word not in owner] == []
    sent = {"name": "1", "passphrase": "1", "again": "2"}
    refused = client.post("/desk/passphrase", data=sent, headers=XA)
    assert refused.status_code == 422
    assert words_of(refused.text) == []
    # once somebody has one, it is changed by a one-time link
    server.desk()
    assert client.get("/desk/passphrase").headers["location"].startswith("/desk/sign-in")
    assert client.post("/desk/passphrase", data=sent).status_code == 401


def reader_id(server: Server) -> str:
    return next(one.id for one in server.access.people.everybody() if one.name == marked("Eve"))


def test_a_desk_without_anything_has_no_unmarked_word(server: Server, desk: TestClient) -> None:
    for address in ("/desk/devices", "/desk/keys", "/desk/keep", "/desk/shared"):
        assert words_of(desk.get(address).text) == [], address
    for off in ("server-backup-off", "server-backup-elsewhere"):
        server.events.state = BackupState(off=off)
        assert words_of(desk.get("/desk/keep").text) == []
    server.events.contents = Contents("", 0, 0, 0, 1, problems=tuple(map(marked, ["x y"] * 60)))
    assert words_of(desk.post("/desk/keep").text) == []


@pytest.mark.parametrize("name", ["one phone", "lost phone", "in the log", "like one", "fresh"])
def test_the_page_that_approves_a_phone_has_none(
    server: Server, desk: TestClient, name: str
) -> None:
    fill(server, desk)
    calls = marked("one phone 0" if name == "like one" else name)
    device = phone_id(name)
    words = [
        server.client("10.0.0.9").post("/api/v1/pairing", json=wish(device, calls)).json()
        for _ in range(2 if name == "one phone" else 1)
    ][-1]
    page = desk.post("/desk/devices/add", data={"code": words["code"]})
    assert page.status_code == 200
    allowed = {*ALLOWED, *words["words"].split()}
    assert unmarked(texts_of(page.text), allowed) == []
    ticket = re.search(r'name="ticket" value="([^"]+)"', page.text)
    assert ticket is not None
    sent = {"ticket": ticket[1], "person": server.access.first_owner().id, "decision": "approve"}
    for more in ({}, {"understood": "yes"}, {"understood": "yes"}, {"decision": "neither"}):
        answer = desk.post("/desk/devices/answer", data={**sent, **more})
        if answer.status_code != 303:
            assert unmarked(texts_of(answer.text), allowed) == []


#: Forms that are refused, by their address.
REFUSED: list[tuple[str, dict[str, Any]]] = [
    ("/desk/sign-in", {"name": "1", "passphrase": "1"}),
    ("/desk/first", {"token": "1"}),
    ("/desk/confirm", {"passphrase": "1"}),
    ("/desk/devices/add", {"code": "1"}),
    ("/desk/devices/answer", {"ticket": "1", "decision": "refuse"}),
    ("/desk/devices/answer", {"ticket": "1", "decision": "1"}),
    (f"/desk/devices/{PHONE}/name", {"name": "1" * 61}),
    (f"/desk/devices/{'9' * 32}/revoke", {}),
    ("/desk/people", {"name": "", "role": "owner"}),
    ("/desk/people", {"name": "1", "role": "1"}),
    ("/desk/people", {"name": marked("Bo"), "role": "reader"}),
    ("/desk/people/1/role", {"role": "owner"}),
    (f"/desk/visits/{VISIT}/links", {"edition": "1", "days": "7", "label": "1"}),
    (f"/desk/visits/{VISIT}/links", {"edition": "condition", "days": "1", "label": "1"}),
    (f"/desk/visits/{VISIT}/links", {"edition": "condition", "days": "7", "label": ""}),
    (f"/desk/visits/{'9' * 32}/links", {}),
    ("/desk/links/1/revoke", {}),
    (f"/desk/visits/{VISIT}/grants", {"person": "1"}),
    ("/r/1", {"key": "1"}),
    (f"/desk/visits/{VISIT}/forget", {}),
    (f"/desk/visits/{VISIT}/forget", {"value": "items/1"}),
    (f"/desk/visits/{'9' * 32}/forget", {}),
    ("/desk/keys/look", {"pasted": "1"}),
    ("/desk/keys/know", {"pem": "1", "name": "1"}),
    ("/desk/keys/replace", {"name": "1"}),
]


def test_a_refused_form_says_so_without_an_unmarked_word(server: Server, desk: TestClient) -> None:
    fill(server, desk)
    for address, form in REFUSED:
        answer = desk.post(address, data=form)
        assert 400 <= answer.status_code < 500, (address, form, answer.status_code)
        assert words_of(answer.text) == [], (address, form)
    owner = server.access.first_owner()
    for path, form in ((f"{owner.id}/role", {"role": "reader"}), (f"{owner.id}/shut-out", {})):
        assert words_of(desk.post(f"/desk/people/{path}", data=form).text) == []
    for _ in range(rate_limits.CODE_MISS.each + 1):
        assert words_of(desk.post("/desk/devices/add", data={"code": "1"}).text) == []


def test_a_passphrase_that_will_not_do_says_so_without_an_unmarked_word(
    server: Server, desk: TestClient
) -> None:
    token = server.access.people.invite(server.access.first_owner().id)
    for chosen, again in (
        ("1", "2"), ("1", "1"), ("12" * 200, "12" * 200), ("a" * 20, "a" * 20),
        ("bradawlbradawl", "bradawlbradawl"),
    ):  # fmt: skip
        form = {"token": token, "name": marked("Ada"), "passphrase": chosen, "again": again}
        answer = desk.post("/desk/first", data=form)
        assert answer.status_code == 422
        assert words_of(answer.text) == [], chosen


def test_answers_for_programs_are_said_as_well(server: Server, desk: TestClient) -> None:
    client = server.client("10.0.0.9")
    other = wish(phone_id("another phone"))
    fresh = wish(phone_id("fresh"))
    answers = [
        client.get("/api/v1/whose", headers=XA),
        client.get("/api/v1/nothing", headers=XA),
        client.delete("/api/v1/pairing", headers=XA),
        client.post("/api/v1/pairing", json={}, headers=XA),
        client.post("/api/v1/pairing", json={**fresh, "key": "1"}, headers=XA),
        client.post("/api/v1/pairing", json={**fresh, "key": other["key"]}, headers=XA),
        client.post("/api/v1/pairing", json={**fresh, "proof": ""}, headers=XA),
        client.post("/api/v1/pairing", json=fresh, headers={**XA, "Origin": "https://other"}),
        client.post("/api/v1/sync/echo", content=b"1" * 9_000_000, headers=XA),
        client.post("/api/v1/pairing", content=b"1" * 70_000, headers=XA),
    ]
    assert not client.get("/desk/people", headers=XA).is_success
    for _ in range(rate_limits.PAIRING.each + 1):
        last = client.post("/api/v1/pairing", json=fresh, headers=XA)
    for answer in (*answers, last):
        assert answer.status_code >= 400
        said = answer.json()["error"]["message"]
        assert unmarked([said], ALLOWED) == [], said


def test_the_first_page_of_a_phone_and_what_its_scripts_say_have_none(
    server: Server, desk: TestClient
) -> None:
    fill(server, desk)
    lan = network.prepare(server.data / "keys", 8477, 8478, PLACE)
    with reading_as(Reader(pseudo_locale())):
        page = TestClient(first_app(lan)).get("/", headers=XA).text
        assert words_of(page) == []
        said = [line for line in network.greeting(lan).splitlines() if "█" not in line]
        assert unmarked([re.sub(r"\w+://\S+", "", CHANCE.sub("", one)) for one in said],
                        ALLOWED) == []  # fmt: skip
        for prefix in ("access-meetjs-", "access-checkjs-"):
            words = json.loads(str(rendering.script_words(prefix, date="1")))
            bare = [re.sub(r"\{\w+\}", "", word) for word in words.values()]
            assert unmarked(bare, ALLOWED) == []
        assert text("access-sign-out") == pseudo.marked("Sign out")


def pseudo_locale() -> str:
    from bradawl.language.catalogue import PSEUDO

    return PSEUDO
