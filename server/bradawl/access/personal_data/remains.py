"""What erasing cannot reach: told by name, before anybody confirms, and afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields

from bradawl.language import text

#: Said also where nothing is known of any.
_ALWAYS = ("backups", "reports")


@dataclass(frozen=True)
class Remains:
    """Where a value may still be. Each entry is one thing in words, with its day where known.

    `backups` were made before and are known here; `phones` have not reached the server since,
    `revoked` ones never will; `reports` were issued; `copies` of the database lie in the data
    folder; `files` wait to be read in.
    """

    backups: tuple[str, ...] = ()
    phones: tuple[str, ...] = ()
    revoked: tuple[str, ...] = ()
    reports: tuple[str, ...] = ()
    copies: tuple[str, ...] = ()
    files: tuple[str, ...] = ()

    def sentences(self) -> Iterator[tuple[str, tuple[str, ...]]]:
        """(what cannot be reached and what happens there, the things by name)."""
        for kind in (field.name for field in fields(self)):
            things = getattr(self, kind)
            if things:
                yield text("access-remains-" + kind), things
            elif kind in _ALWAYS:
                yield text(f"access-remains-{kind}-none"), ()
