"""What is recorded of must-haves and reasons to leave, as desk and phone record and read it.

The cases are invented. The app runs the same table (`web/test/app/visit/wants.test.ts`), and the
judge reads the same records.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from bradawl.inspection.going.wants import add_musts, copied, dropped, move_up, musts_in
from bradawl.judge.record.wants import wants
from tests.judge.records import cell

TABLE = json.loads((Path(__file__).parent / "wants.json").read_text(encoding="utf-8"))


def cells_of(values: dict[str, Any]) -> Any:
    return {path: cell(value) for path, value in values.items()}


def ids(values: dict[str, Any]) -> list[str]:
    """As the judge has them: no table holds more must-haves than count."""
    return [want["id"] for want in wants(cells_of(values))]


@pytest.mark.parametrize("case", TABLE, ids=lambda case: str(case["what"]))
def test_wants_stand_in_order_and_a_tap_changes_it(case: dict[str, Any]) -> None:
    values = case["values"]
    cells = cells_of(values)
    assert ids(values) == case["ids"]
    assert musts_in(cells) == [name for name in case["ids"] if name in musts_in(cells)]
    for name, after in case["up"].items():
        assert ids({**values, **dict(move_up(cells, name))}) == after
    for name, after in case["add"].items():
        assert ids({**values, **dict(add_musts(cells, [name]))}) == after
    for name in case["ids"]:
        left = {**values, **dict(dropped(cells, name))}
        assert ids(left) == [one for one in case["ids"] if one != name]
    if "copied" in case:
        assert dict(copied(cells, cells_of(case["taking"]))) == case["copied"]
