"""Phones accept the server's certificate, and the authority can speak for nothing public."""

from __future__ import annotations

import ipaddress
import stat
import subprocess
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import serialization
from cryptography.x509 import DNSName, IPAddress
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from bradawl.access import certificates
from bradawl.access.certificates import (
    AUTHORITY_LIFE,
    RENEW_BEFORE,
    Authority,
    Place,
    is_private,
    open_authority,
    server_files,
    this_machine,
)

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
PLACE = Place(
    ("shop.local", "shop", "localhost"),
    (ipaddress.ip_address("192.168.1.5"), ipaddress.ip_address("::1")),
)


def leaf(folder: Path, authority: Authority, place: Place) -> x509.Certificate:
    files = server_files(folder, authority, place, now=NOW)
    return x509.load_pem_x509_certificate(files.certificate.read_bytes())


def verify(authority: Authority, certificate: x509.Certificate, name: x509.GeneralName) -> None:
    """As a TLS client does (RFC 5280, by the library's own verifier)."""
    builder = PolicyBuilder().store(Store([authority.certificate])).time(NOW)
    builder.build_server_verifier(name).verify(certificate, [])  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "name",
    [
        DNSName("shop.local"),
        DNSName("shop"),
        DNSName("localhost"),
        IPAddress(ipaddress.ip_address("192.168.1.5")),
        IPAddress(ipaddress.ip_address("::1")),
    ],
)
def test_a_client_that_trusts_the_authority_accepts_every_name_of_the_machine(
    tmp_path: Path, name: x509.GeneralName
) -> None:
    authority = open_authority(tmp_path, PLACE, now=NOW)
    verify(authority, leaf(tmp_path, authority, PLACE), name)


@pytest.mark.parametrize(
    ("place", "name"),
    [
        (Place(("bank.example",), ()), DNSName("bank.example")),
        (Place(("local.bank.example",), ()), DNSName("local.bank.example")),
        (
            Place((), (ipaddress.ip_address("8.8.8.8"),)),
            IPAddress(ipaddress.ip_address("8.8.8.8")),
        ),
        (
            Place((), (ipaddress.ip_address("2001:db8::5"),)),
            IPAddress(ipaddress.ip_address("2001:db8::5")),
        ),
    ],
)
def test_a_stolen_authority_cannot_speak_for_public_names(
    tmp_path: Path, place: Place, name: x509.GeneralName
) -> None:
    authority = open_authority(tmp_path, PLACE, now=NOW)
    certificate = leaf(tmp_path, authority, place)
    with pytest.raises(VerificationError):
        verify(authority, certificate, name)


def test_openssl_comes_to_the_same_judgement(tmp_path: Path) -> None:
    authority = open_authority(tmp_path, PLACE)
    good = server_files(tmp_path, authority, PLACE).certificate
    folder = tmp_path / "bad"
    bad = server_files(folder, authority, Place(("bank.example",), ())).certificate
    answers = [
        subprocess.run(
            ["openssl", "verify", "-x509_strict", "-CAfile", tmp_path / "authority.pem", path],
            capture_output=True,
            text=True,
            check=False,
        )
        for path in (good, bad)
    ]
    assert answers[0].returncode == 0, answers[0].stderr
    assert answers[1].returncode != 0
    assert "permitted subtree violation" in answers[1].stderr + answers[1].stdout


def test_the_authority_says_what_it_may_and_phones_require(tmp_path: Path) -> None:
    certificate = open_authority(tmp_path, PLACE, now=NOW).certificate
    extensions = certificate.extensions
    # RFC 5280 4.2.1.9, 4.2.1.10: both critical in an authority
    basic = extensions.get_extension_for_class(x509.BasicConstraints)
    assert basic.critical
    assert basic.value == x509.BasicConstraints(ca=True, path_length=0)
    constraints = extensions.get_extension_for_class(x509.NameConstraints)
    assert constraints.critical
    assert constraints.value.excluded_subtrees is None
    for entry in constraints.value.permitted_subtrees or ():
        if isinstance(entry, IPAddress):
            network = entry.value
            assert isinstance(network, ipaddress.IPv4Network | ipaddress.IPv6Network)
            shared = ipaddress.ip_network("100.64.0.0/10")  # RFC 6598, not "private" in Python
            assert network.is_private or network == shared


def test_the_server_certificate_is_within_what_phones_accept(tmp_path: Path) -> None:
    authority = open_authority(tmp_path, PLACE, now=NOW)
    certificate = leaf(tmp_path, authority, PLACE)
    life = certificate.not_valid_after_utc - certificate.not_valid_before_utc
    # Apple, support articles HT210176 (825 days) and HT211025 (398 days)
    assert life <= timedelta(days=398)
    usage = certificate.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(usage) == [x509.oid.ExtendedKeyUsageOID.SERVER_AUTH]
    assert certificate.not_valid_before_utc <= NOW - timedelta(hours=12)


def test_keys_are_readable_by_their_owner_only(tmp_path: Path) -> None:
    folder = tmp_path / "keys"
    authority = open_authority(folder, PLACE)
    files = server_files(folder, authority, PLACE)
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    for path in (folder / "authority.key", files.key):
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
        assert serialization.load_pem_private_key(path.read_bytes(), None)


def test_a_restart_keeps_the_authority_that_phones_have_learnt(tmp_path: Path) -> None:
    first = open_authority(tmp_path, PLACE, now=NOW)
    later = open_authority(tmp_path, PLACE, now=NOW + timedelta(days=2000))
    assert first.fingerprint == later.fingerprint
    assert len(first.fingerprint.replace(" ", "")) == 64


def test_an_authority_near_its_end_or_half_written_is_made_anew(tmp_path: Path) -> None:
    first = open_authority(tmp_path, PLACE, now=NOW)
    ended = open_authority(tmp_path, PLACE, now=NOW + AUTHORITY_LIFE - timedelta(days=1))
    assert ended.fingerprint != first.fingerprint
    (tmp_path / "authority.key").write_bytes(b"")
    assert open_authority(tmp_path, PLACE, now=NOW).fingerprint != ended.fingerprint


def test_the_server_certificate_is_renewed_in_time_and_not_before(tmp_path: Path) -> None:
    authority = open_authority(tmp_path, PLACE, now=NOW)
    first = server_files(tmp_path, authority, PLACE, now=NOW)
    assert first.renewed
    day_before = first.ends - RENEW_BEFORE - timedelta(days=1)
    assert not server_files(tmp_path, authority, PLACE, now=day_before).renewed
    assert server_files(tmp_path, authority, PLACE, now=day_before + timedelta(days=2)).renewed


def test_another_address_of_the_machine_renews_it_and_an_address_less_does_not(
    tmp_path: Path,
) -> None:
    authority = open_authority(tmp_path, PLACE, now=NOW)
    server_files(tmp_path, authority, PLACE, now=NOW)
    moved = Place(PLACE.names, (*PLACE.addresses, ipaddress.ip_address("10.0.0.7")))
    assert server_files(tmp_path, authority, moved, now=NOW).renewed
    assert not server_files(tmp_path, authority, PLACE, now=NOW).renewed


def test_a_certificate_of_another_authority_is_replaced(tmp_path: Path) -> None:
    first = open_authority(tmp_path, PLACE, now=NOW)
    server_files(tmp_path, first, PLACE, now=NOW)
    (tmp_path / "authority.pem").unlink()
    second = open_authority(tmp_path, PLACE, now=NOW)
    assert server_files(tmp_path, second, PLACE, now=NOW).renewed
    verify(second, leaf(tmp_path, second, PLACE), DNSName("shop.local"))


def test_this_machine_has_a_name_and_only_private_addresses() -> None:
    place = this_machine()
    assert "localhost" in place.names
    assert ipaddress.ip_address("127.0.0.1") in place.addresses
    assert all(is_private(address) for address in place.addresses)


def test_an_odd_host_name_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(certificates.socket, "gethostname", lambda: "my_odd host")
    assert this_machine().names == ("localhost",)


def test_a_renamed_machine_keeps_a_certificate_that_clients_accept(tmp_path: Path) -> None:
    authority = open_authority(tmp_path, PLACE, now=NOW)
    renamed = Place(("van.local", "van", "localhost"), PLACE.addresses)
    verify(authority, leaf(tmp_path, authority, renamed), DNSName("van.local"))
