"""One cell of the parts sheet: how it is shown, how it is typed, what was typed read back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any, NamedTuple

from bradawl import language
from bradawl.desk.model.parts.columns import PRICE_FIELDS, Column, choices
from bradawl.desk.model.typed_values import FieldError, day, hours, paid_cents
from bradawl.inspection import cell_values
from bradawl.judge.values import exact
from bradawl.judge.values import typed as typed_texts
from bradawl.language import message, text

__all__ = [
    "BLANK",
    "Cell",
    "cell_of",
    "money_said",
    "money_typed",
    "price_cell",
    "read",
]

MOST_HUNDREDTHS = 10_000_000
#: What stands between low and high, and before a single figure that is no firm price.
_RANGES = (" to ", "–", "—", "-")
_ABOUT = ("~", "≈")


class Cell(NamedTuple):
    """What a cell is typed as, and how it is shown."""

    raw: str
    shown: str


BLANK = Cell("", "")


def cell_of(column: Column, values: Mapping[str, Any], currency: str) -> Cell:
    """A cell of a line whose recorded fields are `values`, by their recorded names."""
    if column.kind == "price":
        return price_cell(values, currency)
    if column.kind == "choice":
        word = choices(column.key).get(code_of(column.key, values), "")
        return Cell(word, word)
    if column.kind == "money":
        cents = cell_values.whole(values.get(f"{column.key}_cents"), 0)
        return BLANK if cents is None else Cell(money_typed(cents), money_said(cents, currency))
    recorded = values.get(column.key)
    if recorded is None:
        return BLANK
    value = cell_values.words(recorded)
    if column.kind == "date":
        said = language.date(value) if value else ""
        return Cell(said, said)
    if column.kind in ("count", "hours"):
        value = language.decimal(value) if exact.parse(value) else value
    return Cell(value, value)


def code_of(key: str, values: Mapping[str, Any]) -> str:
    """The code of a choice as it stands; a line is needed until somebody says that it is wanted."""
    if key == "need":
        return "wanted" if values.get("need") is False else "needed"
    code = cell_values.text(values.get(key))
    return code or "needed" if key == "state" else code


def money_typed(cents: int) -> str:
    """An amount as one types it, without a sign: `1,300`, `47.83`."""
    return _typed(cents, language.current().formats)


def money_said(cents: int, currency: str) -> str:
    """An amount as it is shown: `$1,300`, `$47.83`."""
    return _said(cents, currency or language.current().currency, language.current().formats)


# a list of 500 lines says 2,000 amounts, the same ones each time
@lru_cache(maxsize=8192)
def _typed(cents: int, _locale: str) -> str:
    whole, part = divmod(cents, 100)
    return language.decimal(f"{whole}.{part:02}" if part else str(whole))


@lru_cache(maxsize=8192)
def _said(cents: int, currency: str, _locale: str) -> str:
    return language.paid(cents, currency)


def _estimate(values: Mapping[str, Any]) -> list[int] | None:
    """Low, likely and high in cents, in rising order; None where no estimate stands."""
    found = [cell_values.whole(values.get(name), 0) for name in PRICE_FIELDS[1:]]
    known = [cents for cents in found if cents is not None]
    if not known:
        return None
    low, likely, high = found
    low = known[0] if low is None else low
    high = known[-1] if high is None else high
    return sorted([low, (low + high + 1) // 2 if likely is None else likely, high])


def price_cell(values: Mapping[str, Any], currency: str) -> Cell:
    """A firm price as it is; an estimate as low-high, with likely where it is no mean."""
    firm = cell_values.whole(values.get("quote_cents"), 0)
    if firm is not None:
        return Cell(money_typed(firm), money_said(firm, currency))
    estimate = _estimate(values)
    if estimate is None:
        return BLANK
    low, likely, high = estimate
    raw = [money_typed(cents) for cents in estimate]
    if low == high:
        return Cell("~" + raw[0], text("desk-parts-about", amount=money_said(low, currency)))
    shown = text("desk-parts-range", low=money_said(low, currency), high=money_said(high, currency))
    if likely == (low + high + 1) // 2:
        return Cell(f"{raw[0]}-{raw[2]}", shown)
    return Cell("/".join(raw), shown)


def read(column: Column, typed: str, jobs: Callable[[], Mapping[str, str]]) -> dict[str, Any]:
    """What was typed into a cell as {recorded field: value}. Raises FieldError.

    `jobs` gives the titles of jobs by their ids; it is asked only where a job was typed.
    """
    if len(typed) > column.limit:
        raise FieldError(message("desk-error-too-long", start=typed[:30], most=column.limit))
    if column.kind == "price":
        return _price_read(column, typed)
    if column.kind == "choice":
        code = _chosen(column, typed)
        return {column.key: code == "needed" if column.key == "need" else code}
    if column.kind == "job":
        return {"job": _job_read(column, typed, jobs())}
    if column.kind == "money":
        return {f"{column.key}_cents": paid_cents(typed, column.title) if typed else None}
    readers = {"count": _count, "hours": hours, "date": day}
    reader = readers.get(column.kind)
    if not typed or reader is None:
        return {column.key: typed or None}
    return {column.key: reader(typed, column.title)}


def _price_read(column: Column, typed: str) -> dict[str, Any]:
    none = dict.fromkeys(PRICE_FIELDS)
    if not typed:
        return dict(none)
    about = typed.startswith(_ABOUT)
    parts = _parts_of(typed.lstrip("".join(_ABOUT)).strip())
    if len(parts) > 3 or not all(parts):
        raise FieldError(message("desk-parts-price-wrong", what=column.title, typed=typed))
    cents = [paid_cents(part, column.title) for part in parts]
    if len(cents) == 1 and not about:
        # the estimate stays beside the firm price: one learns from what was guessed
        return {"quote_cents": cents[0]}
    if cents != sorted(cents):
        figures = ", ".join(money_typed(amount) for amount in cents)
        raise FieldError(message("desk-error-rising", what=column.title, figures=figures))
    low, high = cents[0], cents[-1]
    likely = cents[1] if len(cents) == 3 else (low + high + 1) // 2
    return {**none, "low_cents": low, "likely_cents": likely, "high_cents": high}


def _parts_of(typed: str) -> list[str]:
    """The figures of a price: `40/55/80` three, `40-60` two, `47.83` one."""
    if "/" in typed:
        return [part.strip() for part in typed.split("/")]
    for mark in _RANGES:
        if mark in typed:
            return [part.strip() for part in typed.split(mark)]
    return [typed]


def _chosen(column: Column, typed: str) -> str | None:
    words = choices(column.key)
    if not typed:
        return None
    sought = typed.casefold()
    for code, word in words.items():
        if sought in (code, word.casefold()):
            return code
    listed = language.listed(list(words.values()), last="or")
    raise FieldError(
        message("desk-parts-choice-wrong", what=column.title, typed=typed, choices=listed)
    )


def _job_read(column: Column, typed: str, jobs: Mapping[str, str]) -> str | None:
    if not typed or typed in jobs:
        return typed or None
    named = [job for job, title in jobs.items() if title.casefold() == typed.casefold()]
    if len(named) == 1:
        return named[0]
    raise FieldError(message("desk-parts-job-wrong", what=column.title, typed=typed))


def _count(typed: str, what: str) -> str:
    """How many, as decimal text. Raises FieldError."""
    found = typed_texts.numbers(typed, language.current().region)
    number = exact.parse(found[0]) if len(found) == 1 else None
    if number is None or number[0] <= 0:
        raise FieldError(message("desk-parts-count-wrong", what=what, typed=typed))
    hundredths = number[0] * 100 // number[1]
    if not 0 < hundredths <= MOST_HUNDREDTHS:
        raise FieldError(message("desk-parts-count-wrong", what=what, typed=typed))
    return f"{hundredths // 100}.{hundredths % 100:02d}".rstrip("0").rstrip(".")
