"""The least that covers everything, held to all subsets tried one by one (brute force)."""

from __future__ import annotations

from itertools import chain, combinations

from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.costs.cover import least

FINDINGS = ["a", "b", "c", "d"]
HOLDS = {"x": 70, "y": 40, "z": 15}

Candidates = list[tuple[int, str, list[str], list[str]]]

some_candidates = st.lists(
    st.tuples(
        st.integers(0, 120),
        st.lists(st.sampled_from(FINDINGS), min_size=1, unique=True),
        st.lists(st.sampled_from(sorted(HOLDS)), unique=True),
    ),
    min_size=1,
    max_size=7,
).map(lambda rows: [(cost, f"r{n}", covers, held) for n, (cost, covers, held) in enumerate(rows)])


def _cost(chosen: Candidates) -> int:
    """What a set comes to: a hold that two of it touch is paid once more, by each further one."""
    total = sum(cost for cost, _, _, _ in chosen)
    for hold, amount in HOLDS.items():
        touching = sum(hold in held for _, _, _, held in chosen)
        total += amount * max(0, touching - 1)
    return total


@given(some_candidates)
def test_no_other_set_covers_everything_for_less(candidates: Candidates) -> None:
    wanted = {finding for _, _, covers, _ in candidates for finding in covers}
    subsets = chain.from_iterable(
        combinations(candidates, size) for size in range(1, len(candidates) + 1)
    )
    costs = [
        _cost(list(subset))
        for subset in subsets
        if {finding for _, _, covers, _ in subset for finding in covers} == wanted
    ]
    names, proven = least(candidates, HOLDS)
    chosen = [candidate for candidate in candidates if candidate[1] in names]
    assert proven
    assert {finding for _, _, covers, _ in chosen for finding in covers} == wanted
    assert _cost(chosen) == min(costs)
