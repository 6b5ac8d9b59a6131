"""The authority in a folder: opened, followed by the next one in time, replaced.

An authority lives a year. 60 days before its end the next one is made beside it, so that phones can
learn it while the present one still counts; 14 days before the end it takes over. What a former one
was called is remembered, so that people can be told which to remove; its key is overwritten.

| file | holds |
| --- | --- |
| `issuing.pem` | the key that issues and both certificates: one file, so always a whole |
| `authority.pem` | the authority's certificate alone, for people and tools |
| `next-issuing.pem` | the same as `issuing.pem` of the next one, while there is one |
| `server.pem`, `server.key`, `next-server.…` | this server's own under each of them |
| `former-authorities.json` | names and fingerprints of those before |
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec

from bradawl.access.authority import certificates, files
from bradawl.access.authority.certificates import Authority, make_authority, utc_now
from bradawl.access.authority.names import Place
from bradawl.language import Message, date, message

#: Before the end of an authority: when the next one is made, and when it takes over.
NEXT_BEFORE = timedelta(days=60)
TAKE_OVER_BEFORE = timedelta(days=14)
#: Where a server was off for long, phones get what time there is, but for the last days.
LAST_MOMENT = timedelta(days=2)
#: Before the end of a server's certificate.
RENEW_BEFORE = timedelta(days=30)
MOST_FORMER = 20

ISSUING, NEXT = "issuing.pem", "next-issuing.pem"
FORMER = "former-authorities.json"
_PEM = serialization.Encoding.PEM


def folder_in(keys: Path) -> Path:
    """Where the authority is kept: apart from the keys that sign reports, which are listed."""
    return keys / "authority"


@dataclass(frozen=True)
class Former:
    """An authority that this server had; `until` is the ISO day on which another took over."""

    name: str
    sha256: str
    until: str

    @property
    def fingerprint(self) -> str:
        return certificates.grouped(self.sha256)


@dataclass(frozen=True)
class Standing:
    """The authorities of a folder; `said` are sentences about what was just changed."""

    authority: Authority
    next: Authority | None
    former: tuple[Former, ...]
    said: tuple[Message, ...] = ()

    @property
    def takes_over(self) -> datetime | None:
        """When the next authority takes over, if there is one."""
        return None if self.next is None else _take_over_at(self.authority, self.next)


@dataclass(frozen=True)
class ServerFiles:
    """Paths for a TLS server; `renewed` says whether they were just written."""

    certificate: Path
    key: Path
    ends: datetime
    renewed: bool


def look_after(folder: Path, place: Place, *, now: datetime | None = None) -> Standing:
    """The authority in `folder`, made where there is none; its successor when it is time."""
    now = now or utc_now()
    with files.one_at_a_time(folder):
        standing = _opened(folder, place, now)
        authority, following = standing.authority, standing.next
        sentences = list(standing.said)
        if following is None and authority.ends - now <= NEXT_BEFORE:
            following = make_authority(place, now)
            files.write(folder / NEXT, following.to_file())
            sentences.append(next_said(authority, following))
        elif following is not None and now >= _take_over_at(authority, following):
            _take_over(folder, following, now)
            sentences.append(
                message("access-authority-took-over", old=authority.name, new=following.name)
            )
            authority, following = following, None
        return Standing(authority, following, _former_of(folder), tuple(sentences))


def replace(folder: Path, place: Place, *, now: datetime | None = None) -> Standing:
    """A new authority at once; the key of the old one, and of the next, is overwritten."""
    now = now or utc_now()
    with files.one_at_a_time(folder):
        new = make_authority(place, now)
        files.overwrite(folder / NEXT)
        (folder / NEXT).unlink(missing_ok=True)
        _put_in_place(folder, new, now)
        return Standing(new, None, _former_of(folder))


def open_authority(folder: Path, place: Place, *, now: datetime | None = None) -> Authority:
    """The authority that counts in `folder`; see `look_after`."""
    return look_after(folder, place, now=now).authority


def read(folder: Path) -> Standing | None:
    """What is in a folder, changing nothing; None without an authority."""
    authority = _read(folder / ISSUING)
    if authority is None:
        return None
    return Standing(authority, _read(folder / NEXT), _former_of(folder))


def server_files(
    folder: Path,
    authority: Authority,
    place: Place,
    *,
    now: datetime | None = None,
    prefix: str = "",
) -> ServerFiles:
    """Certificate and key for `place`, renewed when they no longer fit or end soon."""
    now = now or utc_now()
    certificate_path, key_path = folder / f"{prefix}server.pem", folder / f"{prefix}server.key"
    kept = read_certificate(certificate_path)
    if (
        kept is not None
        and _public_key(key_path) == kept.public_key()
        and _fits(kept, authority, place, now)
    ):
        return ServerFiles(certificate_path, key_path, kept.not_valid_after_utc, renewed=False)
    key = ec.generate_private_key(ec.SECP256R1())
    made = certificates.make_server_certificate(authority, place, key, now)
    files.write(key_path, certificates.pem_of_key(key))
    chain = made.public_bytes(_PEM) + authority.issuer.public_bytes(_PEM)
    files.write(certificate_path, chain)
    return ServerFiles(certificate_path, key_path, made.not_valid_after_utc, renewed=True)


def read_certificate(path: Path) -> x509.Certificate | None:
    """The first certificate of a file, None where there is none."""
    try:
        return x509.load_pem_x509_certificate(path.read_bytes())
    except (FileNotFoundError, ValueError):
        return None


def _public_key(path: Path) -> object:
    """The public half of a private key's file; None where there is none or only half a file."""
    try:
        return serialization.load_pem_private_key(path.read_bytes(), None).public_key()
    except (FileNotFoundError, ValueError):
        return None


def _opened(folder: Path, place: Place, now: datetime) -> Standing:
    """What is in the folder, with something usable in it."""
    kept, following = _read(folder / ISSUING), _usable(_read(folder / NEXT), now)
    if _usable(kept, now) is not None:
        assert kept is not None
        _show(folder, kept)
        return Standing(kept, following, ())
    why = _why_not(folder, kept, now)
    if following is not None:
        _take_over(folder, following, now)
        return Standing(following, None, (), (why,) if why is not None else ())
    new = make_authority(place, now)
    _put_in_place(folder, new, now)
    said = () if why is None else (why, message("access-authority-made", name=new.name))
    return Standing(new, None, (), said)


def _usable(authority: Authority | None, now: datetime) -> Authority | None:
    if authority is None or authority.ends <= now:
        return None
    return (
        None if any(map(certificates.too_wide, (authority.root, authority.issuer))) else authority
    )


def _why_not(folder: Path, kept: Authority | None, now: datetime) -> Message | None:
    """Why what is in the folder cannot be used; None where there was nothing."""
    certificate = kept.root if kept is not None else read_certificate(folder / "authority.pem")
    if certificate is None:
        return None
    name = certificates.common_name(certificate)
    if any(map(certificates.too_wide, [certificate, *([kept.issuer] if kept else [])])):
        return message("access-authority-wide", name=name)
    if certificate.not_valid_after_utc <= now:
        return message(
            "access-authority-ended", name=name, day=day_of(certificate.not_valid_after_utc)
        )
    return message("access-authority-damaged", name=name)


def next_said(authority: Authority, following: Authority) -> Message:
    """What is to be done about the next authority, for the terminal."""
    return message(
        "access-authority-next-said",
        ends=day_of(authority.ends),
        name=following.name,
        day=day_of(_take_over_at(authority, following)),
    )


def day_of(at: datetime) -> str:
    """The day in UTC as the reader writes it."""
    return date(at.astimezone(UTC).date().isoformat())


def _take_over_at(authority: Authority, following: Authority) -> datetime:
    """14 days before the end; later where the next one was made late, but before the end."""
    made = following.root.not_valid_before_utc + certificates.BACKDATED
    learned = made + (NEXT_BEFORE - TAKE_OVER_BEFORE)
    return min(max(authority.ends - TAKE_OVER_BEFORE, learned), authority.ends - LAST_MOMENT)


def _take_over(folder: Path, following: Authority, now: datetime) -> None:
    _note_present(folder, now)
    _overwrite_keys(folder)
    files.move(folder / NEXT, folder / ISSUING)
    _show(folder, following)
    for end in ("pem", "key"):
        (folder / f"next-server.{end}").unlink(missing_ok=True)


def _put_in_place(folder: Path, new: Authority, now: datetime) -> None:
    _note_present(folder, now)
    _overwrite_keys(folder)
    files.write(folder / ISSUING, new.to_file())
    _show(folder, new)


def _overwrite_keys(folder: Path) -> None:
    for name in (ISSUING, "server.key"):
        files.overwrite(folder / name)


def _show(folder: Path, authority: Authority) -> None:
    path = folder / "authority.pem"
    if not path.is_file() or path.read_bytes() != authority.pem:
        files.write(path, authority.pem)


def _note_present(folder: Path, now: datetime) -> None:
    certificate = read_certificate(folder / "authority.pem")
    if certificate is not None:
        note_former(folder, certificate, now)


def note_former(folder: Path, certificate: x509.Certificate, now: datetime) -> None:
    """Remember an authority whose time is over: phones have to remove it."""
    sha256 = certificates.fingerprint_of(certificate)
    former = [authority for authority in _former_of(folder) if authority.sha256 != sha256]
    until = now.astimezone(UTC).date().isoformat()
    former.insert(0, Former(certificates.common_name(certificate), sha256, until))
    listed = [asdict(authority) for authority in former[:MOST_FORMER]]
    files.write(folder / FORMER, json.dumps(listed, indent=1).encode())


def _former_of(folder: Path) -> tuple[Former, ...]:
    try:
        listed = json.loads((folder / FORMER).read_bytes())
        return tuple(
            Former(str(entry["name"]), str(entry["sha256"]), str(entry["until"]))
            for entry in listed
        )
    except (FileNotFoundError, ValueError, TypeError, KeyError):
        return ()


def _read(path: Path) -> Authority | None:
    try:
        return Authority.from_file(path.read_bytes())
    except FileNotFoundError:
        return None


def _fits(kept: x509.Certificate, authority: Authority, place: Place, now: datetime) -> bool:
    ends = kept.not_valid_after_utc
    # Where the authority ends first, a new one would live no longer.
    if ends - now < RENEW_BEFORE and ends < authority.ends:
        return False
    if ends <= now:
        return False
    try:
        kept.verify_directly_issued_by(authority.issuer)
    except Exception:  # another authority's; the library has several words for it
        return False
    names = kept.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return set(certificates.names_within(authority, place)) <= set(names)
