"""The verdict that was signed, beside the one of today: the two may differ, and both are shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, get_args

from bradawl.judge.values.types.assessment import BuyAnswer, DriveAnswer
from bradawl.language import money, text

from . import cell_values

__all__ = ["PATH", "Verdict", "signed_verdict", "verdict_of"]

#: Where the phone writes the verdict just before the signature that covers it.
PATH = "verdict/signed"


@dataclass(frozen=True)
class Verdict:
    """May I buy it, may I drive it, up to what price (None: none was quoted)."""

    buy: str
    drive: str
    top_price: int | None
    currency: str

    def sentences(self, with_money: bool = True) -> str:
        """The verdict in the words that every page uses; without money the drive alone."""
        drive = text("judge-drive-" + self.drive.replace("_", "-"))
        if not with_money:
            return drive
        if self.buy == "up_to" and self.top_price is not None:
            top = money(self.top_price, self.currency)
            return f"{drive} {text('judge-buy-up-to', top=top)}"
        return f"{text('judge-buy-' + self.buy.replace('_', '-'))} {drive}"


def _verdict(buy: Any, drive: Any, top_price: Any, currency: Any) -> Verdict | None:
    if buy not in get_args(BuyAnswer) or drive not in get_args(DriveAnswer):
        return None
    return Verdict(buy, drive, cell_values.whole(top_price), cell_values.text(currency))


def signed_verdict(sealed_cells: Mapping[str, Any] | None) -> Verdict | None:
    """What stood when it was signed last; None where nothing was signed or it says nothing."""
    cell = (sealed_cells or {}).get(PATH)
    value = cell_values.mapping(cell["value"]) if cell is not None else {}
    names = ("buy", "drive", "top_price", "currency")
    return _verdict(*(value.get(name) for name in names))


def verdict_of(assessment: Mapping[str, Any]) -> Verdict | None:
    """What the judge of today says of the record of today."""
    decision = cell_values.mapping(assessment.get("decision"))
    costs = cell_values.mapping(assessment.get("money"))
    price = cell_values.mapping(costs.get("price"))
    names = decision.get("buy"), decision.get("drive")
    return _verdict(*names, price.get("walk_away"), costs.get("currency"))
