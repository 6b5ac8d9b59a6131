"""Verifies a report: genuine, of an unknown signer, or changed; in plain sentences.

A file from a stranger may be anything, so every step expects it to break, and nothing in it is
trusted before a signature over it holds.
"""

from __future__ import annotations

import datetime as dt
import io
import logging
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from bradawl.common.display_text import quoted
from bradawl.language import Message, date, message
from bradawl.report.checking.additions import additions_problem, place_problems, placed_signatures
from bradawl.report.checking.inventory import Parts, foreign_problems, parts_problems, read_parts
from bradawl.report.checking.pdf_syntax import SyntaxFault
from bradawl.report.checking.record_proof import check_record
from bradawl.report.checking.revisions import Document, revisions_of
from bradawl.report.checking.signers_check import SignatureCheck, check_signature, signer_notes
from bradawl.report.model.texts import path_text, when_of
from bradawl.report.signing.trust_store import TrustStore

__all__ = ["Compare", "Kind", "Verdict", "verify"]

#: `genuine`: unchanged, by a key that the checker knows; `unknown`: unchanged, by somebody else's;
#: `changed`: changed, damaged, forged, or no report at all.
Kind = Literal["genuine", "unknown", "changed"]
#: Compares the pages of the issuer's revision with what follows from the record inside: what is
#: wrong, and what else is to say.
Compare = Callable[[Document, Parts, SignatureCheck], tuple[list[Message], list[Message]]]

#: What these libraries log of a file holds its words unquoted, with a traceback: neither is of use
#: to whoever reads a terminal, and the operational log holds nothing that was recorded.
_TALKATIVE = ("pyhanko", "pyhanko_certvalidator")
_LISTED = 12  # amendments that are named
_SIGNING_HOURS = 24  # between the moment that a report names and its signature


@dataclass(frozen=True)
class Verdict:
    """What a file is, why it is `changed`, what else is to say, and its signatures.

    `report` and `visit` are what the file claims, "" where nothing says so: show them quoted.
    """

    kind: Kind
    problems: tuple[Message, ...] = ()
    notes: tuple[Message, ...] = ()
    signatures: tuple[SignatureCheck, ...] = ()
    report: str = ""
    visit: str = ""

    @property
    def unchanged(self) -> bool:
        """Whether the file is what somebody signed, known or not."""
        return self.kind != "changed"

    @property
    def headline(self) -> Message:
        return message(f"report-verify-{self.kind}")

    @property
    def lines(self) -> list[str]:
        """Sentences for the person who asked, the most important first."""
        return [str(said) for said in (self.headline, *self.problems, *self.notes)]


def verify(
    pdf: bytes,
    trust: TrustStore | None = None,
    *,
    now: dt.datetime | None = None,
    compare: Compare | None = None,
) -> Verdict:
    """Check a report. Never raises for what the file contains."""
    if pdf.lstrip()[:5] != b"%PDF-":
        return _changed("report-verify-no-pdf")
    try:
        return _Check(pdf, trust or TrustStore(), now or dt.datetime.now(dt.UTC), compare).verdict()
    except SyntaxFault:
        return _changed(_unread(pdf))
    except Exception:  # a file made to confuse must end as "changed", not as a crash
        return _changed("report-verify-confused")


def _changed(message_id: str) -> Verdict:
    return Verdict("changed", (message(message_id),))


def _unread(pdf: bytes) -> str:
    """Why a file has no structure that a strict reader takes."""
    if pdf[:5] != b"%PDF-" or not pdf.rstrip(b"\r\n").endswith(b"%%EOF"):
        return "report-verify-cut-off"
    return "report-verify-damaged"


class _Check:
    """One look at one file."""

    def __init__(
        self, pdf: bytes, trust: TrustStore, now: dt.datetime, compare: Compare | None
    ) -> None:
        self._pdf, self._trust, self._now, self._compare = pdf, trust, now, compare
        self._problems: list[Message] = []
        self._notes: list[Message] = []

    def verdict(self) -> Verdict:
        revisions = revisions_of(self._pdf)
        placed = placed_signatures(Document(self._pdf, revisions))
        if not placed:
            return _changed("report-verify-unsigned")
        self._problems += place_problems(self._pdf, revisions, placed)
        if len(revisions) == len(placed) + 1:
            for at in range(1, len(placed)):
                problem = additions_problem(self._pdf, revisions, placed, at)
                self._problems += [problem] if problem else []
        signatures = self._signatures([one.end for one in placed])
        issuer = signatures[0]
        for signature in signatures:
            self._problems += signature.problems
            self._notes += signer_notes(signature, self._now, first=signature is issuer)
        document = Document(self._pdf, revisions[:2])
        parts, problems = read_parts(document)
        self._problems += [*problems, *foreign_problems(document)]
        report = visit = ""
        if parts is not None:
            report, visit = (str(parts.manifest.get(key) or "") for key in ("report", "visit"))
            self._check_parts(document, parts, issuer, report, visit)
        certain = self._key_in_use(issuer, report)
        return Verdict(
            kind=self._kind(certain),
            problems=tuple(_once(self._problems)),
            notes=tuple(_once(self._notes)),
            signatures=tuple(signatures),
            report=report,
            visit=visit,
        )

    def _kind(self, certain: bool) -> Kind:
        if self._problems:
            return "changed"
        return "genuine" if certain else "unknown"

    def _signatures(self, ends: Sequence[int]) -> list[SignatureCheck]:
        """Every signature, the first to sign first; two readers must see the same ones."""
        from pyhanko.pdf_utils.reader import PdfFileReader

        for library in _TALKATIVE:
            logging.getLogger(library).setLevel(logging.CRITICAL + 1)
        embedded = list(PdfFileReader(io.BytesIO(self._pdf)).embedded_signatures)
        embedded.sort(key=lambda one: int(one.byte_range[2]) + int(one.byte_range[3]))
        if [int(one.byte_range[2]) + int(one.byte_range[3]) for one in embedded] != list(ends):
            raise SyntaxFault("two readers see other signatures")
        return [check_signature(one, self._trust, self._now) for one in embedded]

    def _check_parts(
        self, document: Document, parts: Parts, issuer: SignatureCheck, report: str, visit: str
    ) -> None:
        """Whether record, pages, seal and the workshop's own record belong together."""
        problems = list(parts_problems(parts))
        matches, seal_lines = check_record(parts.record, self._trust)
        (self._notes if matches else problems).extend(seal_lines)
        if not problems:
            if self._compare is not None:
                wrong, said = self._compare(document, parts, issuer)
                problems += wrong
                self._notes += said
            else:
                self._notes.append(message("report-verify-pages"))
        self._problems += problems
        self._problems += self._claims(parts, issuer, report, visit)
        self._notes += _amendment_lines(parts.record)
        if parts.manifest.get("replaces"):
            replaced = quoted(str(parts.manifest["replaces"]))
            self._notes.append(message("report-verify-replaces", number=replaced))
        newer = self._trust.newer(report) if report else None
        if newer is not None:
            made = date(newer.made[:10], long=True)
            self._notes.append(message("report-verify-newer", number=newer.number, date=made))

    def _claims(
        self, parts: Parts, issuer: SignatureCheck, report: str, visit: str
    ) -> Iterator[Message]:
        """What the file says of itself and this workshop, or its own signature, knows otherwise."""
        if not report or not visit:
            yield message("report-verify-no-number")
        if issuer.known is None or not issuer.known.own:
            entry = self._trust.issued(report) if report else None
            if entry is not None:
                yield message("report-verify-number-ours", number=quoted(report))
            if visit and self._trust.seals(visit) is not None:
                yield message("report-verify-visit-ours")
        made = _moment(parts.manifest.get("made"))
        if made is None or issuer.signed is None:
            yield message("report-verify-no-time")
        elif abs(issuer.signed - made) > dt.timedelta(hours=_SIGNING_HOURS):
            yield message("report-verify-made-another-day")

    def _key_in_use(self, issuer: SignatureCheck, report: str) -> bool:
        """Whether the issuer's key is known and was its owner's when it signed."""
        key = issuer.known
        if key is None:
            self._notes.append(message("report-verify-ask"))
            return False
        signed = "" if issuer.signed is None else issuer.signed.date().isoformat()
        if key.retired and signed > key.retired:
            self._problems.append(
                message("report-verify-retired", date=date(key.retired, long=True))
            )
        if not key.lost:
            return True
        lost = date(key.lost, long=True)
        if signed >= key.lost:
            self._problems.append(message("report-verify-lost", date=lost))
            return False
        # whoever has a key also sets the clock: only the workshop's own list is a proof
        entry = self._trust.issued(report) if report else None
        if entry is not None and entry.made[:10] < key.lost:
            self._notes.append(message("report-verify-lost-later", date=lost))
            return True
        self._notes.append(message("report-verify-lost-perhaps", date=lost))
        return False


def _once(said: Sequence[Message]) -> Iterator[Message]:
    """Each sentence the first time only."""
    seen = []
    for one in said:
        if one not in seen:
            seen.append(one)
            yield one


def _moment(made: Any) -> dt.datetime | None:
    try:
        moment = dt.datetime.fromisoformat(str(made))
    except ValueError:
        return None
    return moment if moment.tzinfo is not None else None


def _amendment_lines(record: Mapping[str, Any]) -> Iterator[Message]:
    titles = record.get("titles") or {}
    amendments = list(record.get("amendments", []))
    for event in amendments[:_LISTED]:
        entry = path_text(str(event["put"]), lambda item: str(titles.get(item, item)))
        yield message("report-verify-later", entry=quoted(entry), when=when_of(event["at"]))
    if len(amendments) > _LISTED:
        yield message("report-verify-later-more", count=len(amendments) - _LISTED)
