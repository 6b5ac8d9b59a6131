"""What follows the areas: gaps, evidence, amendments, cautions, method, signature and seal.

Import only after `typeface.register()`.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from reportlab.platypus import CondPageBreak, Flowable, Spacer

from bradawl import recorded
from bradawl.judgement import words
from bradawl.report import autograph
from bradawl.report.areas import photo_grid
from bradawl.report.contents import number_text
from bradawl.report.desk import Desk
from bradawl.report.flowables import table, together
from bradawl.report.signing import Box, Signer
from bradawl.report.style import EDGE, GRADE_WORD, MM
from bradawl.report.work import done


def not_inspected(desk: Desk) -> list[Any]:
    """Every item nobody looked at, by area, with the reason."""
    out = desk.heading("not-inspected", "Not inspected, and why")
    rows = []
    for area in desk.contents.areas:
        by_why: dict[str, list[str]] = {}
        for name, why in area.unseen:
            by_why.setdefault(why, []).append(name)
        rows += [
            [desk.ink.markup(text) for text in (area.title, ", ".join(names), why)]
            for why, names in by_why.items()
        ]
    if not rows:
        return [*out, desk.p("Every item that applies to this car was inspected.")]
    out.append(desk.p("What nobody looked at is unknown. Unknown is never “fine”."))
    out.append(table(["Area", "Not inspected", "Why"], rows, desk.columns(0.20, 0.52, 0.28)))
    return out


def work_done(desk: Desk) -> list[Any]:
    """What was done since the inspection: each finding before and after."""
    jobs = done(desk.shared)
    if not jobs:
        return []
    ink = desk.ink
    out = desk.heading("work-done", "Work done since")
    out.append(
        desk.p(
            "The areas above show the car as it was inspected. What follows was entered by the "
            "workshop afterwards, and nobody but the workshop vouches for it."
        )
    )
    for job in jobs:
        said = [job.date, f"by {job.by}" if job.by else "", job.odometer and f"at {job.odometer}"]
        if job.cost is not None:
            said.append(f"cost {words.money(job.cost, recorded.currency(desk.shared.cells))}")
        block: list[Any] = [
            desk.p(ink.markup(job.title), "h2"),
            desk.p(ink.markup(", ".join(one for one in said if one)), "small"),
        ]
        for label, text in (("Parts", job.parts), ("Note", job.note)):
            if text:
                block.append(desk.p(f"{label}: {ink.lines(text)}"))
        rows = [
            [
                ink.markup(one.title),
                GRADE_WORD.get(one.before, "not graded"),
                f"<b>{GRADE_WORD.get(one.after, 'not looked at again')}</b>",
                ink.markup("; ".join(f"{title}: {text}" for title, text in one.readings)),
            ]
            for one in job.findings
        ]
        if rows:
            head = ["Finding", "Before", "Afterwards", "Measured afterwards"]
            block.append(table(head, rows, desk.columns(0.36, 0.14, 0.18, 0.32)))
        out.append(together(block))
        if job.photos:
            out.append(photo_grid(desk, job.photos))
    return out


_EVIDENCE = {
    "documented": "a document",
    "seen": "seen, no document",
    "claimed": "claimed only",
    "unknown": "nothing known",
}


def evidence(desk: Desk) -> list[Any]:
    """What maintenance there is proof of: without a document it counts as due."""
    rows = desk.shared.assessment.get("baseline")
    lines = [one for one in rows if isinstance(one, Mapping)] if isinstance(rows, list) else []
    if not lines:
        return []
    ready = []
    for one in sorted(lines, key=lambda one: (not one.get("due"), str(one.get("title")))):
        title = str(one.get("title") or "")
        why = str(one.get("text") or "").removeprefix(f"{title}: ")
        why = why.removeprefix("due, ").removeprefix("documented, ")
        ready.append(
            [
                desk.ink.markup(title),
                desk.ink.markup(_EVIDENCE.get(str(one.get("evidence")), one.get("evidence") or "")),
                "<b>due</b>" if one.get("due") else "not due",
                desk.ink.markup(why),
            ]
        )
    due = sum(1 for one in lines if one.get("due"))
    return [
        *desk.heading("evidence", "Evidence for maintenance"),
        desk.p(
            f"{due} of {len(lines)} count as due. What has no document was not done, whatever was "
            "claimed."
        ),
        table(["What", "Evidence", "So it is", "Why"], ready, desk.columns(0.28, 0.18, 0.10, 0.44)),
    ]


def amendments(desk: Desk) -> list[Any]:
    """What was recorded after the seal: when, by which device, what was there before."""
    events = desk.shared.amendments
    if not events:
        return []
    out = desk.heading("amendments", "Amendments after the seal")
    out.append(
        desk.p(
            "The seal does not cover what follows. It was recorded afterwards; the areas above "
            "show the car with these changes and mark them."
        )
    )
    sealed = desk.shared.sealed_cells or {}
    rows = []
    for event in events:
        before = sealed.get(event["put"])
        rows.append(
            [
                desk.ink.markup(text)
                for text in (
                    when_of(event["at"]),
                    desk.shared.device_name(event["device"]),
                    _path_said(event["put"], desk),
                    "not recorded" if before is None else _value_said(before.get("value")),
                    _value_said(event["value"]),
                )
            ]
        )
    head = ["When", "By", "What", "Under the seal", "Afterwards"]
    out.append(table(head, rows, desk.columns(0.14, 0.16, 0.26, 0.22, 0.22)))
    return out


def when_of(stamp: object) -> str:
    """`2026-11-25 09:30 UTC` from a stamp; the device's own clock said so."""
    head = str(stamp).partition("-")[0]
    if not head.isdigit():
        return "unknown"
    at = dt.datetime.fromtimestamp(min(int(head), 4_000_000_000_000) / 1000, dt.UTC)
    return at.strftime("%Y-%m-%d %H:%M UTC")


def _path_said(path: str, desk: Desk) -> str:
    parts = path.split("/")
    if parts[0] == "items" and len(parts) > 2:
        title = desk.title_of(parts[1])
        inside = " ".join(part.replace("-", " ") for part in parts[2:] if part != "one")
        return f"{title}: {'photo' if parts[2] == 'photos' else inside}"
    return " ".join(parts).replace("_", " ")


def _value_said(value: object) -> str:
    if value is None:
        return "taken back"
    if isinstance(value, Mapping):
        if "grade" in value:
            grade, why = recorded.words(value["grade"]), recorded.given(value).why
            return GRADE_WORD.get(grade, grade) + (f", {why}" if why else "")
        if "caption" in value:
            return recorded.photo(value).caption or "a photo"
        read = recorded.reading(value)
        return "a record of several values" if read is None else number_text(read.typed, read.unit)
    return recorded.words(value)


def cautions(desk: Desk) -> list[Any]:
    """What the report is not, and what can hurt whoever works on the car."""
    out = desk.heading("cautions", "Cautions and scope")
    out.append(
        desk.p(
            "This report says what one person saw, measured and was told at one place on one "
            "day, with simple tools and without taking things apart. It is no roadworthiness "
            "certificate and replaces no licensed inspection. Local law decides whether a car "
            "may be on the road. Work on brakes, steering, fuel, airbags, belts and high-voltage "
            "ignition belongs to people who are trained and, where the law asks it, licensed. A "
            "claim without a document is not evidence that work was done."
        )
    )
    for title, text in desk.contents.cautions:
        out.append(desk.p(f"<b>{desk.ink.markup(title)}.</b> {desk.ink.markup(text)}"))
    return out


def in_full(desk: Desk) -> list[Any]:
    """What the first page had no room for."""
    if not desk.in_full:
        return []
    return [
        *desk.heading("in-full", "First page, in full"),
        *(
            desk.p(f"<b>{desk.ink.markup(label)}:</b> {desk.ink.markup(text)}")
            for label, text in desk.in_full
        ),
    ]


def method(desk: Desk) -> list[Any]:
    """How grades come about, where limits come from, and what this file could not print."""
    out = desk.heading("method", "Method and sources")
    out.append(
        desk.p(
            "Grades: <b>no fault</b>; <b>minor</b>, no notable effect on safety; <b>major</b>, "
            "may impair safety, or needs work before regular use; <b>dangerous</b>, a direct and "
            "immediate risk. A grade that follows from a reading names its limit and the limit’s "
            "source; a person may overrule it with a reason, and then both stand here. "
            "“Common practice” is the trade’s habit without a published source."
        )
    )
    out.append(
        desk.p(
            "The file is laid out for long keeping after PDF/A-3b; files made in this way passed a "
            "validator, this very file was not put to one. It carries the record as an attached "
            "file, record.json.",
            "small",
        )
    )
    if desk.contents.sources:
        by_status: dict[str, list[str]] = {}
        for title, status in desk.contents.sources:
            by_status.setdefault(status, []).append(title)
        rows = [
            [desk.ink.markup(status), desk.ink.markup("; ".join(titles))]
            for status, titles in sorted(by_status.items())
        ]
        out.append(table(["How far it was checked", "Sources"], rows, desk.columns(0.22, 0.78)))
    if desk.ink.cut:
        count = desk.ink.cut
        said = "One text is" if count == 1 else f"{count} texts are"
        out.append(desk.p(f"{said} too long for paper and cut; the record has them whole."))
    if desk.ink.gaps:
        said = ", ".join(f"{count} {name}" for name, count in sorted(desk.ink.gaps.items()))
        out.append(
            desk.p(
                "Some recorded text is in a script that this report’s font cannot print, and is "
                f"marked where it stands ({desk.ink.markup(said)}). The attached record has it "
                "whole."
            )
        )
    if desk.shelf.gaps:
        count = len(desk.shelf.gaps)
        said = "One photo" if count == 1 else f"{count} photos"
        out.append(desk.p(f"{said} could not be printed; the place of each says why."))
    return out


def seal(desk: Desk, signer: Signer | None) -> list[Any]:
    """Who sealed the visit, the digests, who issued this file, and room for later signatures."""
    out: list[Any] = [CondPageBreak(125 * MM), *desk.heading("seal", "Signature and seal")[1:]]
    out += _sealed(desk) if desk.shared.seals else [desk.p(_UNSEALED, "strong")]
    if desk.shared.withheld:
        out.append(desk.p(_withheld(desk), "small"))
    if signer is None:
        return [*out, desk.p("This file carries no electronic signature.", "strong")]
    out.append(Spacer(0, 4))
    out.append(
        desk.p(
            f"This file is signed electronically by <b>{desk.ink.markup(signer.name)}</b>, "
            f"certificate {signer.short_fingerprint}. Any later change to it can be found: open "
            "it in a PDF reader that checks signatures, or run “bradawl verify” on it. Compare "
            "the certificate’s digits with its owner before you trust the name."
        )
    )
    out.append(
        together(
            [
                desk.p("Signatures added later", "h2"),
                desk.p(
                    "The buyer or a partner can sign here without breaking the first signature.",
                    "small",
                ),
                Spacer(0, 4),
                SignatureBoxes(),
            ]
        )
    )
    return out


_NAMELESS = "a person without a name"
_UNSEALED = (
    "This visit was not sealed: nobody has signed what was recorded, and it may still change."
)


def _sealed(desk: Desk) -> list[Any]:
    ink, last = desk.ink, desk.shared.seals[-1]
    value = last.value
    when = str(recorded.moment(value.get("at")))
    where = recorded.words(value.get("place")) if desk.shared.choice.place else ""
    place = f" at {where}" if where else ""
    out = [
        desk.p(
            f"Sealed by <b>{ink.markup(recorded.words(value.get('name')) or _NAMELESS)}</b>"
            f"{ink.markup(place)} on {ink.markup(when or 'an unknown date')}"
            + (f" (seal {last.n} of this visit)." if len(desk.shared.seals) > 1 else ".")
        ),
        Autograph(value.get("strokes")),
        desk.p(
            "The drawn signature is shown for the eye. The proof is the electronic signature of "
            "this file and the digests below.",
            "small",
        ),
    ]
    if not last.holds:
        problem = last.problem or "The seal does not hold."
        out.append(desk.p(ink.markup(problem), "strong"))
    else:
        said = "When this file was made, the workshop’s whole record matched this seal."
        out.append(desk.p(said, "small"))
    photos = recorded.mapping(value.get("photos"))
    rows = [
        ["Digest of the sealed record (SHA-256)", _digest(desk, value.get("record"))],
        [
            f"Digest of {recorded.whole(photos.get('count'), 0) or 0} photos (SHA-256)",
            _digest(desk, photos.get("hash")),
        ],
        ["Visit", _digest(desk, desk.shared.visit)],
    ]
    out.append(table([], rows, desk.columns(0.30, 0.70)))
    return out


def _withheld(desk: Desk) -> str:
    """A sentence on what this edition leaves out, without saying what it is worth."""
    counts: dict[str, int] = {}
    for one in desk.shared.withheld:
        counts[one.why] = counts.get(one.why, 0) + 1
    words = {
        "money": "of the buyer’s own reckoning",
        "amount": "in whose text a sum was blanked",
        "choice": "that were not to be passed on",
        "forgotten": "of personal data that was forgotten on request",
    }
    if counts.get("choice") == 1:
        words["choice"] = "that was not to be passed on"
    listed = ", ".join(f"{count} {words.get(why, why)}" for why, count in sorted(counts.items()))
    total = sum(counts.values())
    said = (
        f"The attached record leaves out {total} {'entry' if total == 1 else 'entries'}: {listed}."
    )
    if not desk.shared.seals:
        return said
    return (
        f"{said} The record’s digest above covers them too. A stranger can recompute the "
        "electronic signature, the digests of pages, attached record and photos, but not that one: "
        "it takes the workshop’s whole record, or an edition that leaves nothing out (“bradawl "
        "verify FILE --against OTHER”)."
    )


def _digest(desk: Desk, value: object) -> Any:
    text = value if isinstance(value, str) else ""
    grouped = " ".join(text[at : at + 8] for at in range(0, len(text), 8))
    return desk.p(desk.ink.markup(grouped or "none"), "digest")


class Autograph(Flowable):  # type: ignore[misc]
    """The drawn signature over a line; an empty line when nothing was drawn."""

    def __init__(self, strokes: object) -> None:
        super().__init__()
        self._strokes = strokes

    def wrap(self, available_width: float, _: float) -> tuple[float, float]:
        self.width, self.height = min(available_width, 80 * MM), 26 * MM
        return self.width, self.height

    def draw(self) -> None:
        self.canv.setStrokeColor(EDGE)
        self.canv.setLineWidth(0.6)
        self.canv.line(0, 4, self.width, 4)
        autograph.draw(
            self.canv, self._strokes, x=6, y=6, width=self.width - 12, height=self.height - 8
        )


class SignatureBoxes(Flowable):  # type: ignore[misc]
    """Two framed places whose corners the paper remembers for the signature fields."""

    def wrap(self, available_width: float, _: float) -> tuple[float, float]:
        self.width, self.height = available_width, 24 * MM
        return self.width, self.height

    def draw(self) -> None:
        canvas = self.canv
        each = (self.width - 8 * MM) / 2
        canvas.setStrokeColor(EDGE)
        canvas.setDash(3, 2)
        for at in (0, 1):
            left = at * (each + 8 * MM)
            canvas.rect(left, 0, each, self.height, stroke=1, fill=0)
            x, y = canvas.absolutePosition(left + 1, 1)
            canvas.boxes.append(
                Box(canvas.getPageNumber() - 1, (x, y, x + each - 2, y + self.height - 2))
            )
        canvas.setDash()
