"""What people type, understood: numbers, amounts of money and dates, as canonical texts.

Each function gives every meaning that a text may have, the likeliest first: none where nobody could
read it, more than one where the person has to be asked. `style` says how that person writes: "us"
(1,300.50, month/day/year; a comma only groups by three), "eu" (1.300,50, day.month.year), or ""
where nobody knows.

The phone has a twin, web/src/app/text/typed.ts, since it takes entries before the judge is there;
tests/judge/values/typed.json holds both to one table.
"""

from __future__ import annotations

from . import dates
from .ascii_text import all_digits, fields, lower, trimmed, upper
from .exact import LONGEST

_MINUS = ("-", "\u2212")
_BLANK_GROUPS = " '\u2019"  # all of them group thousands somewhere
_CURRENCIES = ("USD", "EUR", "US", "$", "\u20ac", "DOLLARS", "BUCKS")
#: Fractions that are one character, and the stroke of others (Unicode 15: Number Forms).
_SIGNS = {
    "\u00bc": " 1/4", "\u00bd": " 1/2", "\u00be": " 3/4", "\u215b": " 1/8", "\u215c": " 3/8",
    "\u215d": " 5/8", "\u215e": " 7/8", "\u2044": "/",
}  # fmt: skip
_FILLERS = ("of", "de")  # 15 de junio de 2022
_ORDINALS = ("st", "nd", "rd", "th")
_DATE_MARKS = "/.-"


def numbers(text: str, style: str = "", whole: bool = False) -> list[str]:
    """A number: `1300`, `-2.5`, `3/16`, `2 1/4`.

    `whole`: one mark before exactly three digits groups them, whatever the style (an odometer);
    `128k` is 128000.
    """
    for sign in _SIGNS:
        text = text.replace(sign, _SIGNS[sign])
    text = trimmed(text)
    sign = ""
    if text[:1] == "+" or text[:1] in _MINUS:
        sign = "" if text[0] == "+" else "-"
        text = trimmed(text[1:])
    if "/" in text:
        fraction = _fraction(text)
        return [sign + fraction] if fraction else []
    found = _thousands(text, style) if whole else []
    return [sign + figure for figure in found or _figures(text, style, whole)]


def number(text: str, whole: bool = False) -> str:
    """The only meaning of a number in any style; "" where there is none, or another one."""
    found = numbers(text, "", whole)
    return found[0] if len(found) == 1 else ""


def amounts(text: str, style: str = "") -> list[str]:
    """Money, not below zero: `1300`, or with two digits of cents `47.83`."""
    text = upper(trimmed(text))
    for sign in _CURRENCIES:
        if text.startswith(sign):
            text = trimmed(text[len(sign) :])
        if text.endswith(sign):
            text = trimmed(text[: len(text) - len(sign)])
    found = []
    for figure in _thousands(text, style) or _figures(text, style, style != "us"):
        before, _, after = figure.partition(".")
        if len(after) <= 2:
            cents = (after + "00")[:2]
            found.append(before if cents == "00" else before + "." + cents)
    return found


def _thousands(text: str, style: str) -> list[str]:
    """The meanings of 128k and 2.4K; [] for a text that does not end so."""
    if text[-1:] not in ("k", "K"):
        return []
    found = []
    for figure in _figures(trimmed(text[:-1]), style, False):
        before, _, after = figure.partition(".")
        if len(after) <= 3:
            found.append(_plain(before + (after + "000")[:3]))
    return found


def days(text: str, style: str = "", months: list[str] | None = None) -> list[str]:
    """A date as ISO 8601: `2022-06-15`, `2022-06`, `2022`.

    `months`: the twelve names of months in the person's language; English ones are always read.
    """
    text = lower(trimmed(text))
    marks = ""
    for letter in text:
        if letter in _DATE_MARKS and letter not in marks:
            marks += letter
        elif letter not in _DATE_MARKS and letter != " " and not all_digits(letter):
            return _named_day(text, months or [])
    parts = fields(text.replace(marks, " ")) if len(marks) == 1 else [text]
    for part in parts:
        if not all_digits(part):
            return []
    if not parts:  # a dash alone
        return []
    if len(parts[0]) == 4:
        found = [_iso(parts)]
    elif len(parts) == 2 and len(parts[1]) == 4:
        found = [_iso([parts[1], parts[0]])]
    elif len(parts) == 3:
        found = _short_day(parts, marks, style)
    else:
        found = []
    return [day for day in found if day]


def _short_day(parts: list[str], mark: str, style: str) -> list[str]:
    """The meanings of 3/4/2022 and 3.4.2022."""
    month_first = _iso([parts[2], parts[0], parts[1]])
    day_first = _iso([parts[2], parts[1], parts[0]])
    if month_first == day_first or not day_first or (style == "us" and month_first and mark != "."):
        return [month_first]
    if not month_first or (style == "eu" and mark == "."):
        return [day_first]
    if style == "eu" or mark == ".":
        return [day_first, month_first]
    return [month_first, day_first]


def _named_day(text: str, months: list[str]) -> list[str]:
    """The meanings of a date whose month is a word: Jun 2022, Jun '22, June 15, 2022."""
    for mark in "'\u2019":
        before, _, year = text.partition(mark)
        if len(year) == 2 and all_digits(year):
            text = before + " " + ("20" if year < "50" else "19") + year
    for mark in _DATE_MARKS + ",'\u2019":
        text = text.replace(mark, " ")
    month = 0
    parts = []
    for piece in fields(text):
        if piece[-2:] in _ORDINALS and all_digits(piece[:-2]):
            piece = piece[:-2]
        if all_digits(piece):
            parts.append(piece)
        elif piece not in _FILLERS:
            if month:
                return []
            month = _month(piece, months)
            if not month:
                return []
    if len(parts) == 2 and len(parts[0]) <= 2:
        parts = [parts[1], parts[0]]
    elif not parts or len(parts) > 2 or len(parts[0]) != 4:
        return []
    found = _iso([parts[0], str(month)] + parts[1:])
    return [found] if found else []


def _month(word: str, months: list[str]) -> int:
    """1 to 12 for three letters or more of a month's name; 0 for anything else."""
    if len(word) < 3:
        return 0
    found = 0
    for names in (dates.MONTHS, months):
        for i, name in enumerate(names):
            if lower(name).startswith(word):
                if found and found != i + 1:
                    return 0
                found = i + 1
    return found


def _iso(parts: list[str]) -> str:
    """Year, month and day as ISO 8601; "" for a day that does not exist.

    Of two digits, 00 to 49 are years from 2000 on.
    """
    year = parts[0]
    if len(year) == 2:
        year = ("20" if year < "50" else "19") + year
    text = year
    for part in parts[1:]:
        if len(part) > 2:
            return ""
        text += "-" + ("0" + part)[-2:]
    return "" if dates.parse(text) is None else text


def _fraction(text: str) -> str:
    """3/16, 2 1/4 (also typed as 2-1/4); "" for anything else."""
    parts = text.split("/")
    if len(parts) != 2:
        return ""
    above = fields(parts[0].replace("-", " "))
    below = trimmed(parts[1])
    for digits in above + [below]:
        if len(digits) > LONGEST or not all_digits(digits):
            return ""
    if not 1 <= len(above) <= 2 or not int(below):
        return ""
    return " ".join(above) + "/" + below


def _is_grouped(text: str, mark: str) -> bool:
    """Whether `mark` groups the digits of text by three: 1.234.567, not 0.790."""
    parts = text.split(mark)
    if not 1 <= len(parts[0]) <= 3 or parts[0][0] == "0":
        return False
    for part in parts[1:]:
        if len(part) != 3:
            return False
    return True


def _figures(text: str, style: str, whole: bool) -> list[str]:
    """The meanings of digits with points, commas and blanks between them."""
    has_blanks = False
    for mark in _BLANK_GROUPS:
        if mark in text:
            before = text.split(",")[0].split(".")[0]
            if not _is_grouped(before, mark) or mark in text[len(before) :]:
                return []
            text = text.replace(mark, "")
            has_blanks = True
    if "," in text and "." in text:
        at = max(text.rfind(","), text.rfind("."))
        before, after = text[:at], text[at + 1 :]
        group = "." if text[at] == "," else ","
        if text[at] in before or not _is_grouped(before, group) or style + text[at] == "us,":
            return []
        found = [before.replace(group, "") + "." + after]
    elif "," in text or "." in text:
        found = _one_mark(text, "," if "," in text else ".", style, whole, not has_blanks)
    else:
        found = [text]
    return [plain for plain in [_plain(figure) for figure in found] if plain]


def _one_mark(text: str, mark: str, style: str, whole: bool, may_group: bool) -> list[str]:
    """The meanings of 1,300 and 1.300, of 12.5, of 1,234,567."""
    grouped, pointed = text.replace(mark, ""), text.replace(mark, ".")
    can_group = may_group and _is_grouped(text, mark)
    if text.count(mark) > 1:
        return [grouped] if can_group else []
    if not can_group:
        return [] if style + mark == "us," else [pointed]
    if whole:
        return [grouped]
    if style == "us":
        return [grouped if mark == "," else pointed]
    return [pointed, grouped] if (mark == ",") == (style == "eu") else [grouped, pointed]


def _plain(figure: str) -> str:
    """Digits with one point at most, as they are written: 0.812; "" for anything else."""
    before, _, after = figure.partition(".")
    if len(before + after) > LONGEST or not all_digits(before + after):
        return ""
    return (before.lstrip("0") or "0") + ("." + after if after else "")
