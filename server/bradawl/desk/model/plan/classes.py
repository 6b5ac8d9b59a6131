"""Which class of work a finding is, as long as nobody chose another one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bradawl.judge.costs import plan as arithmetic

if TYPE_CHECKING:
    from bradawl.judge.values.types import DriveLimit, Grade, JobClass, Rule

#: Where the work on an area belongs when nothing else says more.
_OF_AREA: dict[str, JobClass] = {
    "rust": "decay",
    "interior": "comfort",
    "equipment": "comfort",
    "body": "looks",
    "accident": "looks",
    "papers": "reliability",
}
#: What keeps people out of a seat is a matter of their safety.
_EXPOSES: tuple[DriveLimit, ...] = ("rear_seat",)


def class_of(rule: Rule, grade: Grade, choice: str) -> JobClass:
    """The class by what the finding does, what the drive depends on, and the area.

    `choice` is the answer that was picked, if any.
    """
    effects = [
        effect
        for effect in rule.get("effects") or []
        if grade in effect["on"] or choice in effect["on"]
    ]
    kinds = {effect["does"] for effect in effects}
    exposes = any(limit in _EXPOSES for effect in effects for limit in effect.get("limits") or [])
    danger = rule.get("danger", 0)
    if grade == "dangerous" or "hurts" in kinds or exposes:
        return "danger"
    if grade == "major" and danger >= arithmetic.GRAVE_DANGER:
        return "danger"
    if rule["area"] == "rust":
        return "decay"
    # what was hit or drowned is the shell's strength and wiring, however little of it shows
    is_shell = rule["area"] == "accident" and danger > 0
    if kinds or is_shell or rule.get("drive", "no") != "no":
        return "reliability"
    return _OF_AREA.get(rule["area"], "reliability")
