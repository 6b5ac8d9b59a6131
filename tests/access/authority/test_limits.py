"""For what the authority may vouch: three clients accept the phone's certificate and no forgery.

RFC 5280 sections 4.2.1.10 (name constraints) and 4.2.1.12 (extended key usage); the names are those
of RFC 6762, RFC 8375 and ICANN's .internal.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509 import DNSName, IPAddress, RFC822Name
from cryptography.x509.oid import ExtendedKeyUsageOID as Use
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.access.authority import certificates
from bradawl.access.authority.certificates import (
    AUTHORITY_LIFE,
    SERVER_LIFE,
    Authority,
    make_authority,
    make_server_certificate,
    too_wide,
)
from bradawl.access.authority.names import PRIVATE_NETWORKS, Place, is_private, is_private_name
from tests.access.authority.forging import (
    Nss,
    accepts,
    accepts_client,
    chain,
    forged,
    openssl,
)

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
ADDRESSES = tuple(
    ipaddress.ip_address(one) for one in ("192.168.1.5", "fd00::5", "169.254.3.4", "fe80::7", "::1")
)
PLACE = Place(("shop.local", "shop.home.arpa", "shop.internal"), ADDRESSES)


#: NSS wants programs named in an authority; the others take one that names none for all.
ALL_USES = (Use.SERVER_AUTH, Use.CLIENT_AUTH, Use.EMAIL_PROTECTION, Use.CODE_SIGNING)


@pytest.fixture(scope="module")
def authority() -> Authority:
    return make_authority(PLACE, NOW)


@pytest.fixture(scope="module")
def nss(authority: Authority, tmp_path_factory: pytest.TempPathFactory) -> Nss:
    return Nss(tmp_path_factory.mktemp("nss") / "store", authority)


@pytest.fixture(scope="module")
def loose(authority: Authority) -> Authority:
    """The same for all names and uses."""
    root_key = ec.generate_private_key(ec.SECP256R1())
    root = anchor(authority.root.subject, root_key, uses=ALL_USES)
    issuer = anchor(authority.issuer.subject, authority.key, root, root_key, uses=ALL_USES)
    return Authority(root, issuer, authority.key)


@pytest.fixture(scope="module")
def loose_nss(loose: Authority, tmp_path_factory: pytest.TempPathFactory) -> Nss:
    return Nss(tmp_path_factory.mktemp("nss") / "store", loose)


def general(text: str) -> x509.GeneralName:
    try:
        return IPAddress(ipaddress.ip_address(text))
    except ValueError:
        return DNSName(text)


def asked_for(text: str) -> list[str]:
    """OpenSSL's arguments for the name that a client wants."""
    kind = "-verify_ip" if isinstance(general(text), IPAddress) else "-verify_hostname"
    return ["-purpose", "sslserver", kind, text]


# What is right


@pytest.mark.parametrize("name", [*PLACE.names, *map(str, ADDRESSES)])
def test_a_phone_that_trusts_the_root_accepts_every_name_and_address_of_the_server(
    authority: Authority, tmp_path: Path, name: str
) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    leaf = make_server_certificate(authority, PLACE, key, NOW)
    made = chain(tmp_path, leaf, authority.issuer, authority.root)
    assert accepts(made, general(name), NOW)
    assert openssl(made, *asked_for(name), now=NOW)[0]


def test_nss_accepts_it_as_a_server_and_as_nothing_else(authority: Authority, nss: Nss) -> None:
    leaf = make_server_certificate(authority, PLACE, ec.generate_private_key(ec.SECP256R1()), NOW)
    fine, said = nss.accepts(leaf, "V", NOW)
    assert fine, said
    for usage in "SJ":
        assert not nss.accepts(leaf, usage, NOW)[0]


# What is forged with the stolen key


@pytest.mark.parametrize(
    "name",
    [
        "bank.example",
        "bank.shop",  # a public domain that is called as the machine is
        "shop",  # a bare name: a search domain makes anything of it
        "x.shop",
        "localhost",
        "shop.local.bank.example",
        "printer.local",  # private, and somebody else's
        "local",
        "xshop.local",
        "home.arpa",
        "8.8.8.8",
        "100.64.0.1",  # RFC 6598: a provider's
        "172.32.0.1",
        "192.169.0.1",
        "2001:db8::5",
        "2606:4700::1111",
    ],
)
def test_nothing_else_can_be_vouched_for(
    authority: Authority, nss: Nss, tmp_path: Path, name: str
) -> None:
    made = forged(tmp_path, authority, [general(name)], now=NOW)
    assert not accepts(made, general(name), NOW)
    fooled, said = openssl(made, *asked_for(name), now=NOW)
    assert not fooled
    assert "permitted subtree violation" in said
    assert not nss.accepts(made.leaf, "V", NOW)[0]


def test_a_good_name_beside_a_bad_one_does_not_help(
    authority: Authority, nss: Nss, tmp_path: Path
) -> None:
    names = [DNSName("shop.local"), DNSName("bank.shop")]
    made = forged(tmp_path, authority, names, now=NOW)
    for name in ("shop.local", "bank.shop"):
        assert not accepts(made, DNSName(name), NOW)
        assert not openssl(made, *asked_for(name), now=NOW)[0]
    assert not nss.accepts(made.leaf, "V", NOW)[0]


def test_nor_does_a_name_in_the_subject_alone(authority: Authority, tmp_path: Path) -> None:
    """Old clients looked there (RFC 6125 section 6.4.4)."""
    made = forged(tmp_path, authority, [], common_name="bank.shop", now=NOW)
    assert not accepts(made, DNSName("bank.shop"), NOW)
    assert not openssl(made, *asked_for("bank.shop"), now=NOW)[0]


MAIL = [RFC822Name("boss@bank.example")]
SHOP = [DNSName("shop.local")]
#: What a thief puts into a certificate, for whom, and how NSS calls the use.
USES = {
    "e-mail": ([Use.EMAIL_PROTECTION], MAIL, "S"),
    "programs": ([Use.CODE_SIGNING], SHOP, "J"),
    "e-mail as well": ([Use.SERVER_AUTH, Use.EMAIL_PROTECTION], [*MAIL, *SHOP], "S"),
    "programs as well": ([Use.SERVER_AUTH, Use.CODE_SIGNING], SHOP, "J"),
    "no use named": ([], MAIL, "S"),
}


@pytest.mark.parametrize("use", sorted(USES))
def test_neither_e_mail_nor_programs_can_be_vouched_for(
    authority: Authority, loose: Authority, nss: Nss, loose_nss: Nss, tmp_path: Path, use: str
) -> None:
    uses, names, usage = USES[use]
    made = forged(tmp_path / "bound", authority, names, uses=uses, common_name="x", now=NOW)
    free = forged(tmp_path / "free", loose, names, uses=uses, common_name="x", now=NOW)
    assert not nss.accepts(made.leaf, usage, NOW)[0]
    # The check can fail: without the limits on the authority the same is accepted.
    accepted, said = loose_nss.accepts(free.leaf, usage, NOW)
    assert accepted, said
    if usage == "S":
        assert not openssl(made, "-purpose", "smimesign", now=NOW)[0]
        accepted, said = openssl(free, "-purpose", "smimesign", now=NOW)
        assert accepted, said


def test_nor_can_clients(authority: Authority, loose: Authority, tmp_path: Path) -> None:
    """NSS takes an authority for servers as one for clients, too; nobody else does."""
    made = forged(tmp_path / "bound", authority, SHOP, uses=[Use.CLIENT_AUTH], now=NOW)
    free = forged(tmp_path / "free", loose, SHOP, uses=[Use.CLIENT_AUTH], now=NOW)
    assert not accepts_client(made, NOW)
    assert accepts_client(free, NOW)
    assert not openssl(made, "-purpose", "sslclient", now=NOW)[0]
    assert openssl(free, "-purpose", "sslclient", now=NOW)[0]


@pytest.mark.parametrize("name", ["bank.shop", "shop", "8.8.8.8", "2001:db8::5"])
def test_a_client_that_skips_what_stands_in_the_root_is_not_fooled_either(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """RFC 5280 section 6.1.1 (d) takes name and key of an anchor, and need not take its limits."""
    keys: list[ec.EllipticCurvePrivateKey] = []
    generate = ec.generate_private_key

    def note(curve: ec.EllipticCurve) -> ec.EllipticCurvePrivateKey:
        keys.append(generate(curve))
        return keys[-1]

    with monkeypatch.context() as patch:
        patch.setattr(certificates.ec, "generate_private_key", note)
        authority = make_authority(PLACE, NOW)
    root_key = next(one for one in keys if one.public_key() == authority.root.public_key())
    bare = anchor(authority.root.subject, root_key)
    made = forged(tmp_path, authority, [general(name)], now=NOW)
    made = chain(tmp_path, made.leaf, authority.issuer, bare)
    assert not accepts(made, general(name), NOW)
    assert not openssl(made, *asked_for(name), now=NOW)[0]
    good = forged(tmp_path, authority, [DNSName("shop.local")], now=NOW)
    good = chain(tmp_path, good.leaf, authority.issuer, bare)
    assert accepts(good, DNSName("shop.local"), NOW)
    mail = forged(
        tmp_path, authority, [RFC822Name("x@y.example")], uses=[Use.EMAIL_PROTECTION], now=NOW
    )
    mail = chain(tmp_path, mail.leaf, authority.issuer, bare)
    assert not openssl(mail, "-purpose", "smimesign", now=NOW)[0]


def test_no_further_authority_can_be_made(authority: Authority, tmp_path: Path) -> None:
    """Path length 0 (RFC 5280 section 4.2.1.9)."""
    key = ec.generate_private_key(ec.SECP256R1())
    below = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "below")]))
        .issuer_name(authority.issuer.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(NOW)
        .not_valid_after(NOW + timedelta(days=9))
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), False)
        .sign(authority.key, hashes.SHA256())
    )
    thief = Authority(authority.root, below, key)
    made = forged(tmp_path, thief, [DNSName("shop.local")], now=NOW)
    both = below.public_bytes(serialization.Encoding.PEM) + authority.issuer.public_bytes(
        serialization.Encoding.PEM
    )
    (tmp_path / "issuer.crt").write_bytes(both)
    fooled, said = openssl(made, now=NOW)
    assert not fooled
    assert "path length" in said


def anchor(
    subject: x509.Name,
    key: ec.EllipticCurvePrivateKey,
    above: x509.Certificate | None = None,
    above_key: ec.EllipticCurvePrivateKey | None = None,
    uses: Sequence[x509.ObjectIdentifier] = (),
) -> x509.Certificate:
    """An authority without limits on names, of its own or below another."""
    usage = certificates._key_usage(signs_certificates=True)
    signer = above_key or key
    builder = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject if above is None else above.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(NOW - timedelta(days=1))
        .not_valid_after(NOW + timedelta(days=300))
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()), False
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), False)
    )
    if uses:
        builder = builder.add_extension(x509.ExtendedKeyUsage(uses), critical=False)
    return builder.sign(signer, hashes.SHA256())


# What stands in them


def test_both_certificates_say_what_they_may(authority: Authority) -> None:
    for certificate, below in ((authority.root, 1), (authority.issuer, 0)):
        found = certificate.extensions
        basic = found.get_extension_for_class(x509.BasicConstraints)
        assert basic.critical
        assert basic.value == x509.BasicConstraints(ca=True, path_length=below)
        constraints = found.get_extension_for_class(x509.NameConstraints)
        assert constraints.critical
        permitted = constraints.value.permitted_subtrees or ()
        assert {one.value for one in permitted if isinstance(one, DNSName)} == set(PLACE.names)
        usage = found.get_extension_for_class(x509.ExtendedKeyUsage).value
        assert list(usage) == [Use.SERVER_AUTH]
        assert certificate.not_valid_after_utc - certificate.not_valid_before_utc == AUTHORITY_LIFE
        assert timedelta(days=365) >= AUTHORITY_LIFE
        assert too_wide(certificate) == set()


def test_the_server_certificate_is_within_what_phones_accept(authority: Authority) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    leaf = make_server_certificate(authority, PLACE, key, NOW)
    life = leaf.not_valid_after_utc - leaf.not_valid_before_utc
    # Apple, support articles HT210176 (825 days) and HT211025 (398 days)
    assert life == SERVER_LIFE <= timedelta(days=90)
    usage = leaf.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(usage) == [Use.SERVER_AUTH]
    assert leaf.not_valid_before_utc <= NOW - timedelta(hours=12)


@pytest.mark.parametrize("names", [(), ("localhost",), ("shop",), ("shop.example",)])
def test_a_machine_without_a_private_name_gets_no_authority_for_all_names(
    tmp_path: Path, names: tuple[str, ...]
) -> None:
    """A form of name that no subtree mentions is not restricted at all (RFC 5280 4.2.1.10)."""
    authority = make_authority(Place(names, ADDRESSES), NOW)
    for name in ("bank.example", "shop", "shop.local", "localhost", *names):
        made = forged(tmp_path, authority, [DNSName(name)], now=NOW)
        assert not accepts(made, DNSName(name), NOW)
        assert not openssl(made, *asked_for(name), now=NOW)[0]
    key = ec.generate_private_key(ec.SECP256R1())
    leaf = make_server_certificate(authority, Place(names, ADDRESSES), key, NOW)
    good = chain(tmp_path, leaf, authority.issuer, authority.root)
    assert accepts(good, IPAddress(ADDRESSES[0]), NOW)


@given(st.ip_addresses())
@settings(max_examples=200)
def test_every_address_that_is_allowed_is_private(
    address: ipaddress.IPv4Address | ipaddress.IPv6Address,
) -> None:
    """Against the special-purpose registries of IANA as Python has them (RFC 6890)."""
    if is_private(address):
        assert not address.is_global


def test_the_networks_are_those_of_the_standards() -> None:
    assert all(not one.is_global and (one.is_private or one.is_loopback or one.is_link_local)
               for one in PRIVATE_NETWORKS)  # fmt: skip
    assert not is_private(ipaddress.ip_address("100.64.0.1"))


@pytest.mark.parametrize(
    "name",
    ["shop", "local", ".local", "shop.local.", "localhost", "shop.lan", "shop.home",
     "home.arpa", "internal", "sh op.local", "*.local", "shop..local", "SHOP.local"],
)  # fmt: skip
def test_what_is_no_private_name(name: str) -> None:
    assert not is_private_name(name)
