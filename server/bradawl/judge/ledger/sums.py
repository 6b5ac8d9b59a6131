"""Spent, committed and still expected: of a job, of an area, of a car; hours beside money.

    total of a job = spent + committed + still expected
    still expected = expected - spent - committed, never below 0; of a finished job 0

So to spend exactly what was expected changes no total. Amounts are in cents, hours in hundredths.
Nothing here knows the order in which entries were written.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact
from . import entries as ledger
from . import fields, parts_list

if TYPE_CHECKING:
    from ..values.types import JobEstimate, JobMoney, LedgerEntry, MoneySums, PartsLine

#: Where a line is owed for until entries that name it have paid for it.
OWED = ("ordered", "arrived")


def shares(total_cents: int, count: int) -> list[int]:
    """A total as so many equal shares, to the cent: what does not divide goes to the first."""
    if count < 1:
        return []
    each, over = total_cents // count, total_cents % count
    return [each + 1 if n < over else each for n in range(count)]


def job_sums(
    estimates: list[JobEstimate], counted: list[LedgerEntry], lines: list[PartsLine]
) -> list[JobMoney]:
    """The money of each estimated job, of those that entries or lines name besides, and of none.

    What names no job stands in the row whose job is "". An entry of several jobs is shared evenly,
    and one of a line alone belongs to the line's job.
    """
    rows: dict[str, JobMoney] = {}
    known: dict[str, bool] = {}
    for estimate in estimates:
        known[estimate["job"]] = True
        rows[estimate["job"]] = _row(estimate["job"], estimate["area"], estimate["open"])
    listed = [line for line in lines if not line["removed"]]
    job_of = {}
    for line in lines:
        job_of[line["id"]] = line["job"]
    for entry in counted:
        jobs = entry["jobs"] or [job_of.get(entry["line"], "")]
        _add_entry([_at(rows, job) for job in jobs], entry)
    paid, cores = _of_lines(counted)
    priced: dict[str, list[PartsLine]] = {}
    for line in listed:
        row = _at(rows, line["job"])
        back = min(cores.get(line["id"], 0), line["core_cents"] or 0)
        owed = _owed(line, paid.get(line["id"], 0) + back)
        row["committed_cents"] += owed
        if line["state"] == "returned" or not line["need"]:
            continue
        row["hours_planned"] += fields.hundredths(line["hours_planned"])
        row["hours_lines"] += fields.hundredths(line["hours_done"])
        cost = [amount - back for amount in parts_list.line_cents(line)]
        if cost and line["job"] in known:
            priced.setdefault(line["job"], []).append(line)
        elif cost:  # of no job, or of one that the plan does not hold: for itself
            row["firm"] = row["firm"] and cost[0] == cost[2]
            row["expected_cents"] += expected(cost)
            if line["state"] != "fitted":
                row["still_cents"] += max(0, expected(cost) - paid.get(line["id"], 0) - owed)
    for estimate in estimates:
        row = rows[estimate["job"]]
        parts = _parts(estimate["parts_cents"], priced.get(estimate["job"], []), cores)
        cost = [parts[n] + estimate["labor_cents"][n] for n in range(3)]
        row["firm"] = row["firm"] and cost[0] == cost[2]
        row["expected_cents"] = expected(cost)
        row["hours_planned"] = max(row["hours_planned"], estimate["hours_hundredths"])
        if estimate["open"]:
            gone = row["spent_cents"] + row["committed_cents"]
            row["still_cents"] = max(0, row["expected_cents"] - gone)
    return [_settled(rows[job]) for job in sorted(rows)]


def expected(cents: list[int]) -> int:
    """What low, likely and high come to (PERT mean), half up."""
    return exact.half_up((cents[0] + 4 * cents[1] + cents[2], 6), 0)


def _row(job: str, area: str, is_open: bool) -> JobMoney:
    return {
        "job": job,
        "area": area,
        "open": is_open,
        "expected_cents": 0,
        "spent_cents": 0,
        "partner_cents": 0,
        "committed_cents": 0,
        "still_cents": 0,
        "total_cents": 0,
        "hours_planned": 0,
        "hours_lines": 0,
        "hours_done": 0,
        "hours_left": 0,
        "firm": True,
    }


def _at(rows: dict[str, JobMoney], job: str) -> JobMoney:
    if job not in rows:
        rows[job] = _row(job, "", False)
    return rows[job]


def _add_entry(rows: list[JobMoney], entry: LedgerEntry) -> None:
    sign = -1 if entry["kind"] == "refund" else 1
    money = shares(entry["amount_cents"], len(rows))
    hours = shares(entry["hours_hundredths"], len(rows))
    for n, row in enumerate(rows):
        row["spent_cents"] += sign * money[n]
        if entry["paid_by"]:
            row["partner_cents"] += sign * money[n]
        if entry["kind"] == "labor_mine":
            row["hours_done"] += hours[n]


def _of_lines(counted: list[LedgerEntry]) -> tuple[dict[str, int], dict[str, int]]:
    """By line: what was paid for it less what came back; of that, the deposits that came back."""
    paid: dict[str, int] = {}
    cores: dict[str, int] = {}
    for entry in counted:
        line = entry["line"]
        if line:
            paid[line] = paid.get(line, 0) + ledger.paid(entry)
            if entry["kind"] == "refund":
                cores[line] = cores.get(line, 0) + entry["core_cents"]
    return paid, cores


def _owed(line: PartsLine, settled: int) -> int:
    """What is still to be paid for a line that was ordered or is here, `settled` of it being so."""
    cost = parts_list.line_cents(line)
    return max(0, cost[1] - settled) if cost and line["state"] in OWED else 0


def _parts(estimate: list[int], priced: list[PartsLine], cores: dict[str, int]) -> list[int]:
    """Low, likely and high of a job's parts: those of its lines, where any has a price.

    A deposit that came back is no longer expected.
    """
    if not priced:
        return estimate
    sums = [0, 0, 0]
    for line in priced:
        back = min(cores.get(line["id"], 0), line["core_cents"] or 0)
        cost = parts_list.line_cents(line)
        for n in range(3):
            sums[n] += cost[n] - back
    return sums


def _settled(row: JobMoney) -> JobMoney:
    row["total_cents"] = row["spent_cents"] + row["committed_cents"] + row["still_cents"]
    row["hours_done"] = max(row["hours_done"], row["hours_lines"])
    is_open = row["open"] or row["still_cents"] > 0
    row["hours_left"] = max(0, row["hours_planned"] - row["hours_done"]) if is_open else 0
    return row


def together(
    rows: list[JobMoney], price_cents: int = 0, budget_cents: int | None = None
) -> MoneySums:
    """The sums of some jobs: of an area, or of a car with the price that was paid for it.

    Left to spend is what the budget has beyond what is spent and committed, the car included.
    """
    sums: MoneySums = {
        "price_cents": price_cents,
        "expected_cents": 0,
        "spent_cents": 0,
        "mine_cents": 0,
        "partner_cents": 0,
        "committed_cents": 0,
        "still_cents": 0,
        "total_cents": price_cents,
        "left_cents": None,
        "hours_planned": 0,
        "hours_done": 0,
        "hours_left": 0,
        "firm": True,
    }
    for row in rows:
        sums["expected_cents"] += row["expected_cents"]
        sums["spent_cents"] += row["spent_cents"]
        sums["partner_cents"] += row["partner_cents"]
        sums["committed_cents"] += row["committed_cents"]
        sums["still_cents"] += row["still_cents"]
        sums["total_cents"] += row["total_cents"]
        sums["hours_planned"] += row["hours_planned"]
        sums["hours_done"] += row["hours_done"]
        sums["hours_left"] += row["hours_left"]
        if row["still_cents"] and not row["firm"]:
            sums["firm"] = False
    sums["mine_cents"] = sums["spent_cents"] - sums["partner_cents"]
    if budget_cents is not None:
        gone = price_cents + sums["spent_cents"] + sums["committed_cents"]
        sums["left_cents"] = budget_cents - gone
    return sums


def deposits_out(counted: list[LedgerEntry]) -> int:
    """The deposits for old parts that were paid and have not come back."""
    out = 0
    for entry in counted:
        out += -entry["core_cents"] if entry["kind"] == "refund" else entry["core_cents"]
    return max(0, out)


def outcome(
    sold_cents: int, price_cents: int, spent_cents: int, hours_hundredths: int, rate_cents: int
) -> tuple[int, int]:
    """What a sale came to, (without, with) my own hours at their rate."""
    plain = sold_cents - price_cents - spent_cents
    return plain, plain - exact.half_up((hours_hundredths * rate_cents, 100), 0)
