"""Where a visit stands, by the table that the phone is held to as well (`shelf.test.ts`)."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from bradawl.inspection.shelf import shelf_of

CASES = json.loads((Path(__file__).parent / "shelf.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES, ids=[case["what"] for case in CASES])
def test_where_a_visit_stands(case: dict[str, Any]) -> None:
    cells = {
        path: {
            "value": value,
            "at": f"00000170000000{1 if path in case.get('late', ()) else 0}-00000-{'a' * 32}",
            "others": [],
            **({"erased": True} if path in case.get("erased", ()) else {}),
        }
        for path, value in case["cells"].items()
    }
    assert shelf_of(cells) == case["shelf"]
