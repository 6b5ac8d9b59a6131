"""Before one leaves a car: what was asked and offered, what speaks for less, what was passed up.

deal/prices/<id> {"amount", "date", "time", "side"} is a price of the talk, beside those of the ads;
deal/opening, deal/leave_by {"date", "time"}, deal/reasons [ids]; passed/<id> {"date", "price",
"why", "until"}. A later visit to the same car is held against an earlier one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..measurements.identity import normal
from ..values import dates, grades
from ..values.ascii_text import all_digits

if TYPE_CHECKING:
    from ..values.types import (
        Again,
        Argument,
        Cells,
        DealPrice,
        Json,
        Leaving,
        Passing,
        Side,
        Since,
        SinceThen,
    )

ASKING = "about/asking_price"
SHOWN = 3  # reasons on the card
_ON_THE_CAR = ("safety", "structure", "wear")  # groups of reasons
_SHORTEST = 5  # signs of a number that tells one car from another; common practice, no source
_MOST = 100000000
_OWN = ".own-"


def leaving(
    cells: Cells, arguments: list[Argument], top: int | None, suggested: int | None
) -> Leaving:
    """All of it; of the price its arguments, the top price and the first offer, None for none."""
    typed = _amount(_value(cells, "deal/opening"))
    opening = suggested if typed is None else typed
    leave = _value(cells, "deal/leave_by")
    chosen = _chosen(cells, arguments)
    return {
        "prices": prices(cells),
        "opening": opening,
        "is_typed": typed is not None,
        "is_over_top": opening is not None and top is not None and opening > top,
        "leave_date": _day(leave, "date"),
        "leave_time": time_in(leave),
        "reasons": chosen or _largest(arguments),
        "is_chosen": bool(chosen),
        "passed": passed(cells),
    }


def prices(cells: Cells) -> list[DealPrice]:
    """Every price asked or offered, by day and moment; then the asked one that no entry has."""
    found: list[tuple[str, str, str, Any]] = []
    for path in sorted(cells):
        parts = path.split("/")
        value = cells[path]["value"]
        of_ad = parts[0] == "ads" and len(parts) == 4 and parts[2] == "prices"
        if not of_ad and not (path.startswith("deal/prices/") and len(parts) == 3):
            continue
        amount = _amount(_key(value, "amount"))
        if amount is None:
            continue
        side: Side = "offered" if not of_ad and _key(value, "side") == "offered" else "asked"
        row: DealPrice = {
            "put": path,
            "amount": amount,
            "date": _day(value, "date"),
            "time": time_in(value),
            "side": side,
            "of_ad": of_ad,
        }
        found.append((row["date"], cells[path]["at"], path, row))
    rows: list[DealPrice] = [row for _, _, _, row in sorted(found)]
    asking = _amount(_value(cells, ASKING))
    if asking is not None and asking != last_asked(rows):
        rows.append(
            {
                "put": "",
                "amount": asking,
                "date": "",
                "time": "",
                "side": "asked",
                "of_ad": False,
            }
        )
    return rows


def last_asked(rows: list[DealPrice]) -> int | None:
    """The price that was asked last; None where none was."""
    asked = [row["amount"] for row in rows if row["side"] == "asked"]
    return asked[-1] if asked else None


def _chosen(cells: Cells, arguments: list[Argument]) -> list[str]:
    """The reasons that a person picked, as far as they still stand."""
    wanted = _value(cells, "deal/reasons")
    standing = [argument.get("id") for argument in arguments]
    picked: list[str] = []
    for name in wanted if isinstance(wanted, list) else []:
        if isinstance(name, str) and name in standing and name not in picked:
            picked.append(name)
    return picked[:SHOWN]


def _largest(arguments: list[Argument]) -> list[str]:
    """What can be shown on the car before what is due or on paper; of each what is worth most.

    Common practice, no source.
    """
    ranked: list[tuple[bool, int, str]] = []
    for row in arguments:
        is_shown = row.get("group") in _ON_THE_CAR
        if row["amount"] > 0 and row.get("id"):
            ranked.append((not is_shown, -row["amount"], row["id"]))
    return [name for _, _, name in sorted(ranked)][:SHOWN]


def passed(cells: Cells) -> list[Passing]:
    """Each time that the car was passed, the latest last."""
    found: list[tuple[str, str, Any]] = []
    for path in sorted(cells):
        parts = path.split("/")
        value = cells[path]["value"]
        if len(parts) != 2 or parts[0] != "passed" or not isinstance(value, dict):
            continue
        row: Passing = {
            "id": parts[1],
            "date": _day(value, "date"),
            "price": _amount(value.get("price")),
            "why": _text(value.get("why")),
            "until": _day(value, "until"),
        }
        found.append((cells[path]["at"], path, row))
    return [row for _, _, row in sorted(found)]


def same_car(vin: str, visits: list[dict[str, str]]) -> list[str]:
    """Which of {"visit", "vin"} have this number, however it was typed."""
    wanted = normal(vin)
    if len(wanted) < _SHORTEST:
        return []
    return [row["visit"] for row in visits if normal(row["vin"]) == wanted]


def again(then: Cells, now: Cells, graded_then: Any, graded_now: Any) -> Again:
    """An earlier visit beside this one; `graded…` are grades by item, of items with an answer.

    What somebody found in own words has no check that both visits share: it is new, or to look for
    again.
    """
    rows: list[SinceThen] = []
    for item in sorted(set(graded_then) | set(graded_now)):
        before = graded_then.get(item) or ""
        after = graded_now.get(item) or ""
        if _OWN in item:
            rows += _own(item, before, after)
        elif before in grades.FAULTS or after in grades.FAULTS:
            rows.append(
                {"item": item, "then": before, "now": after, "since": _since(before, after)}
            )
    started = _value(then, "about/started")
    found: Again = {
        "date": _day(started, "date"),
        "rows": rows,
        "asked_then": last_asked(prices(then)),
        "asked_now": last_asked(prices(now)),
    }
    listed = passed(then)
    if listed:
        found["passed"] = listed[-1]
    return found


def _own(item: str, before: str, after: str) -> list[SinceThen]:
    rows: list[SinceThen] = []
    if before in grades.FAULTS:
        rows.append({"item": item, "then": before, "now": "", "since": "unseen"})
    if after in grades.FAULTS:
        rows.append({"item": item, "then": "", "now": after, "since": "new"})
    return rows


def _since(before: str, after: str) -> Since:
    if after not in grades.GRADES or after == "uninspected":
        return "unseen"
    if before not in grades.FAULTS:
        return "new"
    if after not in grades.FAULTS:
        return "gone"
    ranks = [grades.FAULTS.index(before), grades.FAULTS.index(after)]
    return "same" if ranks[0] == ranks[1] else "worse" if ranks[0] < ranks[1] else "better"


def _value(cells: Cells, path: str) -> Json:
    return cells[path]["value"] if path in cells else None


def _key(value: Json, key: str) -> Json:
    return value.get(key) if isinstance(value, dict) else None


def _amount(value: Json) -> int | None:
    """Whole money that is none below zero; None for anything else (True is no amount)."""
    if value is True or value is False or not isinstance(value, int):
        return None
    return value if 0 <= value <= _MOST else None


def _text(value: Json) -> str:
    return value if isinstance(value, str) else ""


def _day(value: Json, key: str) -> str:
    """A day of the calendar as YYYY-MM-DD; "" for anything else."""
    day = _text(_key(value, key))
    return day if len(day) == 10 and dates.parse(day) is not None else ""


def time_in(value: Json) -> str:
    """A time of the day as HH:MM; "" for anything else."""
    time = _text(_key(value, "time"))
    parts = time.split(":")
    if len(time) != 5 or len(parts) != 2 or not all_digits(parts[0]) or not all_digits(parts[1]):
        return ""
    return time if int(parts[0]) < 24 and int(parts[1]) < 60 else ""
