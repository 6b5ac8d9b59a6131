"""Shared by the report's tests: a shop's signer, and one signed report of each edition."""

from __future__ import annotations

from pathlib import Path

import pytest

from bradawl.report.issue import write_report
from bradawl.report.model.editions.edition import Edition
from bradawl.report.signing.keys import Signer, open_signer
from tests.report.tools import apart
from tests.report.visits import TODAY, jpeg, snapshot


@pytest.fixture(scope="session")
def keys(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("keys")


@pytest.fixture(scope="session")
def shop(keys: Path) -> Signer:
    return open_signer(keys)


@pytest.fixture(scope="session")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A certificate store for pdfsig."""
    return tmp_path_factory.mktemp("nss")


@pytest.fixture(scope="session")
def condition(tmp_path_factory: pytest.TempPathFactory, shop: Signer) -> Path:
    return _issued(tmp_path_factory, shop, "condition")


@pytest.fixture(scope="session")
def partner(tmp_path_factory: pytest.TempPathFactory, shop: Signer) -> Path:
    return _issued(tmp_path_factory, shop, "partner")


def _issued(factory: pytest.TempPathFactory, shop: Signer, edition: Edition) -> Path:
    out = factory.mktemp(edition) / "report.pdf"
    made = snapshot(photos=[jpeg(n) for n in range(5)])
    apart(lambda: write_report(made, out, edition, shop, today=TODAY))
    return out
