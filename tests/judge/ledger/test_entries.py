"""The ledger as a record holds it: every entry read, each correction counted once.

The laws are this project's contract (server/bradawl/desk/README.md); sums are added by hand.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.ledger import entries as ledger
from bradawl.judge.ledger import fields
from tests.nasty.values import VALUES, handed_out

A, B, C, D = ("a" * 12, "b" * 12, "c" * 12, "d" * 12)


def cells(values: dict[str, Any], ats: dict[str, str] | None = None) -> Any:
    """Cells whose stamps rise in the order given, or are as said."""
    return {
        path: {"value": value, "at": (ats or {}).get(path, f"{n:03d}"), "others": []}
        for n, (path, value) in enumerate(values.items())
    }


def part(amount: int, **more: Any) -> dict[str, Any]:
    return {"date": "2026-03-01", "kind": "part", "amount_cents": amount, **more}


def sum_of(record: Any) -> int:
    return sum(ledger.paid(entry) for entry in ledger.counted(ledger.entries(record)))


def test_an_entry_is_read_as_it_was_written() -> None:
    order = {"id": "o-1", "total_cents": 12_000, "cars": ["1" * 32, "2" * 32]}
    told = {
        "date": "2026-03-01", "kind": "part", "what": "Brake hose", "amount_cents": 4783,
        "quantity": "2", "vendor": "Harbor Parts", "part_number": "BH-22", "receipt": "3" * 64,
        "paid_by": "Quill", "core_cents": 1000, "freight_cents": 783, "jobs": ["brakes.hoses/new"],
        "line": B, "order": order, "replaces": C,
    }  # fmt: skip
    (entry,) = ledger.entries(cells({f"ledger/{A}": told}))
    assert entry == {
        **told, "id": A, "at": "000", "hours_hundredths": 0, "settles": [], "withdrawn": False,
    }  # fmt: skip


def test_my_own_labor_is_hours_and_no_money() -> None:
    told = {"kind": "labor_mine", "hours": "1.255", "amount_cents": 9000, "date": "2026-03-01"}
    (entry,) = ledger.entries(cells({f"ledger/{A}": told}))
    assert (entry["hours_hundredths"], entry["amount_cents"]) == (126, 0)  # half up
    assert sum_of(cells({f"ledger/{A}": told})) == 0


def test_freight_and_deposit_are_parts_of_what_was_paid() -> None:
    (entry,) = ledger.entries(cells({f"ledger/{A}": part(1000, core_cents=800, freight_cents=800)}))
    assert (entry["core_cents"], entry["freight_cents"]) == (800, 200)


@pytest.mark.parametrize(
    ("field", "value", "read"),
    [
        ("amount_cents", -5, 0), ("amount_cents", "4783", 0), ("amount_cents", True, 0),
        ("amount_cents", 10**10 + 1, 0), ("date", "2026-02-30", ""), ("date", "2026-02", ""),
        ("date", 20260225, ""), ("kind", "bribe", "fee"), ("kind", None, "fee"),
        ("jobs", ["a/b", 3, "", "a/b", "c/d"], ["a/b", "c/d"]), ("jobs", "a/b", []),
        ("receipt", "3" * 63, ""), ("receipt", "G" * 64, ""), ("replaces", A, ""),
        ("order", {"id": "", "total_cents": 4}, None), ("order", {"id": "x"}, None),
        ("withdrawn", "yes", False), ("paid_by", ["x"], ""), ("settles", [A, B, 5], [B]),
    ],
)  # fmt: skip
def test_what_is_not_of_its_kind_counts_as_not_said(field: str, value: Any, read: Any) -> None:
    (entry,) = ledger.entries(cells({f"ledger/{A}": part(4783) | {field: value}}))
    assert dict(entry)[field] == read


def test_only_entries_at_their_own_place_count() -> None:
    record = cells({
        "ledger": part(1), f"ledger/{A}/photos/{'3' * 64}": part(2), "ledger/short": part(3),
        f"ledger/{A.upper()}": part(4), f"plan/ledger/{A}": part(5), f"ledger/{B}": part(6),
        f"ledger/{C}": None, f"ledger/{D}": [part(7)],
    })  # fmt: skip
    assert sum_of(record) == 6


def test_what_a_job_was_noted_to_cost_is_an_entry_of_that_job() -> None:
    record = cells({
        "work/cooling.radiator/new/done": {"cost_cents": 18_900, "date": "2026-04-02"},
        "work/baseline/oil/done": {"cost": 40, "title": "Oil"},  # of before: whole units
        "work/wants/seat/done": {"title": "Seat"},
        "work/x/y/after/z/grade": {"grade": "none"},
    })  # fmt: skip
    found = ledger.entries(record)
    assert [(e["id"], e["amount_cents"], e["jobs"]) for e in found] == [
        ("work/baseline/oil/done", 4_000, ["baseline/oil"]),
        ("work/cooling.radiator/new/done", 18_900, ["cooling.radiator/new"]),
    ]
    corrected = {**record, **cells({
        f"ledger/{A}": part(17_900, replaces="work/cooling.radiator/new/done"),
    }, {f"ledger/{A}": "9"})}  # fmt: skip
    assert sum_of(corrected) == 4_000 + 17_900


def test_a_correction_takes_the_place_of_what_it_names_and_both_stay() -> None:
    record = cells({
        f"ledger/{A}": part(8_000), f"ledger/{B}": part(3_000),
        f"ledger/{C}": part(8_500, replaces=A), f"ledger/{D}": part(8_400, replaces=C),
    })  # fmt: skip
    assert sum_of(record) == 3_000 + 8_400
    first, second = ledger.groups(ledger.entries(record))
    assert [entry["id"] for entry in first["entries"]] == [A, C, D]
    assert [entry["id"] for entry in first["open"]] == [D]
    assert second["counts"] is not None
    assert second["counts"]["id"] == B


def test_what_was_taken_back_counts_nothing_and_stays() -> None:
    record = cells({
        f"ledger/{A}": part(8_000), f"ledger/{B}": part(0, replaces=A, withdrawn=True),
    })  # fmt: skip
    assert sum_of(record) == 0
    (group,) = ledger.groups(ledger.entries(record))
    assert group["counts"] is None
    assert [entry["id"] for entry in group["entries"]] == [A, B]


def test_two_corrections_written_unseen_stand_side_by_side_until_somebody_settles_them() -> None:
    values = {
        f"ledger/{A}": part(100), f"ledger/{B}": part(110, replaces=A),
        f"ledger/{C}": part(120, replaces=A),
    }  # fmt: skip
    (group,) = ledger.groups(ledger.entries(cells(values)))
    assert [entry["id"] for entry in group["open"]] == [C, B]  # the later one holds
    assert sum_of(cells(values)) == 120
    values[f"ledger/{D}"] = part(110, replaces=C, settles=[B])
    (group,) = ledger.groups(ledger.entries(cells(values)))
    assert [entry["id"] for entry in group["open"]] == [D]
    assert sum_of(cells(values)) == 110


def test_entries_that_replace_each_other_count_once() -> None:
    record = cells({
        f"ledger/{A}": part(100, replaces=B), f"ledger/{B}": part(110, replaces=C),
        f"ledger/{C}": part(120, replaces=A), f"ledger/{D}": part(7, replaces="e" * 12),
    })  # fmt: skip
    assert sum_of(record) == 120 + 7


NAMES = [f"{n:012x}" for n in range(6)]


@st.composite
def records(draw: st.DrawFn) -> dict[str, Any]:
    """Entries that replace one another at random, rings and unknown ones included."""
    values = {}
    for name in NAMES[: draw(st.integers(1, 6))]:
        told = part(draw(st.integers(0, 10**6)))
        told["kind"] = draw(st.sampled_from(ledger.KINDS))
        told["replaces"] = draw(st.sampled_from(["", *NAMES]))
        told["settles"] = draw(st.lists(st.sampled_from(NAMES), max_size=2))
        told["withdrawn"] = draw(st.integers(0, 5)) == 0
        values[f"ledger/{name}"] = told
    return values


@given(records(), st.randoms(use_true_random=False))
def test_no_order_of_entries_changes_a_sum(values: dict[str, Any], dice: Any) -> None:
    record = cells(values)
    listed = ledger.entries(record)
    shuffled = list(listed)
    dice.shuffle(shuffled)
    one, other = ledger.counted(listed), ledger.counted(shuffled)
    assert sorted(e["id"] for e in one) == sorted(e["id"] for e in other)


@given(records())
def test_every_entry_is_in_one_group_and_one_of_a_group_counts(values: dict[str, Any]) -> None:
    listed = ledger.entries(cells(values))
    grouped = [entry["id"] for group in ledger.groups(listed) for entry in group["entries"]]
    assert sorted(grouped) == sorted(entry["id"] for entry in listed)
    for group in ledger.groups(listed):
        if group["counts"] is not None:
            assert group["counts"] in group["entries"]


@pytest.mark.parametrize("name", sorted(VALUES))
def test_nothing_that_a_record_may_hold_makes_the_ledger_fail(name: str) -> None:
    value = handed_out(VALUES[name])
    spoilt = {
        f"ledger/{NAMES[n]}": part(5) | {field: value}
        for n, field in enumerate(("amount_cents", "jobs", "order", "hours", "replaces"))
    }
    record = cells({f"ledger/{A}": value, "work/a/b/done": value, **spoilt})
    for group in ledger.groups(ledger.entries(record)):
        for entry in group["entries"]:
            assert 0 <= entry["amount_cents"] <= fields.MOST_CENTS
            assert entry["date"] == "" or len(entry["date"]) == 10
