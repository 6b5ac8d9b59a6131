"""An authority's life in a folder: made, followed in time, replaced; and nothing usable remains."""

from __future__ import annotations

import ipaddress
import os
import re
import stat
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509 import DNSName, IPAddress
from cryptography.x509.oid import ExtendedKeyUsageOID as Use

from bradawl.access.authority import certificates, files
from bradawl.access.authority import names as place
from bradawl.access.authority.certificates import (
    AUTHORITY_LIFE,
    BACKDATED,
    Authority,
    make_authority,
)
from bradawl.access.authority.lifecycle import (
    NEXT_BEFORE,
    RENEW_BEFORE,
    TAKE_OVER_BEFORE,
    day_of,
    look_after,
    open_authority,
    replace,
    server_files,
)
from bradawl.access.authority.names import Place, is_private, this_machine
from tests.access.authority.forging import accepts, chain

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
DAY = timedelta(days=1)
PLACE = Place(
    ("shop.local", "shop.home.arpa", "shop.internal"),
    (ipaddress.ip_address("192.168.1.5"), ipaddress.ip_address("::1")),
)
PEM = serialization.Encoding.PEM


def leaf(folder: Path, authority: Authority, where: Place, now: datetime = NOW) -> x509.Certificate:
    made = server_files(folder, authority, where, now=now)
    return x509.load_pem_x509_certificate(made.certificate.read_bytes())


def reached(folder: Path, authority: Authority, name: str, now: datetime = NOW) -> bool:
    """Whether a phone that trusts the authority accepts the server's certificate for a name."""
    sent = x509.load_pem_x509_certificates((folder / "server.pem").read_bytes())
    assert len(sent) == 2  # what a client needs besides what it trusts, and no more
    made = chain(folder / "sent", sent[0], sent[1], authority.root)
    return accepts(made, DNSName(name), now)


def private_keys(folder: Path) -> list[bytes]:
    """Every private key in the files of a folder, as its public half."""
    found = []
    for path in folder.rglob("*"):
        if path.is_file() and b"PRIVATE KEY" in path.read_bytes():
            key = serialization.load_pem_private_key(path.read_bytes(), None)
            spki = serialization.PublicFormat.SubjectPublicKeyInfo
            found.append(key.public_key().public_bytes(PEM, spki))
    return found


# Its files


def test_keys_are_readable_by_their_owner_only(tmp_path: Path) -> None:
    folder = tmp_path / "keys"
    before = os.umask(0)
    try:
        server_files(folder, open_authority(folder, PLACE), PLACE)
    finally:
        os.umask(before)
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    for path in folder.iterdir():
        assert stat.S_IMODE(path.stat().st_mode) == 0o600, path


def test_the_key_of_what_phones_trust_is_nowhere(tmp_path: Path) -> None:
    authority = open_authority(tmp_path, PLACE, now=NOW)
    server_files(tmp_path, authority, PLACE, now=NOW)
    spki = serialization.PublicFormat.SubjectPublicKeyInfo
    root = authority.root.public_key().public_bytes(PEM, spki)
    issuer = authority.issuer.public_key().public_bytes(PEM, spki)
    kept = private_keys(tmp_path)
    assert issuer in kept
    assert root not in kept
    assert not any("root_key" in name for name in vars(authority))


def test_a_restart_keeps_the_authority_that_phones_have_learnt(tmp_path: Path) -> None:
    first = look_after(tmp_path, PLACE, now=NOW)
    later = look_after(tmp_path, PLACE, now=NOW + 200 * DAY)
    assert first.authority.fingerprint == later.authority.fingerprint
    assert len(first.authority.fingerprint.replace(" ", "")) == 64
    assert (first.said, later.said) == ((), ())
    pem = (tmp_path / "authority.pem").read_bytes()
    assert x509.load_pem_x509_certificate(pem) == first.authority.root


@pytest.mark.parametrize("damage", [b"", b"x", None])
def test_a_damaged_or_missing_key_is_said_and_made_anew(
    tmp_path: Path, damage: bytes | None
) -> None:
    first = open_authority(tmp_path, PLACE, now=NOW)
    if damage is None:
        (tmp_path / "issuing.pem").unlink()
    else:
        (tmp_path / "issuing.pem").write_bytes(damage)
    standing = look_after(tmp_path, PLACE, now=NOW)
    assert standing.authority.fingerprint != first.fingerprint
    assert "missing or damaged" in str(standing.said[0])
    assert [one.name for one in standing.former] == [first.name]


# The server's own certificate


def test_the_server_certificate_is_renewed_in_time_and_not_before(tmp_path: Path) -> None:
    authority = open_authority(tmp_path, PLACE, now=NOW)
    first = server_files(tmp_path, authority, PLACE, now=NOW)
    assert first.renewed
    day_before = first.ends - RENEW_BEFORE - DAY
    assert not server_files(tmp_path, authority, PLACE, now=day_before).renewed
    assert server_files(tmp_path, authority, PLACE, now=day_before + 2 * DAY).renewed


def test_near_the_end_of_the_authority_it_is_not_renewed_for_nothing(tmp_path: Path) -> None:
    authority = open_authority(tmp_path, PLACE, now=NOW)
    late = authority.ends - 20 * DAY
    assert server_files(tmp_path, authority, PLACE, now=late).ends == authority.ends
    assert not server_files(tmp_path, authority, PLACE, now=late + DAY).renewed


def test_another_address_of_the_machine_renews_it_and_an_address_less_does_not(
    tmp_path: Path,
) -> None:
    authority = open_authority(tmp_path, PLACE, now=NOW)
    server_files(tmp_path, authority, PLACE, now=NOW)
    moved = Place(PLACE.names, (*PLACE.addresses, ipaddress.ip_address("10.0.0.7")))
    assert server_files(tmp_path, authority, moved, now=NOW).renewed
    assert not server_files(tmp_path, authority, PLACE, now=NOW).renewed


@pytest.mark.parametrize("damage", [b"", b"another"])
def test_a_key_that_does_not_belong_to_it_is_replaced(tmp_path: Path, damage: bytes) -> None:
    """As after a crash between two files."""
    authority = open_authority(tmp_path, PLACE, now=NOW)
    made = server_files(tmp_path, authority, PLACE, now=NOW)
    if damage:
        damage = certificates.pem_of_key(ec.generate_private_key(ec.SECP256R1()))
    made.key.write_bytes(damage)
    assert server_files(tmp_path, authority, PLACE, now=NOW).renewed


def test_a_renamed_machine_keeps_a_certificate_that_clients_accept(tmp_path: Path) -> None:
    authority = open_authority(tmp_path, PLACE, now=NOW)
    renamed = Place(("van.local", "van.home.arpa"), PLACE.addresses)
    certificate = leaf(tmp_path, authority, renamed)
    names = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert names.get_values_for_type(DNSName) == []
    made = chain(tmp_path / "sent", certificate, authority.issuer, authority.root)
    assert accepts(made, IPAddress(PLACE.addresses[0]), NOW)
    anew = replace(tmp_path, renamed, now=NOW).authority
    leaf(tmp_path, anew, renamed)
    assert reached(tmp_path, anew, "van.local")


# Its year


def test_the_next_one_is_made_weeks_before_and_takes_over_in_time(tmp_path: Path) -> None:
    first = look_after(tmp_path, PLACE, now=NOW).authority
    early = first.ends - NEXT_BEFORE - DAY
    assert look_after(tmp_path, PLACE, now=early).next is None

    begun = look_after(tmp_path, PLACE, now=early + 2 * DAY)
    assert begun.next is not None
    assert begun.authority.sha256 == first.sha256
    assert begun.takes_over == first.ends - TAKE_OVER_BEFORE + DAY  # as late as it was made
    assert day_of(first.ends) in str(begun.said[0])
    assert begun.next.name in str(begun.said[0])
    # phones can learn it, and it is another's
    assert begun.next.sha256 != first.sha256
    server_files(tmp_path, begun.next, PLACE, now=early + 2 * DAY, prefix="next-")

    waiting = look_after(tmp_path, PLACE, now=begun.takes_over - DAY)
    assert waiting.next is not None
    assert (waiting.authority.sha256, waiting.next.sha256) == (first.sha256, begun.next.sha256)
    assert waiting.said == ()

    over = look_after(tmp_path, PLACE, now=begun.takes_over)
    assert over.authority.sha256 == begun.next.sha256
    assert over.next is None
    assert [one.sha256 for one in over.former] == [first.sha256]
    assert first.name in str(over.said[0])
    assert not list(tmp_path.glob("next-*"))
    leaf(tmp_path, over.authority, PLACE, begun.takes_over)
    assert reached(tmp_path, over.authority, "shop.local", begun.takes_over)


def test_phones_have_six_weeks_for_it(tmp_path: Path) -> None:
    first = open_authority(tmp_path, PLACE, now=NOW)
    begun = look_after(tmp_path, PLACE, now=first.ends - NEXT_BEFORE)
    assert begun.takes_over is not None
    assert begun.takes_over - (first.ends - NEXT_BEFORE) >= timedelta(weeks=6)
    assert begun.takes_over < first.ends


def test_a_server_that_was_off_gives_phones_what_time_there_is(tmp_path: Path) -> None:
    first = open_authority(tmp_path, PLACE, now=NOW)
    late = first.ends - 10 * DAY
    begun = look_after(tmp_path, PLACE, now=late)
    assert begun.authority.sha256 == first.sha256
    assert begun.next is not None
    still = look_after(tmp_path, PLACE, now=late + 7 * DAY)
    assert still.authority.sha256 == first.sha256
    over = look_after(tmp_path, PLACE, now=first.ends - DAY)
    assert over.authority.sha256 == begun.next.sha256


def test_one_that_has_ended_is_followed_by_the_next_where_there_is_one(tmp_path: Path) -> None:
    first = open_authority(tmp_path, PLACE, now=NOW)
    begun = look_after(tmp_path, PLACE, now=first.ends - 30 * DAY)
    assert begun.next is not None
    over = look_after(tmp_path, PLACE, now=first.ends + 90 * DAY)
    assert over.authority.sha256 == begun.next.sha256
    anew = look_after(tmp_path, PLACE, now=first.ends + 900 * DAY)
    assert anew.authority.sha256 != begun.next.sha256
    assert "ended" in str(anew.said[0])


# Replaced


def old_copies(folder: Path, aside: Path) -> list[Path]:
    """The same files under other names: what a write in place changes, a new file does not."""
    aside.mkdir()
    copies = []
    for path in folder.iterdir():
        if path.is_file() and b"PRIVATE KEY" in path.read_bytes():
            copies.append(aside / path.name)
            os.link(path, copies[-1])
    return copies


def test_a_replaced_one_is_kept_in_no_usable_form(tmp_path: Path) -> None:
    keys = tmp_path / "keys"
    first = look_after(keys, PLACE, now=NOW).authority
    near = first.ends - 30 * DAY
    following = look_after(keys, PLACE, now=near).next
    assert following is not None
    server_files(keys, first, PLACE, now=near)
    copies = old_copies(keys, tmp_path / "aside")
    assert {one.name for one in copies} == {"issuing.pem", "next-issuing.pem", "server.key"}

    standing = replace(keys, PLACE, now=near)
    assert standing.authority.sha256 not in (first.sha256, following.sha256)
    assert standing.next is None
    assert [one.sha256 for one in standing.former] == [first.sha256]
    assert look_after(keys, PLACE, now=near).authority.sha256 == standing.authority.sha256
    for path in copies:
        assert path.read_bytes().strip() == b""
    spki = serialization.PublicFormat.SubjectPublicKeyInfo
    for gone in (first, following):
        assert gone.key.public_key().public_bytes(PEM, spki) not in private_keys(keys)
    leaf(keys, standing.authority, PLACE, near)
    assert reached(keys, standing.authority, "shop.local", near)
    assert not reached(keys, first, "shop.local", near)


@pytest.mark.parametrize(
    ("widen", "what"),
    [
        (lambda: wide(names=("local",)), "names"),
        (lambda: wide(names=("shop",)), "names"),
        (lambda: wide(networks=("0.0.0.0/0",)), "addresses"),
        (lambda: wide(networks=("10.0.0.0/7",)), "addresses"),
        (lambda: wide(uses=False), "uses"),
        (lambda: wide(days=366), "life"),
        (lambda: wide(names=()), "unlimited"),
        (lambda: wide(critical=False), "unlimited"),
        (lambda: wide(constrained=False), "unlimited"),
    ],
)
def test_whatever_makes_one_too_wide_it_is_replaced(
    tmp_path: Path, widen: Callable[[], Authority], what: str
) -> None:
    tmp_path.joinpath("issuing.pem").write_bytes(widen().to_file())
    tmp_path.joinpath("authority.pem").write_bytes(widen().pem)
    standing = look_after(tmp_path, PLACE, now=NOW)
    assert certificates.too_wide(widen().root) == {what}
    assert "more than this shop" in str(standing.said[0])
    for certificate in (standing.authority.root, standing.authority.issuer):
        assert certificates.too_wide(certificate) == set()


def wide(
    *,
    names: tuple[str, ...] = ("shop.local",),
    networks: tuple[str, ...] = ("10.0.0.0/8",),
    uses: bool = True,
    days: int = 365,
    critical: bool = True,
    constrained: bool = True,
) -> Authority:
    """A whole authority of the present kind, but for what is asked."""
    root_key, key = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())

    def one(subject: str, public: ec.EllipticCurvePublicKey) -> x509.Certificate:
        builder = (
            x509.CertificateBuilder()
            .subject_name(x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, subject)]))
            .issuer_name(x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "root")]))
            .public_key(public)
            .serial_number(x509.random_serial_number())
            .not_valid_before(NOW - DAY)
            .not_valid_after(NOW - DAY + days * DAY)
            .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        )
        permitted = [
            *(DNSName(one) for one in names),
            *(IPAddress(ipaddress.ip_network(one)) for one in networks),
        ]
        if constrained:
            builder = builder.add_extension(x509.NameConstraints(permitted, None), critical)
        if uses:
            builder = builder.add_extension(x509.ExtendedKeyUsage([Use.SERVER_AUTH]), False)
        return builder.sign(root_key, hashes.SHA256())

    return Authority(one("root", root_key.public_key()), one("issuer", key.public_key()), key)


def test_one_as_it_should_be_is_not_replaced(tmp_path: Path) -> None:
    """The makers of the wide ones above are right where they are not asked to be wrong."""
    good = wide()
    tmp_path.joinpath("issuing.pem").write_bytes(good.to_file())
    assert look_after(tmp_path, PLACE, now=NOW).authority.sha256 == good.sha256


@pytest.mark.parametrize("act", ["replace", "take over", "begin"])
def test_a_crash_at_any_step_leaves_a_usable_authority(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, act: str
) -> None:
    """Every write, in turn, is the last thing that happens."""
    for step in range(1, 20):
        keys = tmp_path / str(step)
        first = open_authority(keys, PLACE, now=NOW)
        when = first.ends - 30 * DAY
        following = None
        if act != "begin":
            following = look_after(keys, PLACE, now=when).next
        with monkeypatch.context() as patch:
            countdown = Countdown(step)
            for name in ("write", "overwrite", "move"):
                patch.setattr(files, name, countdown.around(getattr(files, name)))
            try:
                if act == "replace":
                    replace(keys, PLACE, now=when)
                else:
                    look_after(keys, PLACE, now=when if act == "begin" else first.ends - DAY)
            except Crash:
                pass
            else:
                break
        after = look_after(keys, PLACE, now=first.ends - DAY)
        leaf(keys, after.authority, PLACE, first.ends - DAY)
        assert reached(keys, after.authority, "shop.local", first.ends - DAY)
        if act == "take over":
            # phones have learned the next one: it must not be lost
            assert following is not None
            assert after.authority.sha256 == following.sha256
    else:
        raise AssertionError("it never came to its end")
    assert step > 1


class Crash(Exception):
    pass


class Countdown:
    def __init__(self, steps: int) -> None:
        self.left = steps

    def around(self, act: Callable[..., None]) -> Callable[..., None]:
        def stopped(*arguments: Path) -> None:
            self.left -= 1
            if self.left <= 0:
                raise Crash
            act(*arguments)

        return stopped


# This machine


def test_this_machine_has_private_names_and_only_private_addresses() -> None:
    found = this_machine()
    assert ipaddress.ip_address("127.0.0.1") in found.addresses
    assert all(is_private(address) for address in found.addresses)
    assert all(place.is_private_name(name) for name in found.names)


@pytest.mark.parametrize("host", ["my_odd host", "localhost", "", "-x"])
def test_an_odd_host_name_is_left_out(monkeypatch: pytest.MonkeyPatch, host: str) -> None:
    monkeypatch.setattr(place.socket, "gethostname", lambda: host)
    assert this_machine().names == ()


def test_a_host_name_is_called_by_its_private_names(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(place.socket, "gethostname", lambda: "Shop.bank.example")
    assert this_machine().names == ("shop.local", "shop.home.arpa", "shop.internal")


def test_names_of_two_authorities_are_told_apart() -> None:
    names = {make_authority(PLACE, NOW).name for _ in range(4)}
    assert len(names) > 1
    assert all(re.fullmatch(r"Bradawl on shop\.local [0-9a-f]{4}", one) for one in names)
    assert make_authority(PLACE, NOW).ends == NOW - BACKDATED + AUTHORITY_LIFE
