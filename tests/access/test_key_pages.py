"""The page about keys: what is shown, added, removed, replaced; only for a confirmed owner."""

from __future__ import annotations

import ipaddress
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes

from bradawl import language
from bradawl.access.authority.lifecycle import look_after, open_authority, replace, server_files
from bradawl.access.authority.names import Place
from bradawl.access.people.sessions import CONFIRMED_MS
from bradawl.report.signing.known_signers import Signers
from tests.access.conftest import Server

PLACE = Place(("shop.local", "localhost"), (ipaddress.ip_address("192.168.1.5"),))
WRITES = ["/desk/keys/look", "/desk/keys/know", "/desk/keys/forget", "/desk/keys/replace"]


def acts(server: Server) -> list[tuple[str, str, str]]:
    return [(line.who, line.act, line.about) for line in server.access.audit.lines()]


@pytest.fixture
def other(tmp_path: Path) -> Signers:
    """Another workshop."""
    return Signers(tmp_path / "elsewhere", tmp_path / "elsewhere" / "keys")


def digits(page: str) -> str:
    return re.sub(r"\s", "", page).upper()


def test_the_certificate_is_shown_and_taken_out_as_it_is(server: Server) -> None:
    desk = server.desk()
    page = desk.get("/desk/keys").text
    link = re.search(r'href="(/desk/keys/certificates/([0-9a-f]{64})\.pem)"', page)
    assert link is not None
    answer = desk.get(link[1])
    assert answer.headers["content-type"] == "application/pem-certificate-chain"
    assert answer.headers["content-disposition"].startswith("attachment")
    certificate = x509.load_pem_x509_certificate(answer.content)
    fingerprint = certificate.fingerprint(hashes.SHA256()).hex()
    assert fingerprint == link[2]
    assert fingerprint.upper() in digits(page)
    assert language.date(f"{certificate.not_valid_after_utc.date()}") in page
    assert b"PRIVATE" not in answer.content
    assert acts(server)[0][:2] == ("Ada", "certificate taken out")
    assert fingerprint[:16] in acts(server)[0][2]
    assert desk.get(f"/desk/keys/certificates/{'0' * 64}.pem").status_code == 404


def test_a_signer_is_known_after_a_look_and_a_comparison(server: Server, other: Signers) -> None:
    desk = server.desk()
    stranger = other.shop()
    files = {"file": ("theirs.pem", stranger.pem.encode(), "application/x-pem-file")}
    looked = desk.post("/desk/keys/look", files=files)
    assert looked.status_code == 200
    assert stranger.fingerprint.upper() in digits(looked.text)
    assert "Ask the signer" in looked.text
    assert stranger.fingerprint.upper() not in digits(desk.get("/desk/keys").text)

    form = {"pem": stranger.pem, "name": "The other workshop"}
    assert desk.post("/desk/keys/know", data=form).headers["location"] == "/desk/keys"
    page = desk.get("/desk/keys").text
    assert "The other workshop" in page
    assert stranger.fingerprint.upper() in digits(page)
    about = f"The other workshop, {stranger.fingerprint[:16]}"
    assert acts(server)[0] == ("Ada", "signer known", about)

    desk.post("/desk/keys/forget", data={"fingerprint": stranger.fingerprint})
    assert "The other workshop" not in desk.get("/desk/keys").text
    assert acts(server)[0] == ("Ada", "signer no longer known", about)
    count = len(acts(server))
    desk.post("/desk/keys/forget", data={"fingerprint": stranger.fingerprint})
    assert len(acts(server)) == count


def test_the_key_is_replaced_and_the_old_certificate_stays_known(server: Server) -> None:
    desk = server.desk()
    signers = Signers(server.data, server.data / "keys")
    before = signers.shop()
    form = {"name": "Example workshop", "understood": "yes"}
    assert desk.post("/desk/keys/replace", data=form).status_code == 303
    after = signers.shop()
    assert after.fingerprint != before.fingerprint
    page = desk.get("/desk/keys").text
    assert after.fingerprint.upper() in digits(page)
    assert before.fingerprint.upper() in digits(page)
    assert "own, replaced" in page
    about = f"Example workshop, {after.fingerprint[:16]}"
    assert acts(server)[0] == ("Ada", "signing key replaced", about)


@pytest.mark.parametrize(
    ("form", "part"),
    [
        ({"name": "Example workshop"}, "Check the box"),
        ({"name": "", "understood": "yes"}, "1 to 60 letters"),
    ],
)
def test_a_key_is_not_replaced_by_half_a_form(
    server: Server, form: dict[str, str], part: str
) -> None:
    desk = server.desk()
    before = Signers(server.data, server.data / "keys").shop()
    answer = desk.post("/desk/keys/replace", data=form)
    assert answer.status_code == 422
    assert part in answer.text
    assert Signers(server.data, server.data / "keys").shop() == before


def test_a_file_that_names_no_signer_is_said_on_the_page(server: Server) -> None:
    desk = server.desk()
    for content in (b"hello", b"", b"%PDF-1.7 not a report"):
        answer = desk.post("/desk/keys/look", files={"file": ("x.pem", content, "text/plain")})
        assert answer.status_code == 422
        assert 'role="alert"' in answer.text
    assert desk.post("/desk/keys/know", data={"pem": "x", "name": "y"}).status_code == 422


def test_a_damaged_key_or_list_does_not_shut_the_page(server: Server) -> None:
    desk = server.desk()
    Signers(server.data, server.data / "keys").shop()
    (server.data / "known-signers.json").write_text("{")
    page = desk.get("/desk/keys")
    assert page.status_code == 200
    assert "list of known signers" in page.text
    (server.data / "keys" / "report-signing.pem").write_text("rubbish")
    assert "damaged" in desk.get("/desk/keys").text
    (server.data / "known-signers.json").unlink()
    form = {"name": "Example workshop", "understood": "yes"}
    assert desk.post("/desk/keys/replace", data=form).status_code == 303
    assert "Example workshop" in desk.get("/desk/keys").text


def test_the_authority_is_shown_with_what_it_may_vouch_for(server: Server) -> None:
    desk = server.desk()
    assert "There isn&#39;t one" in desk.get("/desk/keys").text
    authority = open_authority(server.data / "keys" / "authority", PLACE)
    files = server_files(server.data / "keys" / "authority", authority, PLACE)
    page = desk.get("/desk/keys").text
    assert authority.fingerprint in page
    assert f"until {language.date(str(files.ends.date()))}" in page
    for name in ("shop.local", "192.168.1.5", "10.0.0.0/8", "bradawl authority replace"):
        assert name in page
    assert "takes over" not in page
    assert "Remove these" not in page


def test_the_next_authority_and_those_before_are_shown(server: Server) -> None:
    desk = server.desk()
    keys = server.data / "keys" / "authority"
    near = datetime.now(UTC) - timedelta(days=320)
    old = open_authority(keys, PLACE, now=near - timedelta(days=1))
    replace(keys, PLACE, now=near)
    following = look_after(keys, PLACE).next
    assert following is not None
    page = desk.get("/desk/keys").text
    assert f"the next one takes over, {following.name}" in page
    assert following.fingerprint in page
    assert "Remove these from phones" in page
    assert old.fingerprint in page


def test_no_private_key_is_on_any_page(server: Server) -> None:
    desk = server.desk()
    authority = open_authority(server.data / "keys" / "authority", PLACE)
    server_files(server.data / "keys" / "authority", authority, PLACE)
    page = desk.get("/desk/keys").text
    secret = [
        line
        for file in (server.data / "keys").rglob("*.*")
        for line in file.read_text().partition("-----END PRIVATE KEY-----")[0].splitlines()[1:]
        if "PRIVATE KEY" in file.read_text()
    ]
    assert len(secret) >= 6
    assert not [line for line in secret if line in page]
    for name in ("report-signing", "issuing", "authority%2fissuing"):
        assert desk.get(f"/desk/keys/certificates/{name}.pem").status_code in (404, 422)


@pytest.mark.parametrize("path", WRITES)
def test_no_key_is_touched_unconfirmed_or_by_others(server: Server, path: str) -> None:
    desk = server.desk()
    before = Signers(server.data, server.data / "keys").shop()
    form = {"name": "Example workshop", "understood": "yes", "pem": before.pem}
    server.clock.pass_seconds(CONFIRMED_MS / 1000)
    answer = desk.post(path, data=form, headers={"Referer": "https://localhost/desk/keys"})
    assert answer.headers["location"] == "/desk/confirm?next=/desk/keys"
    assert server.client().post(path, data=form).status_code == 401
    for role in ("inspector", "reader"):
        assert server.desk(f"A {role}", role).post(path, data=form).status_code == 403
    assert Signers(server.data, server.data / "keys").shop() == before
    assert not (server.data / "known-signers.json").exists()


def test_even_looking_at_keys_asks_for_the_passphrase_again(server: Server) -> None:
    desk = server.desk()
    server.clock.pass_seconds(CONFIRMED_MS / 1000)
    assert desk.get("/desk/keys").headers["location"] == "/desk/confirm?next=/desk/keys"
    assert server.client().get("/desk/keys").headers["location"].startswith("/desk/sign-in")
    assert server.desk("Bo", "inspector").get("/desk/keys").status_code == 403
