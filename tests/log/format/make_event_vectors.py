"""Writes event_vectors.json: what events, commitments, chains, signatures and folds come to.

`python -m tests.log.format.make_event_vectors`. Everything in it is made by
tests/log/sync/reference.py and by the packages that it uses; server, judge (on both engines) and
app are held against the file. README.md says what the parts are.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.log.format import fold_vectors
from tests.log.format.fold_vectors import (
    ALICE,
    BOB,
    CAR,
    EVE,
    GRADE,
    MS,
    NOTE,
    RFC_KEY,
    SCOPE,
    SHOP,
)
from tests.log.sync import reference
from tests.log.sync.reference import JSON, Chain

PATH = Path(__file__).with_name("event_vectors.json")


def nested(depth: int) -> Any:
    value: Any = 1
    for _ in range(depth):
        value = [value]
    return value


def value_texts() -> list[JSON]:
    values: list[tuple[str, Any]] = [
        ("null takes back", None),
        ("true", True),
        ("false", False),
        ("nought", 0),
        ("a negative integer", -17),
        ("the greatest integer", 2**53 - 1),
        ("the least integer", -(2**53) + 1),
        ("an empty text", ""),
        ("a text", "perforated"),
        ("letters beyond ASCII stay as they are", "läuft, “weich” \u2028 \u2029 \ufeff \uffff é ü"),
        ("letters beyond the first plane", "😀 𝄞 \U0010fffd"),
        ("controls with a short escape", "\b\t\n\f\r"),
        ("other controls in lower-case hex", "\x00\x01\x1f\x7f"),
        ("quotes and backslashes, no slash", '"quoted" \\ /'),
        ("a text that looks like an escape", "\\ud800"),
        ("half a character, high", "x\ud800y"),
        ("half a character, low", "\udc00"),
        ("two halves in the wrong order", "\udfff\ud800"),
        ("half a character before a whole one", "\ud83d😀"),
        ("half a character deep inside", {"a": ["\udbff", {"b": "\udc00\udc00"}]}),
        ("an empty list", []),
        ("an empty object", {}),
        ("a list", ["a", 1, True, None, [], {}]),
        ("keys in the order of their letters", {"b": 1, "a": 2, "B": 3, "": 4, "a1": 5, "~": 6}),
        ("keys with controls and quotes", {'"': 1, "\\": 2, "\n": 3, "\x7f": 4}),
        ("a reading", {"typed": "2,5", "unit": "mm"}),
        ("sixteen deep", nested(16)),
    ]
    return [
        {
            "name": name,
            "value": value,
            "text": reference.text_of(value),
            "shown": reference.shown(value),
        }
        for name, value in values
    ]


def refused_texts() -> list[JSON]:
    """Texts that no event may hold; `why` is the server's code for it."""
    rows = [
        ("no JSON", "perforated", "json"),
        ("nothing", "", "json"),
        ("two values", "1 2", "json"),
        ("an open list", "[1", "json"),
        ("not a number", "NaN", "json"),
        ("a raw control character", '"a\nb"', "json"),
        ("a fraction", "2.5", "float"),
        ("a whole number written as a fraction", "2.0", "float"),
        ("an exponent", "1e2", "float"),
        ("a fraction inside", '{"a":[0.5]}', "float"),
        ("2**53", "9007199254740992", "integer"),
        ("-2**53", "-9007199254740992", "integer"),
        ("an integer of thirty digits", "100000000000000000000000000000", "integer"),
        ("a key beyond ASCII", '{"schlüssel":1}', "key"),
        ("a key with half a character", '{"\\ud800":1}', "key"),
        ("seventeen deep", reference.text_of(nested(17)), "nesting"),
        ("far too deep", "[" * 5000 + "]" * 5000, "nesting"),
        ("a blank", '{"a": 1}', "canonical"),
        ("a blank at the end", "1 ", "canonical"),
        ("keys out of order", '{"b":1,"a":2}', "canonical"),
        ("a key twice", '{"a":1,"a":2}', "canonical"),
        ("a letter escaped that need not be", '"\\u0061"', "canonical"),
        ("a slash escaped", '"\\/"', "canonical"),
        ("a control in upper-case hex", '"\\u001F"', "canonical"),
        ("a newline by its number", '"\\u000a"', "canonical"),
        ("minus nought", "-0", "canonical"),
        ("half a character in upper case", '"\\uD800"', "json"),
        ("half a character in mixed case", '"\\udFfF"', "json"),
        ("a whole character as two escapes", '"\\ud83d\\ude00"', "canonical"),
        ("a whole character as two escapes after a half", '"\\ud800\\ud83d\\ude00"', "canonical"),
    ]
    return [{"name": name, "text": text, "why": why} for name, text, why in rows]


def commitments() -> list[JSON]:
    rows = []
    for number, value in enumerate([None, "", "Jo Seller, 555-0100", {"grade": "major"}, "\ud800"]):
        salt = bytes(range(number, number + 16)) if number else bytes(16)
        text = reference.text_of(value)
        rows.append(
            {"salt": reference.b64u(salt), "text": text, "commit": reference.commit_of(salt, text)}
        )
    return rows


def story() -> Chain:
    """A chain with every kind of scope and value, one event erased."""
    chain = Chain(ALICE, SCOPE, MS)
    chain.put("about/bundle", "0" * 64)
    first = chain.put(GRADE, {"grade": "minor", "why": "inner pad low"})
    chain.put("items/brakes.front-pads/readings/pad/front-left", {"typed": "2,5", "unit": "mm"})
    chain.put(GRADE, {"grade": "major"}, [first])
    chain.put(NOTE, 'Quotes " and \\, é, \u2028, 😀, tab\tend, half \ud800')
    chain.put("about/seller/name", "Jo Seller")
    chain.put("identity/vin", "INVENTED000000001", scope=CAR)
    chain.put("models/tried", [1, 2], scope=SHOP)
    chain.put(GRADE, None, [chain.events[3]])
    chain.events[5] = reference.erased(chain.events[5])
    return chain


def chains() -> list[JSON]:
    chain = story()
    batches = [chain.batch(), chain.batch(1, 4), chain.batch(5, 9), chain.batch(6, 6)]
    return [
        {
            "name": "nine events, the sixth erased",
            "events": chain.events,
            "canonical": [
                reference.canonical({name: event[name] for name in reference.HASHED})
                for event in chain.events
            ],
            "hashes": [reference.hash_of(event) for event in chain.events],
            "ids": [reference.id_of(event) for event in chain.events],
            "batches": batches,
        }
    ]


def refused_batches() -> list[JSON]:
    """Batches that nobody may take in, each with one thing wrong."""
    good = story().batch()
    other = Chain(BOB, SCOPE, MS)
    for event in story().events:
        other.put(event["put"], 1)

    def changed(index: int, **fields: Any) -> list[JSON]:
        events = [dict(event) for event in good["events"]]
        events[index].update(fields)
        return [
            {key: value for key, value in event.items() if value is not ...} for event in events
        ]

    late = good["events"][2]["at"]
    sent = good["events"]
    salt = reference.b64u(bytes(16))
    rows: list[tuple[str, str, JSON]] = [
        ("the value was changed", "chain", {"events": changed(1, value='{"grade":"none"}')}),
        ("the salt was changed", "chain", {"events": changed(1, salt=salt)}),
        ("the path was changed", "chain", {"events": changed(1, put="about/make")}),
        ("the scope was changed", "chain", {"events": changed(1, scope=CAR)}),
        ("what it replaces was changed", "chain", {"events": changed(3, over=[])}),
        ("an event is missing at the end", "chain", {"events": good["events"][:-1]}),
        ("an event is missing inside", "chain", {"events": sent[:2] + sent[3:]}),
        ("two events changed places", "event",
         {"events": [sent[0], sent[2], sent[1], *sent[3:]]}),
        ("the head is another", "chain", {"head": "0" * 64}),
        ("the commitment of an erased event was changed", "chain",
         {"events": changed(5, commit=reference.b64u(bytes(32)))}),
        ("a commitment beside a value that is not its own", "event",
         {"events": changed(1, commit=reference.b64u(bytes(32)))}),
        ("an erased event that still shows its value", "event",
         {"events": changed(5, value='"x"')}),
        ("a grade cannot be erased", "event",
         {"events": changed(1, value=..., salt=..., commit=story().events[1]["commit"])}),
        ("a stamp of another device", "event",
         {"events": changed(1, at=f"{MS + 1500:015d}-00000-{BOB.device}")}),
        ("a stamp that does not rise", "event", {"events": changed(3, at=late)}),
        ("a salt of fifteen bytes", "event",
         {"events": changed(1, salt=reference.b64u(bytes(15)))}),
        ("a salt with padding", "event", {"events": changed(1, salt=salt + "==")}),
        ("a salt with loose bits at its end", "event", {"events": changed(1, salt="A" * 21 + "B")}),
        ("a value with a fraction", "event", {"events": changed(1, value="2.5")}),
        ("a scope that there is not", "event", {"events": changed(1, scope="visit/" + "a1" * 16)}),
        ("a path with a capital", "event", {"events": changed(1, put="About/make")}),
        ("what it replaces is no id", "event", {"events": changed(3, over=[late])}),
        ("what it replaces is out of order", "event",
         {"events": changed(3, over=sorted(map(reference.id_of, story().events[:2]))[::-1])}),
        ("the signature is another's", "signature", {"signature": other.batch()["signature"]}),
        ("the signature is of an earlier event", "signature",
         {"signature": story().batch(1, 8)["signature"]}),
        ("no signature", "signature", {"signature": ""}),
        ("another device's key", "signature",
         {"key": BOB.public, "signature": BOB.sign(
             f"bradawl-head-2\n{ALICE.device}\n9\n{good['head']}")}),
        ("no key", "signature", {"key": ""}),
    ]  # fmt: skip
    return [
        {"name": name, "code": code, "batch": {**good, **change}} for name, code, change in rows
    ]


def devices() -> list[JSON]:
    return [{"key": key.public, "device": key.device} for key in (RFC_KEY, ALICE, BOB, EVE)]


def refused_keys() -> list[JSON]:
    point = reference.base64.urlsafe_b64decode(ALICE.public + "=")
    off = point[:-1] + bytes([point[-1] ^ 1])
    return [
        {"name": "nothing", "key": ""},
        {"name": "a compressed point", "key": reference.b64u(b"\x02" + point[1:33])},
        {"name": "padded", "key": ALICE.public + "="},
        {"name": "a byte too many", "key": reference.b64u(point + b"\x00")},
        {"name": "not on the curve", "key": reference.b64u(off)},
    ]


def signatures() -> list[JSON]:
    order = 0xFFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551
    text = story().batch()
    head = f"bradawl-head-2\n{ALICE.device}\n9\n{text['head']}"
    raw = reference.base64.urlsafe_b64decode(text["signature"] + "==")
    r, s = raw[:32], raw[32:]
    # RFC 6979, A.2.5, SHA-256, message "sample"; typed in from memory, and what cryptography makes
    sample = bytes.fromhex(
        "efd48b2aacb6a8fd1140dd9cd45e81d69d2c877b56aaf991c34d0ea84eaf3716"
        "f7cb1c942d657c41d436c7a1b6e29f65f3e900dbb9aff4064dc4ab2f843acda8"
    )
    assert RFC_KEY.sign("sample") == reference.b64u(sample)
    rows: list[tuple[str, bool, str, str, str]] = [
        ("RFC 6979, A.2.5: sample", True, RFC_KEY.public, "sample", reference.b64u(sample)),
        ("the head of a chain", True, ALICE.public, head, text["signature"]),
        ("another text", False, ALICE.public, head + "\n", text["signature"]),
        ("another key", False, BOB.public, head, text["signature"]),
        ("r and s changed places", False, ALICE.public, head, reference.b64u(s + r)),
        ("r is nought", False, ALICE.public, head, reference.b64u(bytes(32) + s)),
        ("s is nought", False, ALICE.public, head, reference.b64u(r + bytes(32))),
        ("s is the order of the curve", False, ALICE.public, head,
         reference.b64u(r + order.to_bytes(32, "big"))),
        ("a byte short", False, ALICE.public, head, reference.b64u(raw[:-1])),
        ("a byte too many", False, ALICE.public, head, reference.b64u(raw + b"\x00")),
        ("padded", False, ALICE.public, head, text["signature"] + "=="),
        ("nothing", False, ALICE.public, head, ""),
    ]  # fmt: skip
    return [
        {"name": name, "valid": valid, "key": key, "text": signed, "signature": signature}
        for name, valid, key, signed, signature in rows
    ]


def seals() -> list[JSON]:
    seal = {
        "name": "A. Inspector",
        "at": "2025-11-25T06:40:03Z",
        "strokes": [[[1, 2], [3, 4]]],
        "box": [300, 120],
        "through": {ALICE.device: 9, BOB.device: 4},
        "leaves": "0" * 64,
        "photos": {"count": 0, "hash": "1" * 64},
        "inputs": {"checklist": "2" * 64, "judge": "3" * 64},
        "receipt": {"run": "5e" * 8, "server_ms": MS},
        "key": ALICE.public,
    }
    rows = []
    for number, change in enumerate([{}, {"receipt": None}, {"name": "Zoë “Z” 😀"}]):
        unsigned = {**seal, **change}
        text = reference.canonical(unsigned)
        signed = f"bradawl-seal-2\n{ALICE.device}\n{SCOPE}\n{reference.sha256_hex(text)}"
        rows.append(
            {
                "name": f"seal {number + 1}",
                "device": ALICE.device,
                "scope": SCOPE,
                "seal": {**unsigned, "signature": ALICE.sign(signed)},
                "unsigned_text": text,
                "signed_text": signed,
            }
        )
    return rows


def text() -> str:
    """Everything the file holds."""
    vectors = {
        "value_texts": value_texts(),
        "refused_texts": refused_texts(),
        "commitments": commitments(),
        "chains": chains(),
        "refused_batches": refused_batches(),
        "devices": devices(),
        "refused_keys": refused_keys(),
        "signatures": signatures(),
        "seals": seals(),
        **fold_vectors.vectors(),
    }
    # ASCII: half a character has no other way to be written in a file
    return json.dumps(vectors, indent=1) + "\n"


if __name__ == "__main__":
    PATH.write_text(text(), encoding="utf-8")
    print(f"{PATH}: {PATH.stat().st_size} bytes")
