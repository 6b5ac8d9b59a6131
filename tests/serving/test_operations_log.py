"""One day of a workshop over HTTP, and what stands in the log of it afterwards.

A real server process, with a reverse proxy's rights (plain http, phones are approved at the desk).
"""

from __future__ import annotations

import hashlib
import itertools
import re
import signal
import time
from pathlib import Path
from typing import Any

import httpx
import pytest

from bradawl.access.web.auth import DESK_COOKIE, DEVICE_COOKIE
from bradawl.common import settings
from bradawl.serving.core import Bradawl
from tests.fresh import furnished
from tests.log.photos.pictures import encoded
from tests.log.server import VISIT
from tests.log.writer import Writer
from tests.operations.lines import files_of, json_lines, readable_lines, text_of
from tests.serving.running import Running, serving
from tests.writing import key_of, pairing_wish

PASSPHRASE = "nine rusty hinges sing"
SELLER = "Tilda Wexalby"
NUMBER = "0171 555 0199"
PLACE = "12 Quarry Lane"
NOTE = "smells of petrol below the seat"
KEYS = {key.device: key for key in map(key_of, ("first", "second", "third"))}
PHONE, OTHER, THIRD = KEYS
#: What a stranger sends to speak with the log's own voice, or to the terminal of its reader.
FORGED = "2026-01-01T00:00:00.000Z INFO    access Signed in: who=Forged"
HOSTILE = f"\n{FORGED}\r\n\x1b[2J\x1b]0;x\x07\u202e\u2066\u0085\u2028"

#: `bradawl` with a page that fails as no page should, quoting what somebody recorded.
BROKEN = f"""
import sys
from bradawl.access.core.audit import Audit
def lines(self, **_):
    raise ValueError({SELLER!r} + " cannot be sorted")
Audit.lines = lines
from bradawl.cli import main
sys.exit(main())
"""


class Day:
    """What was done, under which request, and every secret that was used on the way."""

    def __init__(self, server: Running, data: Path) -> None:
        self.data = data
        self.requests: dict[str, str] = {}
        self.secrets = [PASSPHRASE]
        self.answers: dict[str, httpx.Response] = {}
        self.printed = server.printed
        self._base = f"http://localhost:{server.port}"
        self._client = httpx.Client(base_url=self._base, timeout=60)

    def ask(
        self, name: str, method: str, path: str, cookie: tuple[str, str] | None = None, **how: Any
    ) -> httpx.Response:
        """One request; its answer is kept under `name`. No two have the same id."""
        headers = how.pop("headers", {})
        if cookie is not None:
            headers = {**headers, "Cookie": "=".join(cookie)}
        self._client.cookies.clear()
        answer = self._client.request(method, path, headers=headers, **how)
        request_id = answer.headers["x-request-id"]
        assert re.fullmatch(r"[0-9a-f]{12}", request_id)
        assert request_id not in self.requests.values()
        self.requests[name] = request_id
        self.answers[name] = answer
        for value in answer.headers.get_list("set-cookie"):
            self.secrets.append(value.partition("=")[2].partition(";")[0])
        return answer

    def close(self) -> None:
        self._client.close()

    def sign_in(self, name: str, passphrase: str) -> httpx.Response:
        return self.ask(
            name, "POST", "/desk/sign-in", data={"name": "Ada", "passphrase": passphrase}
        )

    def pair(self, name: str, device: str, desk: tuple[str, str], decision: str) -> Any:
        wish = pairing_wish(KEYS[device], f"Ada's {name}")
        asked = self.ask(f"{name} asks", "POST", "/api/v1/pairing", json=wish).json()
        self.secrets += [asked["secret"], asked["code"], asked["code"].replace("-", "")]
        self.secrets.append(asked["words"])
        found = self.ask(
            f"{name} found", "POST", "/desk/devices/add", desk, data={"code": asked["code"]}
        )
        ticket = re.search(r'name="ticket" value="(\w+)"', found.text)
        person = re.search(r'value="(\w{32})"', found.text)
        assert ticket is not None
        assert person is not None
        self.secrets.append(ticket[1])
        form = {"ticket": ticket[1], "person": person[1], "decision": decision}
        self.ask(f"{name} answered", "POST", "/desk/devices/answer", desk, data=form)
        return self.ask(
            f"{name} polls", "POST", "/api/v1/pairing/poll", json={"secret": asked["secret"]}
        )


def cookie_of(answer: httpx.Response, name: str) -> tuple[str, str]:
    # Set for https only: the proxy in front speaks it.
    return name, answer.headers["set-cookie"].partition("=")[2].partition(";")[0]


def chain(device: str) -> Writer:
    writer = Writer(KEYS[device])
    writer.put("about/started", {"date": "2026-11-25", "time": "10:00", "zone": "-05:00"})
    writer.put("about/seller", {"name": SELLER, "phone": NUMBER})
    writer.put("about/place", PLACE)
    writer.put("items/rust.sills/note", NOTE)
    writer.put("seal/1", {"name": SELLER, "place": PLACE})
    return writer


def lived(day: Day, server: Running) -> None:
    """All that happens on the day, in order."""
    day.ask("typed in the wrong field", "POST", "/desk/sign-in",
            data={"name": PASSPHRASE, "passphrase": "x"})  # fmt: skip
    day.sign_in("wrong passphrase", PASSPHRASE + "!")
    desk = cookie_of(day.sign_in("signs in", PASSPHRASE), DESK_COOKIE)
    phone = cookie_of(day.pair("phone", PHONE, desk, "approve"), DEVICE_COOKIE)
    day.pair("tablet", OTHER, desk, "refuse")
    writer = chain(PHONE)
    push, pull = "/api/v1/sync/push", "/api/v1/sync/pull"
    day.ask("push", "POST", push, phone, json=writer.batch())
    day.ask("push again", "POST", push, phone, json=writer.batch())
    day.ask("pull", "POST", pull, phone, json={"protocol": 2, "have": writer.have(2)})
    day.ask("pull nothing", "POST", pull, phone, json={"protocol": 2, "have": writer.have()})
    beyond = chain(PHONE).fill(3)
    day.ask("gap", "POST", push, phone, json=beyond.batch(8))
    photo = encoded()
    name = hashlib.sha256(photo).hexdigest()
    jpeg = {"Content-Type": "image/jpeg"}
    day.ask("photo", "PUT", f"/api/v1/blobs/{name}", phone, content=photo, headers=jpeg)
    day.ask("not a photo", "PUT", f"/api/v1/blobs/{hashlib.sha256(b'x').hexdigest()}", phone,
            content=b"x", headers=jpeg)  # fmt: skip
    visit = VISIT
    day.ask("report", "GET", f"/desk/visits/{visit}/report.pdf?edition=partner", desk)
    form = {"edition": "condition"}
    job = day.ask("report job", "POST", f"/desk/visits/{visit}/report", desk, data=form)
    made = job.headers["location"]
    for number in itertools.count():
        if day.ask(f"job file {number}", "GET", f"{made}/file", desk).status_code == 200:
            break
        time.sleep(0.1)
    day.ask("backup", "POST", "/desk/keep", desk)
    day.ask("broken", "GET", "/desk/audit?before=4", desk)
    day.ask("nowhere", "GET", "/nowhere")
    day.ask("unpaired", "GET", "/api/v1/me")
    for number in range(30):
        day.ask(f"knock {number}", "GET", "/api/v1/me", headers={"X-Request-Id": "mine"})
    # A code that a chat program turned into a part of the path.
    day.ask("odd path", "GET", f"/desk/first%23{'q' * 43}?passphrase={PASSPHRASE}")
    day.secrets.append("q" * 43)
    day.ask("hostile path", "GET", "/x" + "".join(f"%{b:02x}" for b in HOSTILE.encode()))
    day.ask("hostile headers", "GET", "/nowhere/else", headers={
        "User-Agent": f"x {FORGED}", "X-Forwarded-For": f"6.6.6.6 {FORGED}\x9b2J".encode("latin-1"),
        "Referer": "http://x/?key=" + PASSPHRASE})  # fmt: skip
    wish = pairing_wish(KEYS[THIRD], "Bo’s \u202ephone\u2066 who=Forged\u200f")
    asked = day.ask("hostile name", "POST", "/api/v1/pairing", json=wish).json()
    day.secrets += [asked["secret"], asked["code"]]
    day.ask("revoke", "POST", f"/desk/devices/{PHONE}/revoke", desk)
    day.ask("push revoked", "POST", push, phone, json=writer.batch())
    day.ask("signs out", "POST", "/desk/sign-out", desk)


def folder_of(place: Path) -> Path:
    core = Bradawl(settings.at(furnished(place)))
    people = core.access.people
    assert people.accept(people.invite(people.first_owner().id), "Ada", PASSPHRASE, PASSPHRASE)
    core.close()
    return place


def a_day(place: Path, *how: str) -> Day:
    data = folder_of(place / "data")
    with serving(data, "--proxy", *how, program=("-c", BROKEN)) as server:
        server.ask("/app/")  # it listens
        day = Day(server, data)
        try:
            lived(day, server)
        finally:
            day.close()
        server.interrupted(signal.SIGTERM)
        assert server.process.stdout is not None
        day.printed += server.process.stdout.read()
    return day


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> Day:
    return a_day(tmp_path_factory.mktemp("json"), "--log-json", "--verbose")


@pytest.fixture(scope="module")
def lines(day: Day) -> list[dict[str, Any]]:
    return json_lines(day.data)


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Day:
    return a_day(tmp_path_factory.mktemp("plain"))


def test_the_day_went_as_it_should(day: Day) -> None:
    """Or the rest would be about other things than it says."""
    statuses = {name: answer.status_code for name, answer in day.answers.items()}
    expected = {
        "wrong passphrase": 401, "signs in": 303, "phone asks": 200, "phone found": 200,
        "phone answered": 303, "phone polls": 200, "tablet answered": 303, "push": 200,
        "push again": 200, "pull": 200, "pull nothing": 200, "gap": 409, "photo": 201,
        "not a photo": 422, "report": 200, "backup": 200, "broken": 500, "nowhere": 404,
        "unpaired": 401, "knock 29": 401, "odd path": 404, "hostile path": 404,
        "hostile headers": 404, "hostile name": 200, "revoke": 303, "push revoked": 401,
        "signs out": 303,
    }  # fmt: skip
    assert {name: statuses[name] for name in expected} == expected
    assert day.answers["phone polls"].json() == {"state": "approved"}
    assert day.answers["tablet polls"].json() == {"state": "refused"}


ADA = {"who": "Ada"}
BY_PHONE = {"who": "Ada's phone", "device_id": PHONE, "person": "Ada"}
#: Request, event, and what its line says.
ACTS: list[tuple[str, str, dict[str, Any]]] = [
    ("wrong passphrase", "access", {"message": "Sign-in failed", "level": "warning",
                                    "who": "nobody", "subject": "Ada"}),
    ("typed in the wrong field", "access", {"message": "Sign-in failed",
                                            "subject": "an unknown name"}),
    ("signs in", "access", {"message": "Signed in", **ADA}),
    ("phone asks", "access", {"message": "Phone asked to be paired", "phone": "Ada's phone",
                              "phone_id": PHONE}),
    ("phone answered", "access", {"message": "Phone approved", "phone": "Ada's phone",
                                  "phone_id": PHONE, **ADA}),
    ("phone polls", "access", {"message": "Phone paired", "phone_id": PHONE}),
    ("tablet answered", "access", {"message": "Phone refused", "phone_id": OTHER, **ADA}),
    ("push", "sync.push", {"new": 5, "held": 5, "chain": PHONE, **BY_PHONE}),
    ("push", "seal.arrived", {"scope": f"inspection/{VISIT}", "seal": "seal/1", **BY_PHONE}),
    ("push again", "sync.push", {"new": 0, "held": 5, **BY_PHONE}),
    # the phone's own rest, and what the shop recorded of it when it was paired
    ("pull", "sync.pull", {"given": 4, "more": False, **BY_PHONE}),
    ("pull nothing", "sync.pull", {"given": 1, **BY_PHONE}),
    ("gap", "refused", {"status": 409, "code": "gap", **BY_PHONE}),
    ("photo", "blob.kept", {"new": True, "type": "image/jpeg", "size_bytes": len(encoded()),
                            **BY_PHONE}),
    ("not a photo", "refused", {"status": 422, "method": "PUT", **BY_PHONE}),
    ("report", "report.made", {"visit": VISIT, "edition": "partner", **ADA}),
    ("report job", "report.made", {"visit": VISIT, "edition": "condition", **ADA}),
    ("backup", "backup.made", {"events": 6, "devices": 2, "photos": 1, **ADA}),
    ("backup", "access", {"message": "Backup downloaded", **ADA}),
    ("broken", "failed", {"status": 500, "code": "internal", "level": "error",
                          "path": "/desk/audit", **ADA}),
    ("nowhere", "refused", {"status": 404, "code": "not_found", "path": "/nowhere",
                            "who": "nobody", "level": "warning"}),
    ("unpaired", "refused", {"status": 401, "code": "pair_again", "path": "/api/v1/me"}),
    ("revoke", "access", {"message": "Phone revoked", "phone_id": PHONE, **ADA}),
    ("push revoked", "refused", {"status": 401, "code": "pair_again", "who": "nobody"}),
    ("signs out", "access", {"message": "Signed out", **ADA}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "event", "said"), ACTS, ids=[f"{name}: {event}" for name, event, _ in ACTS]
)
def test_an_act_has_its_line_with_who_and_under_which_request(
    day: Day, lines: list[dict[str, Any]], name: str, event: str, said: dict[str, Any]
) -> None:
    (line,) = [
        line
        for line in lines
        if line.get("request_id") == day.requests[name] and line["event"] == event
        and line["message"] == said.get("message", line["message"])
    ]  # fmt: skip
    assert {key: line.get(key) for key in said} == said
    assert line["address"] in ("127.0.0.1", "::1")


def test_how_long_a_report_took_is_said(day: Day, lines: list[dict[str, Any]]) -> None:
    made, _ = [line for line in lines if line["event"] == "report.made"]
    (asked,) = [
        line
        for line in lines
        if line["event"] == "request" and line["request_id"] == day.requests["report"]
    ]
    assert 0 < made["duration_ms"] <= asked["duration_ms"]
    assert made["pages"] > 1
    assert made["size_bytes"] == len(day.answers["report"].content)


def test_start_and_stop_frame_the_day(day: Day, lines: list[dict[str, Any]]) -> None:
    from bradawl import __version__

    assert lines[0]["event"] == "server.started"
    assert lines[0]["version"] == __version__
    assert lines[0]["data"] == str(day.data)
    assert lines[0]["mode"] == "proxy"
    assert re.fullmatch(r"http://127\.0\.0\.1:\d+", lines[0]["address"])
    assert lines[-1]["event"] == "server.stopped"
    assert lines[-1]["pid"] == lines[0]["pid"]


def test_every_request_is_written_on_demand_and_without_its_query(
    day: Day, lines: list[dict[str, Any]]
) -> None:
    asked = {line["request_id"]: line for line in lines if line["event"] == "request"}
    assert set(day.requests.values()) <= set(asked)
    for name, answer in day.answers.items():
        line = asked[day.requests[name]]
        assert line["status"] == answer.status_code
        assert line["method"] == answer.request.method
        assert "?" not in line["path"]
        assert line["duration_ms"] >= 0
        assert line["who"]


def test_not_every_request_is_written_otherwise(plain: Day) -> None:
    assert " request Request" not in text_of(plain.data)
    assert plain.requests["pull"] in text_of(plain.data)
    assert plain.requests["signs in"] in text_of(plain.data)


def everything_written(day: Day) -> str:
    return text_of(day.data) + day.printed


@pytest.mark.parametrize("kind", ["day", "plain"])
def test_no_secret_and_nothing_of_the_record_is_in_the_log_or_on_the_terminal(
    kind: str, request: pytest.FixtureRequest
) -> None:
    whole: Day = request.getfixturevalue(kind)
    written = everything_written(whole)
    assert len(whole.secrets) > 14
    recorded = [SELLER, "Tilda", "Wexalby", NUMBER, "555 0199", PLACE, "Quarry", NOTE, "petrol"]
    for secret in [*whole.secrets, *recorded]:
        assert secret not in written, secret


def test_an_unexpected_error_has_its_traceback_but_not_what_it_quotes(
    day: Day, lines: list[dict[str, Any]]
) -> None:
    (line,) = [line for line in lines if line["event"] == "failed"]
    assert "web/people.py" in line["traceback"]
    assert line["traceback"].splitlines()[-1].startswith("ValueError (message left out")
    assert day.requests["broken"] in day.answers["broken"].text


def test_an_error_names_its_request_to_whoever_sees_it(day: Day) -> None:
    for name in ("gap", "unpaired", "not a photo"):
        assert day.answers[name].json()["error"]["request_id"] == day.requests[name]
    for name in ("nowhere", "broken", "wrong passphrase", "hostile path"):
        page = day.answers[name].text
        assert re.search(rf"Quote request <code>{day.requests[name]}</code>", page), name
    for name in ("signs in", "phone found", "pull"):
        assert day.requests[name] not in day.answers[name].text


def test_repeated_refusals_from_one_address_are_summed_up(
    day: Day, lines: list[dict[str, Any]]
) -> None:
    refusals = [
        line for line in lines if line["event"] == "refused" and line.get("path") == "/api/v1/me"
    ]
    written = [line for line in refusals if "repeated" not in line]
    counted = sum(line.get("repeated", 0) for line in refusals)
    assert len(written) + counted == 31
    # A slow machine may need more than one of the minutes that are summed up.
    assert len(refusals) <= 8
    ids = " ".join(line.get("requests", "") for line in refusals)
    assert day.requests["knock 29"] in ids


@pytest.mark.parametrize("kind", ["day", "plain"])
def test_no_stranger_writes_a_line_or_moves_the_cursor(
    kind: str, request: pytest.FixtureRequest
) -> None:
    whole: Day = request.getfixturevalue(kind)
    if kind == "day":
        assert text_of(whole.data).isascii()
        asked = [line for line in json_lines(whole.data) if "Signed in: who" in str(line)]
        assert {line["event"] for line in asked} == {"refused", "request"}
    else:
        entries = readable_lines(whole.data)  # each is printable and one entry
        assert not any(line.startswith(FORGED[:24]) for line in entries)
        hostile, address = [line for line in entries if "Signed in: who=Forged" in line]
        assert f'address="6.6.6.6 {FORGED}\\x9b2J"' in address
        assert "\\n2026-01-01T" in hostile
        assert "\\x1b[2J" in hostile
        assert "\\u202e\\u2066\\x85\\u2028" in hostile
        (named,) = [line for line in entries if "Bo’s" in line]
        assert 'phone="Bo’s phone who=Forged"' in named
    for line in whole.printed.split("\n"):
        assert line.isprintable(), line
        assert not line.startswith(FORGED[:24])


def test_the_terminal_has_a_short_form(plain: Day) -> None:
    _, _, said = plain.printed.partition("Stop with Ctrl-C.\n")
    lines = said.splitlines()
    assert all(re.match(r"\d\d:\d\d:\d\dZ \S", line) for line in lines), said
    assert any(line.endswith("Signed in (Ada)") for line in lines)
    assert any(re.search(r"Events received: .*new=5 held=5 \(Ada's phone\)", x) for x in lines)
    assert any("WARNING Refused: status=404 code=not_found" in line for line in lines)
    assert any("ERROR Unexpected error: " in line and "ValueError" in line for line in lines)
    assert not any("Traceback" in line or "File " in line for line in lines)
    assert not any("Events given" in line or "Request:" in line for line in lines)


def test_the_folder_of_the_log_is_the_owners_alone(day: Day) -> None:
    assert (day.data / "logs").stat().st_mode & 0o777 == 0o700
    (file,) = files_of(day.data)
    assert file.stat().st_mode & 0o777 == 0o600
