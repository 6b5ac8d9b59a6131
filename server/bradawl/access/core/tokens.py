"""Random tokens, pairing codes and the words by which two screens are compared."""

from __future__ import annotations

import hashlib
import hmac
import secrets

#: 32 letters and digits without I, L, O and U, which are misread; 5 bits each.
CODE_ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
CODE_LENGTH = 8

_WORDS = """
    acorn alder amber anchor anvil apple apron arch arrow ash aspen atlas
    badge bamboo barley barn basil basin basket bay beacon bead beam bean
    bear beech bell bench berry birch bishop blanket bloom boat bolt bonnet
    bottle bow branch brass bread breeze brick bridge brook broom brush bucket
    butter button cabin cable candle canoe canvas carbon cargo carrot castle cedar
    cellar chain chalk chapel cherry chest chimney cider cinder circle clay cliff
    clock cloth cloud clover coal coast cobble coin comet compass copper coral
    cork corn cotton crane creek crown crystal cup daisy dawn deck diamond
    dock dome donkey door dove dragon drum dune eagle easel echo elbow
    elm ember engine falcon feather fence fern ferry fiddle field fig finch
    flag flame flask flint flute fog forest fork fossil fox frost garden
    garlic garnet gate ginger glass globe glove goat gold goose granite grape
    grass gravel hammer harbor harp hawk hazel heather hedge helmet heron hill
    hinge hollow honey hook horn horse ink iris iron island ivory ivy
    jacket jade jar jasmine kettle key kite knot ladder lake lamp lantern
    larch lark laurel lawn leaf lemon lens lily lime linen lion lobster
    lock loom lotus magnet maple marble marsh meadow melon metal mill mint
    mirror mist moon moss mountain needle nest nettle nickel oak oar oat
    ocean olive onion opal orange orchard otter oven owl oyster paddle palm
    paper parsley peach pear pearl pebble pepper
    piano pillow pine planet plum pocket poplar poppy quartz quill rabbit raven
    reed ribbon river robin rocket rope rose saddle sail
"""  # code words, the same in every language: not shown
#: 256 short words, so that one byte picks one.
WORDS = tuple(_WORDS.split())
assert len(WORDS) == len(set(WORDS)) == 256
_PURPOSE = "bradawl pairing"  # hashed: not shown


def new_token() -> str:
    """256 random bits as 43 characters of URL-safe text."""
    return secrets.token_urlsafe(32)


def new_id() -> str:
    """128 random bits as 32 lower-case hex characters."""
    return secrets.token_hex(16)


def digest(token: str) -> str:
    """The SHA-256 of a token, in lower hex: what the database keeps."""
    return hashlib.sha256(token.encode()).hexdigest()


def same(text: str, other: str) -> bool:
    """Whether two texts are equal, in time that does not depend on where they differ."""
    return hmac.compare_digest(text.encode(), other.encode())


def new_code() -> str:
    """A pairing code of 40 random bits, such as ``7KQM-2XDP``."""
    text = "".join(secrets.choice(CODE_ALPHABET) for _ in range(CODE_LENGTH))
    return f"{text[:4]}-{text[4:]}"


def plain_code(typed: str) -> str:
    """A typed code in its one spelling: capitals, no spaces or dashes, misread letters mended."""
    return typed.upper().translate(str.maketrans("ILOU", "110V", " -–"))


def words_for(secret: str, device: str, name: str) -> str:
    """Four words that both screens show; they are bound to the secret, the device and the name."""
    bytes_ = hashlib.sha256("\n".join((_PURPOSE, secret, device, name)).encode()).digest()
    return " ".join(WORDS[byte] for byte in bytes_[:4])
