"""What happens in each vector of protocol_vectors.json: who holds what, and what befalls it."""

from __future__ import annotations

import base64

from bradawl.common.device_keys import DeviceKey
from tests.log.server import DEVICE, OTHER, OTHER_KEY
from tests.log.sync.reference import JSON, id_of
from tests.log.writer import Writer

SERVER_MS = 1_764_052_800_000
DAY_MS = 86_400_000
EARLIER_RUN, RUN = "4d" * 8, "5e" * 8
NEXT_KEY = DeviceKey.derived(b"the phone's next key")
# three by three pixels, red and blue; the third is no photo at all
PHOTOS = [
    (
        "image/png",
        base64.b64decode(
            "iVBORw0KGgoAAAANSUhEUgAAAAMAAAADCAIAAADZSiLoAAAAEElEQVR4nGP8zwAFTAyYLAAdWwEFNX6V"
            "DAAAAABJRU5ErkJggg=="
        ),
    ),
    (
        "image/png",
        base64.b64decode(
            "iVBORw0KGgoAAAANSUhEUgAAAAMAAAADCAIAAADZSiLoAAAAF0lEQVR4nGNkYPjPwMDAwMDAxAADCBYA"
            "G10BBdmz9y8AAAAASUVORK5CYII="
        ),
    ),
    ("image/jpeg", b"no photo"),
]


class Keys:
    """Keys of the server's own chains, the same in every run."""

    def __init__(self) -> None:
        self._next = 0

    def rewind(self) -> None:
        self._next = 0

    def take(self) -> DeviceKey:
        self._next += 1
        return DeviceKey.derived(b"the server's key %d" % self._next)


SHOP_KEY = Keys()


def _own(count: int = 5) -> Writer:
    """The phone's own events."""
    writer = Writer()
    writer.put("about/bundle", "0" * 64)
    writer.put("items/brakes.front-pads/grade", {"grade": "minor"})
    writer.put("items/brakes.front-pads/readings/pad/front-left", {"typed": "2,5", "unit": "mm"})
    before = id_of(writer.events[1])
    writer.put("items/brakes.front-pads/grade", {"grade": "major"}, [before])
    writer.put("items/brakes.front-pads/note", 'Quotes " and \\, é, \u2028, 😀, half \ud800')
    del writer.events[count:]
    return writer


def _others(count: int = 3) -> Writer:
    """Events of another device in the same visit."""
    writer = Writer(OTHER_KEY, ms=1_764_052_700_000)
    writer.put("about/place", "under a roof")
    writer.put("items/brakes.front-pads/choice", "sound")
    writer.put("about/place", None, [id_of(writer.events[0])])
    del writer.events[count:]
    return writer


def _order_to_erase() -> JSON:
    """The shop's order about the others' first event."""
    event = _others().events[0]
    return {"put": event["put"], "commit": event["commit"]}


def _poisoned() -> Writer:
    """The others' events, and one that is stamped years ahead."""
    writer = _others()
    writer.ms += 3_650 * DAY_MS
    writer.put("about/place", "poison")
    return writer


def _another_life(writer: Writer, count: int) -> Writer:
    for number in range(count):
        writer.put(f"items/rust.sills/note/{number}", "another life")
    return writer


def copies() -> dict[str, Writer]:
    """Chains by name. The phone holds `own` and `others`; the server may hold other copies."""
    return {
        "own": _own(),
        "others": _others(),
        "others poisoned": _poisoned(),
        "own, another life from 2": _another_life(_own(2), 2),
        "own, another life from 5": _another_life(_own(5), 2),
        "own, another life": _another_life(_own(0), 3),
        "others, another life from 1": _another_life(_others(1), 3),
    }


def _server(
    *chains: tuple[str, int],
    photos: tuple[int, ...] = (),
    shop: tuple[JSON, ...] = (),
    damaged: str = "",
) -> JSON:
    return {
        "chains": list(chains),
        "photos": list(photos),
        "damaged": damaged,
        "shop": [[("shop", path, value) for path, value in puts.items()] for puts in shop],
    }


PLAIN: JSON = {
    "own": 0, "acknowledged": 0, "others": 0, "unsigned": 0, "photos": [], "held": [],
    "server": _server(), "paired": True, "cut": {}, "batch": 1000, "run": RUN,
}  # fmt: skip
SOME = {"own": 5, "acknowledged": 2, "server": _server(("own", 2))}
ALL = {"own": 5, "acknowledged": 5}


def scenarios() -> list[JSON]:
    """Start of the phone, state of the server, and what befalls the round.

    Of `own` events `acknowledged` are, `others` are held, the last `unsigned` of them without the
    signature that ended them; `photos` by number, `held` those the
    phone thinks held. `cut` kills the exchange of that number (from 0), before or after the
    server acts, or changes a value in its answer on the way ("damage").
    """
    rows = [*_sending(), *_set_back(), *_fetching(), *_forks(), *_bringing(), *_photos()]
    return [{**PLAIN, **change, "name": name} for name, change in rows]


def _sending() -> list[tuple[str, JSON]]:
    return [
        ("nothing to do", {}),
        ("the first events go in one batch", {"own": 5}),
        ("only what is not acknowledged goes", SOME),
        ("a long log goes in several batches", {"own": 5, "batch": 2}),
        (
            "an answer that was lost is asked for again and changes nothing",
            {"own": 5, "acknowledged": 2, "server": _server(("own", 5))},
        ),
        ("no answer leaves everything as it was", {**SOME, "cut": {"0": "before"}}),
        (
            "an answer cut off after the server acted leaves everything as it was",
            {**SOME, "cut": {"0": "after"}},
        ),
        (
            "a cut between two batches keeps what was acknowledged",
            {"own": 5, "batch": 2, "cut": {"1": "before"}},
        ),
        ("a phone that is not paired keeps everything", {"own": 3, "paired": False}),
    ]


def _set_back() -> list[tuple[str, JSON]]:
    return [
        (
            "a server that was set back is sent what it lacks, photos included",
            {"run": EARLIER_RUN, "own": 5, "acknowledged": 4, "server": _server(("own", 2)),
             "photos": [0], "held": [0]},
        ),
        (
            "a set-back server is noticed by pull when nothing is new",
            {**ALL, "run": EARLIER_RUN, "server": _server(("own", 2)), "photos": [0, 1],
             "held": [0, 1]},
        ),
        (
            "a server that has nothing any more is sent everything",
            {**ALL, "run": EARLIER_RUN},
        ),
        (
            "what is damaged of the own chain is sent again",
            {**ALL, "batch": 2, "server": _server(("own", 2), ("own", 4), ("own", 5),
                                                  damaged=DEVICE)},
        ),
        (
            "a phone that was set back takes in its own later events",
            {"own": 2, "acknowledged": 2, "server": _server(("own", 5))},
        ),
    ]  # fmt: skip


def _fetching() -> list[tuple[str, JSON]]:
    return [
        ("others' events arrive", {"server": _server(("others", 3))}),
        (
            "others' events arrive from where the phone is",
            {"own": 2, "others": 1, "server": _server(("others", 3))},
        ),
        (
            "an event whose value was erased arrives, its chain whole",
            {"server": _server(("others", 3), shop=({f"erase/{OTHER}/1": _order_to_erase()},))},
        ),
        (
            "a stamp years ahead raises no clock, and the server's order about it arrives",
            {"server": _server(("others poisoned", 4))},
        ),
        (
            "the server's own chain arrives and is known to be the shop's",
            {"server": _server(("others", 3), shop=(
                {"devices/" + OTHER: {"name": "Phone two"}},
                {f"fence/{OTHER}/2": {"to_seq": 2, "why": "a mistake"}},
            ))},
        ),
        (
            "a batch that was changed on the way is not kept, and keeps back nothing else",
            {"server": _server(("others", 3), shop=({"devices/" + DEVICE: {"name": "One"}},)),
             "photos": [0], "cut": {"0": "damage"}},
        ),
        (
            "a pull without answer leaves what was acknowledged",
            {"own": 2, "server": _server(("others", 3)), "cut": {"1": "before"}},
        ),
    ]  # fmt: skip


def _forks() -> list[tuple[str, JSON]]:
    return [
        (
            "a forked phone goes on under a new number, its entries come along",
            {"own": 5, "acknowledged": 2, "server": _server(("own, another life from 2", 4))},
        ),
        (
            "a forked phone that shares nothing goes on under a new number",
            {"own": 5, "acknowledged": 0, "server": _server(("own, another life", 3))},
        ),
        (
            "a fork among acknowledged events is noticed by pull",
            {"own": 4, "acknowledged": 4, "server": _server(("own, another life from 2", 4))},
        ),
        (
            "an answer lost after going on under a new number is asked for again",
            {"own": 5, "acknowledged": 2, "server": _server(("own, another life from 2", 4)),
             "cut": {"1": "after"}},
        ),
        (
            "another copy of somebody's chain is left aside, then the server's is taken in",
            {"own": 1, "others": 3, "server": _server(("others, another life from 1", 4))},
        ),
        (
            "a copy that could not be left aside is kept",
            {"others": 3, "server": _server(("others, another life from 1", 4)),
             "cut": {"1": "before"}},
        ),
    ]  # fmt: skip


def _bringing() -> list[tuple[str, JSON]]:
    return [
        (
            "what the server lacks of another device is brought",
            {"own": 1, "others": 3, "server": _server(("others", 1))},
        ),
        (
            "a server that has lost a device is brought all of it",
            {"others": 3, "photos": [0]},
        ),
        (
            "what is damaged of another device's chain is brought again",
            {"others": 3, "server": _server(("others", 2), ("others", 3), damaged=OTHER)},
        ),
        (
            "a longer copy that turns out to be another is left aside",
            {"others": 3, "server": _server(("others, another life from 1", 2))},
        ),
        (
            "what no signature ends any more is brought on a chain of its own",
            {"others": 3, "unsigned": 1},
        ),
        (
            "another copy's end that no signature ends is kept on a chain of its own",
            {"others": 3, "unsigned": 1, "server": _server(("others, another life from 1", 4))},
        ),
        (
            "both records were set back: a forked phone brings what it has of others too",
            {"own": 5, "acknowledged": 3, "others": 3, "run": EARLIER_RUN,
             "server": _server(("own, another life from 2", 3), ("others", 2))},
        ),
    ]  # fmt: skip


def _photos() -> list[tuple[str, JSON]]:
    return [
        (
            "a server started anew is asked about every photo and sent what it lacks",
            {"run": EARLIER_RUN, "own": 1, "acknowledged": 1, "photos": [0, 1], "held": [0, 1],
             "server": _server(("own", 1), photos=(0,))},
        ),
        (
            "photos that are missing go, those that are held do not",
            {"own": 1, "photos": [0, 1], "server": _server(photos=(1,))},
        ),
        ("one refused photo keeps back no other", {"own": 1, "photos": [2, 0]}),
        (
            "a photo cut off after the server kept it is asked about again",
            {"own": 1, "photos": [0, 1], "cut": {"3": "after"}},
        ),
        (
            "a photo held in the end is not sent again",
            {"own": 1, "acknowledged": 1, "photos": [0],
             "server": _server(("own", 1), photos=(0,))},
        ),
    ]  # fmt: skip
