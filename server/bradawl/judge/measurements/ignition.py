"""The firing order: how the plug wires lie, and which cylinders miss together. Common practice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import readings, visit_facts
from ..values.ascii_text import fields
from ..values.saying import listed, said
from .engine import banks

if TYPE_CHECKING:
    from ..values.types import Measure, SaidArgument
    from .context import Context

FACT = "firing_order"  # the fact of a car that holds its order, as its maker or the intake has it
_LARGEST = 12
_SIGNS = "0123456789"


def cylinders_in(text: str) -> list[str]:
    """The cylinders that a text names in its order: 1-8-4-3-6-5-7-2, or 18436572; [] for none.

    Without anything between them each digit is a cylinder.
    """
    spaced = ""
    for sign in text[:80]:
        spaced += sign if sign in _SIGNS else " "
    names = fields(spaced)
    if len(names) == 1 and len(names[0]) > 2:
        names = [sign for sign in names[0]]
    found = []
    for name in names:
        if not 1 <= int(name) <= _LARGEST or str(int(name)) in found:
            return []
        found.append(str(int(name)))
    return found


def _from_first(text: str, count: int | None) -> list[str]:
    """An order of all cylinders that begins with number 1; [] for what is none."""
    order = cylinders_in(text)
    if len(order) < 2 or (count is not None and len(order) != count):
        return []
    for number in range(1, len(order) + 1):
        if str(number) not in order:
            return []
    first = order.index("1")
    return order[first:] + order[:first]


def firing_order(context: Context) -> None:
    """Facts firing, wires_beside, misses from the codes `order` and `dead`, and the car's order.

    firing: as-made, crossed (two wires exchanged), other. misses: one, in-turn (they fire one after
    another), side-by-side (in their bank), apart; with the car's order or its layout unknown some
    of it stays open.
    """
    count = visit_facts.cylinders(context.visit)
    recorded = context.visit["car"].get(FACT)
    made = _from_first(recorded, count) if isinstance(recorded, str) else []
    for measure, word in context.words_of("order"):
        found = _from_first(word, count)
        if not found:
            context.add_problem("unreadable", "firing-order", measure, word)
        elif made:
            _compare(context, measure, found, made)
        else:
            context.problems.append(readings.problem("no_figure", "no-order", {}, "car/" + FACT))
    beside = _beside(made, banks(context))
    if beside:
        pairs: list[SaidArgument] = [_pair(one, other) for one, other in beside]
        context.say("wires_beside", "yes", "", said("more-wires-beside", {"pairs": listed(pairs)}))
    for measure, word in context.words_of("dead"):
        _misses(context, measure, word, made)


def _pair(one: str, other: str) -> SaidArgument:
    return listed([{"place": one}, {"place": other}])


def _compare(context: Context, measure: Measure, found: list[str], made: list[str]) -> None:
    moved = [n for n in range(len(made)) if found[n : n + 1] != [made[n]]]
    if not moved:
        context.say("firing", "as-made")
        return
    if found == made[:1] + [made[n] for n in range(len(made) - 1, 0, -1)]:
        # each wire is there, read against the rotor: it says nothing until that is known
        context.add_problem("unreadable", "firing-backward", measure)
        return
    if len(moved) == 2 and len(found) == len(made):
        more = said("more-firing-crossed", {"pair": _pair(made[moved[0]], made[moved[1]])})
        context.say("firing", "crossed", "", more)
        return
    context.say("firing", "other", "", said("more-firing-other", {"order": "-".join(made)}))


def _in_turn(made: list[str], one: str, other: str) -> bool:
    """Whether two cylinders fire one after another."""
    if one not in made or other not in made or len(made) < 3:
        return False
    apart = abs(made.index(one) - made.index(other))
    return apart in (1, len(made) - 1)


def _side_by_side(sides: list[list[str]], one: str, other: str) -> bool:
    for bank in sides:
        if one in bank and other in bank:
            return abs(bank.index(one) - bank.index(other)) == 1
    return False


def _beside(made: list[str], sides: list[list[str]]) -> list[tuple[str, str]]:
    """Cylinders that fire one after another and stand side by side: one wire may fire the other.

    Of a four in one row all do in some place, and nothing comes of it: of engines with two banks.
    """
    found = []
    for n in range(len(made) if len(sides) == 2 else 0):
        one, other = made[n], made[(n + 1) % len(made)]
        if _side_by_side(sides, one, other):
            found.append((one, other))
    return found


def _misses(context: Context, measure: Measure, word: str, made: list[str]) -> None:
    """How the cylinders that miss lie to one another."""
    if word in ("none", "0"):
        context.say("misses", "none")
        return
    dead = cylinders_in(word)
    count = visit_facts.cylinders(context.visit) or _LARGEST
    if not dead or [name for name in dead if int(name) > count]:
        context.add_problem("unreadable", "cylinders", measure, word)
        return
    if len(dead) == 1:
        context.explain("misses", "one")
        return
    sides = banks(context)
    turn = side = False
    for n in range(len(dead)):
        for m in range(n + 1, len(dead)):
            turn = turn or _in_turn(made, dead[n], dead[m])
            side = side or _side_by_side(sides, dead[n], dead[m])
    if len(dead) == 2 and (turn or side):
        both = "both" if turn and side else ("in-turn" if turn else "side-by-side")
        context.explain("misses", both)
    elif len(dead) == 2 and not (made and sides):
        context.explain("misses", "unknown")
    else:
        context.explain("misses", "several")
