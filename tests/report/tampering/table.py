"""All ways to doctor a report that are tried, by kind; and what is none and must stay good."""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterable

from bradawl.report.checking.verification import Kind
from tests.amount import amount
from tests.report.tampering.attacker import signed
from tests.report.tampering.keys import signer
from tests.report.tampering.signed_by_others import BY_OTHERS, HONEST_OTHERS
from tests.report.tampering.tampering import Tampering
from tests.report.tampering.with_an_own_key import LATER, RECEIVED, REISSUED, SHOP
from tests.report.tampering.without_a_key import ADDITIONS, BYTES, ENVELOPES

__all__ = ["HONEST", "KINDS", "SHOP", "TABLE", "Tampering", "some"]

KINDS: dict[str, list[Tampering]] = {
    "bytes": BYTES,
    "additions that nobody signs": ADDITIONS,
    "envelopes of signatures": ENVELOPES,
    "issued anew with a key of one's own": REISSUED,
    "a second signature": LATER,
    "a second signature by a program of others": BY_OTHERS,
}
TABLE: dict[str, Tampering] = {one.name: one for kind in KINDS.values() for one in kind}


def _received(pdf: bytes) -> bytes:
    return signed(pdf, signer("Rita Farnwell"), "Second-signature", reason=RECEIVED)


def _received_twice(pdf: bytes) -> bytes:
    return signed(_received(pdf), signer("Rolf Farnwell"), "Third-signature", reason=RECEIVED)


_GENUINE: Kind = "genuine"
#: What a buyer and a partner may do with programs and keys of their own.
HONEST = [
    Tampering("nothing", lambda pdf: pdf, _GENUINE, _GENUINE),
    Tampering("signed later by a buyer", _received, _GENUINE, _GENUINE),
    Tampering("signed later by two", _received_twice, _GENUINE, _GENUINE),
    *HONEST_OTHERS,
]


def some(ways: Iterable[Tampering], *, each: int, seed: int) -> list[Tampering]:
    """Of every kind and every reason that is told `each`, drawn by the seed; in `make proof` all.

    Whoever adds a way adds its kind and its reason: none of them is left out of any run.
    """
    kind_of = {one.name: kind for kind, own in KINDS.items() for one in own}
    alike: defaultdict[tuple[str, str, str], list[Tampering]] = defaultdict(list)
    for one in ways:
        alike[kind_of.get(one.name, ""), one.says, one.expected].append(one)
    chance = random.Random(seed)
    return [
        one
        for group in alike.values()
        for one in chance.sample(group, min(amount(len(group), short=each), len(group)))
    ]
