"""Passphrases: what is good enough, and argon2 (RFC 9106, the library's default profile).

Hashing takes 64 MiB and a tenth of a second of all cores: a request comes here by
`people/passphrase_checks.py`,
which lets few at a time.
"""

from __future__ import annotations

import itertools
import unicodedata
from collections.abc import Sequence

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from bradawl.common.errors import ApiError
from bradawl.language import message

SHORTEST = 12
LONGEST = 256
_FEWEST_DISTINCT = 6

_hasher = PasswordHasher()
# Salt and digest of zeros: costs a check as much as a real one, and a start nothing.
_DUMMY = (
    f"$argon2id$v=19$m={_hasher.memory_cost},t={_hasher.time_cost},p={_hasher.parallelism}"
    f"${'A' * 22}${'A' * 43}"
)


def hash_of(passphrase: str) -> str:
    """The argon2id hash to keep."""
    return _hasher.hash(_normal(passphrase))


def matches(passphrase: str, kept: str) -> bool:
    """Whether the passphrase is the one behind `kept`; an empty `kept` takes as long and fails."""
    if len(passphrase) > LONGEST:
        return False
    try:
        _hasher.verify(kept or _DUMMY, _normal(passphrase))
    except (VerificationError, InvalidHashError):
        return False
    return bool(kept)


def require_good(passphrase: str, again: str, obvious: Sequence[str]) -> None:
    """Raise ApiError with what is wrong with a new passphrase.

    Length counts and nothing else is demanded (ASVS 5.0 V6.2.1, V6.2.5, V6.2.9), but what
    everybody would try first is refused (V6.2.4, V6.2.11): `obvious` words such as the name.
    """
    problem = None
    if passphrase != again:
        problem = message("access-passphrase-differ")
    elif len(passphrase) < SHORTEST:
        problem = message("access-passphrase-short", least=SHORTEST)
    elif len(passphrase) > LONGEST:
        problem = message("access-passphrase-long", most=LONGEST)
    elif len(set(passphrase.casefold())) < _FEWEST_DISTINCT or _is_run(passphrase):
        problem = message("access-passphrase-obvious")
    else:
        rest = passphrase.casefold()
        for word in sorted((word.casefold() for word in obvious if len(word) > 2), key=len)[::-1]:
            rest = rest.replace(word, "")
        if len(rest) < SHORTEST - 4:
            problem = message("access-passphrase-name")
    if problem is not None:
        raise ApiError("passphrase", problem, 422)


def _is_run(text: str) -> bool:
    steps = {ord(b) - ord(a) for a, b in itertools.pairwise(text)}
    return steps in ({1}, {-1}, {0})


def _normal(passphrase: str) -> str:
    # The same keys on another keyboard may send another composition of the same letters.
    return unicodedata.normalize("NFC", passphrase)
