"""What a checker knows when it looks at a report: keys, its own record, its own reports."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field

from bradawl.report.signing.ledger import Entry

__all__ = ["KnownKey", "TrustStore"]


@dataclass(frozen=True)
class KnownKey:
    """A key that this checker knows, under the name it gave its owner.

    `own` is a key of this workshop. `retired` is the day on which it was replaced, `lost` the day
    from which on it may have been in other hands (ISO 8601); "" for a key in use.
    """

    name: str
    own: bool = False
    retired: str = ""
    lost: str = ""


@dataclass(frozen=True)
class TrustStore:
    """Keys by certificate fingerprint, and the record of a workshop where there is one.

    `seals` gives the `leaves` of each seal of a visit that holds; None when the visit is not here.
    `issued` gives the entry of a report that this workshop issued, `newer` the report that replaced
    the one of a number; None where there is none. `device` names a phone by its id, one that is not
    known here with an empty text.
    """

    keys: Mapping[str, KnownKey] = field(default_factory=dict)
    seals: Callable[[str], Collection[str] | None] = lambda visit: None
    issued: Callable[[str], Entry | None] = lambda number: None
    newer: Callable[[str], Entry | None] = lambda number: None
    device: Callable[[str], str] = lambda device: ""
