"""Before one leaves a car: what was asked and offered, what speaks for less, what was passed up.

deal/prices/<id> {"amount", "date", "time", "side"} is a price of the talk, beside those of the ads;
deal/opening, deal/leave_by {"date", "time"}, deal/reasons [ids]; deal/deposit/… its terms;
papers/<id>/state, note, photos; passed/<id> {"date", "price", "why", "until"}. A later visit to the
same car is held against an earlier one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..measurements.identity import normal
from ..record import regions
from ..values import dates, grades
from ..values.ascii_text import all_digits

if TYPE_CHECKING:
    from ..values.types import (
        Again,
        Argument,
        Cells,
        Closing,
        ClosingPaper,
        ClosingRule,
        DealPrice,
        Deposit,
        Disclosure,
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
_HASH = 64
_STATES = ("in_hand", "missing", "not_needed")
_NEW_RULE = 2011  # model year from which twenty years count: 49 CFR 580.17(a)(3)(ii)
_YEARS_BEFORE = 10
_YEARS_SINCE = 20
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
        "deposit": deposit(cells),
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


def deposit(cells: Cells) -> Deposit:
    """What was paid down, until when and on what condition it comes back."""
    return {
        "amount": _amount(_value(cells, "deal/deposit/amount")),
        "date": _day({"date": _value(cells, "deal/deposit/date")}, "date"),
        "until": _day({"date": _value(cells, "deal/deposit/until")}, "date"),
        "refund": _text(_value(cells, "deal/deposit/refund")),
        "photos": _photos(cells, "deal/deposit/photos/"),
    }


def closing(rows: list[ClosingRule], cells: Cells, today: str) -> Closing:
    """The closing papers of the visit's region, in the order of the table.

    The odometer's is not needed where the law exempts the car, whatever nobody said.
    """
    region = regions.region_of(cells)
    law = disclosure(_value(cells, "car/year"), today) if region == "us" else None
    papers: list[ClosingPaper] = []
    for row in rows:
        if region not in row["regions"]:
            continue
        start = "papers/" + row["id"] + "/"
        told = _value(cells, start + "state")
        state = ""
        for known in _STATES:
            state = known if told == known else state
        if not state and row.get("form") == "odometer" and law and law["state"] == "exempt":
            state = "not_needed"
        paper: Any = {"id": row["id"], "state": state, "photos": _photos(cells, start + "photos/")}
        paper["note"] = _text(_value(cells, start + "note"))
        papers.append(paper)
    found: Closing = {"papers": papers, "open": len([1 for one in papers if not one["state"]])}
    if law:
        found["disclosure"] = law
    return found


def disclosure(year: Json, today: str) -> Disclosure:
    """Whether the seller has to disclose the odometer: 49 CFR 580.17(a)(3).

    Model years to 2010 are exempt from January 1 ten years on, 2011 and newer twenty. Weight over
    16,000 lb and what moves by no power of its own, exempt too, is a person's to say.
    """
    model_year = _amount(year)
    if model_year is None:
        return {"state": "unknown", "until": None}
    until = model_year + (_YEARS_BEFORE if model_year < _NEW_RULE else _YEARS_SINCE)
    state: Any = "exempt" if int(today[:4]) >= until else "needed"
    return {"state": state, "until": until}


def _photos(cells: Cells, start: str) -> list[str]:
    """The SHA-256 of the photos below a path."""
    return [
        path[len(start) :]
        for path in sorted(cells)
        if path.startswith(start) and cells[path]["value"] is not None and is_hash(path, start)
    ]


def is_hash(path: str, start: str) -> bool:
    """Whether what follows `start` is the name of a photo."""
    name = path[len(start) :]
    return len(name) == _HASH and not [sign for sign in name if sign not in "0123456789abcdef"]


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
