"""Judges one signature of a report: does it hold, whose key is it, and could the name be borrowed.

The mathematics is pyHanko's; what it leaves open (the envelope, the certificate's days, names that
look like others) is looked at here.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from bradawl.common.display_text import quoted
from bradawl.language import Message, date, message, moment, text
from bradawl.report.checking.envelope import envelope_problem
from bradawl.report.checking.names import hides_characters, likeness
from bradawl.report.signing.certificates import grouped
from bradawl.report.signing.trust_store import KnownKey, TrustStore

__all__ = ["SignatureCheck", "check_signature", "signer_notes"]

#: No report is older than the program that writes it.
_FIRST = dt.datetime(2025, 1, 1, tzinfo=dt.UTC)
_CLOCKS_DIFFER = dt.timedelta(days=1)


@dataclass(frozen=True)
class SignatureCheck:
    """One signature: whose, when (as the signer's clock said), what is wrong with it.

    `name` is what a known key is called here, else what the certificate claims (`claimed`), as it
    stands there: show it quoted. `stamped` and `stamp_server` are those of a time stamp, None and
    "" without one.
    """

    name: str
    claimed: str
    fingerprint: str
    known: KnownKey | None
    signed: dt.datetime | None
    ends: dt.datetime
    stamped: dt.datetime | None
    stamp_server: str
    problems: tuple[Message, ...]
    cautions: tuple[Message, ...] = ()

    @property
    def holds(self) -> bool:
        return not self.problems


def check_signature(embedded: Any, trust: TrustStore, now: dt.datetime) -> SignatureCheck:
    """What one of pyHanko's embedded signatures comes to. May raise anything for a broken one."""
    from pyhanko.sign.diff_analysis import ModificationLevel
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko_certvalidator import ValidationContext

    problems: list[Message] = []
    envelope = envelope_problem(embedded.pkcs7_content)
    if envelope is not None:
        problems.append(envelope)
    certificate = embedded.signer_cert
    # Trust is decided by fingerprint, not by a chain: give the validator the signer's own.
    status = validate_pdf_signature(
        embedded,
        ValidationContext(
            trust_roots=[certificate], allow_fetching=False, moment=_inside(certificate)
        ),
        ValidationContext(trust_roots=[], allow_fetching=False),
    )
    if not status.intact:
        problems.append(message("report-verify-not-intact"))
    elif not status.valid:
        problems.append(message("report-verify-not-valid"))
    elif status.modification_level is None or (
        status.modification_level > ModificationLevel.FORM_FILLING or status.docmdp_ok is False
    ):
        problems.append(message("report-verify-something-else"))
    stamped, stamp_server = None, ""
    if (token := status.timestamp_validity) is not None:
        stamped, stamp_server = token.timestamp, _common_name(token.signing_cert)
        if not (token.intact and token.valid):
            problems.append(message("report-verify-stamp-bad"))
    fingerprint = hashlib.sha256(certificate.dump()).hexdigest()
    known, claimed = trust.keys.get(fingerprint), _common_name(certificate)
    signed = embedded.self_reported_timestamp
    problems += _time_problems(certificate, signed, stamped, now)
    names = _name_problems(embedded, certificate, trust) if known is None else []
    return SignatureCheck(
        name=claimed if known is None else known.name,
        claimed=claimed,
        fingerprint=fingerprint,
        known=known,
        signed=signed,
        ends=certificate["tbs_certificate"]["validity"]["not_after"].native,
        stamped=stamped,
        stamp_server=stamp_server,
        problems=(*problems, *(said for said, grave in names if grave)),
        cautions=tuple(said for said, grave in names if not grave),
    )


def _inside(certificate: Any) -> dt.datetime:
    """A moment at which the certificate is valid: its days are judged here, not by the library."""
    begins: dt.datetime = certificate["tbs_certificate"]["validity"]["not_before"].native
    return begins


def _common_name(certificate: Any) -> str:
    native = certificate.subject.native
    name = native.get("common_name") or native.get("organization_name") or ""
    return name if isinstance(name, str) else " ".join(map(str, name))


def _time_problems(
    certificate: Any, signed: dt.datetime | None, stamped: dt.datetime | None, now: dt.datetime
) -> Iterator[Message]:
    if signed is None or signed.tzinfo is None:
        yield message("report-verify-no-time")
        return
    validity = certificate["tbs_certificate"]["validity"]
    begins, ends = validity["not_before"].native, validity["not_after"].native
    beside = stamped is not None and abs(stamped - signed) > _CLOCKS_DIFFER
    if signed > now + _CLOCKS_DIFFER or signed < _FIRST or beside:
        yield message("report-verify-implausible", when=moment(signed, long=True))
    if not begins <= signed <= ends:
        yield message(
            "report-verify-outside-validity",
            begins=date(begins.date().isoformat(), long=True),
            ends=date(ends.date().isoformat(), long=True),
        )


def _name_problems(
    embedded: Any, certificate: Any, trust: TrustStore
) -> list[tuple[Message, bool]]:
    """What is wrong with the names of a stranger's signature; True where it is a forgery's."""
    claimed = _common_name(certificate)
    beside = embedded.sig_object.get("/Name")
    names = {claimed, *_other_names(certificate), *([str(beside)] if beside else [])}
    said: list[tuple[Message, bool]] = []
    for known in sorted({key.name for key in trust.keys.values()}):
        alike = {likeness(name, known) for name in names}
        if known in names:
            said.append((message("report-verify-borrowed-name", name=quoted(known)), True))
        elif "same" in alike:
            both = {"name": quoted(claimed), "known": quoted(known)}
            said.append((message("report-verify-lookalike", **both), True))
        elif "near" in alike:
            both = {"name": quoted(claimed), "known": quoted(known)}
            said.append((message("report-verify-similar", **both), False))
    if any(hides_characters(name) for name in names):
        said.append((message("report-verify-hidden-letters"), True))
    if beside and str(beside) != claimed:
        both = {"name": quoted(claimed), "other": quoted(str(beside))}
        said.append((message("report-verify-two-names", **both), True))
    return said


def _other_names(certificate: Any) -> Iterator[str]:
    for value in certificate.subject.native.values():
        yield from (str(one) for one in (value if isinstance(value, list) else [value]))


def signer_notes(signature: SignatureCheck, now: dt.datetime, *, first: bool) -> Iterator[Message]:
    """Who signed, with the whole fingerprint, and when."""
    who = "issued" if first else "also"
    name = quoted(signature.name) if signature.name else text("report-verify-key-unnamed")
    known = "unknown" if signature.known is None else "known"
    yield message(f"report-verify-{who}-{known}", name=name, digits=grouped(signature.fingerprint))
    yield from signature.cautions
    if signature.signed is not None:
        yield message("report-verify-time", name=name, when=moment(signature.signed, long=True))
    if signature.stamped is not None:
        server = signature.stamp_server
        yield message(
            "report-verify-time-stamp",
            when=moment(signature.stamped, long=True),
            server=quoted(server) if server else text("report-verify-server-unnamed"),
        )
    if signature.ends < now:
        ended = date(signature.ends.date().isoformat(), long=True)
        yield message("report-verify-run-out", date=ended)
