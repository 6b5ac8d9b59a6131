"""What has to be done before what: common practice as data, `checklists/work/order.yaml`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field

from bradawl.common import resources


class Rule(BaseModel):
    """Work on `first` (areas or items) comes before work on `then`."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    first: list[str] = Field(min_length=1)
    then: list[str] = Field(min_length=1)
    why: str = Field(min_length=8)


class File(BaseModel):
    """The file of rules, with where they come from."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    source: str
    rules: list[Rule]


@dataclass(frozen=True)
class Before:
    """An item whose work comes first, and the sentence that says why."""

    item: str
    why: str


def rules() -> list[Rule]:
    """The rules as they are on the disk now."""
    path = resources.path_of("checklists") / "work" / "order.yaml"
    return _read(path, path.stat().st_mtime_ns)


@lru_cache(maxsize=2)
def _read(path: Path, _changed_ns: int) -> list[Rule]:
    import yaml

    return File.model_validate(yaml.safe_load(path.read_text(encoding="utf-8"))).rules


def comes_first(item: str, others: Iterable[str], known: list[Rule]) -> list[Before]:
    """Those of `others` whose work comes before that on `item`."""
    found: dict[str, Before] = {}
    for rule in known:
        if any(_matches(item, pattern) for pattern in rule.then):
            for other in others:
                if other != item and any(_matches(other, pattern) for pattern in rule.first):
                    found.setdefault(other, Before(other, rule.why))
    return list(found.values())


def _matches(item: str, pattern: str) -> bool:
    return item == pattern or item.startswith(f"{pattern}.")
