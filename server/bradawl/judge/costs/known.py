"""What is known of the car for its price: what is fine, what was seen, what is disputed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..decisions import check_plan
from ..measurements import registry
from ..values import exact, grades

if TYPE_CHECKING:
    from ..values.types import Cells, ItemJudgment, MaintenanceRow, Rule, Rules


class Known:
    """What is known of the items that apply: the fine, the looked at, and the disputed ones."""

    def __init__(
        self, order: list[str], items: dict[str, ItemJudgment], rules: Rules, cells: Cells
    ) -> None:
        self.order = order
        self.rules = rules
        self.fine: dict[str, bool] = {}
        self.seen: dict[str, bool] = {}
        self.faulty: dict[str, bool] = {}
        self.disputed: dict[str, bool] = {}
        self.unproven: list[str] = []
        for item in order:
            judgment, rule = items[item], rules["items"][item]
            if judgment["state"] != "done" or _is_asked(judgment):
                continue
            if judgment["grade"] in grades.FAULTS:
                self.faulty[item] = self.seen[item] = True
            elif not _is_of_the_car(item, rule, cells):
                self.seen[item] = True
                if not judgment["overruled"] and not _is_doubtful(rule, judgment, items):
                    self.fine[item] = True
            if judgment["conflict"]:
                self.dispute(item)

    def dispute(self, item: str) -> None:
        """Answers contradict one another: it is not fine until somebody says which is true."""
        self.disputed[item] = True
        self.fine.pop(item, None)
        self.seen.pop(item, None)

    def name(self, item: str) -> None:
        """A measured danger that somebody called milder stays a fault."""
        self.faulty[item] = True
        self.fine.pop(item, None)

    def settle(self, item: str) -> None:
        """Mended, or left as it is: nothing is held for it."""
        self.fine[item] = True

    def take_unproven(self, rows: list[MaintenanceRow]) -> None:
        """Maintenance is due while nobody knows of it; whoever asks may find the receipt."""
        self.unproven = [
            row["id"]
            for row in rows
            if row["item"] not in self.faulty or row["item"] in self.disputed
        ]

    def at_best(self) -> dict[str, bool]:
        """What is fine if all that is not known for a fault turns out so."""
        best = dict.fromkeys(self.order, True)
        for item in self.faulty:
            if item not in self.disputed and item not in self.fine:
                del best[item]
        return best

    def share_percent(self) -> int:
        """How much of what matters was seen, by what is held for it while unseen; 0 to 100."""
        seen = everything = exact.ZERO
        for item in self.order:
            amount = check_plan.expected_cost(self.rules["items"][item])
            everything = exact.add(everything, amount)
            if item in self.seen:
                seen = exact.add(seen, amount)
        if not everything[0]:
            return 100
        share = exact.divide(exact.multiply(seen, (100, 1)), everything)
        return share[0] // share[1]


def _is_of_the_car(item: str, rule: Rule, cells: Cells) -> bool:
    """Whether facts of the car alone settle it: nobody looked at anything."""
    if (rule.get("compute") or {}).get("kind") not in registry.OF_THE_CAR:
        return False
    start = "items/" + item + "/"
    return not [path for path in cells if path.startswith(start) and cells[path]["value"]]


def _is_asked(judgment: ItemJudgment) -> bool:
    """Whether a reading that may mean two things waits for an answer, and no fault was found."""
    doubts = [problem for problem in judgment["problems"] if problem["code"] == "doubt"]
    return bool(doubts) and judgment["grade"] not in grades.FAULTS


def _is_doubtful(rule: Rule, judgment: ItemJudgment, items: dict[str, ItemJudgment]) -> bool:
    """Whether it is only implied, by an item that has a fault."""
    if judgment["by"] != "implied":
        return False
    for other in rule.get("implied_by") or []:
        if other in items and items[other]["grade"] in grades.FAULTS:
            return True
    return False
