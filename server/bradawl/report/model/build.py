"""Builds what a report says: one edition's view of a visit becomes `Contents`.

Knows the record's paths and the checklist's shape; judges nothing and draws nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, cast

from bradawl.inspection import cell_values
from bradawl.inspection.said import named, place_text
from bradawl.judge.grading.items import CONTRADICTION
from bradawl.judge.record import visit_facts
from bradawl.judge.values import grades
from bradawl.language import argument, text
from bradawl.language import source as source_text
from bradawl.language.tongues import joined
from bradawl.report.model import heading, wires
from bradawl.report.model.captured import captured_shown
from bradawl.report.model.contents import Area, Contents, Finding, Reading, Reason, Unseen
from bradawl.report.model.editions.edition import EditionView
from bradawl.report.model.figures import RIBS, figure_of
from bradawl.report.model.limits import limits_of
from bradawl.report.model.recorded_item import PlacedReading, RecordedItem, recorded_items
from bradawl.report.model.texts import SINGLE_PLACE, grade_word, standing_alone, together

if TYPE_CHECKING:
    from bradawl.judge.values.types import Area as BundleArea
    from bradawl.judge.values.types import Fact, Item, ItemJudgment, SaidFact

__all__ = ["build_contents"]

_LAST_AREA = 99  # where an area stands that the checklist gives no place


def build_contents(view: EditionView) -> Contents:
    """The contents of a report."""
    builder = _ContentsBuilder(view)
    areas = sorted(
        view.bundle["areas"], key=lambda area: (area.get("report_order", _LAST_AREA), area["id"])
    )
    built = _numbered([*(builder.area(area) for area in areas), builder.unknown_items()])
    return Contents(
        car=heading.car(view),
        identity=heading.identity(view),
        visit_facts=heading.visit_facts(view),
        areas=tuple(area for area in built if area.total),
        sources=builder.sources_used(),
        cautions=builder.cautions_used(),
        captured=captured_shown(view, {item["id"]: item["title"] for item in view.bundle["items"]}),
    )


def _numbered(areas: Sequence[Area]) -> list[Area]:
    """The same areas, their faults numbered through: the gravest first, then as they stand."""
    faults = [finding for area in areas for finding in area.findings]
    faults.sort(key=lambda finding: -grades.SEVERITY.index(finding.grade))
    numbers = {finding.key: number for number, finding in enumerate(faults, 1)}
    return [
        replace(
            area,
            findings=tuple(
                replace(finding, number=numbers[finding.key]) for finding in area.findings
            ),
        )
        for area in areas
    ]


class _ContentsBuilder:
    """Builds areas and findings, and notes which sources and cautions they name."""

    def __init__(self, view: EditionView) -> None:
        self._view = view
        self._items = {item["id"]: item for item in view.bundle["items"]}
        self._recorded = recorded_items(view.cells, self._items, view.texts)
        self._facts = visit_facts.visit_facts(view.cells, "")
        self._amended = {"/".join(event["put"].split("/")[:2]) for event in view.amendments}
        self._sources = view.bundle.get("sources", {})
        self._sources_used: set[str] = set()
        self._cautions_used: set[str] = set()
        self._count = 0
        coverage = view.assessment.get("coverage")
        self._not_reached = {
            entry["item"]: view.said(entry)
            for entry in (coverage.get("not_reached", []) if coverage else [])
        }

    def area(self, area: BundleArea) -> Area:
        """One area: the items with faults, those without, and those that nobody inspected."""
        findings: list[Finding] = []
        sound: list[Finding] = []
        unseen: list[Unseen] = []
        for item in self._items.values():
            if item.get("area", item["id"].partition(".")[0]) != area["id"]:
                continue
            judged = self._view.judgment_of(item["id"])
            if judged.get("applies") is False and item["id"] not in self._recorded:
                continue
            grade = judged.get("grade")
            if grade is not None and grade in grades.FAULTS:
                findings.append(self._finding(item["id"], grade))
            elif grade == "none" or (judged.get("state") == "done" and grade != "uninspected"):
                sound.append(self._finding(item["id"], "none"))
            else:
                unseen.append(self._unseen(item))
                if self._record_of(item["id"]).has_content:
                    sound.append(self._finding(item["id"], "uninspected"))
        findings.sort(key=lambda finding: (-grades.SEVERITY.index(finding.grade), finding.id))
        return Area(
            id=area["id"],
            title=area["title"],
            order=area.get("report_order", _LAST_AREA),
            findings=tuple(findings),
            sound=tuple(sound),
            unseen=tuple(unseen),
            total=len(findings) + len(sound) + len(unseen),
        )

    def unknown_items(self) -> Area:
        """Items of the record that this visit's checklist does not have: shown, not judged."""
        unknown = sorted(item for item in self._recorded if item not in self._items)
        return Area(
            id="unknown",
            title=text("report-area-unknown"),
            order=_LAST_AREA + 1,
            findings=(),
            sound=tuple(self._finding(item, "uninspected") for item in unknown),
            unseen=(),
            total=len(unknown),
        )

    def sources_used(self) -> tuple[tuple[str, str], ...]:
        """Titles of the sources that were cited, each with how far it was read."""
        used = set()
        for source in self._sources_used:
            entry = self._sources.get(source)
            status = entry["status"] if entry else ""
            if cited := self._cited(source):
                used.add((cited, named(f"report-source-{status}", status)))
        return tuple(sorted(used))

    def cautions_used(self) -> tuple[tuple[str, str], ...]:
        """Title and text of the cautions that go with what was found."""
        cautions = self._view.bundle.get("cautions", {})
        return tuple(
            (cautions[name]["title"], cautions[name]["text"])
            for name in sorted(self._cautions_used)
            if name in cautions
        )

    def _record_of(self, item: str) -> RecordedItem:
        return self._recorded.get(item) or RecordedItem(item, {})

    def _unseen(self, item: Item) -> Unseen:
        why, record = self._why_unseen(item["id"]), self._record_of(item["id"])
        alone = record.reason_alone if why == record.reason else standing_alone(why)
        return Unseen(item["id"], item["title"], why, alone)

    def _why_unseen(self, item: str) -> str:
        record = self._record_of(item)
        for problem in self._view.judgment_of(item).get("problems", []):
            if problem["code"] == CONTRADICTION:
                return self._view.said(problem)
        if record.reason:
            return record.reason
        if record.has_content:
            return text("report-unseen-ungraded")
        return self._not_reached.get(item) or text("report-unseen-no-reason")

    def _finding(self, item: str, grade: str) -> Finding:
        self._count += 1
        rule = self._items.get(item) or cast("Item", {"id": item, "title": item})
        judged = self._view.judgment_of(item)
        record = self._record_of(item)
        # a buyer is warned of what is wrong with the car, the shop of all that it handles
        if self._view.money is not None or grade in ("dangerous", "major"):
            self._cautions_used |= set(rule.get("cautions", []))
        reasons = list(self._reasons(judged))
        why, overruled = record.reason, ""
        if judged.get("overruled"):
            overruled = text(
                "report-overruled",
                measured=grade_word(judged.get("measured")),
                given=grade_word(grade),
                why=why or text("report-no-reason"),
            )
        elif why and grade != "uninspected" and all(why not in reason.text for reason in reasons):
            reasons.append(Reason(record.reason_alone, ""))
        return Finding(
            id=item,
            key=f"item-{self._count}",
            title=rule["title"],
            grade=grade,
            where=rule.get("where", ""),
            reasons=tuple(reasons),
            facts=tuple(_telling_facts(rule, judged, self._view)),
            problems=tuple(self._view.said(problem) for problem in judged.get("problems", [])),
            note=record.note,
            choice=_choice_text(record.value("choice"), rule),
            readings=(
                *self._readings(record, rule),
                *self._derived(judged, rule),
                *self._wires(record, judged),
            ),
            photos=record.photos(),
            overruled=overruled,
            others=tuple(record.concurrent()),
            amended=f"items/{item}" in self._amended,
            open=judged.get("state") == "open",
            figure=figure_of(rule, record.cells_by_path, judged, self._facts),
        )

    def _reasons(self, judged: ItemJudgment) -> Iterator[Reason]:
        for reason in judged.get("reasons", []):
            source = reason.get("source", "")
            if source:
                self._sources_used.add(source)
            if reason["said"]["id"] in _OWN_WORD:
                continue  # the rating says whose it is, and the inspector's reason follows
            if reason.get("code") in ("look_first", "claim", "want"):
                continue  # the shop's advice to whoever looks
            yield Reason(self._view.said(reason), self._cited(source) if source else "")

    def _readings(self, record: RecordedItem, rule: Item) -> Iterator[Reading]:
        """What was typed: the checklist's readings in its order, then all others."""
        by_name: dict[str, list[PlacedReading]] = {}
        for reading in record.readings():
            by_name.setdefault(reading.reading, []).append(reading)
        definitions = {reading["id"]: reading for reading in rule.get("readings", [])}
        for name in dict.fromkeys([*definitions, *sorted(by_name)]):
            if name not in by_name:
                continue
            definition = definitions.get(name)
            order = definition.get("at", []) if definition else []
            # places that the checklist does not have come last
            placed = sorted(
                by_name[name],
                key=lambda reading: (
                    order.index(reading.place) if reading.place in order else len(order),
                    reading.place,
                ),
            )
            title = definition["title"] if definition else name
            stems = _by_stem(placed)
            measured = joined("; ", [_at_place(*stem) for stem in stems])
            yield self._row(title, measured, name, rule, tuple(_apart(stems)))

    def _derived(self, judged: ItemJudgment, rule: Item) -> Iterator[Reading]:
        """What was worked out of the readings and has limits of its own."""
        typed = {reading["id"] for reading in rule.get("readings", [])}
        facts = judged.get("facts", {})
        for name in dict.fromkeys(limit["of"] for limit in rule.get("limits", [])):
            own = [
                (key, fact) for key, fact in sorted(facts.items()) if key.partition(".")[0] == name
            ]
            if name in typed or not own or name.startswith(wires.FACT):
                continue
            odd: list[str] = []
            places: list[tuple[str, str]] = []
            for key, fact in own:
                short, is_other = self._placed(fact), key.endswith(".other")
                if fact["value"] != "original":
                    odd.append(text("report-reading-other", text=short) if is_other else short)
                    place, shown = self._at(fact)
                    if place:
                        other = text("report-reading-other", text=shown)
                        places.append((place, other if is_other else shown))
            measured = joined("; ", odd or [text("report-paint-usual")])
            apart = tuple(places) if len(places) == len(odd) else ()
            yield self._row(self._named(own[0][1]), measured, name, rule, apart)

    def _wires(self, record: RecordedItem, judged: ItemJudgment) -> Iterator[Reading]:
        columns = self._view.texts.get("wires", {}).get("sources", {})
        for wire in record.wires(judged):
            reading, sources = wires.reading_of(wire, columns, self._cited)
            self._sources_used |= sources
            yield reading

    def _named(self, fact: Fact) -> str:
        """What a fact is called, without its place."""
        name = cast("SaidFact", fact["said"].get("args", {})["name"])
        bare = {key: value for key, value in name.items() if key != "at"}
        return str(argument(cast("SaidFact", bare), self._view.texts))

    def _at(self, fact: Fact) -> tuple[str, str]:
        """A fact's place, "" without one, and its figure or word."""
        args = fact["said"].get("args", {})
        at = cast("SaidFact", args["name"]).get("at")
        return place_text(at) if at else "", str(argument(args["value"], self._view.texts))

    def _placed(self, fact: Fact) -> str:
        """A fact's figure or word, after its place."""
        place, shown = self._at(fact)
        return text("report-labeled", label=place, text=shown) if place else shown

    def _row(
        self,
        title: str,
        measured: str,
        name: str,
        rule: Item,
        places: tuple[tuple[str, str], ...] = (),
    ) -> Reading:
        """A reading with the limits on its name and their sources."""
        shown = limits_of(rule, name, self._facts)
        self._sources_used |= {limit.source for limit in shown}
        return Reading(
            title=title,
            measured=measured,
            limits=tuple((limit.text, self._cited(limit.source)) for limit in shown),
            places=places,
        )

    def _cited(self, source: str) -> str:
        """A source as paper cites it; "" for what has none: common practice, an assumption."""
        return source_text(source, self._sources, noted=False)


#: What the judge says of a rating that a person gave.
_OWN_WORD = frozenset({"judge-reason-person", "judge-reason-person-why"})


def _choice_text(chosen: object, rule: Item) -> str:
    for choice in rule.get("choices", []):
        if choice["id"] == chosen:
            return choice["title"]
    return cell_values.words(chosen)


def _telling_facts(rule: Item, judged: ItemJudgment, view: EditionView) -> Iterable[str]:
    """The facts worth a line of their own: not those in the table of readings or in a reason.

    Of facts with a place only what is odd: a panel like its neighbors or an evenly worn tire is
    in the figure.
    """
    shown = {reading["id"] for reading in rule.get("readings", [])}
    shown |= {limit["of"] for limit in rule.get("limits", [])}
    told = {reason.get("fact") for reason in judged.get("reasons", [])}
    for name, fact in sorted(judged.get("facts", {}).items()):
        head, _, at = name.partition(".")
        usual = at and (head in _PLACED_FIGURES or (head, fact["value"]) in _USUAL_PLACED_VALUES)
        if head not in shown and name not in told and not usual and not head.startswith(wires.FACT):
            yield view.said(fact)


_PLACED_FIGURES = frozenset({"panel", "deviation", "confidence", "off_mean", "wet_rise"})
_USUAL_PLACED_VALUES = (("finish", "original"), ("pattern", "even"))


def _by_stem(readings: Sequence[PlacedReading]) -> list[tuple[str, list[PlacedReading]]]:
    """Places with their figures; spots of one panel or tire stand together.

    `roof-1 4.3 mil`, `roof-2 4.4 mil` become `roof: 4.3 / 4.4 mil`.
    """
    stems: dict[str, list[PlacedReading]] = {}
    for reading in readings:
        stem, _, last = reading.place.rpartition("-")
        grouped = stem if stem and (last.isdigit() or last in RIBS) else reading.place
        stems.setdefault(grouped, []).append(reading)
    return list(stems.items())


def _apart(stems: Sequence[tuple[str, list[PlacedReading]]]) -> Iterator[tuple[str, str]]:
    """Each place and its figures; nothing where any of them is no figure at a place."""
    if all(
        place != SINGLE_PLACE and not all(reading.is_tap for reading in placed)
        for place, placed in stems
    ):
        for place, placed in stems:
            yield place_text(place), _together(placed)


def _at_place(place: str, placed: Sequence[PlacedReading]) -> str:
    if all(reading.is_tap for reading in placed):
        return text("report-value-yes") if place == SINGLE_PLACE else place_text(place)
    figures = _together(placed)
    if place == SINGLE_PLACE:
        return figures
    return text("report-labeled", label=place_text(place), text=figures)


def _together(placed: Sequence[PlacedReading]) -> str:
    figures = [reading.measured for reading in placed if reading.measured]
    if len(figures) == len(placed):
        return together(figures)
    return " / ".join(reading.text for reading in placed)
