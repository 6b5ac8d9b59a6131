"""From a shared visit to the contents of its report: what was recorded of which item, and judged.

Knows the record's paths and the checklist's shape.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from bradawl.inspection import cell_values
from bradawl.judge import graded
from bradawl.judge.grading import limits
from bradawl.judge.values.words import GRADE_WORDS as GRADE_WORD
from bradawl.report.model import heading
from bradawl.report.model.contents import (
    GRAVITY,
    Area,
    Contents,
    Finding,
    Photo,
    Reading,
    Reason,
    number_text,
)
from bradawl.report.model.edition import Shared
from bradawl.report.model.figures import RIBS, picture_of

_STATUS = {
    "read": "read",
    "read-secondary": "read in a secondary source",
    "memory": "from memory, not checked against the text",
    "practice": "common practice, no published source",
    "assumption": "assumption",
}


def limit_text(limit: Mapping[str, Any]) -> str:
    """A limit in words, such as `dangerous below 1/32 in`."""
    word = GRADE_WORD.get(str(limit.get("grade")), str(limit.get("grade")))
    return f"{word} {limits.said(dict(limit))}"


def source_text(source: str, sources: Mapping[str, Any]) -> str:
    """A source's title and section; common practice says that it has none."""
    found = sources.get(source)
    if not isinstance(found, Mapping):
        return {"practice": "common practice", "assumption": "assumption"}.get(source, source)
    if found.get("status") == "practice":
        return "common practice"
    section = str(found.get("section") or "")
    title = str(found.get("title") or source)
    return f"{title}, {section}" if section and section not in title else title


def unfold(shared: Shared) -> Contents:
    """The contents of a report."""
    items = {item["id"]: item for item in shared.bundle.get("items", [])}
    judged = shared.assessment.get("items", {})
    amended = {"/".join(event["put"].split("/")[:2]) for event in shared.amendments}
    by_item: dict[str, dict[str, Any]] = {}
    for path, cell in shared.cells.items():
        parts = path.split("/", 2)
        if parts[0] == "items" and len(parts) == 3:
            by_item.setdefault(parts[1], {})[parts[2]] = cell
    reader = _Reader(shared, items, judged, by_item, amended)
    areas = [
        reader.area(area)
        for area in sorted(
            shared.bundle.get("areas", []),
            key=lambda area: (int(area.get("report_order", 99)), str(area["id"])),
        )
    ]
    unknown = sorted(item for item in by_item if item not in items)
    if unknown:
        areas.append(reader.unknown(unknown))
    return Contents(
        car=heading.car(shared),
        identity=heading.identity(shared),
        visit_facts=heading.visit_facts(shared),
        areas=tuple(area for area in areas if area.total),
        sources=reader.sources_used(),
        cautions=reader.cautions_used(),
    )


class _Reader:
    def __init__(
        self,
        shared: Shared,
        items: Mapping[str, Any],
        judged: Mapping[str, Any],
        by_item: Mapping[str, Mapping[str, Any]],
        amended: set[str],
    ) -> None:
        self._shared = shared
        self._items = items
        self._judged = judged
        self._by_item = by_item
        self._amended = amended
        self._sources: set[str] = set()
        self._cautions: set[str] = set()
        self._count = 0
        self._why = {
            str(one.get("item")): str(one.get("why") or "")
            for one in shared.assessment.get("coverage", {}).get("not_reached", [])
        }

    def area(self, area: Mapping[str, Any]) -> Area:
        findings: list[Finding] = []
        sound: list[Finding] = []
        unseen: list[tuple[str, str]] = []
        for item in self._items.values():
            if item.get("area", str(item["id"]).partition(".")[0]) != area["id"]:
                continue
            judged = self._judged.get(item["id"], {})
            if judged.get("applies") is False and item["id"] not in self._by_item:
                continue
            grade = judged.get("grade")
            if grade in ("minor", "major", "dangerous"):
                findings.append(self.finding(item["id"], str(grade)))
            elif grade == "none" or (judged.get("state") == "done" and grade != "uninspected"):
                sound.append(self.finding(item["id"], "none"))
            else:
                unseen.append((str(item["title"]), self.why_unseen(item["id"])))
                if self._recorded(item["id"]):
                    sound.append(self.finding(item["id"], "uninspected"))
        findings.sort(key=lambda one: (GRAVITY.index(one.grade), one.id))
        return Area(
            id=str(area["id"]),
            title=str(area["title"]),
            order=int(area.get("report_order", 99)),
            findings=tuple(findings),
            sound=tuple(sound),
            unseen=tuple(unseen),
            total=len(findings) + len(sound) + len(unseen),
        )

    def unknown(self, ids: list[str]) -> Area:
        """Items of the record that this visit's checklist does not have: shown, not judged."""
        return Area(
            id="unknown",
            title="Recorded, but not in this checklist",
            order=100,
            findings=(),
            sound=tuple(self.finding(item, "uninspected") for item in ids),
            unseen=(),
            total=len(ids),
        )

    def why_unseen(self, item: str) -> str:
        why = self._given_reason(item)
        if why:
            return why
        if self._recorded(item):
            return "something was recorded, and nobody graded it"
        return self._why.get(item) or "no reason recorded"

    def _recorded(self, item: str) -> bool:
        """Whether anything but a grade was recorded of an item."""
        return any(
            cell.get("value") is not None
            for inside, cell in self._by_item.get(item, {}).items()
            if inside not in ("grade", "why")
        )

    def finding(self, item: str, grade: str) -> Finding:
        self._count += 1
        known = self._items.get(item, {"id": item, "title": item, "area": "unknown"})
        judged = self._judged.get(item, {})
        for caution in known.get("cautions", []):
            self._cautions.add(str(caution))
        reasons = []
        for reason in judged.get("reasons", []):
            text = str(reason.get("text") or "")
            source = str(reason.get("source") or "")
            if source:
                self._sources.add(source)
            if text:
                cited = source_text(source, self._shared.bundle.get("sources", {}))
                reasons.append(Reason(text, cited if source else ""))
        why = self._given_reason(item)
        overruled = ""
        if judged.get("overruled"):
            measured = GRADE_WORD.get(str(judged.get("measured")), str(judged.get("measured")))
            overruled = (
                f"Measured: {measured}. Overruled by the inspector: {why or 'no reason given'}"
            )
        elif why and grade != "uninspected" and all(why not in one.text for one in reasons):
            reasons.append(Reason(why, ""))
        return Finding(
            id=item,
            key=f"item-{self._count}",
            title=str(known["title"]),
            area=str(known.get("area", "")),
            grade=grade,
            where=str(known.get("where") or ""),
            reasons=tuple(reasons),
            facts=tuple(_telling_facts(known, judged.get("facts", {}), reasons)),
            problems=tuple(
                str(problem.get("text") or "") for problem in judged.get("problems", [])
            ),
            note="\n".join(
                said
                for name in ("text", "note")
                if (said := cell_values.words(self._value(item, name))).strip()
            ),
            choice=self._choice(item, known),
            readings=(*self._readings(item, known), *self._judged_facts(item, known)),
            photos=tuple(self._photos(item)),
            overruled=overruled,
            others=tuple(self._others(item)),
            amended=f"items/{item}" in self._amended,
            implied=judged.get("by") == "implied",
            open=judged.get("state") == "open",
            places=tuple(self._places(item)),
            picture=picture_of(known, self._cells_of(item), judged),
        )

    def _cells_of(self, item: str) -> dict[str, Any]:
        """The item's cells by whole path, as the judge reads them."""
        return {
            f"items/{item}/{inside}": cell for inside, cell in self._by_item.get(item, {}).items()
        }

    def _places(self, item: str) -> Iterable[str]:
        """Places on the car that the item's photos and readings name, in that order."""
        for photo in self._photos(item):
            if photo.place:
                yield photo.place
        for inside, cell in sorted(self._by_item.get(item, {}).items()):
            parts = inside.split("/")
            if parts[0] == "readings" and len(parts) == 3 and cell.get("value") is not None:
                yield parts[2]

    def sources_used(self) -> tuple[tuple[str, str], ...]:
        """Titles of the sources that were cited, each with how far it was read."""
        known = self._shared.bundle.get("sources", {})
        lines = []
        for source in sorted(self._sources):
            status = known.get(source, {}).get("status", source)
            lines.append((source_text(source, known), _STATUS.get(str(status), str(status))))
        return tuple(sorted(set(lines)))

    def cautions_used(self) -> tuple[tuple[str, str], ...]:
        known = self._shared.bundle.get("cautions", {})
        return tuple(
            (str(known[caution].get("title") or caution), str(known[caution].get("text") or ""))
            for caution in sorted(self._cautions)
            if isinstance(known.get(caution), Mapping)
        )

    def _cell(self, item: str, inside: str) -> Mapping[str, Any] | None:
        return self._by_item.get(item, {}).get(inside)

    def _value(self, item: str, inside: str) -> Any:
        cell = self._cell(item, inside)
        return None if cell is None else cell.get("value")

    def _given_reason(self, item: str) -> str:
        """The reason that a person gave for the item's grade; empty without one."""
        return self._chip(graded(item, self._cells_of(item))[1])

    @staticmethod
    def _chip(why: str) -> str:
        """A chip's text, where the reason is a chip; else the reason as typed."""
        return why.replace("_", " ") if why.replace("_", "").isalnum() and "_" in why else why

    def _choice(self, item: str, known: Mapping[str, Any]) -> str:
        chosen = self._value(item, "choice")
        for choice in known.get("choices", []):
            if choice.get("id") == chosen:
                return str(choice.get("title") or chosen)
        return cell_values.words(chosen)

    def _readings(self, item: str, known: Mapping[str, Any]) -> Iterable[Reading]:
        measured: dict[str, list[tuple[str, str]]] = {}
        for inside, cell in sorted(self._by_item.get(item, {}).items()):
            parts = inside.split("/")
            value = cell_values.reading(cell.get("value"))
            if parts[0] != "readings" or len(parts) != 3 or value is None:
                continue
            text = number_text(value.typed, value.unit)
            measured.setdefault(parts[1], []).append((parts[2], text))
        titles = {str(one["id"]): one for one in known.get("readings", [])}
        order = [*titles, *(one for one in sorted(measured) if one not in titles)]
        for reading in order:
            if reading not in measured:
                continue
            places = [str(place) for place in titles.get(reading, {}).get("at", [])]
            rank = {place: at for at, place in enumerate(places)}
            rows = sorted(measured[reading], key=lambda row: (rank.get(row[0], 999), row[0]))
            own = [one for one in known.get("limits", []) if one.get("of") == reading]
            for limit in own:
                self._sources.add(str(limit.get("source", "")))
            yield Reading(
                title=str(titles.get(reading, {}).get("title") or reading),
                measured=_by_stem(rows),
                limit="; ".join(limit_text(limit) for limit in own),
                source="; ".join(
                    dict.fromkeys(
                        source_text(
                            str(limit.get("source", "")), self._shared.bundle.get("sources", {})
                        )
                        for limit in own
                    )
                ),
            )

    def _judged_facts(self, item: str, known: Mapping[str, Any]) -> Iterable[Reading]:
        """What was worked out of the readings and has limits of its own."""
        typed = {str(one["id"]) for one in known.get("readings", [])}
        facts = self._judged.get(item, {}).get("facts", {})
        sources = self._shared.bundle.get("sources", {})
        for of in dict.fromkeys(str(one.get("of")) for one in known.get("limits", [])):
            found = [
                (name, fact)
                for name, fact in sorted(facts.items())
                if name.partition(".")[0] == of and isinstance(fact, Mapping) and fact.get("text")
            ]
            if of in typed or not found:
                continue
            own = [one for one in known.get("limits", []) if one.get("of") == of]
            for limit in own:
                self._sources.add(str(limit.get("source", "")))
            title = str(found[0][1]["text"]).partition(":")[0].partition(",")[0]
            said = [
                _brief(str(fact["text"]).removeprefix(title).lstrip(":, "))
                + (" by the other reading" if name.endswith(".other") else "")
                for name, fact in found
            ]
            said = [one for one in said if not one.endswith(": original")] or ["all original"]
            yield Reading(
                title=title,
                measured="; ".join(said),
                limit="; ".join(limit_text(limit) for limit in own),
                source="; ".join(
                    dict.fromkeys(source_text(str(one.get("source", "")), sources) for one in own)
                ),
            )

    def _photos(self, item: str) -> Iterable[Photo]:
        found = []
        for inside, cell in self._by_item.get(item, {}).items():
            parts = inside.split("/")
            value = cell.get("value")
            if parts[0] == "photos" and len(parts) == 2 and isinstance(value, Mapping):
                said = cell_values.photo(value)
                found.append(Photo(parts[1], said.caption, said.taken, said.place))
        return sorted(found, key=lambda photo: (photo.taken, photo.sha256))

    def _others(self, item: str) -> Iterable[str]:
        for inside, cell in sorted(self._by_item.get(item, {}).items()):
            for other in cell.get("others", []):
                value = other.get("value")
                if inside == "grade" and cell_values.given(value).grade:
                    grade = GRADE_WORD[cell_values.given(value).grade]
                    yield f"also recorded, unseen by the other: {grade}"
                elif inside in ("note", "text", "choice") and isinstance(value, str):
                    yield f"also recorded: {value}"
                elif inside.startswith("readings/") and (read := cell_values.reading(value)):
                    place = inside.rpartition("/")[2]
                    at = "" if place == "one" else f", {place.replace('-', ' ')}"
                    yield f"also measured{at}: {number_text(read.typed, read.unit)}"


def _telling_facts(
    known: Mapping[str, Any], facts: Mapping[str, Any], reasons: list[Reason]
) -> Iterable[str]:
    """The facts worth a line of their own: not those in the table of readings or in a reason.

    Of facts with a place only what is odd: a panel like its neighbours or an evenly worn tyre is
    in the picture.
    """
    shown = {str(one["id"]) for one in known.get("readings", [])}
    shown |= {str(one.get("of")) for one in known.get("limits", [])}
    for name, fact in sorted(facts.items()):
        head, _, place = name.partition(".")
        if head in shown or not isinstance(fact, Mapping) or not fact.get("text"):
            continue
        if any(str(fact["text"]) in one.text for one in reasons):
            continue
        if place and (
            head in _PLACED_FIGURES
            or (head == "finish" and fact.get("value") == "original")
            or (head == "pattern" and fact.get("value") == "even")
        ):
            continue
        yield str(fact["text"])


_PLACED_FIGURES = frozenset({"panel", "deviation", "confidence", "off_mean", "wet_rise"})


def _brief(text: str) -> str:
    """A fact without what the judge adds in brackets."""
    return text.partition(" (")[0]


def _by_stem(rows: list[tuple[str, str]]) -> str:
    """Places and figures in one line; spots of one panel or tyre stand together.

    `roof-1 110 µm, roof-2 112 µm` becomes `roof 110 µm / 112 µm`.
    """
    stems: dict[str, list[str]] = {}
    for place, text in rows:
        stem, _, last = place.rpartition("-")
        grouped = stem if stem and (last.isdigit() or last in RIBS) else place
        stems.setdefault(grouped, []).append(text)
    said = []
    for place, texts in stems.items():
        figures = " / ".join(texts)
        if place == "one":
            said.append(figures)
        elif place.isdigit():
            said.append(f"{place}: {figures}")
        else:
            said.append(f"{place.replace('-', ' ')} {figures}")
    return ", ".join(said)
