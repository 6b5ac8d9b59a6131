"""The columns of the parts sheet: what each holds, and how wide it stands on the page."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from bradawl.language import current, text

__all__ = ["COLUMNS", "FIELDS", "ORIGINS", "PRICE_FIELDS", "STATES", "Column", "choices", "heading"]

Kind = Literal["text", "choice", "job", "count", "price", "money", "hours", "date", "sum"]

#: In the order in which a part passes through them.
STATES = ("needed", "asked", "quoted", "ordered", "arrived", "fitted", "returned")
ORIGINS = ("original", "new", "used", "reproduction")
NEEDS = ("needed", "wanted")


@dataclass(frozen=True)
class Column:
    """One column. `shown`: whether it stands on the page of who chose no columns."""

    key: str
    kind: Kind = "text"
    width_rem: int = 9
    shown: bool = False
    limit: int = 200  # letters

    @property
    def title(self) -> str:
        return heading(self.key)

    @property
    def is_fixed(self) -> bool:
        """Whether it is worked out, not typed."""
        return self.kind == "sum"

    @property
    def is_figure(self) -> bool:
        return self.kind in ("count", "price", "money", "hours", "sum")


COLUMNS = (
    Column("what", width_rem=17, shown=True),
    Column("need", "choice", 6, shown=True),
    Column("state", "choice", 7, shown=True),
    Column("quantity", "count", 5, shown=True),
    Column("price", "price", 8, shown=True),
    Column("total", "sum", 7, shown=True),
    Column("vendor", width_rem=10, shown=True),
    Column("number", width_rem=9, shown=True, limit=80),
    Column("where", width_rem=11, shown=True, limit=500),
    Column("due_on", "date", 8, shown=True),
    Column("origin", "choice", 8),
    Column("condition"),
    Column("also_fits", width_rem=11, limit=500),
    Column("freight", "money", 6),
    Column("core", "money", 6),
    Column("asked_on", "date", 8),
    Column("reply", width_rem=11, limit=500),
    Column("return_by", "date", 8),
    Column("old_kept_at", width_rem=10),
    Column("hours_planned", "hours", 6),
    Column("hours_done", "hours", 6),
    Column("note", width_rem=14, limit=2000),
    Column("job", "job", 13),
)
#: The same by key.
FIELDS = {column.key: column for column in COLUMNS}
#: What one price is recorded in: a firm one, or an estimate.
PRICE_FIELDS = ("quote_cents", "low_cents", "likely_cents", "high_cents")
#: Where the record calls a column otherwise than the sheet.
RECORDED = {"freight": "freight_cents", "core": "core_cents"}


def heading(key: str) -> str:
    """What a column is called."""
    return text("desk-parts-col-" + key.replace("_", "-"))


def choices(key: str) -> dict[str, str]:
    """What may be picked in a column of choices: {code: word}."""
    return _choices(key, current().locale)


@lru_cache(maxsize=64)
def _choices(key: str, _locale: str) -> dict[str, str]:
    codes = {"need": NEEDS, "state": STATES, "origin": ORIGINS}[key]
    return {code: text(f"desk-parts-{key}-{code}") for code in codes}
