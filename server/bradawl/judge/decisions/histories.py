"""What may have happened to the car and nobody tells: hidden histories, weighed by their signs.

Each history is a yes or no of its own, judged by naive Bayes in whole-number odds: its chance
before anything is seen, times what each sign says. No history explains away a sign of another;
else a leak that was found would speak against a flood, and a fault would raise the price.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact, grades
from ..values.saying import said, title

if TYPE_CHECKING:
    from ..grading.combinations import Judged
    from ..values.types import (
        Exact,
        History,
        HistoryJudgment,
        HistorySign,
        HistoryStanding,
        Rules,
        Said,
        SaidArgument,
        Sign,
    )

# below which per cent a history stands so; the words are the same whatever the history
_STANDINGS: tuple[tuple[int, HistoryStanding], ...] = (
    (5, "against"),
    (25, "not_excluded"),
    (60, "suspected"),
    (90, "likely"),
)
_WORST_FIRST: tuple[HistoryStanding, ...] = (
    "strong",
    "likely",
    "suspected",
    "not_excluded",
    "against",
)


def judge(judged: Judged, order: list[str], rules: Rules) -> list[HistoryJudgment]:
    """How each history stands by what was seen of the items in `order`, the worst first.

    A history without a sign that this car could show is left out.
    """
    rows: list[HistoryJudgment] = []
    asked = {item: True for item in order}
    for history in rules.get("histories") or []:
        signs = _looked_for(history, judged, asked)
        if signs:
            rows.append(_row(history, signs, judged, rules))
    return [row for name in _WORST_FIRST for row in rows if row["standing"] == name]


def chances(
    judged: Judged, order: list[str], rules: Rules, is_rest_fine: bool = False
) -> list[tuple[Exact, Exact]]:
    """(what is then left of the value, its chance) of each history, the worst first.

    `is_rest_fine`: as if every sign that nobody looked at had been looked for in vain.
    """
    asked = {item: True for item in order}
    rows: list[tuple[Exact, Exact]] = []
    for history in rules.get("histories") or []:
        factor = exact.figure(history["factor"])
        if factor is not None:
            signs = _looked_for(history, judged, asked)
            for seen in signs:
                if is_rest_fine and seen.is_found is None:
                    seen.is_found = False
            chance = _chance(history, signs)
            place = len(rows)
            while place and exact.less(factor, rows[place - 1][0]):
                place -= 1
            rows.insert(place, (factor, chance))
    return rows


def worth_factor(hidden: list[tuple[Exact, Exact]], found: list[Exact]) -> Exact:
    """What is left of the value on average: the mean of the worst factor among what happened.

    Each of the `chances` is apart from the others; `found` are the factors of what is known for
    certain. Sorted by factor, the worst that happened is the first that did.
    """
    known = exact.smallest(found + [exact.ONE])
    total, none_so_far = exact.ZERO, exact.ONE
    for factor, chance in hidden:
        if not exact.less(factor, known):
            break
        total = exact.add(total, exact.multiply(exact.multiply(factor, chance), none_so_far))
        none_so_far = exact.multiply(none_so_far, exact.subtract(exact.ONE, chance))
    return exact.add(total, exact.multiply(known, none_so_far))


class _Seen:
    """A sign, and whether it was found; None while nobody looked."""

    def __init__(self, sign: Sign, is_found: bool | None) -> None:
        self.sign = sign
        self.is_found = is_found


def _looked_for(history: History, judged: Judged, asked: dict[str, bool]) -> list[_Seen]:
    """The signs that this car could show."""
    return [
        _Seen(sign, _is_found(sign, judged)) for sign in history["signs"] if sign["item"] in asked
    ]


def _is_found(sign: Sign, judged: Judged) -> bool | None:
    """Whether the item shows the sign: of several grades and answers the worst counts."""
    judgment = judged.items[sign["item"]]
    chosen = judged.choices.get(sign["item"]) or []
    if [choice for choice in chosen if choice in sign["on"]]:
        return True
    edges = [grades.SEVERITY.index(grade) for grade in grades.FAULTS if grade in sign["on"]]
    for grade in (judgment["grade"], judgment["measured"]):
        if edges and grade in grades.FAULTS and grades.SEVERITY.index(grade) >= min(edges):
            return True
    # what another answer settled was not looked at for its own sake
    if judgment["state"] != "done" or judgment["by"] == "implied":
        return None
    if [choice for choice in chosen if choice in (sign.get("unclear") or [])]:
        return None
    return False


def _groups(signs: list[_Seen]) -> list[list[_Seen]]:
    """The signs that are the same thing seen more than once, together."""
    groups: list[list[_Seen]] = []
    places: dict[str, int] = {}
    for seen in signs:
        group = seen.sign.get("group")
        if group is not None and group in places:
            groups[places[group]].append(seen)
        else:
            if group is not None:
                places[group] = len(groups)
            groups.append([seen])
    return groups


def _odds(group: list[_Seen]) -> tuple[int, int]:
    """(for, against) that a group adds: its strongest sign found, else the strongest in vain."""
    best = (1, 1)
    found = [seen.sign for seen in group if seen.is_found]
    for sign in found:
        odds = (sign["with_percent"], sign["without_percent"])
        if odds[0] * best[1] > best[0] * odds[1]:
            best = odds
    if found:
        return best
    for seen in group:
        if seen.is_found is False:
            odds = (100 - seen.sign["with_percent"], 100 - seen.sign["without_percent"])
            if odds[0] * best[1] < best[0] * odds[1]:
                best = odds
    return best


def _chance(history: History, signs: list[_Seen]) -> Exact:
    a, b = history["base_percent"], 100 - history["base_percent"]
    for group in _groups(signs):
        odds = _odds(group)
        a, b = a * odds[0], b * odds[1]
    return exact.divide((a, 1), (a + b, 1))


def _standing(chance: Exact, things_found: int, is_spoken_against: bool) -> HistoryStanding:
    """The word for a chance: one sign alone proves nothing, and no sign at all suspects nobody."""
    standing: HistoryStanding = "strong"
    for percent, name in _STANDINGS:
        if 100 * chance[0] < percent * chance[1]:
            standing = name
            break
    if standing == "against":
        return "against" if is_spoken_against else "not_excluded"
    if standing == "not_excluded" or not things_found:
        return "not_excluded"
    return "suspected" if things_found == 1 else standing


def _row(history: History, signs: list[_Seen], judged: Judged, rules: Rules) -> HistoryJudgment:
    chance = _chance(history, signs)
    groups = _groups(signs)
    speak_for, speak_against, things_found = [], [], 0
    for group in groups:
        found = [seen.sign for seen in group if seen.is_found]
        if found:
            things_found += 1
            speak_for += found
        else:
            speak_against += [seen.sign for seen in group if seen.is_found is False]
    items, looked_at = {}, {}
    for seen in signs:
        items[seen.sign["item"]] = True
        if seen.is_found is not None:
            looked_at[seen.sign["item"]] = True
    standing = _standing(chance, things_found, len(speak_against) > 0)
    args: dict[str, SaidArgument] = {"title": title("history", history["id"])}
    args["done"], args["total"] = len(looked_at), len(items)
    return {
        "id": history["id"],
        "standing": standing,
        "speak_for": _told(speak_for, judged),
        "speak_against": _told(speak_against, judged),
        "looked_at": len(looked_at),
        "signs": len(items),
        "next": _next(groups, chance, judged, rules),
        "said": said("history-" + standing.replace("_", "-"), args),
    }


def _told(signs: list[Sign], judged: Judged) -> list[HistorySign]:
    """Each item once, with what it says."""
    rows: list[HistorySign] = []
    told = {}
    for sign in signs:
        item = sign["item"]
        if item not in told:
            told[item] = True
            rows.append({"item": item, "said": _why(item, sign, judged)})
    return rows


def _why(item: str, sign: Sign, judged: Judged) -> Said:
    """The answer that is the sign, else the limit that was passed, else what is said first."""
    for choice in judged.choices.get(item) or []:
        if choice in sign["on"]:
            return said("reason-choice", {"choice": title("choice", item, choice)})
    reasons = judged.items[item]["reasons"]
    for reason in reasons:
        if reason["code"] == "limit":
            return reason["said"]
    if not reasons:
        return said("history-looked-at")
    first = reasons[0]["said"]
    if first["id"] in ("judge-reason-person", "judge-reason-person-why"):
        # behind the name of the check: whose call it is says nothing of the car
        return {"id": first["id"].replace("reason", "sign"), "args": first.get("args") or {}}
    return first


def _next(groups: list[list[_Seen]], chance: Exact, judged: Judged, rules: Rules) -> str | None:
    """The open item that tells most of the history per minute of looking; None when none is left.

    gain = loss^2 (p(1-p)(g-q))^2 / (P(1-P)) / minutes: by how much a look is expected to narrow
    what the history may cost (its variance). p is the chance now, g and q how often the sign is
    seen with and without the history, P = pg + (1-p)q. Loss and p(1-p) are those of the history,
    the same for each of its signs, and left out. What a group has shown is not looked for again.
    """
    best: Exact | None = None
    name = None
    for group in groups:
        if [seen for seen in group if seen.is_found]:
            continue
        for seen in group:
            item = seen.sign["item"]
            if seen.is_found is not None or judged.items[item]["state"] != "open":
                continue
            gain = _gain(seen.sign, chance, rules["items"][item].get("minutes"))
            if best is None or exact.less(best, gain):
                best, name = gain, item
            elif name is not None and not exact.less(gain, best) and item < name:
                name = item
    return name


def _gain(sign: Sign, chance: Exact, minutes: str | None) -> Exact:
    n, d = chance
    g, q = sign["with_percent"], sign["without_percent"]
    seen = n * g + (d - n) * q  # of 100 d
    looking = exact.figure(str(minutes)) or exact.ONE
    return (g - q) * (g - q) * d * d * looking[1], seen * (100 * d - seen) * looking[0]
