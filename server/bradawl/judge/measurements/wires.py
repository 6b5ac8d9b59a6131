"""Wires: what each may carry, its fuse, what it loses over its length, how hot a short makes it.

All figures stand in the checklists' table of wires, each column with its source: current and
resistance of copper wire, FAA AC 43.13-1B (aircraft wire in full harnesses: careful for a car) and
33 CFR 183.425 (one wire alone). A size that the table lacks counts as the next thinner one. The
drop is resistance x length x load (AC 43.13-1B, 11-66), at 20 degC and once more for a hot wire.
Insulation of a shorted wire runs when current squared x time reaches (k x area) squared
(IEC 60364-4-43, from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import readings
from ..values import exact, typed, units
from ..values.ascii_text import all_digits, trimmed
from ..values.saying import said, term

if TYPE_CHECKING:
    from ..values.types import (
        Cells,
        Circuit,
        Exact,
        Gauge,
        Json,
        Measure,
        Problem,
        SaidArgument,
        VisitFacts,
        WireTable,
    )

    Values = dict[str, list[Json]]  # by field, what holds first

_COPPER, _AT_20 = (2345, 10), (2545, 10)  # degC: resistance grows with 234.5 + t
_THOUSAND_FEET = (3048, 10000)  # km
_FULL, _HALF = (1, 1), (1, 2)  # of the table's volts: a 12 V car, a 6 V car
_HEATS = (("second", 1), ("seconds", 10), ("minute", 60))
_OPEN = ("bare", "cut")
_DAMAGED = ("nibbled",) + _OPEN
_FIRMLY = ("unfused", "overfused")  # the wire itself may stay
_COUNTED = ("all", "feed", "safety", "fuse")


def find(item: str, cells: Cells, visit: VisitFacts) -> tuple[list[Measure], list[Problem]]:
    """The facts of the wires recorded on an item, and what of them nobody can use.

    Of each wire (at a place that is its id): wire_bears, wire_alone, wire_fuse_most, wire_fuse (A),
    wire_drop, wire_drop_hot (V), wire_short (A), wire_heat, wire_risk (words); of all together
    wires_all and how many of them are feeds, safety circuits or need a fuse. What somebody else
    wrote unseen makes facts of its own (`unseen`).
    """
    table = visit.get("wires")
    start = "items/" + item + "/wires/"
    wires: dict[str, Values] = {}
    for path in sorted(cells):
        parts = path[len(start) :].split("/") if path.startswith(start) else []
        values = readings.candidates(cells[path]) if len(parts) == 2 else []
        if values:
            wires.setdefault(parts[0], {})[parts[1]] = values
    facts: list[Measure] = []
    problems: list[Problem] = []
    counts = dict.fromkeys(_COUNTED, 0)
    if table is None:
        return facts, problems
    for name in sorted(wires):
        wire = _Wire(start + name, wires[name], 0, table, visit)
        facts.extend(wire.facts)
        problems.extend(wire.problems)
        wire.add_to(counts)
        most = max([len(wires[name][field]) for field in sorted(wires[name])])
        for turn in range(1, most):
            other = _Wire(start + name, wires[name], turn, table, visit)
            for fact in other.facts:
                fact["unseen"] = turn
                if not [one for one in wire.facts if _is_alike(one, fact)]:
                    facts.append(fact)
    for kind in _COUNTED:
        if counts[kind]:
            total = readings.measure("wires_" + kind, "", {"fact": "wires_" + kind})
            total["number"], total["unit"] = (counts[kind], 1), "1"
            facts.append(total)
    return facts, problems


def _is_alike(one: Measure, other: Measure) -> bool:
    return (one["of"], one["number"], one["word"]) == (other["of"], other["number"], other["word"])


class _Wire:
    """A wire or a bunch of them, of one turn's values: those that hold, or those beside them."""

    def __init__(
        self, path: str, values: Values, turn: int, table: WireTable, visit: VisitFacts
    ) -> None:
        self.facts: list[Measure] = []
        self.problems: list[Problem] = []
        self._path = path
        self._table = table
        self._volts = _HALF if visit["car"].get("volts") == "6" else _FULL
        self._values: dict[str, Json] = {}
        for name in sorted(values):
            self._values[name] = values[name][turn if turn < len(values[name]) else 0]
        self._figures: dict[str, Exact] = {}
        for reading in table["readings"]:
            if reading["id"] in self._values:
                self._read(reading["id"])
        self._circuit = self._circuit_of()
        self._gauge = self._thinnest()
        self._state = self._word("state")
        self.name = self._called()
        self._work_out()

    def _word(self, field: str) -> str:
        value = self._values.get(field)
        return trimmed(value) if isinstance(value, str) else ""

    def _read(self, field: str) -> None:
        for reading in self._table["readings"]:
            if reading["id"] == field:
                checked = readings.measure(field, "", {"fact": "wire_" + field})
                checked["path"] = self._path + "/" + field
                wrong = readings.check(reading, checked, self._values[field])
                if wrong is not None:
                    self.problems.append(wrong)
                elif checked["number"] is not None:
                    self._figures[field] = checked["number"]

    def _circuit_of(self) -> Circuit | None:
        for circuit in self._table["circuits"]:
            if circuit["id"] == self._word("circuit"):
                return circuit
        return None

    def _kind(self) -> str:
        return self._circuit["kind"] if self._circuit is not None else "feed"

    def _thinnest(self) -> Gauge | None:
        """Of a bunch of several sizes the worst: the thinnest, in whichever field it was typed."""
        one, other = self._gauge_of("gauge"), self._gauge_of("thickest")
        if one is None or other is None:
            return one or other
        return other if exact.less(_figure(other["mm2"]), _figure(one["mm2"])) else one

    def _gauge_of(self, field: str) -> Gauge | None:
        """The table's row: of a size between two the thinner; None for what nobody can read."""
        value = self._values.get(field)
        if not isinstance(value, dict):
            return None
        text = value.get("typed")
        text = trimmed(text) if isinstance(text, str) else ""
        size = exact.parse(typed.number(text)) if value.get("unit") == "mm2" else awg(text)
        found = None
        for row in self._table["gauges"]:
            if value.get("unit") == "mm2":
                fits = size is not None and not exact.less(size, _figure(row["mm2"]))
            else:
                fits = size is not None and not exact.less(_figure(row["n"]), size)
            if not fits:
                break
            found = row
        if found is None:
            args: dict[str, SaidArgument] = {"name": {"fact": "wire_" + field}, "typed": text}
            path = self._path + "/" + field
            self.problems.append(readings.problem("unreadable", "unreadable-number", args, path))
        return found

    def _called(self) -> SaidArgument:
        """Fuel pump, 14 AWG; 12 wires, firewall."""
        parts: list[SaidArgument] = []
        if self._values.get("kind") == "bunch":
            args: dict[str, SaidArgument] = {"count": self.count()}
            parts = [{"said": said("wire-bunch", args)}]
            parts.append(_either(self._word("where"), "where", self._table["spots"]))
        else:
            known = [circuit["id"] for circuit in self._table["circuits"]]
            parts.append(_either(self._word("circuit"), "circuit", known) or term("wire-one"))
        sizes: list[SaidArgument] = []
        for field in ("gauge", "thickest"):
            value = self._values.get(field)
            if isinstance(value, dict) and isinstance(value.get("typed"), str):
                name = "wire-mm2" if value.get("unit") == "mm2" else "wire-awg"
                size: SaidArgument = {"said": said(name, {"size": str(value["typed"])})}
                if size not in sizes:
                    sizes.append(size)
        if self._gauge is not None and len(sizes) > 1:
            sizes = [{"said": said("wire-sizes", {"thin": sizes[0], "thick": sizes[1]})}]
        if self._gauge is not None:
            parts.extend(sizes)
        parts = [part for part in parts if part]
        if len(parts) == 1:
            return parts[0]
        return {"said": said("at", {"name": parts[0], "place": parts[1]})}

    def count(self) -> int:
        """How many wires it is; one where nobody counted."""
        number = self._figures.get("count", exact.ONE)
        return max(number[0] // number[1], 1)

    def _fact(self, name: str, number: Exact | None, unit: str, word: str | None = None) -> None:
        of = "wire_" + name
        measure = readings.measure(of, self._path.split("/")[-1], {"fact": of})
        measure["number"], measure["unit"], measure["word"] = number, unit, word
        measure["called"] = self.name
        if word is not None:
            measure["shown"] = {"term": readings.word_id(of, word)}
        if name != "risk":
            args: dict[str, SaidArgument] = {"name": {"fact": of}, "place": self.name}
            measure["called"] = {"said": said("at", args)}
        self.facts.append(measure)

    def _work_out(self) -> None:
        gauge, load = self._gauge, self._figures.get("load")
        alone = drop = fuse = None
        if gauge is not None:
            alone = _figure(gauge["alone"])
            self._fact("bears", _figure(gauge["bears"]), "A")
            self._fact("alone", alone, "A")
            if self._kind() != "cable":
                self._fact("fuse_most", self._fuse(alone, False), "A")
            drop = self._drop(gauge, load)
            self._heat(gauge)
        if load is not None:
            fuse = self._fuse(exact.multiply(load, _figure(self._table["fuse_over_load"])), True)
        if fuse is not None and self._kind() != "cable":
            if alone is None or not exact.less(alone, fuse):
                self._fact("fuse", fuse, "A")
        self.risk = self._risk(alone, load, fuse, drop)
        if self.risk:
            self._fact("risk", None, "", self.risk)

    def _fuse(self, current: Exact, at_least: bool) -> Exact | None:
        """The smallest usual fuse of at least that current, or the largest of at most that."""
        found = None
        for text in self._table["fuses"]:
            rating = _figure(text)
            if at_least and not exact.less(rating, current):
                return rating
            if not at_least and not exact.less(current, rating):
                found = rating
        return found

    def _ohms(self, gauge: Gauge, km: Exact) -> Exact:
        per_km = exact.divide(_figure(gauge["ohm_per_1000ft"]), _THOUSAND_FEET)
        return exact.multiply(per_km, km)

    def _drop(self, gauge: Gauge, load: Exact | None) -> Exact | None:
        length = self._figures.get("length")
        if load is None or length is None:
            return None
        drop = exact.multiply(self._ohms(gauge, length), load)
        self._fact("drop", drop, "V")
        hotter = exact.add(_COPPER, _figure(self._table["hot_degc"]))
        self._fact("drop_hot", exact.multiply(drop, exact.divide(hotter, _AT_20)), "V")
        return drop

    def _heat(self, gauge: Gauge) -> None:
        """What a short draws through a wire that no fuse protects, and when its insulation runs."""
        if self._word("fuse") != "none" and self._kind() != "cable":
            return
        short = self._table["short"]
        length = self._figures.get("length") or units.to_base(_figure(short["length_m"]), "m")
        ohms = exact.add(_figure(short["battery_ohm"]), self._ohms(gauge, length))
        current = exact.divide(exact.multiply(_figure(short["volts"]), self._volts), ohms)
        # two digits: battery, contact and length are known no better
        self._fact("short", exact.significant(current, 2), "A")
        bears = exact.multiply(_figure(self._table["adiabatic"]), _figure(gauge["mm2"]))
        # (bears / current) squared are the seconds; not reduced, since only their size counts
        above, below = bears[0] * current[1], bears[1] * current[0]
        for word, most in _HEATS:
            if above * above <= most * below * below:
                self._fact("heat", None, "", word)
                return

    def _risk(
        self, alone: Exact | None, load: Exact | None, fuse: Exact | None, drop: Exact | None
    ) -> str:
        """The gravest that is to be said of it; "" for nothing."""
        kind, state, rating = self._kind(), self._state, self._figures.get("rating")
        is_open, is_cable = state in _OPEN, kind == "cable"
        is_unfused = self._word("fuse") == "none" and not is_cable and kind != "signal"
        if is_open and (is_unfused or is_cable or self._word("near") == "fuel"):
            return "fire"
        if state == "nibbled" and is_cable:
            return "cable"
        if is_unfused:
            return "unfused"
        if alone is not None and not is_cable:
            if rating is not None and exact.less(alone, rating):
                return "overfused"
            if load is not None and exact.less(alone, load):
                return "overload"
        if is_open and kind == "safety":
            return "safety"
        if state in _DAMAGED:
            return state
        if alone is not None and fuse is not None and not is_cable and exact.less(alone, fuse):
            return "thin"
        return "drop" if drop is not None and self._loses_too_much(drop) else ""

    def _loses_too_much(self, drop: Exact) -> bool:
        allowed = self._table["drop"]
        lasts = self._circuit is None or self._circuit.get("intermittent") is None
        text = allowed["continuous"] if lasts else allowed["intermittent"]
        return exact.less(exact.multiply(_figure(text), self._volts), drop)

    def add_to(self, counts: dict[str, int]) -> None:
        """Count it for the bill: the wires to mend, those that take more, and fuses to add."""
        number, kind = self.count(), self._kind()
        if self.risk and self.risk not in _FIRMLY:
            counts["all"] += number
            if self._circuit is not None and kind in ("cable", "feed"):
                counts["feed"] += number
            if kind == "safety":
                counts["safety"] += number
        is_unfused = self._word("fuse") == "none" and kind == "feed"
        if is_unfused or self.risk == "overfused":
            counts["fuse"] += number


def _figure(text: str) -> Exact:
    """A figure of the table; the loader has seen that it is one."""
    return exact.figure(text) or exact.ZERO


def _either(text: str, kind: str, known: list[str]) -> SaidArgument:
    """A word of the list by its message, anything else as it was typed."""
    return term("wire-" + kind + "-" + text) if text in known else text


def awg(text: str) -> Exact | None:
    """The number of an American wire gauge: 14; 1/0 and 0 are 0, 2/0 and 00 are -1."""
    if text.endswith("/0"):
        text = text[:-2]
        return (1 - int(text), 1) if all_digits(text) and len(text) == 1 else None
    if not all_digits(text) or len(text) > 4:
        return None
    if text == "0" * len(text):
        return (1 - len(text), 1)
    return (int(text), 1)
