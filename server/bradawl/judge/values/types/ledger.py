"""A car's ledger and its parts list. Amounts are in cents (hundredths of the visit's currency)."""

from typing import Literal, TypedDict

EntryKind = Literal["part", "labor_mine", "labor_paid", "fee", "transport", "refund"]
PartState = Literal["needed", "asked", "quoted", "ordered", "arrived", "fitted", "returned"]
PartOrigin = Literal["original", "new", "used", "reproduction"]


class SplitOrder(TypedDict):
    """An order of which several cars hold a share each; `cars` are the ids of their visits."""

    id: str
    total_cents: int
    cars: list[str]


class LedgerEntry(TypedDict):
    """One entry; texts are "" where nobody said. `paid_by`: "" is me, else the partner's name.

    `amount_cents` is all that was paid, freight and deposit within it; of a refund what came back.
    My own labor has hours and no amount. `jobs` are the plan's, `line` one of the parts list.
    """

    id: str
    at: str
    date: str
    kind: EntryKind
    what: str
    amount_cents: int
    hours_hundredths: int
    quantity: str
    vendor: str
    part_number: str
    receipt: str
    paid_by: str
    core_cents: int
    freight_cents: int
    jobs: list[str]
    line: str
    order: SplitOrder | None
    replaces: str
    settles: list[str]
    withdrawn: bool


class LedgerGroup(TypedDict):
    """An entry and its corrections as they were written; `open` are those that nobody replaced."""

    entries: list[LedgerEntry]
    counts: LedgerEntry | None
    open: list[LedgerEntry]


class PriceColumns(TypedDict):
    """What of a line of the parts list its price is made of; see `PartsLine`."""

    quantity: str
    quote_cents: int | None
    low_cents: int | None
    likely_cents: int | None
    high_cents: int | None
    freight_cents: int | None
    core_cents: int | None


class PartsLine(PriceColumns):
    """One line of the parts list; texts are "" and amounts None where nobody said.

    `quote_cents` and the three estimates are for one piece, freight and deposit for the line.
    """

    id: str
    job: str
    what: str
    number: str
    also_fits: str
    need: bool
    state: PartState
    origin: PartOrigin | None
    condition: str
    vendor: str
    where: str
    asked_on: str
    reply: str
    due_on: str
    return_by: str
    old_kept_at: str
    note: str
    hours_planned: str
    hours_done: str
    removed: bool


class JobEstimate(TypedDict):
    """What the plan expects of a job: parts and paid labor as low, likely, high in cents.

    `hours_hundredths` are my own, which nobody pays.
    """

    job: str
    area: str
    open: bool
    parts_cents: list[int]
    labor_cents: list[int]
    hours_hundredths: int


class JobMoney(TypedDict):
    """The money of a job, and my hours in hundredths; see `ledger.sums`."""

    job: str
    area: str
    open: bool
    expected_cents: int
    spent_cents: int
    partner_cents: int
    committed_cents: int
    still_cents: int
    total_cents: int
    hours_planned: int
    hours_lines: int
    hours_done: int
    hours_left: int
    firm: bool  # whether what is expected of it is one figure, and no range


class MoneySums(TypedDict):
    """The money of several jobs, of a car with its price; `left_cents`: of the budget, if any."""

    price_cents: int
    expected_cents: int
    spent_cents: int
    mine_cents: int
    partner_cents: int
    committed_cents: int
    still_cents: int
    total_cents: int
    left_cents: int | None
    hours_planned: int
    hours_done: int
    hours_left: int
    firm: bool  # whether nothing of what is still expected is estimated


LifeState = Literal[
    "looking",
    "passed",
    "bought",
    "in_shop",
    "waiting",
    "on_road",
    "for_sale",
    "sold",
    "parts_car",
]


class LifeStep(TypedDict):
    """One step of a car's life: the price it was bought or sold for, where one was said."""

    state: LifeState
    date: str
    price_cents: int | None
    at: str
