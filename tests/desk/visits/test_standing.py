"""After work with proof every page says how the car stands now, and in one line how it was found.

The words are the judge's (`judge-drive-…`); that they are the phone's too is held by
`tests.phone.exchange.test_mended.py`.
"""

from __future__ import annotations

from typing import Any

from tests.desk.conftest import VISIT, Workshop

CAR = f"/desk/visits/{VISIT}"

PADS = "work/brakes.pads/pads"
THEN = "At the inspection on Nov 24, 2025: Trailer it."


def with_unsafe_pads(workshop: Workshop) -> dict[str, Any]:
    """All that the drive depends on is fine, but for the pads."""
    workshop.begin()
    workshop.real = True
    snapshot = workshop.snapshot(VISIT)
    rules = snapshot.rules["items"]
    puts: list[tuple[str, Any]] = [
        ("about/started", {"date": "2025-11-24", "time": "10:00", "zone": "+00:00"}),
        ("about/dark", False),
        ("about/wet", False),
        ("about/motorway", False),
        ("about/distance_home", {"typed": "20", "unit": "km"}),
    ]
    puts += [(f"items/{item}/grade", {"grade": "none"}) for item in rules if item != "brakes.pads"]
    puts.append(("items/brakes.pads/grade", {"grade": "dangerous"}))
    workshop.write(puts)
    return dict(rules)


def mend(workshop: Workshop) -> None:
    workshop.write(
        [
            (
                f"{PADS}/done/{1:012x}",
                {"title": "", "items": ["brakes.pads"], "by": "Ada", "date": "2025-11-26"},
            ),
            (f"{PADS}/photos/{'1' * 64}", {"caption": "New pads"}),
            (f"{PADS}/after/brakes.pads/grade", {"grade": "none"}),
        ]
    )


def test_the_verdict_follows_the_repair_and_keeps_what_was_found(workshop: Workshop) -> None:
    with_unsafe_pads(workshop)
    page = workshop.client.get(CAR).text
    assert "answer-trailer" in page
    assert "At the inspection" not in page
    workshop.write([(f"{PADS}/after/brakes.pads/grade", {"grade": "none"})])
    assert "At the inspection" not in workshop.client.get(CAR).text  # a word alone clears nothing
    mend(workshop)
    page = workshop.client.get(CAR).text
    card = page[page.index('<section class="answer') :]
    assert card.startswith('<section class="answer answer-drive" aria-labelledby="verdict">')
    assert '<h2 id="verdict">Drive it home.' in card
    assert f"<summary>{THEN}</summary>" in card
    assert "answer-trailer" not in page


def test_list_board_and_compare_say_the_same(workshop: Workshop) -> None:
    with_unsafe_pads(workshop)
    client = workshop.client
    for page in ("/desk/", "/desk/board", f"/desk/compare?visit={VISIT}"):
        told = client.get(page).text
        assert "Trailer it" in told, page
        assert "Drive it home" not in told, page
    mend(workshop)
    for page in ("/desk/", "/desk/board", f"/desk/compare?visit={VISIT}"):
        told = client.get(page).text
        assert "Drive it home" in told, page
        assert f'<span class="quiet">{THEN}</span>' in told, page
    # a later look at the same check finds it again
    workshop.write([("items/brakes.pads/grade", {"grade": "dangerous"})])
    told = client.get("/desk/").text
    assert "Trailer it" in told
    assert "At the inspection" not in told


def test_the_plan_takes_what_work_renewed_for_seen(workshop: Workshop) -> None:
    """Pads that nobody inspected hold the road back; new ones with proof do not."""
    workshop.begin()
    workshop.real = True
    from bradawl.desk.model.plan.build import plan_of

    assert "brakes.pads" in plan_of(workshop.snapshot(VISIT)).before["because"]
    mend(workshop)
    assert "brakes.pads" not in plan_of(workshop.snapshot(VISIT)).before["because"]
