"""The scenarios as they are played, with their photos."""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.common import resources
from bradawl.demo.phone import Phone, play
from bradawl.demo.scenario import Scenario, read
from tests.checkout import checklist_bundle

PICTURES = resources.path_of("demo") / "pictures"


@pytest.fixture(scope="session")
def scenarios() -> list[Scenario]:
    return read(resources.path_of("demo"))


# The next scenario's cars have other names: tests ask for the part that a car plays.


@pytest.fixture(scope="session")
def main_car(scenarios: list[Scenario]) -> Scenario:
    """The one whose record was amended after it was signed."""
    (found,) = [one for one in scenarios if one.amendments]
    return found


@pytest.fixture(scope="session")
def shared_car(scenarios: list[Scenario]) -> Scenario:
    """The one that two phones looked at."""
    (found,) = [one for one in scenarios if one.second]
    return found


@pytest.fixture(scope="session")
def cheap_car(scenarios: list[Scenario]) -> Scenario:
    return min(scenarios, key=lambda one: int(one.about["asking_price"]))


@pytest.fixture(scope="session")
def checklist() -> dict[str, Any]:
    return checklist_bundle()


@pytest.fixture(scope="session")
def played(scenarios: list[Scenario], checklist: dict[str, Any]) -> list[Phone]:
    return play(scenarios, checklist, "test", PICTURES)
