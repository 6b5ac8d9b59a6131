"""How a car comes home: whether it moves, and ratings as they were typed against the weight.

haul/<field> holds a choice, or {"typed", "unit"} of a weight. A figure that nobody typed is missing
and never fine. The federal tiedown rules bind trucks in commerce; here they are a floor.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..values import exact, typed, units
from ..values.ascii_text import all_digits
from ..values.saying import figure, listed, said, term

if TYPE_CHECKING:
    from ..values.types import Cells, Exact, HaulCheck, HaulFigures, HaulPlan, Json, SaidArgument

#: What is chosen, each with its answers.
CHOICES = {
    "way": ("drive", "trailer", "hired"),
    "rolls": ("yes", "no", "unknown"),
    "steers": ("yes", "no", "unknown"),
    "stops": ("yes", "no", "unknown"),
    "brakes": ("yes", "no"),
    "plates": ("plates", "permit", "none"),
    "insured": ("yes", "no"),
}
#: Loads, of which the largest counts that anybody wrote, and ratings, of which the smallest does.
LOADS = ("car", "gear", "trailer", "tongue")
RATINGS = ("trailer_rating", "tow_rating", "hitch_rating", "tongue_rating", "strap_limit")
STRAPS = "straps"
_MOVES = ("rolls", "steers", "stops")
_HALF: Exact = (1, 2)  # of a strap's limit counts from the trailer to the car: 49 CFR 393.106(d)


class _Plan:
    """What was typed, and what has come of it so far."""

    def __init__(self, cells: Cells, figures: HaulFigures) -> None:
        self.cells, self.figures = cells, figures
        self.checks: list[HaulCheck] = []
        self.lacking: list[str] = []

    def values(self, name: str) -> list[Json]:
        cell = self.cells.get("haul/" + name)
        if cell is None:
            return []
        every = [cell["value"]] + [other["value"] for other in cell["others"]]
        return [value for value in every if value is not None]

    def chosen(self, name: str) -> str:
        """The answer; "" for none. Of two written unseen the worse, which stands last."""
        told = self.values(name)
        found = [one for one in CHOICES[name] if one in told]
        return found[-1] if found else ""

    def weight(self, name: str) -> Exact | None:
        """A load or a rating in kilograms; None where nobody typed one that can be read."""
        found = []
        for value in self.values(name):
            if isinstance(value, dict):
                text, unit = value.get("read") or value.get("typed"), value.get("unit")
                if isinstance(text, str) and isinstance(unit, str) and units.measures(unit, "mass"):
                    number = exact.parse(typed.number(text, True))
                    if number is not None and number[0] >= 0:
                        found.append(units.to_base(number, unit))
        if not found:
            return None
        return exact.largest(found) if name in LOADS else exact.smallest(found)

    def count(self) -> int | None:
        """How many straps."""
        told = [v for v in self.values(STRAPS) if isinstance(v, str) and all_digits(v)]
        return min([int(v) for v in told]) if told else None

    def tell(
        self,
        name: str,
        state: Any,
        message: str,
        args: dict[str, SaidArgument] | None = None,
        source: str = "practice",
    ) -> None:
        sentence = said("haul-" + message, args)
        self.checks.append({"id": name, "state": state, "said": sentence, "source": source})

    def lack(self, fields: list[str]) -> None:
        """Some figures are missing; each is said once."""
        self.lacking += [field for field in fields if field not in self.lacking]

    def loaded(self) -> tuple[Exact | None, list[str]]:
        """The trailer with all that stands on it, and which figures of it are missing."""
        parts = ("trailer", "car", "gear")
        lacking = [name for name in parts if self.weight(name) is None]
        total: Exact = (0, 1)
        for name in parts:
            total = exact.add(total, self.weight(name) or (0, 1))
        return (None if lacking else total), lacking

    def compare(self, name: str, rating: str, load: Exact | None, lacking: list[str]) -> None:
        """A load against what it may be at most."""
        limit = self.weight(rating)
        if load is None or limit is None:
            self.lack(lacking + ([rating] if limit is None else []))
            return
        args: dict[str, SaidArgument] = {
            "load": figure(load, "kg"),
            "limit": figure(limit, "kg"),
        }
        is_over = exact.less(limit, load)
        gap = exact.subtract(load, limit) if is_over else exact.subtract(limit, load)
        args["gap"] = figure(gap, "kg")
        self.tell(name, "over" if is_over else "fine", name + ("-over" if is_over else ""), args)


def haul_plan(cells: Cells, figures: HaulFigures) -> HaulPlan:
    """What each thing comes to; fine only where nothing is over and nothing is missing."""
    plan = _Plan(cells, figures)
    way = plan.chosen("way")
    if not way:
        plan.lack(["way"])
    _moves(plan, way)
    if way == "trailer":
        _trailer(plan)
    if way == "drive":
        _plates(plan)
    insured = plan.chosen("insured")
    if not insured:
        plan.lack(["insured"])
    else:
        plan.tell("insured", "fine" if insured == "yes" else "over", "insured-" + insured)
    if plan.lacking:
        named: Any = [term("haul-field-" + field.replace("_", "-")) for field in plan.lacking]
        plan.tell("unknown", "missing", "missing", {"fields": listed(named)})
    states = [check["state"] for check in plan.checks]
    answer: Any = "fine"
    for state in ("missing", "over"):
        if state in states:
            answer = state
    return {"answer": answer, "checks": plan.checks}


def _moves(plan: _Plan, way: str) -> None:
    """Whether it rolls, steers and stops: to drive it must do all, to be winched it is known."""
    for name in _MOVES:
        answer = plan.chosen(name)
        if answer == "":
            plan.lack([name])
        elif answer == "unknown":
            plan.tell(name, "missing", name + "-unknown")
        else:
            bad = answer == "no" and way == "drive"
            plan.tell(name, "over" if bad else "fine", name + "-" + answer)


def _trailer(plan: _Plan) -> None:
    """The loaded trailer against its own rating, the truck's and the hitch's; then tied down."""
    load, lacking = plan.loaded()
    plan.compare("trailer", "trailer_rating", load, lacking)
    plan.compare("truck", "tow_rating", load, lacking)
    plan.compare("hitch", "hitch_rating", load, lacking)
    _tongue(plan, load, lacking)
    plan.compare("tongue-limit", "tongue_rating", plan.weight("tongue"), _none(plan, "tongue"))
    _straps(plan)
    _brakes(plan, load, lacking)


def _none(plan: _Plan, name: str) -> list[str]:
    return [name] if plan.weight(name) is None else []


def _share(number: Exact, percent: str) -> Exact:
    return exact.multiply(number, exact.divide(exact.figure(percent) or (0, 1), (100, 1)))


def _tongue(plan: _Plan, load: Exact | None, lacking: list[str]) -> None:
    """The weight on the hitch as a share of the loaded trailer."""
    row = plan.figures["tongue"]
    if load is None:
        plan.lack(lacking)
        return
    low, high = _share(load, row["low"]), _share(load, row["high"])
    args: dict[str, SaidArgument] = {
        "low": figure(low, "kg"),
        "high": figure(high, "kg"),
        "from": row["low"],
        "to": row["high"],
    }
    weight = plan.weight("tongue")
    if weight is None:
        plan.tell("tongue", "missing", "tongue-unknown", args, row["source"])
        return
    args["weight"] = figure(weight, "kg")
    if exact.less(weight, low):
        plan.tell("tongue", "over", "tongue-light", args, row["source"])
    elif exact.less(high, weight):
        plan.tell("tongue", "over", "tongue-heavy", args, row["source"])
    else:
        plan.tell("tongue", "fine", "tongue", args, row["source"])


def _straps(plan: _Plan) -> None:
    """How many tiedowns, and what they hold together: half of each one's limit counts."""
    row, share = plan.figures["tiedowns"], plan.figures["tiedown_limit"]
    count, car, limit = plan.count(), plan.weight("car"), plan.weight("strap_limit")
    if count is None:
        plan.lack([STRAPS])
    else:
        least = int(row["least"])
        args: dict[str, SaidArgument] = {"count": count, "least": least}
        is_few = count < least
        name = "straps-few" if is_few else "straps"
        plan.tell("straps", "over" if is_few else "fine", name, args, row["source"])
    if count is None or car is None or limit is None:
        fields = ([STRAPS] if count is None else []) + _none(plan, "car")
        plan.lack(fields + _none(plan, "strap_limit"))
        return
    held = exact.multiply(exact.multiply(limit, (count, 1)), _HALF)
    wanted = _share(car, share["percent"])
    shown: dict[str, SaidArgument] = {
        "held": figure(held, "kg"),
        "wanted": figure(wanted, "kg"),
    }
    is_weak = exact.less(held, wanted)
    name = "hold-weak" if is_weak else "hold"
    plan.tell("hold", "over" if is_weak else "fine", name, shown, share["source"])


def _brakes(plan: _Plan, load: Exact | None, lacking: list[str]) -> None:
    """From a weight on a trailer has brakes of its own."""
    row = plan.figures["brakes"]
    if load is None:
        plan.lack(lacking)
        return
    limit = units.to_base(exact.figure(row["above"]) or (0, 1), row["unit"])
    args: dict[str, SaidArgument] = {"limit": figure(limit, "kg")}
    answer = plan.chosen("brakes")
    if not exact.less(limit, load):
        plan.tell("brakes", "fine", "brakes-light", args, row["source"])
    elif not answer:
        plan.lack(["brakes"])
    else:
        state = "fine" if answer == "yes" else "over"
        plan.tell("brakes", state, "brakes-" + answer, args, row["source"])


def _plates(plan: _Plan) -> None:
    answer = plan.chosen("plates")
    if not answer:
        plan.lack(["plates"])
    else:
        plan.tell("plates", "over" if answer == "none" else "fine", "plates-" + answer)
