"""What the ad, the seller and others say of the car, each a line of its own in the record.

claims/<id>/kind is a claim of the checklist, claims/<id>/words what was said, as typed; who, date
and state beside them, and claims/<id>/photos/<sha256> what proves it. No receipt, not done: without
a photo nothing is proven.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..values.ascii_text import trimmed
from ..values.saying import said, title
from .own_findings import short

if TYPE_CHECKING:
    from ..values.types import (
        Cell,
        Cells,
        Claim,
        Condition,
        Json,
        Reason,
        Rules,
        SaidArgument,
        VisitFacts,
    )

PATH = "claims/"
TELLERS = ("ad", "seller", "owner", "shop")
OTHER = "other"
#: Of what two people said unseen of one another the first here counts.
STANDINGS = ("false", "claimed", "seen", "proven")
CLAIMED = "claimed"
_TELLS_MOST = 9


def claims(cells: Cells) -> list[Claim]:
    """Every claim that names a kind or has words, sorted by id; damaged values are not there."""
    fields = below(cells, PATH)
    found: list[Claim] = []
    for name in sorted(fields):
        own = fields[name]
        kind, words = first_text(own.get("kind")), first_text(own.get("words"))
        if kind or words:
            claim: Any = {"id": name, "kind": kind, "words": words, "who": _who(own.get("who"))}
            claim["standing"] = _standing(own.get("state") or [], "photos" in own)
            found.append(claim)
    return found


def below(cells: Cells, path: str) -> dict[str, dict[str, list[Json]]]:
    """By id and field the values that stand at `path`<id>/<field>; a withheld photo has none."""
    fields: dict[str, dict[str, list[Json]]] = {}
    for name in sorted(cells):
        parts = name.split("/")
        if not name.startswith(path) or len(parts) != (4 if parts[2:3] == ["photos"] else 3):
            continue
        values = _values(cells[name])
        if values or (parts[2] == "photos" and cells[name].get("withheld")):
            fields.setdefault(parts[1], {})[parts[2]] = values
    return fields


def _values(cell: Cell) -> list[Json]:
    """The winner and what was written unseen beside it."""
    every = [cell["value"]] + [other["value"] for other in cell["others"]]
    return [value for value in every if value is not None]


def first_text(values: list[Json] | None) -> str:
    """The first of them that is text; "" for none."""
    for value in values or []:
        if isinstance(value, str):
            return trimmed(value)
    return ""


def word(value: Json, key: str) -> Json:
    return value.get(key) if isinstance(value, dict) else None


def _who(values: list[Json] | None) -> str:
    for value in values or []:
        role = word(value, "role")
        if role in TELLERS:
            return str(role)
    return OTHER


def _standing(states: list[Json], has_photo: bool) -> str:
    said_of = [word(state, "state") for state in states]
    for standing in STANDINGS:
        if standing in said_of:
            return standing if standing != "proven" or has_photo else CLAIMED
    return CLAIMED


def items_of(kind: str, rules: Rules) -> list[str]:
    """The checks that tell of a kind of claim, each once, as the checklist has them."""
    for row in rules.get("claims") or []:
        if row["id"] == kind:
            return items_in(row["checks"])
    return []


def items_in(checks: list[Condition]) -> list[str]:
    """What conditions look at, each once."""
    items: list[str] = []
    for condition in checks:
        named = condition["item"]
        for item in [named] if isinstance(named, str) else named:
            if item not in items:
                items.append(item)
    return items


def by_item(facts: VisitFacts, rules: Rules) -> dict[str, list[Claim]]:
    """The claims that each check tells of."""
    found: dict[str, list[Claim]] = {}
    for claim in facts.get("claims") or []:
        for item in items_of(claim["kind"], rules):
            found.setdefault(item, []).append(claim)
    return found


def called(claim: Claim) -> SaidArgument:
    """What a claim is called: the checklist's title, else its own words."""
    return title("claim", claim["kind"]) if claim["kind"] else short(claim["words"])


def reasons(item: str, facts: VisitFacts) -> list[Reason]:
    """Who says what of an item, while nobody has settled it."""
    found: list[Reason] = []
    for claim in (facts.get("claimed") or {}).get(item) or []:
        if claim["standing"] == CLAIMED:
            args: dict[str, SaidArgument] = {"claim": called(claim)}
            sentence = said("reason-claim-" + claim["who"], args)
            found.append({"code": "claim", "said": sentence, "source": ""})
    return found


def leading(facts: VisitFacts, rules: Rules) -> dict[str, int]:
    """The checks that tell of claims which nobody has settled, and how much each tells.

    The checklist names first what tells most.
    """
    found: dict[str, int] = {}
    for claim in facts.get("claims") or []:
        if claim["standing"] == CLAIMED:
            for n, item in enumerate(items_of(claim["kind"], rules)):
                found[item] = max(found.get(item, 0), _TELLS_MOST if n == 0 else 1)
    return found
