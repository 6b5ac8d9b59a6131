"""Read the checklist files: YAML to models, every fault with its file, line and remedy."""

from __future__ import annotations

import difflib
import re
from pathlib import Path
from typing import Any, TypeVar

import yaml
from pydantic import BaseModel, ValidationError

from bradawl.checklists.checks import check
from bradawl.checklists.complaints.models import Procedures, Symptoms
from bradawl.checklists.files import Checklist, ChecklistError, Fault, File, Place
from bradawl.checklists.overlays import tables as desk_tables
from bradawl.checklists.shapes import closing, driving, going, item_parts, items, prices, tables
from bradawl.checklists.shapes.wants import Wants
from bradawl.checklists.shapes.week import Week
from bradawl.language import text
from bradawl.language.checklist_texts import is_recorded
from bradawl.language.formats import listed

# Every scalar stays text.  libyaml's parser is ten times as fast; not every platform has it.
_LOADER: type[yaml.BaseLoader] = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
Model = TypeVar("Model", bound=BaseModel)


# What a file is, by the key that only its kind has.
KINDS: dict[str, type[BaseModel]] = {
    "area": items.Area,
    "sources": tables.Sources,
    "cautions": tables.Cautions,
    "published": tables.PublishedList,
    "combinations": tables.Combinations,
    "contradictions": tables.Contradictions,
    "conflicts": tables.Conflicts,
    "histories": tables.Histories,
    "claims": tables.Claims,
    "calls": going.Calls,
    "lookups": going.Lookups,
    "closing": closing.Closing,
    "wants": Wants,
    "driving": driving.DrivingFile,
    "load": going.Load,
    "haul": going.Haul,
    "week": Week,
    "baseline": tables.Baseline,
    "assumptions": tables.Assumptions,
    "wires": tables.WireFile,
    "prices": prices.Prices,
    "profile": tables.Profile,
    "locale": tables.Overlay,
    "symptoms": Symptoms,
    "procedures": Procedures,
}
#: Where the files of a folder lie.
FILES = (
    *("*.yaml", "published/*.yaml", "prices/*.yaml", "symptoms/*.yaml"),
    "locales/*/*.yaml",
)
#: Keys that an item had before its money moved out.
MONEY = ("parts", "hours", "loss", "cost", "hourly_rate", "margin")


def load(folder: Path) -> Checklist:
    """Read every YAML file of `folder`.

    Raises `ChecklistError` with all faults at once: file, line, what is wrong, what is right.
    """
    paths = [path for pattern in FILES for path in sorted(folder.glob(pattern))]
    if not paths:
        raise ChecklistError([Fault(str(folder), 1, text("checklists-no-files"))])
    faults: list[Fault] = []
    read: list[tuple[File, BaseModel]] = []
    for path in paths:
        file = read_file(path, path.relative_to(folder).as_posix(), faults)
        if file is not None:
            model = _as_model(file, faults)
            if model is not None:
                read.append((file, model))
    checklist = _gather(read, faults)
    # Faults across files are looked for only once each file is sound: a missing file would
    # otherwise shout from every item that leans on it.
    if not faults:
        faults.extend(check(checklist, read))
    if faults:
        raise ChecklistError(faults)
    if any(is_recorded(name) for overlay in checklist.locales.values() for name in overlay):
        checklist.desk = desk_tables(folder)
    return checklist


def read_file(path: Path, name: str, faults: list[Fault]) -> File | None:
    """One file as plain text values with line marks, or None with the fault noted."""
    try:
        with path.open(encoding="utf-8") as stream:
            root = yaml.compose(stream, Loader=_LOADER)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark else 1
        faults.append(Fault(name, line, text("checklists-yaml", why=error.problem or "?")))
        return None
    except RecursionError:
        faults.append(Fault(name, 1, text("checklists-brackets")))
        return None
    except (yaml.YAMLError, UnicodeDecodeError) as error:
        faults.append(Fault(name, 1, text("checklists-utf8", why=str(error))))
        return None
    if not isinstance(root, yaml.MappingNode):
        faults.append(Fault(name, 1, text("checklists-no-keys")))
        return None
    reader = _Reader(name)
    value = reader.plain(root, (), 1)
    faults.extend(reader.faults)
    return None if reader.faults else File(name, value, reader.lines)


class _Reader:
    """Turns the nodes of one file into plain values, and keeps their lines."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.lines: dict[Place, int] = {}
        self.faults: list[Fault] = []
        self._seen: set[int] = set()

    def plain(self, node: yaml.Node, place: Place, near: int) -> Any:
        """The value of a node; `near` is the line of what names it."""
        if id(node) in self._seen:
            # An alias is the very node of its anchor, so only the naming line is its own.
            self._fault(near, text("checklists-alias"))
            return None
        self._seen.add(id(node))
        line = node.start_mark.line + 1
        self.lines.setdefault(place, line)
        if isinstance(node, yaml.SequenceNode):
            return [self.plain(child, (*place, n), line) for n, child in enumerate(node.value)]
        if not isinstance(node, yaml.MappingNode):
            return node.value
        result: dict[str, Any] = {}
        for key_node, child in node.value:
            key, key_line = key_node.value, key_node.start_mark.line + 1
            if not isinstance(key, str):
                self._fault(key_line, text("checklists-key-text"))
                continue
            if key in result:
                self._fault(key_line, text("checklists-key-twice", key=key))
            self.lines[(*place, key)] = key_line
            result[key] = self.plain(child, (*place, key), key_line)
        return result

    def _fault(self, line: int, wrong: str) -> None:
        self.faults.append(Fault(self.name, line, wrong))


def _as_model(file: File, faults: list[Fault]) -> BaseModel | None:
    kinds = [kind for kind in KINDS if kind in file.value]
    if len(kinds) != 1:
        faults.append(
            file.fault(
                (),
                text("checklists-kind", kinds=", ".join(KINDS)),
            )
        )
        return None
    try:
        return KINDS[kinds[0]].model_validate(file.value)
    except ValidationError as error:
        for fault in error.errors(include_url=False):
            place = tuple(fault["loc"])
            faults.append(file.fault(place, _sentence(fault, place, file)))
        return None


def _sentence(fault: Any, place: Place, file: File) -> str:
    """A pydantic fault as a sentence with its remedy."""
    where = _where(place, file)
    kind = fault["type"]
    entry = fault.get("input")
    key = str(place[-1]) if place else ""
    near = difflib.get_close_matches(key, _all_keys(), n=1) if kind == "extra_forbidden" else []
    context = fault.get("ctx") or {}
    said = {
        "missing": "missing",
        "extra_forbidden": "money" if key in MONEY else "key-near" if near else "key",
        "literal_error": "literal",
        "string_pattern_mismatch": "pattern",
        "string_too_long": "long",
        "string_too_short": "short",
        "value_error": "value",
        "greater_than_equal": "least",
        "less_than_equal": "most",
    }.get(kind)
    if said is None:
        said = next((name for start, name in _BY_START if kind.startswith(start)), "other")
        if said == "other" and kind.endswith("_type"):
            said = "list" if "list" in kind or "tuple" in kind else "keys"
            said = "text" if "string" in kind else said
    return text(
        "checklists-value-" + said,
        where=where,
        key=key,
        near=near[0] if near else "",
        entry=str(entry),
        # pydantic writes 'a', 'b' or 'c'
        expected=listed(re.findall("'[^']*'", str(context.get("expected", ""))), last="or"),
        form=_form(context["pattern"]) if said == "pattern" else "",
        length=len(entry) if isinstance(entry, str) else 0,
        limit=context.get("max_length", context.get("ge", context.get("le", 0))),
        why=str(context.get("error") or fault["msg"]),
    )


#: Kinds of pydantic's faults by how they begin.
_BY_START = (("int_", "int"), ("bool_", "bool"))


def _where(place: Place, file: File) -> str:
    """The item (or other named thing) that a place lies in, for a person."""
    value: Any = file.value
    named = file.value.get("area", file.name)
    for step in place:
        try:
            value = value[step]
        except (KeyError, IndexError, TypeError):
            break
        if isinstance(value, dict) and isinstance(value.get("id"), str):
            named = value["id"]
    keys = [str(step) for step in place if isinstance(step, str)]
    return f"{named}, {keys[-1]}" if keys and keys[-1] != named else str(named)


def _form(pattern: str) -> str:
    if "a-z" in pattern:
        return text("checklists-form-item" if r"\." in pattern else "checklists-form-word")
    return text("checklists-form-figure")


def _all_keys() -> set[str]:
    keys: set[str] = set()
    for model in (
        *vars(items).values(),
        *vars(item_parts).values(),
        *vars(tables).values(),
        *vars(prices).values(),
        *vars(driving).values(),
    ):
        if isinstance(model, type) and issubclass(model, BaseModel):
            for name, info in model.model_fields.items():
                keys.add(info.alias or name)
    return keys


def _gather(read: list[tuple[File, BaseModel]], faults: list[Fault]) -> Checklist:
    checklist = Checklist()
    for file, model in read:
        if isinstance(model, items.Area):
            checklist.areas.append(model)
            if file.name != f"{model.area}.yaml":
                wrong = text("checklists-area-file", area=model.area)
                faults.append(file.fault(("area",), wrong))
        elif isinstance(model, tables.Sources):
            checklist.sources.update(model.sources)
        elif isinstance(model, tables.Cautions):
            checklist.cautions.update(model.cautions)
        elif isinstance(model, tables.PublishedList):
            checklist.published.append(model)
        elif isinstance(model, tables.Combinations):
            checklist.combinations.extend(model.combinations)
        elif isinstance(model, tables.Contradictions):
            checklist.contradictions.extend(model.contradictions)
        elif isinstance(model, tables.Conflicts):
            checklist.conflicts.extend(model.conflicts)
        elif isinstance(model, tables.Histories):
            checklist.histories.extend(model.histories)
        elif isinstance(model, tables.Claims):
            checklist.claims = model
        elif isinstance(model, going.Calls):
            checklist.calls.extend(model.calls)
        elif isinstance(model, going.Lookups):
            checklist.lookups.extend(model.lookups)
        elif isinstance(model, Wants):
            checklist.wants = model
        elif isinstance(model, closing.Closing):
            checklist.closing.extend(model.closing)
        elif isinstance(model, driving.DrivingFile):
            checklist.driving = model.driving
        elif isinstance(model, going.Load):
            checklist.load.extend(model.load)
        elif isinstance(model, going.Haul):
            checklist.haul = model.haul
        elif isinstance(model, Week):
            checklist.week.extend(model.week)
        elif isinstance(model, tables.Baseline):
            checklist.baseline.extend(model.baseline)
        elif isinstance(model, tables.Assumptions):
            checklist.assumptions = model
        elif isinstance(model, tables.WireFile):
            checklist.wires = model.wires
        elif isinstance(model, prices.Prices):
            checklist.prices.setdefault(model.prices, model)
        elif isinstance(model, tables.Profile):
            checklist.profile.extend(model.profile)
        elif isinstance(model, tables.Overlay):
            checklist.locales.setdefault(model.locale, {}).update(model.texts)
        elif isinstance(model, Procedures):
            checklist.procedures.update(model.procedures)
        elif isinstance(model, Symptoms):
            checklist.symptoms.extend(model.symptoms)
            checklist.symptom_sources.extend([model.source] * len(model.symptoms))
    checklist.areas.sort(key=lambda area: area.walk_order)
    return checklist
