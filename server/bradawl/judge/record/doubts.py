"""What a recorded figure or date may mean; where that is more than one thing, a person is asked.

A figure that is not usual in its unit, and would be in another one that the reading is asked for
in, may have been meant in that one: .1875 under mm where inches were meant. What is usual stands
beside the reading in the checklist (`usual`, and without it `plausible`); a fraction is not usual
in a metric unit, whatever it is worth (common practice, no source). `sure` in the value says that
somebody was asked, and `read` how what was typed is understood.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact, typed, units
from ..values.ascii_text import all_digits

if TYPE_CHECKING:
    from ..values.types import Exact, Json, Meaning, Reading

    Span = tuple[Exact, Exact]  # lowest and highest figure in base units


def span(reading: Reading, figures: list[str] | None) -> Span | None:
    """A reading's `plausible` or `usual` in base units; None where it names none."""
    if not figures or not reading["units"]:
        return None
    first = reading["units"][0]
    low, high = exact.figure(str(figures[0])), exact.figure(str(figures[1]))
    if low is None or high is None:
        return None
    return units.to_base(low, first), units.to_base(high, first)


def days(entry: str, read: Json) -> list[Meaning]:
    """The dates that a text may mean."""
    found = typed.days(read) if isinstance(read, str) else []
    return [{"read": day, "unit": ""} for day in found or typed.days(entry)]


def figures(
    reading: Reading, usual: Span | None, entry: str, unit: str, value: dict[str, Json]
) -> list[Meaning]:
    """The figures that a text under `unit` may mean, each with its unit."""
    texts = _texts(reading, entry, value.get("read"))
    if len(texts) == 1 and unit != "in/32" and _is_usual(texts[0], unit, usual):
        return [{"read": texts[0], "unit": unit}]  # as nearly all that is typed
    own = [text for text in _under(unit, texts) if _is_usual(text, unit, usual)]
    inches = _inches(texts, unit, usual) if value.get("sure") is not True else ""
    if inches:
        return [_meaning(texts[0], unit), _meaning(inches, unit)]
    if own:
        return [_meaning(text, unit) for text in own]
    found = [_meaning(text, unit) for text in texts]
    if value.get("sure") is not True:
        for other in reading["units"]:
            for text in _under(other, texts):
                is_same = _worth(text, other) == _worth(text, unit)
                if other != unit and not is_same and _is_usual(text, other, usual):
                    found.append(_meaning(text, other))
    return found


def _texts(reading: Reading, entry: str, read: Json) -> list[str]:
    if read == "":  # where it was typed it means nothing
        return []
    if isinstance(read, str) and exact.parse(read) is not None:
        return [read]
    if _is_plain(entry):  # what a gauge shows, 36 times on a card
        return [entry]
    return typed.numbers(entry, "", reading["quantity"] in ("distance", "count"))


def _is_plain(entry: str) -> bool:
    """Whether it is digits, or digits around a point that groups none: its own canonical text."""
    before, point, after = entry.partition(".")
    if len(entry) > exact.LONGEST or not all_digits(before):
        return False
    if not point:
        return True
    return all_digits(after) and len(after) != 3 and (before == "0" or before[0] != "0")


def _under(unit: str, texts: list[str]) -> list[str]:
    """The texts under a unit: `2 1/32` beside 1/32 in may also be two of them (the unit read with
    the figure).
    """
    if unit != "in/32":
        return texts
    return [text[:-5] for text in texts if text.endswith(" 1/32")] + texts


def _inches(texts: list[str], unit: str, usual: Span | None) -> str:
    """Under 1/32 in, what a figure such as `.25` is in inches, as a fraction: no gauge of that unit
    shows less than one with a point; "" where it cannot be meant so.
    """
    if unit != "in/32" or len(texts) != 1 or not texts[0].startswith("0.") or usual is None:
        return ""
    above = texts[0][2:].lstrip("0")
    fraction = above + "/1" + "0" * (len(texts[0]) - 2) if above else ""
    return fraction if fraction and _is_usual(fraction, unit, usual) else ""


def _worth(text: str, unit: str) -> Exact:
    """A canonical text in base units; under in/32 a fraction is one of an inch: 7/32."""
    number = exact.parse(text) or exact.ZERO
    return units.to_base(number, "in" if unit == "in/32" and "/" in text else unit)


def _meaning(text: str, unit: str) -> Meaning:
    """A canonical text as it stands beside its unit: 7/32 under in/32 is 7."""
    if unit == "in/32" and "/" in text:
        text = exact.decimal(units.from_base(_worth(text, unit), unit), 3)
    return {"read": text, "unit": unit}


def _is_usual(text: str, unit: str, usual: Span | None) -> bool:
    if "/" in text and units.system(unit) == "metric":
        return False
    if usual is None:
        return True
    number = _worth(text, unit)
    return not exact.less(number, usual[0]) and not exact.less(usual[1], number)
