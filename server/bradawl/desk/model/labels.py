"""What stands in a record, said to a person at the desk: paths, values, readings, amounts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from bradawl import design, language
from bradawl.common.display_text import for_line
from bradawl.inspection import cell_values
from bradawl.inspection.captured import SOUNDS
from bradawl.inspection.said import (
    caption,
    clock_text,
    distance_text,
    measured,
    named,
    place_text,
    recorded_text,
    typed_text,
)
from bradawl.inspection.shelf import NAME
from bradawl.inspection.wires import gauge_text, word
from bradawl.judge.ledger import entries, life
from bradawl.judge.record.visit_facts import UNKNOWN, USES
from bradawl.judge.values import exact, units
from bradawl.judge.values import typed as typed_texts
from bradawl.judge.values.amounts import rising
from bradawl.judge.values.grades import GRADES
from bradawl.language import plain, text

if TYPE_CHECKING:
    from bradawl.judge.values.types import Fitness

NAME_LIMIT = 60  # of a make or a model within a heading; the car's own page has it whole


def money(amount: int | None, currency: str = "") -> str:
    """`$2,400`; a dash when nobody said."""
    return "–" if amount is None else language.money(amount, currency)


def cents(amount: int | None, currency: str = "") -> str:
    """`$47.83`, `-$8`; a dash when nobody said."""
    if amount is None:
        return "–"
    said = language.paid(abs(amount), currency)
    return f"-{said}" if amount < 0 else said


def cents_typed(amount: int | None) -> str:
    """An amount as its field shows it and reads it back: `47.83`; "" when nobody said."""
    if amount is None:
        return ""
    whole, rest = divmod(amount, 100)
    return language.decimal(f"{whole}.{rest:02d}" if rest else str(whole))


def hours_typed(hundredths: int) -> str:
    """Hours as their field shows them: `1.5`; "" for none."""
    return language.decimal(_decimal(hundredths)) if hundredths else ""


def hours_shown(hundredths: int) -> str:
    """Hours that were worked or typed: `1.5 h`."""
    return text("desk-hours", hours=language.decimal(_decimal(hundredths)))


def hours_about(hundredths: int) -> str:
    """Hours that are estimated, rounded for the eye."""
    return hours_shown(language.about_hours(hundredths))


def about(amount: int | None, currency: str = "", is_firm: bool = False) -> str:
    """An amount in cents, rounded for the eye unless nothing in it is estimated."""
    if amount is None or is_firm:
        return cents(amount, currency)
    return language.about(amount, currency)


def _decimal(hundredths: int) -> str:
    return f"{hundredths // 100}.{hundredths % 100:02d}".rstrip("0").rstrip(".")


def decimal_shown(recorded: str) -> str:
    """A recorded figure as the reader writes it; what is none as it stands."""
    number = exact.parse(recorded)
    return language.decimal(recorded) if number is not None and "/" not in recorded else recorded


def grade_word(grade: str | None) -> str:
    """A grade as the desk shows it; "open" where there is none."""
    return text(design.mark_of_grade(grade).word)


def use_word(use: str) -> str:
    """What a car is for; a use that the judge does not know keeps its code."""
    return text("use-" + use.replace("_", "-")) if use in USES else use


def fitness_text(step: Fitness) -> str:
    """What a car may be used for."""
    if step["road"] in ("off", "workshop"):
        return text("desk-fit-" + step["road"])
    if step["uses"]:
        return ", ".join(use_word(use) for use in step["uses"])
    return text("desk-fit-short" if step["barred"] else "desk-fit-road")


def _figure_title(name: str, bundle: Mapping[str, Any]) -> str:
    """What the profile of a checklist calls a fact of the car; "" for one that it has not."""
    for group in bundle.get("profile") or ():
        for fact in group["facts"]:
            if name == fact["id"]:
                return str(fact["title"])
            if name.startswith(fact["id"] + "_"):
                return placed(fact["title"], name.removeprefix(fact["id"] + "_"))
    return ""


def label(path: str, bundle: Mapping[str, Any]) -> str:
    """What a path of a record is about: `Front pad thickness: pad thickness, front left`.

    A path without a name in the catalogue (`desk-path-…`) is said by its own last word.
    """
    parts = path.split("/")
    if parts[0] in ("about", "car", "brief") and len(parts) == 2:
        own = _figure_title(parts[1], bundle) if parts[0] == "car" else ""
        said = own or plain(parts[1])
        return named("desk-path-" + path.replace("/", "-").replace("_", "-"), said)
    if parts[0] == "seal":
        return text("desk-path-seal", number=parts[-1])
    if parts[0] in ("amend", "settled") and len(parts) >= 2:
        return text("desk-path-" + parts[0], what=label("/".join(parts[1:]), bundle))
    if parts[0] in _PLAIN:
        return text("desk-path-" + parts[0])
    if parts[0] == "people":
        return text("desk-path-people")
    if parts[0] == "taken" and len(parts) == 2:
        return text("desk-path-taken", stage=_stage_title(bundle, parts[1]))
    if path == "life/state":
        return text("desk-path-life-state")
    if parts[0] == "parts" and len(parts) == 3:
        what = named(
            "desk-parts-col-" + parts[2].removesuffix("_cents").replace("_", "-"), plain(parts[2])
        )
        return text("desk-path-parts", what=what)
    if parts[0] in ("work", "plan", "trouble") and len(parts) >= 2:
        return text("desk-path-" + parts[0], what=", ".join(plain(part) for part in parts[1:]))
    if parts[0] == "items" and len(parts) >= 3:
        item = item_of(bundle, parts[1])
        part = _item_part(parts[2:], item)
        return text("desk-path-item", title=item_title(bundle, parts[1]), part=part)
    return path


def _stage_title(bundle: Mapping[str, Any], stage: str) -> str:
    titles = {one["id"]: one["title"] for one in bundle.get("stages", ())}
    return str(titles.get(stage, plain(stage)))


def item_of(bundle: Mapping[str, Any], item: str) -> Mapping[str, Any] | None:
    """The full item of a bundle, or None for one that its checklist does not know."""
    return next((rule for rule in bundle.get("items", ()) if rule["id"] == item), None)


def item_title(bundle: Mapping[str, Any], item: str) -> str:
    """The item's title; an item that the checklist does not know keeps its id."""
    rule = item_of(bundle, item)
    return str(rule["title"]) if rule else item


def reading_title(item: Mapping[str, Any] | None, reading: str) -> str:
    return _title_in(item, "readings", reading)


def choice_title(item: Mapping[str, Any] | None, choice: str) -> str:
    return _title_in(item, "choices", choice)


def _title_in(item: Mapping[str, Any] | None, kind: str, name: str) -> str:
    for entry in (item or {}).get(kind, ()):
        if entry["id"] == name:
            return str(entry["title"])
    return plain(name)


def placed(title: str, place: str) -> str:
    """A reading's title with the place where it is taken: `Tread depth, front left`."""
    if place == "one":
        return title
    return text("desk-reading-placed", title=title, place=place_text(place))


def reading_fields(rule: Mapping[str, Any], prefix: str) -> list[dict[str, Any]]:
    """An item's readings as fields of a form, one for each place: [{"name", "title", "units"}]."""
    return [
        {
            "name": f"{prefix}/readings/{reading['id']}/{place}",
            "title": placed(reading["title"], place),
            "units": offered_units(reading.get("units", ())),
        }
        for reading in rule.get("readings", ())
        for place in (reading.get("at") or ["one"])
    ]


def offered_units(units_asked: Iterable[str]) -> list[str]:
    """Units to choose from, those that the reader measures in first."""
    system = units.SYSTEM_OF_REGION[language.current().region]
    return sorted(units_asked, key=lambda unit: units.system(unit) not in ("", system))


def distance_units() -> list[str]:
    """The units of an odometer."""
    return offered_units(["km", "mi"])


def caution_texts(bundle: Mapping[str, Any], names: Iterable[str]) -> dict[str, str]:
    """Cautions in words, by name."""
    texts = bundle.get("cautions", {})
    return {name: str(texts.get(name, {}).get("text", plain(name))) for name in names}


def _item_part(parts: list[str], item: Mapping[str, Any] | None) -> str:
    if parts[0] == "wires" and len(parts) == 3:
        return named(f"judge-wire-field-{parts[2]}", text("desk-tab-wires"))
    if parts[0] == "readings" and len(parts) == 3:
        return placed(reading_title(item, parts[1]), parts[2])
    return named("desk-path-part-" + parts[0], plain(" ".join(parts)))


def value_text(path: str, value: Any, bundle: Mapping[str, Any], currency: str = "") -> str:
    """A recorded value, said to a person; null was taken back. `currency` is the visit's."""
    if value is None:
        return text("desk-value-taken-back")
    if value is True or value is False:
        return text("desk-value-yes" if value else "desk-value-no")
    parts = path.split("/")
    if path in _DISTANCES:
        return distance_text(value)
    if path == "life/state" or (parts[0] == "ledger" and len(parts) == 2):
        return _money_text(path, value, currency)
    if parts[0] in ("deal", "passed") and isinstance(value, Mapping):
        return _deal_text(value, currency)
    if parts[0] == "parts" and parts[-1].endswith("_cents"):
        return cents(cell_values.whole(value, 0), currency)
    if parts[0] == "items" and parts[2:] == ["cost"]:
        amounts = rising(value if isinstance(value, list) else [value, value, value])
        shown = dict.fromkeys(money(amount, currency) for amount in amounts)
        return " – ".join(shown) or text("desk-value-none")
    if isinstance(value, Mapping):
        return _object_text(parts, value, bundle)
    if path == "brief/uses":
        uses = [use_word(use) for use in cell_values.texts(value)]
        return ", ".join(uses) or text("desk-value-none")
    if isinstance(value, str) and parts[0] == "items" and parts[-1] == "choice":
        return choice_title(item_of(bundle, parts[1]), value)
    if isinstance(value, str) and parts[0] == "items" and parts[2:3] == ["wires"]:
        return word(parts[-1], value)
    if isinstance(value, str) and parts[0] == "car" and len(parts) == 2:
        return _fact_text(parts[1], value, bundle)
    if isinstance(value, int) and parts[-1] in _AMOUNTS:
        return money(value, currency)
    if isinstance(value, str) and parts[-1] == "bundle":
        return value[:12]
    if isinstance(value, str) and parts[-1] == "deadline":
        return language.date(value)
    return cell_values.words(value) or text("desk-value-none")


def _fact_text(name: str, value: str, bundle: Mapping[str, Any]) -> str:
    """A fact of the car in the words of whoever was asked it; what was typed as it was typed."""
    choices = {
        choice["id"]: str(choice["title"])
        for group in bundle.get("profile") or ()
        for fact in group["facts"]
        if fact["id"] == name
        for choice in fact.get("choices", ())
    }
    code = f"fact-{name}-{value}".replace("_", "-")
    said = choices.get(value) or named(code, value)
    is_chosen = bool(choices) or named("fact-" + name.replace("_", "-"), "") != ""
    return text("fact-unknown") if value == UNKNOWN and is_chosen else said


def _money_text(path: str, value: Any, currency: str) -> str:
    """A step of a car's life, or an entry of its ledger: when, what, how much."""
    recorded = cell_values.mapping(value)
    if path == "life/state":
        step = life.read(dict(recorded))
        kind = text("desk-life-" + step["state"].replace("_", "-"))
        day, what, amount = step["date"], "", step["price_cents"]
    else:
        entry = entries.read("", "", dict(recorded))
        kind = text("desk-money-kind-" + entry["kind"].replace("_", "-"))
        day, what, amount = entry["date"], entry["what"], entry["amount_cents"]
    told = [language.date(day) if day else "", kind, what]
    return ", ".join([one for one in told if one] + ([cents(amount, currency)] if amount else []))


def _deal_text(value: Mapping[str, Any], currency: str) -> str:
    """A price of the talk, when to leave, or why and until when a car was passed."""
    side = value.get("side")
    amounts = [cell_values.whole(value.get(key)) for key in ("amount", "price")]
    told = [
        clock_text(cell_values.moment(value)),
        text(f"leaving-side-{side}") if side in ("asked", "offered") else "",
        *(money(amount, currency) for amount in amounts if amount is not None),
        cell_values.words(value.get("why")),
        language.date(cell_values.words(value.get("until"))),
    ]
    return ", ".join(one for one in told if one) or text("desk-value-none")


#: Of these a path is about the whole: `desk-path-…` has its word.
_PLAIN = ("ads", "claims", "deal", "drive", "ledger", "media", "notes", "papers", "passed", "wants")
_DISTANCES = ("car/odometer", "about/distance_home")
#: Last words of paths at which an amount of money stands.
_AMOUNTS = (
    *("amount", "asking_price", "budget", "hourly_rate", "margin", "opening", "value_good"),
)


def _object_text(parts: list[str], value: Mapping[str, Any], bundle: Mapping[str, Any]) -> str:
    if "typed" in value:
        if parts[2:3] == ["wires"] and parts[-1] == "gauge":
            return gauge_text(
                cell_values.words(value["typed"]), cell_values.words(value.get("unit"))
            )
        rule = item_of(bundle, parts[1]) if parts[0] == "items" and len(parts) > 1 else None
        return reading_text(value, units_of(rule, parts[3]) if len(parts) == 5 else ())
    if "grade" in value:
        grade = cell_values.words(value["grade"])
        return grade_word(grade) if grade in GRADES else grade
    if "date" in value and "time" in value:
        return clock_text(cell_values.moment(value)) or text("desk-value-no-time")
    if {"term", "checklist", "cause"} & set(value) and parts[0] == "items":
        return recorded_text(value, bundle.get("rules") or {})
    if parts[0] == "notes":
        return cell_values.words(value.get("text"))
    if parts[0] == "people":
        return cell_values.words(value.get("name"))
    if parts[0] == "media" and value.get("kind") in SOUNDS:
        return text(f"desk-recording-{value['kind']}")
    if "caption" in value:
        said = caption(value, bundle.get("rules") or {})
        return text("desk-value-photo", caption=said) if said else text("desk-photo-plain")
    if "why" in value and parts[0] in ("amend", "settled"):
        why = cell_values.words(value["why"])
        return text("desk-value-reopened", why=why) if value.get("reopened") is True else why
    if "strokes" in value:
        name = cell_values.words(value.get("name"))
        return text("desk-value-signed", name=name) if name else text("desk-value-signed-nobody")
    return cell_values.words(value)


def units_of(item: Mapping[str, Any] | None, reading: str) -> Sequence[str]:
    """The units in which a checklist asks for a reading."""
    for entry in (item or {}).get("readings", ()):
        if entry["id"] == reading:
            return tuple(entry.get("units") or ())
    return ()


def reading_text(value: Any, offered: Sequence[str] = ()) -> str:
    """A reading in the reader's unit, what was read beside it: `0.1 in (read as 2.5 mm)`.

    `offered` are the units in which the checklist asks for it.
    """
    reading = cell_values.reading(value)
    if reading is None:
        return cell_values.words(value)
    figure = exact.parse(reading.typed) or exact.parse(typed_texts.number(reading.typed))
    number = figure if units.is_known(reading.unit) else None
    if number is None:
        return typed_text(reading.typed, reading.unit)
    base = units.to_base(number, reading.unit)
    return str(measured(base, reading.unit, reading.typed.strip(), offered))


def car_title(cells: Mapping[str, Mapping[str, Any]]) -> str:
    """The name it was given, else `Make Model (year)` or the plate; "" where none was recorded."""
    given = for_line(cell_values.words(cell_values.value(cells, NAME)), NAME_LIMIT).strip()
    if given:
        return given
    make, model, year, registration = (
        for_line(cell_values.words(cell_values.value(cells, f"car/{key}")), NAME_LIMIT).strip()
        for key in ("make", "model", "year", "registration")
    )
    name = f"{make} {model}".strip() or registration
    return f"{name} ({year})" if name and year else name


def car_name(cells: Mapping[str, Mapping[str, Any]]) -> str:
    """The car's title; says so when it has none."""
    return car_title(cells) or text("desk-car-unnamed")
