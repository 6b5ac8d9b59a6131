"""The plan's pages: the sheet of remedies, when an assembly tips over, the order of work."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Response
from starlette.datastructures import FormData

from bradawl.desk.model import findings, remedies
from bradawl.desk.model.labels import USES, item_of, item_title
from bradawl.desk.model.remedies import CLASS_WORDS, KINDS, Plan, Remedy
from bradawl.desk.web import charts, forms
from bradawl.desk.web.forms import FieldError
from bradawl.desk.web.visit_page import Asked, Sent, asked_of, render_visit, sent_to
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs import plan as arithmetic
from bradawl.judge.costs import remedies as judge

if TYPE_CHECKING:
    from bradawl.desk.web.context import Desk

TITLE_LIMIT = 120  # of a remedy, in letters
WISH = ("title", "parts", "hours", "need", "loss")  # what a wish's row holds
Puts = list[tuple[str, Any]]


def add(pages: APIRouter, desk: "Desk") -> None:
    """The plan's pages and what they post to."""
    page_asked = Annotated[Asked, Depends(asked_of(desk))]
    form_sent = Annotated[Sent, Depends(sent_to(desk))]

    @pages.get("/visits/{visit}/plan")
    def sheet(asked: page_asked) -> Response:
        plan = remedies.plan_of(asked.snapshot)
        return render_visit(
            asked,
            "plan/sheet.html",
            tab="plan",
            plan=plan,
            by_other={
                item: job.title
                for job in plan.jobs
                for item in job.items
                if not job.id.startswith(f"{item}/")
            },
            anchor=remedies.anchor,
            seen=plan_stamp(asked.snapshot),
            kinds=KINDS,
            classes=CLASS_WORDS,
            uses=USES,
            title_limit=TITLE_LIMIT,
        )

    @pages.post("/visits/{visit}/plan")
    def save_sheet(sent: form_sent) -> Response:
        puts = sheet_changes(sent.snapshot, sent.form, sent.problems)
        refuse_stale(sent)
        if sent.problems:
            return sheet(sent)
        desk.log.append(sent.device, sent.visit, puts)
        return forms.back(f"/desk/visits/{sent.visit}/plan")

    @pages.post("/visits/{visit}/plan/remedy")
    def add_remedy(sent: form_sent) -> Response:
        puts = new_remedy(sent.snapshot, sent.form, sent.problems)
        if sent.problems:
            return sheet(sent)
        desk.log.append(sent.device, sent.visit, puts)
        return forms.back(f"/desk/visits/{sent.visit}/plan")

    @pages.get("/visits/{visit}/tip-over")
    def tip_over(asked: page_asked) -> Response:
        plan = remedies.plan_of(asked.snapshot)
        tips = tips_of(asked.snapshot, plan)
        return render_visit(asked, "plan/tip_over.html", tab="tip-over", plan=plan, tips=tips)

    @pages.post("/visits/{visit}/tip-over")
    def save_pieces(sent: form_sent) -> Response:
        remedy = forms.text(sent.form, "remedy", 200)
        if remedy not in remedies.plan_of(sent.snapshot).remedies:
            raise forms.stale("This assembly is no longer among the remedies; look again.")
        pieces = pieces_typed(sent.form, sent.problems)
        if sent.problems:
            return tip_over(sent)
        desk.log.append(sent.device, sent.visit, [(f"plan/further/{remedy}", pieces or None)])
        return forms.back(f"/desk/visits/{sent.visit}/tip-over#{remedy.replace('/', '-')}")

    @pages.get("/visits/{visit}/order")
    def order(asked: page_asked) -> Response:
        plan = remedies.plan_of(asked.snapshot)
        return render_visit(
            asked,
            "plan/order.html",
            tab="order",
            plan=plan,
            title_of=lambda item: item_title(asked.snapshot.bundle, item),
            unseen=[item_title(asked.snapshot.bundle, item) for item in plan.unseen],
            job_title={job.id: job.title for job in plan.jobs},
            classes=CLASS_WORDS,
            uses=USES,
            chart=charts.periods(plan) if plan.periods else "",
        )

    @pages.post("/visits/{visit}/order")
    def save_order(sent: form_sent) -> Response:
        puts = order_changes(sent.snapshot, sent.form, sent.problems)
        if sent.problems:
            return order(sent)
        desk.log.append(sent.device, sent.visit, puts)
        return forms.back(f"/desk/visits/{sent.visit}/order")


def plan_stamp(snapshot: Snapshot) -> str:
    """The newest stamp among the plan's cells: what a page was made from."""
    stamps = [cell["at"] for path, cell in snapshot.cells.items() if path.startswith("plan/")]
    return max(stamps, default="")


def refuse_stale(sent: Sent) -> None:
    """Notes a problem when somebody else changed the plan after the page was made."""
    with sent.problems.of("seen"):
        if forms.text(sent.form, "seen", 100) != plan_stamp(sent.snapshot):
            raise FieldError(
                "Somebody changed the plan while this page was open. What you typed is still "
                "below; look it over and save again."
            )


def changed(snapshot: Snapshot, path: str, value: Any) -> Puts:
    """The put that makes `path` hold `value`, or none when it does already."""
    held = cell_values.value(snapshot.cells, path)
    return [] if held == value else [(path, value)]


def sheet_changes(snapshot: Snapshot, form: FormData, problems: forms.Problems) -> Puts:
    """What the posted sheet changes: remedies, picks, classes, wishes."""
    plan = remedies.plan_of(snapshot)
    puts: Puts = []
    for finding in plan.findings:
        if f"pick:{finding.item}" in form:
            pick = forms.text(form, f"pick:{finding.item}", 200)
            known = pick in plan.remedies
            puts += changed(snapshot, f"plan/pick/{finding.item}", pick if known else None)
        named = forms.text(form, f"class:{finding.item}", 20)
        if named in arithmetic.CLASSES and named != finding.job_class:
            puts.append((f"plan/class/{finding.item}", named))
        for remedy in finding.remedies:
            if f"{remedy.id}:parts-likely" not in form:
                continue
            with problems.of(remedy.id):
                if forms.text(form, f"{remedy.id}:drop", 5):
                    puts += changed(snapshot, f"plan/remedies/{remedy.id}", None)
                else:
                    puts += edited(remedy, remedy_typed(form, remedy.id, remedy.title))
    for path, cell in sorted(snapshot.cells.items()):
        if path.startswith("plan/wants/") and isinstance(cell["value"], dict):
            word = path.removeprefix("plan/")
            with problems.of(word):
                if forms.text(form, f"{word}:drop", 5):
                    puts.append((path, None))
                elif f"{word}:parts-likely" in form:
                    puts += wish_edited(word, cell["value"], remedy_typed(form, word, "A wish"))
    return puts


def wish_edited(name: str, stands: Mapping[str, Any], typed: dict[str, Any]) -> Puts:
    """The put for a wish, `wants/<word>`, whose row differs from what stands."""
    read = judge.told(name, "", dict(stands), "own") or judge.told(name, "", {}, "own")
    assert read is not None  # nothing said is a remedy that costs nothing
    before = {
        **stands,
        **{key: read[key] for key in ("parts", "hours", "loss")},
        "title": read["title"] or "A wish",
        "need": stands.get("need") is True,
        "class": cell_values.text(stands.get("class")) or "comfort",
        "uses": cell_values.texts(stands.get("uses")),
    }
    after = {**before, **{key: typed[key] for key in WISH}}
    return [] if by_value(after) == by_value(before) else [(f"plan/{name}", after)]


def remedy_typed(form: FormData, prefix: str, what: str) -> dict[str, Any]:
    """One remedy's row as it was typed. Raises FieldError."""
    title = forms.text(form, f"{prefix}:title", TITLE_LIMIT)
    if not title:
        raise FieldError(f"{what}: the remedy needs a name.")
    kind = forms.text(form, f"{prefix}:kind", 20)
    loss = forms.text(form, f"{prefix}:loss", 20)
    return {
        "title": title,
        "kind": kind if kind in KINDS else "part",
        "parts": forms.three(form, f"{prefix}:parts", f"{title}, parts", forms.amount, 0),
        "hours": forms.three(form, f"{prefix}:hours", f"{title}, hours", forms.hours, "0"),
        "need": bool(forms.text(form, f"{prefix}:need", 5)),
        "loss": forms.amount(loss, f"{title}, originality") if loss else 0,
    }


def edited(remedy: Remedy, typed: dict[str, Any]) -> Puts:
    """The put for a remedy whose row differs from what stands."""
    stands = {
        "title": remedy.title,
        "kind": remedy.kind,
        "parts": remedy.parts,
        "hours": remedy.hours,
        "need": remedy.need,
        "loss": remedy.loss,
    }
    if by_value(typed) == by_value(stands):
        return []
    return [
        (
            f"plan/remedies/{remedy.id}",
            {**typed, "also": [one for one in remedy.covers if one != remedy.item]},
        )
    ]


def by_value(remedy: dict[str, Any]) -> dict[str, Any]:
    """What two rows are compared by: 1.5 and 1.50 hours are no change, nor is a title as shown."""
    return {
        **remedy,
        "hours": [arithmetic.hundredths(one) for one in remedy["hours"]],
        "title": forms.as_typed(remedy["title"], TITLE_LIMIT),
    }


def new_remedy(snapshot: Snapshot, form: FormData, problems: forms.Problems) -> Puts:
    """The put for a remedy, or a wish, that the desk adds."""
    target = forms.text(form, "new:item", 120)
    plan = remedies.plan_of(snapshot)
    known: set[Any] = {one.item for one in plan.findings}
    with problems.of("new"):
        typed = remedy_typed(form, "new", "New remedy")
        if target == "wish":
            word = next_word(snapshot, "plan/wants/wish-")
            uses = [use for use in USES if forms.text(form, f"new:use-{use}", 5)]
            named = forms.text(form, "new:class", 20)
            value = {
                "title": typed["title"],
                "parts": typed["parts"],
                "hours": typed["hours"],
                "loss": typed["loss"],
                "class": named if named in arithmetic.CLASSES else "comfort",
                "uses": uses,
            }
            return [(f"plan/wants/{word}", value)]
        if target not in known:
            raise FieldError("Choose the finding that the remedy puts right, or “a wish”.")
        also = [str(one) for one in form.getlist("new:also") if one in known and one != target]
        word = next_word(snapshot, f"plan/remedies/{target}/own-")
        return [(f"plan/remedies/{target}/{word}", {**typed, "also": sorted(also)})]
    return []


def next_word(snapshot: Snapshot, prefix: str) -> str:
    """The last segment of the first free path that begins so: `own-3`."""
    n = 1
    while f"{prefix}{n}" in snapshot.cells:
        n += 1
    return f"{prefix}{n}".rsplit("/", 1)[1]


def pieces_typed(form: FormData, problems: forms.Problems) -> list[dict[str, Any]]:
    """The rows of pieces that have not failed yet; empty rows are left out."""
    pieces: list[dict[str, Any]] = []
    for n in range(20):
        with problems.of(f"piece-{n}"):
            title = forms.text(form, f"piece-{n}:title", 80)
            cost = forms.three(form, f"piece-{n}:cost", title or "Piece", forms.amount, None)
            count = forms.text(form, f"piece-{n}:count", 10)
            chance = forms.text(form, f"piece-{n}:chance", 10).rstrip("% ")
            if not title and cost[0] is None and not count:
                continue
            what = title or f"Row {n + 1}"
            if cost[0] is None:
                raise FieldError(f"{what}: what does mending one cost? Write at least one figure.")
            pieces.append(
                {
                    "title": title or "piece",
                    "cost": cost,
                    "count": forms.whole(count or "1", f"{what}, how many", 1, 99),
                    "chance_percent": forms.whole(chance or "0", f"{what}, chance in %", 0, 100),
                }
            )
    if sum(int(piece["count"]) for piece in pieces) > cell_values.MOST_PIECES:
        problems.sentences.append(
            f"More than {cell_values.MOST_PIECES} pieces: group those that are alike."
        )
    return pieces


def tips_of(snapshot: Snapshot, plan: Plan) -> list[dict[str, Any]]:
    """Per assembly: what mending piece by piece costs, and when the assembly becomes cheaper."""
    standing = {one.item for one in plan.findings if not one.closed}
    titles = {one.item: one.title for one in plan.findings}
    rows = []
    for remedy in sorted(plan.remedies.values(), key=lambda one: one.id):
        failed = [item for item in remedy.covers if item in standing]
        if remedy.kind != "assembly" or not failed:
            continue
        others = [
            {"id": one.id, "covers": one.covers, "cost": one.cost}
            for one in plan.remedies.values()
            if one.kind != "assembly"
        ]
        mending = arithmetic.cheapest(failed, others)
        further = further_of(snapshot, remedy.id)
        stated = findings.value(snapshot, f"plan/further/{remedy.id}") is not None
        row: dict[str, Any] = {
            "remedy": remedy,
            "anchor": remedy.id.replace("/", "-"),
            "failed": [titles[item] for item in failed],
            "mending": [plan.remedies[name] for name in mending["chosen"]],
            "mending_cost": mending["expected"],
            "no_other_way": [titles[item] for item in mending["uncovered"]],
            "further": further,
            "suggested": [] if stated else suggested(snapshot, remedy, standing, plan.rate),
            "chosen": remedy.id in plan.chosen,
            "tip": None,
            "chart": "",
        }
        if not mending["uncovered"]:
            row["tip"] = arithmetic.tip_over(remedy.cost, mending["cost"], further)
            row["without_loss"] = arithmetic.tip_over(
                [one - remedy.counted for one in remedy.cost], mending["cost"], further
            )
            row["chart"] = charts.tip_over(row["tip"], plan.currency)
        rows.append(row)
    # what can be weighed comes before what cannot
    return sorted(rows, key=lambda row: (row["tip"] is None, not row["further"], row["anchor"]))


def suggested(
    snapshot: Snapshot, remedy: Remedy, standing: set[str], rate: int
) -> list[dict[str, Any]]:
    """Pieces that the checklist lets the assembly put right too and that have not failed.

    The cost is that of the piece's cheapest remedy; the chance is the checklist's for an item that
    nobody inspected, and none for one that was found sound: somebody has to state it.
    """
    rule = item_of(snapshot.bundle, remedy.item) or {}
    word = remedy.id.partition("/")[2]
    also = [
        str(other)
        for one in rule.get("remedies", ())
        if one["id"] == word
        for other in one.get("also") or ()
    ]
    rows = []
    for other in also:
        judgement = snapshot.assessment.get("items", {}).get(other, {})
        piece = item_of(snapshot.bundle, other)
        if piece is None or other in standing or not judgement.get("applies"):
            continue
        costs = [
            arithmetic.price(one["parts"], one["hours"], rate, 0)
            for one in piece.get("remedies", ())
            if one["id"] != word and one["kind"] != "assembly"
        ]
        if costs:
            unseen = piece.get("unseen") if judgement.get("state") != "done" else None
            rows.append(
                {
                    "title": str(piece["title"]),
                    "cost": min(costs, key=arithmetic.sixths),
                    "count": 1,
                    "chance_percent": round(float(unseen["chance"]) * 100) if unseen else "",
                }
            )
    return rows


def further_of(snapshot: Snapshot, remedy: str) -> list[dict[str, Any]]:
    """Pieces of an assembly that have not failed, as typed at the desk."""
    return cell_values.pieces(findings.value(snapshot, f"plan/further/{remedy}"))


def order_changes(snapshot: Snapshot, form: FormData, problems: forms.Problems) -> Puts:
    """What the posted order changes: budget periods, classes, what waits for what."""
    plan = remedies.plan_of(snapshot)
    puts: Puts = []
    periods = []
    for n in range(cell_values.MOST_PERIODS):
        with problems.of(f"period-{n}"):
            name = forms.text(form, f"period-{n}:name", 40)
            budget = forms.text(form, f"period-{n}:budget", 20)
            if not name and not budget:
                continue
            what = name or f"Period {n + 1}"
            periods.append({"name": what, "budget": forms.amount(budget or "0", what)})
    puts += changed(snapshot, "plan/periods", periods or None)
    by_id = {job.id: job for job in plan.jobs}
    for finding in plan.findings:
        named = forms.text(form, f"class:{finding.item}", 20)
        if named in arithmetic.CLASSES and named != finding.job_class:
            puts.append((f"plan/class/{finding.item}", named))
        if f"after:{finding.item}" in form:
            waits = forms.text(form, f"after:{finding.item}", 200)
            items = by_id[waits].items[:1] if waits in by_id else []
            if waits == "keep":
                continue
            puts += changed(snapshot, f"plan/after/{finding.item}", items or None)
    return puts
