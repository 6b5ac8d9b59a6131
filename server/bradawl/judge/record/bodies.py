"""Which panels a car of its body style has: what lies on another style's panel is not asked for.

A reading that was taken there all the same counts as any other: a style that was picked by mistake
hides no finding.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ..values.types import Rules, VisitFacts

#: What a car is taken for until somebody says which it is.
UNKNOWN = "sedan"


def absent(rules: Rules, facts: VisitFacts) -> list[str]:
    """The panels that only cars of other styles have; none by an older checklist."""
    bodies: Any = rules.get("bodies") or {}
    style = facts["car"].get("body_style")
    if not isinstance(style, str) or style not in bodies:
        style = UNKNOWN
    own = bodies.get(style) or []
    found: list[str] = []
    for other in sorted(bodies):
        for panel in bodies[other]:
            if panel not in own and panel not in found:
                found.append(panel)
    return found


def is_absent(place: str, facts: VisitFacts) -> bool:
    """Whether a place is named after such a panel, as `tailgate-left` and `bed-left-2` are."""
    for panel in facts.get("absent") or []:
        if place == panel or place.startswith(panel + "-"):
            return True
    return False
