"""The facts and figures of a car's profile as fields: what is asked, and what stands there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from bradawl.common.display_text import for_line
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.labels import placed
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.record import bodies, profile

#: Letters of a text or a figure.
LONGEST = 60


@dataclass(frozen=True)
class Field:
    """One fact at one place: `name` is its key among a car's facts, `value` what stands there."""

    name: str
    title: str
    choices: tuple[tuple[str, str], ...]
    units: tuple[str, ...]
    value: Any

    @property
    def is_figure(self) -> bool:
        return bool(self.units)

    @property
    def typed(self) -> str:
        """What a field shows of the value: as it was typed."""
        value = self.value
        recorded = value.get("typed") if isinstance(value, Mapping) else value
        return for_line(cell_values.words(recorded), LONGEST).strip()

    @property
    def unit(self) -> str:
        return cell_values.text(cell_values.mapping(self.value).get("unit"))

    @property
    def where(self) -> str:
        """Where the figure was read, one of `profile.WHERE`, or ""."""
        where = cell_values.text(cell_values.mapping(self.value).get("from"))
        return where if where in profile.WHERE else ""

    @property
    def model(self) -> str:
        """The shop's model that the figure came from, or ""."""
        model = cell_values.mapping(self.value).get("model")
        return for_line(cell_values.text(model), LONGEST).strip()


@dataclass(frozen=True)
class Group:
    """Fields that are shown together, and how many of them are filled."""

    id: str
    title: str
    fields: tuple[Field, ...]

    @property
    def known(self) -> int:
        return len([field for field in self.fields if field.value is not None])


def groups(bundle: Mapping[str, Any], known: Mapping[str, Any]) -> list[Group]:
    """The profile of a checklist, filled with what is known by name; without what does not fit.

    A field whose fact is of other cars stays while something stands there.
    """
    found = []
    for group in bundle.get("profile") or ():
        fields = [field for fact in group["facts"] for field in _fields(bundle, fact, known)]
        if fields:
            found.append(Group(group["id"], group["title"], tuple(fields)))
    return found


def _fields(
    bundle: Mapping[str, Any], fact: Mapping[str, Any], known: Mapping[str, Any]
) -> Iterator[Field]:
    wanted = fact.get("applies") or {}
    fits = all(known.get(key) in (None, *values) for key, values in wanted.items())
    choices = tuple((choice["id"], choice["title"]) for choice in fact.get("choices") or ())
    shape = fact.get("reading") or {}
    for place in _places(bundle, fact, shape, known):
        name = profile.key(fact["id"], place)
        title = placed(fact["title"], place) if place else fact["title"]
        if fits or known.get(name) is not None:
            yield Field(name, title, choices, tuple(shape.get("units") or ()), known.get(name))


def _places(
    bundle: Mapping[str, Any],
    fact: Mapping[str, Any],
    shape: Mapping[str, Any],
    known: Mapping[str, Any],
) -> list[str]:
    """Where a fact is asked: "" alone where it has no places; panels are those of the body."""
    if not fact.get("panels"):
        return list(shape.get("at") or [""])
    styles = bundle["rules"].get("bodies") or {}
    style = cell_values.text(known.get("body_style"))
    panels = styles.get(style) or styles.get(bodies.UNKNOWN) or []
    filled = [name.removeprefix(f"{fact['id']}_") for name in known if name.startswith(fact["id"])]
    return [*panels, *(name for name in filled if name not in panels and name != fact["id"])]


def known_of(snapshot: Snapshot) -> dict[str, Any]:
    """What is recorded of a visit's car, by the fact's name."""
    return {
        path.removeprefix("car/"): cell["value"]
        for path, cell in snapshot.cells.items()
        if path.startswith("car/") and cell["value"] is not None
    }


def changes(snapshot: Snapshot, typed: Mapping[str, Any]) -> Puts:
    """The puts that make typed facts this car's."""
    return [put for name in typed for put in change_to(snapshot, f"car/{name}", typed[name])]
