"""The parts sheet of one visit: the plan's jobs, below each its lines, and what they come to."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from bradawl import language
from bradawl.desk.model.labels import item_title
from bradawl.desk.model.parts.columns import COLUMNS, FIELDS, Column
from bradawl.desk.model.parts.values import (
    BLANK,
    Cell,
    cell_of,
    code_of,
    money_said,
    money_typed,
)
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.types import Job, Plan
from bradawl.inspection import cell_values
from bradawl.inspection.said import job_title
from bradawl.judge.costs import pieces
from bradawl.judge.costs.plan import sixths
from bradawl.judge.ledger import part_price
from bradawl.judge.ledger.part_price import AMOUNTS
from bradawl.judge.values import exact
from bradawl.language import listed, text

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Snapshot

__all__ = ["LINE_ID", "Group", "Line", "Sheet", "counted"]

LINE_ID = re.compile(r"[0-9a-f]{12}")
#: Of the states, those in which money is as good as gone, and those before.
COMMITTED = ("ordered", "arrived", "fitted")


@dataclass(frozen=True)
class Line:
    """One line of the parts list; `fields` as they are recorded, by their recorded names."""

    id: str
    fields: Mapping[str, Any]
    begun_at: str = ""

    @property
    def job(self) -> str:
        return cell_values.text(self.fields.get("job"))

    @property
    def removed(self) -> bool:
        return self.fields.get("removed") is True

    @property
    def state(self) -> str:
        return code_of("state", self.fields)

    @property
    def need(self) -> bool:
        return code_of("need", self.fields) == "needed"

    @cached_property
    def cents(self) -> int | None:
        """What the line should come to, freight and core charge included; None: no price."""
        amounts: Any = {name: part_price.cents(self.fields.get(name)) for name in AMOUNTS}
        cost = part_price.line_cents(amounts | {"quantity": self.fields.get("quantity")})
        return int(exact.half_up((sixths(cost), 6), 0)) if cost else None

    @property
    def is_firm(self) -> bool:
        return cell_values.whole(self.fields.get("quote_cents"), 0) is not None


@dataclass(frozen=True)
class Group:
    """A job with its lines; `job` is None for work that the plan does not hold (any more)."""

    id: str
    title: str
    job: Job | None
    lines: list[Line] = field(default_factory=list)


class Sheet:
    """The sheet of a visit. What needs the plan asks for it only then."""

    def __init__(self, snapshot: Snapshot) -> None:
        self.snapshot = snapshot
        self.currency = cell_values.currency(snapshot.cells)

    @cached_property
    def plan(self) -> Plan:
        return plan_of(self.snapshot)

    @cached_property
    def all_lines(self) -> dict[str, Line]:
        """Every line that anybody wrote, removed ones too, the first written first."""
        fields: dict[str, dict[str, Any]] = {}
        for path, cell in self.snapshot.cells.items():
            parts = path.split("/")
            if parts[0] == "parts" and len(parts) == 3 and LINE_ID.fullmatch(parts[1]):
                fields.setdefault(parts[1], {})[parts[2]] = cell["value"]
        begun: dict[str, str] = {}
        for event in self.snapshot.events:
            parts = event["put"].split("/")
            if parts[0] == "parts" and len(parts) == 3:
                at = event["at"]
                begun[parts[1]] = min(begun.get(parts[1], at), at)
        lines = [Line(name, held, begun.get(name, "~")) for name, held in fields.items()]
        return {line.id: line for line in sorted(lines, key=lambda one: (one.begun_at, one.id))}

    @cached_property
    def lines(self) -> list[Line]:
        """Those that hold anything and were not removed."""
        return [
            line
            for line in self.all_lines.values()
            if not line.removed
            and any(value not in (None, "") for key, value in line.fields.items() if key != "job")
        ]

    @cached_property
    def job_titles(self) -> dict[str, str]:
        """The jobs to which a line may belong: the plan's, and those that lines name already."""
        titles = {job.id: job.title for job in self.plan.jobs}
        for line in self.lines:
            if line.job and line.job not in titles:
                titles[line.job] = self._title_of(line.job)
        return titles

    def _title_of(self, job: str) -> str:
        if job in self.plan.remedies:
            return self.plan.remedies[job].title
        cells, begin = self.snapshot.cells, f"work/{job}/done"
        done = next((cells[path]["value"] for path in sorted(cells) if path.startswith(begin)), {})
        return job_title(job, done, self.snapshot.texts["rules"])

    def groups(self) -> list[Group]:
        """The plan's jobs in their order, then other jobs that have lines, then what has no job."""
        by_job: dict[str, list[Line]] = {}
        for line in self.lines:
            by_job.setdefault(line.job, []).append(line)
        groups = [Group(job.id, job.title, job, by_job.pop(job.id, [])) for job in self.plan.jobs]
        loose = by_job.pop("", [])
        groups += [Group(job, self.job_titles[job], None, of) for job, of in by_job.items()]
        return [*groups, Group("", text("desk-parts-loose"), None, loose)]

    def cell(self, line: Line, column: Column) -> Cell:
        """One cell of a line."""
        if column.kind == "sum":
            return Cell("", self._said(line))
        if column.kind == "job":
            return Cell(line.job, self.job_titles.get(line.job, line.job)) if line.job else BLANK
        return cell_of(column, line.fields, self.currency)

    def _said(self, line: Line) -> str:
        if line.cents is None:
            return ""
        amount = money_said(line.cents, self.currency)
        return amount if line.is_firm else text("desk-parts-about", amount=amount)

    def _with_findings(self, group: Group) -> str:
        """What a job is called and what it puts right: “Replace one line” alone says too little."""
        items = group.job.items if group.job else []
        titles = [item_title(self.snapshot.texts, item) for item in items]
        if not titles:
            return group.title
        return text("desk-parts-of-findings", job=group.title, findings=listed(titles))

    def job_cell(self, group: Group, column: Column) -> Cell:
        """One cell of a job's own row."""
        job = group.job
        if column.key == "what":
            return Cell(group.title, self._with_findings(group))
        if column.key == "total":
            return Cell("", self._sum(group.lines))
        if job is None:
            return BLANK
        if column.key == "need":
            word = text("desk-parts-need-" + ("needed" if job.need else "wanted"))
            return Cell(word, word)
        if column.key == "price":
            return self._estimate(job.parts)
        if column.key == "hours_planned":
            raw = "/".join(dict.fromkeys(map(language.decimal, job.hours)))
            return Cell("" if raw == "0" else raw, "" if raw == "0" else raw.replace("/", "–"))
        return BLANK

    def _estimate(self, parts: list[int]) -> Cell:
        low, high = parts[0], parts[2]
        if not any(parts):
            return BLANK
        said = [language.money(amount, self.currency) for amount in parts]
        raw = [money_typed(amount * 100) for amount in parts]
        if low == high:
            return Cell(raw[0], said[0])
        return Cell("/".join(raw), text("desk-parts-range", low=said[0], high=said[2]))

    def is_open(self, group: Group, column: Column) -> bool:
        """Whether a cell of a job's row takes what is typed."""
        return (
            column.key in ("need", "price", "hours_planned")
            and group.job is not None
            and (group.job.id in self.plan.remedies or group.job.own)
        )

    def _sum(self, lines: list[Line]) -> str:
        cents = [line.cents for line in lines if line.state != "returned"]
        known = [amount for amount in cents if amount is not None]
        return money_said(sum(known), self.currency) if known else ""

    def sums_by_job(self) -> dict[str, str]:
        """What the lines of each job come to."""
        by_job: dict[str, list[Line]] = {}
        for line in self.lines:
            by_job.setdefault(line.job, []).append(line)
        return {job: self._sum(lines) for job, lines in by_job.items()}

    def totals(self) -> dict[str, str]:
        """What it comes to: needed, wanted, still to order, ordered or here; lines unpriced."""
        standing = [line for line in self.lines if line.state != "returned"]
        return {
            "needed": self._sum([line for line in standing if line.need]) or self._nothing,
            "wanted": self._sum([line for line in standing if not line.need]) or self._nothing,
            "open": self._sum([line for line in standing if line.state not in COMMITTED])
            or self._nothing,
            "committed": self._sum([line for line in standing if line.state in COMMITTED])
            or self._nothing,
            "unpriced": language.decimal(str(sum(line.cents is None for line in standing))),
        }

    @property
    def _nothing(self) -> str:
        return language.money(0, self.currency)

    def row(self, line: Line) -> list[tuple[Column, Cell]]:
        """The cells of a line, left to right."""
        return [(column, self.cell(line, column)) for column in COLUMNS]

    def job_row(self, group: Group) -> list[tuple[Column, Cell]]:
        """The same of a job."""
        return [(column, self.job_cell(group, column)) for column in COLUMNS]

    def cells_of(self, line: Line) -> dict[str, Cell]:
        """The cells of a line that hold anything, by path."""
        found = {f"parts/{line.id}/{one.key}": self.cell(line, one) for one in COLUMNS}
        return {path: cell for path, cell in found.items() if cell != BLANK}


def counted(sheet: Sheet, job: Job) -> str:
    """How many pieces a job takes, as counted at the car; "" where nobody counted any."""
    item, _, word = job.id.partition("/")
    rule, judged = sheet.snapshot.rules["items"].get(item), sheet.snapshot.assessment["items"]
    facts = judged[item].get("facts", {}) if item in judged else {}
    for remedy in rule.get("remedies", ()) if rule else ():
        name = remedy.get("per") or ""
        if remedy["id"] == word and name and {name, name + "_all"} & set(facts):
            return str(pieces.count(remedy, facts))
    return ""


assert {"what", "need", "price", "total", "hours_planned", "job"} <= set(FIELDS)
