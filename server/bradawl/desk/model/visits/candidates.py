"""Candidates side by side, and the one check or price that would change their order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import msgspec

from bradawl.desk.model import findings, recorded
from bradawl.desk.model.labels import car_title, item_title, money
from bradawl.desk.model.money.summary import MoneyLine, money_line
from bradawl.desk.model.visits.brief import brief_of
from bradawl.inspection import cell_values
from bradawl.inspection.as_bought import assessed_as_bought, purchase_of
from bradawl.inspection.going.wants import STANDINGS
from bradawl.inspection.snapshot import Snapshot
from bradawl.inspection.standing import answer_found, answer_now, found_line, inspected_on
from bradawl.judge.costs import remedies
from bradawl.judge.decisions import wants
from bradawl.language import argument, listed, text


# a car has two hundred of them: kept as arrays, and nothing for the collector to look at
class Unseen(msgspec.Struct, frozen=True, gc=False, array_like=True):
    """An item that nobody found fine, the reserve for it, and what of it is freed if it is."""

    title: str
    chance: float
    likely: int
    reserve: int
    frees: int


class Wanted(msgspec.Struct, frozen=True, gc=False, array_like=True):
    """A must-have or a reason to leave, by its title and how it stands."""

    side: str
    title: str
    standing: str

    @property
    def state(self) -> str:
        """The message of how it stands."""
        return STANDINGS[self.side][self.standing]


_OF_PRICE = ("worth", "walk_away", "asking", "margin")


@dataclass(frozen=True)
class Candidate:
    """What one car says for itself, in no language: it is kept. Money in whole units; None where
    nobody said.
    """

    visit: str
    car: str
    currency: str
    tally: dict[str, int]
    answer: str  # may it be driven, as it stands now
    coverage_percent: int | None
    low: int
    expected: int
    p50: int
    p80: int
    high: int
    reserve: int
    unseen: tuple[Unseen, ...]
    value: int | None
    worth: int | None
    margin: int
    walk_away: int | None
    asking: int | None
    uses: tuple[str, ...]
    budget: int | None
    wants: tuple[Wanted, ...]
    edits: tuple[tuple[str, int], ...] = ()  # what was decided at the desk (EDITS), how often
    is_bought: bool = False  # then `asking` is what was paid, and the figures are of that day
    gone: int = 0  # what was spent and ordered since, and what is still to come
    found: str = ""  # the answer at the inspection, where work has mended something since
    inspected: str = ""

    @property
    def found_line(self) -> str:
        return found_line(self.found, self.inspected)

    @property
    def name(self) -> str:
        return self.car or text("desk-car-unnamed")

    @property
    def headroom(self) -> int | None:
        """How far the top price lies above the asking price, the sign kept."""
        price: Any = {name: getattr(self, name) for name in _OF_PRICE}
        return wants.room(price, self.expected, self.reserve)

    @property
    def all_in(self) -> int | None:
        """Asking price, expected work and the reserve: what it may come to.

        Work that came dearer than it was expected to makes the car dearer, never cheaper.
        """
        if self.asking is None:
            return None
        return self.asking + max(self.expected, self.gone) + self.reserve

    @property
    def brief(self) -> tuple[object, ...]:
        """What the car is wanted for: prices of cars for the same thing compare."""
        return self.uses, self.budget, tuple((one.side, one.title) for one in self.wants)

    def against(self, side: str) -> list[str]:
        """The must-haves that it lacks, or the reasons to leave that came true."""
        return [one.title for one in self.wants if (one.side, one.standing) == (side, "against")]

    @property
    def not_known(self) -> list[str]:
        """The must-haves of which nobody knows yet."""
        return [one.title for one in self.wants if (one.side, one.standing) == ("must", "open")]

    @property
    def rank(self) -> tuple[list[int], str]:
        """As the judge ranks it by what is wanted and by money; of two alike by the visit."""
        rows: Any = [{"side": one.side, "standing": one.standing} for one in self.wants]
        return wants.rank_of(rows, self.headroom), self.visit


def candidate_of(snapshot: Snapshot, spent: MoneyLine | None = None) -> Candidate:
    """The figures of one visit, as the judge gives them to the phone and the report too.

    Of a car that was bought they stay as they stood then, with the price that was paid.
    """
    bought = purchase_of(snapshot)
    paid_cents = bought["price_cents"] if bought else None
    asking = cell_values.whole(recorded.value(snapshot, "about/asking_price"))
    spent = spent or money_line(snapshot)
    amounts = assessed_as_bought(snapshot)[1].get("money") or {}
    totals = amounts.get("totals") or {}
    reserve = amounts.get("reserve") or {}
    price = amounts.get("price") or {}
    share = snapshot.assessment.get("coverage", {}).get("share_percent")
    brief = brief_of(snapshot)
    rules = snapshot.texts.get("rules") or {}
    return Candidate(
        visit=snapshot.visit,
        car=car_title(snapshot.cells),
        currency=cell_values.currency(snapshot.cells),
        tally=findings.tally(snapshot),
        answer=answer_now(snapshot.assessment),
        found=answer_found(snapshot.assessment),
        inspected=inspected_on(snapshot.cells),
        coverage_percent=share if isinstance(share, int) else None,
        low=totals.get("low", 0),
        expected=totals.get("expected", 0),
        p50=totals.get("p50", 0),
        p80=totals.get("p80", 0),
        high=totals.get("high", 0),
        reserve=reserve.get("amount", 0),
        unseen=tuple(
            Unseen(
                title=item_title(snapshot.texts, row["item"]),
                chance=float(row["chance"]),
                likely=int(row["cost"][1]),
                reserve=int(row["amount"]),
                frees=int(row["frees"]),
            )
            for row in reserve.get("items", ())
        ),
        value=price.get("value"),
        worth=price.get("worth"),
        margin=price.get("margin") or 0,
        walk_away=price.get("walk_away"),
        asking=asking if paid_cents is None else (paid_cents + 50) // 100,
        uses=tuple(brief["uses"]),
        budget=brief["budget"],
        wants=tuple(
            Wanted(row["side"], str(argument(row["title"], rules)), row["standing"])
            for row in snapshot.assessment.get("wants") or ()
        ),
        edits=edits_of(snapshot),
        is_bought=bought is not None,
        gone=(spent.spent_cents + spent.committed_cents + spent.still_cents + 50) // 100,
    )


def edits_of(snapshot: Snapshot) -> tuple[tuple[str, int], ...]:
    """What somebody decided about this car's work at the desk (`desk-compare-edits-…`)."""
    recorded = remedies.recorded(snapshot.cells)
    faults = snapshot.assessment.get("findings", ())
    due = [row["id"] for row in snapshot.assessment.get("baseline") or () if row["due"]]
    counts = (
        ("edited", sum(len(recorded["remedies"].get(item, ())) for item in faults)),
        ("picked", sum(item in recorded["picks"] for item in faults)),
        ("left-out", sum(row in recorded["left_out"] for row in due)),
        ("done", sum(item in recorded["closed"] for item in faults)),
    )
    return tuple((how, count) for how, count in counts if count)


#: So many figures of a rank are of what is wanted; the rest is money.
_BY_WANTS = 3


def _by_wants(behind: Candidate) -> list[str]:
    """Why a car stands behind another whatever it costs, and what may change that."""
    told = (
        ("desk-flip-leave", behind.against("leave")),
        ("desk-flip-must", behind.against("must")),
        ("desk-flip-open", behind.not_known),
    )
    return [text(name, car=behind.name, lacks=listed(of)) for name, of in told if of]


def flips(ahead: Candidate, behind: Candidate) -> list[str]:
    """What would put `behind` in front: one price, and the likeliest single check on each car."""
    names = {"ahead": ahead.name, "behind": behind.name}
    if behind.rank[0][:_BY_WANTS] > ahead.rank[0][:_BY_WANTS]:
        return _by_wants(behind)
    if ahead.headroom is None or behind.headroom is None:
        return []
    lead = ahead.headroom - behind.headroom
    assert ahead.asking is not None
    assert behind.asking is not None
    sentences = []
    target = behind.asking - lead - 1
    if target >= 0:
        price = money(target, behind.currency)
        sentences.append(text("desk-flip-cheaper", car=behind.name, price=price))
    price = money(ahead.asking + lead + 1, ahead.currency)
    sentences.append(text("desk-flip-dearer", car=ahead.name, price=price))
    # found bad, an item costs its likely figure instead of what is held for it
    bad = [unseen for unseen in ahead.unseen if unseen.likely - unseen.reserve > lead]
    if bad:
        check = max(bad, key=lambda unseen: (unseen.chance, unseen.likely, unseen.title))
        cost = money(check.likely, ahead.currency)
        sentences.append(text("desk-flip-bad", check=check.title, cost=cost, **names))
    # found sound, what was held for it alone is free
    sound = [unseen for unseen in behind.unseen if unseen.frees > lead]
    if sound:
        check = max(sound, key=lambda unseen: (1 - unseen.chance, unseen.frees, unseen.title))
        freed = money(check.frees, behind.currency)
        sentences.append(
            text("desk-flip-sound", check=check.title, freed=freed, behind=behind.name)
        )
    if not bad and not sound:
        sentences.append(text("desk-flip-none"))
    return sentences
