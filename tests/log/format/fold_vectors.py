"""The cases of event_vectors.json about what stands: folds, orders, seal leaves."""

from __future__ import annotations

from typing import Any

from tests.log.sync import reference
from tests.log.sync.reference import JSON, Chain, Key

MS = 1_764_052_703_000
DAY_MS = 86_400_000
SCOPE = "inspection/" + "a1" * 16
CAR = "car/" + "c4" * 16
SHOP = "shop"
# RFC 6979, A.2.5: the private key of its P-256 examples
RFC_KEY = Key(0xC9AFA9D845BA75166B5C215767B1D6934E50C3DB36E89B127B8A622B120F6721)
ALICE, BOB, EVE, DESK, OLD_DESK = (Key(number) for number in range(11, 16))
GRADE = "items/brakes.front-pads/grade"
NOTE = "items/brakes.front-pads/note"

NO_ORDERS: JSON = {"clock": {}, "fence": {}, "erase": []}
YEARS_MS = 3_650 * DAY_MS


class Story:
    """Several devices that write into one inspection; events as the fold reads them."""

    def __init__(self) -> None:
        self.chains = {key.device: Chain(key, SCOPE, MS) for key in (ALICE, BOB, EVE)}
        self.events: list[JSON] = []

    def put(
        self,
        key: reference.Key,
        put: str,
        value: Any,
        over: tuple[JSON, ...] = (),
        ms: int | None = None,
    ) -> JSON:
        event = self.chains[key.device].put(put, value, list(over), ms=ms)
        read = reference.plain(event, value)
        self.events.append(read)
        return read


def _case(name: str, story: Story, orders: JSON | None = None) -> JSON:
    ordered = reference.obeyed(story.events, orders or NO_ORDERS)
    leaf_list = reference.leaves(ordered)
    return {
        "name": name,
        "events": list(story.events),
        "orders": orders,
        "cells": reference.fold(ordered),
        "live": reference.live_ids(ordered),
        "leaves": leaf_list,
        "leaves_hash": reference.sha256_hex(reference.canonical(leaf_list)),
    }


def folds() -> list[JSON]:
    return [*_replaced(), *_clocks(), *_twins(), *_odd(), *_fences()]


def _replaced() -> list[JSON]:
    cases = []
    story = Story()
    first = story.put(ALICE, GRADE, {"grade": "minor"})
    story.put(BOB, GRADE, {"grade": "major"}, (first,))
    story.put(ALICE, NOTE, "seen")
    cases.append(_case("a later value that names the earlier replaces it", story))

    story = Story()
    first = story.put(ALICE, GRADE, {"grade": "minor"}, ms=MS + 9_000_000)
    story.put(BOB, GRADE, {"grade": "major"}, (first,), ms=MS + 1_000)
    cases.append(_case("naming replaces even when the stamp is earlier", story))

    story = Story()
    story.put(ALICE, GRADE, {"grade": "minor"}, ms=MS + 1)
    story.put(BOB, GRADE, {"grade": "major"}, ms=MS + 3)
    story.put(EVE, GRADE, {"grade": "none"}, ms=MS + 2)
    cases.append(_case("values written unseen stand beside the newest", story))

    story = Story()
    story.put(ALICE, GRADE, {"grade": "major"}, ms=MS + 1)
    story.put(BOB, GRADE, {"grade": "major"}, ms=MS + 2)
    cases.append(_case("two who wrote the same do not disagree", story))

    story = Story()
    seen = [story.put(key, GRADE, {"grade": key.device[:3]}) for key in (ALICE, BOB, EVE)]
    story.put(ALICE, GRADE, {"grade": "settled"}, tuple(seen))
    cases.append(_case("naming all of them settles a conflict", story))

    story = Story()
    first = story.put(ALICE, GRADE, True)
    story.put(BOB, GRADE, None, (first,))
    cases.append(_case("taken back: the path stays, with no value", story))

    story = Story()
    story.put(ALICE, GRADE, True, ms=MS + 1)
    story.put(BOB, GRADE, 1, ms=MS + 2)
    cases.append(_case("true and one are different values", story))

    story = Story()
    first = story.put(ALICE, GRADE, "a")
    story.put(BOB, NOTE, "b", (first,))
    cases.append(_case("an event at another path replaces nothing", story))

    story = Story()
    story.put(ALICE, NOTE, "half \ud800 a letter")
    cases.append(_case("half a character is read as U+FFFD", story))
    return cases


def _clocks() -> list[JSON]:
    cases = []
    story = Story()
    story.put(EVE, GRADE, "poison", ms=MS + YEARS_MS)
    story.put(ALICE, GRADE, "unseen, written later", ms=MS + 60_000)
    cases.append(_case("a stamp years ahead wins while nobody has corrected it", story))
    clock = {"clock": {EVE.device: [[1, 1, MS + 5_000]]}, "fence": {}, "erase": []}
    cases.append(_case("a corrected clock ranks by when the event was received", story, clock))
    other = {"clock": {EVE.device: [[2, 9, MS + 5_000]]}, "fence": {}, "erase": []}
    cases.append(_case("a correction of other events changes nothing", story, other))

    story = Story()
    for number in range(4):
        story.put(EVE, f"items/x.y/note{number % 2}", number, ms=MS + YEARS_MS + number)
    both = {"clock": {EVE.device: [[1, 2, MS], [2, 4, MS + 7]]}, "fence": {}, "erase": []}
    cases.append(
        _case("corrected events keep their order; the last correction counts", story, both)
    )

    story = Story()
    behind = story.put(BOB, GRADE, "from a clock of 1970", ms=5_000)
    story.put(ALICE, GRADE, "seen both", (behind,))
    cases.append(_case("a stamp decades behind is replaced like any other", story))
    return cases


def _written_anew(story: Story, event: JSON, key: reference.Key) -> JSON:
    """The same entry on another device's chain, as after a fork."""
    anew = {**event, "device": key.device, "at": event["at"][:22] + key.device}
    story.events.append(anew)
    return anew


def _twins() -> list[JSON]:
    """An entry that was written anew is the same entry: its commitment is the same."""
    cases = []
    story = Story()
    first = story.put(ALICE, GRADE, "before the fork")
    story.put(BOB, GRADE, "replaced it", (first,))
    _written_anew(story, first, EVE)
    cases.append(_case("what was replaced before a fork stays replaced when written anew", story))

    story = Story()
    first = story.put(ALICE, GRADE, "first")
    twin = _written_anew(story, first, EVE)
    cases.append(_case("an entry and its twin do not disagree, both are named next", story))
    story.put(BOB, GRADE, "replaces", (twin,))
    cases.append(_case("naming one of them replaces both", story))

    story = Story()
    first = story.put(ALICE, GRADE, "first")
    second = story.put(ALICE, GRADE, "second", (first,))
    _written_anew(story, first, EVE)
    twin = _written_anew(story, second, EVE)
    twin["over"] = [f"{first['at'][:22]}{EVE.device}~{first['commit']}"]
    cases.append(_case("a chain of two written anew holds its second", story))
    return cases


def _odd() -> list[JSON]:
    cases = []
    # one device can name its own next event, since it chooses the salts: a circle, all named
    story = Story()
    first = story.put(EVE, GRADE, "first")
    second = story.put(EVE, GRADE, "second", (first,))
    first["over"] = [reference.id_of(second)]
    cases.append(_case("where none is live the highest-ranked of all holds", story))

    story = Story()
    first = story.put(ALICE, GRADE, "a")
    first["over"] = [reference.id_of(first)]
    cases.append(_case("an event that names itself stays alive", story))

    story = Story()
    first = story.put(ALICE, GRADE, "not here yet")
    story.put(BOB, GRADE, "b", (first,))
    story.events.pop(0)
    cases.append(_case("what replaces something that has not arrived stands", story))

    story = Story()
    victim = story.put(ALICE, GRADE, "honest")
    story.events[-1]["over"] = []
    wrong = f"{victim['at']}~{reference.b64u(bytes(32))}"
    guess = story.put(EVE, GRADE, "guess", ms=MS - 5)
    guess["over"] = [wrong]
    cases.append(_case("a stamp alone names nothing: the commitment cannot be guessed", story))

    story = Story()
    _erase(story.put(ALICE, "about/seller/name", "Jo"))
    cases.append(_case("an erased event reads as nothing, its leaf stays", story))
    story.put(BOB, "about/seller/name", "Al", ms=MS - 5)
    cases.append(_case("what stands beside an erased event counts", story))

    story = Story()
    for key in (ALICE, BOB):
        _erase(story.put(key, "about/seller/name", "Jo"))
    cases.append(_case("two erased events do not disagree", story))
    return cases


def _erase(event: JSON) -> None:
    for field in ("salt", "value"):
        del event[field]
    event.update(value=None, salt="", erased=True)


def _fences() -> list[JSON]:
    cases = []
    story = Story()
    honest = story.put(ALICE, GRADE, "honest")
    lie = story.put(EVE, GRADE, "lie", (honest,))
    story.put(EVE, NOTE, "alone")
    fence = {"clock": {}, "fence": {EVE.device: [[1, None, "stolen phone"]]}, "erase": []}
    cases.append(_case("what a fenced event had replaced stands again", story, fence))
    part = {"clock": {}, "fence": {EVE.device: [[2, 2, ""]]}, "erase": []}
    cases.append(_case("a fence from one event to another leaves the rest", story, part))

    after = story.put(BOB, GRADE, "after", (honest, lie))
    cases.append(_case("whoever writes behind a fence names both", story, fence))
    cases.append(_case("so lifting the fence brings nothing back", story))
    story.put(ALICE, GRADE, "settled", (after,))
    cases.append(_case("fenced, replaced and settled", story, fence))

    story = Story()
    lie = story.put(EVE, GRADE, "lie", ms=MS + YEARS_MS)
    story.put(ALICE, GRADE, "saw the lie alone", (lie,))
    story.put(BOB, GRADE, "saw nothing", ms=MS + 1)
    cases.append(_case("an event that names a fenced one counts as before", story, fence))
    return cases


def orders() -> list[JSON]:
    """What the shop ordered, out of events of scope `shop`."""
    desk = Chain(DESK, SHOP, MS)
    before = Chain(OLD_DESK, SHOP, MS + YEARS_MS)
    eve = Chain(EVE, SHOP, MS + YEARS_MS)
    events: list[JSON] = []

    def put(chain: Chain, path: str, value: Any, *over: JSON) -> JSON:
        events.append(reference.plain(chain.put(path, value, list(over)), value))
        return events[-1]

    alice, bob = ALICE.device, BOB.device
    erasable = {"put": "about/seller/name", "commit": reference.b64u(bytes(32))}
    put(desk, f"clock/{bob}/12", {"to_seq": 14, "received_ms": MS})
    put(desk, f"clock/{bob}/9", {"to_seq": 10, "received_ms": MS + 1})
    lifted = put(desk, f"fence/{alice}/3", {"to_seq": 5, "why": "a mistake"})
    put(desk, f"fence/{alice}/3", None, lifted)
    put(desk, f"fence/{EVE.device}/1", {"to_seq": None, "why": "stolen phone"})
    put(desk, f"fence/{EVE.device}/2", {"to_seq": 7})
    ordered = put(desk, f"erase/{alice}/6", erasable)
    put(desk, f"erase/{alice}/7", {"put": GRADE, "commit": reference.b64u(bytes(32))})
    put(desk, f"devices/{alice}", {"name": "Phone one"})
    put(desk, f"clock/{bob}/x", {"to_seq": 14, "received_ms": MS})
    put(desk, f"clock/{bob}/20", {"to_seq": "14", "received_ms": MS})
    put(desk, f"clock/{bob}/21", {"to_seq": 30, "received_ms": True})
    put(desk, f"clock/{bob}/22", {"to_seq": 30, "received_ms": -1})
    put(desk, f"clock/{bob}/23", "soon")
    old = put(before, f"fence/{bob}/40", {"to_seq": 41, "why": "by an earlier chain"})
    put(desk, f"fence/{bob}/50", {"to_seq": 51, "why": "wrong numbers"})
    ours = {
        "clock": {bob: [[9, 10, MS + 1], [12, 14, MS]]},
        "fence": {
            bob: [[40, 41, "by an earlier chain"], [50, 51, "wrong numbers"]],
            EVE.device: [[1, None, "stolen phone"], [2, 7, ""]],
        },
        "erase": [{"device": alice, "seq": 6, **erasable, "at": ordered["at"]}],
    }
    # orders of a device that is not the shop's, and what it says of the shop's own
    put(eve, f"fence/{alice}/1", {"to_seq": None, "why": "hostile"})
    put(eve, f"clock/{alice}/1", {"to_seq": 99, "received_ms": 0})
    put(eve, f"erase/{alice}/1", erasable)
    put(eve, f"fence/{EVE.device}/1", None, events[4])
    put(eve, f"fence/{bob}/40", {"to_seq": None, "why": "hostile"}, old)
    shop = sorted([DESK.device, OLD_DESK.device])
    return [
        {"name": "nothing", "events": [], "shop": shop, "orders": NO_ORDERS},
        {"name": "orders, and others' that do not count", "events": events, "shop": shop,
         "orders": ours},
        {"name": "nobody is the shop", "events": events, "shop": [], "orders": NO_ORDERS},
    ]  # fmt: skip


def erasable() -> list[JSON]:
    """Whether a value at a path may be erased: personal data, never a grade or a reading."""
    yes = ["about/seller", "about/seller/name", "about/place", "about/inspector", NOTE,
           "items/a.b/text", "items/a.b/why", "items/a.b/note/2",
           "items/a.b/photos/" + "0" * 64, "media/" + "0" * 64, "notes/5e0c1a2b3d4f", "work/a/done",
           "plan/remedies/a", "trouble/a/tests/b", "car/plate", "own/1/caption",
           "work/a/b/done/5e0c1a2b3d4f", "ledger/5e0c1a2b3d4f", "parts/5e0c1a2b3d4f/where",
           "ledger/5e0c1a2b3d4f/photos/" + "0" * 64]  # fmt: skip
    no = [GRADE, "about/sellers", "about/bundle", "items/a.b", "items/a.b/readings/pad/fl",
          "items/a.b/grade/note", "media", "notes", "note", "seal/1", "car/year", "clock/x/1",
          "work/a/after/b/grade", "plan/choice/a", "device/continues", "ledger", "parts",
          "life/state"]  # fmt: skip
    return [{"path": path, "may": path in yes} for path in (*yes, *no)]


def kinds() -> list[JSON]:
    """What kind of entry stands at a path: a seal's leaves name it."""
    paths = [GRADE, NOTE, "items", "items/a.b", "items/a.b/choice", "items/a.b/why",
             "items/a.b/text", "items/a.b/readings/pad/fl", "items/a.b/photos/" + "0" * 64,
             "items/a.b/grade/note", "items/a.b/else", "media/" + "0" * 64, "notes/5e0c1a2b3d4f",
             "notes", "about/voice", "about/seller",
             "about/seller/name", "about/place", "about/inspector", "about/asking_price",
             "about/currency", "about/region", "about/started", "about/left_road",
             "about/sellers", "about", "car/vin", "car/plate", "car/name/2", "car/registration",
             "brief/budget", "brief/uses", "plan/remedies/a", "trouble/a/tests/b", "trouble/a",
             "work/a/done", "work/a/photos/" + "0" * 64, "work/a/after/b/grade",
             "work/a/after/b/readings/pad/fl", "work/a/after/b", "work/a/title",
             "items/a.b/wires/w1/note", "items/a.b/wires/w1/gauge", "items/a.b/wires",
             "work/a/b/done", "work/a/b/done/5e0c1a2b3d4f", "work/a/done/5e0c1a2b3d4f",
             "work/a/b/photos/" + "0" * 64, "work/a/b/after/c/grade", "work/a/b/after/c/choice",
             "work/a/b/after/c/wires/w1/gauge", "work/a/b/after/c/why", "work/a/b/after/c",
             "work/a/photos/done", "work/a/after/done/grade", "work/a/b/c/done", "work/a/b",
             "ledger/5e0c1a2b3d4f", "ledger/5e0c1a2b3d4f/photos/" + "0" * 64, "ledger",
             "life/state", "life", "parts/5e0c1a2b3d4f/quote_cents", "parts/5e0c1a2b3d4f/where",
             "parts/5e0c1a2b3d4f/vendor", "parts/5e0c1a2b3d4f/note", "parts/5e0c1a2b3d4f/reply",
             "parts/5e0c1a2b3d4f/number", "parts/5e0c1a2b3d4f", "parts/a/cents", "parts",
             "verdict/signed", "seal/1", "own/1/caption", "unheard_of", ""]  # fmt: skip
    return [{"path": path, "kind": reference.kind_of(path)} for path in paths]


def vectors() -> JSON:
    return {"folds": folds(), "orders": orders(), "erasable": erasable(), "kinds": kinds()}
