"""Turns are given in an order that no crowd can spoil for others."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from typing import Any

import pytest

from bradawl.access.people.turns import Turns
from bradawl.common.errors import ApiError


class Row:
    """Callers at one door, and the order in which they got in."""

    def __init__(self, turns: Turns) -> None:
        self.turns = turns
        self.admitted: list[str] = []
        self.open = asyncio.Event()

    async def come(self, source: str, trouble: int = 0) -> None:
        async with self.turns.turn(source, trouble):
            self.admitted.append(source)
            await self.open.wait()

    async def comes(self, source: str, trouble: int = 0) -> asyncio.Task[None]:
        """A caller who stands in the row, or is at work, when this returns."""
        task = asyncio.create_task(self.come(source, trouble))
        await asyncio.sleep(0)
        return task


def run(trial: Coroutine[Any, Any, None]) -> None:
    async def bounded() -> None:
        async with asyncio.timeout(60):
            await trial

    asyncio.run(bounded())


def test_who_never_was_wrong_comes_first_and_then_who_came_first() -> None:
    async def trial() -> None:
        row = Row(Turns())
        tasks = [await row.comes("at work", 9)]
        for source, trouble in (("g3", 3), ("g1", 1), ("clean a", 0), ("g2", 2), ("clean b", 0)):
            tasks.append(await row.comes(source, trouble))
        row.open.set()
        await asyncio.gather(*tasks)
        assert row.admitted == ["at work", "clean a", "clean b", "g1", "g2", "g3"]

    run(trial())


@pytest.mark.parametrize("at_once", [1, 2, 3])
def test_so_many_work_at_once_and_no_more(at_once: int) -> None:
    async def trial() -> None:
        row = Row(Turns(at_once=at_once))
        tasks = [await row.comes(f"s{number}") for number in range(5)]
        while len(row.admitted) < at_once:
            await asyncio.sleep(0)
        for _ in range(20):
            await asyncio.sleep(0)
        assert row.admitted == [f"s{number}" for number in range(at_once)]
        row.open.set()
        await asyncio.gather(*tasks)
        assert len(row.admitted) == 5

    run(trial())


def test_one_source_has_few_places_and_gets_them_back() -> None:
    async def trial() -> None:
        row = Row(Turns(each=2))
        tasks = [await row.comes("one"), await row.comes("one")]
        with pytest.raises(ApiError) as refused:
            await row.come("one")
        assert refused.value.status == 429
        tasks.append(await row.comes("other"))
        row.open.set()
        await asyncio.gather(*tasks)
        await row.come("one")

    run(trial())


def test_who_takes_many_places_does_not_keep_others_from_their_first() -> None:
    async def trial() -> None:
        row = Row(Turns(each=4))
        tasks = [await row.comes("at work")]
        tasks += [await row.comes("many") for _ in range(4)]
        tasks += [await row.comes("one"), await row.comes("two")]
        row.open.set()
        await asyncio.gather(*tasks)
        assert row.admitted == ["at work", "many", "one", "two", "many", "many", "many"]

    run(trial())


def test_a_full_row_turns_away_who_guessed_most_and_not_who_comes_new() -> None:
    async def trial() -> None:
        row = Row(Turns(waiting=3))
        tasks = [await row.comes("at work")]
        guessers = [await row.comes(f"g{trouble}", trouble) for trouble in (4, 5, 6)]
        tasks.append(await row.comes("clean"))
        with pytest.raises(ApiError) as away:
            await guessers[2]
        assert away.value.status == 503
        with pytest.raises(ApiError):
            await row.come("worst", 9)
        row.open.set()
        await asyncio.gather(*tasks, *guessers[:2])
        assert row.admitted == ["at work", "clean", "g4", "g5"]

    run(trial())


def test_who_gives_up_leaves_no_place_taken() -> None:
    async def trial() -> None:
        row = Row(Turns(each=1, waiting=1))
        first = await row.comes("first")
        waiting = await row.comes("gives up")
        waiting.cancel()
        with pytest.raises(asyncio.CancelledError):
            await waiting
        last = await row.comes("gives up")
        first.cancel()
        with pytest.raises(asyncio.CancelledError):
            await first
        row.open.set()
        await last
        assert row.admitted == ["first", "gives up"]

    run(trial())


def test_a_turn_ends_with_a_fault() -> None:
    async def trial() -> None:
        turns = Turns()
        with pytest.raises(RuntimeError):
            async with turns.turn("one"):
                raise RuntimeError
        async with turns.turn("one"):
            pass

    run(trial())
