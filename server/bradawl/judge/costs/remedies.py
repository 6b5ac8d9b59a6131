"""What may be done about each finding, and which of it is done: the work the record asks for.

The checklist offers remedies. At the desk they may be edited, added to, or picked by hand; due
maintenance may be left out; a finding closes by what was found after a job. All of that is in the
record, so the price at the kerb, the report and the plan never disagree. (The paths are listed in
server/bradawl/desk/README.md.)

What must be done is decided first and for itself, so that a wish never hides a need; what only
somebody wants comes on top. Lost originality counts as money, as far as the brief lets it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..record import visit_facts
from . import plan

if TYPE_CHECKING:
    from ..values.types.loose import Cells, Json, Rules

MOST_MONEY = 100000000
MOST_HUNDREDTHS = 1000000  # of an hour: more than a year of work
PARTS = ("parts", "hours", "title", "kind", "need", "loss", "also")


def recorded(cells: Cells) -> Json:
    """What the desk wrote about the work: {"remedies": {item: {word: value}}, "picks": {item: id},
    "left_out": {baseline id: True}, "done": {job: True}, "closed": {item: True}, "own": {job: value
    of a job of the desk's own that is a need}}.
    """
    held: Json = {"remedies": {}, "picks": {}, "left_out": {}, "done": {}, "closed": {}, "own": {}}
    for path in sorted(cells):
        if not path.startswith("plan/") and not path.startswith("work/"):
            continue
        value = cells[path]["value"]
        parts = path.split("/")
        if parts[0] == "work":
            if parts[-1] == "done" and isinstance(value, dict):
                held["done"]["/".join(parts[1:-1])] = True
            elif len(parts) > 4 and parts[-1] == "grade" and parts[-3] == "after":
                if isinstance(value, dict) and value.get("grade") == "none":
                    held["closed"][parts[-2]] = True
        elif parts[1] == "remedies" and len(parts) == 4 and isinstance(value, dict):
            held["remedies"].setdefault(parts[2], {})[parts[3]] = value
        elif parts[1] == "pick" and len(parts) == 3 and isinstance(value, str):
            held["picks"][parts[2]] = value
        elif parts[1] == "baseline" and len(parts) == 3 and value is False:
            held["left_out"][parts[2]] = True
        elif parts[1] == "wants" and len(parts) == 3 and isinstance(value, dict):
            if value.get("need") is True:
                held["own"][parts[2]] = value
    return held


def percent(cells: Cells) -> int:
    """How much of a stated loss of originality counts, in per cent; all of it if nobody said."""
    told = (
        visit_facts.whole(cells["brief/originality"]["value"])
        if "brief/originality" in cells
        else None
    )
    return told if told is not None and 0 <= told <= 300 else 100


def _amounts(told: Any) -> list[int]:
    """Low, likely and high as whole money; [] for anything that is not three rising amounts."""
    if not isinstance(told, list) or len(told) != 3:
        return []
    amounts: list[int] = []
    for one in told:
        figure = visit_facts.whole(one)
        if figure is None or figure > MOST_MONEY or figure < (amounts[-1] if amounts else 0):
            return []
        amounts.append(figure)
    return amounts


def _hours(told: Any) -> list[str]:
    """Low, likely and high as the texts they are; [] for anything that is not rising hours."""
    if not isinstance(told, list) or len(told) != 3:
        return []
    last = 0
    for one in told:
        try:
            figure = plan.hundredths(one) if isinstance(one, str) else -1
        except ValueError:
            return []
        if figure < last or figure > MOST_HUNDREDTHS:
            return []
        last = figure
    return [str(one) for one in told]


def told(name: str, item: str, said: Json, origin: str) -> Json | None:
    """A remedy as it is said in a checklist or a record, in one shape; None where its figures are
    none.
    """
    parts = _amounts(said.get("parts", [0, 0, 0]))
    hours = _hours(said.get("hours", ["0", "0", "0"]))
    loss = visit_facts.whole(said.get("loss", 0))
    if not parts or not hours or loss is None or loss < 0 or loss > MOST_MONEY:
        return None
    also = said.get("also")
    return {
        "id": item + "/" + name,
        "item": item,
        "title": said["title"] if isinstance(said.get("title"), str) else "",
        "kind": said["kind"] if isinstance(said.get("kind"), str) else "part",
        "parts": parts,
        "hours": hours,
        "need": said.get("need", True) in (True, "true"),
        "loss": loss,
        "also": [one for one in also if isinstance(one, str)] if isinstance(also, list) else [],
        "origin": origin,
    }


def _of_item(item: str, grade: str, rule: Json, edits: Json) -> list[Json]:
    """The checklist's remedies for this grade as edited, then those that the desk added."""
    listed = rule.get("remedies") or []
    fit = [one for one in listed if grade in one["for"]]
    if not fit and grade == "dangerous":
        fit = listed  # raised beyond what the checklist foresaw: everything may help
    made = []
    known = {}
    for one in fit:
        known[one["id"]] = True
        remedy = None
        if one["id"] in edits:
            merged = {}
            for part in PARTS:
                if part in edits[one["id"]]:
                    merged[part] = edits[one["id"]][part]
                elif part in one:
                    merged[part] = one[part]
            remedy = told(one["id"], item, merged, "edited")
        made.append(remedy or told(one["id"], item, one, "checklist"))
    for word in sorted(edits):
        if word not in known:
            made.append(told(word, item, edits[word], "own"))
    return [one for one in made if one is not None]


def offers(findings: list[str], items: Json, rules: Rules, held: Json, money: Json) -> list[Json]:
    """Every remedy that the record has for the findings.

    `money` is {"rate": an hour's money, "percent": of a loss that counts}. Each is {"id":
    "<item>/<word>", "item", "title", "kind", "parts", "hours", "need", "loss", "counted": what of
    the loss counts, "origin": checklist | edited | own, "covers": [findings, its own first],
    "cost": [low, likely, high]}. What is dangerous is a need, whatever was typed.
    """
    made = []
    standing = {}
    for item in findings:
        standing[item] = True
    for item in findings:
        rule = rules["items"].get(item) or {}
        grade = items[item]["grade"]
        for remedy in _of_item(item, grade, rule, held["remedies"].get(item) or {}):
            covers = [item]
            for other in remedy["also"]:
                if other in standing and other not in covers:
                    covers.append(other)
            remedy["covers"] = covers
            remedy["need"] = remedy["need"] or grade == "dangerous"
            remedy["counted"] = _counted(remedy, money)
            remedy["cost"] = plan.price(
                remedy["parts"], remedy["hours"], money["rate"], remedy["counted"]
            )
            made.append(remedy)
    return made


def maintenance(rows: list[Json], findings: list[str], rate: int) -> list[Json]:
    """Offers for the maintenance in `rows`, in the shape of `offers` with the row's "done_by".

    Each covers its own name, which is wanted, the finding that it is due, and the findings that
    this work puts right `also`.
    """
    due = []
    for row in rows:
        name = "baseline/" + row["id"]
        covers = [name]
        for other in [row["item"]] + row["also"]:
            if other in findings and other not in covers:
                covers.append(other)
        due.append(
            {
                "id": name,
                "item": row["item"],
                "title": row["title"],
                "kind": "maintenance",
                "parts": row["parts"],
                "hours": row["hours"],
                "need": True,
                "loss": 0,
                "counted": 0,
                "origin": "checklist",
                "covers": covers,
                "done_by": row["done_by"],
                "cost": plan.price(row["parts"], row["hours"], rate, 0),
            }
        )
    return due


def _own(held: Json, money: Json) -> list[Json]:
    """Offers for needed jobs that the desk wrote without a finding: nothing else does them."""
    made = []
    for word in sorted(held["own"]):
        job = told(word, "wants", held["own"][word], "own")
        if job is not None and job["id"] not in held["done"]:
            job["item"] = ""
            job["covers"] = [job["id"]]
            job["done_by"] = []
            job["counted"] = _counted(job, money)
            job["cost"] = plan.price(job["parts"], job["hours"], money["rate"], job["counted"])
            made.append(job)
    return made


def _counted(remedy: Json, money: Json) -> int:
    counted: int = (remedy["loss"] * money["percent"] + 50) // 100
    return counted


def _still_due(rows: list[Json], held: Json) -> tuple[list[Json], dict[str, bool]]:
    """The rows that are due, and the items of those that somebody left out or has done since."""
    due = []
    over = {}
    for row in rows:
        if not row["due"]:
            continue
        jobs = ["baseline/" + row["id"]] + row["done_by"]
        if row["id"] in held["left_out"] or [one for one in jobs if one in held["done"]]:
            over[row["item"]] = True
        else:
            due.append(row)
    return due, over


def work(
    findings: list[str], items: Json, rows: list[Json], rules: Rules, cells: Cells, money: Json
) -> Json:
    """The cheapest work for what stands: needs first and for themselves, then what is wanted.

    `rows` is the judge's baseline; `money` as for `offers`. Returns {"offers": for every finding,
    closed ones too, "due": offers of the maintenance and of needed jobs without a finding,
    "chosen": {id: whether it is a need}, "standing": [findings neither closed nor served],
    "uncovered": [findings that nothing puts right], "proven"}. An offer of the due maintenance
    also covers a name of its own, "baseline/<id>", and so does a remedy that does that work as
    well: one job is never paid twice.
    """
    held = recorded(cells)
    still, over = _still_due(rows, held)
    standing = [one for one in findings if one not in held["closed"] and one not in over]
    offered = offers(findings, items, rules, held, money)
    due = maintenance(still, standing, money["rate"]) + _own(held, money)
    for row in due:
        own = [row["item"]] if row["item"] in standing else []
        for offer in offered:
            if offer["id"] in row["done_by"]:
                for one in [row["id"]] + own:
                    if one not in offer["covers"]:
                        offer["covers"].append(one)
    has, has_need, picked = {}, {}, {}
    for offer in offered:
        has[offer["item"]] = True
        if offer["need"]:
            has_need[offer["item"]] = True
    for item in standing:
        if item in held["picks"]:
            picked[held["picks"][item]] = True
    must = [one for one in standing if one in has_need or one not in has]
    must = must + [row["id"] for row in due]
    chosen: dict[str, bool] = {}
    for offer in offered:
        if offer["id"] in picked:
            # what must be mended is a need by whichever remedy somebody picked for it
            chosen[offer["id"]] = offer["need"] or bool(
                [one for one in offer["covers"] if one in must]
            )
    left = _left(must, offered + due, chosen)
    needs = plan.cheapest(left, [one for one in offered if one["need"]] + due)
    for name in needs["chosen"]:
        chosen[name] = True
    left = _left(standing, offered + due, chosen)
    wants = plan.cheapest(left, [one for one in offered if not one["need"]])
    for name in wants["chosen"]:
        chosen[name] = False
    return {
        "offers": offered,
        "due": due,
        "chosen": chosen,
        "standing": standing,
        "uncovered": wants["uncovered"],
        "proven": needs["proven"] and wants["proven"],
    }


def _left(wanted: list[str], offered: list[Json], chosen: dict[str, bool]) -> list[str]:
    """What of `wanted` no chosen offer covers."""
    covered = {}
    for offer in offered:
        if offer["id"] in chosen:
            for one in offer["covers"]:
                covered[one] = True
    return [one for one in wanted if one not in covered]
