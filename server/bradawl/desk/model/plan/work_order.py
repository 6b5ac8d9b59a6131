"""What has to be done before what, and why: common practice from `checklists/work/order.yaml`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field

from bradawl.common import resources
from bradawl.desk.model.translations import says


class Rule(BaseModel):
    """Work on `first` (areas or items) comes before work on `then`."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    id: str = Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")
    first: list[str] = Field(min_length=1)
    then: list[str] = Field(min_length=1)
    why: str = Field(min_length=8)


class RuleFile(BaseModel):
    """The file of rules, with where they come from."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    source: str
    rules: list[Rule]


def rules() -> list[Rule]:
    """The rules as they are on the disk now, in the reader's language."""
    folder = resources.path_of("checklists")
    path = folder / "work" / "order.yaml"
    say = says(folder)
    return [
        rule.model_copy(update={"why": say(f"order/{rule.id}", rule.why)})
        for rule in _read(path, path.stat().st_mtime_ns)
    ]


@lru_cache(maxsize=2)
def _read(path: Path, _changed_ns: int) -> list[Rule]:
    import yaml

    return RuleFile.model_validate(yaml.safe_load(path.read_text(encoding="utf-8"))).rules


def comes_first(item: str, others: Iterable[str], practice: list[Rule]) -> dict[str, str]:
    """Those of `others` whose work comes before that on `item`, each with the reason."""
    before: dict[str, str] = {}
    for rule in practice:
        if any(_matches(item, pattern) for pattern in rule.then):
            for other in others:
                if other != item and any(_matches(other, pattern) for pattern in rule.first):
                    before.setdefault(other, rule.why)
    return before


def reasons_to_wait(
    does: Mapping[str, list[str]], job_of: Mapping[str, str]
) -> dict[str, dict[str, str]]:
    """Per job the jobs that practice puts before it, with the reason."""
    practice = rules()
    why: dict[str, dict[str, str]] = {name: {} for name in does}
    for name, items in does.items():
        for item in items:
            for other, reason in comes_first(item, job_of, practice).items():
                if job_of[other] != name:
                    why[name].setdefault(job_of[other], reason)
    for ring in _rings(why):
        # two assemblies may each hold what the other waits for; practice then says nothing
        for name in ring:
            why[name] = {other: text for other, text in why[name].items() if other not in ring}
    return why


def _rings(before: Mapping[str, Mapping[str, str]]) -> list[set[str]]:
    """Sets of jobs of which each, by practice, waits for itself by way of the others."""
    reach: dict[str, set[str]] = {}
    for start in before:
        seen: set[str] = set()
        stack = list(before[start])
        while stack:
            name = stack.pop()
            if name not in seen:
                seen.add(name)
                stack += before.get(name, {})
        reach[start] = seen
    rings = []
    for name, seen in reach.items():
        if name in seen:
            ring = {other for other in seen if name in reach.get(other, ())}
            if ring not in rings:
                rings.append(ring)
    return rings


def _matches(item: str, pattern: str) -> bool:
    return item == pattern or item.startswith(f"{pattern}.")
