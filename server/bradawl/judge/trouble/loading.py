"""What to load before driving to a car: the tools of its checks, and what its story asks for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..record.claims import claims
from ..values.saying import listed, said, title

if TYPE_CHECKING:
    from ..values.types import Cells, Json, LoadLine, LoadRule, Rules, SaidArgument

STATES = ("packed", "left")
_NAMED = 3  # checks that a line names; of more it says how many there are
OPEN = "open"


def load_list(
    cells: Cells, states: dict[str, str], rules: Rules, rows: list[LoadRule]
) -> list[LoadLine]:
    """Every line: first what is carried for the car's story, in the table's order, then tools.

    `states` are the checks that are asked; one that is answered needs no tool any more. The tool
    that most checks need stands first.
    """
    needed: dict[str, list[str]] = {}
    rules_of = rules["items"]
    known = [(rules_of[item].get("order") or 0, item) for item in states if item in rules_of]
    for _, item in sorted(known):
        if states[item] == OPEN:
            for tool in rules["items"][item].get("tools") or []:
                needed.setdefault(tool, []).append(item)
    claimed = [claim["kind"] for claim in claims(cells) if claim["standing"] != "false"]
    answers, planned = _answers(cells), _planned(cells)
    lines: list[LoadLine] = []
    for row in rows:
        items = [item for tool in row["tools"] for item in needed.get(tool, [])]
        because: Any = []
        kinds = [kind for kind in row["claims"] if kind in claimed]
        if kinds:
            titles = [title("claim", kind) for kind in kinds]
            because.append(said("load-claims", {"claims": listed(titles)}))
        if [name for name in row["calls"] if name in answers]:
            because.append(said("load-calls"))
        if [name for name in row["haul"] if name in planned]:
            because.append(said("load-haul"))
        if items:
            because.append(_for(items))
        if row["always"] or because:
            lines.append(_line(row["id"], False, because, items, cells))
    ranked = sorted([(-len(needed[tool]), tool) for tool in needed])
    for _, tool in ranked:
        lines.append(_line(tool, True, [_for(needed[tool])], needed[tool], cells))
    return lines


def _line(name: str, tool: bool, because: Any, items: list[str], cells: Cells) -> LoadLine:
    cell = cells.get("load/" + name)
    value = cell["value"] if cell else None
    state: Any = value if value in STATES else ""
    # two who wrote unseen of one another: what one of them left at home is not there
    if cell and [other for other in cell["others"] if other["value"] == "left"]:
        state = "left"
    return {"id": name, "tool": tool, "because": because, "items": items, "state": state}


def _for(items: list[str]) -> Any:
    """For which checks."""
    named = listed([title("item", item) for item in items[:_NAMED]])
    args: dict[str, SaidArgument] = {"items": named}
    if len(items) <= _NAMED:
        return said("load-checks", args)
    args["count"] = len(items)
    return said("load-checks-more", args)


def _answers(cells: Cells) -> list[str]:
    """What was said on calls and is no claim, as question/answer; and what is one, by its path."""
    found: list[str] = []
    for path in sorted(cells):
        parts = path.split("/")
        value: Json = cells[path]["value"]
        if len(parts) == 3 and parts[0] == "calls" and isinstance(value, dict):
            told = value.get("answers")
            for name in told if isinstance(told, list) else []:
                if isinstance(name, str):
                    found.append(parts[2] + "/" + name)
        elif len(parts) == 3 and parts[0] == "claims" and parts[2] == "kind" and value is not None:
            words = parts[1].split("-")
            if len(words) > 2:
                found.append(words[1] + "/" + "-".join(words[2:]))
    return found


def _planned(cells: Cells) -> list[str]:
    """What the haul plan says, as field/answer."""
    return [
        path[5:] + "/" + str(cells[path]["value"])
        for path in sorted(cells)
        if path.startswith("haul/") and isinstance(cells[path]["value"], str)
    ]
