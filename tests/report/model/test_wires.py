"""A wire in a report: its risk and what was seen of it, each said once."""

from __future__ import annotations

import pytest

from bradawl.inspection.wires import Figure, Wire
from bradawl.report.model.wires import reading_of

CARRIES = Figure("Carries alone", "20 A", "alone")


@pytest.mark.parametrize(
    ("risk", "said", "measured", "labels"),
    [
        ("cut", {"state": "Cut"}, "Cut", ["Seen"]),
        ("cut", {"state": "Cut", "near": "Metal"}, "Cut; Near: Metal", ["Seen"]),
        ("no fuse", {"state": "Bare"}, "no fuse; Bare", ["Risk", "Seen"]),
        ("loses too much voltage", {}, "loses too much voltage", ["Risk"]),
    ],
)
def test_what_was_seen_and_is_the_risk_is_said_once(
    risk: str, said: dict[str, str], measured: str, labels: list[str]
) -> None:
    for figures in ((), (CARRIES,)):
        wire = Wire("w", is_bunch=False, name="Fan", risk=risk, said=said, figures=figures)
        row, _ = reading_of(wire, {"alone": "cfr183-wire"}, str)
        assert row.measured == measured
        shown = [label for label, _ in row.places]
        assert shown == ([*labels, "Carries alone"] if figures else [])
