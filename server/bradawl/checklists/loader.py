"""Read the checklist files: YAML to models, every fault with its file, line and remedy."""

from __future__ import annotations

import difflib
from pathlib import Path
from typing import Any, TypeVar

import yaml
from pydantic import BaseModel, ValidationError

from bradawl.checklists import models, prices, tables
from bradawl.checklists.checks import check
from bradawl.checklists.files import Checklist, ChecklistError, Fault, File, Place

# Every scalar stays text.  libyaml's parser is ten times as fast; not every platform has it.
_LOADER: type[yaml.BaseLoader] = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
Model = TypeVar("Model", bound=BaseModel)


# What a file is, by the key that only its kind has.
KINDS: dict[str, type[BaseModel]] = {
    "area": models.Area,
    "sources": models.Sources,
    "cautions": models.Cautions,
    "published": models.PublishedList,
    "combinations": tables.Combinations,
    "conflicts": tables.Conflicts,
    "baseline": tables.Baseline,
    "assumptions": tables.Assumptions,
    "prices": prices.Prices,
    "locale": tables.Overlay,
}
#: Where the files of a folder lie.
FILES = ("*.yaml", "published/*.yaml", "prices/*.yaml", "locales/*/*.yaml")
#: Keys that an item had before its money moved out.
MONEY = ("parts", "hours", "loss", "cost", "hourly_rate", "margin", "danger_worth", "drive_worth")


def load(folder: Path) -> Checklist:
    """Read every YAML file of `folder`.

    Raises `ChecklistError` with all faults at once: file, line, what is wrong, what is right.
    """
    paths = [path for pattern in FILES for path in sorted(folder.glob(pattern))]
    if not paths:
        raise ChecklistError(
            [Fault(str(folder), 1, "there is no .yaml file here; name the folder with the areas")]
        )
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
    return checklist


def read_file(path: Path, name: str, faults: list[Fault]) -> File | None:
    """One file as plain text values with line marks, or None with the fault noted."""
    try:
        with path.open(encoding="utf-8") as stream:
            root = yaml.compose(stream, Loader=_LOADER)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark else 1
        what = error.problem or "it cannot be read"
        faults.append(
            Fault(name, line, f"this is no YAML: {what}; mend the indent, quotes or brackets here")
        )
        return None
    except RecursionError:
        faults.append(Fault(name, 1, "the brackets are nested too deep; close what was opened"))
        return None
    except (yaml.YAMLError, UnicodeDecodeError) as error:
        faults.append(Fault(name, 1, f"this is no UTF-8 YAML text ({error}); save it as UTF-8"))
        return None
    if not isinstance(root, yaml.MappingNode):
        faults.append(Fault(name, 1, "the file holds no keys; begin it with e.g. `area: brakes`"))
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
            self._fault(near, "an alias (*name) is used; write the value out instead")
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
                self._fault(key_line, "a key is not text; write a plain word as key")
                continue
            if key in result:
                self._fault(key_line, f"the key `{key}` is there twice; keep one of the two")
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
                "it cannot be told what this file is; give it exactly one of the keys "
                + ", ".join(KINDS),
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
    message = str(fault["msg"])
    entry = fault.get("input")
    key = str(place[-1]) if place else ""
    if kind == "missing":
        return f"{where}: the key `{key}` is missing; add it"
    if kind == "extra_forbidden" and key in MONEY:
        return f"{where}: `{key}` stands in the price files, prices/REGION.yaml; write it there"
    if kind == "extra_forbidden":
        near = difflib.get_close_matches(key, _all_keys(), n=1)
        hint = f"did you mean `{near[0]}`?" if near else "take it out, or look in schema.json"
        return f"{where}: the key `{key}` is not known here; {hint}"
    if kind == "literal_error":
        return f"{where}: '{entry}' is not allowed; write {fault['ctx']['expected']}"
    if kind == "string_pattern_mismatch":
        return f"{where}: '{entry}' is not of the right form; {_form(fault['ctx']['pattern'])}"
    if kind == "string_too_long":
        limit = fault["ctx"]["max_length"]
        return f"{where}: {len(entry)} characters are too many; say it in {limit} or fewer"
    if kind == "string_too_short":
        return f"{where}: '{entry}' says too little; write a whole phrase"
    if kind == "value_error":
        return f"{where}: {fault['ctx']['error']}"
    if kind.startswith("int_"):
        return f"{where}: '{entry}' is no whole number; write one, such as 3"
    if kind.startswith("bool_"):
        return f"{where}: '{entry}' is neither; write true or false"
    if kind.endswith("_type"):
        kind_of = "a list, [a, b]" if "list" in kind or "tuple" in kind else "keys with values"
        kind_of = "text" if "string" in kind else kind_of
        return f"{where}: this is of the wrong kind; write {kind_of}"
    return f"{where}: {message[:1].lower()}{message[1:]}; look in schema.json for what is allowed"


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
    if "a-z" in pattern and r"\." in pattern:
        return "write area.words-with-dashes in lower case, such as brakes.front-pads"
    if "a-z" in pattern:
        return "write lower-case words joined by dashes, such as front-left"
    return "write a figure such as 3, 0.5, 1/32 or 2 1/4"


def _all_keys() -> set[str]:
    keys: set[str] = set()
    for model in (
        *vars(models).values(),
        *vars(tables).values(),
        *vars(prices).values(),
    ):
        if isinstance(model, type) and issubclass(model, BaseModel):
            for name, info in model.model_fields.items():
                keys.add(info.alias or name)
    return keys


def _gather(read: list[tuple[File, BaseModel]], faults: list[Fault]) -> Checklist:
    checklist = Checklist()
    for file, model in read:
        if isinstance(model, models.Area):
            checklist.areas.append(model)
            if file.name != f"{model.area}.yaml":
                wrong = f"the area is '{model.area}'; call the file {model.area}.yaml"
                faults.append(file.fault(("area",), wrong))
        elif isinstance(model, models.Sources):
            checklist.sources.update(model.sources)
        elif isinstance(model, models.Cautions):
            checklist.cautions.update(model.cautions)
        elif isinstance(model, models.PublishedList):
            checklist.published.append(model)
        elif isinstance(model, tables.Combinations):
            checklist.combinations.extend(model.combinations)
        elif isinstance(model, tables.Conflicts):
            checklist.conflicts.extend(model.conflicts)
        elif isinstance(model, tables.Baseline):
            checklist.baseline.extend(model.baseline)
        elif isinstance(model, tables.Assumptions):
            checklist.assumptions = model
        elif isinstance(model, prices.Prices):
            checklist.prices.setdefault(model.prices, model)
        elif isinstance(model, tables.Overlay):
            checklist.locales.setdefault(model.locale, {}).update(model.texts)
    checklist.areas.sort(key=lambda area: area.walk_order)
    return checklist
